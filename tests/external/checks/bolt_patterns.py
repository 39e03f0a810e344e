"""Spacing geometry against worked values, independent formulas, and a brute-force simulation of bolting up.

The simulation knows no rule: two plates with holes, screws as discs, and a search over every way to lay one plate on
the other. It is what the fixed- and floating-fastener rule of ASME Y14.5 (Appendix B) is held against.
"""

import math

import numpy

# Holes, circle, distance of neighbouring holes: s = D sin(pi/n), to three places.
CHORDS = [
    (3, 100.0, 86.603),
    (3, 118.0, 102.191),
    (3, 140.0, 121.244),
    (4, 100.0, 70.711),
    (4, 118.0, 83.439),
    (4, 140.0, 98.995),
    (5, 100.0, 58.779),
    (5, 118.0, 69.359),
    (5, 140.0, 82.290),
    (6, 100.0, 50.000),
    (6, 118.0, 59.000),
    (6, 140.0, 70.000),
]
RECTANGLES = [(60.0, 80.0, 100.0), (70.0, 52.0, 87.201)]

# Hole minus screw for close, normal and loose holes: clearance holes of ISO 273 less the thread's diameter.
PLAY = {"M5": (0.3, 0.5, 0.8), "M6": (0.4, 0.6, 1.0), "M8": (0.4, 1.0, 2.0)}
SERIES = ("close", "normal", "loose")


def worked_values(context, check):
    """Chord, circle, triangle, rectangle: worked values and independent formulas"""
    ask = context.facts.ask
    chords = ask({"fact": "chord_from_circle", "holes": n, "circle_mm": d} for n, d, _ in CHORDS)
    circles = ask({"fact": "circle_from_chord", "holes": n, "chord_mm": s} for n, _, s in CHORDS)
    for (n, circle, chord), out, back in zip(CHORDS, chords, circles):
        check.near(f"chord of {n} holes on {circle}", out["mm"], chord, 0.0006)
        check.near(f"circle of {n} holes {chord} apart", back["mm"], circle, 0.0012)
        # The chord found the other way: distance of two points on the circle.
        points = ring(n, circle)
        check.near(f"chord of {n} holes, by points", out["mm"], float(numpy.hypot(*(points[1] - points[0]))), 1e-9)
    triangle = context.facts.one({"fact": "circle_from_triangle", "a_mm": 90.0, "b_mm": 100.0, "c_mm": 110.0})
    check.near("circle through a triangle 90/100/110", triangle["mm"], 116.673, 0.0006)
    for place, sides in enumerate(triangles()):
        answer = context.facts.one({"fact": "circle_from_triangle", **dict(zip(("a_mm", "b_mm", "c_mm"), sides[:3]))})
        check.near(f"circle through random triangle {place}", answer["mm"], sides[3], 1e-6 * sides[3])
    diagonals = ask({"fact": "rectangle_diagonal", "a_mm": a, "b_mm": b} for a, b, _ in RECTANGLES)
    for (a, b, diagonal), answer in zip(RECTANGLES, diagonals):
        check.near(f"diagonal of {a} x {b}", answer["mm"], diagonal, 0.0006)


def position_limits(context, check):
    """Allowed difference of circles, fixed and floating: ISO 273 holes, ASME Y14.5 rule"""
    cases = [(thread, series, play) for thread, plays in PLAY.items() for series, play in zip(SERIES, plays)]
    for joint, factor in (("fixed", 1.0), ("floating", 2.0)):
        answers = context.facts.ask(limit(joint, thread, series) for thread, series, _ in cases)
        for (thread, series, play), answer in zip(cases, answers):
            check.near(f"{thread} {series} {joint}", answer["mm"], factor * play, 1e-9)


def simulated_bolting(context, check):
    """Do two bolt circles go together: brute-force simulation of bolting"""
    rng = numpy.random.default_rng(8)
    cases = [
        # Three holes, thread circle 118, M6 in 6.6: 118.4 fits, 118.8 does not.
        (3, "M6", "normal", "fixed", 118.0, 118.4),
        (3, "M6", "normal", "fixed", 118.0, 118.8),
    ]
    for _ in range(300):
        thread, series, joint = rng.choice(list(PLAY)), rng.choice(SERIES), rng.choice(("fixed", "floating"))
        allowed = PLAY[thread][SERIES.index(series)] * (2.0 if joint == "floating" else 1.0)
        ratio = rng.choice((rng.uniform(0.0, 0.95), rng.uniform(1.05, 2.5)))
        circle = float(numpy.round(rng.uniform(60.0, 180.0), 1))
        other = circle + float(rng.choice((-1.0, 1.0))) * ratio * allowed
        cases.append((int(rng.integers(2, 7)), str(thread), str(series), str(joint), circle, other))
    limits = context.facts.ask(limit(joint, thread, series) for _, thread, series, joint, _, _ in cases)
    answers = context.facts.ask(
        {"fact": "compare_circles", "a": [a, a], "b": [b, b], "limit_mm": allowed["mm"]}
        for (_, _, _, _, a, b), allowed in zip(cases, limits)
    )
    fitting = 0
    for (holes, thread, series, joint, a, b), answer in zip(cases, answers):
        play = PLAY[thread][SERIES.index(series)]
        bolts = bolts_up(rng, ring(holes, a), ring(holes, b), play / 2 if joint == "fixed" else play)
        fitting += bolts
        what = f"{holes} x {thread} {series} {joint}, circles {a:.3f} and {b:.3f}"
        check.equal(what, answer["agreement"], "fit" if bolts else "no-fit")
    check.note(f"{fitting} of {len(cases)} simulated pairs bolt up")


def simulated_chords(context, check):
    """Do two hole distances go together, taken as chords: brute-force simulation of bolting"""
    rng = numpy.random.default_rng(9)
    for _ in range(100):
        holes = int(rng.integers(3, 7))
        thread = str(rng.choice(list(PLAY)))
        series = str(rng.choice(SERIES))
        play = PLAY[thread][SERIES.index(series)]
        chord = float(numpy.round(rng.uniform(50.0, 140.0), 1))
        # Chords may differ by play x sin(pi/n): stay clear of the edge itself.
        ratio = rng.choice((rng.uniform(0.0, 0.95), rng.uniform(1.05, 2.0)))
        other = chord + ratio * play * math.sin(math.pi / holes)
        first, second, allowed = context.facts.ask(
            [
                {"fact": "circle_from_chord", "holes": holes, "chord_mm": chord},
                {"fact": "circle_from_chord", "holes": holes, "chord_mm": other},
                limit("fixed", thread, series),
            ]
        )
        answer = context.facts.one(
            {
                "fact": "compare_circles",
                "a": [first["mm"], first["mm"]],
                "b": [second["mm"], second["mm"]],
                "limit_mm": allowed["mm"],
            }
        )
        bolts = bolts_up(rng, polygon(holes, chord), polygon(holes, other), play / 2)
        check.equal(f"{holes} x {thread} {series}, {chord:.3f} and {other:.3f} apart", answer["agreement"], "fit" if bolts else "no-fit")


def bolts_up(rng, fixed, moving, reach):
    """Can the second plate be laid so that every screw passes? `reach` is how far two centres may be apart.

    The second plate starts anywhere and turned anyhow (less than half a hole division, so that each hole keeps its
    partner); poses on a grid around the best one so far are tried, the grid shrinking.
    """
    angle = rng.uniform(-0.1, 0.1)
    moving = turned(moving, angle) + rng.uniform(-2.0, 2.0, 2)
    centre = numpy.zeros(3)
    width = numpy.array([3.0, 3.0, 0.2])
    steps = numpy.linspace(-1.0, 1.0, 7)
    grid = numpy.stack(numpy.meshgrid(steps, steps, steps, indexing="ij"), -1).reshape(-1, 3)
    best = math.inf
    for _ in range(30):
        poses = centre + grid * width
        cosine, sine = numpy.cos(poses[:, 2, None]), numpy.sin(poses[:, 2, None])
        x = cosine * moving[:, 0] - sine * moving[:, 1] + poses[:, 0, None]
        y = sine * moving[:, 0] + cosine * moving[:, 1] + poses[:, 1, None]
        worst = numpy.hypot(x - fixed[:, 0], y - fixed[:, 1]).max(axis=1)
        place = int(worst.argmin())
        if worst[place] <= best:
            best = float(worst[place])
            centre = poses[place]
        width *= 0.7
    return best <= reach


def ring(holes, circle):
    angles = 2.0 * math.pi * numpy.arange(holes) / holes
    return circle / 2.0 * numpy.stack([numpy.cos(angles), numpy.sin(angles)], axis=1)


def polygon(holes, side):
    """Holes laid out one after the other, each a side from the last, turning alike: no circle is computed."""
    points = [numpy.zeros(2)]
    for step in range(holes - 1):
        heading = 2.0 * math.pi * step / holes
        points.append(points[-1] + side * numpy.array([math.cos(heading), math.sin(heading)]))
    points = numpy.array(points)
    return points - points.mean(axis=0)


def turned(points, angle):
    cosine, sine = math.cos(angle), math.sin(angle)
    return points @ numpy.array([[cosine, sine], [-sine, cosine]])


def triangles():
    """Three points thrown on a known circle: the sides between them, and the circle."""
    rng = numpy.random.default_rng(10)
    for _ in range(50):
        circle = rng.uniform(60.0, 200.0)
        angles = numpy.array([0.0, rng.uniform(1.0, 2.5), rng.uniform(3.2, 5.2)])
        points = circle / 2.0 * numpy.stack([numpy.cos(angles), numpy.sin(angles)], axis=1)
        sides = [float(numpy.hypot(*(points[i] - points[j]))) for i, j in ((0, 1), (1, 2), (2, 0))]
        yield (*sides, float(circle))


def limit(joint, thread, series):
    return {"fact": "position_limit", "joint": joint, "thread": thread, "series": series}


CHECKS = [worked_values, position_limits, simulated_bolting, simulated_chords]
