"""Coming home in time for a step: an event of its own, which rings in time to leave."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from webapp.core.kitchen import MOST_ALARM_MIN, Kitchen
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.kitchens.lateness import MATTERS_S, comes_home, home_by, is_awaited, meeting
from webapp.reminders.ics import Entry
from webapp.reminders.timed import MOMENTS, StepNow, uid_for
from webapp.words.calendar import Homecoming, come_home, in_short, zone_or_utc

HOME = "home"  # the kind of the ring that says: leave in time
HOME_MIN = 30  # before the hour of coming home, unless the person says otherwise
_NIGHT_S = 4 * 3600  # after midnight
_DAY_BEFORE_S = 12 * 3600  # a first step so long before supper may as well be an hour later: no dough waits yet


@dataclass(frozen=True)
class ComingHome:
    """A coming home that a step waits for, by the name of its event; `minutes` before it rings."""

    name: str
    at: int
    waits: StepNow
    minutes: int
    latest: int  # how late it may be


def comings_home(
    plan: Plan, timed: Sequence[StepNow], kitchen: Kitchen, stands: Retimed | None = None
) -> list[ComingHome]:
    """Each coming home that a step waits for; none for who wants no ring for it, or where somebody else is there."""
    minutes = dict(kitchen.alarms).get(HOME, HOME_MIN)
    found = []
    for name, away in _named(plan) if minutes >= 0 else ():
        waits = next((t for t in timed if t.open and _is_missed(away, t) and _something_waits(plan, t, timed)), None)
        if waits and is_awaited(plan, waits.step, away.end):
            latest = _latest(plan, away, waits, stands)
            found.append(ComingHome(name, away.end, waits, min(minutes, MOST_ALARM_MIN), latest))
    return found


def _latest(plan: Plan, away: Busy, waits: StepNow, stands: Retimed | None) -> int:
    """How late that step may be: as every page says of the one that the dough waits with; of another, not at all."""
    is_met = away.end == comes_home(plan) and meeting(plan).step_id == waits.step.step_id
    return home_by(plan, stands) if is_met else waits.start


def home_entry(plan: Plan, home: ComingHome, kitchen: Kitchen, which: str) -> Entry:
    """An event of its own."""
    coming = Homecoming(home.waits.step, home.at, home.waits.start, home.latest)
    title, said, text = come_home(plan, coming, kitchen, which)
    return Entry(
        uid_for(plan.bake_id, home.name), home.name, home.at, home.at + 60, title, said,
        f"/bakes/{plan.bake_id}#step-{home.waits.step.step_id}", plan.made_at,
        alarm_min=home.minutes, changed_at=plan.made_at, bake_id=plan.bake_id,
        short=in_short(home.at, plan.zone, kitchen.clock, text), who=home.waits.step.who, kind="home",
    )  # fmt: skip


def is_homecoming(kind: str, step_id: str) -> bool:
    """Whether an event of this kind and name says to be home in time; one that was kept before there were kinds is
    told by its name."""
    return kind == "home" or (not kind and step_id.startswith(f"{HOME}-"))


def day_of(plan: Plan, instant: int) -> str:
    """The day on which somebody is up at that instant, "20261126": what is done at one in the night belongs to the
    evening before."""
    return f"{datetime.fromtimestamp(instant - _NIGHT_S, zone_or_utc(plan.zone)):%Y%m%d}"


def _named(plan: Plan) -> Iterator[tuple[str, Busy]]:
    """Each coming home by its local day, which stays when a new plan no longer knows of days gone by: "home-20261126".
    Of one day the last; one before it that day counts back from there, "home-20261126-2"."""
    zone = zone_or_utc(plan.zone)
    of_day: dict[str, int] = {}
    for away in sorted((b for b in plan.busy if b.kind == "away"), key=lambda b: -b.end):
        day = f"{datetime.fromtimestamp(away.end, zone):%Y%m%d}"
        of_day[day] = of_day.get(day, 0) + 1
        yield f"{HOME}-{day}" + (f"-{of_day[day]}" if of_day[day] > 1 else ""), away


def _is_missed(away: Busy, one: StepNow) -> bool:
    return one.step.kind in MOMENTS and 0 <= one.start - away.end < MATTERS_S


def _something_waits(plan: Plan, one: StepNow, timed: Sequence[StepNow]) -> bool:
    """Whether a dough, or this evening's supper, waits for that step."""
    return one is not timed[0] or plan.supper - one.start < _DAY_BEFORE_S
