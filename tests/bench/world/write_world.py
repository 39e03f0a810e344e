"""Writes a large invented world: suppliers' lists and the truth about every line.

    python3 tests/bench/world/write_world.py --seed 1 --lines 100000 --suppliers 40 --out DIR

DIR/lists holds the lists, DIR/truth.csv one row per record. `--clean` leaves
out every kind of mess (one dialect, English headings, no layout lines, no
damage); wrong and missing claims stay. `--start-tsv` also writes
DIR/start.tsv, the same lines as one flat table with their true product and fit
group, for programs that link clean records and read no lists. Memory does not grow with the number of lines:
products come one by one and each is handed at once to those who sell it.
"""

import argparse
import pathlib
import sys

import grown
import mess
from draw import Draw
from lines import PLACE, LineWriter
from market import Market
from parts import PartMaker
from suppliers import drawn_style
from tongues import TONGUES
from world import World, draw_for

START_FIELDS = ("sku", "mpn", "replaces", "brand", "gtin", "title", "fits", "displacement", "power", "bolt_holes", "spacing",
                "fastener", "price", "currency", "pack_quantity")


def main():
    options = parse()
    out = pathlib.Path(options.out)
    lists = out / "lists"
    lists.mkdir(parents=True, exist_ok=True)
    for stale in lists.glob("supplier-*"):
        stale.unlink()
    world = World(grown.world_classes(options.seed, options.lines))
    styles = make_styles(options)
    start = None
    if options.start_tsv:
        start = open(out / "start.tsv", "w", encoding="utf-8", newline="")
        start.write("\t".join(("supplier",) + START_FIELDS + ("true_product", "true_fit_group")) + "\n")
    with open(out / "truth.csv", "w", encoding="utf-8", newline="") as truth:
        truth.write(mess.TRUTH_HEADER)
        sellers = [Seller(style, world, options.seed, lists, truth) for style in styles]
        fill(sellers, world, options, start)
        for seller in sellers:
            seller.close()
    if start:
        start.close()
    total = sum(seller.listing.records for seller in sellers)
    print(f"{total} records, {len(sellers)} lists, {len(world.classes)} engine classes in {out}", file=sys.stderr)


def parse():
    """The command line."""
    parser = argparse.ArgumentParser(description="Write an invented world of suppliers' lists with the truth beside it.")
    parser.add_argument("--seed", type=int, default=1, help="same seed, same bytes")
    parser.add_argument("--lines", type=int, default=100_000, help="records in all lists together, about")
    parser.add_argument("--suppliers", type=int, default=40)
    parser.add_argument("--out", required=True, help="folder to write into")
    parser.add_argument("--clean", action="store_true", help="no mess in the files; missing and wrong claims stay")
    parser.add_argument("--start-tsv", action="store_true", help="also write all lines as one flat table, start.tsv")
    return parser.parse_args()


def make_styles(options):
    """One drawn style per supplier."""
    share = options.lines / options.suppliers
    styles = []
    for rank in range(options.suppliers):
        draw = Draw(f"{options.seed}/style/{rank}")
        style = drawn_style(draw, rank, share, options.clean)
        style.preamble = preamble(style, rank)
        styles.append(style)
    return styles


def preamble(style, rank):
    """Lines above the header."""
    count = style.preamble if isinstance(style.preamble, int) else 0
    return (f"Supplier {rank:02d} - {TONGUES[style.tongue]['sections']['recoil-starter']}", f"2026-09-{rank % 28 + 1:02d}")[:count]


class Seller:
    """A supplier with its list, its words and its small stock of lines not yet written."""

    def __init__(self, style, world, seed, folder, truth):
        self.style = style
        ending = "tsv" if style.delimiter == "\t" else "txt" if style.delimiter == "|" else "csv"
        if style.workbook:
            ending = "xlsx"
        elif style.compress:
            ending += ".gz"
        self.draw = draw_for(seed, style.name)
        self.writer = LineWriter(style, world, self.draw)
        self.listing = mess.ListFile(folder, f"{style.name}.{ending}", style, truth)
        self.order = [PLACE[field] for field in style.field_order]
        self.held = []
        self.written = 0
        for line in style.preamble:
            self.listing.text(line, mess.LAYOUT)
        self.listing.header()

    def hold(self, cells, tail):
        """Keeps a line back, so that lists are not in the order in which products are made."""
        held = self.held
        held.append((cells, tail))
        if len(held) >= 400:
            self.release()

    def release(self):
        """Writes the lines held back, in a drawn order."""
        self.draw.shuffle(self.held)
        style, listing = self.style, self.listing
        put = listing.cells
        for cells, tail in self.held:
            put(cells, tail)
        self.written += len(self.held)
        self.held.clear()
        if style.repeat_header and self.written % style.repeat_header < 400:
            listing.header()
        if style.blank_every and self.written % style.blank_every < 400:
            listing.blank()

    def close(self):
        """Writes the rest and the footer."""
        self.release()
        mess.closing(self.listing, self.written)
        self.listing.close()


def fill(sellers, world, options, start):
    """Hands products to sellers until the lists hold as many lines as asked for."""
    maker = PartMaker(options.seed, world.classes, options.lines)
    draw = Draw(f"{options.seed}/offers")
    market = Market(sellers, draw)
    written = 0
    target = options.lines - sum(seller.listing.records for seller in sellers)
    while written < target:
        rows = market.hand_out(maker.next())
        written += len(rows)
        for seller, cells, row, tail in rows:
            style = seller.style
            if style.broken_rate and draw.random() < style.broken_rate:
                mess.broken_line(seller.listing, row, draw.pick(style.broken))
                continue
            seller.hold(row, tail)
            if start:
                flat(start, seller, cells, tail)


def flat(start, seller, cells, tail):
    """The line as a row of the flat table, its true product and fit group last."""
    values = "\t".join([cells[PLACE[field]] for field in START_FIELDS])
    _, _, product, group, _ = tail.split(",", 4)
    start.write(f"{seller.style.name}\t{values}\t{product}\t{group}\n")


if __name__ == "__main__":
    main()
