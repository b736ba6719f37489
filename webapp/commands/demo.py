"""`suppertide demo`: a new kitchen with an invented week in it, so that a newcomer sees a full day at once.

The scenario is ours: somebody with a day job, a steel in the oven and a fine scale. Last week they baked twice and
marked the glass; today there is a tray pizza to come. Everything is planned by the real planner.
"""

from __future__ import annotations

import secrets
import time
from dataclasses import dataclass
from datetime import date, timedelta

from webapp.core.day.day import date_text, instant_of
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Oven, PartOfDay, Person, Wish
from webapp.core.learning.lessons import progress_at
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.rise.pace import increase_for
from webapp.kitchens import access
from webapp.kitchens.bakes import add_to_journal, pick
from webapp.machine.local_zone import zone_here
from webapp.machine.settings import Settings
from webapp.planning import full_plan
from webapp.planning.evenings import Planner, set_plan
from webapp.store.store import Store

PORT = 8080  # where `suppertide serve` answers when it has not said yet where
_CODE_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
_DAY_S = 86400
_WORK = DayHours(6 * 60 + 30, 22 * 60 + 45, (AwaySpan(8 * 60, 17 * 60 + 15),))
_HALF = DayHours(6 * 60 + 30, 22 * 60 + 45, (AwaySpan(8 * 60 + 30, 13 * 60),))
_FREE = DayHours(8 * 60, 23 * 60 + 30)


@dataclass(frozen=True)
class _Past:
    """A bake of the days before: which dough, how the glass stood against the plan, how it came out."""

    days_ago: int
    formula_key: str
    quicker: float
    outcome: dict[str, str]
    note: str


_PALE = {"base": "pale-base", "crumb": "good", "timing": "right"}
_GOOD = {"base": "good", "top": "good", "crumb": "good", "timing": "right"}
_PAST = (
    _Past(6, "oil-tray", 1.18, _PALE, "Soft, but the base was pale."),
    _Past(3, "bench-tray", 1.12, _GOOD, "Gone in minutes."),
)


def demo(settings: Settings, now: int | None = None, planner: Planner = full_plan.plans_for) -> str:
    """Fill a new kitchen; the address that opens it, once, within ten minutes, on this machine's server."""
    store, now = Store(settings.database), int(time.time()) if now is None else now
    kitchen = demo_kitchen(zone_here() or Kitchen().zone)
    home = access.make_kitchen(store, now, _new_id, secrets.token_urlsafe(32), kitchen)
    for past in _PAST:
        _bake_in_the_past(store, now, home.kitchen_id, kitchen, past, planner)
    _todays_bake(store, now, home.kitchen_id, kitchen, planner)
    code = "".join(secrets.choice(_CODE_LETTERS) for _ in range(20))
    access.offer_code(store, now, home.kitchen_id, code)
    return f"{settings.public_url or f'http://127.0.0.1:{_port(settings)}'}/join?code={code}"


def _port(settings: Settings) -> int:
    """Where the server of this data folder answers, or did last."""
    try:
        return int(settings.port_note.read_text(encoding="ascii"))
    except (OSError, ValueError):
        return PORT


def demo_kitchen(zone: str) -> Kitchen:
    """The invented kitchen."""
    return Kitchen(
        zone=zone,
        room=(PartOfDay(0, 18.5), PartOfDay(7 * 60, 20.5), PartOfDay(9 * 60, 19.5), PartOfDay(17 * 60, 21.5)),
        fridge_c=4.5,
        micro_step_g=0.01,
        oven=Oven(highest_c=275.0, slab="steel", slab_mm=8.0, slab_width_cm=40.0, slab_depth_cm=36.0, power_w=2900.0),
        people=(Person("Me", (_WORK, _WORK, _HALF, _WORK, _WORK, _FREE, _FREE)),),
    )


def _bake_in_the_past(store: Store, now: int, kitchen_id: str, kitchen: Kitchen, past: _Past, planner: Planner) -> None:
    day = date.fromisoformat(date_text(now, kitchen.zone)) - timedelta(days=past.days_ago)
    then = instant_of(f"{day}T06:40", kitchen.zone, 0)
    plan = _planned(store, then, kitchen_id, Wish(f"{day}T19:30", kitchen.pans[:1], past.formula_key), planner)
    if plan is not None:
        add_to_journal(store, plan.ready_at, kitchen_id, plan.bake_id, _lived(plan, past))


def _todays_bake(store: Store, now: int, kitchen_id: str, kitchen: Kitchen, planner: Planner) -> None:
    """Supper at 19:30 today when the day still has room for it, else tomorrow."""
    today = date.fromisoformat(date_text(now, kitchen.zone))
    for ahead in (0, 1, 2):
        wish = Wish(f"{today + timedelta(days=ahead)}T19:30", kitchen.pans[:1], "bench-tray", "tomato-cheese")
        if _planned(store, now, kitchen_id, wish, planner) is not None:
            return


def _planned(store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner) -> Plan | None:
    try:
        bake_id = set_plan(store, now, _new_id, kitchen_id, wish, planner)
    except PlanError:
        return None
    return pick(store, now, kitchen_id, bake_id, 0)


def _lived(plan: Plan, past: _Past) -> list[Event]:
    """A journal in which everything was done on time, the glass was read once, and somebody said how it was."""
    lines: list[tuple[str, int, dict[str, str | float]]]
    lines = [("done", step.end, {"step_id": step.step_id}) for step in plan.steps]
    press = next(step for step in plan.steps if step.mark is not None)
    read_at = press.start - 600
    planned = progress_at(retime(plan, fold(plan, ()), plan.made_at), read_at)
    if planned > 0:
        # In this kitchen the dough stood a little higher than planned.
        lines.append(("glass", read_at, {"times": round(1.0 + increase_for(planned * past.quicker), 2)}))
    lines += [("outcome", plan.ready_at + 1200, {**past.outcome}), ("note", plan.ready_at + 1260, {"text": past.note})]
    return [Event(secrets.token_hex(16), plan.bake_id, at, at, "demo", kind, dict(data)) for kind, at, data in lines]


def _new_id() -> str:
    return secrets.token_urlsafe(16)
