"""Fit sheets printed to PDF by chromium and measured there: PyPI pypdf 7.1.1."""

import math
import tempfile
from pathlib import Path

from pypdf import PdfReader

from .browser import drive, samefit, url
from .report_page import ROOT, rows

MM_PER_POINT = 25.4 / 72
# A printer's line is wider than this.
TOLERANCE_MM = 0.05
ENDS_A_PATH = {b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"n"}


def full_size(context, check):
    """The fit sheet is printed at full size on A4 and Letter: chromium, pypdf 7.1.1"""
    with tempfile.TemporaryDirectory() as folder:
        run = Path(folder) / "demo"
        lists, rates = ROOT / "input-samples/lists", ROOT / "input-samples/exchange-rates.toml"
        samefit(context, "build", lists, "--rates", rates, "--out", run, "--quiet")
        groups = drawn_groups(run)
        sheets = []
        for group in groups:
            page = Path(folder) / f"{group['group_id']}.html"
            samefit(context, "sheet", run, group["group_id"], "--out", page)
            prints = [{"format": size, "path": str(page.with_suffix(f".{size}.pdf"))} for size in ("A4", "Letter")]
            sheets.append({"url": url(page), "name": group["group_id"], "prints": prints})
        drive(context, check, "sheet.mjs", {"sheets": sheets})
        for group, sheet in zip(groups, sheets):
            for printed in sheet["prints"]:
                measure(check, group, printed)


def drawn_groups(run):
    """The group with most offers, those with the smallest and the largest circle, and one of each count of holes."""
    known = [row for row in rows(run / "groups.csv") if row["bolt_circle_mm"] and row["bolt_holes"]]
    circle = lambda row: (float(row["bolt_circle_mm"]), row["group_id"])
    chosen = [max(known, key=lambda row: int(row["offers"])), min(known, key=circle), max(known, key=circle)]
    chosen += [max((row for row in known if row["bolt_holes"] == count), key=circle) for count in sorted({r["bolt_holes"] for r in known})]
    return list({row["group_id"]: row for row in chosen}.values())


def measure(check, group, printed):
    name = f"{group['group_id']} on {printed['format']}"
    pages = PdfReader(printed["path"]).pages
    check.equal(f"{name}: pages", len(pages), 2)
    lines, circles = shapes(pages[0])
    lengths = [math.dist(*line) for line in lines]
    check.near(f"{name}: the bar along", nearest(lengths, 100), 100, TOLERANCE_MM)
    check.near(f"{name}: the bar up", nearest(lengths, 50), 50, TOLERANCE_MM)
    # The bolt circle is the largest; holes are the circles whose centres lie on it.
    diameter = float(group["bolt_circle_mm"])
    check.near(f"{name}: the bolt circle", nearest([d for _, d in circles], diameter), diameter, TOLERANCE_MM)
    centre = min((c for c in circles), key=lambda c: abs(c[1] - diameter))[0]
    holes = [c for c, d in circles if abs(math.dist(c, centre) - diameter / 2) < 0.2 and d < 20]
    chord = diameter * math.sin(math.pi / int(group["bolt_holes"]))
    apart = [math.dist(a, b) for at, a in enumerate(holes) for b in holes[at + 1 :] if math.dist(a, b) > 1]
    check.near(f"{name}: from hole to hole", min(apart, default=None), chord, 2 * TOLERANCE_MM)


def nearest(values, wanted):
    return min(values, key=lambda value: abs(value - wanted), default=None)


def shapes(page):
    """Straight strokes of one line, and round strokes with their centre and diameter; millimetres of paper."""
    lines, circles, path = [], [], []

    def place(matrix, x, y):
        a, b, c, d, e, f = map(float, matrix)
        x, y = float(x), float(y)
        return ((a * x + c * y + e) * MM_PER_POINT, (b * x + d * y + f) * MM_PER_POINT)

    def operator(name, operands, matrix, _text_matrix):
        if name in (b"m", b"l"):
            path.append((name, place(matrix, *operands)))
        elif name == b"c":
            path.append((name, place(matrix, *operands[4:6])))
        elif name in ENDS_A_PATH:
            if name in (b"S", b"s"):
                stroke(path, lines, circles)
            path.clear()

    page.extract_text(visitor_operand_before=operator)
    return lines, circles


def stroke(path, lines, circles):
    ends = [end for _, end in path]
    if [name for name, _ in path] == [b"m", b"l"]:
        lines.append(tuple(ends))
    elif any(name == b"c" for name, _ in path):
        xs, ys = [x for x, _ in ends], [y for _, y in ends]
        circles.append((((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2), max(xs) - min(xs)))


CHECKS = [full_size]
