"""The best day for one method: an exact search over every start on the grid of five minutes.

The chain is cut at its longest wait. What comes before is listed with its price, and so is, for every slot at which
the wait may end, the least that can come after. Pairs are taken cheapest first, and worked out in full (yeast, proof,
slack, folds, topping) only while those prices alone could still beat the best so far. Every further price is at least
0, so nothing better is ever passed over.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from webapp.core.plan.steps import GRID_S
from webapp.core.planner.beginnings import Beginning, LongWait, beginnings
from webapp.core.planner.cost import ferment_points, slack_points
from webapp.core.planner.effort import BESIDE, FOLD, PAIR, READY, TRAY, WORKED_OUT
from webapp.core.planner.endings import Endings, WaysOn
from webapp.core.planner.loads import Interval, Loads
from webapp.core.planner.rising import AIM_UNIT, CAPS, PER_MILLE, DoughAt, Rising, later_fit
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import WHOLE_LIFE

# Most days cost so many points more than the least that any could (of shipped methods five in six of those made in the
# fridge): looked for first, since it is soon known that there is none. It may use so much of the effort.
_NEAR = 48
_NEAR_SHARE = 0.25
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
        self._later = loads.pressed
        self._beside_reach = max((-(-s.first_min // 5) for s in loads.wanted.sides), default=0) + 24
        self.effort = loads.wanted.effort
        self.effort.spend(READY)
        self.endings = Endings(chain, rising, loads)
        self._meets = sorted(self.endings.down[chain.meet])
        self._wait = LongWait(rising, self.endings.down, self.floor)
        self._proofed_from: dict[int, int] = {}  # by slot of mixing behind a preferment: no ending costs less
        self._bulk_most = self._most_bulk()
        self._folded = FOLD * len(chain.moves[chain.meet - 1].passing)

    @cached_property
    def floor(self) -> int:
        """No day costs less, whenever it begins."""
        down = self.endings.down[self.chain.meet]
        return min(down.values()) + min(self.chain.moves[self.chain.meet].wait.prices) if down else IMPOSSIBLE

    def fits(self) -> bool:
        """Is there any day at all? Sooner known than the best one."""
        return self.best(any_will_do=True) is not None

    def best(
        self, may_begin: Callable[[int], bool] | None = None, any_will_do: bool = False, below: int = IMPOSSIBLE
    ) -> Found | None:
        """The cheapest day for less than `below` points, or None; `may_begin`: where the first step may begin.

        When the effort allowed runs out it is the best so far.
        """
        if not self._meets:
            return None
        near = self.floor + _NEAR
        if not any_will_do and near < below:
            with self.effort.a_part(_NEAR_SHARE):
                found = self._look(may_begin, any_will_do, near)
                cut = self.effort.cut
            if found.starts and not cut:
                return found
            below = found.points + 1 if found.starts else below
        found = self._look(may_begin, any_will_do, below)
        return found if found.starts else None

    def _look(self, may_begin: Callable[[int], bool] | None, any_will_do: bool, below: int) -> Found:
        """The cheapest day for less than `below` points; without starts: there is none."""
        meets, floor, supper = self._meets, self.floor, self.loads.wanted.supper
        before = beginnings(self.rising, meets[0], meets[-1], supper, may_begin, below - floor, self.effort)
        best = Found(below, ())
        for at in range(0, len(before), _AT_ONCE):
            done = before[at].points + floor >= best.points or (any_will_do and best.starts)
            if done or not self.effort.spend(0):
                break
            best = self._pairs(before[at : at + _AT_ONCE], best, any_will_do)
        return best

    def _pairs(self, before: list[Beginning], best: Found, any_will_do: bool) -> Found:
        """Pairs of a beginning and an end of the long wait, the cheapest by price alone first."""
        down = self.endings.down[self.chain.meet]
        rows: list[tuple[int, int, int]] = []
        pairs, enough = 0, best.points
        for number, one in enumerate(before):
            if one.points + self._wait.least_from(one.end) >= enough:
                continue
            stay = self._wait.from_(one.end)
            bare = one.points + stay.kept
            if bare + stay.least < enough:
                pairs += len(stay.ends) + self._folded
                rows += [
                    (points, number, meet)
                    for waited, meet in stay.ends
                    if (points := bare + waited) < enough
                    and (points := points + ferment_points(meet - one.starts[0])) < enough
                ]
        self.effort.spend(PAIR * pairs)
        rows.sort()
        standings: dict[int, tuple[DoughAt, int]] = {}
        for points, number, meet in rows:
            if points >= best.points or (any_will_do and best.starts) or not self.effort.spend(WORKED_OUT):
                break
            if points - down[meet] + self._proofed_from.get(meet, 0) >= best.points:
                continue
            if number not in standings:
                standings[number] = self._standing(before[number].starts)
            best = self._finish(before[number], *standings[number], meet, points - down[meet], best)
        return best

    def _finish(self, one: Beginning, standing: DoughAt, most: int, meet: int, points: int, best: Found) -> Found:
        """Try every ending from this meeting on, cheapest first; `points` are those of all before it."""
        chain, rising = self.chain, self.rising
        points += chain.kept_points(chain.meet - 1, one.end, meet) - self._wait.from_(one.end).kept
        if chain.meet == chain.mix:
            return self._finish_staged(one, standing, meet, points, best)
        warm = rising.warm_at(standing, meet)
        if warm * rising.least_aim > most * AIM_UNIT:
            return best
        after = rising.moved(standing, chain.meet, meet)
        hands = after.warm - warm
        if after.age > WHOLE_LIFE or (after.warm + self._bulk_most) * rising.most_aim < rising.least * AIM_UNIT:
            return best
        listed = self.endings.of(after, meet, best.points - points)
        if not self._may_proof(warm, hands, listed):
            return best
        met_last = chain.meet == chain.press
        slack = slack_of = -1
        for end in listed.rows:
            if points + end.points >= best.points or not self.effort.spend(1):
                break
            if after.age + end.age > WHOLE_LIFE:
                continue
            whole, proof = (warm, hands + end.proof) if met_last else (warm + hands + end.bulk, end.proof)
            total = points + end.points + self._proofed(whole, proof, most)
            if total < best.points:
                if slack_of != whole:
                    slack, slack_of = self._slack(standing, meet, whole), whole
                starts = (*one.starts, *end.starts)
                total = self._with_beside(standing, starts, total + slack, best.points)
                best = Found(total, starts) if total < best.points else best
        return best

    def _may_proof(self, warm: int, hands: int, listed: WaysOn) -> bool:
        """May any of these endings be long enough in the tray?"""
        bulk, proof = (0, hands) if self.chain.meet == self.chain.press else (hands + listed.least_bulk, 0)
        return (proof + listed.most_proof) * PER_MILLE >= self.rising.proof[0] * (warm + bulk)

    def _finish_staged(self, one: Beginning, standing: DoughAt, meet: int, points: int, best: Found) -> Found:
        """The same where it is a preferment that stood: the dough's own rise begins then, however it went."""
        rising = self.rising
        rows = self.endings.ready(rising.mixed(meet, 0), meet, best.points - points)
        self._proofed_from[meet] = rows[0].points if rows else best.points - points
        if points + self._proofed_from[meet] >= best.points:
            return best
        warm = rising.warm_at(standing, meet)
        if not rising.sponge_fits(warm) or rising.age_at(standing, meet) > WHOLE_LIFE:
            return best
        age = rising.moved(standing, self.chain.meet, meet).age
        points += slack_points(*rising.room(standing, meet, rising.give(standing, warm, warm), CAPS))
        most = rising.most_beside_sponge(warm)
        place = -1  # of the best among the endings: of equal ones the first stays
        for row in rows:
            total = points + row.points
            if total > best.points or (total == best.points and place <= 0) or not self.effort.spend(1):
                break
            if row.aim > most or age + row.ending.age > WHOLE_LIFE:
                continue
            starts = (*one.starts, *row.ending.starts)
            enough = best.points + (row.place < place)
            total = self._with_beside(standing, starts, total, enough)
            if total < enough:
                best, place = Found(total, starts), row.place
        return best

    def _with_beside(self, standing: DoughAt, starts: tuple[int, ...], total: int, enough: int) -> int:
        """`total` with what topping and side tasks cost more than at the least; IMPOSSIBLE when the day is none."""
        if total < enough:
            self.effort.spend(BESIDE)
            total += self._beside(starts) - self.loads.least_beside(starts[-1])
        return total if total < enough and self._later_fit(standing, starts) else IMPOSSIBLE

    def _proofed(self, whole: int, proof: int, most: int) -> int:
        """Points of a proof of so many warm seconds behind a bulk of `whole`; IMPOSSIBLE when no yeast does it."""
        rising = self.rising
        share = proof * PER_MILLE // whole if whole else 0
        points = rising.proof_points(share)
        return points if points < IMPOSSIBLE and rising.least <= rising.aim(whole, share) <= most else IMPOSSIBLE

    def _slack(self, standing: DoughAt, meet: int, whole: int) -> int:
        # Counted as if it were pressed at its best: by how little it is off is known only when it is loaded.
        give = self.rising.give(standing, whole, whole)
        later, sooner = self.rising.room(standing, meet, give, (CAPS[0] + self._later[-1], CAPS[1]))
        return slack_points(max(0, later - self._later[-1]), sooner)

    def _most_bulk(self) -> int:
        """More warm seconds than a dough can take up from the long wait until it is pressed, however warm it is."""
        waits = [move.wait.most + move.slots for move in self.chain.moves[self.chain.meet + 1 : self.chain.press + 1]]
        return math.ceil(sum(waits) * GRID_S * self.rising.warmth.quickest)

    def _later_fit(self, standing: DoughAt, starts: tuple[int, ...]) -> bool:
        """Are the later trays, pressed and loaded behind the first, ready and proofed in range too?"""
        chain, rising, at = self.chain, self.rising, standing
        if not self._later[-1]:
            return True
        self.effort.spend(TRAY * len(self._later))
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
        out = [one for one in self.endings.moves_taken(0, starts) if one[1] > since * GRID_S]
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
