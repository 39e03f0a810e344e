"""How long `samefit find` takes on a cross-reference of a million offers, beside a bare scan of its Parquet file.

    python3 tests/bench/find.py [--offers 1000000] [--runs 9] [--samefit target/release/samefit]

A run is built from a generated world of --lines lines and its offers are repeated until there are as many as asked:
the same fit groups and wordings, numbers of their own (`-2`, `-3` ... behind each), so that a group holds thousands of
offers and every number is looked for among millions. Only what `find` reads is written anew: the cross-reference, the
index of numbers and the counts in groups.csv.

Times are wall clock of the whole process, start and print included; medians. The yardstick is DuckDB of PyPI reading
every column of the same crossref.parquet once, without the start of the interpreter.

Nothing is asserted: a busy machine is no fault. The load average stands beside the figures.
"""

import argparse
import csv
import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

import needs

HERE = pathlib.Path(__file__).resolve().parent
SEED = 11
# as samefit writes it (pipeline/publish/parquet_table.rs)
ROWS_PER_GROUP = 16384
PARQUET = f"(FORMAT parquet, COMPRESSION zstd, ROW_GROUP_SIZE {ROWS_PER_GROUP})"


def main():
    options = parse()
    needs.in_venv({"duckdb": "duckdb==2.0.1"})
    samefit = (options.samefit or build_release()).resolve()
    print(f"load average before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} processors; medians of {options.runs} runs")
    with tempfile.TemporaryDirectory() as home:
        run = pathlib.Path(home) / "run"
        build(samefit, pathlib.Path(home), options.lines)
        offers = repeat(run, options.offers)
        measure(samefit, run, offers, options.runs)
    print(f"load average after: {os.getloadavg()[0]:.2f}")


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--offers", type=int, default=1_000_000)
    parser.add_argument("--lines", type=int, default=10_000, help="lines of the world that is repeated")
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--samefit", type=pathlib.Path, help="use this binary and build none")
    return parser.parse_args()


def build_release():
    subprocess.run(["cargo", "build", "--release", "--locked", "--quiet"], cwd=needs.TOP, check=True)
    return needs.TARGET / "release/samefit"


def build(samefit, home, lines):
    world = [sys.executable, HERE / "world/write_world.py", "--seed", str(SEED), "--lines", str(lines), "--out", home]
    subprocess.run(world, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    command = [samefit, "build", home / "lists", "--out", home / "run", "--quiet", "--reject-limit", "1"]
    rates = home / "rates.toml"
    if rates.exists():
        command += ["--rates", rates]
    ended = subprocess.run(command, cwd=home, stdout=subprocess.DEVNULL).returncode
    assert ended in (0, 3), f"the world does not build: exit code {ended}"


def repeat(run, wanted):
    """Writes the offers of a run so often that there are `wanted` of them; returns how many there are."""
    import duckdb

    desk = duckdb.connect()
    once = desk.execute(f"SELECT count(*) FROM '{run}/crossref.parquet'").fetchone()[0]
    copies = -(-wanted // once)
    desk.execute(f"CREATE TABLE copies AS SELECT unnest(range({copies})) AS copy")
    number = "CASE WHEN {0} IS NULL OR copy = 0 THEN {0} ELSE {0} || '-' || (copy + 1) END AS {0}"
    line = "source_line + copy * 100000 AS source_line"
    replaced = ", ".join([*(number.format(name) for name in ("product_id", "supplier_sku", "mpn")), line])
    grown(desk, run / "crossref.parquet", replaced, "group_id NULLS LAST, rank_in_group NULLS LAST, copy")
    canonical = "CASE WHEN copy = 0 THEN canonical ELSE canonical || (copy + 1) END AS canonical"
    replaced = ", ".join([canonical, *(number.format(name) for name in ("product_id", "number"))])
    grown(desk, run / "numbers.parquet", replaced, "place, canonical, number, group_id, product_id")
    with open(run / "groups.csv", newline="", encoding="utf-8") as file:
        heading, *rows = csv.reader(file)
    for row in rows:
        for name in ("products", "offers"):
            at = heading.index(name)
            row[at] = str(int(row[at]) * copies)
    with open(run / "groups.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([heading, *rows])
    return once * copies


def grown(desk, path, replaced, order):
    beside = path.with_suffix(".grown")
    desk.execute(
        f"COPY (SELECT * EXCLUDE copy FROM (SELECT * REPLACE ({replaced}) FROM '{path}', copies) ORDER BY {order}) "
        f"TO '{beside}' {PARQUET}"
    )
    shutil.move(beside, path)


def measure(samefit, run, offers, runs):
    import duckdb

    desk = duckdb.connect()
    numbers = desk.execute(
        f"SELECT number, canonical FROM '{run}/numbers.parquet' WHERE place = 'number' ORDER BY hash(number) LIMIT 1"
    ).fetchone()
    size = (run / "crossref.parquet").stat().st_size / 2**20
    index = (run / "numbers.parquet").stat().st_size / 2**20
    print(f"{offers} offers: crossref.parquet {size:.0f} MiB, numbers.parquet {index:.0f} MiB")
    scan = median(lambda: desk.execute(f"SELECT count(COLUMNS(*)) FROM '{run}/crossref.parquet'").fetchall(), runs)
    text = f"SELECT sum(length(COLUMNS(*)::VARCHAR)) FROM '{run}/crossref.parquet'"
    read = median(lambda: desk.execute(text).fetchall(), max(3, runs // 3))
    print(f"{'bare scan, every column counted':<52}{scan * 1000:>8.0f} ms")
    print(f"{'bare scan, every value read':<52}{read * 1000:>8.0f} ms")
    start = median(lambda: call(samefit, "--version"), runs)
    print(f"{'samefit --version, the start alone':<52}{start * 1000:>8.0f} ms")
    find = lambda *words: ("find", run, *words, "--quiet")
    for name, words in {
        "find 212cc pull starter 3 hole": ("212cc pull starter 3 hole",),
        "find 168F 118 mm (kind not said)": ("168F", "118 mm bolt circle"),
        "find --number, as listed": ("--number", numbers[0]),
        "find --number, which stands nowhere": ("--number", numbers[1][:-1] + "QX9"),
        "find ... --quantity 10 --in-stock --json": ("212cc pull starter", "--quantity", "10", "--in-stock", "--json"),
    }.items():
        took = median(lambda: call(samefit, *find(*words)), runs)
        print(f"{name:<52}{took * 1000:>8.0f} ms{took / read:>8.2f} of the bare scan")


def call(samefit, *arguments):
    ended = subprocess.run([samefit, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    assert ended.returncode == 0, f"{arguments}: {ended.stderr.decode()}"


def median(work, runs):
    """Seconds of the middle run, after one that warms the cache."""
    times = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


if __name__ == "__main__":
    main()
