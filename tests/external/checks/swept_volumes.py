"""Swept volumes against figures printed by others.

Bore and stroke in, displacement out, as it stands on the page. Printed figures are rounded or cut to their last digit,
so one unit of that digit is allowed.
"""

CUBIC_INCH = 16.387064
INCH = 25.4

# Bore mm, stroke mm, cylinders, printed cm3, one unit of its last digit, where it is printed.
METRIC = [
    (68.0, 45.0, 1, 163.0, 1.0, "a mower engine's manual, 68.0 x 45.0 mm, 163 cm3"),
    (68.0, 54.0, 1, 196.0, 1.0, "a water pump's specification sheet, 68 x 54 mm, 196 cm3"),
    (77.0, 58.0, 1, 270.0, 1.0, "an engine manual, 77.0 x 58.0 mm, 270 cm3"),
    (88.0, 64.0, 1, 389.0, 1.0, "an engine specification sheet, 88 x 64 mm, 389 cm3"),
    (68.0, 66.0, 2, 480.0, 1.0, "an operator's manual of a twin, 68 x 66 mm, 480 cm3"),
    (72.0, 70.0, 2, 570.0, 1.0, "an operator's manual of a twin, 72 x 70 mm, 570 cm3"),
    (78.0, 72.0, 2, 688.0, 1.0, "a catalogue page of a twin, 78 x 72 mm, 688 cm3"),
]

# Bore inch, stroke inch, printed in3, in one maker's table of single-cylinder engines (some figures cut, not rounded).
INCHES = [
    (2.375, 2.000, 8.86),
    (2.938, 2.750, 18.64),
    (3.375, 3.250, 29.07),
    (3.500, 3.250, 31.27),
    (3.750, 3.250, 35.90),
    (2.938, 2.500, 16.94),
    (3.251, 2.875, 23.85),
]

# Printed in cubic inches beside the cm3 of the same engine, in the same engine manual.
CUBIC_INCHES = [(77.0, 58.0, 16.5, 0.1), (88.0, 64.0, 23.7, 0.1)]

# Engine size code: displacement it is sold as on a page that prints bore and stroke as well.
CODES = [("168F", 163.0), ("168F", 196.0), ("177F", 270.0), ("188F", 389.0)]


def printed_figures(context, check):
    """Swept volumes: manuals and specification sheets"""
    requests = [volume(bore, stroke, cylinders) for bore, stroke, cylinders, *_ in METRIC]
    requests += [volume(bore * INCH, stroke * INCH, 1) for bore, stroke, _ in INCHES]
    requests += [volume(bore, stroke, 1) for bore, stroke, *_ in CUBIC_INCHES]
    answers = iter(context.facts.ask(requests))
    for (_, _, _, printed, digit, source), answer in zip(METRIC, answers):
        check.near(source, answer["cc"], printed, digit)
    for (bore, stroke, printed), answer in zip(INCHES, answers):
        # A cut figure may lie a full digit below.
        check.near(f"{bore} x {stroke} inch", answer["cc"] / CUBIC_INCH, printed, 0.016)
    for (bore, stroke, printed, digit), answer in zip(CUBIC_INCHES, answers):
        check.near(f"{bore} x {stroke} mm in cubic inches", answer["cc"] / CUBIC_INCH, printed, digit)


def size_codes(context, check):
    """Usual volumes of size codes: pages that print bore, stroke and displacement"""
    answers = context.facts.ask({"fact": "usual_volumes", "stem": stem} for stem, _ in CODES)
    for (stem, printed), answer in zip(CODES, answers):
        nearest = min((build["cc"] for build in answer["builds"]), key=lambda cc: abs(cc - printed))
        check.near(f"{stem} sold as {printed:g} cc", nearest, printed, 1.0)


def volume(bore_mm, stroke_mm, cylinders):
    return {"fact": "swept_volume", "bore_mm": bore_mm, "stroke_mm": stroke_mm, "cylinders": cylinders}


CHECKS = [printed_figures, size_codes]
