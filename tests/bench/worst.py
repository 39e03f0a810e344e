"""Lists that are hard by their shape, beside an ordinary one of as many lines: what each costs, and what was capped.

    python3 tests/bench/worst.py [--lines 200000]

Each shape is a folder of 40 lists (`one supplier` has nearly all its lines in one), written as plain CSV. Cost beside
the ordinary lists tells whether it stays flat; the caps are counted in run.json, and so are the pairs that were left.
Nothing is asserted.
"""

import argparse
import csv
import json
import pathlib
import random
import shutil
import sys
import tempfile

import needs
import speed

SUPPLIERS = 40
SEED = 3
HEADINGS = ["Article No", "Part Number", "EAN", "Brand", "Title", "Displacement cc", "Bolt spacing mm", "Price EUR"]
CODES = ("KR", "TB", "LV", "OD", "PQ", "ZM", "HE", "WA")
BRANDS = ("Balbolek", "Cordovan", "Feltikor", "Grinelor", "Hulpindal", "Jarsola", "Lanzeltor", "Ostmirov")
THINGS = ("Recoil starter", "Pull starter", "Fan shroud", "Blower housing", "Recoil starter with fan shroud")
SIZES = (98, 118, 163, 196, 212, 240, 270, 301, 340, 389, 420)


def ordinary(draw, at):
    code = f"{draw.choice(CODES)}{draw.randrange(60, 900)}"
    cc = draw.choice(SIZES)
    title = f"{draw.choice(THINGS)} for {draw.choice(BRANDS)} {code} {cc}cc, {draw.choice((3, 4))} holes"
    number = f"{draw.choice(CODES)}-{at // 4:07}"
    return [f"A{at:08}", number, "", draw.choice(BRANDS), title, cc, draw.randrange(90, 180), price(draw)]


def price(draw):
    return f"{draw.lognormvariate(2.7, 0.5):.2f}"


def equal(_draw, _at):
    return ["A1", "KR-28400", "", "Balbolek", "Recoil starter KR200 196cc, 3 holes", 196, 118, "12.50"]


def one_key(draw, at):
    return [f"A{at:08}", "KR-28400", *ordinary(draw, at)[2:]]


def titles_alike(draw, at):
    return [f"A{at:08}", f"KR-{at:07}", "", "", "Recoil starter", "", "", price(draw)]


def nothing_stated(draw, at):
    return [f"A{at:08}", "", "", "", f"Recoil starter {at}", "", "", ""]


def one_class(draw, at):
    row = ordinary(draw, at)
    return [*row[:4], f"Recoil starter 168F 196cc, 3 holes, {row[4].split()[-4]}", 196, 118, price(draw)]


SHAPES = {
    "ordinary lists": ordinary,
    "one supplier with 95 %": ordinary,
    "every line the same": equal,
    "one number on all lines": one_key,
    "every title alike": titles_alike,
    "nothing stated": nothing_stated,
    "one engine class": one_class,
}


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--lines", type=int, default=200_000)
    parser.add_argument("--samefit", type=pathlib.Path, default=needs.TARGET / "release/samefit")
    options = parser.parse_args()
    if not options.samefit.exists():
        sys.exit(f"{options.samefit} is missing: cargo build --release --locked")
    with tempfile.TemporaryDirectory() as home:
        side_by_side(options.samefit, pathlib.Path(home), options.lines)


def side_by_side(samefit, home, lines):
    print(f"\n{f'hard lists of {lines} lines':<26}{'wall s':>9}{'cpu s':>9}{'peak MiB':>10}{'times':>7}{'pairs':>10}   stopped; products, links")
    first = None
    for name, row in SHAPES.items():
        world = home / "worst"
        write(world / "lists", lines, row, 0.95 if "95" in name else 1 / SUPPLIERS)
        built = speed.run_build(samefit, world)
        counts = json.loads((world / "run/run.json").read_text())["counts"]
        first = first or built
        pairs = counts["pairs_by_number"] + counts["pairs_by_words"]
        print(
            f"{name:<26}{built['wall_s']:>9.2f}{built['cpu_s']:>9.2f}{built['peak_mib']:>10.0f}"
            f"{built['cpu_s'] / first['cpu_s']:>7.2f}{pairs:>10}   {counts['numbers_too_common']} numbers, {counts['words_too_common']} words; "
            f"{counts['products']}, {counts['links']}",
            flush=True,
        )
        shutil.rmtree(world)


def write(folder, lines, row, share_of_first):
    folder.mkdir(parents=True)
    draw = random.Random(SEED)
    files = [open(folder / f"supplier-{at:02}.csv", "w", newline="", encoding="utf-8") for at in range(SUPPLIERS)]
    writers = [csv.writer(file) for file in files]
    for writer in writers:
        writer.writerow(HEADINGS)
    for at in range(lines):
        of = 0 if draw.random() < share_of_first else draw.randrange(1, SUPPLIERS)
        writers[of].writerow(row(draw, at))
    for file in files:
        file.close()


if __name__ == "__main__":
    main()
