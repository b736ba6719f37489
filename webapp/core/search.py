"""The best day for one method: an exact search over every start on the grid of five minutes.

The chain is cut at its longest wait. What comes before and what comes after are listed with their prices; pairs are
taken cheapest first, and a pair is worked out in full (yeast, proof, slack, folds, topping) only while the prices
alone could still beat the best so far. Every further price is at least 0, so nothing better is ever passed over.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from typing import NamedTuple

from webapp.core.loads import Interval, Loads
from webapp.core.rising import CAPS, PER_MILLE, Rising, Standing
from webapp.core.slots import NEVER
from webapp.core.stages import IMPOSSIBLE, Chain
from webapp.core.warmth import SLOT_S
from webapp.core.weights import ferment_points, slack_points


class Found(NamedTuple):
    """The best day: points, and the starting slot of every move."""

    points: int
    starts: tuple[int, ...]


class _Before(NamedTuple):
    points: int
    end: int  # slot at which the last move before the long wait is done
    starts: tuple[int, ...]


class _After(NamedTuple):
    points: int
    starts: tuple[int, ...]


class Search:
    """One method, one day."""

    def __init__(self, chain: Chain, rising: Rising, loads: Loads) -> None:
        self.chain = chain
        self.rising = rising
        self.loads = loads
        self.slots = chain.slots
        self._later = [j * loads.cycle for j in range(loads.baking.loads)]
        sides = loads.wanted.sides
        self._beside_reach = max((-(-s.first_min // 5) for s in sides), default=0) + 24
        self._far = chain.slots.last + 10_000

    def best(self, may_begin: Callable[[int], bool] | None = None) -> Found | None:
        """The cheapest day, or None; `may_begin` tells at which slots the first step may begin."""
        after = self._after()
        if not after:
            return None
        meets = sorted(after)
        cheapest = [after[m][0].points for m in meets]
        before = self._before(meets[0], meets[-1], may_begin)
        return self._pairs(before, after, meets, cheapest)

    def _pairs(
        self, before: list[_Before], after: dict[int, list[_After]], meets: list[int], cheapest: list[int]
    ) -> Found | None:
        chain = self.chain
        wait = chain.moves[chain.meet].wait
        floor = min(cheapest) + min(wait.prices)
        best = Found(IMPOSSIBLE, ())
        for one in before:
            if one.points + floor >= best.points:
                break
            kept = chain.kept(chain.meet - 1, one.end, self._far).points
            bare = one.points + kept
            if bare + floor >= best.points:
                continue
            standing: tuple[Standing, int] | None = None
            begin = one.starts[0]
            low = bisect_left(meets, one.end + wait.least)
            for i in range(low, bisect_right(meets, one.end + wait.most)):
                meet = meets[i]
                points = bare + wait.prices[meet - one.end - wait.least] + ferment_points(meet - begin)
                if points + cheapest[i] >= best.points:
                    continue
                if standing is None:
                    standing = self._standing(one.starts)
                if standing is None:
                    break
                points += chain.kept(chain.meet - 1, one.end, meet).points - kept
                best = self._finish(one, *standing, points, after[meet], best)
        return best if best.starts else None

    def _finish(
        self, one: _Before, standing: Standing, most: int, points: int, after: list[_After], best: Found
    ) -> Found:
        """Try every ending from this meeting on, cheapest first."""
        chain, rising = self.chain, self.rising
        meet = after[0].starts[0]
        warm = rising.warm_at(standing, meet)
        if chain.meet == chain.mix:
            if not rising.sponge_fits(warm):
                return best
            most = rising.most_beside_sponge(warm)
            points += slack_points(*rising.room(standing, meet, warm, CAPS))
        elif warm > most:
            return best
        elif chain.meet == chain.press:
            if warm < rising.least:
                return best
            points += self._slack(standing, meet, warm)
        for end in after:
            if points + end.points >= best.points:
                break
            more = self._ending(one, standing, most, end, best.points - points - end.points)
            if more < best.points - points - end.points:
                best = Found(points + end.points + more, (*one.starts, *end.starts))
        return best

    def _slack(self, standing: Standing, meet: int, warm: int) -> int:
        later, sooner = self.rising.room(standing, meet, warm, (CAPS[0] + self._later[-1], CAPS[1]))
        return slack_points(max(0, later - self._later[-1]), sooner)

    def _ending(self, one: _Before, standing: Standing, most: int, end: _After, enough: int) -> int:
        """Points of everything that depends on both halves of the day; at least `enough` when it cannot win."""
        chain, rising = self.chain, self.rising
        points, at = 0, standing
        for number, start in enumerate(end.starts[:-1], chain.meet):
            if number == chain.press:
                break
            at = rising.moved(at, number, start)
            points += chain.kept(number, start + chain.moves[number].slots, end.starts[number - chain.meet + 1]).points
        press = end.starts[chain.press - chain.meet]
        warm = rising.warm_at(at, press)
        if points >= enough or not rising.least <= warm <= most:
            return IMPOSSIBLE
        proof = self._proof(at, end.starts[chain.press - chain.meet :], warm)
        if proof < 0:
            return IMPOSSIBLE
        points += proof
        if chain.mix < chain.meet < chain.press:
            points += self._slack(standing, end.starts[0], warm)
        if points >= enough:
            return IMPOSSIBLE
        return points + self._beside(one.starts + end.starts)

    def _proof(self, at: Standing, starts: tuple[int, ...], warm: int) -> int:
        """Points for the proof of the first load; -1 when the proof of any load is out of range."""
        rising, points = self.rising, 0
        for later in self._later:
            pressed = rising.warm_at(at, starts[0] + later)
            if later and pressed > warm * (1.0 + rising.past):
                return -1
            tray = at
            for number, start in enumerate(starts[:-1], self.chain.press):
                tray = rising.moved(tray, number, start + later)
            share = (rising.warm_at(tray, starts[-1] + later) - pressed) * PER_MILLE // warm
            fit = rising.proof_points(share)
            if fit < 0:
                return -1
            points = points if later else fit
        return points

    def _beside(self, starts: tuple[int, ...]) -> int:
        taken = self.taken(starts)
        if self._later[-1] and not self.loads.clear_of_loads(starts[-1], taken):
            return IMPOSSIBLE
        beside = self.loads.beside(starts[-1], taken)
        return IMPOSSIBLE if beside is None else beside.points

    def taken(self, starts: tuple[int, ...]) -> list[Interval]:
        """When moves and passing steps have the hands, as far as they can meet topping and side tasks."""
        chain = self.chain
        since = starts[-1] - self._beside_reach
        out: list[Interval] = []
        for number, start in enumerate(starts[:-1]):
            end = start + chain.moves[number].slots
            shifts = self._later if number >= chain.press else (0,)
            out += [((start + j) * SLOT_S, (end + j) * SLOT_S) for j in shifts if end + j > since]
            if starts[number + 1] > since and chain.moves[number].passing:
                kept = chain.kept(number, end, starts[number + 1]).starts
                out += [
                    (at * SLOT_S, (at + p.slots) * SLOT_S)
                    for at, p in zip(kept, chain.moves[number].passing, strict=True)
                    if at is not None and at + p.slots > since
                ]
        return out

    def _standing(self, starts: tuple[int, ...]) -> tuple[Standing, int] | None:
        """The dough after the moves before the long wait, and its most warm seconds; None when no yeast makes it so."""
        rising, chain = self.rising, self.chain
        at, most = rising.begin(starts[0]), rising.most
        for number, start in enumerate(starts[1:], 1):
            if number == chain.mix:
                warm = rising.warm_at(at, start)
                if not rising.sponge_fits(warm):
                    return None
                most = rising.most_beside_sponge(warm)
            at = rising.moved(at, number, start)
        return at, most

    def _before(self, first: int, last: int, may_begin: Callable[[int], bool] | None) -> list[_Before]:
        """Every way to come to the long wait that can meet something after it, cheapest first."""
        chain, slots = self.chain, self.slots
        moves = chain.moves[: chain.meet]
        longest = sum(m.slots for m in moves) + sum(m.wait.most for m in chain.moves[1 : chain.meet + 1])
        shortest = sum(m.slots for m in moves) + sum(m.wait.least for m in chain.moves[1 : chain.meet + 1])
        hands = slots.hands(moves[0].step.hands)
        rows = [
            _Before(hands[s - slots.first], s + moves[0].slots, (s,))
            for s in range(max(slots.first, first - longest), last - shortest + 1)
            if hands[s - slots.first] != NEVER and (may_begin is None or may_begin(s))
        ]
        for number in range(1, chain.meet):
            rows = [row for one in rows for row in self._next(one, number)]
        return sorted(rows)

    def _next(self, one: _Before, number: int) -> list[_Before]:
        chain, slots = self.chain, self.slots
        move = chain.moves[number]
        hands, first = slots.hands(move.step.hands), slots.first
        out = []
        for wait in range(move.wait.least, move.wait.most + 1):
            start = one.end + wait
            if start > slots.last or hands[start - first] == NEVER:
                continue
            kept = chain.kept(number - 1, one.end, start).points
            if kept < IMPOSSIBLE:
                points = one.points + hands[start - first] + move.wait.prices[wait - move.wait.least] + kept
                out.append(_Before(points, start + move.slots, (*one.starts, start)))
        return out

    def _after(self) -> dict[int, list[_After]]:
        """Every ending from the meeting on, by the meeting's slot, cheapest first."""
        chain = self.chain
        rows = [_After(t.points, (t.slot,)) for t in self.loads.times]
        for number in range(chain.load - 1, chain.meet - 1, -1):
            rows = [row for one in rows for row in self._earlier(one, number)]
        out: dict[int, list[_After]] = {}
        for row in sorted(rows):
            out.setdefault(row.starts[0], []).append(row)
        return out

    def _earlier(self, one: _After, number: int) -> list[_After]:
        chain, slots = self.chain, self.slots
        move, wait = chain.moves[number], chain.moves[number + 1].wait
        hands, first = slots.hands(move.step.hands), slots.first
        later = self._later if number >= chain.press else [0]
        out = []
        for gap in range(wait.least, wait.most + 1):
            start = one.starts[0] - gap - move.slots
            if start < first:
                break
            prices = [hands[start + j - first] for j in later]
            if NEVER not in prices:
                out.append(_After(one.points + sum(prices) + wait.prices[gap - wait.least], (start, *one.starts)))
        return out
