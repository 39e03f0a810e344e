"""One supplier's line for a product or for a look-alike.

A line is a list of cells in the order of `FIELDS`, plus what the truth needs:
which identifiers stand on it unspoiled (bits) and whether the line itself
states facts that settle the engine class.
"""

from aside import look_alike
from tongues import TONGUES
from wording import Wording

FIELDS = ("sku", "mpn", "replaces", "brand", "gtin", "title", "category", "fits", "engine_code", "displacement", "power",
          "bolt_holes", "spacing", "fastener", "hole_diameter", "depth", "pawls", "price", "currency", "pack_quantity",
          "minimum_order", "unit_of_measure", "stock", "lead_time", "weight", "origin", "remark", "description")
PLACE = {name: place for place, name in enumerate(FIELDS)}
(SKU, MPN, REPLACES, BRAND_CELL, GTIN, TITLE, CATEGORY, FITS_CELL, CODE_CELL, CC_CELL, POWER_CELL, HOLES_CELL, SPACING_CELL,
 FASTENER_CELL, HOLE_CELL, DEPTH_CELL, PAWLS_CELL, PRICE, CURRENCY, PACK, MINIMUM, UNIT, STOCK, LEAD, WEIGHT, ORIGIN, REMARK,
 DESCRIPTION) = range(len(FIELDS))

# What a line shows, as bits of a mask: facts in the title first, then cells of columns.
SHOWS = ("codes", "cc", "power", "circle", "fastener", "holes", "cue", "brand", "number", "extra", "colour",
         "fits_column", "code_column", "cc_column", "power_column", "circle_column", "holes_column", "fastener_column",
         "hole_column", "depth_column", "pawls_column", "mpn_column", "gtin_column", "replaces_column", "brand_column",
         "replaces_title")
(CODES, CC, POWER, CIRCLE, FASTENER, HOLES, CUE, BRAND, NUMBER, EXTRA, COLOUR, FITS_C, CODE_C, CC_C, POWER_C, CIRCLE_C,
 HOLES_C, FASTENER_C, HOLE_C, DEPTH_C, PAWLS_C, MPN_C, GTIN_C, REPLACES_C, BRAND_C, REPLACES_T) = (1 << n for n in range(len(SHOWS)))
CLAIMED = ((CODES | FITS_C | CODE_C, "codes"), (CC | CC_C, "cc"), (POWER | POWER_C, "power"), (CIRCLE | CIRCLE_C, "circle"))
SIZES = CIRCLE | HOLES | FASTENER
COLUMNS = FITS_C | CODE_C | CC_C | POWER_C | CIRCLE_C | HOLES_C | FASTENER_C | HOLE_C | DEPTH_C | PAWLS_C

BY_MPN, BY_GTIN, BY_PACK_GTIN, BY_FORMER = 1, 2, 4, 8
MASKS = 512
SLOTS = ("noun", "brand", "codes", "cc", "power", "size", "cue", "extra", "number")


class LineWriter:
    """Puts products into one supplier's words; draws only from its own stream."""

    def __init__(self, style, world, draw):
        self.style, self.world, self.draw = style, world, draw
        self.tongue = tongue = TONGUES[style.tongue]
        self.wording = Wording(style, tongue, world, draw)
        self.masks = [self.mask() for _ in range(MASKS)]
        self.patterns = [pattern.format(**{name: f"{{{place}}}" for place, name in enumerate(SLOTS)}) for pattern in style.patterns]
        self.nouns = {kind: tuple(draw.some(words, style.noun_count)) for kind, words in tongue["nouns"].items()}
        self.count = 0
        self.wrong = style.wrong * self.claims_per_event()

    def claims_per_event(self):
        """Claims about engine and circle per line that makes any: turns a rate per claim into one per line."""
        counts = [sum(bool(mask & bits) for bits, _ in CLAIMED) for mask in self.masks]
        return sum(counts) / max(1, sum(count > 0 for count in counts))

    def mask(self):
        """One drawn set of the facts that a line shows."""
        bits = 0
        for place, name in enumerate(SHOWS):
            if self.draw.random() < self.style.chances.get(name, 0.0):
                bits |= 1 << place
        return bits

    def sku(self):
        """The supplier's next own number, scattered so that order tells nothing."""
        self.count += 1
        style = self.style
        return style.sku_text(style.sku_base + self.count * style.sku_stride % style.sku_span, self.count)

    def offer(self, product):
        """Cells, identifier bits and whether the line settles the class."""
        draw, style, wording = self.draw.random, self.style, self.wording
        mask = self.masks[int(draw() * MASKS)]
        if product.variant and draw() < 0.45:
            mask |= style.spacing_bit
        roll = int(draw() * 4096)
        engine = product.engine
        served = wording.served_by(engine.index, roll & 7)
        face = wording.face_of(product, roll >> 3 & 7)
        words = (served, served, served, face)
        sound = True
        if draw() < self.wrong:
            words = self.mistaken(product, mask, served, face)
            sound = words[0] is words[1] is words[2] is served and words[3] is face
        cue = ""
        if mask & CUE:
            cues = wording.cue_words(engine.index)
            cue = cues[roll % len(cues)]
        cells = [""] * len(FIELDS)
        bits = self.identify(product, mask, cells, roll)
        number = ""
        if mask & NUMBER:
            number = " " + self.spelled(product.mpn, roll)
            bits |= BY_MPN
        elif mask & REPLACES_T and (product.replaces or product.former):
            number = self.stands_for(product, roll)
        title = self.title(product, mask, roll, words, cue, number)
        if mask & COLUMNS:
            fill_columns(cells, mask, words, face)
        pack = self.trade(product, cells, roll)
        if pack > 1:
            packs = self.tongue["pack"]
            title += " " + packs[roll % len(packs)].format(n=pack)
            if cells[GTIN]:
                cells[GTIN] = product.pack_gtin
                bits = bits & ~BY_GTIN | BY_PACK_GTIN
        if style.universal and engine.family == "industrial" and draw() < style.universal:
            title = self.universal(product, roll)
            sound = False
        cells[TITLE] = title.upper() if style.upper else title
        return cells, bits, sound and self.settles(mask, cue, served, engine)

    def title(self, product, mask, roll, words, cue, number):
        """The title: noun, codes, sizes and the rest in this supplier's order."""
        codes_from, cc_from, power_from, face = words
        codes = codes_from.codes if mask & CODES else ""
        cc = ""
        if mask & CC:
            cc = cc_from.cc if codes else cc_from.cc_for
        size = ""
        if mask & SIZES:
            size = ((face.circle if mask & CIRCLE else "") + (face.holes if mask & HOLES else "")
                    + (face.fastener if mask & FASTENER else ""))
        extra = ""
        if mask & EXTRA:
            extra = ", " + self.extra(product, roll)
        if product.colour and mask & COLOUR:
            extra += ", " + self.tongue["colours"][product.colour]
        nouns = self.nouns[product.kind]
        noun = nouns[(roll >> 6) % len(nouns)]
        if self.style.typos and self.draw.random() < self.style.typos:
            noun = mistyped(noun, roll)
        return self.patterns[roll % len(self.patterns)].format(
            noun, product.brand.name + " " if mask & BRAND else "", codes, cc, power_from.power if mask & POWER else "",
            size, cue, extra, number).strip(" ,").replace("  ", " ").replace(" ,", ",")

    def extra(self, product, roll):
        """A word on what is with it; now and then whether it is original."""
        if roll % 7 == 0:
            words = self.tongue["original" if product.original else "copy"]
            return words[roll % len(words)]
        words = self.tongue["extras"][product.kind]
        return words[product.taste % len(words)]

    def stands_for(self, product, roll):
        """Numbers that the part replaces; a former number of its own is said to be superseded."""
        if product.former:
            words = self.tongue["supersedes"]
            return ", " + words[roll % len(words)].format(product.former)
        words = self.tongue["replaces"]
        return ", " + words[roll % len(words)].format(product.replaces[roll % len(product.replaces)])

    def universal(self, product, roll):
        """The title of a seller who claims that one part fits every class."""
        nouns = self.nouns[product.kind]
        words = self.tongue["universal"]
        ends = (("168F", "190F"), ("5.5HP", "13HP"), ("160", "420cc"))[roll % 3]
        return f"{nouns[(roll >> 6) % len(nouns)]} {words[roll % len(words)].format(a=ends[0], b=ends[1])}"

    def settles(self, mask, cue, served, engine):
        """Whether what is shown names the class without another line's help."""
        if mask & FITS_C:
            return True
        codes, cc = mask & (CODES | CODE_C), mask & (CC | CC_C)
        if cue and engine.cue and (codes or cc):
            return True
        if codes and (served.code_settles or engine.family == "industrial"):
            return True
        return bool(cc and (served.cc_settles or mask & (CIRCLE | CIRCLE_C)))

    def identify(self, product, mask, cells, roll):
        """Fills number, barcode and brand cells; returns the identifier bits."""
        bits = 0
        if mask & MPN_C:
            if product.former and roll % 3 == 0:
                cells[MPN], bits = product.former, BY_FORMER
            else:
                cells[MPN], bits = self.spelled(product.mpn, roll), BY_MPN
                if product.former and mask & REPLACES_C:
                    cells[REPLACES] = product.former
                    bits |= BY_FORMER
        if mask & REPLACES_C and product.replaces:
            cells[REPLACES] = self.style.list_joint.join(product.replaces)
        if mask & GTIN_C:
            cells[GTIN] = product.gtin
            bits |= BY_GTIN
        if mask & BRAND_C:
            cells[BRAND_CELL] = product.brand.name
        return bits

    def spelled(self, number, roll):
        """A part number as this supplier spells it: prefix, dashes, case."""
        form = self.style.number_form
        if form == "plain":
            return number
        if form == "prefixed":
            return self.style.number_prefix + number
        if form == "squeezed":
            return number.replace("-", "").replace(".", "")
        if form == "spaced":
            return number.replace("-", " ")
        if roll % 17 == 0:
            return number.replace("0", "O")
        return number.lower() if roll % 5 == 0 else number

    def trade(self, product, cells, roll):
        """Price, pack, stock and the like; returns the number of pieces in the pack."""
        style, draw = self.style, self.draw.random
        pack = 1
        if product.pack_gtin and draw() < style.packs:
            pack = (2, 2, 5, 10)[roll & 3]
        price = product.price * style.factor * (0.88 + 0.24 * draw())
        if pack > 1 and style.price_per_pack:
            price *= pack * 0.93
        if draw() < style.unpriced:
            cells[PRICE] = style.unpriced_words[roll & 1]
        elif style.tiers and draw() < style.tiers:
            cells[PRICE] = f"1+ {style.price_text(price)} / 10+ {style.price_text(price * 0.9)}"
        else:
            cells[PRICE] = style.price_text(price)
        self.common(cells, roll, pack, product.weight * pack, product.kind)
        return pack

    def common(self, cells, roll, pack, weight, section):
        """The cells every line has, whatever it sells."""
        style, tongue = self.style, self.tongue
        cells[SKU] = self.sku()
        cells[CATEGORY] = tongue["sections"][section]
        cells[CURRENCY], cells[PACK], cells[UNIT], cells[ORIGIN] = style.currency_word, str(pack), style.unit, style.origin
        cells[MINIMUM] = ("10", "20", "50", "100")[roll & 3] if style.wholesale else ("1", "1", "1", "5", "10")[roll % 5]
        cells[STOCK] = tongue["stock"][roll % 10]
        cells[LEAD] = tongue["lead"][roll % 5]
        text = f"{weight:.2f}"
        cells[WEIGHT] = text.replace(".", ",") if style.decimals == "," else text
        cells[REMARK] = tongue["remarks"][(roll >> 4) % 7]

    def mistaken(self, product, mask, served, face):
        """Swaps one shown field for that of another class: one error event per line."""
        shown = [name for bits, name in CLAIMED if mask & bits]
        if not shown:
            return served, served, served, face
        draw = self.draw.random
        near = self.world.neighbours[product.engine.index]
        other = near[int(draw() * len(near))]
        field = shown[int(draw() * len(shown))]
        if field == "circle":
            interface = self.world.classes[other].interface(product.kind, 0)
            return served, served, served, self.wording.face(interface, product.brand.head, product.kind)
        take = self.wording.served_by(other, int(draw() * 8))
        return (take if field == "codes" else served, take if field == "cc" else served,
                take if field == "power" else served, face)

    def look_alike(self, engine):
        """Cells of a part that is no part in scope, and what it is."""
        return look_alike(self, engine)


def fill_columns(cells, mask, words, face):
    """The cells of engine and interface columns. Only the circle is taken from a mistaken interface."""
    codes_from, cc_from, power_from, face_from = words
    if mask & FITS_C:
        cells[FITS_CELL] = codes_from.fits
    if mask & CODE_C:
        cells[CODE_CELL] = codes_from.code
    if mask & CC_C:
        cells[CC_CELL] = cc_from.cc_column
    if mask & POWER_C:
        cells[POWER_CELL] = power_from.power_column
    if mask & CIRCLE_C:
        cells[SPACING_CELL] = face_from.circle_column
    if mask & HOLES_C:
        cells[HOLES_CELL] = face.holes_column
    if mask & FASTENER_C:
        cells[FASTENER_CELL] = face.fastener_column
    if mask & HOLE_C:
        cells[HOLE_CELL] = face.hole_column
    if mask & DEPTH_C:
        cells[DEPTH_CELL] = face.depth_column
    if mask & PAWLS_C:
        cells[PAWLS_CELL] = face.pawls_column


def mistyped(noun, roll):
    """Two neighbouring letters changed places."""
    place = 1 + roll % max(1, len(noun) - 3)
    return noun[:place] + noun[place + 1] + noun[place] + noun[place + 2:]
