"""Words in which tests of the journal speak: said("done", 7.5, step_id="mix")."""

from __future__ import annotations

import itertools
from dataclasses import replace

from tests.samples import DAY, sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.rise import RateTable, RoomSpan
from webapp.core.plan.way import Way

_count = itertools.count(1)


def hour(h: float) -> int:
    """That hour of the sample day, UTC."""
    return DAY + round(h * 3600)


def said(kind: str, h: float, logged: float | None = None, **data: object) -> Event:
    """An event at hour `h`, written down then or at hour `logged`."""
    at = hour(h)
    event_id = f"{next(_count):032x}"
    return Event(event_id, "b" * 22, at, at if logged is None else hour(logged), "phone-1", kind, data)


def done(step_id: str, h: float) -> Event:
    """That step was done at that hour."""
    return said("done", h, step_id=step_id)


def steady_plan(per_hour: float = 0.15) -> Plan:
    """The sample plan with a dough that grows by the same progress each hour, whatever its temperature: hand-countable.

    With 0.15 per hour from 07:30 on, progress at hour h is (h - 7.5) * 0.15: pressing (early 1.02, best 1.36, past
    2.28) is early at 14:18, best at 16:34, past at 22:42.
    """
    plan = sample_plan()
    return replace(plan, rise=replace(plan.rise, table=RateTable(-2.0, 1.0, (per_hour / 3600,) * 49)))


def constant_room(plan: Plan, temp_c: float) -> Plan:
    """The same in a room that never changes."""
    return replace(plan, rise=replace(plan.rise, room=(RoomSpan(DAY, temp_c),)))


def look(plan: Plan, now_h: float, *events: Event) -> Retimed:
    """The bake as it stands at that hour."""
    return retime(plan, fold(plan, events), hour(now_h))


def from_here(plan: Plan, now_h: float, *events: Event) -> tuple[Way, ...]:
    """The ways from that hour, best first."""
    return ways(plan, fold(plan, events), hour(now_h))


def step(retimed: Retimed, step_id: str) -> RetimedStep:
    """One of its steps."""
    return next(one for one in retimed.steps if one.step_id == step_id)


def clock(at: int) -> str:
    """Hour and minute of the sample day, "25:10" on the next."""
    minutes = (at - DAY) // 60
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
