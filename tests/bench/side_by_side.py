"""Everything about speed side by side on one machine in one run: growth, threads, and linking beside public tools.

    cargo build --release --locked
    python3 tests/bench/side_by_side.py [--sizes 10000,100000,1000000] [--records 1000000] [--runs 3] [--only PART]

Parts, each on lists that are generated for it:
  growth   `samefit build` on whole worlds (tests/bench/world, 40 suppliers, mixed formats): wall clock, processor time,
           peak memory, stages, and the exponent e of cost ~ lines^e over the sizes. 10,000,000 lines only when asked for.
  threads  the largest size up to 1,000,000 with one thread and with two: how much faster, and whether the bytes are equal.
  linking  clean records (tests/bench/link/records.py) by samefit's link stage, Splink 4 on DuckDB, blazematch and
           recordlinkage: pairs looked at, time, memory, and F1 over all true pairs at a probability of 0.9.
  worst    lists that are hard by their shape (tests/bench/worst.py), beside an ordinary list of as many lines.

samefit's link stage has no command of its own: the records are built with `--kind generic`, and the stage's processor time
is what the process used between the ends of the stages before it and of itself, as run.json states them; the pairs are
those it counts. Reading and publishing stand beside it as the whole build. The rivals are given their records in a table and are timed from there
to their clusters. A tool that does not install is said and left out.

Nothing is asserted: a busy machine is no fault. The load average stands beside the figures.
"""

import argparse
import filecmp
import json
import math
import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import tempfile

import needs
import speed
import worst

HERE = pathlib.Path(__file__).resolve().parent
PACKAGES = {"duckdb": "duckdb==2.0.1", "splink": "splink==4.0.17"}
RIVALS = {"blazematch": "blazematch==0.1.1", "recordlinkage": "recordlinkage==0.16"}
PARTS = ("growth", "threads", "linking", "worst")
HEAD = f"{'wall s':>10}{'cpu s':>10}{'peak MiB':>10}"


def main():
    options = parse()
    needs.in_venv(PACKAGES)
    samefit = options.samefit or speed.build_release()
    parts = options.only or PARTS
    load("before")
    print(f"medians of {options.runs} runs, after one that warms the cache" if options.warm else f"medians of {options.runs} runs")
    measured = {}
    with tempfile.TemporaryDirectory(dir=options.scratch) as home:
        home = pathlib.Path(home)
        if "growth" in parts or "threads" in parts:
            measured["build"] = growth(options, parts, samefit, home)
        if "linking" in parts:
            measured["link"] = linking(options, samefit, home)
        if "worst" in parts:
            worst.side_by_side(samefit, home, options.worst_lines)
    together(measured)
    load("after")


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    numbers = lambda text: [int(number) for number in text.split(",")]
    parser.add_argument("--sizes", type=numbers, default=[10_000, 100_000, 1_000_000], help="lines, such as 10000,100000")
    parser.add_argument("--records", type=int, default=1_000_000, help="records for the linkers")
    parser.add_argument("--worst-lines", type=int, default=200_000, help="lines of each hard list")
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--warm", action="store_true", help="one run more before the ones that count")
    parser.add_argument("--only", type=lambda text: text.split(","), help=f"of {', '.join(PARTS)}")
    parser.add_argument("--samefit", type=pathlib.Path, help="use this binary and build none")
    parser.add_argument("--scratch", type=pathlib.Path, help="folder for the generated lists [the system's]")
    return parser.parse_args()


def load(when):
    print(f"load average {when}: {os.getloadavg()[0]:.2f} on {os.cpu_count()} processors", flush=True)


def growth(options, parts, samefit, home):
    """Builds worlds of every size; prints costs, stages and growth, and of one size one thread against two."""
    print(f"\n{'whole build':<22}{'lines':>10}{HEAD}   processor time by stage")
    points = []
    for size in options.sizes:
        world = home / f"world-{size}"
        speed.write_world(size, world)
        if "growth" in parts:
            built = of_runs(options, lambda: speed.run_build(samefit, world))
            points.append(built)
            print(f"{'samefit build':<22}{built['lines']:>10}{costs(built)}   {stages(built)}", flush=True)
        if "threads" in parts and size == max((size for size in options.sizes if size <= 1_000_000), default=size):
            threads(options, samefit, world)
        shutil.rmtree(world)
    for name in ("cpu_s", "wall_s", "peak_mib"):
        if len(points) > 1:
            steps = ", ".join(f"{exponent([a, b], name):.2f}" for a, b in zip(points, points[1:]))
            print(f"growth of {name}: lines^{exponent(points, name):.3f} (step by step {steps})")
    return next((point for point in reversed(points) if point["lines"] <= 2_000_000), None)


def exponent(points, name):
    """Slope of the least-squares line through the logarithms."""
    x = [math.log(point["lines"]) for point in points]
    y = [math.log(point[name]) for point in points]
    mean_x, mean_y = statistics.mean(x), statistics.mean(y)
    return sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y)) / sum((a - mean_x) ** 2 for a in x)


def threads(options, samefit, world):
    times = {}
    for count in (1, 2):
        run = world / f"threads-{count}"
        times[count] = of_runs(options, lambda: speed.run_build(samefit, world, "--threads", str(count), out=run))
        print(f"{f'  threads: {count}':<22}{times[count]['lines']:>10}{costs(times[count])}   {stages(times[count])}", flush=True)
    one, two = world / "threads-1", world / "threads-2"
    names = sorted(path.name for path in one.iterdir() if path.name != "run.json")
    _, differing, missing = filecmp.cmpfiles(one, two, names, shallow=False)
    bytes_ = f"differ in {', '.join(differing + missing)}" if differing or missing else f"are equal in all {len(names)} files"
    print(f"  two threads are {times[1]['wall_s'] / times[2]['wall_s']:.2f} times as fast as one; bytes {bytes_}")


def linking(options, samefit, home):
    """Links the same records with every tool; hands back the rows by tool."""
    folder = home / "records"
    made = [sys.executable, HERE / "link/records.py", "--records", str(options.records), "--out", folder]
    subprocess.run(made, check=True)
    true = true_pairs(folder)
    print(f"\nlinking {options.records} clean records, {true} true pairs")
    print(f"{'':<34}{'pairs':>10}{HEAD}   F1 at 0.9: by pairs, by clusters")
    rows = {"samefit": samefit_rows(options, samefit, folder, true)}
    rows["Splink"] = rival(options, folder, "splink_link.py", "Splink 4, DuckDB", true)
    for name, script in (("blazematch", "blazematch_link.py"), ("recordlinkage", "recordlinkage_link.py")):
        if not install(RIVALS[name]):
            print(f"{RIVALS[name]:<34} does not install here")
            continue
        rows[name] = rival(options, folder, script, RIVALS[name].replace("==", " "), true)
    shutil.rmtree(folder)
    return rows


def install(requirement):
    typed = [sys.executable, "-m", "pip", "install", "-q", "--disable-pip-version-check", requirement]
    return subprocess.run(typed, stderr=subprocess.DEVNULL).returncode == 0


def samefit_rows(options, samefit, folder, true):
    """The link stage, and the whole build around it; hands back both."""
    run = folder / "run"
    build = of_runs(options, lambda: speed.run_build(samefit, folder, "--kind", "generic", out=run))
    facts = json.loads((run / "run.json").read_text())
    pairs = facts["counts"]["pairs_by_number"] + facts["counts"]["pairs_by_words"]
    scores = samefit_scores(folder, true)
    wall_s = dict(facts["timings_seconds"])["link"]
    stage = {"wall_s": wall_s, "cpu_s": dict(build["stages"])["link"], "peak_mib": build["peak_mib"]}
    print(f"{'samefit, link stage':<34}{pairs:>10}{costs(stage)}   {scores}")
    print(f"{'samefit, reading to publishing':<34}{'':>10}{costs(build)}", flush=True)
    return {"stage": stage, "build": build}


def rival(options, folder, script, name, true):
    pairs, clusters = folder / "pairs.parquet", folder / "clusters.parquet"
    typed = [sys.executable, HERE / "link" / script, folder / "records.csv", pairs, clusters]
    if script == "recordlinkage_link.py":
        pairs = folder / "pairs.csv"
        typed = [*typed[:3], pairs]

    def once():
        done = subprocess.run([str(word) for word in typed], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        if done.returncode != 0:
            raise RuntimeError(done.stderr.strip().splitlines()[-1] if done.stderr.strip() else f"ended with {done.returncode}")
        return json.loads(done.stdout.strip().splitlines()[-1])

    try:
        took = of_runs(options, once)
    except RuntimeError as error:
        print(f"{name:<34} failed: {error}", flush=True)
        return None
    print(f"{name:<34}{took['pairs']:>10}{costs(took)}   {scores(folder, true, pairs, clusters)}", flush=True)
    clusters.unlink(missing_ok=True)
    return took


def true_pairs(folder):
    import duckdb

    query = f"select sum(n * (n - 1) / 2)::bigint from (select count(*) n from '{folder}/truth.csv' group by product)"
    return duckdb.sql(query).fetchall()[0][0]


def samefit_scores(folder, true):
    """F1 of the links, and of the products, through the suppliers' own numbers."""
    import duckdb

    side = lambda one: f"t{one}.supplier = supplier_{one} and t{one}.sku = supplier_sku_{one}"
    said, right = duckdb.sql(f"""
        select count(*), count(*) filter (ta.product = tb.product) from '{folder}/run/links.parquet'
        join '{folder}/truth.csv' ta on {side('a')} join '{folder}/truth.csv' tb on {side('b')}
        where probability >= 0.9""").fetchall()[0]
    groups = f"""select product_id cluster, product from '{folder}/run/crossref.parquet' c
        join '{folder}/truth.csv' t on t.supplier = c.supplier and t.sku = c.supplier_sku"""
    return f"{f1(said, right, true):.4f}, {f1(*of_clusters(groups), true):.4f}"


def scores(folder, true, pairs, clusters):
    import duckdb

    said, right = duckdb.sql(f"""
        select count(*), count(*) filter (ta.product = tb.product) from '{pairs}'
        join '{folder}/truth.csv' ta on ta.id = a join '{folder}/truth.csv' tb on tb.id = b where probability >= 0.9""").fetchall()[0]
    by_pairs = f"{f1(said, right, true):.4f}"
    if not clusters.exists():
        return f"{by_pairs}, makes none"
    groups = f"select cluster, product from '{clusters}' c join '{folder}/truth.csv' t on t.id = c.id"
    return f"{by_pairs}, {f1(*of_clusters(groups), true):.4f}"


def of_clusters(groups):
    """Pairs that clusters put together, and how many of them are true."""
    import duckdb

    of = lambda names: f"select coalesce(sum(n * (n - 1) / 2), 0)::bigint from (select count(*) n from ({groups}) group by {names})"
    return tuple(duckdb.sql(of(names)).fetchall()[0][0] for names in ("cluster", "cluster, product"))


def f1(said, right, true):
    return 2 * right / (said + true)


def together(measured):
    """The ratios that matter, where both sides were measured."""
    build, link = measured.get("build"), measured.get("link")
    splink = link and link.get("Splink")
    if splink and build:
        print(f"\nwhole build of {build['lines']} lines / Splink's linking: {build['cpu_s'] / splink['cpu_s']:.2f} of the processor time")
    if splink:
        stage = link["samefit"]["stage"]
        print(f"Splink's linking / samefit's link stage: {splink['cpu_s'] / stage['cpu_s']:.2f} times the processor time")


def of_runs(options, once):
    """Medians of so many runs, after one more where asked for."""
    if options.warm:
        once()
    every = [once() for _ in range(options.runs)]
    middle = dict(every[-1])
    for name in ("wall_s", "cpu_s", "peak_mib"):
        middle[name] = statistics.median(one[name] for one in every)
    return middle


def costs(measured):
    return f"{measured['wall_s']:>10.2f}{measured['cpu_s']:>10.2f}{measured['peak_mib']:>10.0f}"


def stages(built):
    return ", ".join(f"{stage} {seconds:.2f}" for stage, seconds in built["stages"])


if __name__ == "__main__":
    main()
