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


TAKES = ["live", "radio edit", "acoustic", "remix", "demo", "instrumental"]
SUNG = ("night love rain river heart fire home dream road summer light blue moon dance rose sky morning gold shadow song "
        "stranger window ocean winter silver street angel thunder garden letter").split()


def songs(draw, records_of_singers):
    """Songs of invented singers on albums; some stand on two albums or in a second take, which is another song."""
    found = []
    for _ in range(records_of_singers):
        singer = " ".join(names.grown_name(draw, []).lower() for _ in range(1 + draw.below(2)))
        album = " ".join(draw.some(SUNG, 1 + draw.below(3)))
        for place in range(1, 4 + draw.below(8)):
            song = {"singer": singer, "album": album, "title": " ".join(draw.some(SUNG, 1 + draw.below(3))), "take": "",
                    "place": place, "seconds": 120 + draw.below(240), "year": 1970 + draw.below(50)}
            found.append(song)
            if draw.chance(0.2):
                found.append(song | {"take": draw.pick(TAKES), "seconds": 120 + draw.below(240)})
            if draw.chance(0.1):
                found.append(song | {"album": "best of " + singer, "place": 1 + draw.below(20)})
    return [song | {"number": number} for number, song in enumerate(found)]


def song_row(draw, song, name, terse, missing, typo):
    """A song in one line; a terse list leaves album and place out more often and writes the length in seconds."""
    length = str(song["seconds"]) if draw.chance(terse) else f"{song['seconds'] // 60}:{song['seconds'] % 60:02}"
    take = f"({song['take']})" if song["take"] else ""
    cells = [song["title"], take, song["singer"]]
    cells += [text for text in (song["album"], length, str(song["year"])) if not draw.chance(missing)]
    words = " ".join(cells).split()
    return plain(name, " ".join(slip(draw, word, typo) for word in words))


def slip(draw, word, typo):
    return shops.slip(draw, word) if draw.chance(typo) else word


def plain(name, title):
    return {"id": name, "title": title, "description": "", "price": "", "manufacturer": ""}
