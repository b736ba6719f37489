"""A method made ready for the search: moves of the dough on the grid, and the passing steps between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from webapp.core.day.day import nights
from webapp.core.formula.method import GRID_MIN, Method, MethodStep
from webapp.core.kinds import STAGE_KINDS, AnyVessel, BulkVessel, HeatedPlace, Vessel
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import POINTS, SAME_DAY_SLOTS, VISIT_GAP_SLOTS, off_best, unseen_points
from webapp.core.planner.slots import NEVER, Slots

IMPOSSIBLE = 1_000_000_000
BEFORE_NEXT = 3  # slots that the dough is left in peace between a passing step and the next move


@dataclass(frozen=True)
class Wait:
    """Least, best and most slots before a step, and the price of each."""

    least: int
    best: int
    most: int
    prices: tuple[int, ...]  # of least, least + 1, ..., most

    def price(self, slots: int) -> int:
        """Points for waiting so long; the caller keeps to least..most."""
        return self.prices[slots - self.least]


def wait_of(step: MethodStep) -> Wait:
    """A step's wait on the grid: the least rounded up, the most down, a wait past a quarter hour also a visit."""
    least, most = -(-step.wait_least_min // GRID_MIN), step.wait_most_min // GRID_MIN
    most = max(least, most)
    best = min(max(step.wait_best_min // GRID_MIN, least), most)
    prices = tuple(off_best(w, least, best, most, POINTS["wait"]) + visit_points(w) for w in range(least, most + 1))
    return Wait(least, best, most, prices)


def visit_points(wait: int) -> int:
    """Points for coming back after so many slots."""
    return POINTS["visit"] if wait > VISIT_GAP_SLOTS else 0


@dataclass(frozen=True)
class Passing:
    """A fold, a rest, a rounding up: does not change how the dough rises."""

    step: MethodStep
    wait: Wait
    slots: int  # hands on


@dataclass(frozen=True)
class Move:
    """A step that moves the dough, and how the dough stands from its end on."""

    step: MethodStep
    wait: Wait
    slots: int  # hands on
    place: HeatedPlace
    vessel: AnyVessel
    passing: tuple[Passing, ...]  # between this move and the next


@dataclass(frozen=True)
class Kept:
    """The passing steps of one stage that are done, with their starting slots, and what they and the others cost."""

    points: int
    starts: tuple[int | None, ...]  # None = left out


class Chain:
    """The moves of one method. `mix`, `press` and `load` are their numbers; `meet` ends the longest wait."""

    def __init__(self, method: Method, vessel: BulkVessel, slots: Slots, unknown: int = 0) -> None:
        self.method = method
        self.slots = slots
        self.unknown = unknown  # how little is known of the kitchen, in thousandths
        self.moves = _moves(method, vessel)
        kinds = [m.step.kind for m in self.moves]
        self.mix, self.press, self.load = (kinds.index(k) for k in STAGE_KINDS)
        self.meet = max(range(1, self.press + 1), key=lambda i: (self.moves[i].wait.most, -i))
        self._nights = _nights(slots) if method.through_night else ()
        self.seen = [self._in_sight(number) for number in range(len(self.moves))]
        self._unseen = _unseen(-(-(slots.last - slots.first + 2) // 1024) * 1024, unknown)
        self._onward: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._kept: dict[tuple[int, int, int, int], Kept] = {}
        self._calm: dict[tuple[int, int], int] = {}
        self._frees: dict[int, list[int]] = {}
        self._shifts: dict[int, list[tuple[int, int]]] = {}
        self._reach = [sum(p.wait.most + p.slots for p in move.passing) + BEFORE_NEXT for move in self.moves]
        self._longest = [_left(move.passing) for move in self.moves]  # all that is left of them, from each on

    def meets_from(self, end: int) -> int:
        """The first slot at which the longest wait may end when it begins at slot `end`; past a night where it must."""
        least = end + self.moves[self.meet].wait.least
        if not self.method.through_night:
            return least
        return max(least, next((night for night in self._nights if night >= end), IMPOSSIBLE))

    def begun(self, slot: int, supper: int) -> int:
        """Points for how little room there is to come home late before the first step at `slot`, supper being then."""
        soon = supper // GRID_S - slot < SAME_DAY_SLOTS
        return self.slots.begun(self.moves[0].step.hands)[slot - self.slots.first] if soon else 0

    def stay_points(self, number: int, end: int, start: int) -> int:
        """Points for the wait before move `number`, from slot `end` to `start`: its length, and how much is unseen."""
        wait = self.moves[number].wait
        return wait.prices[start - end - wait.least] + self.unseen(number, end, start)

    def unseen(self, number: int, end: int, start: int) -> int:
        """Points for the wait before move `number`, slots `end` to `start`, as far as nobody could look at the dough.

        Of the dough itself, until it is pressed, out of the fridge: what goes wrong there has gone wrong unseen.
        """
        return 0 if self.seen[number] else self._unseen[self.slots.empty(end, start)]

    def unseen_each(self, end: int, starts: Iterable[int]) -> list[int]:
        """The same of each of many waits from slot `end` on, where it is asked."""
        table, empty = self._unseen, self.slots.empty_before
        by, first = empty[end - self.slots.first], self.slots.first
        return [table[empty[start - first] - by] for start in starts]

    def _in_sight(self, number: int) -> bool:
        """Does it cost nothing, whoever is there, that nobody looks in the wait before move `number`?"""
        return not self.unknown or not self.mix < number <= self.press or self.moves[number - 1].place == "fridge"

    def onward(self, number: int, end: int) -> list[tuple[int, int]]:
        """Slots at which move `number` may begin when the one before ended at slot `end`, each with its points.

        The same for every beginning that comes there and for every supper, so it is worked out once.
        """
        known = self._onward.get((number, end))
        if known is None:
            known = self._onward[number, end] = self._calm_onward(number, end) or list(self._begun(number, end))
        return known

    def _calm_onward(self, number: int, end: int) -> list[tuple[int, int]]:
        """The same where somebody is free all the while at no price: as after any such end; () elsewhere."""
        move, first = self.moves[number], end - self.slots.first
        calm = self.slots.calm(move.step.hands)[first + move.wait.least : first + move.wait.least + 1]
        beside = self._free(number - 1)[first] if self.moves[number - 1].passing else self._reach[number - 1] + 1
        if not (self.seen[number] and calm and calm[0] > move.wait.most - move.wait.least):
            return []
        if beside <= self._reach[number - 1]:
            return []
        shifts = self._shifts.get(number)
        if shifts is None:
            shifts = self._shifts[number] = [(start - end, points) for start, points in self._begun(number, end)]
        return [(end + shift, points) for shift, points in shifts]

    def _begun(self, number: int, end: int) -> Iterator[tuple[int, int]]:
        move = self.moves[number]
        hands, first = self.slots.hands(move.step.hands), self.slots.first
        for start in range(end + move.wait.least, min(end + move.wait.most, self.slots.last) + 1):
            if hands[start - first] != NEVER:
                kept = self.kept_points(number - 1, end, start)
                if kept < IMPOSSIBLE:
                    yield start, hands[start - first] + self.stay_points(number, end, start) + kept

    def kept_points(self, move: int, end: int, until: int) -> int:
        """The points of `kept`. Where somebody is free all the while at no price they are those of any such stretch."""
        if not self.moves[move].passing:
            return 0
        room = min(until - BEFORE_NEXT - end, self._reach[move])
        if self._free(move)[end - self.slots.first] <= room:
            return self._best(move, 0, end, end + room).points
        points = self._calm.get((move, room))
        if points is None:
            points = self._calm[move, room] = self._best(move, 0, end, end + room).points
        return points

    def _free(self, move: int) -> list[int]:
        """For how many slots on end, from each on, any passing step after `move` may start at no price."""
        table = self._frees.get(move)
        if table is None:
            runs = [self.slots.calm(minutes) for minutes in {one.slots * GRID_MIN for one in self.moves[move].passing}]
            table = self._frees[move] = list(map(min, *runs)) if runs[1:] else runs[0]
        return table

    def kept(self, move: int, end: int, until: int) -> Kept:
        """The cheapest way to do the passing steps after `move`, which ended at slot `end`, before `until`."""
        if not self.moves[move].passing:
            return _NOTHING
        return self._best(move, 0, end, min(until - BEFORE_NEXT, end + self._reach[move]))

    def _best(self, move: int, number: int, at: int, until: int) -> Kept:
        passing = self.moves[move].passing
        if number == len(passing):
            return _NOTHING
        until = min(until, at + self._longest[move][number])  # beyond that it is the same: known from other beginnings
        key = (move, number, at, until)
        known = self._kept.get(key)
        if known is None:
            known = self._kept[key] = self._choose(move, number, at, until)
        return known

    def _choose(self, move: int, number: int, at: int, until: int) -> Kept:
        """Of equal ones the one that leaves it out, then the soonest. What costs least by itself is looked at first:
        no wait that alone costs more than all of that needs to be followed any further."""
        one = self.moves[move].passing[number]
        best, best_wait = Kept(IMPOSSIBLE, ()), IMPOSSIBLE
        table, here = self.slots.hands(one.slots * GRID_MIN), at - self.slots.first
        waits = range(one.wait.least, min(one.wait.most, until - one.slots - at, self.slots.last - at) + 1)
        priced = ((table[here + wait] + one.wait.price(wait), wait) for wait in waits if table[here + wait] != NEVER)
        for price, wait in sorted(priced):
            if (price, wait) >= (best.points, best_wait):
                break
            rest = self._best(move, number + 1, at + wait + one.slots, until)
            if (price + rest.points, wait) < (best.points, best_wait):
                best, best_wait = Kept(price + rest.points, (at + wait, *rest.starts)), wait
        if one.step.optional and POINTS["left-out"] <= best.points:
            rest = self._best(move, number + 1, at, until)
            if POINTS["left-out"] + rest.points <= best.points:
                best = Kept(POINTS["left-out"] + rest.points, (None, *rest.starts))
        return best


_NOTHING = Kept(0, ())


def _left(passing: tuple[Passing, ...]) -> list[int]:
    """Slots that passing steps take at the most, from each of them on."""
    return [sum(one.wait.most + one.slots for one in passing[number:]) for number in range(len(passing))]


@lru_cache(maxsize=16)
def _unseen(slots: int, unknown: int) -> tuple[int, ...]:
    """Points for 0, 1, ... slots out of sight in a kitchen so little known."""
    return tuple(unseen_points(many, unknown) for many in range(slots))


def _nights(slots: Slots) -> tuple[int, ...]:
    """The slots of the nights of these days, ascending."""
    return tuple(-(-at // GRID_S) for at in nights(slots.day.zone, slots.day.start, slots.day.end))


def _moves(method: Method, vessel: BulkVessel) -> tuple[Move, ...]:
    rows: list[tuple[MethodStep, list[Passing], HeatedPlace, AnyVessel]] = []
    stands: Vessel = vessel
    for step in method.steps:
        if not step.moves:
            rows[-1][1].append(Passing(step, wait_of(step), -(-step.hands // GRID_MIN)))
            continue
        stands = "tray" if step.kind == "press" else stands
        place = step.goes_to
        assert place  # a step that moves the dough puts it somewhere
        rows.append((step, [], place, "sponge" if step.kind == "preferment" else stands))
    return tuple(
        Move(step, wait_of(step), step.hands // GRID_MIN, place, vessel, tuple(passing))
        for step, passing, place, vessel in rows
    )
