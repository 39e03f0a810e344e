"""How a shop writes a thing down: the wording of one list, with its habits and slips."""

from dataclasses import dataclass

from . import things as stock

ABBREVIATIONS = {
    "professional": "pro", "edition": "ed", "standard": "std", "academic": "acad", "upgrade": "upg", "licence": "lic",
    "version": "ver", "windows": "win", "windows/mac": "win/mac", "deluxe": "dlx", "premium": "prem", "inch": "in",
    "black": "blk", "white": "wht", "silver": "slv", "wireless": "wl", "rechargeable": "rech", "stainless": "ss",
    "portable": "port", "collection": "coll", "enterprise": "ent", "microphone": "mic", "enterprise edition": "ent",
}
EDITION_WORDS = ("edition", "version", "licence")
VENDOR_WORDS = ("new", "retail box", "free shipping", "oem", "sealed", "genuine", "sale", "best price", "in stock",
                "boxed", "bulk", "limited offer", "brand new", "(pc)", "cd", "dvd", "download", "jewel case")


@dataclass(frozen=True)
class Shop:
    """Habits; every number but `order` and `noise` is the chance of the thing named."""

    order: tuple = ("brand", "series", "features", "sort", "traits", "code")
    brand: float = 0.9          # in the title
    brand_column: float = 0.0
    series: float = 1.0
    features: float = 0.8       # each
    sort: float = 1.0
    trait: float = 0.97         # each
    code: float = 0.6
    undashed: float = 0.5       # of codes
    cut: float = 0.0            # suffix of the code left off
    joined: float = 0.3         # "8gb" for "8 gb"
    short: float = 0.2          # each word that has an abbreviation
    editions: float = 0.0       # words such as "edition" dropped
    vendor: float = 0.0         # one or two words of the trade added
    typo: float = 0.02          # each word
    told: float = 0.0           # a description
    told_words: int = 15
    priced: float = 0.9
    noise: float = 0.05         # spread of prices, as a share
    absurd: float = 0.0         # price that is something else altogether
    boast: int = 0              # words of its story that the title takes in, where "story" is in the order
    clipped: float = 0.0        # each long word written without its vowels
    loud: bool = False          # all in capitals


def row(draw, shop, thing, name):
    """One line as {column: text}."""
    title = " ".join(title_words(draw, shop, thing))
    title = title.upper() if shop.loud else title
    return {
        "id": name,
        "title": title,
        "description": description(draw, shop, thing, title) if draw.chance(shop.told) else "",
        "price": price(draw, shop, thing) if draw.chance(shop.priced) else "",
        "manufacturer": thing.brand if draw.chance(shop.brand_column) else "",
    }


def title_words(draw, shop, thing):
    words = []
    for slot in shop.order:
        words += slot_words(draw, shop, thing, slot)
    if not words:
        words = [thing.brand, thing.sort]
    if draw.chance(shop.vendor):
        words += draw.some(VENDOR_WORDS, 1 + draw.below(2))
    words = [slip(draw, word) if draw.chance(shop.typo) else word for word in " ".join(words).split()]
    if not shop.clipped:
        return words
    return [clip(word) if len(word) > 4 and word.isalpha() and draw.chance(shop.clipped) else word for word in words]


def slot_words(draw, shop, thing, slot):
    if slot == "features":
        return [shortened(draw, shop, word) for word in thing.features if draw.chance(shop.features)]
    if slot == "traits":
        return [trait(draw, shop, text) for text in thing.traits if draw.chance(shop.trait)]
    if slot == "story":
        return draw.some(thing.story, shop.boast)
    if slot == "code":
        return [code(draw, shop, thing.code)] if thing.code and draw.chance(shop.code) else []
    return [getattr(thing, slot)] if draw.chance(getattr(shop, slot)) else []


def trait(draw, shop, text):
    words = text.split()
    if len(words) > 1 and words[-1] in EDITION_WORDS and draw.chance(shop.editions):
        words.pop()
    elif len(words) == 2 and words[0].isdigit() and draw.chance(shop.joined):
        return words[0] + ABBREVIATIONS.get(words[1], words[1])
    if text in stock.AXES["version"] and draw.chance(shop.editions):
        return draw.pick(["v", "version ", ""]) + text.removesuffix(".0")
    return " ".join(shortened(draw, shop, word) for word in words)


def shortened(draw, shop, word):
    return ABBREVIATIONS.get(word, word) if draw.chance(shop.short) else word


def code(draw, shop, text):
    if draw.chance(shop.cut):
        text = text[:7].rstrip("-")
    return text.replace("-", "") if draw.chance(shop.undashed) else text


def slip(draw, word):
    """A letter lost, doubled or swapped; figures stay as they are."""
    if len(word) < 4 or any(sign.isdigit() for sign in word):
        return word
    at = 1 + draw.below(len(word) - 2)
    return draw.pick([word[:at] + word[at + 1:], word[:at] + word[at] + word[at:],
                      word[:at] + word[at + 1] + word[at] + word[at + 2:]])


def clip(word):
    """The first letter and the consonants behind it, five at the most."""
    return (word[0] + "".join(sign for sign in word[1:] if sign not in "aeiou"))[:5]


def description(draw, shop, thing, title):
    words = [draw.pick(thing.story) if draw.chance(0.6) else draw.pick(stock.STORY) for _ in range(shop.told_words)]
    return " ".join([title, *words] if draw.chance(0.5) else [thing.brand, thing.sort, *words, *thing.traits])


def price(draw, shop, thing):
    if draw.chance(shop.absurd):
        return f"{draw.between(5, 500):.2f}"
    return f"{thing.price * (1 + shop.noise * draw.between(-2, 2)):.2f}"
