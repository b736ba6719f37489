"""How much warmth a dough takes up, on the grid of five minutes: the integral that turns times into yeast.

A walk follows one dough in one place from one slot on. Within a slot the surroundings are constant and the gap to
them shrinks by exactly exp(-300 / tau); the response is added up by trapezia, read from a table of hundredths of a
degree (together within 0.12 % of the closed integral on the bench, 0.3 % in a fridge at 2 C: see
tests/core/planner/test_warmth.py). Between places the temperature is carried over in tenths of a degree and warmth in
whole warm seconds, so that equal ways cost nothing to compare and a constraint solver can be given the same numbers.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import accumulate
from operator import add

from webapp.core.kinds import AnyVessel, HeatedPlace
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.offer import PlannedDough

WHOLE_LIFE = 1_000_000  # a dough as old as it may get on the bench
_LOW_C, _HIGH_C = -20, 70
_CHUNK = 36


@lru_cache(maxsize=8)
def _by_hundredths(response: Callable[[float], float]) -> tuple[float, ...]:
    """150 s (half a slot) of the response at each hundredth of a degree from -20 to 70 C."""
    return tuple(GRID_S / 2 * response(i / 100.0) for i in range(_LOW_C * 100, _HIGH_C * 100 + 1))


class WarmthWalk:
    """One dough in one place: `warm[n]` warm seconds and `temps[n]` C after n slots, worked out as far as asked."""

    __slots__ = ("_ambient", "_decay", "_slot", "_steady", "_table", "temps", "warm")

    def __init__(
        self, table: tuple[float, ...], ambient: Sequence[float], slot: int, temp_c: float, tau_s: float, steady: bool
    ) -> None:
        self._table = table
        self._ambient = ambient  # one entry for a steady place
        self._slot = slot
        self._decay = math.exp(-GRID_S / tau_s)
        self._steady = math.ceil(14 * tau_s / GRID_S) if steady else 0
        self.temps = [temp_c]
        self.warm = [0.0]

    def at(self, slots: int) -> tuple[float, float]:
        """Warm seconds and temperature after so many slots."""
        if self._steady and slots > self._steady:
            warm, temp = self.at(self._steady)
            return warm + (slots - self._steady) * self.rate(temp), temp
        if slots >= len(self.warm):
            self._extend(slots + _CHUNK)
        return self.warm[slots], self.temps[slots]

    def rate(self, temp_c: float) -> float:
        """Warm seconds taken up in one slot at that temperature."""
        return 2.0 * self._table[int((temp_c - _LOW_C) * 100.0 + 0.5)]

    def _extend(self, slots: int) -> None:
        table, decay, temp = self._table, self._decay, self.temps[-1]
        around = self._surroundings(len(self.warm) - 1, slots)
        temps = [temp, *(temp := one + (temp - one) * decay for one in around)]
        halves = [table[int((one - _LOW_C) * 100.0 + 0.5)] for one in temps]
        self.temps += temps[1:]
        self.warm[-1:] = accumulate(map(add, halves, halves[1:]), initial=self.warm[-1])

    def _surroundings(self, first: int, last: int) -> list[float]:
        """The temperature around the dough in slots first..last of this walk; past the end of the day as at its end."""
        known = list(self._ambient[self._slot + first : self._slot + last])
        return known + [self._ambient[-1]] * (last - first - len(known))

    def slots_until(self, warm_s: float, most: int) -> int:
        """The last slot at which no more than `warm_s` has been taken up, `most` at most."""
        low, high = 0, most
        while low < high:
            middle = (low + high + 1) // 2
            if self.at(middle)[0] <= warm_s:
                low = middle
            else:
                high = middle - 1
        return low


class Warmth:
    """All walks of one dough in one kitchen, each made once."""

    def __init__(self, dough: PlannedDough, room: Sequence[RoomSpan], first: int, last: int) -> None:
        self.first = first
        self._dough = dough
        self._table = _by_hundredths(dough.response)
        self._tau: dict[tuple[str, str], float] = {(vessel, place): tau for vessel, place, tau in dough.tau_s}
        self._room = _room_by_slot(room, first, last)
        self.quickest = max(self._table) / (GRID_S / 2)  # warm seconds in a second, at the best of temperatures
        self.rooms = frozenset(self._room)  # every warmth that the kitchen has, C
        ageing = {c: _aged(dough.ageing(c)) for c in self.rooms}
        self._aged = list(accumulate((ageing[c] for c in self._room), initial=0))
        steady = (("fridge", dough.fridge_c), ("warm", dough.warm_c or 0.0))
        self._aged_in: dict[str, int] = {place: _aged(dough.ageing(c)) for place, c in steady}
        self._walks: dict[tuple[HeatedPlace, AnyVessel, int, int], WarmthWalk] = {}

    def walk(self, place: HeatedPlace, vessel: AnyVessel, slot: int, tenths: int) -> WarmthWalk:
        """The walk of a dough at `tenths` (of a degree) that comes to `place` at `slot`; "sponge" is a vessel too."""
        key = (place, vessel, slot if place == "bench" else 0, tenths)
        walk = self._walks.get(key)
        if walk is None:
            walk = self._walks[key] = self._new(*key)
        return walk

    def rates(self, temps: Sequence[float]) -> tuple[float, float]:
        """Warm seconds taken up in a slot, at least and at most, by a dough no colder and no warmer than these."""
        low, high = (int((c - _LOW_C) * 100.0 + 0.5) for c in (min(temps), max(temps)))
        between = self._table[low : high + 1]
        return 2.0 * min(between), 2.0 * max(between)

    def room_at(self, slot: int) -> float:
        """How warm the kitchen is in that slot, C; past the end of the day as at its end."""
        return self._room[min(slot - self.first, len(self._room) - 1)]

    def aged(self, place: HeatedPlace, since: int, until: int) -> int:
        """Millionths of its life on the bench that a dough uses up there between two slots."""
        if place != "bench":
            return self._aged_in[place] * (until - since)
        return self._aged_by(until) - self._aged_by(since)

    def _aged_by(self, slot: int) -> int:
        number = slot - self.first
        beyond = number - len(self._room)
        return self._aged[number] if beyond <= 0 else self._aged[-1] + beyond * (self._aged[-1] - self._aged[-2])

    def keeps_until(self, place: HeatedPlace, since: int, age: int, most: int) -> int:
        """Slots from `since` on, `most` at most, in which a dough there ages by no more than `age` millionths."""
        if self.aged(place, since, since + most) <= age:
            return most
        return max(0, bisect_right(range(most + 1), age, key=lambda n: self.aged(place, since, since + n)) - 1)

    def _new(self, place: HeatedPlace, vessel: AnyVessel, slot: int, tenths: int) -> WarmthWalk:
        dough = self._dough
        tau = dough.sponge.tau_s if vessel == "sponge" and dough.sponge else self._tau[vessel, place]
        if place == "bench":
            return WarmthWalk(self._table, self._room, slot - self.first, tenths / 10, tau, steady=False)
        around = dough.fridge_c if place == "fridge" else dough.warm_c
        assert around is not None  # methods with a warm spot are left out of a kitchen without one
        return WarmthWalk(self._table, (around,), 0, tenths / 10, tau, steady=True)


def _aged(share_per_s: float) -> int:
    """Millionths of a dough's life that go in one slot."""
    return round(share_per_s * GRID_S * WHOLE_LIFE)


def tenths(temp_c: float) -> int:
    """A temperature in whole tenths of a degree, halves up."""
    return math.floor(temp_c * 10 + 0.5)


def _room_by_slot(room: Sequence[RoomSpan], first: int, last: int) -> list[float]:
    """The kitchen's temperature over each slot; a change inside a slot counts in proportion."""
    out = []
    i = 0
    for slot in range(first, last + 1):
        begin, end = slot * GRID_S, (slot + 1) * GRID_S
        while i + 1 < len(room) and room[i + 1].start <= begin:
            i += 1
        temp, at, j = 0.0, begin, i
        while j + 1 < len(room) and room[j + 1].start < end:
            temp += room[j].temp_c * (room[j + 1].start - at)
            at, j = room[j + 1].start, j + 1
        out.append((temp + room[j].temp_c * (end - at)) / GRID_S)
    return out
