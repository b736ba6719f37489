"""The best day for one method: an exact search over every start on the grid of five minutes.

The chain is cut at its longest wait. What comes before is listed with its price, and so is, for every slot at which
the wait may end, the least that can come after. Pairs are taken cheapest first, and worked out in full (yeast, proof,
slack, folds, topping) only while those prices alone could still beat the best so far. Every further price is at least
0, so nothing better is ever passed over.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from typing import NamedTuple

from webapp.core.plan.steps import GRID_S
from webapp.core.planner.beginnings import Beginning, Ending, beginnings
from webapp.core.planner.cost import ferment_points, slack_points
from webapp.core.planner.effort import ENDING, PAIR, WORKED_OUT
from webapp.core.planner.loads import Interval, Loads, clash
from webapp.core.planner.rising import AIM_UNIT, CAPS, PER_MILLE, DoughAt, Rising, later_fit
from webapp.core.planner.slots import NEVER
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import WHOLE_LIFE

_AT_ONCE = 64  # pairs are sorted so many beginnings at a time: a good first answer cuts off the rest


class Found(NamedTuple):
    """The best day: points, and the starting slot of every move."""

    points: int
    starts: tuple[int, ...]


class Search:
    """One method, one day."""

    def __init__(self, chain: Chain, rising: Rising, loads: Loads) -> None:
        self.chain = chain
        self.rising = rising
        self.loads = loads
        self.slots = chain.slots
        self._later = loads.pressed
        self._beside_reach = max((-(-s.first_min // 5) for s in loads.wanted.sides), default=0) + 24
        self._far = chain.slots.last + 10_000
        self._loading = {t.slot: t.points + loads.least_beside(t.slot) for t in loads.times}
        self._down: list[dict[int, int]] = [{} for _ in chain.moves]
        self._fill_down()
        self.effort = loads.wanted.effort
        self._bulk_most = self._most_bulk()
        self._clear: dict[tuple[int, ...], bool] = {}
        self._endings: dict[tuple[int, int], tuple[int, list[Ending]]] = {}

    def fits(self) -> bool:
        """Is there any day at all? Sooner known than the best one."""
        return self.best(any_will_do=True) is not None

    def best(
        self, may_begin: Callable[[int], bool] | None = None, any_will_do: bool = False, below: int = IMPOSSIBLE
    ) -> Found | None:
        """The cheapest day for less than `below` points, or None; `may_begin`: where the first step may begin.

        When the effort allowed runs out it is the best so far.
        """
        down = self._down[self.chain.meet]
        if not down:
            return None
        meets = sorted(down)
        wait = self.chain.moves[self.chain.meet].wait
        floor = min(down.values()) + min(wait.prices)
        supper = self.loads.wanted.supper
        before = beginnings(self.rising, meets[0], meets[-1], supper, may_begin, self.effort)
        best = Found(below, ())
        for at in range(0, len(before), _AT_ONCE):
            done = before[at].points + floor >= best.points or (any_will_do and best.starts)
            if done or not self.effort.spend(0):
                break
            best = self._pairs(before[at : at + _AT_ONCE], meets, best, any_will_do)
        return best if best.starts else None

    def _pairs(self, before: list[Beginning], meets: list[int], best: Found, any_will_do: bool) -> Found:
        """Pairs of a beginning and an end of the long wait, the cheapest by price alone first."""
        chain = self.chain
        wait, down = chain.moves[chain.meet].wait, self._down[chain.meet]
        rows: list[tuple[int, int, int]] = []
        pairs, enough = 0, best.points
        for number, one in enumerate(before):
            bare = one.points + self._kept_far(one)
            least, soonest = one.end + wait.least, chain.meets_from(one.end)
            those = meets[bisect_left(meets, soonest) : bisect_right(meets, one.end + wait.most)]
            pairs += len(those)
            for meet in those:
                points = bare + wait.prices[meet - least] + down[meet]
                if points < enough and (points := points + self._long_wait(one, meet)) < enough:
                    rows.append((points, number, meet))
        self.effort.spend(PAIR * pairs)
        rows.sort()
        standings: dict[int, tuple[DoughAt, int]] = {}
        for points, number, meet in rows:
            if points >= best.points or (any_will_do and best.starts) or not self.effort.spend(WORKED_OUT):
                break
            if number not in standings:
                standings[number] = self._standing(before[number].starts)
            best = self._finish(before[number], *standings[number], meet, points - down[meet], best)
        return best

    def _long_wait(self, one: Beginning, meet: int) -> int:
        """Points of the long wait beside its length: how long the ferment is in all, and how long out of sight."""
        return ferment_points(meet - one.starts[0]) + self.chain.unseen(self.chain.meet, one.end, meet)

    def _finish(self, one: Beginning, standing: DoughAt, most: int, meet: int, points: int, best: Found) -> Found:
        """Try every ending from this meeting on, cheapest first; `points` are those of all before it."""
        chain, rising = self.chain, self.rising
        warm = rising.warm_at(standing, meet)
        after = rising.moved(standing, chain.meet, meet)
        if chain.meet == chain.mix:
            if not rising.sponge_fits(warm) or rising.age_at(standing, meet) > WHOLE_LIFE:
                return best
            most = rising.most_beside_sponge(warm)
            points += slack_points(*rising.room(standing, meet, rising.give(standing, warm, warm), CAPS))
            warm = hands = 0
        else:
            hands = after.warm - warm
            if warm * rising.least_aim > most * AIM_UNIT or after.age > WHOLE_LIFE:
                return best
            if (after.warm + self._bulk_most) * rising.most_aim < rising.least * AIM_UNIT:
                return best
        points += chain.kept(chain.meet - 1, one.end, meet).points - self._kept_far(one)
        if chain.meet == chain.press:
            points += self._slack(standing, meet, warm)
        for end in self._endings_from(after, meet, best.points - points):
            if points + end.points >= best.points or not self.effort.spend(1):
                break
            if after.age + end.age > WHOLE_LIFE:
                continue
            total = self._total(standing, meet, points + end.points, warm, hands, most, end, best.points)
            if total < best.points:
                starts = (*one.starts, *end.starts)
                total += self._beside(starts) - self.loads.least_beside(starts[-1])
                if total < best.points and self._later_fit(standing, starts):
                    best = Found(total, starts)
        return best

    def _total(
        self, standing: DoughAt, meet: int, points: int, warm: int, hands: int, most: int, end: Ending, enough: int
    ) -> int:
        """Points with the proof and, where the whole rise decides it, the slack; IMPOSSIBLE when no yeast does it."""
        chain, rising = self.chain, self.rising
        whole, proof = (warm, hands + end.proof) if chain.meet == chain.press else (warm + hands + end.bulk, end.proof)
        share = proof * PER_MILLE // whole if whole else 0
        proofed = rising.proof_points(share)
        if proofed >= IMPOSSIBLE or not rising.least <= rising.aim(whole, share) <= most:
            return IMPOSSIBLE
        points += proofed
        if chain.mix < chain.meet < chain.press and points < enough:
            points += self._slack(standing, meet, whole)
        return points

    def _slack(self, standing: DoughAt, meet: int, whole: int) -> int:
        # Counted as if it were pressed at its best: by how little it is off is known only when it is loaded.
        give = self.rising.give(standing, whole, whole)
        later, sooner = self.rising.room(standing, meet, give, (CAPS[0] + self._later[-1], CAPS[1]))
        return slack_points(max(0, later - self._later[-1]), sooner)

    def _most_bulk(self) -> int:
        """More warm seconds than a dough can take up from the long wait until it is pressed, however warm it is."""
        waits = [move.wait.most + move.slots for move in self.chain.moves[self.chain.meet + 1 : self.chain.press + 1]]
        return math.ceil(sum(waits) * GRID_S * self.rising.warmth.quickest)

    def _kept_far(self, one: Beginning) -> int:
        """Points of the passing steps after the last move before the long wait, were it long enough for all."""
        return self.chain.kept(self.chain.meet - 1, one.end, self._far).points

    # --- after the long wait --------------------------------------------------------------------------------------

    def _endings_from(self, after: DoughAt, meet: int, enough: int) -> list[Ending]:
        """Endings for less than `enough` of a dough that is so warm once it has been met, cheapest first."""
        key = (meet, after.tenths)
        known, endings = self._endings.get(key, (0, []))
        if known < enough:
            number = self.chain.meet
            first = Ending(self._hand(number, meet), 0, 0, (meet,))
            endings = sorted(self._extend(number, after._replace(warm=0, age=0), first, enough))
            self._endings[key] = (enough, endings)
        return endings

    def _extend(self, number: int, at: DoughAt, so_far: Ending, enough: int) -> Iterator[Ending]:
        """Every way on from `number`, which left the dough as `at` says, for less than `enough`."""
        chain, rising = self.chain, self.rising
        following, end = number + 1, at.since
        for start, least in self._reached(number, so_far.starts[-1]):
            kept = chain.kept(number, end, start).points
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
            taken = self._moves_taken(self.chain.meet, starts)
            self._clear[shape] = not clash(taken) and self.loads.clear_of_loads(starts[-1], taken)
        return self._clear[shape]

    def _moves_taken(self, first: int, starts: tuple[int, ...]) -> list[Interval]:
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
        chain, down, wait = self.chain, self._down[number + 1].get, self.chain.moves[number + 1].wait
        end = slot + chain.moves[number].slots
        waits = enumerate(wait.prices, end + wait.least)
        rows = [(start, points + price) for start, price in waits if (points := down(start)) is not None]
        if chain.seen[number + 1]:
            return rows
        return [(start, points + chain.unseen(number + 1, end, start)) for start, points in rows]

    def _fill_down(self) -> None:
        """Find for every move from the meeting on, the slots that lead to supper and the least points from there."""
        chain, first = self.chain, self.slots.first
        self._down[chain.load] = dict(self._loading)
        for number in range(chain.load - 1, chain.meet - 1, -1):
            later = self._down[number + 1]
            if not later:
                break
            move, wait = chain.moves[number], chain.moves[number + 1].wait
            low = max(first, min(later) - wait.most - move.slots)
            for slot in range(low, max(later) - wait.least - move.slots + 1):
                price = self._hand(number, slot)
                if price != NEVER:
                    reached = self._reached(number, slot)
                    if reached:
                        self._down[number][slot] = price + min([points for _, points in reached])

    def _later_fit(self, standing: DoughAt, starts: tuple[int, ...]) -> bool:
        """Are the later trays, pressed and loaded behind the first, ready and proofed in range too?"""
        chain, rising, at = self.chain, self.rising, standing
        if not self._later[-1]:
            return True
        for number in range(chain.meet, chain.press):
            at = rising.moved(at, number, starts[number])
        return later_fit(rising, self.loads, starts[chain.press :], at)

    # --- before the long wait and beside it --------------------------------------------------------------------------

    def _beside(self, starts: tuple[int, ...]) -> int:
        # That no move meets a load was seen when the ending was listed (`_clear_of_loads`); folds come before them all.
        beside = self.loads.beside(starts[-1], self.taken(starts))
        return IMPOSSIBLE if beside is None else beside.points

    def taken(self, starts: tuple[int, ...]) -> list[Interval]:
        """When moves and passing steps have the hands, as far as they can meet topping and side tasks."""
        chain = self.chain
        since = starts[-1] - self._beside_reach
        out = [one for one in self._moves_taken(0, starts) if one[1] > since * GRID_S]
        for number, start in enumerate(starts[:-1]):
            end = start + chain.moves[number].slots
            if starts[number + 1] > since and chain.moves[number].passing:
                kept = chain.kept(number, end, starts[number + 1]).starts
                out += [
                    (at * GRID_S, (at + p.slots) * GRID_S)
                    for at, p in zip(kept, chain.moves[number].passing, strict=True)
                    if at is not None and at + p.slots > since
                ]
        return out

    def _standing(self, starts: tuple[int, ...]) -> tuple[DoughAt, int]:
        """The dough after the moves before the long wait, and its most warm seconds."""
        rising, chain = self.rising, self.chain
        at, most = rising.begin(starts[0]), rising.most
        for number, start in enumerate(starts[1:], 1):
            if number == chain.mix:
                most = rising.most_beside_sponge(rising.warm_at(at, start))
            at = rising.moved(at, number, start)
        return at, most
