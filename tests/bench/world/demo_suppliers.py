"""The dozen suppliers of the demo scenario, each with its own habits. All invented.

`weight` is the share of the lines; `broken` names the broken lines that are
strewn in; `arranged` how a person sorted the list.
"""

from suppliers import CC_UNITS, PATTERNS, POWER_UNITS, Style

BOM = b"\xef\xbb\xbf"
IN_COLUMNS = dict(codes=0.3, cc=0.12, power=0.08, circle=0.03, fastener=0.02, holes=0.1, cue=0.75, brand=0.2, number=0.05, extra=0.45,
                  colour=0.8, fits_column=0.75, code_column=0.5, cc_column=0.65, power_column=0.5, circle_column=0.5, holes_column=0.5,
                  fastener_column=0.5, hole_column=0.4, depth_column=0.35, pawls_column=0.5, mpn_column=0.75, gtin_column=0.7,
                  replaces_column=0.6, brand_column=0.85)
IN_TITLES = dict(codes=0.62, cc=0.5, power=0.32, circle=0.35, fastener=0.3, holes=0.2, cue=0.8, brand=0.55, number=0.3, extra=0.5,
                 colour=0.85, mpn_column=0.6, gtin_column=0.6, replaces_column=0.5, brand_column=0.8, replaces_title=0.35)


def dozen():
    """The styles in the order of their file names."""
    return [german(), british(), american(), french(), spanish(), italian(), polish(), dutch(), exporter(), marketplace(),
            genuine(), bohemian()]


def german():
    """Columns throughout; semicolons, Windows-1252, decimal commas; sections with subtotals."""
    return Style(
        "zaunholt", file="zaunholt-preisliste-2026-09.csv", about="wholesaler for garden machines, German, attributes in columns", tongue="de", delimiter=";", encoding="cp1252", line_end="\r\n",
        columns=(("sku", "Art.-Nr."), ("title", "Bezeichnung"), ("fits", "Passend für"), ("displacement", "Hubraum ccm"),
                 ("spacing", "Lochkreis mm"), ("bolt_holes", "Lochzahl"), ("fastener", "Schraube"), ("brand", "Marke"), ("gtin", "EAN"),
                 ("replaces", "Vergleichsnr."), ("pack_quantity", "VPE"), ("price", "VK netto EUR"), ("stock", "Lager")),
        preamble=(("Zaunholt Motorgerätetechnik - Händlerpreisliste Kleinmotoren",), ("Stand: 01.09.2026, gültig bis auf Widerruf",),
                  ("Preise je Stück netto in EUR, zzgl. MwSt. und Versand; VPE = Verpackungseinheit",), ()),
        sections=True, subtotals=True, footnotes=3, arranged="section", decimals=",", thousands=".", cc_units=CC_UNITS["de"],
        power_units=POWER_UNITS["de"], spacing_meaning="circle", price_per_pack=False, packs=0.6, sku_pattern="ZH-{}", sku_base=10000,
        sku_stride=7919, sku_span=89999, patterns=PATTERNS[:2], chances=IN_COLUMNS, weight=3.0, wrong=0.015, factor=1.05,
        broken=("ragged", "short", "short"), spoiled=0.004)


def british():
    """Everything in the title; commas, UTF-8 with mark, pounds in the cells."""
    return Style(
        "fenwarden", file="fenwarden_trade_stock.csv", about="British engine-spares counter, all facts in the titles", tongue="en", currency="GBP", byte_order_mark=BOM, line_end="\r\n",
        columns=(("sku", "Stock Code"), ("brand", "Make"), ("mpn", "Mfr Part No"), ("title", "Description"), ("price", "Trade Price"),
                 ("gtin", "Barcode"), ("pack_quantity", "Pack Qty"), ("stock", "Avail"), ("remark", "Notes")),
        spacing_meaning="unsaid-chord", price_sign=("£", ""), thousands=",", sku_pattern="FW{:05d}", sku_base=300, sku_stride=104729,
        sku_span=99991, patterns=(PATTERNS[0], PATTERNS[1], PATTERNS[3]), chances=IN_TITLES, weight=2.6, arranged="sku", packs=0.5,
        wrong=0.025, factor=1.12, footnotes=0, broken=("quote", "ragged", "bytes"), spoiled=0.008, number_form="careless", mixed_ends=True,
        typos=0.004, duplicates=4)


def american():
    """Tabs, inches and fractions; the header again on every page."""
    return Style(
        "cobblestrake", file="cobblestrake_small_engine_2026.txt", about="American distributor, inches and fractions, a printed catalogue turned into text", tongue="en", currency="USD", delimiter="\t",
        columns=(("sku", "Part No"), ("gtin", "UPC"), ("brand", "Brand"), ("mpn", "Mfr #"), ("category", "Group"), ("title", "Description"), ("fits", "Engine"),
                 ("displacement", "Disp."), ("power", "HP"), ("spacing", "Bolt Ctr to Ctr"), ("fastener", "Bolt Size"),
                 ("price", "Price USD"), ("unit_of_measure", "U/M")),
        preamble=("Cobblestrake Small Engine Supply\tFall 2026 Dealer Price Book", "Prices in US dollars, F.O.B. warehouse"), repeat_header=70,
        inches=True, bare_power=True, spacing_meaning="chord", cc_units=("cc", " cc"), sku_pattern="{}-CB", sku_base=200000, sku_stride=15485863,
        sku_span=799999, patterns=(PATTERNS[0], PATTERNS[3]), chances=IN_COLUMNS, weight=2.3, arranged="title", wrong=0.015, factor=0.98, unit="EA",
        broken=("short", "ragged"), spoiled=0.004)


def french():
    """Capitals, prices with the euro sign, rubrics and blank lines."""
    return Style(
        "vaubrisel", file="vaubrisel_tarif_2026.csv", about="French parts house, capitals, all facts in the titles", tongue="fr", delimiter=";",
        columns=(("sku", "Réf."), ("title", "Désignation"), ("replaces", "Réf. origine"), ("gtin", "Gencod"), ("price", "PU HT"),
                 ("pack_quantity", "Colisage"), ("stock", "Dispo")),
        preamble=("VAUBRISEL MOTOCULTURE - TARIF REVENDEURS 2026;;;;;;", ";;;;;;"), sections=True, blank_every=45, arranged="section", decimals=",",
        thousands="\u00a0", price_sign=("", "\u00a0€"), cc_units=CC_UNITS["fr"], power_units=POWER_UNITS["fr"], spacing_meaning="chord", upper=True,
        sku_pattern="VB {:05d}", sku_base=1000, sku_stride=32452843, sku_span=98999, patterns=(PATTERNS[0], PATTERNS[3]), chances=IN_TITLES,
        weight=2.0, wrong=0.02, footnotes=3, factor=1.15, broken=("bytes", "short"), spoiled=0.003)


def spanish():
    """Columns; "distance between holes" is meant as the bolt circle, and nothing says so."""
    return Style(
        "orbisneda", file="orbisneda-tarifa-otono.csv", about="Spanish workshop supplier, attributes in columns", tongue="es", delimiter=";", encoding="cp1252", line_end="\r\n",
        columns=(("sku", "Código"), ("title", "Descripción"), ("fits", "Aplicación"), ("displacement", "Cilindrada cc"), ("power", "CV"),
                 ("spacing", "Distancia agujeros"), ("bolt_holes", "Nº agujeros"), ("hole_diameter", "Ø agujero"), ("brand", "Marca"), ("mpn", "Ref. fabricante"),
                 ("price", "P.V. neto"), ("currency", "Divisa"), ("stock", "Existencias"), ("remark", "Observaciones")),
        decimals=",", thousands=".", cc_units=CC_UNITS["es"], power_units=POWER_UNITS["es"], bare_power=True, spacing_meaning="unsaid-circle",
        sku_pattern="OR.{:06d}", sku_base=40000, sku_stride=49979687, sku_span=899981, patterns=(PATTERNS[0], PATTERNS[2]), chances=IN_COLUMNS,
        weight=1.8, arranged="sku", wrong=0.02, factor=1.0, trailing_delimiter=True, broken=("ragged", "short"), spoiled=0.004)


def italian():
    """A host-system dump: cryptic headings, prices with three decimals. Detection misreads it; a profile is committed."""
    return Style(
        "valtornese", file="valtornese_dump.txt", about="Italian wholesaler's host-system dump, read by its committed profile", tongue="it", delimiter="|", encoding="cp1252", line_end="\r\n",
        columns=(("sku", "CODART"), ("title", "DESART"), ("mpn", "CODFOR"), ("brand", "MARCA"), ("gtin", "BARCOD"), ("replaces", "RIFORI"),
                 ("displacement", "TEC1"), ("spacing", "TEC2"), ("bolt_holes", "TEC3"), ("price", "PRZ01"), ("pack_quantity", "QTACNF"),
                 ("stock", "GIAC")),
        preamble=("*** LISTINO VALTORNESE RICAMBI *** ELAB. 02/09/26 PAG. 001", "*" * 60), decimals=",", price_digits=3, cc_units=CC_UNITS["it"],
        power_units=POWER_UNITS["it"], spacing_meaning="chord", sku_pattern="{:08d}", sku_base=4000, sku_stride=67867967, sku_span=9999991,
        patterns=(PATTERNS[0], PATTERNS[3]), chances=IN_COLUMNS, weight=1.7, arranged="sku", wrong=0.015, factor=0.95, upper=True, list_joint="/",
        price_per_pack=True, packs=0.7, broken=("short", "ragged"), number_form="squeezed")


def polish():
    """UTF-16 with tabs, as a spreadsheet saves "Unicode text"; prices in zloty."""
    return Style(
        "brzozalin", file="brzozalin_cennik_hurt.txt", about="Polish wholesaler, spreadsheet saved as Unicode text", tongue="pl", currency="PLN", delimiter="\t", encoding="utf-16-le", byte_order_mark=b"\xff\xfe",
        line_end="\r\n",
        columns=(("sku", "Indeks"), ("title", "Nazwa towaru"), ("mpn", "Nr producenta"), ("replaces", "Nr oryginalny"), ("engine_code", "Typ silnika"),
                 ("spacing", "Rozstaw otworów"), ("fastener", "Śruba"), ("gtin", "EAN"), ("unit_of_measure", "JM"), ("price", "Cena netto"),
                 ("stock", "Stan mag."), ("weight", "Waga kg")),
        preamble=("Brzozalin Części Silnikowe\tCennik hurtowy nr 9/2026\tceny netto w PLN, VAT 23%", ""), decimals=",", cc_units=CC_UNITS["pl"],
        power_units=POWER_UNITS["pl"], spacing_meaning="unsaid-chord", sku_pattern="BR-{:05d}", sku_base=500, sku_stride=86028121, sku_span=99989,
        patterns=(PATTERNS[0], PATTERNS[1]), chances=dict(IN_COLUMNS, codes=0.5, cc=0.4, power=0.3), weight=1.7, arranged="title", wrong=0.02,
        factor=0.82, footnotes=3, broken=("short",), number_form="spaced")


def dutch():
    """Packed with gzip; article numbers with leading zeros."""
    return Style(
        "drevelink", file="drevelink_prijslijst.csv.gz", about="Dutch importer, nightly export packed with gzip", tongue="nl", delimiter=";", compress=True,
        columns=(("sku", "Artikelnr"), ("category", "Groep"), ("title", "Omschrijving"), ("brand", "Merk"), ("gtin", "EAN"), ("replaces", "Vervangt"), ("fits", "Geschikt voor"),
                 ("displacement", "Cilinderinhoud"), ("spacing", "Steekcirkel mm"), ("fastener", "Bout"), ("depth", "Diepte mm"), ("price", "Prijs excl. btw"),
                 ("pack_quantity", "Verpakking"), ("stock", "Voorraad"), ("lead_time", "Levertijd")),
        decimals=",", cc_units=CC_UNITS["nl"], cc_column_unit=" cc", power_units=POWER_UNITS["nl"], spacing_meaning="circle", sku_pattern="{:07d}",
        sku_base=20000, sku_stride=122949823, sku_span=899891, patterns=(PATTERNS[0], PATTERNS[2]), chances=IN_COLUMNS, weight=1.6,
        arranged="drawn", wrong=0.02, factor=1.02, price_per_pack=True, packs=0.5, broken=("ragged", "bytes"))


def exporter():
    """A workbook, Chinese beside English, lots and minimum orders, yuan."""
    return Style(
        "qianluo", file="qianluo_offer_2026-09.xlsx", about="exporter's offer sheet, a workbook, lots and minimum orders", tongue="zh", currency="CNY", workbook="Offer",
        columns=(("sku", "货号 Item No."), ("title", "品名 Description"), ("fits", "适用机型 Application"), ("displacement", "排量 Displacement"),
                 ("spacing", "孔距 Hole distance mm"), ("bolt_holes", "孔数 Holes"), ("replaces", "原厂编号 OEM No."), ("mpn", "厂家编号 Mfr No."),
                 ("pack_quantity", "每包数量 Pcs/lot"), ("minimum_order", "起订量 MOQ"), ("price", "单价 Unit Price"), ("currency", "币种 Currency"),
                 ("weight", "重量 G.W. kg")),
        preamble=("Qianluo Power Parts Export 千罗动力配件", "Quotation QL-2609 / valid 30 days / EXW"), sections=True, cc_units=("cc",),
        spacing_meaning="unsaid-circle", sku_pattern="QL{:04d}", sku_base=1000, sku_stride=7907, sku_span=8999, patterns=(PATTERNS[0], PATTERNS[2]),
        chances=dict(IN_COLUMNS, mpn_column=0.5, replaces_column=0.5), weight=1.5, arranged="section", wrong=0.03, factor=0.45, wholesale=True,
        packs=0.9, price_per_pack=False, originals="never", footnotes=2, broken=(), currency_word="RMB", tiers=0.06)


def marketplace():
    """The unsound one: everything quoted, long titles, every third line with a wrong claim."""
    return Style(
        "steppenbrook", file="steppenbrook_feed.csv", about="marketplace seller, long titles; the unsound one of the dozen", tongue="en", currency="USD", quote_all=True, line_end="\r\n",
        columns=(("sku", "sku"), ("title", "title"), ("description", "description"), ("brand", "brand"), ("mpn", "mpn"), ("gtin", "gtin"),
                 ("price", "price"), ("currency", "currency"), ("stock", "quantity"), ("weight", "weight_kg")),
        spacing_meaning="unsaid-chord", cc_units=("cc", "CC", " cc"), sku_pattern="SB_{:x}", sku_base=500000, sku_stride=7919, sku_span=900001,
        patterns=(PATTERNS[1], PATTERNS[3], PATTERNS[4]), chances=dict(IN_TITLES, codes=0.8, cc=0.65, power=0.5, circle=0.3), weight=2.0,
        arranged="drawn", wrong=0.12, factor=0.9, multiline=0.5, entities=True, originals="never", packs=0.8, broken=("short", "ragged"), universal=0.06, typos=0.008)


def genuine():
    """Original parts only, with supersessions."""
    return Style(
        "kettelbarn", file="kettelbarn-genuine-parts.csv", about="dealer of engine makers' own parts, with supersessions", tongue="en", currency="EUR",
        columns=(("mpn", "Part Number"), ("replaces", "Supersedes"), ("title", "Description"), ("brand", "Manufacturer"), ("engine_code", "Engine Type"),
                 ("spacing", "P.C.D. mm"), ("bolt_holes", "Holes"), ("depth", "Depth mm"), ("pawls", "Pawls"), ("price", "List Price EUR"), ("weight", "Weight kg"), ("sku", "Order Ref")),
        spacing_meaning="circle", sku_pattern="KB{:06d}", sku_base=1000, sku_stride=611953, sku_span=899891, patterns=(PATTERNS[0],),
        chances=dict(IN_COLUMNS, mpn_column=1.0, replaces_column=0.9, brand_column=1.0), weight=0.5, arranged="title", wrong=0.005, factor=1.1,
        originals="only", broken=("ragged",))


def bohemian():
    """Bohemian counter: English headings over German texts, prices in crowns."""
    return Style(
        "zelenohor", file="zelenohor-export.csv", about="Bohemian counter, English headings over German texts, prices in crowns", tongue="de", currency="CZK", delimiter=";", byte_order_mark=BOM,
        columns=(("sku", "Code"), ("title", "Name"), ("brand", "Brand"), ("gtin", "EAN"), ("replaces", "Replaces"), ("price", "Price CZK"), ("stock", "Stock")),
        decimals=",", thousands=" ", cc_units=CC_UNITS["de"], power_units=POWER_UNITS["de"], spacing_meaning="unsaid-chord", sku_pattern="Z{:05d}",
        sku_base=100, sku_stride=7907, sku_span=99991, patterns=(PATTERNS[0], PATTERNS[2]), chances=IN_TITLES, weight=1.0, arranged="sku", wrong=0.02,
        factor=0.9, broken=("short",))
