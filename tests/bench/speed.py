"""Time and memory of `samefit build` on generated lists, beside a bare read of the same files.

    python3 tests/bench/speed.py [--sizes 10000,100000] [--runs 3]

For each size the generated world (tests/bench/world) is written to a temporary folder and `samefit build` of the
release build run once to warm the cache, then as often as --runs says; wall clock, processor time (user and system)
and peak resident memory are medians, as the operating system accounts for the finished process.

The yardstick is DuckDB of PyPI reading the same files, every column as text (`bare_read.py`): processor time of the
reading alone, without the start of the interpreter. It reads delimited text only, so workbooks are left out of it, and
said; samefit builds them too. Damaged lines are let pass.

Nothing is asserted: a busy machine is no fault. The load average stands beside the figures.
"""

import argparse
import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

import needs

HERE = pathlib.Path(__file__).resolve().parent
SEED = 11


def main():
    options = parse()
    needs.in_venv({"duckdb": "duckdb==2.0.1"})
    samefit = options.samefit or build_release()
    print(f"load average before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} processors; medians of {options.runs} runs")
    print(f"{'':<24}{'lines':>9}{'wall s':>9}{'cpu s':>9}{'peak MiB':>10}")
    sizes = []
    for size in options.sizes:
        with tempfile.TemporaryDirectory() as home:
            sizes.append(measure(size, pathlib.Path(home), samefit, options.runs))
    grown(sizes)
    print(f"load average after: {os.getloadavg()[0]:.2f}")


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    numbers = lambda text: [int(number) for number in text.split(",")]
    parser.add_argument("--sizes", type=numbers, default=[100_000], help="lines, such as 10000,100000")
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--samefit", type=pathlib.Path, help="use this binary and build none")
    return parser.parse_args()


def build_release():
    subprocess.run(["cargo", "build", "--release", "--locked", "--quiet"], cwd=needs.TOP, check=True)
    return needs.TARGET / "release/samefit"


def measure(size, home, samefit, runs):
    write_world(size, home)
    files = sorted(path for path in (home / "lists").iterdir() if path.is_file())
    text = [path for path in files if path.suffix != ".xlsx"]
    built = median_of(run_build(samefit, home) for _ in range(runs + 1))
    read = median_of(bare_read(text) for _ in range(runs + 1))
    row("samefit build", built["lines"], built)
    row("DuckDB, a bare read", read["rows"], read)
    wall, cpu, peak = (built[name] / read[name] for name in ("wall_s", "cpu_s", "peak_mib"))
    print(f"{'  build / bare read':<24}{'':>9}{wall:>9.1f}{cpu:>9.1f}{peak:>10.1f}")
    print(f"  processor time beyond the bare read: {built['cpu_s'] - read['cpu_s']:.2f} s")
    workbooks = len(files) - len(text)
    print(f"  {len(files)} lists; the bare read leaves out {workbooks} workbooks", end="")
    print("".join(f", and could not read {name} ({why})" for name, why in read["failed"]))
    stages = ", ".join(f"{stage} {seconds:.2f} s" for stage, seconds in built["stages"])
    print(f"  processor time of the first run that counts, by stage: {stages}\n")
    return built


def write_world(size, home):
    world = [sys.executable, HERE / "world/write_world.py", "--seed", str(SEED), "--lines", str(size), "--out", home]
    subprocess.run(world, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def median_of(measured):
    """Medians of all but the first, which warms the cache."""
    warm = list(measured)[1:]
    middle = dict(warm[0])
    for name in ("wall_s", "cpu_s", "peak_mib"):
        middle[name] = statistics.median(one[name] for one in warm)
    return middle


def run_build(samefit, home, *words, out=None):
    run = out or home / "run"
    typed = [samefit, "build", home / "lists", "--out", run, "--json", "--quiet", *words]
    start = time.perf_counter()
    with open(home / "account.json", "wb") as account:
        child = subprocess.Popen([str(word) for word in typed], stdout=account)
        status, used, curve = watched(child.pid, start)
    wall = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 3):
        sys.exit(f"samefit ended with {child.returncode}")
    lists = json.loads((home / "account.json").read_text())["lists"]
    return {
        "lines": sum(one["read"] for one in lists),
        "wall_s": wall,
        "cpu_s": used.ru_utime + used.ru_stime,
        "peak_mib": used.ru_maxrss / 1024,
        "stages": stage_costs(run, curve),
    }


def watched(pid, start):
    """Waits for a process; hands back how it ended, what it used, and (wall clock, processor time so far) all along.
    On a busy machine the wall clock of a stage says little; a process does not know what its stages took otherwise."""
    curve = [(0.0, 0.0)]
    while True:
        done, status, used = os.wait4(pid, os.WNOHANG)
        now = time.perf_counter() - start
        if done:
            curve.append((now, used.ru_utime + used.ru_stime))
            return status, used, curve
        try:
            fields = pathlib.Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
            curve.append((now, (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")))
        except (OSError, IndexError):
            pass
        time.sleep(0.02)


def stage_costs(run, curve):
    """Processor seconds by stage: the curve cut where run.json says that one stage ended and the next began."""
    costs, end, before = [], 0.0, 0.0
    for stage, seconds in json.loads((run / "run.json").read_text())["timings_seconds"]:
        end += seconds
        after = next((cpu for wall, cpu in curve if wall >= end), curve[-1][1])
        costs.append((stage, after - before))
        before = after
    return costs


def bare_read(paths):
    done = subprocess.run([sys.executable, HERE / "bare_read.py", *paths], check=True, stdout=subprocess.PIPE, text=True)
    return json.loads(done.stdout)


def row(what, lines, measured):
    print(f"{what:<24}{lines:>9}{measured['wall_s']:>9.2f}{measured['cpu_s']:>9.2f}{measured['peak_mib']:>10.0f}")


def grown(sizes):
    for small, large in zip(sizes, sizes[1:]):
        times = {name: large[name] / small[name] for name in ("lines", "cpu_s", "peak_mib")}
        print(f"{times['lines']:.1f} times the lines: {times['cpu_s']:.1f} times the processor time, {times['peak_mib']:.1f} times the memory")


if __name__ == "__main__":
    main()
