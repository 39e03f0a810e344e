"""One supplier's line for a product or for a look-alike.

A line is a list of cells in the order of `FIELDS`, plus what the truth needs:
which identifiers stand on it unspoiled (bits) and whether the line itself
states facts that settle the engine class.
"""

from wording import TAKES, Wording
from tongues import TONGUES

FIELDS = ("sku", "mpn", "replaces", "brand", "gtin", "title", "category", "fits", "engine_code", "displacement", "power",
          "bolt_holes", "spacing", "fastener", "hole_diameter", "depth", "pawls", "price", "currency", "pack_quantity",
          "minimum_order", "unit_of_measure", "stock", "lead_time", "weight", "origin", "remark", "description")
PLACE = {name: place for place, name in enumerate(FIELDS)}
TITLE, PRICE, PACK, GTIN, MPN, SKU = (PLACE[name] for name in ("title", "price", "pack_quantity", "gtin", "mpn", "sku"))

SHOWS = ("codes", "cc", "power", "circle", "fastener", "holes", "cue", "brand", "number", "extra", "colour",
         "fits_column", "code_column", "cc_column", "power_column", "circle_column", "holes_column", "fastener_column",
         "hole_column", "depth_column", "pawls_column", "mpn_column", "gtin_column", "replaces_column", "brand_column",
         "replaces_title")
(CODES, CC, POWER, CIRCLE, FASTENER, HOLES, CUE, BRAND, NUMBER, EXTRA, COLOUR, FITS_C, CODE_C, CC_C, POWER_C, CIRCLE_C,
 HOLES_C, FASTENER_C, HOLE_C, DEPTH_C, PAWLS_C, MPN_C, GTIN_C, REPLACES_C, BRAND_C, REPLACES_T) = (1 << n for n in range(len(SHOWS)))

BY_MPN, BY_GTIN, BY_PACK_GTIN, BY_FORMER = 1, 2, 4, 8
MASKS = 512


class LineWriter:
    """Puts products into one supplier's words; draws only from its own stream."""

    def __init__(self, style, world, draw):
        self.style, self.world, self.draw = style, world, draw
        self.tongue = tongue = TONGUES[style.tongue]
        self.wording = Wording(style, tongue, world, draw)
        self.masks = [self.mask() for _ in range(MASKS)]
        names = ("noun", "brand", "codes", "cc", "power", "size", "cue", "extra", "number")
        self.patterns = [pattern.format(**{name: f"{{{place}}}" for place, name in enumerate(names)}) for pattern in style.patterns]
        self.nouns = {kind: tuple(draw.some(words, style.noun_count)) for kind, words in tongue["nouns"].items()}
        self.count = 0
        self.aside = [pair for pair in tongue["aside"]]
        self.facts = self.count_facts = 0

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
        index = product.engine.index
        served = wording.served_by(index)[roll & 7]
        takes = wording.faces.get(product.face) or wording.face_of(product)
        face = takes[roll >> 3 & 7]
        wrong = draw() < style.wrong
        codes_from = cc_from = power_from = served
        face_from = face
        if wrong:
            codes_from, cc_from, power_from, face_from = self.mistaken(product, mask, served, face)

        cells = [""] * len(FIELDS)
        bits, brand_name = self.identify(product, mask, cells, roll)
        # Title.
        codes = codes_from.codes if mask & CODES else ""
        cc = ""
        if mask & CC:
            cc = cc_from.cc if codes else cc_from.cc_for
        size = ""
        if mask & CIRCLE:
            size = face_from.circle
        if mask & HOLES:
            size += face.holes
        if mask & FASTENER:
            size += face.fastener
        cue = ""
        if mask & CUE:
            words = wording.cue_words(index)
            cue = words[roll % len(words)]
        extra = ""
        if mask & EXTRA:
            words = self.tongue["extras"][product.kind]
            extra = ", " + words[product.taste % len(words)]
        if product.colour and mask & COLOUR:
            extra += ", " + self.tongue["colours"][product.colour]
        nouns = self.nouns[product.kind]
        number = ""
        if mask & NUMBER:
            number = " " + self.spelled(product.mpn, roll)
            bits |= BY_MPN
        elif mask & REPLACES_T and product.replaces:
            words = self.tongue["replaces"]
            number = ", " + words[roll % len(words)].format(product.replaces[0])
        title = self.patterns[roll % len(self.patterns)].format(
            nouns[(roll >> 6) % len(nouns)], brand_name + " " if mask & BRAND and brand_name else "", codes, cc,
            power_from.power if mask & POWER else "", size, cue, extra, number).strip(" ,").replace("  ", " ").replace(" ,", ",")
        # Columns.
        if mask & FITS_C:
            cells[7] = codes_from.fits
        if mask & CODE_C:
            cells[8] = codes_from.code
        if mask & CC_C:
            cells[9] = cc_from.cc_column
        if mask & POWER_C:
            cells[10] = power_from.power_column
        if mask & CIRCLE_C:
            cells[12] = face_from.circle_column
        if mask & HOLES_C:
            cells[11] = face.holes_column
        if mask & FASTENER_C:
            cells[13] = face.fastener_column
        if mask & HOLE_C:
            cells[14] = face.hole_column
        if mask & DEPTH_C:
            cells[15] = face.depth_column
        if mask & PAWLS_C:
            cells[16] = face.pawls_column
        pack = self.trade(product, cells, roll)
        if pack > 1:
            words = self.tongue["pack"]
            title += " " + words[roll % len(words)].format(n=pack)
            if cells[GTIN]:
                bits &= ~BY_GTIN
                cells[GTIN] = product.pack_gtin
                if product.pack_gtin:
                    bits |= BY_PACK_GTIN
        cells[TITLE] = title.upper() if style.upper else title
        settles = self.settles(mask, cue, served, product.engine) and not wrong
        if wrong and codes_from is cc_from is power_from is served and face_from is face:
            settles = self.settles(mask, cue, served, product.engine)
        return cells, bits, settles

    def settles(self, mask, cue, served, engine):
        """Whether what is shown names the class without another line's help."""
        if mask & FITS_C:
            return True
        codes, cc = mask & (CODES | CODE_C), mask & (CC | CC_C)
        if cue and engine.cue and (codes or cc):
            return True
        if codes and (served.code_settles or engine.family == "industrial"):
            return True
        if cc and (served.cc_settles or mask & (CIRCLE | CIRCLE_C)):
            return True
        return False

    def identify(self, product, mask, cells, roll):
        """Fills number, barcode and brand cells; returns identifier bits and the brand shown."""
        bits = 0
        if mask & MPN_C:
            if product.former and roll % 3 == 0:
                cells[1], bits = product.former, BY_FORMER
                if roll % 2:
                    cells[2] = ""
            else:
                cells[1], bits = self.spelled(product.mpn, roll), BY_MPN
                if product.former and mask & REPLACES_C:
                    cells[2] = product.former
                    bits |= BY_FORMER
        if mask & REPLACES_C and product.replaces:
            cells[2] = self.style.list_joint.join(product.replaces)
        if mask & GTIN_C:
            cells[4] = product.gtin
            bits |= BY_GTIN
        name = product.brand.name
        if mask & BRAND_C:
            cells[3] = name
        return bits, name

    def spelled(self, number, roll):
        """A part number as this supplier spells it: prefix, dashes, case."""
        style = self.style
        if style.number_form == "plain":
            return number
        if style.number_form == "prefixed":
            return style.number_prefix + number
        if style.number_form == "squeezed":
            return number.replace("-", "").replace(".", "")
        if style.number_form == "spaced":
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
            words = style.unpriced_words
            cells[17] = words[roll % len(words)]
        else:
            cells[17] = style.price_text(price)
        cells[0] = self.sku()
        cells[18] = style.currency
        cells[19] = str(pack)
        cells[20] = ("1", "1", "1", "5", "10")[roll % 5] if not style.wholesale else ("10", "20", "50", "100")[roll & 3]
        tongue = self.tongue
        cells[21] = style.unit
        cells[22] = tongue["stock"][roll % 10]
        cells[23] = tongue["lead"][roll % 5]
        weight = f"{product.weight * pack:.2f}"
        cells[24] = weight.replace(".", ",") if style.decimals == "," else weight
        cells[25] = style.origin
        cells[26] = tongue["remarks"][(roll >> 4) % 7]
        return pack

    def mistaken(self, product, mask, served, face):
        """Swaps one shown field for that of another class."""
        near = self.world.neighbours[product.engine.index]
        other = near[int(self.draw.random() * len(near))]
        take = self.wording.served_by(other)[int(self.draw.random() * TAKES)]
        shown = []
        if mask & (CODES | FITS_C | CODE_C):
            shown.append("codes")
        if mask & (CC | CC_C):
            shown.append("cc")
        if mask & (POWER | POWER_C):
            shown.append("power")
        if mask & (CIRCLE | CIRCLE_C):
            shown.append("circle")
        if not shown:
            return served, served, served, face
        field = shown[int(self.draw.random() * len(shown))]
        wrong_face = face
        if field == "circle":
            interface = self.world.classes[other].interface(product.kind, 0)
            wrong_face = self.wording.face(interface, product.brand.head, product.kind)
        return (take if field == "codes" else served, take if field == "cc" else served,
                take if field == "power" else served, wrong_face)

    def look_alike(self, engine):
        """Cells of a part that is no part in scope, and what it is."""
        draw, style, wording = self.draw.random, self.style, self.wording
        thing, pattern = self.aside[int(draw() * len(self.aside))]
        roll = int(draw() * 4096)
        served = wording.served_by(engine.index)[roll & 7]
        words = ""
        form = roll >> 3 & 7
        if form < 4:
            words = served.codes
        elif form < 6:
            words = served.cc_for
        cells = [""] * len(FIELDS)
        title = pattern.replace("{f}", words)
        if roll % 5 == 0:
            title += served.power
        cells[TITLE] = title.upper() if style.upper else title
        if style.chances.get("fits_column", 0) > draw():
            cells[7] = served.fits
        if style.chances.get("cc_column", 0) > draw():
            cells[9] = served.cc_column
        if style.chances.get("brand_column", 0) > draw():
            cells[3] = style.aside_brands[roll % len(style.aside_brands)]
        if style.chances.get("mpn_column", 0) > draw():
            cells[1] = f"{thing[:2].upper()}{roll:04d}-{self.count % 100:02d}"
        cells[17] = style.price_text(ASIDE_PRICE.get(thing, 6.0) * style.factor * (0.7 + 0.8 * draw()))
        self.common(cells, roll)
        return cells, thing

    def common(self, cells, roll):
        """The cells every line has, whatever it sells."""
        style, tongue = self.style, self.tongue
        cells[0] = self.sku()
        cells[18], cells[19], cells[21], cells[25] = style.currency, "1", style.unit, style.origin
        cells[20] = ("1", "1", "1", "5", "10")[roll % 5] if not style.wholesale else ("10", "20", "50", "100")[roll & 3]
        cells[22] = tongue["stock"][roll % 10]
        cells[23] = tongue["lead"][roll % 5]
        cells[24] = f"0{style.decimals}{roll % 90 + 10}"
        cells[26] = tongue["remarks"][(roll >> 4) % 7]


ASIDE_PRICE = {"rope": 2.4, "spring": 1.9, "pawl": 2.1, "starter-motor": 34.0, "solenoid": 8.5, "carburettor": 14.0, "cup": 3.1,
               "grip": 1.4, "repair-kit": 6.8, "reel": 3.6, "flywheel": 19.0, "fan": 4.2, "screws": 2.0, "air-filter": 6.9,
               "ignition-coil": 9.8, "fuel-tank": 21.0, "gasket": 5.2, "muffler": 15.5, "spark-plug": 1.8, "oil-seal": 1.5}
