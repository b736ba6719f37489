"""How much looking one answer may cost: counted in steps, so that the same wish has the same answer on any machine.

A step is one to two microseconds of one core of a small machine; no answer takes more than about a second of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager

OFFERS_STEPS = 350_000  # for the best day of each method
ALONE_STEPS = 500_000  # of one that is asked for alone
OTHERS_STEPS = 200_000  # for days that differ in kind
REASONS_STEPS = 15_000  # for why one method does not fit
REASONS_MOST = 75_000  # for why none of many does: each has its part
WEEK_REASONS_MOST = 200_000  # the same of all evenings of a week
ANSWER_STEPS = 950_000  # for a dough of two evenings in all, its best days included
HALVES_STEPS = 320_000  # for the other evening of a dough that is kept for two
NEAR_HALVES_STEPS = 300_000  # for evenings and hours near that, where it does not fit
COMPARED_STEPS = 60_000  # for the day that the one shown is compared with: its best way alone
FITS_STEPS = 30_000  # for whether there is any day at all
NEAREST_STEPS = 20_000  # for each of three kinds of change that would make it work
NEARER_STEPS = 7_000  # for whether so much of a change is enough
ONE_OFFER_STEPS = 15_000  # for the best day once the change is known
# What one thing costs: a beginning listed, a pair of beginning and meeting, one of these worked out, an ending; what is
# done beside a day's dough, each tray of a later load followed until it goes in, a fold placed behind a beginning, all
# that a method's search is made ready with.
BEGINNING, PAIR, WORKED_OUT, ENDING, BESIDE, TRAY, FOLD, READY = 2, 1, 10, 10, 20, 15, 10, 300


class Effort:
    """A purse of steps. `cut` tells whether it ever ran out before everything had been looked at."""

    def __init__(self, steps: float = math.inf) -> None:
        self.left = steps
        self.cut = False
        self._keep = 0.0
        self._given, self._before = steps, 0.0

    def allow(self, steps: float) -> None:
        """Begin another part of the answer with so many steps; what was left of the last part is gone."""
        self._before = self.spent
        self.left, self._given, self._keep = steps, steps, 0.0

    def share(self, among: int) -> None:
        """Of what is left the next search may use its part, and half as much again: most need far less."""
        if self.left < math.inf:
            self._keep = max(0.0, self.left - 1.5 * self.left / among)

    @contextmanager
    def a_part(self, share: float) -> Iterator[None]:
        """Within it no more than that share of what is at hand can be used; that it ran out there is forgotten."""
        keep, cut = self._keep, self.cut
        if self.left < math.inf:
            self._keep = self.left - share * self.at_hand
        yield
        self._keep, self.cut = keep, cut

    @property
    def spent(self) -> float:
        """All that was taken, of this part and those before; 0 of a purse that has no bottom."""
        return self._before + (self._given - self.left if self._given < math.inf else 0.0)

    @property
    def at_hand(self) -> float:
        """What this search may still use."""
        return self.left - self._keep

    def spend(self, steps: int) -> bool:
        """Take so many steps; False, and `cut`, when there are none left for this search."""
        self.left -= steps
        if self.left > self._keep:
            return True
        self.cut = True
        return False


ENDLESS = Effort()  # never runs out, however much is taken
