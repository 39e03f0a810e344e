"""Labelled lists in the styles that published sets of product offers are known to have.

A style is a function of a `Draw` that gives {list: [(row, number of the true product)]}; `STYLES` names them. What
each is about stands in its doc string. Sizes are small, so that all styles together take a minute.
"""

from . import records
from .shops import Shop, row
from .things import things

CATALOGUE = Shop(order=("brand", "series", "sort", "features", "traits", "code"), code=0.7, told=0.6, brand_column=0.5)
MARKET = Shop(order=("brand", "features", "series", "traits", "sort", "code"), features=0.6, code=0.6, short=0.3, joined=0.7,
              undashed=0.7, vendor=0.2, typo=0.03, told=0.4, priced=0.7, noise=0.1)


def write(draw, letter, shop, sold, copies=(1, 1)):
    """One list: every thing once, or drawn from `copies` (least, most) times; in drawn order."""
    lines = []
    for thing in sold:
        for _ in range(copies[0] + draw.below(copies[1] - copies[0] + 1)):
            lines.append(thing)
    draw.shuffle(lines)
    return [(row(draw, shop, thing, f"{letter}{place}"), thing.number) for place, thing in enumerate(lines)]


def share(draw, all_things, chance):
    return [thing for thing in all_things if draw.chance(chance)]


def siblings(draw):
    """Families of two to six that differ by a trait; both lists sell most of them, once each."""
    sold = things(draw, 130, (2, 6), "electronics", ["colour", "capacity", "size", "length"])
    return {"A": write(draw, "A", CATALOGUE, share(draw, sold, 0.75)), "B": write(draw, "B", MARKET, share(draw, sold, 0.75))}


def uncoded(draw):
    """The same without model codes: nothing but words and traits."""
    sold = things(draw, 130, (2, 6), "household", ["colour", "size", "pack", "volume"], coded=0.0)
    return {"A": write(draw, "A", CATALOGUE, share(draw, sold, 0.7)), "B": write(draw, "B", MARKET, share(draw, sold, 0.7))}


def suffixes(draw):
    """Siblings told apart by the suffix of their code, traits seldom written."""
    sold = things(draw, 130, (2, 5), "electronics", ["colour", "size"])
    first = Shop(code=0.95, trait=0.4, undashed=0.0, told=0.5)
    second = Shop(code=0.9, trait=0.4, undashed=0.8, short=0.3, vendor=0.2, cut=0.05)
    return {"A": write(draw, "A", first, share(draw, sold, 0.8)), "B": write(draw, "B", second, share(draw, sold, 0.8))}


def software(draw):
    """Short titles of versions and editions, words of the trade added, edition words dropped; a third has a partner."""
    sold = things(draw, 700, (1, 5), "software", ["version", "edition", "licence", "platform", "year"], coded=0.0, brands=60, plain=0.6)
    first = Shop(order=("series", "sort", "traits", "features"), features=0.1, brand=0.2, sort=0.8, editions=0.2,
                 brand_column=0.9, told=0.7, told_words=25)
    second = Shop(order=("brand", "series", "sort", "features", "traits"), features=0.15, brand=0.7, sort=0.85, trait=0.85,
                  editions=0.5, short=0.4, vendor=0.5, typo=0.02, brand_column=0.1, told=0.8, noise=0.15, absurd=0.1)
    return {"A": write(draw, "A", first, share(draw, sold, 0.3)), "B": write(draw, "B", second, share(draw, sold, 0.6))}


def repeats(draw):
    """The second list holds a thing one to four times, each time worded anew; the first holds it once."""
    sold = things(draw, 220, (1, 2), "electronics", ["colour", "capacity"])
    first, second = share(draw, sold, 0.9), share(draw, sold, 0.9)
    return {"A": write(draw, "A", CATALOGUE, first), "B": write(draw, "B", MARKET, second, (1, 4))}


def many_to_many(draw):
    """Both lists hold a thing one to three times, and its siblings."""
    sold = things(draw, 110, (1, 4), "household", ["colour", "pack", "size"], coded=0.7)
    first, second = share(draw, sold, 0.85), share(draw, sold, 0.85)
    return {"A": write(draw, "A", CATALOGUE, first, (1, 3)), "B": write(draw, "B", MARKET, second, (1, 3))}


def unequal(draw):
    """A small list against one ten times as long, a tenth of which has a partner; long texts, prices that disagree."""
    sold = things(draw, 1300, (1, 6), "electronics", ["colour", "capacity", "size", "length"], brands=80, plain=0.3)
    second = share(draw, sold, 0.95)
    first = share(draw, sold, 0.09)
    shop = Shop(code=0.6, told=0.95, told_words=40, brand_column=0.8, priced=0.6, noise=0.2, absurd=0.1)
    other = Shop(order=("brand", "sort", "series", "code", "features", "traits"), code=0.5, undashed=0.7, short=0.3,
                 told=0.9, told_words=30, brand_column=0.6, priced=0.5, noise=0.3, absurd=0.15, vendor=0.2)
    return {"A": write(draw, "A", shop, first), "B": write(draw, "B", other, second)}


def apart(draw):
    """One part in seven is in both lists, and the siblings of most others are: the black here, the white there."""
    sold = things(draw, 260, (2, 5), "household", ["colour", "size", "length", "pack"], coded=0.5)
    first, second = [], []
    for thing in sold:
        both = draw.chance(0.15)
        here = draw.chance(0.5)
        first += [thing] if both or here else []
        second += [thing] if both or not here else []
    return {"A": write(draw, "A", CATALOGUE, first), "B": write(draw, "B", MARKET, second)}


def groceries(draw):
    """Packs and volumes, no codes, prices close together."""
    sold = things(draw, 150, (1, 5), "groceries", ["volume", "pack"], coded=0.0, brands=25, plain=0.7)
    first = Shop(features=0.7, noise=0.03, told=0.3)
    second = Shop(order=("brand", "sort", "series", "features", "traits"), features=0.6, joined=0.8, short=0.3, noise=0.05)
    return {"A": write(draw, "A", first, share(draw, sold, 0.7)), "B": write(draw, "B", second, share(draw, sold, 0.7))}


def places(draw):
    """Name, street, city, telephone and year in one line, with slips and missing cells; some are branches of a chain."""
    all_places = []
    for _ in range(420):
        first = records.place(draw, len(all_places))
        all_places.append(first)
        for _ in range(draw.below(4) if draw.chance(0.15) else 0):
            all_places.append(records.place(draw, len(all_places), first["name"]))
    lists = {}
    for letter, chance, missing, typo, short in (("A", 0.6, 0.05, 0.01, 0.1), ("B", 0.6, 0.2, 0.06, 0.5)):
        lines = [place for place in all_places if draw.chance(chance)]
        draw.shuffle(lines)
        lists[letter] = [(records.place_row(draw, place, f"{letter}{at}", missing, typo, short), place["number"])
                         for at, place in enumerate(lines)]
    return lists


def works(draw):
    """Titles of common words with authors and year; the second list is long, noisy and repeats a work up to three times."""
    all_works = [records.work(draw, number) for number in range(1500)]
    first = [work for work in all_works if draw.chance(0.3)]
    second = [work for work in all_works if draw.chance(0.7) for _ in range(1 + draw.below(3) if draw.chance(0.4) else 1)]
    draw.shuffle(second)
    return {
        "A": [(records.work_row(draw, work, f"A{at}", 0.0, 0.2, 0.0, 0.0), work["number"]) for at, work in enumerate(first)],
        "B": [(records.work_row(draw, work, f"B{at}", 0.25, 0.9, 0.4, 0.03), work["number"]) for at, work in enumerate(second)],
    }


def five_lists(draw):
    """Five lists, each with half of the things; families of up to four."""
    sold = things(draw, 170, (1, 4), "electronics", ["colour", "capacity", "size"], coded=0.8)
    lists = {}
    for letter, shop in zip("ABCDE", (CATALOGUE, MARKET, Shop(told=0.5), Shop(short=0.5, brand=0.7), Shop(vendor=0.4, joined=0.9))):
        lists[letter] = write(draw, letter, shop, share(draw, sold, 0.5), (1, 2) if letter == "B" else (1, 1))
    return lists


def one_list(draw):
    """A single list that holds a thing one to nine times, and siblings."""
    sold = things(draw, 130, (1, 3), "household", ["colour", "size", "pack"], coded=0.6)
    return {"A": write(draw, "A", MARKET, sold, (1, 9))}


def one_clean_list(draw):
    """A single list in which one thing in ten stands twice, beside siblings."""
    sold = things(draw, 350, (1, 4), "electronics", ["colour", "capacity"], coded=0.6)
    twice = [thing for thing in sold if draw.chance(0.1)]
    return {"A": write(draw, "A", MARKET, sold + twice)}


def tiny(draw):
    """A hundred lines against a hundred."""
    sold = things(draw, 70, (1, 4), "electronics", ["colour", "capacity"])
    return {"A": write(draw, "A", CATALOGUE, share(draw, sold, 0.65)), "B": write(draw, "B", MARKET, share(draw, sold, 0.65))}


def tiny_repeats(draw):
    """Sixty things, each up to three times in either list."""
    sold = things(draw, 35, (1, 2), "household", ["colour", "pack"], coded=0.5)
    return {"A": write(draw, "A", CATALOGUE, sold, (1, 3)), "B": write(draw, "B", MARKET, sold, (1, 3))}


def wordy(draw):
    """One shop writes brand, sort and model code, the other half a page around them; families differ by their codes."""
    sold = things(draw, 170, (1, 4), "electronics", ["colour", "size", "capacity"], coded=0.9)
    terse = Shop(order=("brand", "sort", "code"), code=0.95, undashed=0.5, brand_column=0.7, typo=0.005)
    full = Shop(order=("brand", "series", "code", "features", "traits", "sort", "story"), code=0.85, undashed=0.3, short=0.2, boast=9,
                told=0.95, told_words=60)
    return {"A": write(draw, "A", terse, share(draw, sold, 0.7)), "B": write(draw, "B", full, share(draw, sold, 0.7))}


def described(draw):
    """Short titles in the first list, whose long descriptions say what tells siblings apart."""
    sold = things(draw, 200, (1, 3), "household", ["colour", "size", "volume"], coded=0.6)
    first = Shop(order=("brand", "series", "sort"), features=0.0, told=1.0, told_words=40, brand_column=0.8)
    return {"A": write(draw, "A", first, share(draw, sold, 0.7)), "B": write(draw, "B", MARKET, share(draw, sold, 0.7))}


def shouted(draw):
    """The second list is in capitals, and half of its long words have lost their vowels."""
    sold = things(draw, 170, (1, 4), "household", ["colour", "size", "pack"], coded=0.6)
    loud = Shop(order=("brand", "sort", "series", "traits", "features", "code"), loud=True, clipped=0.5, undashed=0.9, short=0.4,
                joined=0.9, features=0.6)
    return {"A": write(draw, "A", CATALOGUE, share(draw, sold, 0.7)), "B": write(draw, "B", loud, share(draw, sold, 0.7))}


def strangers(draw):
    """Two lists of families with next to nothing in common: one thing in fifty, and many siblings."""
    sold = things(draw, 300, (1, 4), "electronics", ["colour", "capacity", "size"], coded=0.7)
    first, second = [], []
    for thing in sold:
        both = draw.chance(0.02)
        here = draw.chance(0.5)
        first += [thing] if both or here else []
        second += [thing] if both or not here else []
    return {"A": write(draw, "A", CATALOGUE, first), "B": write(draw, "B", MARKET, second)}


def three_lists(draw):
    """Three lists, the second three times as long as the others and the third in another wording."""
    sold = things(draw, 330, (1, 4), "electronics", ["colour", "capacity", "length"], coded=0.7)
    third = Shop(order=("sort", "brand", "series", "code", "traits", "features"), features=0.3, short=0.5, undashed=0.9, vendor=0.3)
    return {"A": write(draw, "A", CATALOGUE, share(draw, sold, 0.25)), "B": write(draw, "B", MARKET, share(draw, sold, 0.8)),
            "C": write(draw, "C", third, share(draw, sold, 0.25))}


def songs(draw):
    """Songs with singer, album, length and year; takes and albums of one song are things of their own."""
    all_songs = records.songs(draw, 110)
    lists = {}
    for letter, chance, terse, missing, typo in (("A", 0.6, 0.1, 0.1, 0.01), ("B", 0.7, 0.7, 0.35, 0.04)):
        lines = [song for song in all_songs if draw.chance(chance)]
        draw.shuffle(lines)
        lists[letter] = [(records.song_row(draw, song, f"{letter}{at}", terse, missing, typo), song["number"])
                         for at, song in enumerate(lines)]
    return lists


STYLES = (siblings, uncoded, suffixes, software, repeats, many_to_many, unequal, apart, groceries, places, works, five_lists,
          one_list, one_clean_list, tiny, tiny_repeats, wordy, described, shouted, strangers, three_lists, songs)
