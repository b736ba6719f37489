"""Whose busy times are known, from where, and how far: kept per person of the kitchen, titles never.

Everything is read further ahead than anything can be planned, so that a calendar is known to the end of every plan
until it is warned about.
"""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass

from webapp.core.day.day import PLANS_S
from webapp.core.kitchen import Kitchen
from webapp.kitchens.bakes import kitchen_of
from webapp.kitchens.busy.calendar_file import FIELD, BusyTimes, read_busy
from webapp.records import ShapeError, from_plain
from webapp.store.busy import BusyCalendar
from webapp.store.ids import NotHere
from webapp.store.store import Store
from webapp.words.problems import files as said
from webapp.words.problems.told import refused

DAY_S = 86400
REACH_S = 56 * DAY_S  # how far ahead a calendar is read: four times as far as anything can be planned
SOON_S = 7 * DAY_S  # how far ahead most people plan: from then on every page says so
STALE_S = DAY_S  # how long a calendar that cannot be fetched is taken for right


@dataclass(frozen=True)
class _Notes:
    """As they are kept."""

    said: tuple[str, ...]


@dataclass(frozen=True)
class KnownBusy:
    """One person's busy times as pages show them."""

    person: int
    name: str
    spans: tuple[tuple[int, int], ...]  # from now on
    calendar: BusyCalendar
    now: int

    @property
    def notes(self) -> tuple[str, ...]:
        """What was left out when it was read, in plain sentences."""
        with suppress(ShapeError, ValueError, RecursionError):
            return from_plain(_Notes, {"said": json.loads(self.calendar.notes)}).said
        return ()

    @property
    def ends_soon(self) -> bool:
        """Whether something that can be planned today may lie beyond its reach."""
        return self.calendar.reach - self.now < PLANS_S

    @property
    def ended(self) -> bool:
        """Whether nothing is known any more."""
        return self.calendar.reach <= self.now

    @property
    def to_be_told(self) -> bool:
        """Whether it matters on every page: an upload that runs out, an address that stays silent."""
        silent = bool(self.calendar.problem) and self.now - self.calendar.read_at > STALE_S
        return silent or self.calendar.reach - self.now < SOON_S


def known_busy(store: Store, now: int, kitchen_id: str, kitchen: Kitchen) -> tuple[KnownBusy, ...]:
    """Of everybody on the list whose calendar was read, in the list's order."""
    return tuple(
        KnownBusy(
            row.person,
            kitchen.people[row.person].name,
            store.busy(kitchen_id, since=now, person=row.person),
            row,
            now,
        )
        for row in store.busy_calendars(kitchen_id)
        if row.person < len(kitchen.people)
    )


def bring_file(store: Store, now: int, kitchen_id: str, ics: bytes, person: int = 0) -> BusyTimes:
    """Replace one person's busy times by those of a calendar file, for the coming weeks.

    It reaches as far as the last of them: whether later days are free, or were not exported, no file says.

    Raises PlanError at "busy" for what is no calendar or too much of one, and while they come from an address; the
    former ones stay then. NotHere when the kitchen has no such person.
    """
    kitchen = kitchen_of(store, kitchen_id)
    if not 0 <= person < len(kitchen.people):
        raise NotHere(str(person))
    if any(row.person == person and row.address for row in store.busy_calendars(kitchen_id)):
        raise refused(FIELD, *said.FOLLOWED_ALREADY)
    # Read outside of any transaction: it may take some seconds.
    times = read_busy(ics, now - DAY_S, now + REACH_S, kitchen.zone)
    last = max((span.end for span in times.spans), default=now + REACH_S)
    row = BusyCalendar(kitchen_id, person, last, now, zone=kitchen.zone, notes=json.dumps(times.notes))
    with store.transaction():
        store.set_busy(kitchen_id, stretches(times), person)
        store.put_busy_calendar(row)
    return times


def stretches(times: BusyTimes) -> list[tuple[int, int]]:
    """As the store keeps them."""
    return [(span.start, span.end) for span in times.spans]


def came_along(store: Store, kitchen_id: str, person: int) -> None:
    """Busy times were brought in from another server: they reach as far as the last of them, if no more is known."""
    if all(row.person != person for row in store.busy_calendars(kitchen_id)):
        last = max((end for _, end in store.busy(kitchen_id, person=person)), default=0)
        store.put_busy_calendar(BusyCalendar(kitchen_id, person, last, 0))
