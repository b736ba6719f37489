"""Every way from the end of a method's long wait to supper, with what it costs."""

from __future__ import annotations

from collections.abc import Iterator
from operator import add
from typing import NamedTuple

from webapp.core.plan.steps import GRID_S
from webapp.core.planner.beginnings import Ending
from webapp.core.planner.effort import ENDING
from webapp.core.planner.loads import Interval, Loads, clash
from webapp.core.planner.rising import PER_MILLE, DoughAt, Rising
from webapp.core.planner.slots import NEVER
from webapp.core.planner.stages import IMPOSSIBLE, Chain


class Ready(NamedTuple):
    """An ending of a dough that begins its rise when it is met: all but the most that its yeast allows is known."""

    points: int  # with those of the proof
    place: int  # among the endings, cheapest first
    aim: int  # warm seconds, see `Rising.aim`
    ending: Ending


class WaysOn(NamedTuple):
    """The endings of a dough that is met at one slot, at one temperature."""

    enough: int  # all that cost less are there
    rows: list[Ending]  # cheapest first
    most_proof: int = 0  # warm seconds in the tray, of any
    least_bulk: int = 0


class Endings:
    """The moves from the end of the long wait on, for every load. `down[number]`: by slot at which move `number` may
    begin and still lead to supper, the least points from there."""

    def __init__(self, chain: Chain, rising: Rising, loads: Loads) -> None:
        self.chain = chain
        self.rising = rising
        self.loads = loads
        self.slots = chain.slots
        self.effort = loads.wanted.effort
        self._later = loads.pressed
        self._loading = {t.slot: t.points + loads.least_beside(t.slot) for t in loads.times}
        self.down: list[dict[int, int]] = [{} for _ in chain.moves]
        self._fill_down()
        self._clear: dict[tuple[int, ...], bool] = {}
        self._known: dict[tuple[int, int], WaysOn] = {}
        self._ready: dict[tuple[int, int], tuple[int, list[Ready]]] = {}

    def of(self, after: DoughAt, meet: int, enough: int) -> WaysOn:
        """Endings for less than `enough` of a dough that is so warm once it has been met."""
        key = (meet, after.tenths)
        known = self._known.get(key)
        if known is None or known.enough < enough:
            number = self.chain.meet
            first = Ending(self._hand(number, meet), 0, 0, (meet,))
            rows = sorted(self._extend(number, after._replace(warm=0, age=0), first, enough))
            proof, bulk = max((one.proof for one in rows), default=0), min((one.bulk for one in rows), default=0)
            known = self._known[key] = WaysOn(enough, rows, proof, bulk)
        return known

    def ready(self, after: DoughAt, meet: int, enough: int) -> list[Ready]:
        """The same of a dough that begins its rise there, with the proof in the points; cheapest first.

        Those that no yeast brings to their best are left out, but for those that want more than some preferment has.
        """
        key = (meet, after.tenths)
        known, rows = self._ready.get(key, (0, []))
        if known < enough:
            rows = sorted(self._proofed(self.of(after, meet, enough).rows))
            self._ready[key] = (enough, rows)
        return rows

    def _proofed(self, endings: list[Ending]) -> Iterator[Ready]:
        rising = self.rising
        for place, end in enumerate(endings):
            share = end.proof * PER_MILLE // end.bulk if end.bulk else 0
            proofed = rising.proof_points(share)
            if proofed < IMPOSSIBLE:
                aim = rising.aim(end.bulk, share)
                if rising.least <= aim <= rising.most:
                    yield Ready(end.points + proofed, place, aim, end)

    def _extend(self, number: int, at: DoughAt, so_far: Ending, enough: int) -> Iterator[Ending]:
        """Every way on from `number`, which left the dough as `at` says, for less than `enough`."""
        chain, rising = self.chain, self.rising
        following, end = number + 1, at.since
        for start, least in self._reached(number, so_far.starts[-1]):
            kept = chain.kept_points(number, end, start)
            if so_far.points + kept + least >= enough or not self.effort.spend(ENDING):
                continue
            points = so_far.points + kept + chain.stay_points(following, end, start) + self._hand(following, start)
            warm = rising.warm_at(at, start)
            starts = (*so_far.starts, start)
            if following == chain.load:
                if self._clear_of_loads(starts):
                    yield Ending(points, so_far.bulk, warm - so_far.bulk, starts, rising.age_at(at, start))
                continue
            one = Ending(points, warm if following == chain.press else so_far.bulk, 0, starts)
            yield from self._extend(following, rising.moved(at, following, start), one, enough)

    def _clear_of_loads(self, starts: tuple[int, ...]) -> bool:
        """Do the moves from the long wait on leave the hands free for each other and the oven? The same at any hour."""
        if not self._later[-1]:
            return True
        if (shape := tuple(starts[-1] - start for start in starts)) not in self._clear:
            taken = self.moves_taken(self.chain.meet, starts)
            self._clear[shape] = not clash(taken) and self.loads.clear_of_loads(starts[-1], taken)
        return self._clear[shape]

    def moves_taken(self, first: int, starts: tuple[int, ...]) -> list[Interval]:
        """When the moves from number `first` on have the hands (the loading left out), for every load."""
        moves, press = self.chain.moves, self.chain.press
        return [
            ((start + j) * GRID_S, (start + moves[number].slots + j) * GRID_S)
            for number, start in enumerate(starts[:-1], first)
            for j in (self._later if number >= press else (0,))
        ]

    def _hand(self, number: int, slot: int) -> int:
        """Points of doing move `number` at `slot`, later loads included; NEVER when the hands are not free."""
        if number == self.chain.load:
            return self._loading[slot]
        hands, first = self.slots.hands(self.chain.moves[number].step.hands), self.slots.first
        prices = [hands[slot + j - first] for j in (self._later if number >= self.chain.press else (0,))]
        return NEVER if NEVER in prices else sum(prices)

    def _reached(self, number: int, slot: int) -> list[tuple[int, int]]:
        """Slots at which the move after `number` (begun at `slot`) may begin and still lead to supper, with points."""
        chain, down, wait = self.chain, self.down[number + 1].get, self.chain.moves[number + 1].wait
        end = slot + chain.moves[number].slots
        waits = enumerate(wait.prices, end + wait.least)
        rows = [(start, points + price) for start, price in waits if (points := down(start)) is not None]
        if chain.seen[number + 1]:
            return rows
        gone = chain.unseen_each(end, (start for start, _ in rows))
        return [(start, points + more) for (start, points), more in zip(rows, gone, strict=True)]

    def _fill_down(self) -> None:
        chain = self.chain
        self.down[chain.load] = dict(self._loading)
        for number in range(chain.load - 1, chain.meet - 1, -1):
            if not self.down[number + 1]:
                break
            self.down[number] = dict(self._before(number))

    def _before(self, number: int) -> Iterator[tuple[int, int]]:
        """Slots of move `number` from which the next can lead to supper, each with the least points from there."""
        chain, later = self.chain, self.down[number + 1]
        move, wait, seen = chain.moves[number], chain.moves[number + 1].wait, chain.seen[number + 1]
        soonest, latest = min(later), max(later)
        points = [later.get(slot, IMPOSSIBLE) for slot in range(soonest, latest + 1)]
        begin = max(self.slots.first, soonest - wait.most - move.slots)
        last = latest - wait.least - move.slots
        for slot, price in enumerate(self._hands(number, begin, last), begin):
            if price == NEVER:
                continue
            end = slot + move.slots
            first = end + wait.least - soonest  # of the next, as far behind its soonest
            waits = map(add, wait.prices[max(0, -first) :], points[max(0, first) :])
            if not seen:
                start = end + wait.least + max(0, -first)
                waits = map(add, waits, chain.unseen_each(end, range(start, min(end + wait.most, latest) + 1)))
            least = min(waits, default=IMPOSSIBLE)
            if least < IMPOSSIBLE:
                yield slot, price + least

    def _hands(self, number: int, begin: int, last: int) -> list[int]:
        """`_hand` of each slot from `begin` to `last`, for a move before the loading."""
        hands, first = self.slots.hands(self.chain.moves[number].step.hands), self.slots.first
        if number < self.chain.press or not self._later[-1]:
            return hands[begin - first : last + 1 - first]
        rows = (hands[begin + j - first : last + 1 + j - first] for j in self._later)
        return [NEVER if NEVER in prices else sum(prices) for prices in zip(*rows, strict=False)]
