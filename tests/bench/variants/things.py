"""Invented things to be sold, in families of near-variants.

A *family* is one brand, one series and one sort of thing; its members, the
*things*, differ by a trait or two: a colour, a size, a version, a suffix of the
model code. Every thing is a product of its own. Names are made up; sorts, colours
and units are plain words.
"""

from dataclasses import dataclass

from world import names

COLOURS = "black white red blue silver green grey yellow orange brown".split()
AXES = {
    "colour": COLOURS,
    "capacity": ["2 gb", "4 gb", "8 gb", "16 gb", "32 gb", "64 gb", "128 gb"],
    "size": ["15 inch", "17 inch", "19 inch", "22 inch", "24 inch", "27 inch", "32 inch", "40 inch"],
    "length": ["3 ft", "6 ft", "10 ft", "15 ft", "25 ft", "50 ft", "100 ft"],
    "volume": ["100 ml", "200 ml", "250 ml", "330 ml", "500 ml", "750 ml", "1000 ml"],
    "pack": ["1 pack", "2 pack", "3 pack", "4 pack", "6 pack", "12 pack", "24 pack"],
    "version": ["3.0", "4.0", "5.0", "6.0", "7.0", "8.0", "8.5", "9.0", "10.0", "11.0"],
    "year": ["2004", "2005", "2006", "2007", "2008", "2009", "2010"],
    "edition": ["standard edition", "professional edition", "deluxe edition", "home edition", "premium edition",
                "student edition", "enterprise edition", "complete edition"],
    "licence": ["full version", "upgrade", "academic", "5 user licence", "10 user licence", "site licence"],
    "platform": ["windows", "mac", "windows/mac", "linux"],
}

SORTS = {
    "electronics": ("headphones speaker monitor camera lens printer scanner keyboard mouse router switch charger "
                    "receiver turntable projector dock adapter tripod microphone amplifier").split(),
    "household": ("vacuum kettle toaster blender grinder mixer fryer iron heater fan lamp drill sander saw sprayer "
                  "pump thermostat humidifier scale timer").split(),
    "software": ["photo editor", "tax preparation", "language course", "typing tutor", "video studio", "antivirus",
                 "backup suite", "office suite", "map atlas", "music composer", "web designer", "font collection",
                 "accounting", "project planner", "encyclopedia", "racing game", "strategy game", "drawing"],
    "groceries": ["shampoo", "hand soap", "olive oil", "green tea", "ground coffee", "orange juice", "hair gel",
                  "body lotion", "tomato sauce", "dog food", "washing powder", "sun cream"],
}
FEATURES = ("wireless compact digital portable cordless stereo heavy duty rechargeable waterproof ultra slim quiet "
            "premium dual programmable folding adjustable stainless").split()
STORY = ("includes easy setup manual cable battery control design quality sound picture power energy class button display "
         "support warranty year light fast safe clean home office travel professional use high low speed system mode level "
         "input output ready complete range handle cover filter auto memory remote station line surface steel plastic").split()
# names of series that many makers use
PLAIN_SERIES = ("easy smart master magic total instant perfect home office family junior advanced essential classic power quick "
                "super natural fresh gold").split()
LETTERS = "abcdefghklmnprstvwxz"


@dataclass(frozen=True)
class Thing:
    """One product; things of one family share everything but `traits`, `code` and a part of `story`."""

    number: int
    family: int
    brand: str
    series: str
    sort: str
    features: tuple
    traits: tuple       # texts such as "8 gb"
    code: str           # model code, "" where the family has none
    price: float
    story: tuple        # words of a long description


def things(draw, families, siblings, domain, axes, coded=1.0, brands=30, plain=0.0):
    """`families` families of `siblings` (least, most) things that differ along one or two of `axes`; `coded` and `plain`
    are the chances of a model code and of a series named by plain words."""
    taken = []
    makers = [names.grown_name(draw, taken).lower() for _ in range(brands)]
    made = []
    for family in range(families):
        series = " ".join(draw.some(PLAIN_SERIES, 2)) if draw.chance(plain) else names.grown_name(draw, []).lower()
        sort = draw.pick(SORTS[domain])
        made += family_of(draw, (family, draw.pick(makers), series, sort), siblings, axes, coded, len(made))
    return made


def family_of(draw, named, siblings, axes, coded, first):
    family, brand, series, sort = named
    features = tuple(draw.some(FEATURES, 1 + draw.below(3)))
    base, root = draw.between(8, 400), root_code(draw) if draw.chance(coded) else ""
    shared = [draw.pick(STORY) for _ in range(12)]
    wanted = siblings[0] + draw.below(siblings[1] - siblings[0] + 1)
    made = []
    for traits in different_traits(draw, axes, wanted):
        number = first + len(made)
        code = root and root + suffix(draw, len(made))
        price = round(base * draw.between(0.8, 1.3), 2)
        story = tuple(shared + [draw.pick(STORY) for _ in range(6)])
        made.append(Thing(number, family, brand, series, sort, features, traits, code, price, story))
    return made


def different_traits(draw, axes, wanted):
    """So many different combinations along one or two axes."""
    chosen = draw.some(axes, 1 + draw.below(min(2, len(axes))))
    all_of = [()]
    for axis in chosen:
        all_of = [traits + (value,) for traits in all_of for value in AXES[axis]]
    return draw.some(all_of, wanted)


def root_code(draw):
    letters = "".join(draw.pick(LETTERS) for _ in range(2 + draw.below(2)))
    return f"{letters}-{10 + draw.below(990)}"


def suffix(draw, place):
    """What tells the model codes of siblings apart: a letter or two, or a digit."""
    return draw.pick(["", "-"]) + LETTERS[place % len(LETTERS)] + draw.pick(["", str(draw.below(10))])
