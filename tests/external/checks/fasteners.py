"""Threads, heads and clearance holes against PyPI bd_warehouse 0.4.0.

Its clearances are wrong from M12 up (it gives 13/14/15 for M12, ISO 273 has 13/13.5/14.5) and its M9 is not in ISO 273,
so M3 to M10 and the inch rows are compared. It writes din1662 and din1665 for EN 1662 and EN 1665.
"""

import csv
from fractions import Fraction
from pathlib import Path

METRIC = {"M3", "M4", "M5", "M6", "M7", "M8", "M10"}
INCH_MM = 25.4

# Diameter with its pitch in mm or its threads per inch: what these engines are screwed together with.
NEEDED = [
    ("M5", 0.8),
    ("M6", 1.0),
    ("M8", 1.25),
    ("M8", 1.0),
    ("M10", 1.5),
    ("M10", 1.25),
    ("1/4", 20.0),
    ("1/4", 28.0),
    ("5/16", 18.0),
    ("5/16", 24.0),
    ("3/8", 16.0),
    ("3/8", 24.0),
]

# Head standard as `facts` names it: file and column of the reference.
HEADS = {
    "ISO 4014": ("hex_head_parameters.csv", "iso4014:s"),
    "ISO 4017": ("hex_head_parameters.csv", "iso4017:s"),
    "ISO 4032": ("hex_nut_parameters.csv", "iso4032:s"),
    "DIN 931": ("hex_head_parameters.csv", "din931:s"),
    "EN 1662": ("hex_head_with_flange_parameters.csv", "din1662:s"),
    "EN 1665": ("hex_head_with_flange_parameters.csv", "din1665:s"),
}


def thread_table(context, check):
    """Threads M3-M10 and inch: bd_warehouse 0.4.0 tap_hole_sizes"""
    listed = {size for row in rows(context, "tap_hole_sizes.csv") if (size := sizes(row["Size"]))}
    ours = threads(context)
    for thread in ours:
        if thread["inch"]:
            check.equal(thread["name"], (thread["diameter"], thread["tpi"]) in listed, True)
            inches = float(Fraction(thread["diameter"]))
            check.near(f"{thread['name']} pitch", thread["pitch_mm"], INCH_MM / thread["tpi"], 1e-9)
            check.near(f"{thread['name']} diameter", thread["diameter_mm"], inches * INCH_MM, 1e-9)
        elif thread["diameter"] in METRIC:
            key = (thread["diameter"], thread["pitch_mm"])
            if key in listed:
                check.equal(thread["name"], True, True)
            elif thread["coarse"]:
                check.differ(f"{thread['name']}: a coarse thread the reference does not list")
            else:
                check.note(f"{thread['name']} is not in the reference")
    have = {(thread["diameter"], thread["tpi"] or thread["pitch_mm"]) for thread in ours}
    for needed in NEEDED:
        check.equal(f"{needed} is in samefit's table", needed in have, True)


def head_widths(context, check):
    """Widths across flats M3-M10: bd_warehouse 0.4.0 hexagon and flange heads and nuts"""
    widths = {}
    for standard, (file, column) in HEADS.items():
        for row in rows(context, file):
            size = sizes(row["Size"])
            if size and row[column] and size[0] in METRIC:
                widths[standard, size[0]] = float(row[column])
    seen = set()
    for thread in threads(context):
        if not thread["coarse"] or thread["inch"]:
            continue
        for head in thread["heads"]:
            for standard in HEADS:
                expected = widths.get((standard, thread["diameter"]))
                if expected is not None and standard in head["standards"]:
                    check.near(f"{standard} {thread['diameter']}", head["width_mm"], expected, 1e-9)
                    seen.add(standard)
    check.equal("head standards compared", sorted(seen), sorted(HEADS))


def threads_of_a_head(context, check):
    """Threads that a metric width across flats may mean: inverted bd_warehouse 0.4.0"""
    inverted = {}
    for file, column in HEADS.values():
        for row in rows(context, file):
            size = sizes(row["Size"])
            if size and row[column] and size[0] in METRIC:
                inverted.setdefault(float(row[column]), set()).add(size[0])
    widths = sorted(inverted)
    answers = context.facts.ask({"fact": "threads_for_head", "width_mm": width} for width in widths)
    for width, answer in zip(widths, answers):
        ours = {name.split("x")[0] for name in answer["threads"]}
        missing = inverted[width] - ours
        check.equal(f"{width:g} mm head, threads samefit leaves out", sorted(missing), [])


def clearance_holes(context, check):
    """Clearance holes M3-M10 and inch: bd_warehouse 0.4.0 clearance_hole_sizes"""
    table = {row["Size"]: row for row in rows(context, "clearance_hole_sizes.csv")}
    for thread in threads(context):
        row = table.get(thread["diameter"])
        if row is None or not (thread["inch"] or thread["diameter"] in METRIC):
            continue
        for series in ("Close", "Normal", "Loose"):
            expected = float(Fraction(row[series])) * (INCH_MM if thread["inch"] else 1.0)
            check.near(f"{thread['name']} {series}", thread["clearance"][series.lower()], expected, 1e-9)


def threads_of_a_hole(context, check):
    """Thread that a metric clearance hole is drilled for: inverted bd_warehouse 0.4.0 clearance_hole_sizes"""
    # M7 is hardly used; samefit leaves it out of holes, so that 8 mm reads as M8 drilled tight.
    table = {row["Size"]: row for row in rows(context, "clearance_hole_sizes.csv") if row["Size"] in METRIC - {"M7"}}
    holes = [(size, float(row[series])) for size, row in table.items() for series in ("Close", "Normal", "Loose")]
    answers = context.facts.ask({"fact": "threads_for_hole", "hole_mm": hole} for _, hole in holes)
    for (size, hole), answer in zip(holes, answers):
        check.equal(f"{hole:g} mm hole may be for {size}", size in answer["threads"], True)
        # A screw that does not pass is no reading of a clearance hole.
        too_thick = [name for name in answer["threads"] if float(name[1:]) >= hole]
        check.equal(f"{hole:g} mm hole, threads that do not pass", too_thick, [])


def threads(context):
    """samefit's thread table, with the diameter's own name split off: M8x1 -> M8, 1/4-20 -> 1/4."""
    table = context.facts.one({"fact": "threads"})["threads"]
    for thread in table:
        thread["inch"] = thread["tpi"] is not None
        thread["diameter"] = thread["name"].split("-")[0].split("x")[0]
        thread["coarse"] = "x" not in thread["name"]
    return table


def rows(context, file):
    path = Path(context.fastener_tables) / "bd_warehouse" / "data" / file
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def sizes(text):
    """'M6-1' -> ('M6', 1.0); '1/4-20' -> ('1/4', 20.0); numbered sizes -> None."""
    name, _, pitch = text.rpartition("-")
    if not name or name.startswith("#"):
        return None
    return (name, float(pitch))


CHECKS = [thread_table, head_widths, threads_of_a_head, clearance_holes, threads_of_a_hole]
