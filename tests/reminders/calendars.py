"""Calendar files straight from a plan, for tests of their bytes: what the web writes from kept entries."""

from __future__ import annotations

from tests.home import every_step_rings
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.reminders import moments
from webapp.reminders.ics import Entry, write_calendar


def entries_for(
    plan: Plan, retimed: Retimed | None = None, *, kitchen: Kitchen | None = None, **more: bool
) -> tuple[Entry, ...]:
    """One event for each step, as a kitchen has them that wants every step to ring."""
    kitchen = every_step_rings(kitchen or Kitchen(zone=plan.zone))
    return moments.entries_for(plan, retimed, kitchen=kitchen, **more)


def calendar_for(
    plan: Plan,
    retimed: Retimed | None = None,
    *,
    kitchen: Kitchen | None = None,
    origin: str = "",
    cancelled: bool = False,
) -> bytes:
    """The whole bake as one calendar file. `origin` ("https://host") makes the links of the events."""
    return write_calendar(entries_for(plan, retimed, kitchen=kitchen, cancelled=cancelled), origin=origin)


def step_calendar(
    plan: Plan,
    step_id: str,
    retimed: Retimed | None = None,
    *,
    kitchen: Kitchen | None = None,
    origin: str = "",
    cancelled: bool = False,
) -> bytes | None:
    """One step alone, for phones that import only a file's first event. None when that step has no event."""
    entries = entries_for(plan, retimed, kitchen=kitchen, cancelled=cancelled)
    chosen = [e for e in entries if e.step_id == step_id]
    return write_calendar(chosen, origin=origin) if chosen else None
