"""Look-alikes: parts near a starter or shroud that are no part in scope.

Their titles name the starter they belong to ("rope for recoil starter 168F"),
which is what makes them look alike.
"""

# Usual price of each in euros, invented.
PRICES = {"rope": 2.4, "spring": 1.9, "pawl": 2.1, "starter-motor": 34.0, "solenoid": 8.5, "carburettor": 14.0, "cup": 3.1,
          "grip": 1.4, "repair-kit": 6.8, "reel": 3.6, "flywheel": 19.0, "fan": 4.2, "screws": 2.0, "air-filter": 6.9,
          "ignition-coil": 9.8, "fuel-tank": 21.0, "gasket": 5.2, "muffler": 15.5, "spark-plug": 1.8, "oil-seal": 1.5, "screen": 3.3}
BRANDS = ("Rivenstok", "Granuva", "Oxpindle", "")
HEAVY = ("starter-motor", "flywheel", "fuel-tank", "muffler")


def look_alike(writer, engine):
    """Cells of one look-alike in the words of a `LineWriter`, and what it is."""
    draw, style, chances = writer.draw.random, writer.style, writer.style.chances
    things = writer.tongue["aside"]
    thing, pattern = things[int(draw() * len(things))]
    roll = int(draw() * 4096)
    served = writer.wording.served_by(engine.index, roll & 7)
    form = roll >> 3 & 7
    words = served.codes if form < 4 else served.cc_for if form < 6 else ""
    title = pattern.replace("{f}", words)
    if roll % 5 == 0 and words:
        title += served.power
    cells = [""] * 28
    cells[5] = title.upper() if style.upper else title
    if chances.get("fits_column", 0) > draw():
        cells[7] = served.fits
    if chances.get("cc_column", 0) > draw():
        cells[9] = served.cc_column
    if chances.get("brand_column", 0) > draw():
        cells[3] = engine.makers[0] if style.originals == "only" else BRANDS[roll % 4]
    if chances.get("mpn_column", 0) > draw():
        letters = engine.makers[0][:2].upper() if style.originals == "only" else thing[:2].upper()
        cells[1] = f"{letters}{roll:04d}-{writer.count % 100:02d}"
    if chances.get("gtin_column", 0) * 0.4 > draw():
        cells[4] = barcode(roll, writer.count)
    cells[17] = style.price_text(PRICES[thing] * style.factor * (0.7 + 0.8 * draw()))
    weight = 1.8 if thing in HEAVY else 0.05 + (roll % 40) / 100
    writer.common(cells, roll, 1, weight, "aside")
    return cells, thing


def barcode(roll, count):
    """A barcode from the highest prefixes for examples, which no product in scope uses."""
    digits = f"9529{roll % 1000:03d}{count % 100000:05d}"
    total = sum((3 if place % 2 else 1) * int(digit) for place, digit in enumerate(digits))
    return digits + str(-total % 10)
