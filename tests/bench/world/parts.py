"""Products: the very same made part, with its numbers.

A product has one maker, one part number (a few also a former one that it
supersedes) and one barcode per pack size. Barcodes use the prefix 952, which
GS1 keeps for examples, or a leading zero where the brand prints UPC codes.
The numbers of engine makers' own parts of a class are what copies "replace".
"""

import names
from draw import Draw, running_sum
from engines import KINDS

COLOURS = ("black", "red", "blue", "yellow", "white")
KIND_WEIGHTS = running_sum((0.62, 0.15, 0.23))
BASE_PRICE = {"recoil-starter": 9.5, "shroud": 12.0, "assembly": 16.5}
BASE_WEIGHT = {"recoil-starter": 0.55, "shroud": 0.62, "assembly": 1.15}
NUMBER_SHAPES = 7


def check_digit(digits):
    """GS1 General Specifications, check digit: weights 3, 1 from the right."""
    total = 0
    weight = 3
    for digit in reversed(digits):
        total += weight * int(digit)
        weight = 4 - weight
    return str(-total % 10)


class Brand:
    """A maker of parts with the next numbers it will give."""

    def __init__(self, name, letters, dear, shape, draw, first_prefix):
        self.name = name
        self.letters = letters
        self.dear = dear
        self.shape = shape
        self.head = 8 if draw.chance(0.5) else 10
        self.next_number = 410000 + draw.below(40) if shape == 5 else 20000 + draw.below(60000)
        self.upc = draw.chance(0.2)
        self.prefix = first_prefix
        self.next_item = draw.below(900)
        self.revisions = {}

    def part_number(self, draw, engine):
        """The next part number; shapes differ between makers, not within one."""
        self.next_number += 1 + draw.below(6)
        n, letters, shape = self.next_number, self.letters, self.shape
        if shape == 0:
            return f"{letters}-{n:05d}"
        if shape == 1:
            return f"{n // 1000:03d}-{n % 1000:03d}"
        if shape == 2:
            return f"{n // 10000:02d}.{n // 100 % 100:02d}.{n % 100:02d}{letters[0]}"
        if shape == 3:
            return f"{letters[0]}{n:06d}"
        if shape == 4:
            return f"{letters}{int(engine.models[0].cc)}-{n}"
        if shape == 5:
            return f"{n:07d}"
        return f"{letters[:2]}{n % 100:02d}-{n // 100:04d}"

    def barcode(self, maker):
        """The next barcode of this brand."""
        self.next_item += 1
        if self.next_item > 99999:
            self.next_item = 0
            self.prefix = maker.next_prefix()
        if self.upc:
            digits = f"0{self.prefix + 10000:05d}{self.next_item:05d}"
        else:
            digits = f"952{self.prefix:04d}{self.next_item:05d}"
        return digits + check_digit(digits)


class Product:
    """One made part."""

    __slots__ = ("serial", "kind", "engine", "variant", "group", "brand", "original", "mpn", "former",
                 "gtin", "pack_gtin", "replaces", "colour", "price", "weight", "face", "taste")


class PartMaker:
    """An endless, seeded stream of products over the engine classes."""

    def __init__(self, seed, classes, lines):
        self.seed = seed
        self.draw = Draw(f"{seed}/products")
        self.classes = classes
        self.class_weights = running_sum([one.weight for one in classes])
        self.serial = 0
        self.prefixes = 0
        self.brands = self.make_brands(lines)
        self.brand_weights = running_sum([1.0 / (3 + rank) for rank in range(len(self.brands))])
        self.makers = {}
        self.replaced = {}
        self.last = None

    def next_prefix(self):
        """A company prefix no other brand has."""
        self.prefixes += 1
        return (self.prefixes * 137) % 8999

    def make_brands(self, lines):
        """Brands of copies: the fixed ones and, in larger worlds, grown ones."""
        draw = Draw(f"{self.seed}/brands")
        rows = list(names.PART_BRANDS)
        taken = [row[0] for row in rows]
        for _ in range(min(60, lines // 5000)):
            name = names.grown_name(draw, taken)
            rows.append((name, (name[0] + name[2:4]).upper(), draw.between(0.6, 1.4)))
        return [Brand(name, letters, dear, rank % NUMBER_SHAPES, draw, self.next_prefix())
                for rank, (name, letters, dear) in enumerate(rows)]

    def maker(self, name):
        """The engine maker as a brand of original parts."""
        if name not in self.makers:
            draw = Draw(f"maker {name}")
            self.makers[name] = Brand(name, name[:1].upper() + name[2:4].upper(), 3.2, 1, draw, self.next_prefix())
        return self.makers[name]

    def original_number(self, brand, kind):
        """An engine maker's part number, with the kind in its middle block."""
        brand.next_number += 1 + self.draw.below(9)
        n = brand.next_number
        middle = (417, 552, 683)[KINDS.index(kind)]
        return f"{brand.letters}{n // 1000:02d}-{middle}-{n % 1000:03d}"

    def numbers_of(self, engine, kind, variant):
        """Original numbers of a fit group, which copies say they replace."""
        key = (engine.index, kind, variant)
        if key not in self.replaced:
            count = 2 + self.draw.below(4)
            self.replaced[key] = [(maker, self.original_number(maker, kind)) for maker in
                                  (self.maker(self.draw.pick(engine.makers)) for _ in range(count))]
        return self.replaced[key]

    def next(self):
        """The next product."""
        draw = self.draw
        last = self.last
        if last is not None and last.colour and draw.random() < 0.15:
            product = self.sibling(last)
        else:
            product = self.fresh()
        self.serial += 1
        product.serial = self.serial
        product.taste = draw.below(1 << 30)
        self.last = product
        return product

    def fresh(self):
        """A product that is no colour variant of the last one."""
        draw = self.draw
        product = Product()
        engine = self.classes[draw.weighted(self.class_weights)]
        kind_index = draw.weighted(KIND_WEIGHTS)
        kind = KINDS[kind_index]
        variant = 1 if kind in engine.variant and draw.random() < 0.07 else 0
        product.kind, product.engine, product.variant = kind, engine, variant
        product.group = engine.group(kind, variant)
        known = self.numbers_of(engine, kind, variant)
        product.original = draw.random() < 0.13
        product.former = ""
        product.colour = draw.pick(COLOURS) if draw.random() < 0.4 else ""
        if product.original:
            brand, number = self.original(known, kind)
            if draw.random() < 0.12:
                product.former = self.original_number(brand, kind)
            product.replaces = ()
        else:
            brand = self.brands[draw.weighted(self.brand_weights)]
            number = brand.part_number(draw, engine)
            product.replaces = tuple(draw.some([n for _, n in known], 1 + draw.below(2)))
        product.brand, product.mpn = brand, number
        self.barcodes(product)
        size = 0.75 + engine.models[-1].cc / 520.0
        product.price = BASE_PRICE[kind] * size * brand.dear * draw.between(0.8, 1.25)
        product.weight = BASE_WEIGHT[kind] * size * draw.between(0.9, 1.1)
        product.face = ((engine.index * 3 + kind_index) * 2 + variant) * 2 + (brand.head == 10)
        return product

    def original(self, known, kind):
        """An original part: one of the numbers others replace, or a further one."""
        maker, number = self.draw.pick(known)
        if self.draw.random() < 0.6:
            return maker, self.unused(maker, number)
        return maker, self.original_number(maker, kind)

    def unused(self, maker, number):
        """The number itself the first time, a revision of it afterwards."""
        count = maker.revisions.get(number, 0)
        maker.revisions[number] = count + 1
        return f"{number}-{count:02d}" if count else number

    def sibling(self, last):
        """The same part in another colour: own number suffix, own barcode."""
        product = Product()
        for slot in ("kind", "engine", "variant", "group", "brand", "original", "replaces", "weight", "face"):
            setattr(product, slot, getattr(last, slot))
        colours = [one for one in COLOURS if one != last.colour]
        product.colour = self.draw.pick(colours)
        stem = last.mpn[:-3] if last.mpn[-3:-1] == "-Z" else last.mpn
        product.mpn = f"{stem}-Z{'ABCDE'[COLOURS.index(product.colour)]}"
        product.former = ""
        product.price = last.price * self.draw.between(0.97, 1.03)
        self.barcodes(product)
        return product

    def barcodes(self, product):
        """One barcode for the single part; one for its pack where it is sold in packs."""
        product.gtin = product.brand.barcode(self)
        product.pack_gtin = product.brand.barcode(self) if self.draw.random() < 0.1 else ""
