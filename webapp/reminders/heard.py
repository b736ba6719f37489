"""A bake as it was when it was last heard of: calendars keep those times until something is said."""

from __future__ import annotations

from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import State
from webapp.kitchens.kept import journal
from webapp.store.store import Store


def as_heard(store: Store, now: int, kitchen_id: str, plan: Plan) -> tuple[State, Retimed, int]:
    """What happened, and the bake's times as they were when it was last heard of, and when that was: so calendars
    have them."""
    events = journal(store, kitchen_id, plan.bake_id)
    state = fold(plan, events)
    heard = last_heard(plan, events, now)
    return state, retime(plan, state, heard), heard


def last_heard(plan: Plan, events: tuple[Event, ...], now: int) -> int:
    """When the journal was last written, by the phones' clocks but never in the future; else when the plan was made."""
    return min(now, max([plan.made_at, *(e.logged_at for e in events)]))
