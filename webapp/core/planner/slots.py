"""The day on the planner's grid: at which slots somebody has the hands free for so many minutes, and at what price.

A slot is five minutes, numbered from 1970 (`instant // 300`); every zone's offset is a multiple of it.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from itertools import accumulate

from webapp.core.day.free_time import Day, PersonDay
from webapp.core.day.span import Span, union
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import COMING_S, LEAVING_S, POINTS, SLACK_SLOTS, begun_points

NEVER = -1


class Slots:
    """Who can do what when. `hands(minutes)[slot - first]` is the price of starting there, or NEVER."""

    def __init__(self, day: Day, not_before: int) -> None:
        self.day = day
        self.first = -(-max(not_before, day.start) // GRID_S)
        self.last = day.end // GRID_S
        home = union((s for p in day.people for s in p.home), Span(self.first * GRID_S, day.end))
        self._home_starts = [s.start for s in home]
        self._home_ends = [s.end for s in home]
        self._hands: dict[int, list[int]] = {}
        self._begun: dict[int, list[int]] = {}
        self._calm: dict[int, list[int]] = {}
        self.empty_before = list(accumulate(self._nobody_in(), initial=0))  # slots with nobody awake at home

    def hands(self, minutes: int) -> list[int]:
        """Price by slot of a hands-on step of so many minutes: the person for whom it is cheapest does it."""
        table = self._hands.get(minutes)
        if table is None:
            table = self._hands[minutes] = self._priced(minutes * 60)
        return table

    def calm(self, minutes: int) -> list[int]:
        """For how many slots on end, from each on, a hands-on step of so many minutes may start at no price at all."""
        table = self._calm.get(minutes)
        if table is None:
            runs = accumulate(reversed(self.hands(minutes)), lambda run, price: 0 if price else run + 1, initial=0)
            table = self._calm[minutes] = [*runs][:0:-1]
        return table

    def begun(self, minutes: int) -> list[int]:
        """Points by slot for beginning the whole day there with so many minutes of work: few where somebody who can has
        been home for long, most just after coming home. 0 where nobody can."""
        table = self._begun.get(minutes)
        if table is None:
            table = self._begun[minutes] = [0] * (self.last - self.first + 1)
            for slot, points in self._just_home(minutes * 60).items():
                table[slot] = points
        return table

    def _just_home(self, seconds: int) -> dict[int, int]:
        """By slot the least of the points of whoever is free there, where all of them came home within two hours."""
        least: dict[int, int] = {}
        for person in self.day.people:
            mine = dict.fromkeys(self._one_person(person, seconds), 0)
            for away in person.away:
                home = -(-away.end // GRID_S) - self.first
                for slot in range(home, home + SLACK_SLOTS):
                    if slot in mine:
                        mine[slot] = max(mine[slot], begun_points(slot - home))
            least |= {slot: min(points, least.get(slot, points)) for slot, points in mine.items()}
        return least

    def _priced(self, seconds: int) -> list[int]:
        table = [NEVER] * (self.last - self.first + 1)
        for person in self.day.people:
            for slot, price in self._one_person(person, seconds).items():
                if table[slot] == NEVER or price < table[slot]:
                    table[slot] = price
        return table

    def _one_person(self, person: PersonDay, seconds: int) -> dict[int, int]:
        prices: dict[int, int] = {}
        for span in person.free:
            begin = max(self.first, -(-span.start // GRID_S))
            last = min(self.last, (span.end - seconds) // GRID_S)
            prices.update(dict.fromkeys(range(begin - self.first, last - self.first + 1), 0))
        for away in person.away:
            self._add(prices, away.start - LEAVING_S, away.start, seconds, POINTS["leaving"])
            self._add(prices, away.end, away.end + COMING_S, seconds, POINTS["coming"])
        return prices

    def _add(self, prices: dict[int, int], start: int, end: int, seconds: int, points: int) -> None:
        """Steps of that length that reach into start..end cost more."""
        for slot in range((start - seconds) // GRID_S + 1 - self.first, -(-end // GRID_S) - self.first):
            if slot in prices:
                prices[slot] += points

    def somebody_home(self, start: int, end: int) -> bool:
        """Is there somebody awake at home, free or busy, at every moment from `start` to `end` (UTC seconds)?"""
        i = bisect_right(self._home_starts, start) - 1
        return i >= 0 and self._home_ends[i] >= end

    def empty(self, start: int, end: int) -> int:
        """In how many of the slots from `start` up to `end` nobody is awake at home."""
        return self.empty_before[end - self.first] - self.empty_before[start - self.first]

    def _nobody_in(self) -> Iterator[bool]:
        home = iter(zip(self._home_starts, self._home_ends, strict=True))
        since, until = next(home, (math.inf, math.inf))
        for slot in range(self.first, self.last + 1):
            while until <= slot * GRID_S:
                since, until = next(home, (math.inf, math.inf))
            yield not since <= slot * GRID_S

    def who(self, start: int, end: int) -> str:
        """The name of the first person free throughout, "" when there is none."""
        for person in self.day.people:
            if any(s.start <= start and end <= s.end for s in person.free):
                return person.name
        return ""
