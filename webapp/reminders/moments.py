"""Which steps ring, and which of them are one event: plan and present times -> entries of a calendar. Pure.

It rings where somebody must come: home in time, mixing, moving the dough, pressing out, the oven, topping, loading,
lifting out. What happens in between is told in the text of the event before it; a sauce to be made more than an hour
after that rings. Moments within ten minutes are one event that lists both. Lifting out always rings by itself, because
nobody waits beside the oven for it; turning the oven down is named with its minute in the event of loading, and rings
by itself only when it comes more than three minutes after it. Coming home is an event of its own, so that by every
route, a file with one alarm an event too, it rings in time to leave and once more when the hand is needed. Six rings
are the most of a plain day: beyond them, what can wait is told in the event before it. Who wants every step to ring
(`Kitchen.every_step`) has one for each. What suits only somebody else, who is home that day alone, is told and does
not ring: it has a file of its own (`for_another`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from webapp.core.kinds import SIDE_KINDS, ProofPlace
from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import ANOTHER, PlanStep, is_anothers
from webapp.reminders.coming_home import HOME, ComingHome, comings_home, day_of, home_entry
from webapp.reminders.ics import Entry, called_off
from webapp.reminders.timed import MOMENTS, StepNow, alarm_min, timed_steps, uid_for
from webapp.words.calendar import Listed, describe, in_short, title_of
from webapp.words.plan.steps import own_title
from webapp.words.spoken import spoken

MOST_RINGS = 6  # of one bake on one day, with one tray: more are switched off
_TOGETHER_S = 600
_WAITS_FOR = ("lift", "turn-down")  # somebody comes back for these
_CAN_WAIT = ("round-up", "chill", "temper", "warm", "press")
_AT_THE_BOWL_S = 600  # from the end of mixing until the dough goes into the fridge: who mixed stands there still
_SOON_S = 3600  # after an event rang, what may be told in it where there are too many
_CHORES = SIDE_KINDS  # nobody waits beside the dough for these, or comes home to them
_TOLD_S = 3600  # nobody thinks of them for longer
_STAYS_S = 180  # a turn-down sooner than this after loading finds the person at the oven


def entries_for(
    plan: Plan,
    retimed: Retimed | None = None,
    *,
    kitchen: Kitchen | None = None,
    cancelled: bool = False,
    more: Mapping[str, str] | None = None,
    which: str = "",
    proof: ProofPlace = "",
) -> tuple[Entry, ...]:
    """The events of a bake, at the times as re-timed (as planned, without `retimed`), by start.

    A step that is behind us keeps its true time and has no alarm. `cancelled`: the bake is off, and so is every step
    that is still ahead. `more`: what is said beside a step, as in `describe`. `which`: names the bake in every
    title, when there are two. `proof`: where the way that was taken puts the tray.
    """
    plan = spoken(plan, kitchen, retimed=retimed, proof=proof)
    kitchen = kitchen or Kitchen(zone=plan.zone)
    timed = timed_steps(plan, retimed)
    homes = comings_home(plan, timed, kitchen, retimed)
    groups = _arranged(plan, timed, homes, kitchen)
    made = [home_entry(plan, home, kitchen, which) for home in homes]  # before the step that begins at that minute
    made += [_entry(plan, group, timed, kitchen, more, which) for group in groups]
    made.sort(key=lambda e: e.start)
    made = _in_order(made, {kind for kind, minutes in kitchen.alarms if minutes >= 0}, plan)
    return tuple(called_off(e) if cancelled and not _behind(e, timed) else e for e in made)


def for_another(entries: Iterable[Entry], plan: Plan, kitchen: Kitchen, now: int) -> tuple[Entry, ...]:
    """Of a bake's events those that suit only somebody else who is home that day, as they ring on their phone."""
    steps = {one.step_id: one for one in plan.steps}
    return tuple(_as_theirs(one, steps.get(one.step_id), kitchen, now) for one in entries if one.who == (ANOTHER,))


def _as_theirs(entry: Entry, step: PlanStep | None, kitchen: Kitchen, now: int) -> Entry:
    entry = replace(entry, title=entry.theirs or entry.title)
    if step is None or entry.cancelled or entry.start <= now:
        return entry
    return replace(entry, busy=step.presence == "hands", alarm_min=alarm_min(step, kitchen))


# -- which steps are one event


def _arranged(
    plan: Plan, timed: Sequence[StepNow], homes: Sequence[ComingHome], kitchen: Kitchen
) -> list[tuple[StepNow, ...]]:
    """The steps in groups that are one event each."""
    if kitchen.every_step:
        return [(one,) for one in timed]
    groups = grouped(timed, kitchen)
    while at := _fold_at(plan, groups, homes, kitchen):
        groups = [*groups[: at - 1], (*groups[at - 1], *groups[at]), *groups[at + 1 :]]
    return groups


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
    if not _same_hands(group, one):
        return False
    if one.step.kind == "turn-down" and chosen is None:
        return _finds_somebody(group, one)
    if one.step.kind not in MOMENTS or chosen is not None:
        return chosen is not None or one.step.kind not in _CHORES or one.start - group[0].start <= _TOLD_S
    return one.step.kind not in _WAITS_FOR and one.start - group[0].start <= _TOGETHER_S


def _fold_at(plan: Plan, groups: Sequence[tuple[StepNow, ...]], homes: Sequence[ComingHome], kitchen: Kitchen) -> int:
    """Which group is told in the one before it, 0 for none: the dough that goes into the fridge as soon as it is mixed;
    on a day with too many rings what comes soonest after another, if it can wait and nobody is called home for it."""
    own = {kind for kind, minutes in kitchen.alarms if minutes >= 0}
    called_for = [home.waits for home in homes]
    may = [
        (group[0].start - before[0].start, at)
        for at, (before, group) in enumerate(pairwise(groups), start=1)
        if group[0] not in called_for
        and not any(t.step.kind in own for t in (*before, *group))
        and _same_hands(before, group[0])
        and _can_wait(before, group)
    ]
    at_once = [at for _, at in may if _goes_from_bowl_to_fridge(groups[at - 1], groups[at])]
    crowded = _crowded_days(plan, groups, homes)
    soon = [at for after_s, at in sorted(may) if after_s <= _SOON_S and day_of(plan, groups[at][0].start) in crowded]
    return next(iter([*at_once, *(at for at in soon if groups[at - 1][0].open or not groups[at][0].open)]), 0)


def _crowded_days(plan: Plan, groups: Sequence[tuple[StepNow, ...]], homes: Sequence[ComingHome]) -> set[str]:
    """Days with more than six rings, and two for each further tray, which is pressed out and baked as well."""
    trays = sum(t.step.kind == "load" for group in groups for t in group)
    rings = Counter(day_of(plan, when) for when in (*(g[0].start for g in groups), *(home.at for home in homes)))
    return {day for day, many in rings.items() if many > MOST_RINGS + 2 * max(0, trays - 1)}


def _can_wait(before: tuple[StepNow, ...], group: tuple[StepNow, ...]) -> bool:
    """Nothing burns, and nothing goes off, when somebody who was told a while ago comes to it a little late."""
    moments = [t.step.kind for t in group if t.step.kind in MOMENTS]
    topped = "top" in [t.step.kind for t in before] and moments == ["load"]
    comes_back = any(t.step.kind in _WAITS_FOR for t in group)
    return not comes_back and (topped or all(kind in _CAN_WAIT for kind in moments))


def _goes_from_bowl_to_fridge(before: tuple[StepNow, ...], group: tuple[StepNow, ...]) -> bool:
    is_chill = [t.step.kind for t in group if t.step.kind in MOMENTS] == ["chill"]
    return before[0].step.kind == "mix" and is_chill and group[0].start - before[0].end <= _AT_THE_BOWL_S


def _same_hands(group: tuple[StepNow, ...], one: StepNow) -> bool:
    """Is it for somebody else to do both, or neither?"""
    return is_anothers(group[0].step) == is_anothers(one.step)


def _finds_somebody(group: tuple[StepNow, ...], turn_down: StepNow) -> bool:
    loads = [t.start for t in group if t.step.kind == "load"]
    return bool(loads) and turn_down.start - loads[-1] <= _STAYS_S


# -- one event


def _entry(
    plan: Plan,
    group: tuple[StepNow, ...],
    timed: Sequence[StepNow],
    kitchen: Kitchen,
    more: Mapping[str, str] | None,
    which: str,
) -> Entry:
    lead, *rest = group
    come_for = [t for t in rest if t.step.kind in MOMENTS]
    at_once = [t for t in (lead, *come_for) if t.start - lead.start <= _TOGETHER_S]
    also = [*rest, *_told_elsewhere(group, timed)]
    listed = [Listed(t.step, t.start) for t in also]
    told = [t.step for t in (lead, *come_for)]
    who = _who(t for t in (lead, *come_for))
    theirs = [replace(step, title=own_title(plan, step)) for step in told if who == (ANOTHER,)]
    return Entry(
        uid=uid_for(plan.bake_id, lead.step.step_id),
        step_id=lead.step.step_id,
        start=lead.start,
        end=max(*(t.end for t in at_once), lead.start + 60),  # section 3.8.2.2: later than the start
        title=title_of(told, which),
        text=describe(plan, lead.step, lead.start, kitchen, more, listed),
        path=f"/bakes/{plan.bake_id}#step-{lead.step.step_id}",
        made_at=plan.made_at,
        busy=any(t.step.presence == "hands" and not is_anothers(t.step) for t in at_once),
        alarm_min=alarm_min(lead.step, kitchen) if lead.open and who != (ANOTHER,) else NO_ALARM,
        changed_at=plan.made_at,
        also=tuple(t.step.step_id for t in rest),
        bake_id=plan.bake_id,
        short=in_short(lead.start, plan.zone, kitchen.clock, lead.step.first),
        who=who,
        theirs=title_of(theirs, which) if theirs else "",
        kind="step",
    )


def _who(come_for: Iterable[StepNow]) -> tuple[str, ...]:
    """Whom one of these suits, as they are named; anybody where one of them suits nobody, or whoever is there."""
    named = [t.step.who for t in come_for if t.step.presence != "none"]
    return tuple(dict.fromkeys(name for who in named for name in who)) if all(named) else ()


def _told_elsewhere(group: tuple[StepNow, ...], timed: Sequence[StepNow]) -> list[StepNow]:
    """A turn-down that rings by itself is named where the tray goes in all the same."""
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
