"""What other pages say of reminders: a calendar that cannot be written, a step that was moved there, what rings."""

from __future__ import annotations

from flask import Flask

from webapp.core.kitchen import Kitchen
from webapp.core.plan import Plan, Retimed
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


def register(app: Flask) -> None:
    """Make them known to the app's templates."""
    app.jinja_env.globals.update(
        calendar_trouble=calendar_trouble, moved_in_calendar=moved_in_calendar, calendar_events=calendar_events
    )
