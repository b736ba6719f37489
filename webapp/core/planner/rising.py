"""The dough's warmth along the moves of one method: what decides the yeast, the proof, the slack.

A `DoughAt` is where the dough is between two moves: what it has taken up before, where it stands, since which slot,
how warm it came there. Everything is whole numbers (slots, warm seconds, tenths of a degree).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from webapp.core.kinds import AnyVessel, HeatedPlace
from webapp.core.planner.cost import EARLY_SLOTS, POINTS, SLACK_SLOTS, off_best
from webapp.core.planner.offer import DoughCourse
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import Warmth, tenths

PER_MILLE = 1000


class DoughAt(NamedTuple):
    """The dough between two moves."""

    warm: int  # warm seconds taken up before it came here
    place: HeatedPlace
    vessel: AnyVessel
    since: int  # slot
    tenths: int


class Rising:
    """One dough on its way through one chain."""

    def __init__(self, dough: DoughCourse, chain: Chain, warmth: Warmth) -> None:
        self.dough = dough
        self.chain = chain
        self.warmth = warmth
        self.least = math.ceil(dough.warm_seconds(dough.most_percent))
        self.most = math.floor(dough.warm_seconds(dough.least_percent))
        self.past = dough.press.past / dough.press.best - 1.0
        self.early = 1.0 - dough.press.early / dough.press.best
        self.proof = tuple(round(s * PER_MILLE) for s in (dough.proof_least, dough.proof_best, dough.proof_most))
        self._most_beside: dict[int, int] = {}
        self.sponge = (0, 0)
        if dough.sponge:
            percents = (dough.most_percent, dough.least_percent)
            most, least = (dough.sponge.warm_seconds(p) for p in percents)
            self.sponge = (math.ceil(most), math.floor(least))

    def begin(self, start: int) -> DoughAt:
        """The dough after the first move of the chain, begun at `start`."""
        return self._fresh(0, start + self.chain.moves[0].slots)

    def _fresh(self, move: int, slot: int) -> DoughAt:
        one = self.chain.moves[move]
        sponge = self.dough.sponge
        mixed_c = sponge.mixed_c if one.vessel == "sponge" and sponge else self.dough.mixed_c
        return DoughAt(0, one.place, one.vessel, slot, tenths(mixed_c))

    def warm_at(self, standing: DoughAt, slot: int) -> int:
        """Warm seconds taken up by `slot`."""
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        return standing.warm + int(walk.at(slot - standing.since)[0] + 0.5)

    def moved(self, standing: DoughAt, move: int, start: int) -> DoughAt:
        """The dough after `move`, begun at slot `start`; mixing the final dough begins its rise anew."""
        one = self.chain.moves[move]
        end = start + one.slots
        if one.step.kind == "mix":
            return self._fresh(move, end)
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        warm, temp = walk.at(end - standing.since)
        return DoughAt(standing.warm + int(warm + 0.5), one.place, one.vessel, end, tenths(temp))

    def sponge_fits(self, warm: int) -> bool:
        """Is there a yeast that makes the preferment ripe in so many warm seconds?"""
        return self.sponge[0] <= warm <= self.sponge[1]

    def most_beside_sponge(self, warm: int) -> int:
        """Most warm seconds of the bulk with a preferment ripe in `warm`: its yeast is part of the whole, not extra."""
        sponge = self.dough.sponge
        assert sponge is not None, "methods with a preferment are left out of a dough without one"
        known = self._most_beside.get(warm)
        if known is None:
            percent = sponge.instant_percent(warm) * sponge.flour_percent / 100.0
            known = self._most_beside[warm] = min(self.most, math.floor(self.dough.warm_seconds(percent)))
        return known

    def proof_points(self, share: int) -> int:
        """Points for a proof of so many thousandths of the bulk rise; IMPOSSIBLE when out of range."""
        least, best, most = self.proof
        return off_best(share, least, best, most, POINTS["proof"]) if least <= share <= most else IMPOSSIBLE

    def room(self, standing: DoughAt, start: int, whole: int, most: tuple[int, int]) -> tuple[int, int]:
        """Slots by which the dough may wait longer than `start`, and by which it is usable sooner; `most` caps both.

        `whole` is what the dough takes up until it is wanted (pressing, or mixing for a preferment): past its best it
        has taken up so much more, usable so much less.
        """
        past, early = self.past, self.early
        if standing.vessel == "sponge" and self.dough.sponge:
            past = self.dough.sponge.past / self.dough.sponge.need - 1.0
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        n = start - standing.since
        now = walk.at(n)[0]
        later, sooner = most
        if walk.at(n + later)[0] > now + past * whole:
            later = walk.slots_until(now + past * whole, n + later) - n
        sooner = min(sooner, n)
        if walk.at(n - sooner)[0] < now - early * whole:
            first = walk.slots_until(now - early * whole, n)
            sooner = n - (first + (walk.at(first)[0] < now - early * whole))
        return later, max(0, sooner)


CAPS = (SLACK_SLOTS, EARLY_SLOTS)
