"""Checks a written world against its truth and prints what is in it.

    python3 tests/bench/world/check_world.py LISTS TRUTH

Reads every list with a slow, plain reader of its own (record by record) and
asserts that the truth has exactly one row per record, at the line where the
record starts, and nothing else. Prints per list the counts by scope, and over
all the share of lines that show an identifier or state enough, offers per
product and the sizes of the fit groups.
"""

import argparse
import collections
import gzip
import pathlib
import sys
import xml.etree.ElementTree as tree
import zipfile

SHEET = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def main():
    parser = argparse.ArgumentParser(description="Check lists against their truth file and count what is in them.")
    parser.add_argument("lists", type=pathlib.Path)
    parser.add_argument("truth", type=pathlib.Path)
    options = parser.parse_args()
    truth = collections.defaultdict(dict)
    with open(options.truth, encoding="utf-8") as rows:
        header = next(rows).rstrip("\n").split(",")
        for text in rows:
            row = dict(zip(header, text.rstrip("\n").split(",")))
            line = int(row["line"])
            assert line not in truth[row["file"]], f"two rows for {row['file']}:{line}"
            truth[row["file"]][line] = row
    failures = 0
    print(f"{'list':44}{'records':>8}{'offer':>7}{'aside':>7}{'reject':>7}{'layout':>7}{'shows id':>9}{'enough':>8}")
    for name in sorted(truth):
        failures += check(options.lists, name, truth[name])
    on_disk = {path.name for path in options.lists.iterdir() if path.is_file()}
    missing = on_disk - {name.split("#")[0] for name in truth}
    if missing:
        print(f"no truth for {sorted(missing)}")
    summary([row for rows in truth.values() for row in rows.values()])
    sys.exit(1 if failures or missing else 0)


def check(folder, name, rows):
    """Compares one list with its truth rows; returns the number of differences."""
    starts = sheet_rows(folder, name) if "#" in name else record_starts(folder / name, rows)
    count = collections.Counter(row["scope"] for row in rows.values())
    offers = [row for row in rows.values() if row["scope"] == "offer"]
    shows = share(offers, "shows_identifier")
    enough = share(offers, "states_enough")
    print(f"{name:44}{len(rows):8}{count['offer']:7}{count['set-aside']:7}{count['reject']:7}{count['layout']:7}{shows:9.2f}{enough:8.2f}")
    wrong = sorted(set(starts) ^ set(rows))
    if wrong:
        print(f"  truth and file differ at lines {wrong[:10]}")
    return len(wrong)


def share(rows, column):
    """Share of rows with yes in a column."""
    return sum(row[column] == "yes" for row in rows) / max(1, len(rows))


def record_starts(path, rows):
    """Physical lines at which records start; broken lines end where their line ends."""
    data = path.read_bytes()
    if data[:2] == b"\x1f\x8b":
        data = gzip.decompress(data)
    if data[:2] == b"\xff\xfe":
        data = data.decode("utf-16-le").encode("utf-8")
    pieces = data.split(b"\n")
    assert pieces.pop() == b"", f"{path} does not end with a line end"
    starts = []
    inside = False
    for line, piece in enumerate(pieces, 1):
        if not inside:
            starts.append(line)
            if rows.get(line, {}).get("scope") == "reject":
                continue
        if piece.count(b'"') % 2 and rows.get(line, {}).get("scope") != "reject":
            inside = not inside if opens_cell(piece, inside) else inside
    return starts


def opens_cell(piece, inside):
    """An odd quote opens a record over several lines only where a quoted cell may start."""
    return inside or any(mark + b'"' in b"," + piece for mark in (b",", b";", b"\t", b"|"))


def sheet_rows(folder, name):
    """Row numbers of a sheet."""
    file, _ = name.split("#")
    with zipfile.ZipFile(folder / file) as archive, archive.open("xl/worksheets/sheet1.xml") as sheet:
        return [int(row.get("r")) for _, row in tree.iterparse(sheet) if row.tag == f"{SHEET}row"]


def summary(rows):
    """Figures over all lists."""
    offers = [row for row in rows if row["scope"] == "offer"]
    aside = sum(row["scope"] == "set-aside" for row in rows)
    products = collections.Counter(row["product"] for row in offers)
    groups = collections.Counter(row["fit_group"] for row in offers)
    kinds = collections.Counter(row["part_kind"] for row in offers)
    files = collections.Counter((row["product"], row["file"]) for row in offers)
    print(f"\n{len(rows)} records: {len(offers)} offers, {aside} look-alikes ({aside / max(1, aside + len(offers)):.1%} of both)")
    print(f"{len(products)} products, {len(offers) / max(1, len(products)):.2f} offers each; "
          f"{sum(n == 1 for n in products.values())} offered once; {sum(n - 1 for n in files.values())} offers repeat a product within a list")
    print(f"{len(groups)} fit groups; kinds {dict(sorted(kinds.items()))}")
    print(f"largest groups {groups.most_common(3)}")
    print(f"identifier shown {share(offers, 'shows_identifier'):.3f}, states enough {share(offers, 'states_enough'):.3f}")


if __name__ == "__main__":
    main()
