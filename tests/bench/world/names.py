"""Invented names: engine makers, part brands, series letters.

Every name here is made up. The fixed ones carry the demo scenario; the
syllables grow further ones for larger worlds.
"""

# Makers of engines in the fixed families.
ORIGINATOR = "Tavikor"      # designed the industrial family that others copied
COPYIST = "Ostrevald"       # names its copies by tenths of a horsepower
GLUED_PREFIX = "Lankuo"     # glues its letters to the generic designation
ESTATE = "Brennockel"       # side-valve engines with inch hardware
MOWER = "Marlefors"         # vertical-shaft mower engines
TWIN = "Dunvarth"           # V-twins
DIESEL = "Kaltmoorer"       # air-cooled diesels
HANDHELD = "Sylvapex"       # two-stroke hand-held engines
MINI = "Pellingor"          # minis

# Brands of copied parts; the third value says how dear they are.
PART_BRANDS = [
    ("Rivenstok", "RVN", 1.00),
    ("Torvalin", "TVL", 0.85),
    ("Helmbrax", "HBX", 1.15),
    ("Granuva", "GRN", 0.70),
    ("Oxpindle", "OXP", 0.95),
    ("Varnello", "VRN", 1.05),
    ("Kordwald", "KDW", 1.20),
    ("Pullwerth", "PWT", 0.80),
    ("Fennimoor", "FNM", 0.90),
    ("Ulmgard", "ULM", 1.10),
    ("Dratzin", "DTZ", 0.75),
    ("Cordovane", "CDV", 0.88),
    ("Mistrallo", "MSL", 0.97),
    ("Steppelin", "SPL", 0.65),
    ("Jochbrugg", "JBG", 1.30),
]

FIRST_SYLLABLES = (
    "Bal Cre Dov Eld Fra Gri Hul Ist Jar Kel Lom Mur Nev Orl Pra Quo Rus Sel "
    "Tro Ulv Vex Wol Yar Zan Bru Cla Dre Fol Gan Hes").split()
SECOND_SYLLABLES = (
    "dra ven tor mik sal gun par los neb rit vak zel bro fen hol jus").split()
LAST_SYLLABLES = (
    "mox tig vard ley quist dorn bek sola mere nax pell rund shaw tov wick zor").split()

SERIES_LETTERS = (
    "BQA CQH DZU FQK GZW HQV JQE KZB LQO MZH NQI PZV QBE RQU SZQ TQA UZD VQN "
    "WZA XQH YZB ZQO BZK CZV DQI FZU HZO JZA KQE LZV MQU NZB PQO QHI RZE SQA "
    "TZU VZI WQB XZE YQA ZBU QFA QGU QJO QKI QLE QNA QPU QRO QTI QVE QWA QXU").split()


def grown_name(draw, taken):
    """A new invented name that is in `taken` afterwards."""
    while True:
        name = draw.pick(FIRST_SYLLABLES) + draw.pick(SECOND_SYLLABLES)
        if draw.chance(0.7):
            name += draw.pick(LAST_SYLLABLES)
        if name not in taken:
            taken.append(name)
            return name
