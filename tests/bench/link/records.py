"""Clean records of a trade in invented parts, with the product that each truly is; the same seed gives the same bytes.

    python3 tests/bench/link/records.py --records 1000000 --out DIR

For programs that link records and read no lists: one encoding, one column per attribute, nothing damaged. A product is
offered by one to seven of 40 suppliers. Makers sell series of up to three sisters, which differ by number, barcode,
size and price and share brand, series and most words. An offer shows the part number or the barcode or both or neither,
drops a word, and now and then has a slip in its number or title.

DIR/records.csv holds all of them for the linkers; DIR/lists one list per supplier, the same cells under plain headings,
for `samefit build --kind generic`; DIR/truth.csv says id, supplier, sku, product. Memory does not grow with their number.
"""

import argparse
import csv
import pathlib
import random

SUPPLIERS = 40
SEED = 5
COLUMNS = ["sku", "brand", "mpn", "gtin", "title", "price"]
THINGS = ("recoil starter", "pull starter assembly", "fan shroud", "blower housing", "starter with shroud", "fan cover")
COLOURS = ("black", "red", "blue", "white", "yellow", "grey", "orange", "green")
EXTRAS = ("with cup", "steel pawls", "heavy duty", "complete", "new", "spare part", "with rope", "aftermarket")
STARTS = ("Bal", "Cor", "Dra", "Fen", "Gri", "Hul", "Jar", "Kel", "Lan", "Mis", "Nov", "Ost", "Pel", "Riv", "Tav", "Var")
ENDS = ("bolek", "dovan", "fumor", "gunta", "hausel", "kunor", "lettra", "mirov", "nelor", "pindal", "sola", "tikor", "zeltor")
BRANDS = [start + end for start in STARTS for end in ENDS]


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0], allow_abbrev=False)
    parser.add_argument("--records", type=int, default=100_000)
    parser.add_argument("--out", type=pathlib.Path, required=True)
    options = parser.parse_args()
    write(options.records, options.out)


def write(count, out):
    """Writes so many records; hands back how many pairs of them are of one product."""
    (out / "lists").mkdir(parents=True, exist_ok=True)
    files = [open(out / f"lists/supplier-{at:02}.csv", "w", newline="", encoding="utf-8") for at in range(SUPPLIERS)]
    lists = [csv.writer(file) for file in files]
    for one in lists:
        one.writerow(["Article No", "Brand", "Part Number", "EAN", "Title", "Price EUR"])
    written = pairs = 0
    with (
        open(out / "records.csv", "w", newline="", encoding="utf-8") as records,
        open(out / "truth.csv", "w", newline="", encoding="utf-8") as truth,
    ):
        records, truth = csv.writer(records), csv.writer(truth)
        records.writerow(["id", "supplier", *COLUMNS])
        truth.writerow(["id", "supplier", "sku", "product"])
        for serial, offers in enumerate(products(random.Random(SEED))):
            offers = offers[: count - written]
            pairs += len(offers) * (len(offers) - 1) // 2
            for supplier, cells in offers:
                written += 1
                sku = f"S{written * 7919 % 10_000_019:08}"
                lists[supplier].writerow([sku, *cells])
                records.writerow([written, f"supplier-{supplier:02}", sku, *cells])
                truth.writerow([written, f"supplier-{supplier:02}", sku, serial])
            if written == count:
                break
    for file in files:
        file.close()
    return pairs


def products(draw):
    """Without end: the offers of one product after another, as (supplier, cells beside the sku)."""
    serial = 0
    while True:
        brand = BRANDS[int(draw.random() * len(BRANDS))]
        series = f"{brand[:2].upper()}{draw.randrange(100, 10_000)}"
        thing = THINGS[int(draw.random() * len(THINGS))]
        extra = EXTRAS[int(draw.random() * len(EXTRAS))]
        for sister in range(1 + int(draw.random() * 2.5)):
            serial += 1
            number = f"{brand[:3].upper()}-{draw.randrange(10_000, 1_000_000)}-{sister}"
            barcode = with_check_digit(f"952{serial:09}")
            words = [thing, series, f"{draw.randrange(80, 460)}cc", COLOURS[int(draw.random() * len(COLOURS))], extra]
            price = draw.lognormvariate(2.7, 0.5)
            yield offers(draw, brand, number, barcode, words, price)


def offers(draw, brand, number, barcode, words, price):
    made = []
    for supplier in draw.sample(range(SUPPLIERS), 1 + int(draw.random() * 7)):
        shown = list(words)
        if draw.random() < 0.3:
            del shown[2 + int(draw.random() * 3)]
        title = " ".join(shown)
        cells = [
            brand if draw.random() < 0.9 else "",
            slipped(draw, number, 0.03) if draw.random() < 0.7 else "",
            barcode if draw.random() < 0.6 else "",
            slipped(draw, title, 0.1),
            f"{price * draw.uniform(0.85, 1.2):.2f}",
        ]
        made.append((supplier, cells))
    return made


def slipped(draw, text, chance):
    """The text, now and then with two neighbours changed over."""
    if draw.random() >= chance:
        return text
    at = 1 + int(draw.random() * (len(text) - 2))
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def with_check_digit(digits):
    """GS1 General Specifications: weights 3 and 1 from the right, the sum brought to a multiple of ten."""
    total = sum(int(digit) * weight for digit, weight in zip(reversed(digits), (3, 1) * 7))
    return digits + str(-total % 10)


if __name__ == "__main__":
    main()
