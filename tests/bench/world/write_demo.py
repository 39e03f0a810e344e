"""Writes the demo scenario: the lists of twelve suppliers, their known answers, rates and a README.

    python3 tests/bench/world/write_demo.py --out input-samples

Seed and size are fixed, so the same files come out on every machine.
"""

import argparse
import pathlib
import sys

import mess
from demo_suppliers import dozen
from draw import Draw
from lines import PLACE, LineWriter
from market import Market
from parts import PartMaker
from tongues import TONGUES
from world import draw_for, fixed_world

SEED = 1904
LINES = 4000
KIND_ORDER = ("recoil-starter", "shroud", "assembly", "aside")

RATES = """# Exchange rates for the demo, invented. One unit of the home currency buys this much.
home = "EUR"
date = 2026-09-01

[rates]
USD = 1.0820
GBP = 0.8615
PLN = 4.3120
CNY = 7.7450
CZK = 25.1400
"""

README = """# The demo scenario

The irrigation co-operative of an invented valley keeps two hundred pumps, tillers, mowers and generators running: many
makes of engine, one workshop. Its parts buyer collects the price lists of twelve suppliers. Everything here is
invented: the co-operative, the suppliers, the makers of engines and parts, all numbers and prices. The lists were
written by `tests/bench/world/write_demo.py` and look the way such lists look.

| list | who | lines |
|---|---|---|
{table}

- `lists/` the lists as they came in, in their natural mess: comma, semicolon, tab and pipe; UTF-8 with and without mark,
  Windows-1252, UTF-16, one packed file and one workbook; headings in seven languages and one code of a host system;
  six currencies; preambles, repeated headings, subtotals, pack prices, look-alikes, a few broken lines.
- `known-answers.csv` what every line truly is, for `samefit grade`: one row per record of every list.
- `decisions.csv` five doubtful cases that the workshop has decided, for `samefit build --decisions`; by hand.
- `exchange-rates.toml` rates of one invented day.

The lists are read by detection, but for `valtornese_dump.txt`: its headings say nothing and its prices have three
decimals, so `schemas/suppliers/valtornese.toml` tells how to read it. `steppenbrook_feed.csv` is the unsound one: about
every eighth of its claims is wrong. `zelenohor-export.csv` and `zaunholt-preisliste-2026-09.csv` mean different distances
by their "Lochabstand" and "Lochkreis", as such lists do.
"""


class Seller:
    """A demo supplier; its lines are gathered first and arranged afterwards."""

    def __init__(self, style, world):
        self.style = style
        self.draw = draw_for(SEED, style.name)
        self.writer = LineWriter(style, world, self.draw)
        self.order = [PLACE[field] for field in style.field_order]
        self.rows = []

    def gather(self, cells, row, tail):
        """Keeps a line until the list is arranged."""
        scope, kind = tail.split(",")[:2]
        section = "aside" if scope == "set-aside" else kind
        self.rows.append((section, cells, self.touched(cells, row), tail))

    def touched(self, cells, row):
        """Long descriptions and markup, where a supplier's system puts them."""
        style, order = self.style, self.style.field_order
        if "description" in order and self.draw.chance(style.multiline):
            remark = self.draw.pick(("Ships from stock.", "Brand new & boxed.", "Please compare with your old part.", "30 day returns."))
            row[order.index("description")] = f"{cells[PLACE['title']]}\n{remark}"
        if style.entities:
            for field in ("title", "description"):
                place = order.index(field)
                row[place] = row[place].replace("&", "&amp;").replace('"', "&quot;").replace(" x ", " &times; ")
        return row

    def again(self, row):
        """The same number a second time at another price: two exports merged."""
        section, cells, shown, tail = row
        shown = list(shown)
        shown[self.style.field_order.index("price")] = self.style.price_text(self.draw.between(6, 40))
        return section, cells, shown, tail

    def arranged(self):
        """The rows in this supplier's order."""
        how = self.style.arranged
        rows = list(self.rows)
        self.draw.shuffle(rows)
        rows += [self.again(row) for row in rows[:self.style.duplicates]]
        if how == "sku":
            rows.sort(key=lambda row: row[1][PLACE["sku"]])
        elif how == "title":
            rows.sort(key=lambda row: row[1][PLACE["title"]])
        elif how == "section":
            rows.sort(key=lambda row: (KIND_ORDER.index(row[0]), row[1][PLACE["title"]]))
        return rows


def main():
    parser = argparse.ArgumentParser(description="Write the demo scenario.")
    parser.add_argument("--out", required=True, help="folder to write into, such as input-samples")
    out = pathlib.Path(parser.parse_args().out)
    (out / "lists").mkdir(parents=True, exist_ok=True)
    world = fixed_world()
    sellers = [Seller(style, world) for style in dozen()]
    maker = PartMaker(SEED, world.classes, LINES)
    market = Market(sellers, Draw(f"{SEED}/offers"))
    gathered = 0
    while gathered < LINES:
        for seller, cells, row, tail in market.hand_out(maker.next()):
            seller.gather(cells, row, tail)
            gathered += 1
    counts = []
    with open(out / "known-answers.csv", "w", encoding="utf-8", newline="") as truth:
        truth.write(mess.TRUTH_HEADER)
        for seller in sellers:
            counts.append(write_list(out / "lists", seller, truth))
    (out / "exchange-rates.toml").write_text(RATES, encoding="utf-8")
    table = "\n".join(f"| `{seller.style.file}` | {seller.style.about} | {count} |" for seller, count in zip(sellers, counts))
    (out / "README.md").write_text(README.format(table=table), encoding="utf-8")
    print(f"{sum(counts)} records in {len(sellers)} lists", file=sys.stderr)


def write_list(folder, seller, truth):
    """One list with its layout lines; returns its number of records."""
    style = seller.style
    listing = mess.ListFile(folder, style.file, style, truth)
    tongue = TONGUES[style.tongue]
    for line in style.preamble:
        if isinstance(line, tuple):
            listing.aligned(*line)
        else:
            listing.text(line, mess.LAYOUT)
    if style.workbook:
        listing.blank()
    listing.header()
    rows = seller.arranged()
    broken = broken_places(seller, len(rows))
    section, in_section = "", 0
    for place, (kind, _, row, tail) in enumerate(rows):
        if style.sections and kind != section:
            subtotal(listing, tongue, section, in_section)
            section, in_section = kind, 0
            listing.aligned("", f"*** {tongue['sections'][kind]} ***")
        in_section += 1
        if place in broken:
            mess.broken_line(listing, row, broken[place])
        else:
            listing.cells(row, tail)
        if style.repeat_header and (place + 1) % style.repeat_header == 0:
            listing.header()
        if style.blank_every and (place + 1) % style.blank_every == 0:
            listing.blank()
    subtotal(listing, tongue, section, in_section)
    mess.closing(listing, len(rows) - len(broken))
    listing.close()
    return listing.records


def subtotal(listing, tongue, section, count):
    """The line that ends a section, where the supplier writes one."""
    if section and listing.style.subtotals:
        listing.aligned("", tongue["total"][0].format(s=tongue["sections"][section]), *[""] * (listing.width - 4), str(count))


def broken_places(seller, rows):
    """Which rows came through broken, and how."""
    places = {}
    for how in seller.style.broken:
        places[seller.draw.below(rows)] = how
    return places


if __name__ == "__main__":
    main()
