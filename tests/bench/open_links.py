"""Grades `samefit build --kind generic` on labelled sets of two shops' lists.

    cargo build --release --locked
    python3 tests/bench/open_links.py --data DIR [SET ...]

DIR holds one folder per set: A.csv and B.csv, the two lists, each with `id` and
a `name` or `title`, and gt.csv with `idA,idB`, the pairs that truly are the same.
Nothing of such sets lies in this repository; without --data, or where DIR is
absent, the script says so and ends with 0.

Each list is a supplier, read by a generated profile, so that the mapping of
columns is not what is measured. The settings are those of every build, alike for
every set; gt.csv is read after the build, by this script only. Precision, recall
and F1 are over all pairs of A x B against the whole of gt.csv: a pair that
blocking never compared counts as missed. The best threshold is for information,
as nobody knows it without labels. Calibration error: pairs with probability 0.05
or more in ten bins of equal width, mean distance between said and true share,
weighted by pairs.
"""

import argparse
import csv
import pathlib
import subprocess
import sys
import tempfile

import needs

# column of the set -> field of the profile; `id` becomes the supplier's number, the first of the two names the title
FIELDS = {"description": "description", "price": "price", "manufacturer": "brand"}
THRESHOLDS = (0.5, 0.9)
LOWEST = 0.05
BINS = 10


def main():
    options = parse()
    sets = found(options)
    if not sets:
        return 0
    needs.in_venv({"duckdb": "duckdb==2.0.1"})
    if not options.samefit.exists():
        sys.exit(f"{options.samefit} is missing: cargo build --release --locked")
    print(f"{'set':<14}{'pairs':>7}{'kept':>7}  {'at':>5}  precision  recall      F1    best F1 (at)   calibration error")
    for folder in sets:
        columns = options.columns.split(",") if options.columns else None
        with tempfile.TemporaryDirectory() as home:
            links = build(folder, pathlib.Path(home), options.samefit, columns)
        report(folder, links)
        if options.errors:
            show_errors(folder, links, options.errors)
    return 0


def parse():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--data", type=pathlib.Path, help="folder of labelled sets")
    parser.add_argument("--columns", help="use these columns beside `id` and no others, such as title")
    parser.add_argument("--errors", type=int, default=0, metavar="N", help="show N missed and N wrong pairs of each set")
    parser.add_argument("--samefit", type=pathlib.Path, default=needs.TARGET / "release/samefit")
    parser.add_argument("sets", nargs="*", metavar="SET", help="names of folders in DIR [all of them]")
    return parser.parse_args()


def found(options):
    """The sets that are there; says which are not."""
    if options.data is None or not options.data.is_dir():
        print(f"skipped: no labelled sets at {options.data or '--data DIR'}")
        return []
    names = options.sets or sorted(entry.name for entry in options.data.iterdir() if entry.is_dir())
    sets = []
    for name in names:
        missing = [file for file in ("A.csv", "B.csv", "gt.csv") if not (options.data / name / file).exists()]
        if missing:
            print(f"skipped: {name} lacks {', '.join(missing)}")
        else:
            sets.append(options.data / name)
    return sets


def build(folder, home, samefit, only):
    """Builds the set in a folder of its own; the links as {(idA, idB): probability}."""
    lists, profiles = home / "lists", home / "profiles"
    lists.mkdir()
    profiles.mkdir()
    for side in "AB":
        write_list(folder / f"{side}.csv", lists / f"side-{side.lower()}.csv", profiles, only)
    run = home / "run"
    typed = [samefit, "build", lists, "--kind", "generic", "--profiles", profiles, "--out", run, "--quiet"]
    done = subprocess.run([str(word) for word in typed], stdout=subprocess.PIPE, text=True)
    if done.returncode not in (0, 3):
        sys.exit(f"{folder.name}: samefit ended with {done.returncode}")
    if done.returncode == 3:
        print(done.stdout)
    return read_links(run / "links.parquet")


def write_list(source, copy, profiles, only):
    """A copy with the columns asked for, and its profile."""
    with open(source, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    title = "name" if "name" in rows[0] else "title"
    fields = {"id": "sku", title: "title", **FIELDS}
    columns = [column for column in rows[0] if column in fields and (only is None or column in ("id", *only))]
    with open(copy, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, extrasaction="ignore", lineterminator="\r\n")
        writer.writeheader()
        writer.writerows(rows)
    mapped = "".join(f'{fields[column]} = "{column}"\n' for column in columns)
    text = (
        f'supplier = "{copy.stem}"\nfiles = ["{copy.name}"]\n\n'
        '[dialect]\nencoding = "utf-8"\ndelimiter = ","\nquoteChar = \'"\'\ndoubleQuote = true\nskipRows = 0\n'
        f'headerRowCount = 1\ndecimalChar = "."\n\n[columns]\n{mapped}'
    )
    (profiles / f"{copy.stem}.toml").write_text(text)


def read_links(path):
    import duckdb

    rows = duckdb.sql(
        f"select supplier_a, supplier_sku_a, supplier_sku_b, probability from '{path}' where supplier_a <> supplier_b"
    ).fetchall()
    links = {}
    for supplier_a, sku_a, sku_b, probability in rows:
        pair = (sku_a, sku_b) if supplier_a == "side-a" else (sku_b, sku_a)
        links[pair] = max(probability, links.get(pair, 0.0))
    return links


def true_pairs(folder):
    with open(folder / "gt.csv", newline="", encoding="utf-8") as file:
        return {(row["idA"], row["idB"]) for row in csv.DictReader(file)}


def report(folder, links):
    true = true_pairs(folder)
    best = best_f1(links, true)
    error = calibration_error(links, true)
    for number, at in enumerate(THRESHOLDS):
        precision, recall, harmonic = f1(links, true, at)
        head = f"{folder.name:<14}{len(true):>7}{len(links):>7}" if number == 0 else " " * 28
        tail = f"    {best[0]:.4f} ({best[1]:.2f})   {error:.4f}" if number == 0 else ""
        print(f"{head}  {at:>5}     {precision:.4f}  {recall:.4f}  {harmonic:.4f}{tail}")


def f1(links, true, at):
    said = {pair for pair, probability in links.items() if probability >= at}
    right = len(said & true)
    precision = right / len(said) if said else 0.0
    recall = right / len(true) if true else 0.0
    return precision, recall, 2 * right / (len(said) + len(true)) if said or true else 0.0


def best_f1(links, true):
    """The highest F1 over all thresholds, and where."""
    best, right = (0.0, 1.0), 0
    ordered = sorted(links.items(), key=lambda link: (-link[1], link[0]))
    for said, (pair, probability) in enumerate(ordered, 1):
        right += pair in true
        tied = said < len(ordered) and ordered[said][1] == probability
        if not tied:
            best = max(best, (2 * right / (said + len(true)), probability))
    return best


def calibration_error(links, true):
    bins = [[0, 0.0, 0] for _ in range(BINS)]
    for pair, probability in links.items():
        if probability >= LOWEST:
            here = bins[min(int(probability * BINS), BINS - 1)]
            here[0] += 1
            here[1] += probability
            here[2] += pair in true
    pairs = sum(count for count, _, _ in bins)
    return sum(abs(said - right) for _, said, right in bins) / pairs if pairs else 0.0


def show_errors(folder, links, most):
    true = true_pairs(folder)
    texts = []
    for side in "AB":
        with open(folder / f"{side}.csv", newline="", encoding="utf-8") as file:
            texts.append({row["id"]: row.get("name") or row.get("title") for row in csv.DictReader(file)})
    missed = sorted((links.get(pair, 0.0), pair) for pair in true if links.get(pair, 0.0) < 0.5)[:most]
    wrong = sorted(((p, pair) for pair, p in links.items() if p >= 0.5 and pair not in true), reverse=True)[:most]
    for what, pairs in (("missed", missed), ("wrong", wrong)):
        for probability, (a, b) in pairs:
            print(f"  {what} {probability:.2f}  {a}: {texts[0].get(a)}\n               {b}: {texts[1].get(b)}")


if __name__ == "__main__":
    sys.exit(main())
