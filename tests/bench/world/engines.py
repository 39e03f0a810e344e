"""Engine families, their size classes and their true interfaces.

A fit group is (kind, family x size class, variant): what is written here is
what "fits" means in the generated world. Bores, strokes and ratings of the
generic designations (168F, 188F ...) follow GB/T 725 naming and common
practice; all hole spacings, depths and maker codes are invented, because no
public figures for them exist.
"""

import math
from dataclasses import dataclass, field

import names

KINDS = ("recoil-starter", "shroud", "assembly")


@dataclass
class Interface:
    """How a part sits on the engine; lengths in mm."""

    holes: int
    circle_mm: float
    thread: str = "M6"
    pawls: int = 2
    depth_mm: int = 45
    rectangle: tuple = ()

    def chord_mm(self):
        """Distance of neighbouring holes on the bolt circle."""
        return self.circle_mm * math.sin(math.pi / self.holes)


@dataclass
class Model:
    """One engine of a class: generic code, volume in cc, names it is sold as."""

    code: str
    cc: float
    sold: tuple
    hp: float
    named: list = field(default_factory=list)


@dataclass
class EngineClass:
    """Engines that share starter and shroud."""

    family: str
    size: str
    models: list
    starter: Interface
    case: Interface
    weight: float
    cue: str = ""
    makers: tuple = ()
    generator_kw: str = ""
    variant: dict = field(default_factory=dict)
    index: int = 0

    def interface(self, kind, variant):
        """The interface of a kind; a rare variant has its own bolt circle."""
        if variant and kind in self.variant:
            return self.variant[kind]
        return self.starter if kind == "recoil-starter" else self.case

    def group(self, kind, variant):
        """Name of the true fit group."""
        tail = "/variant" if variant else ""
        return f"{kind}/{self.family}/{self.size}{tail}"


def models(rows, makers):
    """Rows of (code, cc, sold, hp, {maker: code})."""
    made = []
    for code, cc, sold, hp, named in rows:
        pairs = [(maker, named[maker]) for maker in makers if maker in named]
        made.append(Model(code, cc, sold, hp, pairs))
    return made


def industrial():
    """The widely copied horizontal-shaft family: three classes."""
    maker, copy, glued = names.ORIGINATOR, names.COPYIST, names.GLUED_PREFIX
    makers = (maker, copy, glued)

    def row(code, cc, sold, hp, first, second):
        third = f"LKU{code}" if code else ""
        named = {maker: first, copy: second}
        if third:
            named[glued] = third
        return (code, cc, sold, hp, named)

    small = models([
        row("160F", 118.75, (118, 119), 4, "TKH120", "OVD40"),
        row("168F", 163.43, (163,), 5.5, "TKH160", "OVD55"),
        row("168F-2", 196.11, (196, 200), 6.5, "TKH200", "OVD65"),
        row("170F", 211.67, (212, 208, 210), 7, "TKH210", "OVD70"),
    ], makers)
    medium = models([
        row("173F", 242.75, (242, 240), 8, "TKH240", "OVD80"),
        row("177F", 270.08, (270,), 9, "TKH270", "OVD90"),
    ], makers)
    large = models([
        row("182F", 337.98, (337, 338, 340), 11, "TKH340", "OVD110"),
        row("188F", 389.26, (389, 390), 13, "TKH390", "OVD130"),
        row("190F", 419.87, (420,), 15, "TKH420", "OVD150"),
        row("192F", 438.74, (439, 440), 16, "TKH440", "OVD160"),
    ], makers)
    return [
        EngineClass("industrial", "small", small, Interface(3, 118.0), Interface(4, 172.0, depth_mm=82),
                    20.0, makers=makers, generator_kw="2.5",
                    variant={"recoil-starter": Interface(3, 124.5, depth_mm=49),
                             "assembly": Interface(4, 178.0, depth_mm=86)}),
        EngineClass("industrial", "medium", medium, Interface(3, 140.0, depth_mm=50),
                    Interface(4, 198.0, depth_mm=90), 8.0, makers=makers, generator_kw="4"),
        EngineClass("industrial", "large", large, Interface(3, 165.0, depth_mm=56),
                    Interface(4, 226.0, depth_mm=98), 14.0, makers=makers, generator_kw="5",
                    variant={"recoil-starter": Interface(3, 158.0, depth_mm=60)}),
    ]


def residential():
    """The same maker's household series: same volumes, other interface."""
    maker = names.ORIGINATOR
    small = models([("", 160.0, (160,), 5, {maker: "TKR160"}),
                    ("", 187.0, (187, 190), 6, {maker: "TKR190"})], (maker,))
    medium = models([("", 271.0, (270, 271), 8.5, {maker: "TKR270"})], (maker,))
    return [
        EngineClass("residential", "small", small, Interface(3, 129.0, depth_mm=38),
                    Interface(3, 184.0, depth_mm=74), 4.0, makers=(maker,)),
        EngineClass("residential", "medium", medium, Interface(3, 151.0, depth_mm=42),
                    Interface(3, 206.0, depth_mm=80), 1.6, makers=(maker,)),
    ]


def mower():
    """Vertical shaft: equal displacement, another starter."""
    first, second = names.MOWER, names.ORIGINATOR
    small = models([("1P64F", 139.0, (139, 140), 4, {first: "MLV140"}),
                    ("1P68F", 163.43, (163, 160), 4.4, {first: "MLV160", second: "TKV160"})], (first, second))
    large = models([("1P70F", 173.0, (173,), 5, {first: "MLV173"}),
                    ("1P73F", 190.0, (190,), 5.5, {first: "MLV190", second: "TKV190"})], (first, second))
    return [
        EngineClass("mower", "small", small, Interface(3, 108.0, pawls=2, depth_mm=31),
                    Interface(3, 160.0, depth_mm=60), 4.0, cue="vertical", makers=(first, second)),
        EngineClass("mower", "large", large, Interface(4, 121.0, pawls=2, depth_mm=33),
                    Interface(4, 168.0, depth_mm=64), 2.4, cue="vertical", makers=(first, second)),
    ]


def twins():
    """V-twins share nothing with the singles."""
    maker, copy = names.TWIN, names.COPYIST
    small = models([("2V77F", 570.0, (570,), 17, {maker: "DVT570"}),
                    ("2V78F", 614.0, (614, 620), 19, {maker: "DVT620", copy: "OVD200"})], (maker, copy))
    large = models([("2V80F", 688.08, (688, 690), 22, {maker: "DVT690", copy: "OVD220"}),
                    ("2V83F", 764.0, (764, 765), 25, {maker: "DVT770"})], (maker, copy))
    return [
        EngineClass("twin", "small", small, Interface(4, 186.0, "M8", depth_mm=62),
                    Interface(6, 262.0, "M8", depth_mm=120), 1.4, cue="twin", makers=(maker, copy)),
        EngineClass("twin", "large", large, Interface(4, 198.0, "M8", depth_mm=66),
                    Interface(6, 280.0, "M8", depth_mm=126), 1.2, cue="twin", makers=(maker, copy)),
    ]


def diesels():
    """Air-cooled diesels wear codes of the same shape as petrol engines."""
    maker, glued = names.DIESEL, names.GLUED_PREFIX
    small = models([("170F", 211.0, (211,), 4, {maker: "KMD170"}),
                    ("178F", 296.0, (296,), 6, {maker: "KMD178", glued: "LKU178F"})], (maker, glued))
    large = models([("186F", 406.0, (406, 418), 9, {maker: "KMD186", glued: "LKU186FA"}),
                    ("188F", 456.0, (456,), 10, {maker: "KMD188"}),
                    ("192F", 499.0, (499, 498), 12, {maker: "KMD192"})], (maker, glued))
    return [
        EngineClass("diesel", "small", small, Interface(3, 145.0, "M8", depth_mm=58),
                    Interface(4, 214.0, "M8", depth_mm=96), 2.4, cue="diesel",
                    makers=(maker, glued), generator_kw="3"),
        EngineClass("diesel", "large", large, Interface(3, 171.0, "M8", depth_mm=63),
                    Interface(4, 238.0, "M8", depth_mm=104), 3.0, cue="diesel",
                    makers=(maker, glued), generator_kw="6"),
    ]


def side_valves():
    """Side valves: inch hardware, four screws, volumes in cubic inches."""
    maker = names.ESTATE
    small = models([("", 145.2, (145, 148), 3.5, {maker: "BKL 35"}),
                    ("", 205.0, (205,), 5, {maker: "BKL 50"})], (maker,))
    large = models([("", 305.5, (305, 306), 8, {maker: "BKL 80"}),
                    ("", 399.7, (399, 400), 10, {maker: "BKL 100"})], (maker,))
    return [
        EngineClass("side-valve", "small", small, Interface(4, 133.35, "1/4-20", 1, 40),
                    Interface(4, 190.5, "1/4-20", depth_mm=70), 2.2, cue="side-valve", makers=(maker,)),
        EngineClass("side-valve", "large", large, Interface(4, 161.9, "1/4-20", 1, 46),
                    Interface(4, 222.25, "5/16-18", depth_mm=84), 1.4, cue="side-valve", makers=(maker,)),
    ]


def handhelds():
    """Two-strokes: four small screws on a rectangle."""
    maker = names.HANDHELD
    small = models([("1E34F", 26.0, (26,), 1, {maker: "SYB26"}),
                    ("1E36F", 33.0, (33,), 1.2, {maker: "SYB33"})], (maker,))
    large = models([("1E40F-5", 42.7, (43,), 1.7, {maker: "SYB43"}),
                    ("1E44F-5", 51.7, (52,), 2.2, {maker: "SYB52"})], (maker,))
    return [
        EngineClass("two-stroke", "small", small, Interface(4, 75.0, "M5", 1, 24, (45, 60)),
                    Interface(4, 96.0, "M5", depth_mm=38), 2.0, cue="two-stroke", makers=(maker,)),
        EngineClass("two-stroke", "large", large, Interface(4, 87.2, "M5", 1, 26, (52, 70)),
                    Interface(4, 112.0, "M5", depth_mm=40), 3.0, cue="two-stroke", makers=(maker,)),
    ]


def minis():
    """Minis differ among each other: every code is a class of its own."""
    maker, glued = names.MINI, names.GLUED_PREFIX
    one = models([("152F", 97.69, (97, 98), 2.6, {maker: "PLR98", glued: "LKU152F"})], (maker, glued))
    two = models([("154F", 87.03, (87,), 2.4, {maker: "PLR87"})], (maker,))
    three = models([("156F", 98.52, (98, 99), 3, {maker: "PLR99", glued: "LKU156F"})], (maker, glued))
    return [
        EngineClass("mini", "152F", one, Interface(3, 92.0, depth_mm=30), Interface(3, 131.0, depth_mm=52),
                    1.6, makers=(maker, glued), generator_kw="0.8"),
        EngineClass("mini", "154F", two, Interface(3, 88.0, depth_mm=28), Interface(3, 126.0, depth_mm=50),
                    1.2, makers=(maker,)),
        EngineClass("mini", "156F", three, Interface(3, 98.0, depth_mm=32), Interface(3, 138.0, depth_mm=54),
                    1.2, makers=(maker, glued)),
    ]


def fixed_classes():
    """The families that every world has, in a fixed order."""
    made = (industrial() + residential() + mower() + twins() + diesels()
            + side_valves() + handhelds() + minis())
    return number(made)


def number(classes):
    """Gives every class its place in the list."""
    for index, one in enumerate(classes):
        one.index = index
    return classes
