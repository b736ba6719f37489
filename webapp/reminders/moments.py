"""Which steps ring, and which of them are one event: plan and present times -> entries of a calendar. Pure.

It rings where somebody must come: home in time, mixing, moving the dough, pressing out, the oven, topping, loading,
lifting out. What happens in between is told in the text of the event before it. Moments within ten minutes are one
event that lists both, and so is coming home with the step that waits for it; lifting out, and turning the oven down
some minutes after loading, always ring by themselves, because nobody waits beside the oven for them. Six rings are the
most of a plain bake: beyond them, what can wait is told in the event before it. Who wants every step to ring
(`Kitchen.every_step`) has one for each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.reminders.coming_home import HOME, MATTERS_S, ComingHome, comings_home, home_entry, with_coming_home
from webapp.reminders.ics import Entry, called_off
from webapp.reminders.timed import MOMENTS, StepNow, alarm_min, timed_steps, uid_for
from webapp.words.calendar import Listed, describe, in_short, title_of
from webapp.words.spoken import spoken

MOST_RINGS = 6  # of one bake on a plain day: more are switched off
_TOGETHER_S = 600
_WAITS_FOR = ("lift", "turn-down")  # somebody comes back for these
_CAN_WAIT = ("round-up", "chill", "temper", "warm", "press")
_AFTER_MIXING_S = 1800  # from the end of mixing until the dough goes into the fridge: the rest of the same errand
_SOON_S = 3600  # after an event, what may be told in it where there are too many
_STAYS_S = 180  # a turn-down sooner than this after loading finds the person at the oven


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
    timed = timed_steps(plan, retimed)
    homes = comings_home(plan, timed, kitchen)
    groups, joined = _arranged(timed, homes, kitchen)
    alone = [home for home in homes if home not in joined.values()]
    made = [_entry(plan, group, timed, kitchen, other_pan, which) for group in groups]
    made = [with_coming_home(plan, e, joined[e.step_id], kitchen) if e.step_id in joined else e for e in made]
    made = sorted([*(home_entry(plan, home, kitchen, which) for home in alone), *made], key=lambda e: e.start)
    made = _in_order(made, {kind for kind, minutes in kitchen.alarms if minutes >= 0}, plan)
    return tuple(called_off(e) if cancelled and not _behind(e, timed) else e for e in _ringing_again(made))


def _ringing_again(entries: list[Entry]) -> list[Entry]:
    """An event that calls home rings at its step too while that makes no more than six of them all."""
    rings = sum((e.alarm_min >= 0) + (e.again_min >= 0) for e in entries)
    return entries if rings <= MOST_RINGS else [replace(e, again_min=NO_ALARM) for e in entries]


# -- which steps are one event


def _arranged(
    timed: Sequence[StepNow], homes: Sequence[ComingHome], kitchen: Kitchen
) -> tuple[list[tuple[StepNow, ...]], dict[str, ComingHome]]:
    """The steps in groups that are one event each, and the comings home that are one with the step that leads one."""
    if kitchen.every_step:
        return [(one,) for one in timed], {}
    groups = grouped(timed, kitchen)
    joined = _joined(homes, groups, kitchen, _TOGETHER_S)
    if len(groups) + len(homes) - len(joined) > MOST_RINGS:  # as far as a step matters at all for coming home
        joined = _joined(homes, groups, kitchen, MATTERS_S)
    return _folded(groups, MOST_RINGS - len(homes) + len(joined), kitchen, frozenset(joined)), joined


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


def _joined(
    homes: Sequence[ComingHome], groups: Sequence[tuple[StepNow, ...]], kitchen: Kitchen, within_s: int
) -> dict[str, ComingHome]:
    """The comings home that are one event with the step that waits for them, by its id."""
    leads = {group[0].step.step_id for group in groups}
    return {
        home.waits.step.step_id: home
        for home in homes
        if home.waits.step.step_id in leads
        and home.waits.start - home.at <= within_s
        and home.waits.step.kind not in dict(kitchen.alarms)
    }


def _folded(
    groups: list[tuple[StepNow, ...]], most: int, kitchen: Kitchen, homes: frozenset[str]
) -> list[tuple[StepNow, ...]]:
    """With fewer rings: the dough goes into the fridge when mixing is barely over, and its event says so; where there
    are too many all the same, what comes soonest after another event is told in that one, if it can wait."""
    while at := _fold_at(groups, most, kitchen, homes):
        groups = [*groups[: at - 1], (*groups[at - 1], *groups[at]), *groups[at + 1 :]]
    return groups


def _fold_at(groups: Sequence[tuple[StepNow, ...]], most: int, kitchen: Kitchen, homes: frozenset[str]) -> int:
    """Which group is told in the one before it, 0 for none."""
    own = {kind for kind, minutes in kitchen.alarms if minutes >= 0}
    may = [
        (_gap(before, group), at)
        for at, (before, group) in enumerate(pairwise(groups), start=1)
        if group[0].step.step_id not in homes
        and not any(t.step.kind in own for t in (*before, *group))
        and _can_wait(before, group)
    ]
    at_once = [at for gap, at in may if gap <= _AFTER_MIXING_S and _is_mixed_dough_to_chill(groups[at - 1], groups[at])]
    soon = [at for gap, at in sorted(may) if gap <= _SOON_S and (groups[at - 1][0].open or not groups[at][0].open)]
    soonest = soon if len(groups) > most else []
    return next(iter([*at_once, *soonest]), 0)


def _gap(before: tuple[StepNow, ...], group: tuple[StepNow, ...]) -> int:
    return group[0].start - max(t.end for t in before if t is before[0] or t.step.kind in MOMENTS)


def _can_wait(before: tuple[StepNow, ...], group: tuple[StepNow, ...]) -> bool:
    """Nothing burns, and nothing goes off, when somebody who was told a while ago comes to it a little late."""
    moments = [t.step.kind for t in group if t.step.kind in MOMENTS]
    topped = "top" in [t.step.kind for t in before] and moments == ["load"]
    comes_back = any(t.step.kind in _WAITS_FOR for t in group)
    return not comes_back and bool(moments) and (topped or all(kind in _CAN_WAIT for kind in moments))


def _is_mixed_dough_to_chill(before: tuple[StepNow, ...], group: tuple[StepNow, ...]) -> bool:
    return before[0].step.kind == "mix" and [t.step.kind for t in group if t.step.kind in MOMENTS] == ["chill"]


def _finds_somebody(group: tuple[StepNow, ...], turn_down: StepNow) -> bool:
    loads = [t.start for t in group if t.step.kind == "load"]
    return bool(loads) and turn_down.start - loads[-1] < _STAYS_S


# -- one event


def _entry(
    plan: Plan, group: tuple[StepNow, ...], timed: Sequence[StepNow], kitchen: Kitchen, other_pan: bool, which: str
) -> Entry:
    lead, *rest = group
    come_for = [t for t in rest if t.step.kind in MOMENTS]
    at_once = [t for t in (lead, *come_for) if t.start - lead.start <= _TOGETHER_S]
    also = [*rest, *_told_elsewhere(group, timed)]
    listed = [Listed(t.step, t.start) for t in also]
    return Entry(
        uid=uid_for(plan.bake_id, lead.step.step_id),
        step_id=lead.step.step_id,
        start=lead.start,
        end=max(*(t.end for t in at_once), lead.start + 60),  # section 3.8.2.2: later than the start
        title=title_of([t.step for t in (lead, *come_for)], which),
        text=describe(plan, lead.step, lead.start, kitchen, other_pan, listed),
        path=f"/bakes/{plan.bake_id}#step-{lead.step.step_id}",
        made_at=plan.made_at,
        busy=any(t.step.presence == "hands" for t in at_once),
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
