"""GTIN check digits and validity against PyPI python-stdnum 2.2, on generated numbers."""

import random

from stdnum import ean

LENGTHS = (8, 12, 13, 14)
NUMBERS_PER_LENGTH = 1500
# GS1 General Specifications, section 7.9, and the worked values python-stdnum agrees with.
WORKED = {"629104150021": "3", "400638133393": "1", "7351353": "7", "01234567890": "5", "1001234567890": "2"}


def check_digits(context, check):
    """GTIN check digits: PyPI python-stdnum 2.2"""
    rng = random.Random(1)
    bodies = list(WORKED)
    for length in LENGTHS:
        bodies += [digits(rng, length - 1) for _ in range(NUMBERS_PER_LENGTH)]
    answers = context.facts.ask({"fact": "check_digit", "text": body} for body in bodies)
    for body, answer in zip(bodies, answers):
        check.equal(body, answer["digit"], ean.calc_check_digit(body))
        if body in WORKED:
            check.equal(f"{body}, worked value", answer["digit"], WORKED[body])


def validity(context, check):
    """GTIN validity, sound and spoilt: PyPI python-stdnum 2.2"""
    rng = random.Random(2)
    numbers = []
    for length in LENGTHS:
        for _ in range(NUMBERS_PER_LENGTH):
            body = digits(rng, length - 1)
            # A leading zero is another (shorter) number written long; samefit may say more about it than yes or no.
            body = str(rng.randint(1, 9)) + body[1:]
            sound = body + ean.calc_check_digit(body)
            numbers.append(sound)
            numbers.append(spoilt(rng, sound))
    answers = context.facts.ask({"fact": "gtin", "text": number} for number in numbers)
    other = 0
    for number, answer in zip(numbers, answers):
        if answer["reading"] in ("in-store", "dummy"):
            other += 1  # read as something else before its check digit is looked at
            continue
        expected = "sound" if ean.is_valid(number) else "bad-check-digit"
        check.equal(number, answer["reading"], expected)
        if answer["reading"] == "sound":
            check.equal(f"{number} in fourteen digits", answer["gtin"], number.zfill(14))
    check.note(f"{other} of {len(numbers)} are in-store or dummy numbers to samefit")
    check.equal("most numbers are compared", other < len(numbers) / 4, True)


def lost_zeros(context, check):
    """Twelve-digit numbers that lost their first zero are put back: PyPI python-stdnum 2.2"""
    rng = random.Random(3)
    for number, answer in restored(context, rng, 500):
        check.equal(number, answer["reading"], "restored")
        check.equal(f"{number} is sound with its zero", ean.is_valid("0" + number), True)
        check.equal(f"{number} put back", answer["gtin"], number.zfill(14))


def restored(context, rng, count):
    numbers = []
    for _ in range(count):
        body = "0" + str(rng.randint(1, 9)) + digits(rng, 9)
        numbers.append((body + ean.calc_check_digit(body))[1:])
    return zip(numbers, context.facts.ask({"fact": "gtin", "text": number} for number in numbers))


def digits(rng, count):
    return "".join(rng.choice("0123456789") for _ in range(count))


def spoilt(rng, number):
    """One digit changed, or two neighbours swapped (which the check digit does not always catch)."""
    place = rng.randrange(1, len(number) - 1)
    if rng.random() < 0.5:
        other = rng.choice([digit for digit in "0123456789" if digit != number[place]])
        return number[:place] + other + number[place + 1 :]
    return number[:place] + number[place + 1] + number[place] + number[place + 2 :]


CHECKS = [check_digits, validity, lost_zeros]
