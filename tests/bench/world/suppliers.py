"""What makes one supplier's list look the way it does.

A `Style` holds everything that is constant per supplier: language, columns,
file dialect, how figures are put, what tends to be left out, how often a
claim is wrong. `demo_suppliers.py` writes ten by hand; `drawn_style` draws one.
"""

from lines import CIRCLE, CIRCLE_C
from tongues import TONGUES

PER_EURO = {"EUR": 1.0, "USD": 1.08, "GBP": 0.86, "PLN": 4.31, "CNY": 7.74, "CZK": 25.1}
COLUMN_FACTS = {"fits": "fits_column", "engine_code": "code_column", "displacement": "cc_column", "power": "power_column",
                "spacing": "circle_column", "bolt_holes": "holes_column", "fastener": "fastener_column",
                "hole_diameter": "hole_column", "depth": "depth_column", "pawls": "pawls_column", "mpn": "mpn_column",
                "gtin": "gtin_column", "replaces": "replaces_column", "brand": "brand_column"}


def group_thousands(text, sign):
    """1234.50 -> 1,234.50 with the given sign."""
    whole, _, rest = text.partition(".")
    if len(whole) > 3:
        whole = f"{whole[:-3]}{sign}{whole[-3:]}"
    return f"{whole}.{rest}" if rest else whole


class Style:
    """One supplier's habits; anything not given keeps the default below."""

    tongue = "en"
    currency = "EUR"
    origin = ""
    columns = ()
    # File dialect.
    delimiter = ","
    encoding = "utf-8"
    byte_order_mark = b""
    line_end = "\n"
    quote_all = False
    compress = False
    workbook = ""
    # Layout lines.
    preamble = ()
    header = True
    repeat_header = 0
    blank_every = 0
    sections = False
    subtotals = False
    footnotes = 0
    trailing_delimiter = False
    # Figures and words.
    decimals = "."
    thousands = ""
    price_digits = 2
    price_sign = ("", "")
    inches = False
    cc_units = ("cc",)
    cc_column_unit = ""
    cc_column_joint = "/"
    power_units = (("HP", 1.0, 1),)
    bare_power = False
    spacing_meaning = "circle"
    spacing_column_unit = ""
    fastener_forms = (0.5, 0.75, 0.9, 1.0)
    generic_codes = 0.6
    fits_joint = "; "
    code_joint = ", "
    list_joint = ", "
    noun_count = 4
    upper = False
    patterns = ("{noun}{codes}{cc}{power}{size}{extra}{number}",)
    chances = {}
    # Numbers, prices, packs.
    number_form = "plain"
    number_prefix = ""
    sku_base, sku_stride, sku_span = 10000, 7919, 90000
    factor = 1.0
    packs = 0.3
    price_per_pack = True
    unpriced = 0.003
    wholesale = False
    unit = "pc"
    wrong = 0.02  # per claim
    # Damage.
    broken = ()
    broken_rate = 0.0
    spoiled = 0.0
    entities = False
    multiline = 0.0
    universal = 0.0
    typos = 0.0
    tiers = 0.0
    duplicates = 0
    mixed_ends = False
    currency_word = ""
    weight = 1.0
    originals = ""
    arranged = "drawn"
    file = ""
    about = ""
    sku_pattern = "{}"

    def __init__(self, name, **habits):
        self.name = name
        for key, value in habits.items():
            if not hasattr(Style, key):
                raise TypeError(f"no such habit: {key}")
            setattr(self, key, value)
        tongue = TONGUES[self.tongue]
        self.lead_words = tongue["for"]
        self.unit = habits.get("unit", tongue["unit"][0])
        self.unpriced_words = ("0{}00".format(self.decimals), tongue["stock"][7])
        self.currency_word = habits.get("currency_word", self.currency)
        self.factor = habits.get("factor", 1.0) * PER_EURO[self.currency]
        self.field_order = [field for field, _ in self.columns]
        self.chances = dict(self.chances)
        for field, fact in COLUMN_FACTS.items():
            if field not in self.field_order:
                self.chances[fact] = 0.0
        self.spacing_bit = CIRCLE_C if "spacing" in self.field_order else CIRCLE

    def sells(self, product):
        """Whether such a part is in this supplier's range."""
        return not self.originals or (self.originals == "only") == product.original

    def sku_text(self, number, count):
        """The supplier's own number in its own shape."""
        return self.sku_pattern.format(number, count)

    def price_text(self, amount):
        """A price with this supplier's signs."""
        text = f"{amount:.{self.price_digits}f}"
        if self.thousands and amount >= 1000:
            text = group_thousands(text, "\0")
        if self.decimals == ",":
            text = text.replace(".", ",")
        if self.thousands:
            text = text.replace("\0", self.thousands)
        before, after = self.price_sign
        return f"{before}{text}{after}"


def headers_for(draw, tongue_name, fields, spacing_meaning):
    """Pairs of (field, heading) in a supplier's language."""
    headings = TONGUES[tongue_name]["headers"]
    pairs = []
    for field in fields:
        key = field
        if field == "spacing":
            key = "spacing_" + spacing_meaning.split("-")[0]
        words = headings.get(key)
        if words is None:
            words = TONGUES["en"]["headers"][key]
        pairs.append((field, draw.pick(words)))
    return tuple(pairs)


LANGUAGES = ("en",) * 8 + ("de",) * 4 + ("fr", "fr", "es", "es", "it", "it", "nl", "pl", "pl")
CURRENCY_OF = {"de": "EUR", "fr": "EUR", "es": "EUR", "it": "EUR", "nl": "EUR", "pl": "PLN"}
CC_UNITS = {"en": ("cc", " cc", "cc"), "de": ("ccm", " ccm", " cm³"), "fr": (" cm3", "cc", " cm³"), "es": ("cc", " cc", " c.c."),
            "it": ("cc", " cc", " cm3"), "nl": ("cc", " cc"), "pl": (" cm3", "ccm", " cm³")}
POWER_UNITS = {"en": (("HP", 1.0, 1), ("hp", 1.0, 1), ("kW", 0.7457, 1)), "de": (("PS", 1.01387, 1), ("kW", 0.7457, 1)),
               "fr": (("CV", 1.01387, 1), ("kW", 0.7457, 1)), "es": (("CV", 1.01387, 1), ("HP", 1.0, 1)),
               "it": (("HP", 1.0, 1), ("CV", 1.01387, 1)), "nl": (("pk", 1.01387, 1), ("kW", 0.7457, 1)),
               "pl": (("KM", 1.01387, 1), ("kW", 0.7457, 1))}
MEANINGS = ("circle", "circle", "chord", "unsaid-chord", "unsaid-chord", "unsaid-circle")
STRIDES = (7919, 104729, 15485863, 32452843, 49979687, 67867967, 86028121, 122949823, 611953, 224737)
PATTERNS = (
    "{noun}{codes}{cc}{power}{size}{cue}{extra}{number}",
    "{brand}{noun}{codes}{cc}{cue}{power}{size}{extra}{number}",
    "{noun} {brand}{number}{codes}{cc}{power}{cue}{extra}{size}",
    "{noun}{cc}{codes}{power}{cue}{size}{number}{extra}",
    "{brand}{noun}{number}{cc}{power}{size}{codes}{cue}{extra}",
)


def drawn_style(draw, rank, lines_share, clean):
    """A supplier for a large world; rank 3 is the unsound one."""
    tongue = "en" if clean else draw.pick(LANGUAGES)
    currency = CURRENCY_OF.get(tongue) or draw.pick(("USD", "GBP", "EUR", "CNY"))
    comma = tongue != "en" and not clean
    meaning = draw.pick(MEANINGS)
    in_columns = clean or draw.chance(0.55)
    wanted = [("mpn", 0.75), ("brand", 0.6), ("gtin", 0.6), ("title", 1), ("category", 0.2), ("replaces", 0.5), ("fits", 0.6 if in_columns else 0.25),
              ("engine_code", 0.25), ("displacement", 0.8 if in_columns else 0.1), ("power", 0.4 if in_columns else 0),
              ("bolt_holes", 0.5 if in_columns else 0), ("spacing", 0.7 if in_columns else 0.1), ("fastener", 0.5 if in_columns else 0),
              ("depth", 0.2 if in_columns else 0), ("price", 1), ("currency", 0.6), ("pack_quantity", 0.5), ("unit_of_measure", 0.4),
              ("stock", 0.6), ("weight", 0.4), ("remark", 0.3)]
    if clean:
        fields = ["sku"] + [field for field, _ in wanted]
    else:
        fields = ["sku"] + [field for field, chance in wanted if draw.random() < chance]
    filled = draw.between
    habits = dict(
        tongue=tongue, currency=currency, columns=headers_for(draw, tongue, fields, meaning), spacing_meaning=meaning,
        decimals="," if comma else ".", cc_units=CC_UNITS[tongue], power_units=POWER_UNITS[tongue],
        inches=tongue == "en" and currency == "USD" and draw.chance(0.5),
        patterns=tuple(draw.some(PATTERNS, 2)), noun_count=2 + draw.below(3), generic_codes=filled(0.3, 0.8),
        upper=draw.chance(0.15), number_form=draw.pick(("plain", "plain", "plain", "prefixed", "squeezed", "spaced", "careless")),
        number_prefix=f"{'QXZJ'[rank % 4]}{'BDGK'[rank // 4 % 4]}-", sku_pattern=draw.pick(("{}", "A{}", "{:07d}", "S-{}", "{}-N")),
        sku_base=100000 + draw.below(9000), sku_stride=draw.pick(STRIDES), sku_span=899981 if lines_share < 400000 else 89999999, factor=filled(0.85, 1.3),
        wrong=0.12 if rank == 3 else filled(0.01, 0.04), weight=1.0 / (1 + rank * 0.12), packs=filled(0, 0.5),
        price_per_pack=draw.chance(0.7),
        chances=dict(
            codes=filled(0.25, 0.7) if not in_columns else filled(0.1, 0.45), cc=filled(0.25, 0.65) if not in_columns else filled(0.05, 0.35),
            power=filled(0.1, 0.4), circle=filled(0.15, 0.5) if not in_columns else 0.04, fastener=filled(0.1, 0.4) if not in_columns else 0.03,
            holes=filled(0.05, 0.3), cue=filled(0.4, 0.85), brand=filled(0.1, 0.7), number=filled(0.0, 0.35), extra=0.4, colour=0.7,
            fits_column=filled(0.35, 0.8), code_column=filled(0.3, 0.6), cc_column=filled(0.3, 0.75), power_column=filled(0.3, 0.6),
            circle_column=filled(0.25, 0.65), holes_column=filled(0.3, 0.6), fastener_column=filled(0.25, 0.6), depth_column=0.4,
            mpn_column=filled(0.3, 0.9), gtin_column=filled(0.2, 0.8), replaces_column=filled(0.2, 0.7), brand_column=filled(0.5, 0.95),
            replaces_title=filled(0, 0.2)),
        universal=0.002, typos=draw.pick((0, 0, 0.002, 0.006)))
    if clean:  # every list has every column, so each is filled less often
        habits["chances"] = {fact: chance * (0.62 if fact.endswith("_column") else 0.8) for fact, chance in habits["chances"].items()}
    else:
        habits.update(drawn_dialect(draw, rank, comma, tongue, lines_share))
    return Style(f"supplier-{rank:02d}", **habits)


def drawn_dialect(draw, rank, comma, tongue, lines_share):
    """The file's dialect and mess."""
    encodings = [("utf-8", b""), ("utf-8", b"\xef\xbb\xbf")]
    if tongue != "pl":
        encodings.append(("cp1252", b""))
    if rank % 9 == 5:
        encodings = [("utf-16-le", b"\xff\xfe")]
    encoding, mark = draw.pick(encodings)
    small = lines_share < 60000
    return dict(
        delimiter=draw.pick((";", ";", "\t", "|")) if comma else draw.pick((",", ",", "\t", "|", ";")),
        encoding=encoding, byte_order_mark=mark, line_end=draw.pick(("\n", "\r\n", "\r\n")), quote_all=draw.chance(0.15),
        compress=rank % 7 == 4, workbook="Sheet1" if rank % 20 == 11 and small else "", preamble=draw.below(3),
        repeat_header=draw.pick((0, 0, 0, 500, 1000)), blank_every=draw.pick((0, 0, 700)), footnotes=draw.below(2),
        broken=("ragged", "short", "bytes"), broken_rate=0.0005, thousands=draw.pick(("", "." if comma else ",")), spoiled=0.004)
