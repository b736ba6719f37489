"""The dough's warmth along the moves of one method: what decides the yeast, the proof, the slack.

A `DoughAt` is where the dough is between two moves: what it has taken up before, where it stands, since which slot,
how warm it came there. Everything is whole numbers (slots, warm seconds, tenths of a degree).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from statistics import fmean
from typing import NamedTuple

from webapp.core.kinds import AnyVessel, HeatedPlace
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import (
    EARLY_SLOTS,
    LOAD_LOSS,
    MOST_YOUNG,
    POINTS,
    PRESS_LOSS,
    SLACK_SLOTS,
    WAYS_SHIFT,
    off_best,
)
from webapp.core.planner.loads import Loads
from webapp.core.planner.offer import PlannedDough
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import WHOLE_LIFE, Warmth, tenths

PER_MILLE = 1000
AIM_UNIT = 1_000_000


class DoughAt(NamedTuple):
    """The dough between two moves."""

    warm: int  # warm seconds taken up before it came here
    place: HeatedPlace
    vessel: AnyVessel
    since: int  # slot
    tenths: int
    age: int = 0  # millionths of its life on the bench, up to when it came here


class Rising:
    """One dough on its way through one chain."""

    def __init__(self, dough: PlannedDough, chain: Chain, warmth: Warmth) -> None:
        self.dough = dough
        self.chain = chain
        self.warmth = warmth
        self.least = math.ceil(dough.warm_seconds(dough.most_percent))
        self.most = math.floor(dough.warm_seconds(dough.least_percent))
        self.past = dough.press.past / dough.press.best - 1.0
        self.early = 1.0 - dough.press.early / dough.press.best
        self.proof = tuple(round(s * PER_MILLE) for s in (dough.proof_least, dough.proof_best, dough.proof_most))
        self._aims = _aims(*self.proof)
        self.least_aim, self.most_aim = min(self._aims), max(self._aims)
        self._mixed: dict[float, int] = {}
        self._most_beside: dict[int, int] = {}
        self.sponge = (0, 0)
        if dough.sponge:
            percents = (dough.most_percent, dough.least_percent)
            most, least = (dough.sponge.warm_seconds(p) for p in percents)
            self.sponge = (math.ceil(most), math.floor(least))

    @cached_property
    def rates(self) -> tuple[float, float]:
        """Warm seconds that it takes up in a slot at least, and at most, wherever it is from mixing on."""
        places = {move.place for move in self.chain.moves[self.chain.mix :]}
        steady = {"fridge": self.dough.fridge_c, "warm": self.dough.warm_c}
        temps = [*self.warmth.rooms, *(self._mixed_at(room_c) / 10 for room_c in self.warmth.rooms)]
        return self.warmth.rates([*temps, *(c for place, c in steady.items() if place in places and c is not None)])

    def begin(self, start: int) -> DoughAt:
        """The dough after the first move of the chain, begun at `start`."""
        return self._fresh(0, start, 0)

    def mixed(self, start: int, age: int) -> DoughAt:
        """The final dough after mixing begun at `start`, of that age by then."""
        return self._fresh(self.chain.mix, start, age)

    def _fresh(self, move: int, start: int, age: int) -> DoughAt:
        one, sponge = self.chain.moves[move], self.dough.sponge
        if one.vessel == "sponge" and sponge:
            heat = tenths(sponge.mixed_c)
        else:
            heat = self._mixed_at(self.warmth.room_at(start))
        return DoughAt(0, one.place, one.vessel, start + one.slots, heat, age)

    def _mixed_at(self, room_c: float) -> int:
        known = self._mixed.get(room_c)
        if known is None:
            known = self._mixed[room_c] = tenths(self.dough.mixed(room_c, self.chain.mix > 0))
        return known

    def age_at(self, standing: DoughAt, slot: int) -> int:
        """How old it is by then: `WHOLE_LIFE` is as old as a dough may get."""
        return standing.age + self.warmth.aged(standing.place, standing.since, slot)

    def aim(self, whole: int, share: int) -> int:
        """Warm seconds in which the yeast should bring the dough to its best at pressing.

        Of a dough that takes up `whole` until it is pressed and `share` thousandths of that in the tray: of least
        loss over both. When the share is the best one, it is `whole` itself.
        """
        return whole * self._aims[share - self.proof[0]] // AIM_UNIT

    def warm_at(self, standing: DoughAt, slot: int) -> int:
        """Warm seconds taken up by `slot`."""
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        return standing.warm + int(walk.at(slot - standing.since)[0] + 0.5)

    def moved(self, standing: DoughAt, move: int, start: int) -> DoughAt:
        """The dough after `move`, begun at slot `start`; mixing the final dough begins its rise anew."""
        one = self.chain.moves[move]
        end = start + one.slots
        if one.step.kind == "mix":  # of all its flour only the preferment's has aged
            part = self.dough.sponge.flour_percent / 100.0 if self.dough.sponge else 0.0
            return self._fresh(move, start, int(self.age_at(standing, end) * part))
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        warm, temp = walk.at(end - standing.since)
        taken = standing.warm + int(warm + 0.5)
        return DoughAt(taken, one.place, one.vessel, end, tenths(temp), self.age_at(standing, end))

    def sponge_fits(self, warm: int) -> bool:
        """Is there a yeast that makes the preferment ripe in so many warm seconds?"""
        return self.sponge[0] <= warm <= self.sponge[1]

    def most_beside_sponge(self, warm: int) -> int:
        """Most warm seconds of the bulk with a preferment ripe in `warm`: its yeast is part of the whole, not extra."""
        sponge = self.dough.sponge
        assert sponge is not None  # methods with a preferment are left out of a dough without one
        known = self._most_beside.get(warm)
        if known is None:
            percent = sponge.instant_percent(warm) * sponge.flour_percent / 100.0
            known = self._most_beside[warm] = min(self.most, math.floor(self.dough.warm_seconds(percent)))
        return known

    def proof_points(self, share: int) -> int:
        """Points for a proof of so many thousandths of the bulk rise; IMPOSSIBLE when out of range."""
        least, best, most = self.proof
        return off_best(share, least, best, most, POINTS["proof"]) if least <= share <= most else IMPOSSIBLE

    def give(self, standing: DoughAt, whole: int, taken: int) -> tuple[float, float]:
        """Warm seconds by which it may take up more than `taken` before it is past its best, and less and be usable.

        `whole` is what brings it to its best (for pressing, or for mixing if it is a preferment).
        """
        past = self.past
        if standing.vessel == "sponge" and self.dough.sponge:
            past = self.dough.sponge.past / self.dough.sponge.need - 1.0
        off = taken - whole
        return past * whole - off, self.early * whole + off

    def room(self, standing: DoughAt, start: int, give: tuple[float, float], most: tuple[int, int]) -> tuple[int, int]:
        """Slots by which the dough may wait longer than `start`, and by which it is usable sooner; `most` caps both.

        `give` is how much more warmth it may take up, and how much less; nor may it get too old where it stands.
        """
        more, less = give
        walk = self.warmth.walk(standing.place, standing.vessel, standing.since, standing.tenths)
        n = start - standing.since
        now = walk.at(n)[0]
        later, sooner = most
        later = self.warmth.keeps_until(standing.place, start, WHOLE_LIFE - self.age_at(standing, start), later)
        if walk.at(n + later)[0] > now + more:
            later = walk.slots_until(now + more, n + later) - n
        sooner = min(sooner, n)
        if walk.at(n - sooner)[0] < now - less:
            first = walk.slots_until(now - less, n)
            sooner = n - (first + (walk.at(first)[0] < now - less))
        return max(0, later), max(0, sooner)


# --- the trays of every load ---------------------------------------------------------------------------------------


class Tray(NamedTuple):
    """The dough of one load: warm seconds when pressed and when loaded, and how old it is then."""

    pressed: int
    loaded: int
    age: int


def trays(rising: Rising, loads: Loads, starts: Sequence[int], at: DoughAt) -> list[Tray]:
    """Load after load, pressed and loaded behind the first; `at` is the dough as it stands before pressing.

    `starts` are the slots of pressing, of what lies between, and of loading.
    """
    return [tray_of(rising, loads, starts, at, load) for load in range(len(loads.pressed))]


def tray_of(rising: Rising, loads: Loads, starts: Sequence[int], at: DoughAt, load: int) -> Tray:
    """The same of load 0, 1, ... alone."""
    later, tray = loads.pressed[load], at
    for number, start in enumerate(starts[:-1], rising.chain.press):
        tray = rising.moved(tray, number, start + later)
    slot, over_s = divmod(starts[-1] * GRID_S + loads.later_s(load), GRID_S)
    low, high = rising.warm_at(tray, slot), rising.warm_at(tray, slot + 1)
    loaded = low + (high - low) * over_s // GRID_S
    return Tray(rising.warm_at(at, starts[0] + later), loaded, rising.age_at(tray, slot + (over_s > 0)))


def later_fit(rising: Rising, loads: Loads, starts: Sequence[int], at: DoughAt) -> bool:
    """Are the trays of the later loads ready, not too old and proofed in range, as the first is? See `trays`."""
    first = tray_of(rising, loads, starts, at, 0)
    others = (tray_of(rising, loads, starts, at, load) for load in range(len(loads.pressed) - 1, 0, -1))
    return all(  # the last is the furthest off
        one.pressed <= first.pressed * (1.0 + rising.past)
        and one.age <= WHOLE_LIFE
        and rising.proof_points((one.loaded - one.pressed) * PER_MILLE // first.pressed) < IMPOSSIBLE
        for one in others
    )


def aim_of(rising: Rising, rows: Sequence[Tray], most: int) -> int:
    """Warm seconds in which the yeast brings the dough to its best: least loss over every load, the ways in mind.

    The search counts the first load alone; the others come after it, so their mean asks for less yeast, but never for
    less than can be dosed (`most` warm seconds).
    """
    first = rows[0]
    aim = rising.aim(first.pressed, (first.loaded - first.pressed) * PER_MILLE // first.pressed)
    behind = fmean(
        PRESS_LOSS * math.log(one.pressed / first.pressed) + LOAD_LOSS * math.log(one.loaded / first.loaded)
        for one in rows
    )
    over_all = aim * math.exp(behind / (PRESS_LOSS + LOAD_LOSS))
    loaded = first.loaded / (1.0 + rising.dough.proof_best)
    later = less_yeast(rising.dough.ln_sd, min(first.pressed, loaded) / over_all)
    return max(aim, min(most, int(over_all * math.exp(later))))


def less_yeast(ln_sd: float, youngest: float) -> float:
    """By how much (ln of warm seconds) the yeast aims later, with the ways in mind: see `cost.py`.

    `ln_sd` is how sure the rate is; `youngest` how far the first load has come without this when it is pressed or
    loaded, whichever is the less, 1.0 = at its best.
    """
    return max(0.0, min(WAYS_SHIFT * ln_sd, math.log(youngest) + MOST_YOUNG))


def _aims(least: int, best: int, most: int) -> tuple[int, ...]:
    """For each share of the rise in the tray, what `whole` is multiplied by (in `AIM_UNIT`) to get the aim.

    With p = whole / aim at pressing and p (1 + share) / (1 + best) at loading, w ln(p)^2 + v ln(...)^2 is least where
    ln(aim / whole) = v / (w + v) ln((1 + share) / (1 + best)).
    """
    part = LOAD_LOSS / (PRESS_LOSS + LOAD_LOSS)
    return tuple(
        math.floor(AIM_UNIT * ((PER_MILLE + share) / (PER_MILLE + best)) ** part + 0.5)
        for share in range(least, most + 1)
    )


CAPS = (SLACK_SLOTS, EARLY_SLOTS)
