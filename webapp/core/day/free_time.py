"""A day as the planner has it: who is free, away, asleep or busy when, and how warm the kitchen is. Instants alone."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import assert_never

from webapp.core.day.span import Span, minus, union
from webapp.core.kinds import BUSY_KINDS, BusyKind, Presence
from webapp.core.plan.house import AtHome, HouseHours, there
from webapp.core.plan.plan import Busy
from webapp.core.plan.rise import RoomSpan


@dataclass(frozen=True)
class PersonDay:
    """One person's intervals over the horizon, each ascending and disjoint. Free = awake, at home and not busy."""

    name: str
    free: tuple[Span, ...]
    away: tuple[Span, ...] = ()
    asleep: tuple[Span, ...] = ()
    busy: tuple[Span, ...] = ()

    @property
    def taken(self) -> Mapping[BusyKind, tuple[Span, ...]]:
        """Every kind of time that is not free, in the order of the kinds."""
        return {kind: self._taken_by(kind) for kind in BUSY_KINDS}

    def _taken_by(self, kind: BusyKind) -> tuple[Span, ...]:
        match kind:
            case "away":
                return self.away
            case "busy":
                return self.busy
            case "asleep":
                return self.asleep
            case _:
                assert_never(kind)

    def without(self, kinds: Collection[BusyKind], whole: Span) -> PersonDay:
        """The same person, never `kinds`; what that leaves of `whole` is free."""
        left = {kind: () if kind in kinds else spans for kind, spans in self.taken.items()}
        free = minus([whole], union([span for spans in left.values() for span in spans], whole))
        return PersonDay(self.name, tuple(free), **left)

    @property
    def home(self) -> tuple[Span, ...]:
        """When the person is awake at home, free or busy: enough to have an eye on the oven."""
        taken = minus(minus(self.busy, self.away), self.asleep)
        spans = [*self.free, *taken]
        return tuple(union(spans, Span(min(s.start for s in spans), max(s.end for s in spans)))) if spans else ()


@dataclass(frozen=True)
class Day:
    """What lies between `start` and `end`: who is free when, and how warm the kitchen is."""

    zone: str
    start: int
    end: int
    people: tuple[PersonDay, ...]
    room: tuple[RoomSpan, ...]  # ascending; the first covers everything before it

    def busy_marks(self) -> tuple[Busy, ...]:
        """The first person's hours away, asleep and busy, each hour in one of them, for the chart."""
        one = self.people[0]
        at_home_asleep = minus(one.asleep, one.away)
        awake_busy = minus(minus(one.busy, one.away), one.asleep)
        kinds: tuple[tuple[Iterable[Span], BusyKind], ...] = (
            (one.away, "away"),
            (at_home_asleep, "asleep"),
            (awake_busy, "busy"),
        )
        return _marks(kinds)

    def who(self, start: int, end: int, presence: Presence) -> tuple[str, ...]:
        """Names of those who have their hands free, or are awake at home, all the time from `start` to `end`."""
        return there(self.house, start, end, presence)

    @cached_property
    def house(self) -> HouseHours:
        """The same hours as a plan has them."""
        people = (
            AtHome(one.name, *(tuple((s.start, s.end) for s in spans) for spans in (one.free, one.home)))
            for one in self.people
        )
        return HouseHours(self.start, self.end, tuple(people))

    def nobody_marks(self) -> tuple[Busy, ...]:
        """When nobody is free: "busy" while somebody awake is at home, else what the first person is."""
        whole = Span(self.start, self.end)
        free, home = (
            union(spans, whole)
            for spans in ([s for p in self.people for s in p.free], [s for p in self.people for s in p.home])
        )
        out = minus([whole], home)
        away = minus(out, minus([whole], self.people[0].away))
        kinds: tuple[tuple[Iterable[Span], BusyKind], ...] = (
            (minus(home, free), "busy"),
            (away, "away"),
            (minus(out, away), "asleep"),
        )
        return _marks(kinds)


def _marks(kinds: Iterable[tuple[Iterable[Span], BusyKind]]) -> tuple[Busy, ...]:
    marks = [Busy(s.start, s.end, kind) for spans, kind in kinds for s in spans]
    return tuple(sorted(marks, key=lambda b: (b.start, b.end, b.kind)))
