"""Seeded drawing.

Only `random.Random.random()` is used underneath, because it alone is
promised to give the same sequence in every Python version; `choice`,
`shuffle` and `sample` are not. A seed is a text, so that every part of the
world (engines, products, one supplier's lines) draws from its own stream and
a change in one does not move the others.
"""

import random


class Draw:
    """One stream of draws, named by its seed."""

    def __init__(self, seed):
        self.random = random.Random(str(seed)).random

    def below(self, limit):
        """A whole number in [0, limit)."""
        return int(self.random() * limit)

    def between(self, low, high):
        """A real number in [low, high)."""
        return low + (high - low) * self.random()

    def chance(self, probability):
        """True with the given probability."""
        return self.random() < probability

    def pick(self, sequence):
        """One member, all alike."""
        return sequence[int(self.random() * len(sequence))]

    def some(self, sequence, count):
        """`count` different members, in drawn order."""
        rest = list(sequence)
        taken = []
        while rest and len(taken) < count:
            taken.append(rest.pop(int(self.random() * len(rest))))
        return taken

    def weighted(self, cumulative):
        """The index whose stretch of a rising cumulative list is hit."""
        hit = self.random() * cumulative[-1]
        low, high = 0, len(cumulative) - 1
        while low < high:
            middle = (low + high) // 2
            if hit < cumulative[middle]:
                high = middle
            else:
                low = middle + 1
        return low

    def shuffle(self, items):
        """Reorders a list in place."""
        draw = self.random
        for last in range(len(items) - 1, 0, -1):
            other = int(draw() * (last + 1))
            items[last], items[other] = items[other], items[last]


def running_sum(weights):
    """Cumulative weights for `Draw.weighted`."""
    total = 0.0
    sums = []
    for weight in weights:
        total += weight
        sums.append(total)
    return sums
