"""How one supplier puts an engine class and an interface into words.

The truth is a class with its models and an interface in millimetres; a line
says "passend für 168F, Lochabstand 102 mm". The texts are made once per
supplier and class, eight takes each, so that writing a line only picks.
"""

import math

TAKES = 8
HEAD_MM = {("M6", 8): "8", ("M6", 10): "10", ("M8", 8): "10", ("M8", 10): "13", ("M5", 8): "7", ("M5", 10): "8",
           ("M4", 8): "7", ("M4", 10): "7", ("1/4-20", 8): '3/8"', ("1/4-20", 10): '7/16"',
           ("5/16-18", 8): '1/2"', ("5/16-18", 10): '1/2"'}
HOLE_MM = {"M4": 4.5, "M5": 5.5, "M6": 6.6, "M8": 9, "1/4-20": 7, "5/16-18": 8.7}


class Served:
    """The words for the engines a part serves: one take."""

    __slots__ = ("codes", "fits", "code", "cc", "cc_for", "cc_column", "power", "power_column", "code_settles", "cc_settles")


class Face:
    """The words for how a part sits on the engine: one take."""

    __slots__ = ("circle", "circle_column", "holes", "holes_column", "fastener", "fastener_column", "hole_column",
                 "depth_column", "pawls_column")


class Wording:
    """One supplier's words, made when first needed."""

    def __init__(self, style, tongue, world, draw):
        self.style, self.tongue, self.world, self.draw = style, tongue, world, draw
        self.served = {}
        self.cues = [None] * len(world.classes)
        self.faces = {}

    def number(self, value, digits=1):
        """A short figure with the supplier's decimal sign."""
        text = f"{value:.{digits}f}"
        if "." in text:
            text = text.rstrip("0").rstrip(".")
        return text.replace(".", ",") if self.style.decimals == "," else text

    def served_by(self, index, place):
        """One of the takes for a class."""
        key = index * TAKES + place
        take = self.served.get(key)
        if take is None:
            take = self.served[key] = self.take(self.world.classes[index])
        return take

    def take(self, engine):
        """One take: some of the models, named one way."""
        draw, style = self.draw, self.style
        models = engine.models
        count = len(models) if draw.chance(0.35) else 1 + draw.below(len(models))
        first = draw.below(len(models) - count + 1)
        chosen = models[first:first + count]
        take = Served()
        lead = draw.pick(style.lead_words)
        take.codes, settles = self.code_words(chosen, engine, lead)
        take.fits = self.fits_words(chosen)
        generic = [model.code for model in chosen if model.code]
        take.code = style.code_joint.join(generic) or chosen[0].named[0][1]
        amounts = [str(draw.pick(model.sold)) for model in chosen]
        take.cc, take.cc_column = self.volume_words(amounts, chosen, engine)
        take.cc_for = lead + take.cc.lstrip(" ,")
        take.power, take.power_column = self.power_words(chosen)
        take.code_settles = settles
        take.cc_settles = any((engine.index, model.cc) in self.world.settling_volumes for model in chosen)
        return take

    def code_words(self, chosen, engine, lead):
        """Engine codes for a title; whether they name one family by themselves."""
        draw = self.draw
        generic = [model.code for model in chosen if model.code]
        if generic and draw.chance(self.style.generic_codes):
            joint = draw.pick(("/", " ", ", ", " / "))
            return lead + joint.join(generic), any(code in self.world.settling_codes for code in generic)
        maker = draw.pick(engine.makers)
        codes = [code for model in chosen for name, code in model.named if name == maker]
        if not codes:
            maker, first = chosen[0].named[0]
            codes = [first]
        branded = draw.chance(0.65)
        text = self.abbreviated(codes) if draw.chance(0.3) else draw.pick((" ", "/", ", ")).join(codes)
        return lead + (f"{maker} {text}" if branded else text), branded or codes[0] in self.world.settling_codes

    def abbreviated(self, codes):
        """TKH160, TKH200 becomes TKH160/200."""
        stem = codes[0].rstrip("0123456789")
        tails = [code[len(stem):] for code in codes if code.startswith(stem)]
        return stem + "/".join(tails) if len(tails) == len(codes) else "/".join(codes)

    def fits_words(self, chosen):
        """The text of a "fits" column: makers with their codes, generic codes."""
        draw = self.draw
        by_maker = {}
        for model in chosen:
            for maker, code in model.named:
                by_maker.setdefault(maker, []).append(code)
        makers = list(by_maker)
        if len(makers) > 1 and draw.chance(0.5):
            makers = draw.some(makers, 1 + draw.below(len(makers)))
        words = [f"{maker} {self.abbreviated(by_maker[maker]) if draw.chance(0.4) else ', '.join(by_maker[maker])}"
                 for maker in makers]
        generic = [model.code for model in chosen if model.code]
        if generic and draw.chance(0.7):
            words.append(", ".join(generic))
        return self.style.fits_joint.join(words)

    def volume_words(self, amounts, chosen, engine):
        """Displacement for a title and for a column."""
        draw, style = self.draw, self.style
        if style.inches and engine.cue == "side-valve":
            inches = f"{chosen[0].cc / 16.387064:.2f}"
            return f" {inches} cu in", f"{inches} cu.in."
        unit = draw.pick(style.cc_units)
        amounts = list(dict.fromkeys(amounts))
        form = draw.random()
        if len(amounts) > 1 and form < 0.25:
            text = f"{amounts[0]}-{amounts[-1]}{unit}"
        elif len(amounts) > 1 and form < 0.4:
            text = " ".join(amount + unit.strip() for amount in amounts)
        else:
            text = "/".join(amounts) + unit
        column = style.cc_column_joint.join(amounts) + style.cc_column_unit
        return draw.pick((" ", ", ")) + text, column

    def power_words(self, chosen):
        """Power for a title and for a column."""
        draw = self.draw
        unit, factor, digits = draw.pick(self.style.power_units)
        amounts = list(dict.fromkeys(self.number(model.hp * factor, digits) for model in chosen))
        column_unit, column_factor, column_digits = self.style.power_units[0]
        column = "/".join(dict.fromkeys(self.number(model.hp * column_factor, column_digits) for model in chosen))
        gap = draw.pick(("", " "))
        if len(amounts) > 1 and draw.chance(0.4):
            text = f"{amounts[0]}-{amounts[-1]}{gap}{unit}"
        else:
            text = "/".join(amounts) + gap + unit
        return draw.pick((" ", ", ")) + text, column if self.style.bare_power else f"{column} {column_unit}"

    def cue_words(self, index):
        """Words that name the kind of engine or its use; empty where there are none."""
        if self.cues[index] is None:
            engine = self.world.classes[index]
            words = [f", {word}" for word in self.tongue["cues"].get(engine.cue, ())] * 3
            if engine.generator_kw:
                kw = engine.generator_kw.replace(".", self.style.decimals)
                words += [f", {word.format(kw)}" for word in self.tongue["cues"]["generator"]]
                words += [] if engine.cue else [""] * 9
            self.cues[index] = words or [""]
        return self.cues[index]

    def face_of(self, product, place):
        """One of the takes for an interface."""
        key = product.face * TAKES + place
        take = self.faces.get(key)
        if take is None:
            interface = product.engine.interface(product.kind, product.variant)
            take = self.faces[key] = self.face(interface, product.brand.head, product.kind)
        return take

    def face(self, interface, head, kind):
        """One take of an interface."""
        draw, tongue, style = self.draw, self.tongue, self.style
        take = Face()
        take.circle, take.circle_column = self.spacing_words(interface)
        count = interface.holes
        take.holes = f", {draw.pick(tongue['holes']).format(n=count)}"
        take.holes_column = str(count)
        width = HEAD_MM[(interface.thread, head)]
        form = draw.weighted(style.fastener_forms)
        if form == 0:
            text = draw.pick(tongue["thread"]).format(n=count, t=interface.thread)
            take.fastener_column = interface.thread
        elif form == 1:
            text = draw.pick(tongue["head"]).format(n=count, h=width)
            take.fastener_column = draw.pick(tongue["head"]).format(n=count, h=width)
        elif form == 2 and '"' not in width:
            text = draw.pick(tongue["bare"]).format(n=count, h=width)
            take.fastener_column = f"{width} mm"
        else:
            text = draw.pick(tongue["hole"]).format(d=self.number(HOLE_MM[interface.thread]))
            take.fastener_column = f"{count} x {interface.thread}"
        take.fastener = f", {text}"
        take.hole_column = self.number(HOLE_MM[interface.thread])
        take.depth_column = str(interface.depth_mm + draw.below(2))
        take.pawls_column = "" if kind == "shroud" else str(interface.pawls)
        return take

    def spacing_words(self, interface):
        """A hole distance as this supplier measures, rounds and names it."""
        draw, style = self.draw, self.style
        if interface.rectangle:
            a, b = interface.rectangle
            return ", " + draw.pick(self.tongue["rectangle"]).format(a, b), f"{a}x{b}"
        meaning = style.spacing_meaning
        chord = meaning in ("chord", "unsaid-chord")
        value = interface.chord_mm() if chord else interface.circle_mm
        value += draw.between(-0.35, 0.35)
        if style.inches:
            figure = with_unit = inch_fraction(value, draw.pick((" ", "-")))
        else:
            figure = self.number(round(value * 2) / 2) if draw.chance(0.2) else str(round(value))
            with_unit = figure + draw.pick((" mm", "mm"))
        words = self.tongue["unsaid" if meaning.startswith("unsaid") else meaning]
        return ", " + draw.pick(words).format(with_unit), figure + style.spacing_column_unit


def inch_fraction(value_mm, gap):
    """Millimetres as inches to the nearest sixteenth: 104.8 -> 4 1/8\"."""
    sixteenths = round(value_mm / 25.4 * 16)
    whole, rest = divmod(sixteenths, 16)
    if not rest:
        return f'{whole}"'
    common = math.gcd(rest, 16)
    return f'{whole}{gap}{rest // common}/{16 // common}"'
