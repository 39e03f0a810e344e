"""Speed and memory of intake alone, bytes to rows with their fields, rejects included, beside two bare readers.

    python3 tests/bench/reading.py [--bytes 1e9] [--runs 3] [--reader FILE] [--list FILE]

Writes a price list of its own making, line by line from a seed: quoted texts with line breaks, letters beyond ASCII, and
two lines in a thousand with a delimiter too many or too few, a quote left open, a byte that is no text, a cut end.
Then reads it with `tests/bench/read_list.rs` (intake on one and on all processors; the csv crate, which decides
nothing) and with DuckDB, every column as text, faults let pass. Each reader runs in a process of its own; processor time
(user and system), wall clock and peak memory are what the operating system accounts for it, medians of the runs.

DuckDB and the csv crate are told the delimiter; intake finds it out. Nothing is asserted: a busy machine is no fault.
"""

import argparse
import json
import os
import pathlib
import random
import statistics
import subprocess
import sys
import tempfile
import time

import needs

SEED = 7
DUCKDB = """
import duckdb, json, sys
base = duckdb.connect()
base.execute(f"set threads to {sys.argv[2]}; set memory_limit = '4GB'")
options = "delim=';', quote='\\"', header=true, all_varchar=true, ignore_errors=true, null_padding=true, strict_mode=false, parallel=false"
columns = base.execute(f"describe select * from read_csv('{sys.argv[1]}', {options})").fetchall()
letters = " + ".join(f'sum(strlen("{column[0]}"))' for column in columns)
rows, read = base.execute(f"select count(*), {letters} from read_csv('{sys.argv[1]}', {options})").fetchone()
print(json.dumps({"rows": rows, "letters": int(read or 0), "failed": []}))
"""


def main():
    options = parse()
    needs.in_venv({"duckdb": "duckdb==2.0.1"})
    reader = options.reader or build_reader()
    with tempfile.TemporaryDirectory() as home:
        path = options.list or pathlib.Path(home) / "list.csv"
        if options.list is None:
            write_list(path, int(options.bytes))
        size = path.stat().st_size
        print(f"{size / 1e9:.2f} GB, load average {os.getloadavg()[0]:.2f} on {os.cpu_count()} processors, "
              f"medians of {options.runs} runs")
        print(f"{'':<28}{'rows':>9}{'rejects':>9}{'wall s':>8}{'cpu s':>8}{'GB/cpu s':>10}{'ratio':>7}{'peak MiB':>10}")
        first = None
        for name, command, threads in readers(reader, path):
            used = median_of([run(command, threads) for _ in range(options.runs)])
            speed = size / 1e9 / used["cpu"]
            first = first or speed
            said = used["said"]
            print(f"{name:<28}{said['rows']:>9}{said.get('rejects', ''):>9}{used['wall']:>8.2f}{used['cpu']:>8.2f}"
                  f"{speed:>10.3f}{speed / first:>7.2f}{used['peak_mib']:>10.0f}")
            for failure in said["failed"]:
                print(f"  failed: {failure}")
        print(f"load average after: {os.getloadavg()[0]:.2f}")


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--bytes", type=float, default=1e9, help="size of the list, such as 5e9")
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--reader", type=pathlib.Path, help="use this read_list and build none")
    parser.add_argument("--list", type=pathlib.Path, help="read this list, semicolons between cells, and write none")
    parser.add_argument("--write", type=pathlib.Path, help="write the list here and do nothing else")
    options = parser.parse_args()
    if options.write:
        write_list(options.write, int(options.bytes))
        sys.exit(0)
    return options


def build_reader():
    command = ["cargo", "build", "--release", "--locked", "--quiet", "--example", "read_list"]
    subprocess.run(command, cwd=needs.TOP, check=True)
    return needs.TARGET / "release/examples/read_list"


def readers(reader, path):
    yield "intake, 1 thread", [reader, "intake", path], 1
    yield f"intake, {os.cpu_count()} threads", [reader, "intake", path], os.cpu_count()
    yield "csv crate, bare", [reader, "csv-crate", path], 1
    yield "DuckDB, all text, 1 thread", [sys.executable, "-c", DUCKDB, path, "1"], 1


def run(command, threads):
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, env={**os.environ, "SAMEFIT_THREADS": str(threads)})
    said = process.stdout.read()
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"{command[0]} ended with {process.returncode}")
    return {
        "wall": time.perf_counter() - start,
        "cpu": used.ru_utime + used.ru_stime,
        "peak_mib": used.ru_maxrss / 1024,
        "said": json.loads(said),
    }


def median_of(runs):
    middle = {key: statistics.median(run[key] for run in runs) for key in ("wall", "cpu", "peak_mib")}
    return {**middle, "said": runs[-1]["said"]}


NAMES = ["Seilzugstarter rot, vier Klinken", "Lüfterhaube schwarz", "Starter komplett mit Seil und Griff", "Recoil starter",
         "Fan shroud, black, with screws", "Démarreur à lanceur complet", "Carter ventilateur peint", "Rozrusznik ręczny",
         "Avviamento a strappo completo", "Startergriff, weich"]
TEXTS = ["passend für Motoren der üblichen Bauart, drei Löcher auf einem Kreis von 118 mm, Gehäuse aus Blech, lackiert",
         "metal housing, four pawls, long rope, nylon grip; for generators, pumps and pressure washers of the usual build",
         "mit Seil und Griff, Drehsinn rechts, Lieferung ohne Schrauben, Verpackung im Karton", "steel, painted black"]
OVER_LINES = [
         "remplace la pièce d'origine, corde de 1,2 m\nlivré sans vis, à monter avec celles de la pièce remplacée",
         "Lieferung ohne Schrauben, Gewinde M6\r\nVerpackung: Karton, zehn Stück im Umkarton, Mindestmenge nach Absprache"]
REMARKS = ["Lager Nord, sofort ab Lager lieferbar", "Lager Süd, zwei bis drei Arbeitstage", "", "auf Anfrage, Lieferzeit offen"]


def write_list(path, size):
    """A price list of about that many bytes."""
    draw = random.Random(SEED)
    written, number = 0, 0
    with open(path, "wb") as file:
        head = "Art.-Nr.;Bezeichnung;Beschreibung;Hersteller-Nr.;EAN;Preis EUR;VPE;Bestand;Motor;Lochabstand mm;Gewicht kg;Bemerkung;Gruppe;Ersetzt\n"
        written += file.write(head.encode())
        while written < size:
            lines = []
            for number in range(number, number + 10_000):
                lines.append(line(draw, number))
            number += 1
            written += file.write(b"".join(lines))


def line(draw, number):
    chance = draw.random()
    text = draw.choice(OVER_LINES if number % 40 == 0 else TEXTS)
    if ";" in text or "\n" in text:
        text = f'"{text}"'
    cells = [f"RS-{100000 + number}", draw.choice(NAMES), text, f"{10000 + number * 7 % 89999}-{number % 97:02}",
             str(4006381000000 + number), f"{number * 13 % 9000 / 100:.2f}".replace(".", ","), str(1 + number % 3 * 5),
             str(number * 31 % 400), f"{(168, 170, 177, 188, 190)[number % 5]}F-{1 + number % 2}", str(60 + number % 70),
             f"{number % 40 / 10:.1f}".replace(".", ","), REMARKS[number % 4], "Motorenteile, Startvorrichtungen und Hauben",
             f"{20000 + number * 11 % 70000}-A" if number % 3 else ""]
    if chance > 0.002:
        return (";".join(cells) + "\n").encode()
    if chance < 0.0005:
        return (";".join(cells[: draw.randrange(2, 6)]) + "\n").encode()
    if chance < 0.002:
        cells.insert(draw.randrange(4, 9), "")
    elif chance < 0.0015:
        place = draw.randrange(3, 9)
        cells[place : place + 2] = [cells[place] + cells[place + 1]]
    elif chance < 0.00175:
        cells[1] = '"' + cells[1]
    else:
        return (";".join(cells) + "\n").encode().replace(b"RS-", b"RS\xff")
    return (";".join(cells) + "\n").encode()


if __name__ == "__main__":
    main()
