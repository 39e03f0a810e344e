"""Who sells what: hands each product to its sellers and settles the truth of their lines.

A product is offered by four sellers on average; how many is skewed (a few
parts are sold by everybody, an eighth by one seller only). Now and then a
seller lists it twice, as a pack or by mistake. Look-alikes are strewn between
the offers, a quarter as many.
"""

import mess

SELLERS = ((1,) * 12 + (2,) * 16 + (3,) * 18 + (4,) * 16 + (5,) * 12 + (6,) * 9 + (7,) * 6 + (8,) * 4
           + (9, 10, 11, 12, 13, 14, 16))
LISTED_TWICE = 0.15
ASIDE_PER_OFFER = 0.25


def connected(lines):
    """The identifiers, as bits, that hang together over most lines: one line shows the number, another number and
    barcode, a third the barcode. A line whose identifier no other line shows cannot be told to be this product."""
    best, most = 0, 0
    for first in lines:
        reach = first
        for bits in lines + lines + lines:
            if bits & reach:
                reach |= bits
        count = sum(1 for bits in lines if bits & reach)
        if count > most:
            best, most = reach, count
    return best


class Market:
    """All sellers of a world. A seller has `.style`, `.writer` (a LineWriter) and `.order` (places of its columns)."""

    def __init__(self, sellers, draw):
        self.sellers, self.draw = sellers, draw
        self.slots = []
        for seller in sellers:
            self.slots += [seller] * max(1, round(seller.style.weight * 20))
        self.specialists = [seller for seller in sellers if seller.style.originals == "only"]
        self.most = min(len(sellers), max(SELLERS))

    def choose(self, product):
        """The sellers of one product."""
        roll, slots = self.draw.random, self.slots
        wanted = min(SELLERS[int(roll() * len(SELLERS))], self.most)
        chosen = [seller for seller in self.specialists if product.original and roll() < 0.8]
        for _ in range(wanted * 12):
            if len(chosen) >= wanted:
                break
            seller = slots[int(roll() * len(slots))]
            if seller not in chosen and seller.style.sells(product):
                chosen.append(seller)
        if chosen and roll() < LISTED_TWICE:
            chosen.append(chosen[0])
        return chosen

    def hand_out(self, product):
        """Rows (seller, all cells, cells of its columns, truth) for a product and the look-alikes strewn behind it."""
        roll = self.draw.random
        made = []
        settled = 0
        for seller in self.choose(product):
            cells, bits, settles = seller.writer.offer(product)
            style = seller.style
            if roll() < style.spoiled:
                bits = mess.spoil(cells, bits, style.field_order, int(roll() * 1000))
            if settles:
                settled |= bits
            made.append((seller, cells, bits, settles))
        for _, _, bits, _ in made + made:  # a number shown together with one that settles, settles too
            if bits & settled:
                settled |= bits
        joined = connected([bits for _, _, bits, _ in made])
        head = f"offer,{product.kind},P{product.serial:07d},{product.group},"
        rows = []
        for seller, cells, bits, settles in made:
            tail = f"{head}{'yes' if bits & joined else 'no'},{'yes' if settles or bits & settled else 'no'}\n"
            rows.append((seller, cells, [cells[place] for place in seller.order], tail))
            if roll() < ASIDE_PER_OFFER:
                rows.append(self.look_alike(product.engine))
        return rows

    def look_alike(self, engine):
        """A line of a part that is no part in scope, at any seller."""
        seller = self.slots[int(self.draw.random() * len(self.slots))]
        cells, thing = seller.writer.look_alike(engine)
        return seller, cells, [cells[place] for place in seller.order], f"set-aside,{thing},,,no,no\n"
