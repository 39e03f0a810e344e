"""Further engine families for larger worlds.

Families grow with the logarithm of the lines: about 20 beside a thousand
lines, about 50 beside a million. A grown class never stands within 2.5 mm of
the bolt circle of another class that has its displacement, its number of
holes and its thread, so that what is written on a line can settle it.
"""

import math

import engines
import names
from draw import Draw

# (family word, cue, volumes a class may start at, volumes per class, holes, threads, circle span in mm)
SHAPES = [
    ("horizontal", "", (98, 118, 149, 172, 205, 224, 262, 300, 358, 402), (3, 3, 3, 4), ("M6",), (96, 178)),
    ("household", "", (140, 158, 179, 187, 223, 252), (3, 4), ("M6",), (104, 150)),
    ("upright", "vertical", (123, 135, 149, 161, 173, 190, 208), (3, 3, 4), ("M6", "M5"), (90, 134)),
    ("v", "twin", (480, 530, 614, 640, 725, 810), (4,), ("M8", "M6"), (168, 214)),
    ("oil", "diesel", (219, 265, 305, 349, 418, 435, 474), (3, 4), ("M8",), (132, 186)),
    ("valve", "side-valve", (127, 148, 190, 230, 290, 344, 390), (4,), ("1/4-20", "5/16-18"), (118, 176)),
    ("handheld", "two-stroke", (22, 25, 31, 38, 45, 49, 56, 65), (4, 2), ("M5", "M4"), (58, 96)),
]


def family_count(lines):
    """How many families a world of so many lines has."""
    return max(20, int(20 + 9.5 * math.log10(max(lines, 1000) / 1000)))


def world_classes(seed, lines):
    """The fixed classes and as many grown families as the lines ask for."""
    draw = Draw(f"{seed}/engines")
    classes = engines.fixed_classes()
    taken = [names.ORIGINATOR, names.COPYIST]
    letters = list(names.SERIES_LETTERS)
    draw.shuffle(letters)
    fixed = 8
    for rank in range(family_count(lines) - fixed):
        shape = SHAPES[rank % len(SHAPES)]
        weight = 7.0 / (1 + rank) ** 0.6
        classes += grown_family(draw, rank, shape, weight, classes, taken, letters)
    return engines.number(classes)


def grown_family(draw, rank, shape, weight, classes, taken, letters):
    """One family: a maker, up to three badges, one to three classes."""
    word, cue, volumes, holes, threads, span = shape
    makers = [names.grown_name(draw, taken) for _ in range(1 + draw.below(4))]
    series = [letters[(rank * 4 + place) % len(letters)] for place in range(len(makers))]
    by_power = [draw.chance(0.3) for _ in makers]
    bare = draw.chance(0.08)  # one letter only: such codes meet those of other makers
    count = 1 + draw.below(3)
    start = draw.below(max(1, len(volumes) - 3 * count + 1))
    made = []
    for place in range(count):
        slice_ = volumes[start + place * 3:start + place * 3 + 1 + draw.below(3)]
        if not slice_:
            break
        rows = []
        for cc in slice_:
            hp = round(cc / 29.5 * 2) / 2 or 1
            named = {}
            for maker, letter, tenths in zip(makers, series, by_power):
                size = int(hp * 10) if tenths else cc
                named[maker] = f"{'R' if bare else letter}{size}"
            rows.append(("", cc + draw.between(-0.4, 0.4), (cc,), hp, named))
        starter = apart(draw, rows, draw.pick(holes), draw.pick(threads), span, classes + made)
        case = engines.Interface(starter.holes, round(starter.circle_mm * 1.4 + draw.between(0, 9), 1),
                                 starter.thread, depth_mm=60 + draw.below(60))
        variant = {}
        if draw.chance(0.4):
            variant["recoil-starter"] = engines.Interface(
                starter.holes, round(starter.circle_mm + draw.pick((-9, -7, 6, 8)), 1),
                starter.thread, starter.pawls, starter.depth_mm + 4)
        size = ("small", "medium", "large")[place] if count > 1 else "single"
        made.append(engines.EngineClass(
            f"{word}-{makers[0].lower()}", size, engines.models(rows, makers), starter, case,
            weight * (0.5 + draw.random()) / count, cue=cue, makers=tuple(makers), variant=variant))
    return made


def apart(draw, rows, holes, thread, span, classes):
    """An interface whose circle is free for these volumes."""
    for _ in range(400):
        circle = round(draw.between(*span) * 2) / 2
        if all(free(circle, rows, holes, thread, other) for other in classes):
            break
    return engines.Interface(holes, circle, thread, 1 + draw.below(2), 28 + draw.below(40))


def free(circle, rows, holes, thread, other):
    """Whether a class leaves the circle free: other volume, holes or thread, or 2.5 mm of room."""
    if other.starter.holes != holes or other.starter.thread != thread:
        return True
    if abs(other.starter.circle_mm - circle) > 2.5:
        return True
    return all(abs(model.cc - row[1]) > 0.03 * row[1] for model in other.models for row in rows)
