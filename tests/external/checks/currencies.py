"""Currency codes and their exponents against PyPI iso4217 1.16.20260101 (the list kept by SIX)."""

from iso4217 import Currency

# The currencies vendors of small-engine parts price in. samefit must know these; of the others it may know any.
NEEDED = {"EUR", "USD", "GBP", "PLN", "CNY", "CZK", "CHF", "SEK", "NOK", "DKK", "HUF", "JPY", "CAD", "AUD", "BHD"}
# Written in lists, and no codes.
NO_CODES = ["RMB", "EURO", "US$", "ABC", "ZZZ", "EU", "EURR", ""]


def exponents(context, check):
    """Currency exponents: PyPI iso4217 1.16.20260101"""
    listed = {currency.code: currency for currency in Currency}
    codes = sorted(listed)
    answers = context.facts.ask({"fact": "currency", "code": code} for code in codes)
    unknown, without = [], []
    for code, answer in zip(codes, answers):
        if answer["exponent"] is None:
            unknown.append(code)
        elif listed[code].exponent is None:
            without.append(code)
        else:
            check.equal(code, answer["exponent"], listed[code].exponent)
    check.equal("needed currencies that samefit does not know", sorted(NEEDED.intersection(unknown)), [])
    check.note(f"no exponent in the list, so not compared: {' '.join(without)}")
    if unknown:
        check.note(f"not known to samefit: {' '.join(unknown)}")


def no_codes(context, check):
    """What is no currency code: PyPI iso4217 1.16.20260101"""
    listed = {currency.code for currency in Currency}
    answers = context.facts.ask({"fact": "currency", "code": text} for text in NO_CODES)
    for text, answer in zip(NO_CODES, answers):
        check.equal(f"{text!r} is a code", answer["exponent"] is not None, text in listed)


CHECKS = [exponents, no_codes]
