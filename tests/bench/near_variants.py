"""Grades `samefit build --kind generic` on generated lists full of near-variants, beside plain cosines.

    cargo build --release --locked
    python3 tests/bench/near_variants.py [--seeds 1,2,3] [STYLE ...]

The styles are those of variants/styles.py: families that differ by one word, lists that repeat a thing, short noisy
titles, small lists against long ones, records with missing cells, five lists, one list, a hundred lines. Everything is
invented; same seed, same lines. Each list is a supplier read by a generated profile; the settings are those of every
build; the truth is read by this script only. Scores are over all true pairs between lists, or inside the only list. The
cosines have their threshold, text and unit chosen by the truth, which nobody knows without labels: `plain` is the best of
them alone, `rivals` the best with one-to-one assignment or the margin over the next best.
"""

import argparse
import csv
import pathlib
import subprocess
import sys
import tempfile
from itertools import combinations

import needs
import open_links
from variants import cosine, styles
from world.draw import Draw

PACKAGES = {"duckdb": "duckdb==2.0.1", "sklearn": "scikit-learn==1.9.1"}
COLUMNS = ("id", "title", "description", "price", "manufacturer")


def main():
    options = parse()
    needs.in_venv(PACKAGES)
    if not options.samefit.exists():
        sys.exit(f"{options.samefit} is missing: cargo build --release --locked")
    print(f"{'style':<16}{'lines':>12}{'true':>6}  {'at 0.5: P':>9} {'R':>6} {'F1':>7}  {'best F1 (at)':>13}  {'error':>6}"
          f"  {'plain':>6} {'rivals':>6}")
    for style in styles.STYLES:
        if not options.styles or style.__name__ in options.styles:
            shown = [run(style, seed, options) for seed in options.seeds]
            report(style.__name__, shown)
    return 0


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--seeds", default=[1], type=lambda text: text.split(","), help="means over these seeds [1]")
    parser.add_argument("--samefit", type=pathlib.Path, default=needs.TARGET / "release/samefit")
    parser.add_argument("--keep", type=pathlib.Path, metavar="DIR", help="leave lists and truth there")
    parser.add_argument("styles", nargs="*", metavar="STYLE", help="names of styles [all of them]")
    return parser.parse_args()


def run(style, seed, options):
    """Figures of one style and seed, by name."""
    lists = style(Draw(f"{seed} {style.__name__}"))
    true = true_pairs(lists)
    with tempfile.TemporaryDirectory() as home:
        folder = options.keep / f"{style.__name__}-{seed}" if options.keep else pathlib.Path(home)
        write(folder, lists, true)
        links = build(folder, lists, pathlib.Path(home), options.samefit)
    precision, recall, harmonic = open_links.f1(links, true, 0.5)
    best, at = open_links.best_f1(links, true)
    plain = cosine.yardsticks(lists, true)
    alone = max((f1 for name, f1 in plain.items() if "," not in name), default=0.0)
    return {
        "lines": "/".join(str(len(rows)) for rows in lists.values()), "true": len(true), "precision": precision, "recall": recall,
        "f1": harmonic, "best": best, "at": at, "error": open_links.calibration_error(links, true), "plain": alone,
        "rivals": max(plain.values(), default=0.0),
    }


def true_pairs(lists):
    """Pairs of names, each in order, that are one thing: between lists, or inside the only one."""
    of_thing = {}
    for letter, rows in lists.items():
        for line, thing in rows:
            of_thing.setdefault(thing, []).append((letter, line["id"]))
    true = set()
    for places in of_thing.values():
        for (here, a), (there, b) in combinations(places, 2):
            if here != there or len(lists) == 1:
                true.add(tuple(sorted((a, b))))
    return true


def write(folder, lists, true):
    folder.mkdir(parents=True, exist_ok=True)
    for letter, rows in lists.items():
        with open(folder / f"{letter}.csv", "w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(line for line, _ in rows)
    with open(folder / "gt.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows([("idA", "idB"), *sorted(true)])


def build(folder, lists, home, samefit):
    """Builds the lists; the links as {(name, name): probability}, names in order, as far as they are graded."""
    copies, profiles, run_folder = home / "lists", home / "profiles", home / "run"
    copies.mkdir()
    profiles.mkdir()
    for letter in lists:
        open_links.write_list(folder / f"{letter}.csv", copies / f"list-{letter.lower()}.csv", profiles, None)
    typed = [samefit, "build", copies, "--kind", "generic", "--profiles", profiles, "--out", run_folder, "--quiet"]
    done = subprocess.run([str(word) for word in typed], stdout=subprocess.PIPE, text=True)
    if done.returncode not in (0, 3):
        sys.exit(f"{folder.name}: samefit ended with {done.returncode}")
    return read_links(run_folder / "links.parquet", len(lists) == 1)


def read_links(path, inside):
    import duckdb

    where = "supplier_a = supplier_b" if inside else "supplier_a <> supplier_b"
    rows = duckdb.sql(f"select supplier_sku_a, supplier_sku_b, probability from '{path}' where {where}").fetchall()
    return {tuple(sorted((a, b))): probability for a, b, probability in rows}


def report(name, shown):
    def mean(what):
        return sum(figures[what] for figures in shown) / len(shown)

    print(f"{name:<16}{shown[0]['lines'][:12]:>12}{mean('true'):>6.0f}  {mean('precision'):>9.3f} {mean('recall'):>6.3f} {mean('f1'):>7.3f}"
          f"  {mean('best'):>6.3f} ({mean('at'):.2f})  {mean('error'):>6.3f}  {mean('plain'):>6.3f} {mean('rivals'):>6.3f}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
