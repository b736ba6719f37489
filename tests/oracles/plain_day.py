"""The planner's model written out plainly, for the oracles: one complete day in, its points out, or None.

Nothing here is shared with the search but the table of weights and the warmth of a dough in one place (checked on its
own against the closed integral in tests/core/planner/test_warmth.py). Slots of 300 s, minutes where it says so.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from webapp.core.day.free_time import PersonDay
from webapp.core.formula.method import Method, MethodStep
from webapp.core.planner.cost import WEIGHTS
from webapp.core.planner.offer import Wanted
from webapp.core.planner.slots import Slots
from webapp.core.planner.warmth import Warmth

POINTS = {w.key: w.points for w in WEIGHTS}


@dataclass(frozen=True)
class Whole:
    """One complete day: slots of the moves, of the passing steps (None = left out), topping and sides."""

    moves: tuple[int, ...]
    passing: tuple[tuple[int | None, ...], ...]  # after each move
    top: int
    sides: tuple[int, ...]


def price(wanted: Wanted, slot: int, minutes: int) -> int | None:
    """Points for hands-on work of so many minutes from `slot` on: the cheapest person who is free throughout."""
    start, end = slot * 300, slot * 300 + minutes * 60
    if start < wanted.now:
        return None
    found = []
    for person in wanted.day.people:
        if any(s.start <= start and end <= s.end for s in person.free):
            leaving = sum(start < a.start and end > a.start - 1800 for a in person.away) * POINTS["leaving"]
            coming = sum(start < a.end + 600 and end > a.end for a in person.away) * POINTS["coming"]
            found.append(leaving + coming)
    return min(found, default=None)


def begun(wanted: Wanted, slot: int, minutes: int) -> int:
    """Points for the room to come home late before the first work: that of whoever is free and has the most of it.

    None are asked for where supper is 12 hours off or more.
    """
    start, end, found = slot * 300, slot * 300 + minutes * 60, []
    if wanted.supper // 300 - slot >= 144:
        return 0
    for person in wanted.day.people:
        if any(s.start <= start and end <= s.end for s in person.free):
            since = [slot - math.ceil(a.end / 300) for a in person.away]
            found.append(max((POINTS["slack"] * (24 - one) for one in since if 0 <= one < 24), default=0))
    return min(found, default=0)


def waits(step: MethodStep) -> tuple[int, int, int]:
    """Least, best, most wait in slots."""
    least = math.ceil(step.wait_least_min / 5)
    most = max(least, step.wait_most_min // 5)
    return least, min(max(step.wait_best_min // 5, least), most), most


def share_of_way(value: int, least: int, best: int, most: int, points: int) -> int:
    """Points on a straight line from the best to either end, rounded down."""
    if value == best:
        return 0
    to_end = best - least if value < best else most - best
    return math.floor(points * abs(value - best) / to_end + 1e-9)


def wait_points(step: MethodStep, slots: int) -> int | None:
    """Points of a wait, with the visit it may make; None out of range."""
    least, best, most = waits(step)
    if not least <= slots <= most:
        return None
    return share_of_way(slots, least, best, most, POINTS["wait"]) + (POINTS["visit"] if slots > 3 else 0)


def loads_at(wanted: Wanted, cycle: int, later_top: tuple[int, int], slot: int) -> int | None:
    """Points of loading first at `slot`: supper in time, somebody at home, cooling; None when it cannot be."""
    baking = wanted.baking
    bake = (baking.loads - 1) * cycle * 60 + baking.lift_min * 60
    lit, over = slot * 300 - baking.preheat_min * 60, slot * 300 + bake
    out = slot * 300 + baking.lift_min * 60 if wanted.as_they_come else over
    since = wanted.supper - 600 if wanted.supper_from is None else wanted.supper_from
    ready = min(wanted.supper, out + 900)
    first = math.ceil(wanted.now / 300) * 300
    if lit < first or ready < since or ready - out < 300 or not at_home(wanted, lit, over):
        return None
    if not all(one_is_free(wanted, a, b) for a, b in hands_at_the_oven(wanted, cycle, later_top, slot)):
        return None
    own = price(wanted, slot, baking.load_min)
    if own is None:
        return None
    cool = share_of_way(ready - out, 300, 600, 900, POINTS["supper"])
    return own + cool + POINTS["supper"] * ((wanted.supper - ready) // 300)


def at_home(wanted: Wanted, start: int, end: int) -> bool:
    """Is somebody awake at home in every minute, free or busy?"""
    return all(any(awake_at_home(p, minute) for p in wanted.day.people) for minute in range(start, end, 60))


def awake_at_home(person: PersonDay, moment: int) -> bool:
    """Free, or busy and neither away nor asleep."""
    free, away, asleep, busy = (
        any(s.start <= moment < s.end for s in spans)
        for spans in (person.free, person.away, person.asleep, person.busy)
    )
    return free or (busy and not away and not asleep)


def hands_at_the_oven(wanted: Wanted, cycle: int, later_top: tuple[int, int], slot: int) -> Iterator[tuple[int, int]]:
    """Instants between which one person must be free: loading, turning, lifting, topping what comes later."""
    baking = wanted.baking
    for j in range(baking.loads):
        at = slot * 300 + j * cycle * 60
        yield at, at + baking.load_min * 60
        for action in baking.actions:
            if action.action in ("turn", "lift"):
                yield at + action.minute * 60, at + (action.minute + action.hands_min) * 60
        if j:
            yield at + later_top[0], at + later_top[1]


def one_is_free(wanted: Wanted, start: int, end: int) -> bool:
    """Is one and the same person free throughout?"""
    return any(s.start <= start and end <= s.end for p in wanted.day.people for s in p.free)


def clash(intervals: Sequence[tuple[int, int]]) -> bool:
    """Do any two of these minutes overlap?"""
    rows = sorted(i for i in intervals if i[1] > i[0])
    return any(a[1] > b[0] for a, b in itertools.pairwise(rows))


def passing_after(method: Method) -> list[list[MethodStep]]:
    """The passing steps after each move."""
    rows: list[list[MethodStep]] = []
    for step in method.steps:
        if step.moves:
            rows.append([])
        else:
            rows[-1].append(step)
    return rows


def aim(whole: int, share: int) -> int:
    """Warm seconds that the yeast is meant for: of least loss with pressing counted once, loading four times.

    The least of (ln p)^2 + 4 (ln p + ln g)^2, with g = (1 + share) / 1.2, lies at ln p = -4/5 ln g.
    """
    return whole * math.floor(1e6 * ((1000 + share) / 1200) ** 0.8 + 0.5) // 1_000_000


class Model:
    """One wish and one method, scored day by day; `cycle` is the minutes between two loads."""

    def __init__(self, wanted: Wanted, method: Method, cycle: int, later_top: tuple[int, int]) -> None:
        self.wanted, self.method, self.cycle, self.later_top = wanted, method, cycle, later_top
        self.moves = [s for s in method.steps if s.moves]
        self.kinds = [s.kind for s in self.moves]
        self.passing = passing_after(method)
        slots = Slots(wanted.day, wanted.now)
        self._first, self._alone = wanted.now // 300, [0]
        self.warmth = Warmth(wanted.dough, wanted.day.room, slots.first, slots.last)
        most = [s.wait_most_min for s in self.moves]
        press = self.kinds.index("press")
        self.meet = max(range(1, press + 1), key=lambda i: most[i])

    def overnight(self, moves: tuple[int, ...]) -> bool:
        """Has the long wait a local 03:00 in it, where the method says so?"""
        if not self.method.through_night:
            return True
        end = (moves[self.meet - 1] + self.length(self.meet - 1)) * 300
        return any(end <= night <= moves[self.meet] * 300 for night in self.nights())

    def nights(self) -> list[int]:
        """Every 03:00 on the local clock, looked for a quarter of an hour at a time."""
        zone, day = ZoneInfo(self.wanted.day.zone), self.wanted.day
        clocks = ((at, datetime.fromtimestamp(at, zone)) for at in range(day.start - day.start % 900, day.end, 900))
        return [at for at, clock in clocks if (clock.hour, clock.minute) == (3, 0)]

    def length(self, number: int) -> int:
        return self.moves[number].hands // 5

    def pressed(self, load: int) -> int:
        """Slots by which load 0, 1, ... is pressed after the first: whole ones before it is loaded."""
        return load * self.cycle // 5

    def hands_of(self, day: Whole) -> list[tuple[int, int]]:
        """Every hands-on stretch in minutes."""
        baking, loads = self.wanted.baking, self.wanted.baking.loads
        press = self.kinds.index("press")
        out = []
        for number, slot in enumerate(day.moves[:-1]):
            for j in range(loads if number >= press else 1):
                at = (slot + self.pressed(j)) * 5
                out.append((at, at + self.moves[number].hands))
            for step, at in zip(self.passing[number], day.passing[number], strict=True):
                if at is not None:
                    out.append((at * 5, at * 5 + math.ceil(step.hands / 5) * 5))
        for j in range(loads):
            at = day.moves[-1] * 5 + j * self.cycle
            out.append((at, at + baking.load_min))
            out += [(at + a.minute, at + a.minute + a.hands_min) for a in baking.actions]
            if not j:
                out.append((day.top * 5, day.top * 5 + self.wanted.top_min))
            else:
                out += self.pieces_of_topping(at)
        for side, at in zip(self.wanted.sides, day.sides, strict=True):
            out.append((at * 5, at * 5 + side.hands_min))
        return out

    def pieces_of_topping(self, loaded: int) -> Iterator[tuple[int, int]]:
        """Minutes of topping a later tray, cut where the tray in the oven is turned down, turned or looked at."""
        begun, until = (loaded + s // 60 for s in self.later_top)
        before = loaded - self.cycle
        for stop in self.wanted.baking.actions[:-1]:
            if begun <= before + stop.minute < until:
                yield begun, before + stop.minute
                begun = before + stop.minute + stop.hands_min
        yield begun, until

    def rise(self, moves: tuple[int, ...]) -> dict[str, object] | None:
        """Warm seconds and slack; None when no yeast or proof is in range."""
        dough = self.wanted.dough
        press, load = self.kinds.index("press"), len(self.kinds) - 1
        stays, warm_at, before, place, vessel, since, warm, heat = [], [], 0, "", "", 0, 0, 0
        age, ages = 0, [0]
        for number, slot in enumerate(moves):
            kind, end = self.kinds[number], slot + self.length(number)
            if number:
                walk = self.warmth.walk(place, vessel, since, heat)
                stays.append((walk, slot - since, vessel))
                warm_at.append(before + math.floor(walk.at(slot - since)[0] + 0.5))
                more, temp = walk.at(end - since)
                warm, heat = before + math.floor(more + 0.5), math.floor(temp * 10 + 0.5)
                ages.append(age + self.warmth.aged(place, since, slot))
                if number == self.meet:
                    aged = (place, slot, ages[-1])
                if kind == "mix" and ages[-1] > 1_000_000:
                    return None
                age += self.warmth.aged(place, since, end)
            else:
                warm_at.append(0)
            if kind in ("preferment", "mix"):
                warm = 0
                sponge = kind == "preferment" and dough.sponge
                mixed = dough.sponge.mixed_c if sponge else dough.mixed(self.warmth.room_at(slot), number > 0)  # type: ignore[union-attr]
                heat = math.floor(mixed * 10 + 0.5)
                age = math.floor(age * (dough.sponge.flour_percent / 100.0)) if number and dough.sponge else 0
            vessel = (
                "sponge" if kind == "preferment" else "tray" if kind == "press" or vessel == "tray" else dough.vessel
            )
            place, since, before = self.moves[number].goes_to, end, warm
            if number == press - 1:
                to_press = (place, vessel, since, heat, before)
                age_to_press = age
        whole = warm_at[press]
        most, ripe = math.floor(dough.warm_seconds(dough.least_percent)), 0
        if "preferment" in self.kinds and dough.sponge:
            ripe = warm_at[1]
            low = math.ceil(dough.sponge.warm_seconds(dough.most_percent))
            if not low <= ripe <= math.floor(dough.sponge.warm_seconds(dough.least_percent)):
                return None
            own = dough.sponge.instant_percent(ripe) * dough.sponge.flour_percent / 100
            most = min(most, math.floor(dough.warm_seconds(own)))
        shares = self._shares(moves, to_press, press, load, whole, age_to_press)
        if shares is None:
            return None
        if not math.ceil(dough.warm_seconds(dough.most_percent)) <= aim(whole, shares[0]) <= most:
            return None
        return {"whole": whole, "ripe": ripe, "share": shares[0], "stay": stays[self.meet - 1], "aged": aged}

    def _shares(self, moves, to_press, press, load, whole, age) -> list[int] | None:  # type: ignore[no-untyped-def]
        dough, shares, young = self.wanted.dough, [], age
        for j in range(self.wanted.baking.loads):
            (place, vessel, since, heat, before), age = to_press, young
            walk = self.warmth.walk(place, vessel, since, heat)
            pressed = before + math.floor(walk.at(moves[press] + self.pressed(j) - since)[0] + 0.5)
            if pressed > whole * dough.press.past / dough.press.best:
                return None
            for number in range(press, load):
                end = moves[number] + self.pressed(j) + self.length(number)
                walk = self.warmth.walk(place, vessel, since, heat)
                more, temp = walk.at(end - since)
                age += self.warmth.aged(place, since, end)
                before, heat, since = before + math.floor(more + 0.5), math.floor(temp * 10 + 0.5), end
                place, vessel = self.moves[number].goes_to, "tray"
            walk = self.warmth.walk(place, vessel, since, heat)
            at, over = moves[load] + j * self.cycle // 5, j * self.cycle % 5
            low, high = (before + math.floor(walk.at(slot - since)[0] + 0.5) for slot in (at, at + 1))
            loaded = low + (high - low) * over // 5  # minutes within a slot in proportion
            if age + self.warmth.aged(place, since, at + (over > 0)) > 1_000_000:
                return None
            shares.append((loaded - pressed) * 1000 // whole)
        return shares if all(100 <= s <= 450 for s in shares) else None

    def unseen(self, number: int, since: int, until: int) -> int:
        """Points for the stay before move `number` in which nobody awake at home could look at the dough itself."""
        return (self.alone_by(until) - self.alone_by(since)) * self.unseen_per_slot(number) // 12_000

    def unseen_per_slot(self, number: int) -> int:
        """Points for a slot of that stay with nobody there, in twelve-thousandths."""
        risen = self.kinds.index("mix") < number <= self.kinds.index("press")
        if not risen or self.moves[number - 1].goes_to == "fridge":
            return 0
        sd = math.log(self.wanted.dough.band_high) / 1.2815515655
        return POINTS["unseen"] * round(1000 * min(max(sd - 0.27, 0.0) / 0.08, 1.0))

    def alone_by(self, slot: int) -> int:
        """In how many slots up to then nobody is awake at home, counted on from the last slot that was asked for."""
        while len(self._alone) <= slot - self._first:
            at = (self._first + len(self._alone) - 1) * 300
            self._alone.append(self._alone[-1] + (not any(awake_at_home(p, at) for p in self.wanted.day.people)))
        return self._alone[slot - self._first]

    def slack_points(self, rise: dict[str, object]) -> int:
        """Points of slack and earliness at the end of the long wait, slot by slot."""
        dough = self.wanted.dough
        walk, n, vessel = rise["stay"]  # type: ignore[misc]
        past = dough.press.past / dough.press.best - 1
        whole, shift = rise["whole"], self.pressed(self.wanted.baking.loads - 1)
        if self.kinds[self.meet] == "mix":
            whole, shift = rise["ripe"], 0
            past = dough.sponge.past / dough.sponge.need - 1 if vessel == "sponge" and dough.sponge else past
        early = 1 - dough.press.early / dough.press.best
        now = walk.at(n)[0]
        later, (place, slot, age) = 0, rise["aged"]  # type: ignore[misc]
        keeps = [age + self.warmth.aged(place, slot, slot + n) <= 1_000_000 for n in range(26 + shift)]
        while later < 24 + shift and keeps[later + 1] and walk.at(n + later + 1)[0] <= now + past * whole:
            later += 1
        sooner = 0
        while sooner < min(12, n) and walk.at(n - sooner - 1)[0] >= now - early * whole:
            sooner += 1
        return POINTS["slack"] * max(0, 24 - max(0, later - shift)) + POINTS["early"] * max(0, 12 - sooner)

    def score(self, day: Whole) -> int | None:
        """Points of a complete day; None when it cannot be."""
        wanted = self.wanted
        if not self.overnight(day.moves):
            return None
        rise = self.rise(day.moves)
        total = loads_at(wanted, self.cycle, self.later_top, day.moves[-1])
        if rise is None or total is None or clash(self.hands_of(day)):
            return None
        press = self.kinds.index("press")
        parts: list[int | None] = [self.slack_points(rise), begun(wanted, day.moves[0], self.moves[0].hands)]
        parts.append(share_of_way(rise["share"], 100, 200, 450, POINTS["proof"]))  # type: ignore[arg-type]
        hours = (day.moves[self.meet] - day.moves[0]) // 12
        parts.append(POINTS["ferment"] * max(0, 24 - hours))
        for number, slot in enumerate(day.moves):
            if number:
                parts.append(wait_points(self.moves[number], slot - day.moves[number - 1] - self.length(number - 1)))
                parts.append(self.unseen(number, day.moves[number - 1] + self.length(number - 1), slot))
            if number < len(day.moves) - 1:
                later = range(wanted.baking.loads if number >= press else 1)
                parts += [price(wanted, slot + self.pressed(j), self.moves[number].hands) for j in later]
                parts += self._passing_parts(number, day)
        gap = day.moves[-1] - math.ceil(wanted.top_min / 5) - day.top
        if not 0 <= gap <= 4:
            return None
        parts += [share_of_way(gap, 0, 0, 4, POINTS["side-task"]), price(wanted, day.top, wanted.top_min)]
        for side, slot in zip(wanted.sides, day.sides, strict=True):
            before = day.moves[-1] - slot
            first, best, last = (math.ceil(m / 5) for m in (side.first_min, side.best_min, side.last_min))
            if not last <= before <= first:
                return None
            parts += [
                share_of_way(-before, -first, -best, -last, POINTS["side-task"]),
                price(wanted, slot, side.hands_min),
            ]
        return None if None in parts else total + sum(p for p in parts if p is not None)

    def _passing_parts(self, number: int, day: Whole) -> Iterator[int | None]:
        at = day.moves[number] + self.length(number)
        for step, slot in zip(self.passing[number], day.passing[number], strict=True):
            if slot is None:
                yield POINTS["left-out"] if step.optional else None
                continue
            long = math.ceil(step.hands / 5)
            yield wait_points(step, slot - at)
            yield price(self.wanted, slot, long * 5)
            at = slot + long
            yield 0 if at + 3 <= day.moves[number + 1] else None


def cheapest_day(model: Model, slots: Sequence[int]) -> tuple[int, Whole] | None:
    """The best of every day whose moves begin in `slots`, by trying them all; only for small cases."""
    best: tuple[int, Whole] | None = None
    for row in _rows(model, slots):
        if model.rise(row) is None or loads_at(model.wanted, model.cycle, model.later_top, row[-1]) is None:
            continue
        for day in _around(model, row):
            points = model.score(day)
            if points is not None and (best is None or points < best[0]):
                best = points, day
    return best


def _rows(model: Model, slots: Sequence[int]) -> Iterator[tuple[int, ...]]:
    allowed = set(slots)

    def on(so_far: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        number = len(so_far)
        if number == len(model.moves):
            yield so_far
            return
        least, _, most = waits(model.moves[number])
        end = so_far[-1] + model.length(number - 1)
        for slot in range(end + least, end + most + 1):
            if slot in allowed:
                yield from on((*so_far, slot))

    for first in slots:
        yield from on((first,))


def _around(model: Model, row: tuple[int, ...]) -> Iterator[Whole]:
    """Every choice of passing steps, topping and sides around these moves."""
    wanted = model.wanted
    folds = [list(_folds(model, number, row)) for number in range(len(row) - 1)]
    top = math.ceil(wanted.top_min / 5)
    sides = [
        [row[-1] - b for b in range(math.ceil(s.last_min / 5), math.ceil(s.first_min / 5) + 1)] for s in wanted.sides
    ]
    for kept in itertools.product(*folds):
        for gap, *rest in itertools.product(range(5), *sides):
            yield Whole(row, kept, row[-1] - top - gap, tuple(rest))


def _folds(model: Model, number: int, row: tuple[int, ...]) -> Iterator[tuple[int | None, ...]]:
    steps = model.passing[number]

    def place(at: int, left: Sequence[MethodStep]) -> Iterator[tuple[int | None, ...]]:
        if not left:
            yield ()
            return
        if left[0].optional:
            for rest in place(at, left[1:]):
                yield (None, *rest)
        least, _, most = waits(left[0])
        for slot in range(at + least, at + most + 1):
            for rest in place(slot + math.ceil(left[0].hands / 5), left[1:]):
                yield (slot, *rest)

    return place(row[number] + model.length(number), steps)
