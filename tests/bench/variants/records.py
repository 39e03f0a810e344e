"""Records of several attributes, written into one line each: places with address and telephone, and written works."""

from world import names

from . import shops

STREETS = "oak elm mill church station park river high bridge hill lake spring north south market garden".split()
SORTS = ["street", "road", "avenue", "lane", "square"]
SHORT = {"street": "st", "road": "rd", "avenue": "ave", "lane": "ln", "square": "sq"}
HOUSES = "cafe grill bakery tavern bistro diner pizzeria kitchen brewery teahouse".split()
TOPICS = ("adaptive analysis approximate clusters concurrent constraints data deductive design distributed dynamic efficient "
          "estimation evaluation extensible fast framework generic graphs incremental indexing integration language large "
          "learning locking maintenance management memory methods mining models networks objects optimal optimisation parallel "
          "patterns performance processing queries query recovery relational replication rules sampling scalable scheduling "
          "schema search semantic sequences server similarity spatial storage streams structures systems temporal transactions "
          "trees update views warehouse web workflow").split()


def place(draw, number, chain=None):
    """A place as a mapping; places of one chain differ in address, city and telephone only."""
    word = names.grown_name(draw, []).lower()
    return {
        "number": number, "name": chain or f"{word} {draw.pick(HOUSES)}",
        "street": f"{1 + draw.below(400)} {draw.pick(STREETS)} {draw.pick(SORTS)}",
        "city": draw.pick(CITIES), "telephone": f"{200 + draw.below(700)}-{draw.below(900) + 100}-{draw.below(9000) + 1000}",
        "year": str(1950 + draw.below(60)),
    }


CITIES = ["eldmark", "norvale", "santa lira", "port quell", "grimsworth", "ostrava bay", "lindham", "kestrel falls"]


def place_row(draw, place, name, missing, typo, short):
    """Each cell may be missing; words slip or are shortened; the telephone loses its dashes."""
    cells = []
    for key in ("name", "street", "city", "telephone", "year"):
        if key != "name" and draw.chance(missing):
            continue
        text = place[key]
        if key == "telephone" and draw.chance(short):
            text = text.replace("-", draw.pick([" ", "/", ""]))
        words = [SHORT.get(word, word) if draw.chance(short) else word for word in text.split()]
        cells += [shops.slip(draw, word) if draw.chance(typo) else word for word in words]
    return plain(name, " ".join(cells))


def work(draw, number):
    """A written work: a title, one to four authors, a year."""
    title = " ".join(draw.pick(TOPICS) for _ in range(3 + draw.below(6)))
    authors = [(names.grown_name(draw, []).lower(), names.grown_name(draw, []).lower()) for _ in range(1 + draw.below(4))]
    return {"number": number, "title": title, "authors": authors, "year": str(1985 + draw.below(20))}


def work_row(draw, work, name, cut, initials, missing, typo):
    """A title that may be cut short, authors by initials, a year that may be missing."""
    words = work["title"].split()
    if draw.chance(cut):
        words = words[:max(3, len(words) - 1 - draw.below(3))]
    for first, last in work["authors"][:1 + draw.below(4)]:
        words += [first[0] if draw.chance(initials) else first, last]
    if not draw.chance(missing):
        words.append(work["year"])
    return plain(name, " ".join(shops.slip(draw, word) if draw.chance(typo) else word for word in words))


def plain(name, title):
    return {"id": name, "title": title, "description": "", "price": "", "manufacturer": ""}
