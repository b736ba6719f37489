"""Which steps ring, and which of them are one event: plan and present times -> entries of a calendar. Pure.

It rings where somebody must come: home in time, mixing, moving the dough, pressing out, the oven, topping, loading,
lifting out. What happens in between is told in the text of the event before it. Moments within ten minutes are one
event that lists both; lifting out, and turning the oven down some minutes after loading, always ring by themselves,
because nobody waits beside the oven for them. Who wants every step to ring (`Kitchen.every_step`) has one for each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import PlanStep
from webapp.reminders.ics import Entry, called_off
from webapp.words.calendar import Listed, come_home, describe, in_short, title_of, zone_or_utc
from webapp.words.spoken import spoken

MOMENTS = frozenset(
    ("preferment", "mix", "round-up", "chill", "temper", "warm", "press", "preheat", "top", "load", "lift")
)
HOME = "home"  # the kind of the ring that says: leave in time
HOME_MIN = 30  # before the hour of coming home, unless the person says otherwise
_TOGETHER_S = 600
_WAITS_FOR = ("lift", "turn-down")  # somebody comes back for these
_STAYS_S = 180  # a turn-down sooner than this after loading finds the person at the oven
_HOME_MATTERS_S = 1800  # a step sooner than this after coming home is missed by coming home late
_DAY_BEFORE_S = 12 * 3600  # a first step so long before supper may as well be an hour later: no dough waits yet


@dataclass(frozen=True)
class StepNow:
    """A step at its present time."""

    step: PlanStep
    start: int
    end: int
    open: bool


def alarm_min(step: PlanStep, kitchen: Kitchen) -> int:
    """Minutes before the start that this step's alarm rings: the person's own choice for its kind, else the plan's."""
    minutes = dict(kitchen.alarms).get(step.kind, step.alarm_min)
    return NO_ALARM if minutes < 0 else min(minutes, MOST_ALARM_MIN)


def uid_for(bake_id: str, step_id: str) -> str:
    """The event's name for ever (RFC 5545 3.8.4.7): the same for every revision, with nothing personal in it."""
    return f"{bake_id}-{step_id}@suppertide"


def entries_for(
    plan: Plan,
    retimed: Retimed | None = None,
    *,
    kitchen: Kitchen | None = None,
    cancelled: bool = False,
    other_pan: bool = False,
    which: str = "",
) -> tuple[Entry, ...]:
    """The events of a bake, at the times as re-timed (as planned, without `retimed`), by start.

    A step that is behind us keeps its true time and has no alarm. `cancelled`: the bake is off, and so is every step
    that is still ahead. `other_pan`: another pan than the plan's was chosen since. `which`: names the bake in every
    title, when there are two.
    """
    kitchen = kitchen or Kitchen(zone=plan.zone)
    plan = spoken(plan)
    timed = _timed(plan, retimed)
    groups = [(one,) for one in timed] if kitchen.every_step else grouped(timed, kitchen)
    made = [_entry(plan, group, timed, kitchen, other_pan, which) for group in groups]
    if not kitchen.every_step:
        made = sorted([*_homes(plan, timed, kitchen, which), *made], key=lambda e: e.start)
        made = _in_order(made, {kind for kind, minutes in kitchen.alarms if minutes >= 0}, plan)
    return tuple(called_off(e) if cancelled and not _behind(e, timed) else e for e in made)


def _timed(plan: Plan, retimed: Retimed | None) -> list[StepNow]:
    now = {s.step_id: s for s in retimed.steps} if retimed else {}
    wanted = [s for s in plan.steps if s.rings and s.presence != "none"]
    return [
        StepNow(s, now[s.step_id].start, now[s.step_id].end, now[s.step_id].status == "open")
        if s.step_id in now
        else StepNow(s, s.start, s.end, True)
        for s in wanted
    ]


# -- which steps are one event


def grouped(timed: Sequence[StepNow], kitchen: Kitchen) -> list[tuple[StepNow, ...]]:
    """The steps in the groups that are one event each; the first of a group is when it rings."""
    groups: list[tuple[StepNow, ...]] = []
    for one in sorted(timed, key=lambda t: t.start):
        if groups and _joins(groups[-1], one, kitchen):
            groups[-1] = (*groups[-1], one)
        else:
            groups.append((one,))
    return groups


def _joins(group: tuple[StepNow, ...], one: StepNow, kitchen: Kitchen) -> bool:
    chosen = dict(kitchen.alarms).get(one.step.kind)
    if chosen is not None and chosen >= 0:
        return False  # minutes of its own: an event of its own
    if one.step.kind == "turn-down" and chosen is None:
        return _finds_somebody(group, one)
    if one.step.kind not in MOMENTS or chosen is not None:
        return True
    return one.step.kind not in _WAITS_FOR and one.start - group[0].start <= _TOGETHER_S


def _finds_somebody(group: tuple[StepNow, ...], turn_down: StepNow) -> bool:
    loads = [t.start for t in group if t.step.kind == "load"]
    return bool(loads) and turn_down.start - loads[-1] < _STAYS_S


# -- one event


def _entry(
    plan: Plan, group: tuple[StepNow, ...], timed: Sequence[StepNow], kitchen: Kitchen, other_pan: bool, which: str
) -> Entry:
    lead, *rest = group
    come_for = [t for t in rest if t.step.kind in MOMENTS]
    end = max(t.end for t in (lead, *come_for))
    also = [*rest, *_told_elsewhere(group, timed)]
    listed = [Listed(t.step, t.start) for t in also]
    return Entry(
        uid=uid_for(plan.bake_id, lead.step.step_id),
        step_id=lead.step.step_id,
        start=lead.start,
        end=max(end, lead.start + 60),  # section 3.8.2.2: later than the start
        title=title_of([t.step for t in (lead, *come_for)], which),
        text=describe(plan, lead.step, lead.start, kitchen, other_pan, listed),
        path=f"/bakes/{plan.bake_id}#step-{lead.step.step_id}",
        made_at=plan.made_at,
        busy=any(t.step.presence == "hands" for t in (lead, *come_for)),
        alarm_min=alarm_min(lead.step, kitchen) if lead.open else NO_ALARM,
        changed_at=plan.made_at,
        also=tuple(t.step.step_id for t in rest),
        bake_id=plan.bake_id,
        short=in_short(lead.start, plan.zone, kitchen.clock, lead.step.first),
    )


def _told_elsewhere(group: tuple[StepNow, ...], timed: Sequence[StepNow]) -> list[StepNow]:
    """A turn-down that rings by itself is named where the tray goes in all the same: not every route rings for it."""
    loads = [t for t in group if t.step.kind == "load"]
    if not loads:
        return []
    after = [t for t in timed if t.start > loads[-1].start and t.step.kind in ("turn-down", "load", "lift")]
    return [t for t in after[:1] if t.step.kind == "turn-down" and t not in group]


def _behind(entry: Entry, timed: Sequence[StepNow]) -> bool:
    return any(t.step.step_id == entry.step_id and not t.open for t in timed)


# -- coming home


def _homes(plan: Plan, timed: Sequence[StepNow], kitchen: Kitchen, which: str) -> Iterator[Entry]:
    """One event for each coming home that a step waits for."""
    minutes = dict(kitchen.alarms).get(HOME, HOME_MIN)
    for name, away in _named_homes(plan):
        waits = next((t for t in timed if t.open and _is_missed(away, t) and _something_waits(plan, t, timed)), None)
        if waits and minutes >= 0:
            title, said, text = come_home(plan, waits.step, away.end, waits.start, kitchen, which)
            yield Entry(
                uid_for(plan.bake_id, name), name, away.end, away.end + 60, title, said,
                f"/bakes/{plan.bake_id}#step-{waits.step.step_id}", plan.made_at,
                alarm_min=min(minutes, MOST_ALARM_MIN), changed_at=plan.made_at, bake_id=plan.bake_id,
                short=in_short(away.end, plan.zone, kitchen.clock, text),
            )  # fmt: skip


def _named_homes(plan: Plan) -> Iterator[tuple[str, Busy]]:
    """Each coming home by its local day, which stays when a new plan no longer knows of days gone by: "home-20261126".
    Of one day the last; one before it that day counts back from there, "home-20261126-2"."""
    zone = zone_or_utc(plan.zone)
    of_day: dict[str, int] = {}
    for away in sorted((b for b in plan.busy if b.kind == "away"), key=lambda b: -b.end):
        day = f"{datetime.fromtimestamp(away.end, zone):%Y%m%d}"
        of_day[day] = of_day.get(day, 0) + 1
        yield f"{HOME}-{day}" + (f"-{of_day[day]}" if of_day[day] > 1 else ""), away


def _is_missed(away: Busy, one: StepNow) -> bool:
    return one.step.kind in MOMENTS and 0 <= one.start - away.end < _HOME_MATTERS_S


def _something_waits(plan: Plan, one: StepNow, timed: Sequence[StepNow]) -> bool:
    """Whether a dough, or this evening's supper, waits for that step."""
    return one is not timed[0] or plan.supper - one.start < _DAY_BEFORE_S


# -- in order


def _in_order(entries: list[Entry], chosen: set[str], plan: Plan) -> list[Entry]:
    """No step rings after one that follows it: where minutes differ so much, the earlier step rings earlier too."""
    kinds = {s.step_id: s.kind for s in plan.steps}
    latest, ordered = 1 << 60, []
    for entry in reversed(entries):
        if entry.alarm_min != NO_ALARM:
            rings = entry.start - 60 * entry.alarm_min
            if rings > latest and kinds.get(entry.step_id, HOME) not in chosen:
                entry = replace(entry, alarm_min=min(-((latest - entry.start) // 60), MOST_ALARM_MIN))
            latest = min(latest, entry.start - 60 * entry.alarm_min)
        ordered.append(entry)
    return ordered[::-1]
