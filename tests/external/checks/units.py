"""Unit factors against PyPI pint 0.25.3 and Debian's `units`. Both know the exact definitions; pint rounds on the way."""

import shutil
import subprocess

import pint

from .harness import Skip

# Quantity and samefit's base unit; word in a list; the same for pint; the same for `units`.
WORDS = [
    ("length", "mm", "mm", "millimeter", "mm"),
    ("length", "mm", "cm", "centimeter", "cm"),
    ("length", "mm", "in", "inch", "inch"),
    ("length", "mm", "inch", "inch", "inch"),
    ("length", "mm", '"', "inch", "inch"),
    ("volume", "cm3", "cc", "cc", "cc"),
    ("volume", "cm3", "ccm", "centimeter ** 3", "cm^3"),
    ("volume", "cm3", "cm3", "centimeter ** 3", "cm^3"),
    ("volume", "cm3", "ml", "milliliter", "ml"),
    ("volume", "cm3", "l", "liter", "liter"),
    ("volume", "cm3", "cu in", "inch ** 3", "inch^3"),
    ("power", "kW", "kw", "kilowatt", "kW"),
    ("power", "kW", "w", "watt", "W"),
    ("power", "kW", "hp", "horsepower", "hp"),
    ("power", "kW", "ps", "metric_horsepower", "metrichorsepower"),
    ("power", "kW", "cv", "metric_horsepower", "metrichorsepower"),
    ("mass", "g", "g", "gram", "g"),
    ("mass", "g", "kg", "kilogram", "kg"),
    ("mass", "g", "lb", "pound", "lb"),
    ("mass", "g", "oz", "ounce", "oz"),
]
BASE = {"mm": "millimeter", "cm3": "centimeter ** 3", "kW": "kilowatt", "g": "gram"}
BASE_FOR_UNITS = {"mm": "mm", "cm3": "cm^3", "kW": "kW", "g": "g"}


def against_pint(context, check):
    """Unit factors: PyPI pint 0.25.3"""
    registry = pint.UnitRegistry()
    for (_, base, word, theirs, _), factor in zip(WORDS, factors(context)):
        expected = registry.Quantity(1.0, theirs).to(BASE[base]).magnitude
        check.near(f"1 {word} in {base}", factor, expected, 1e-11 * expected)


def against_units(context, check):
    """Unit factors: Debian's units"""
    if not shutil.which("units"):
        raise Skip("the program `units` is not installed (Debian: apt-get install units)")
    for (_, base, word, _, theirs), factor in zip(WORDS, factors(context)):
        command = ["units", "--terse", "--output-format", "%.15g", f"1 {theirs}", BASE_FOR_UNITS[base]]
        expected = float(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
        check.near(f"1 {word} in {base}", factor, expected, 1e-12 * expected)


def factors(context):
    requests = [{"fact": "unit", "quantity": quantity, "word": word} for quantity, _, word, _, _ in WORDS]
    return [answer["factor"] for answer in context.facts.ask(requests)]


CHECKS = [against_pint, against_units]
