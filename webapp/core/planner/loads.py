"""The oven's part of the day: when the trays can go in, load after load, and what is done beside the dough.

One oven, perhaps more trays than it holds: the loads follow each other at one constant cycle of minutes, and pressing,
topping and loading of the later trays are put off by the same cycle (pressing to the five minutes before), so that
every tray gets the same proof or a few minutes more. The cook is never in two places: the cycle is the shortest at
which topping the next load fits between the hands-on moments of the one in the oven, or is put down for the minute that
turning it down, turning it round or looking at it takes. It never meets a loading or a lifting.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from itertools import accumulate, pairwise

from webapp.core.day.span import Span
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import POINTS, off_best
from webapp.core.planner.offer import Wanted
from webapp.core.planner.slots import NEVER, Slots

# From the oven to the first slice. Five to fifteen minutes is common practice; nobody has the figure of when a tray is
# at its best, so it is the middle of them.
COOL_LEAST_S = 300
COOL_BEST_S = 600
COOL_MOST_S = 900
# A topped tray may wait so long before it goes into the oven. That sauce soaks into a base is common practice; how many
# minutes it takes nobody has measured: twenty are this project's own judgement.
TOP_GAP_SLOTS = 4
TOP_GAP_MIN = TOP_GAP_SLOTS * GRID_S // 60
SUPPER_FROM_S = 600  # supper may be this much earlier unless told otherwise
Interval = tuple[int, int]


@dataclass(frozen=True)
class LoadTime:
    """A slot at which the first load can go in, what that costs, and when the first slice can be eaten."""

    slot: int
    points: int
    ready_at: int


@dataclass(frozen=True)
class SideTasks:
    """Topping and side tasks of one loading time: what they cost, and each one's starting instant."""

    points: int
    starts: tuple[int, ...]  # topping of the first load, then Wanted.sides in order


class Loads:
    """All loads of one oven on one day. Instants in seconds, slots on the grid."""

    def __init__(self, wanted: Wanted, slots: Slots) -> None:
        self.wanted = wanted
        self.baking = wanted.baking
        self._minutes = (wanted.top_min, *(s.hands_min for s in wanted.sides))
        self.slots = slots
        self.cycle_min, self.later_top = _cycle(wanted)
        self.pressed = tuple(self.later_s(j) // GRID_S for j in range(self.baking.loads))  # slots behind the first
        self.busy = tuple(self._busy())
        self._begun = [start for start, _ in self.busy]
        self._until = list(accumulate((end for _, end in self.busy), max))  # of these, those begun first, the last end
        self._work = tuple(self._needs_hands())
        self.supper_from = wanted.supper - SUPPER_FROM_S if wanted.supper_from is None else wanted.supper_from
        self._free: dict[int, list[list[tuple[int, int]]]] = {}
        self._beside: dict[tuple[int, tuple[Interval, ...]], SideTasks | None] = {}
        self.times = [t for t in self._times() if self._placed(t.slot, ()) is not None]

    def asked_by(self, wanted: Wanted) -> Loads:
        """The same loads for a wish that is otherwise in its dough or its effort alone; what is found is found once."""
        other = copy(self)
        other.wanted = wanted
        return other

    def later_s(self, load: int) -> int:
        """Seconds by which load 0, 1, ... is loaded after the first."""
        return load * self.cycle_min * 60

    @property
    def bake_s(self) -> int:
        """Seconds from the first loading until the last load is lifted."""
        return self.later_s(self.baking.loads - 1) + self.baking.lift_min * 60

    @property
    def served_s(self) -> int:
        """Seconds from the first loading until the load that supper waits for is lifted: the last, or the first."""
        return self.baking.lift_min * 60 if self.wanted.as_they_come else self.bake_s

    def _busy(self) -> list[Interval]:
        """Hands-on moments of all loads, seconds relative to the first loading; topping of the first is free."""
        out = []
        for j in range(self.baking.loads):
            at = self.later_s(j)
            out.append((at, at + self.baking.load_min * 60))
            out += [(at + a.minute * 60, at + (a.minute + a.hands_min) * 60) for a in self.baking.actions]
            if j and self.wanted.top_min:
                out.append((at + self.later_top[0], at + self.later_top[1]))
        return sorted(out)

    def _needs_hands(self) -> Iterator[Interval]:
        """Moments at which one person has to be free, relative to the first loading; turning down and looking need
        nobody who is not at home anyway."""
        baking = self.baking
        hands = [(0, baking.load_min * 60)]
        hands += [
            (a.minute * 60, (a.minute + a.hands_min) * 60) for a in baking.actions if a.action in ("turn", "lift")
        ]
        for j in range(baking.loads):
            at = self.later_s(j)
            yield from ((at + a, at + b) for a, b in hands)
            if j and self.wanted.top_min:
                yield at + self.later_top[0], at + self.later_top[1]

    def _times(self) -> list[LoadTime]:
        """Every first loading that brings supper on time with somebody at home while the oven is on."""
        bake_s, served_s = self.bake_s, self.served_s
        latest = (self.wanted.supper - COOL_LEAST_S - served_s) // GRID_S
        earliest = -(-(self.supper_from - COOL_MOST_S - served_s) // GRID_S)
        hands = self.slots.hands(self.baking.load_min)
        out = []
        for slot in range(max(earliest, self.slots.first), min(latest, self.slots.last) + 1):
            at = slot * GRID_S
            lit = at - self.baking.preheat_min * 60
            price = hands[slot - self.slots.first]
            if price == NEVER or lit < self.slots.first * GRID_S or not self.slots.somebody_home(lit, at + bake_s):
                continue
            if not all(self.slots.who(at + a, at + b) for a, b in self._work):
                continue
            if any(taken.meets(Span(lit, at + bake_s)) for taken in self.wanted.oven_taken):
                continue
            ready = min(self.wanted.supper, at + served_s + COOL_MOST_S)
            early = POINTS["supper"] * ((self.wanted.supper - ready) // GRID_S)
            out.append(LoadTime(slot, price + early + self._cool_points(ready - at - served_s), ready))
        return out

    def _cool_points(self, cool_s: int) -> int:
        return off_best(cool_s, COOL_LEAST_S, COOL_BEST_S, COOL_MOST_S, POINTS["supper"])

    def beside(self, slot: int, taken: Sequence[Interval]) -> SideTasks | None:
        """The cheapest topping and side tasks for loading at `slot` that keep clear of `taken`; None = no room."""
        free = self._placed(slot, ())
        if free is None or not any(_overlap(t, i) for t in taken for i in self.intervals(free)):
            return free
        return self._placed(slot, tuple(sorted(taken)))

    def least_beside(self, slot: int) -> int:
        """Points of `beside` with nothing taken."""
        free = self._placed(slot, ())
        return free.points if free else 0

    def intervals(self, beside: SideTasks) -> list[Interval]:
        """When topping and side tasks have the hands."""
        return [(start, start + m * 60) for start, m in zip(beside.starts, self._minutes, strict=True)]

    def clear_of_loads(self, slot: int, taken: Sequence[Interval]) -> bool:
        """Do these hands-on moments keep clear of those at the oven when the first load goes in at `slot`?"""
        at = slot * GRID_S
        return not any(self._at_oven(start - at, end - at) for start, end in taken)

    def _at_oven(self, start: int, end: int) -> bool:
        """Does any moment at the oven meet this stretch? Seconds relative to the first loading."""
        begun = bisect_left(self._begun, end)
        return begun > 0 and self._until[begun - 1] > start

    def _placed(self, slot: int, taken: tuple[Interval, ...]) -> SideTasks | None:
        key = (slot, taken)
        if key not in self._beside:
            rows = [
                [c for c in row if not any(_overlap((c[1], c[1] + minutes * 60), t) for t in taken)]
                for row, minutes in zip(self._beside_oven(slot), self._minutes, strict=True)
            ]
            self._beside[key] = _cheapest(rows, self._minutes)
        return self._beside[key]

    def _beside_oven(self, slot: int) -> list[list[tuple[int, int]]]:
        """Of `_choices` those that keep clear of what is done at the oven, cheapest first."""
        known = self._free.get(slot)
        if known is None:
            at = slot * GRID_S
            known = self._free[slot] = [
                sorted(c for c in row if not self._at_oven(c[1] - at, c[1] - at + minutes * 60))
                for row, minutes in zip(self._choices(slot), self._minutes, strict=True)
            ]
        return known

    def _choices(self, slot: int) -> list[list[tuple[int, int]]]:
        """For topping and each side task every start that the hands allow: (points, instant)."""
        top = _slots(self.wanted.top_min)
        gaps = [
            (slot - top - gap, off_best(gap, 0, 0, TOP_GAP_SLOTS, POINTS["side-task"]))
            for gap in range(TOP_GAP_SLOTS + 1)
        ]
        rows = [self._priced(gaps, self.wanted.top_min) if self.wanted.top_min else [(0, slot * GRID_S)]]
        for side in self.wanted.sides:
            first, best, last = (_slots(m) for m in (side.first_min, side.best_min, side.last_min))
            starts = [
                (slot - before, off_best(-before, -first, -best, -last, POINTS["side-task"]))
                for before in range(first, last - 1, -1)
            ]
            rows.append(self._priced(starts, side.hands_min))
        return rows

    def _priced(self, starts: Sequence[tuple[int, int]], minutes: int) -> list[tuple[int, int]]:
        hands, first = self.slots.hands(minutes), self.slots.first
        return [
            (points + hands[slot - first], slot * GRID_S)
            for slot, points in starts
            if first <= slot <= self.slots.last and hands[slot - first] != NEVER
        ]


def _slots(minutes: int) -> int:
    return -(-minutes * 60 // GRID_S)


def _overlap(one: Interval, other: Interval) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def clash(taken: Sequence[Interval]) -> bool:
    """Do any two of these overlap?"""
    rows = sorted(taken)
    return any(_overlap(one, other) for one, other in pairwise(rows))


def _cheapest(rows: Sequence[Sequence[tuple[int, int]]], minutes: Sequence[int]) -> SideTasks | None:
    """One choice of each row, no two overlapping, fewest points; rows are sorted by points."""
    if any(not row for row in rows):
        return None
    rest = [sum(row[0][0] for row in rows[i:]) for i in range(len(rows) + 1)]
    best: SideTasks | None = None

    def place(number: int, points: int, placed: list[Interval]) -> None:
        nonlocal best
        if number == len(rows):
            best = SideTasks(points, tuple(i[0] for i in placed))
            return
        for price, start in rows[number]:
            if best is not None and points + price + rest[number + 1] >= best.points:
                return
            one = (start, start + minutes[number] * 60)
            if not any(_overlap(one, other) for other in placed):
                place(number + 1, points + price, [*placed, one])

    place(0, 0, [])
    return best


def _cycle(wanted: Wanted) -> tuple[int, Interval]:
    """Minutes from one load to the next; when a later tray is topped, in seconds from its own loading (negative)."""
    step = wanted.load_every_min
    cycle = -(-(wanted.baking.lift_min + wanted.baking.recover_min) // step) * step
    while True:
        topped = _topped_between(wanted, cycle) or _topped_with_stops(wanted, cycle)
        if topped:
            return cycle, ((topped[0] - cycle) * 60, (topped[1] - cycle) * 60)
        cycle += step


def _topped_between(wanted: Wanted, cycle: int) -> Interval | None:
    """When the next tray can be topped with no other work in between, minutes from the loading before; the latest."""
    baking = wanted.baking
    oven = [(0, baking.load_min), *((a.minute, a.minute + a.hands_min) for a in baking.actions)]
    latest = cycle - wanted.top_min
    for start in range(latest, max(-1, latest - TOP_GAP_MIN - 1), -1):
        one = (start, start + wanted.top_min)
        if not any(_overlap(one, i) for i in oven):
            return one
    return None


def _topped_with_stops(wanted: Wanted, cycle: int) -> Interval | None:
    """The same between loading and lifting, longer by every minute that the tray in the oven asks for; the latest."""
    *stops, lift = wanted.baking.actions
    for start in range(lift.minute - wanted.top_min, wanted.baking.load_min - 1, -1):
        if any(a.minute < start < a.minute + a.hands_min for a in stops):
            continue
        end = start + wanted.top_min
        for stop in stops:
            end += stop.hands_min if start <= stop.minute < end else 0
        if end <= lift.minute and cycle - end <= TOP_GAP_MIN:
            return start, end
    return None
