"""Every way to come to the long wait of a method, and through it, with what it costs."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from typing import NamedTuple

from webapp.core.planner.effort import BEGINNING, Effort
from webapp.core.planner.rising import PER_MILLE, Rising
from webapp.core.planner.slots import NEVER
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import WHOLE_LIFE

# Ways to begin that are listed at most; beyond it only every second, third, ... is carried on. No shipped method comes
# near it, not even with somebody at home for a fortnight; one's own with several wide waits may.
MOST_BEGINNINGS = 40_000


class Ending(NamedTuple):
    """From the end of the long wait on, for a dough that comes there at one temperature."""

    points: int
    bulk: int  # warm seconds taken up from there until pressing
    proof: int  # and from pressing until loading
    starts: tuple[int, ...]
    age: int = 0  # how much older it gets from there until loading


class Beginning(NamedTuple):
    """The moves before the long wait."""

    points: int
    end: int  # slot at which the last of them is done
    starts: tuple[int, ...]


def beginnings(
    rising: Rising,
    first: int,
    last: int,
    supper: int,
    may_begin: Callable[[int], bool] | None,
    below: int,
    effort: Effort,
) -> list[Beginning]:
    """Those after which the long wait can end between the slots `first` and `last`, cheapest first; supper is at the
    instant `supper`. Those of `below` points or more are left out."""
    chain = rising.chain
    slots, moves = chain.slots, chain.moves[: chain.meet]
    waits = [move.wait for move in chain.moves[1 : chain.meet + 1]]
    hands_on = sum(move.slots for move in moves)
    earliest = max(slots.first, first - hands_on - sum(wait.most for wait in waits))
    latest = last - hands_on - sum(wait.least for wait in waits)
    hands = slots.hands(moves[0].step.hands)
    rows = [
        Beginning(points, s + moves[0].slots, (s,))
        for s in range(earliest, latest + 1)
        if hands[s - slots.first] != NEVER
        and (may_begin is None or may_begin(s))
        and (points := hands[s - slots.first] + chain.begun(s, supper)) < below
    ]
    for number in range(1, chain.meet):
        width = chain.moves[number].wait.most - chain.moves[number].wait.least + 1
        most = max(1, int(min(MOST_BEGINNINGS, effort.at_hand / 8)))
        every = -(-len(rows) * width // most) or 1
        effort.cut = effort.cut or every > 1
        rows = [row for one in rows[::every] for row in _with(chain, one, number, below)]
        effort.spend(BEGINNING * len(rows))
        if number == chain.mix:
            rows = _worth_keeping(rising, rows)
    return sorted(rows)


def _with(chain: Chain, one: Beginning, number: int, below: int) -> list[Beginning]:
    """The beginning with one more move, for less than `below` points."""
    slots, left = chain.moves[number].slots, below - one.points
    return [
        Beginning(one.points + points, start + slots, (*one.starts, start))
        for start, points in chain.onward(number, one.end)
        if points < left
    ]


def _worth_keeping(rising: Rising, rows: list[Beginning]) -> list[Beginning]:
    """For each time of mixing the preferments that can win.

    What follows does not depend on how the preferment went, except that an earlier one makes the ferment longer,
    needs less yeast, and is older. So one that is earlier and cheaper, and no older, beats every other with the same
    time of mixing.
    """
    out: list[Beginning] = []
    best: dict[int, tuple[int, int]] = {}
    for one in sorted(rows, key=lambda row: row.starts[0]):
        sponge = rising.begin(one.starts[0])
        age = rising.age_at(sponge, one.starts[1])
        if not rising.sponge_fits(rising.warm_at(sponge, one.starts[1])) or age > WHOLE_LIFE:
            continue
        cheapest, youngest = best.get(one.end, (IMPOSSIBLE, WHOLE_LIFE + 1))
        if one.points < cheapest or age < youngest:
            best[one.end] = min(one.points, cheapest), min(age, youngest)
            out.append(one)
    return out


class Stay(NamedTuple):
    """The long wait of a dough that comes to it at one slot."""

    kept: int  # points of the passing steps in it, were it long enough for all
    least: int  # points of the cheapest end; IMPOSSIBLE: there is none
    ends: list[tuple[int, int]]  # for each slot at which it may end: the points of it and of what is to come, the slot


class LongWait:
    """The long wait before supper: `down` are the slots that lead there, by move (`Endings.down`)."""

    def __init__(self, rising: Rising, down: list[dict[int, int]], floor: int) -> None:
        """No day costs less than `floor`."""
        self.chain = rising.chain
        self._floor = floor
        self._down = down[self.chain.meet]
        self._meets = sorted(self._down)
        self._far = self.chain.slots.last + 10_000
        self._leasts: dict[int, int] = {}
        self._stays: dict[int, Stay] = {}
        last = max(down[self.chain.load], default=0)
        self._most = dict(_longest(rising, self._meets, last)) if self.chain.meet == self.chain.press else {}

    def least_from(self, end: int) -> int:
        """No day costs less from slot `end` on, where the wait begins; sooner known than `from_`."""
        known = self._leasts.get(end)
        if known is None:
            chain, meets = self.chain, self._meets
            soonest = bisect_left(meets, chain.meets_from(end))
            known = IMPOSSIBLE
            if soonest < len(meets):
                known = self._floor + (0 if chain.seen[chain.meet] else chain.unseen(chain.meet, end, meets[soonest]))
            self._leasts[end] = known
        return known

    def from_(self, end: int) -> Stay:
        """The wait of a dough whose last move before it ended at slot `end`."""
        known = self._stays.get(end)
        if known is None:
            chain, meets, down = self.chain, self._meets, self._down
            meet, wait = chain.meet, chain.moves[chain.meet].wait
            least = end + wait.least
            those = meets[bisect_left(meets, chain.meets_from(end)) : bisect_right(meets, end + wait.most)]
            if self._most:
                those = [one for one in those if one - end <= self._most[one]]
            ends = [(wait.prices[one - least] + down[one], one) for one in those]
            if not chain.seen[meet]:
                gone = chain.unseen_each(end, those)
                ends = [(points + more, one) for (points, one), more in zip(ends, gone, strict=True)]
            kept = chain.kept_points(meet - 1, end, self._far)
            known = self._stays[end] = Stay(kept, min(ends)[0] if ends else IMPOSSIBLE, ends)
        return known


def _longest(rising: Rising, meets: list[int], last: int) -> Iterator[tuple[int, float]]:
    """For each slot of pressing, how many slots a dough may have waited that is still proofed as far as it must be by
    the `last` loading, however cold its wait and however warm its tray: what no walk has to be made for."""
    moves = rising.chain.moves[rising.chain.press :]
    most = sum(move.slots for move in moves[:-1]) + sum(move.wait.most for move in moves[1:])
    slow, quick = rising.rates
    for meet in meets:
        proof = min(last - meet, most) * quick + 2  # warm seconds are rounded here and there
        asked = rising.proof[0] * slow / PER_MILLE  # warm seconds in the tray for each slot of the wait
        yield meet, (proof + 2) / asked if asked else math.inf
