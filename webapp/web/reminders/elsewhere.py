"""What other pages say of reminders: a calendar that cannot be written, a step that was moved there, what rings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from flask import Flask

from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.kitchens.bakes import coming
from webapp.kitchens.busy.times import KnownBusy, known_busy
from webapp.reminders.caldav.account import AccountState, LeftAlone, account_state, moved_there
from webapp.reminders.caldav.leaving import Leaving, leavings
from webapp.reminders.coming_home import is_homecoming
from webapp.reminders.heard import as_heard
from webapp.reminders.ics import Entry
from webapp.reminders.moments import entries_for
from webapp.reminders.names import entry_in
from webapp.store.reminders import EntryRow
from webapp.web.door import known, world
from webapp.web.reminder_tools import left_in_calendar

_LONG_S = 1800  # how long a calendar may be behind before other pages say so


def calendar_trouble() -> AccountState | None:
    """The kitchen's calendar account when nothing gets there until the person does something, or for half an hour now;
    None when all is well."""
    inside, here = known(), world()
    row = here.store.account(inside.kitchen_id) if inside else None
    if row is None or not row.problem:  # as on nearly every page: nothing more is read
        return None
    account = account_state(here.store, row.kitchen_id)
    if account is None or not account.problem:
        return None
    lasts = here.now() - account.failing_since > _LONG_S
    return account if account.refused or not account.next_try or lasts else None


def calendar_without_alarms() -> str:
    """The name of the kitchen's calendar when its server throws alarms away; "" when it does not, or is in trouble."""
    inside, here = known(), world()
    row = here.store.account(inside.kitchen_id) if inside else None
    return row.name if row and row.alarms == "lost" and not row.problem else ""


def calendars_left() -> tuple[Leaving, ...]:
    """Calendars that were disconnected and in which steps to come may still ring."""
    inside, here = known(), world()
    return tuple(one for one in leavings(here.store, here.now(), inside.kitchen_id) if one.titles) if inside else ()


def moved_in_calendar(bake_id: str) -> tuple[LeftAlone, ...]:
    """Steps of this bake whose start somebody changed in the calendar, to be asked about."""
    inside, here = known(), world()
    return moved_there(here.store, inside.kitchen_id, bake_id, here.now()) if inside else ()


def steps_moved(plan: Plan, kitchen: Kitchen, ever: bool = True) -> bool:
    """Whether a file of this bake that was added before shows a step to come at another time than one that is fetched
    now; with `ever` false, whether the last one that was fetched does. What is done already rings for nobody, whenever
    it was done. Not asked of a kitchen whose calendar is written: its steps move by themselves."""
    inside, here = known(), world()
    if not inside or here.store.account(inside.kitchen_id):
        return False
    every = here.store.calendar_entries(inside.kitchen_id, bake_id=plan.bake_id)
    rows = [row for row in every if entry_in(row) is not None]
    if not rows:
        return False
    _, retimed, _ = as_heard(here.store, here.now(), inside.kitchen_id, plan)
    to_come = {one.step_id for one in retimed.steps if one.status == "open"}
    present = {name: e.start for e in calendar_events(plan, retimed, kitchen) for name in (e.step_id, *e.also)}
    return any(
        (ever and row.sequence) or row.entry["start"] != present.get(_name_now(row))
        for row in rows
        if _is_to_come(row, present, to_come)
    )


def _is_to_come(row: EntryRow, present: Mapping[str, int], to_come: Collection[str]) -> bool:
    """A step that is not done; of a coming home, that a step still waits for it with an event of its own."""
    return _name_now(row) in present if _is_homecoming(row) else row.step_id in to_come


def _name_now(row: EntryRow) -> str:
    """Under which name the event is drawn today: a coming home that kept its number goes by its day now."""
    also = row.entry.get("also")
    if not isinstance(also, list) or len(also) != 1 or not _is_homecoming(row):
        return row.step_id
    return str(also[0])


def _is_homecoming(row: EntryRow) -> bool:
    return is_homecoming(row.entry.get("kind", ""), row.step_id)


@dataclass(frozen=True)
class MovedBake:
    """A bake of which somebody moved steps in the calendar: the titles of their events, in the order of time."""

    bake_id: str
    titles: tuple[str, ...]


def bakes_moved_in_calendar() -> tuple[MovedBake, ...]:
    """Coming bakes whose pages ask which start shall hold in the calendar."""
    inside, here = known(), world()
    rows = coming(here.store, inside.kitchen_id, here.now()) if inside else ()
    found = (MovedBake(row.bake_id, tuple(one.title for one in moved_in_calendar(row.bake_id))) for row in rows)
    return tuple(one for one in found if one.titles)


def calendar_events(plan: Plan, retimed: Retimed | None, kitchen: Kitchen) -> tuple[Entry, ...]:
    """The events that calendars have of this bake as it stands, for adding them one by one."""
    return entries_for(plan, retimed, kitchen=kitchen)


def busy_to_be_told() -> tuple[KnownBusy, ...]:
    """Calendars of busy times that run out, or that could not be fetched for a day."""
    inside, here = known(), world()
    found = known_busy(here.store, here.now(), inside.kitchen_id, inside.kitchen) if inside else ()
    return tuple(one for one in found if one.to_be_told)


def busy_people() -> int:
    """How many people the kitchen's list has: with two of them it is said whose calendar is meant."""
    inside = known()
    return len(inside.kitchen.people) if inside else 1


def register(app: Flask) -> None:
    """Make them known to the app's templates."""
    app.jinja_env.globals.update(
        calendar_trouble=calendar_trouble,
        calendar_without_alarms=calendar_without_alarms,
        calendars_left=calendars_left,
        moved_in_calendar=moved_in_calendar,
        calendar_events=calendar_events,
        left_in_calendar=left_in_calendar,
        steps_moved=steps_moved,
        bakes_moved_in_calendar=bakes_moved_in_calendar,
        busy_to_be_told=busy_to_be_told,
        busy_people=busy_people,
    )
