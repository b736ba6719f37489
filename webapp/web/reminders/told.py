"""What other pages say of reminders: a calendar that cannot be written, a step that was moved there, what rings."""

from __future__ import annotations

from flask import Flask

from webapp.core.kitchen import Kitchen
from webapp.core.plan import Plan, Retimed
from webapp.kitchens.busy_times import KnownBusy, known_busy
from webapp.reminders.caldav.account import AccountState, LeftAlone, account_state, moved_there
from webapp.reminders.ics import Entry
from webapp.reminders.moments import entries_for
from webapp.web.door import known, world


def calendar_trouble() -> AccountState | None:
    """The kitchen's calendar account when nothing gets there until the person does something; None when all is well."""
    inside = known()
    account = account_state(world().store, inside.kitchen_id) if inside else None
    return account if account and account.problem and not account.next_try else None


def moved_in_calendar(bake_id: str) -> tuple[LeftAlone, ...]:
    """Steps of this bake whose start somebody changed in the calendar, to be asked about."""
    inside, here = known(), world()
    return moved_there(here.store, inside.kitchen_id, bake_id, here.now()) if inside else ()


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
        moved_in_calendar=moved_in_calendar,
        calendar_events=calendar_events,
        busy_to_be_told=busy_to_be_told,
        busy_people=busy_people,
    )
