"""A planned bake in the oven of today, which heats, bakes or reaches otherwise than the one it was planned for.

What is done at the oven comes at its new minutes. Supper stays: how long a tray cools before it is cut has some give,
and where that is too little the tray goes in up to a quarter of an hour sooner or later, with what is done beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import get_args

from webapp.core.kinds import BakeKind, StepKind
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import GRID_S, PlanStep
from webapp.core.planner.cost import visits
from webapp.core.planner.loads import COOL_LEAST_S, COOL_MOST_S
from webapp.core.planner.offer import Baking, baking_of

MOST_MOVED_S = 900  # of the loading: the dough is the same then, and so is the evening (this project's own judgement)
_INSIDE: tuple[StepKind, ...] = get_args(BakeKind)  # from loading on every minute is the oven's
_TRAYS: tuple[StepKind, ...] = ("top", "load")


def with_oven(plan: Plan, oven: OvenPlan) -> Plan | None:
    """The plan with that oven; None where its evening has no room for it."""
    known = (_moved(plan, oven, by_s) for by_s in _shifts())
    return next((moved for moved in known if moved is not None), None)


def _shifts() -> Iterator[int]:
    yield 0
    for by_s in range(GRID_S, MOST_MOVED_S + 1, GRID_S):
        yield from (-by_s, by_s)


def _moved(plan: Plan, oven: OvenPlan, by_s: int) -> Plan | None:
    """The same with the loading so much later; None where a step would meet another, or a tray cool too long."""
    if oven.loads != plan.oven.loads:
        return None
    baking, apart_s = baking_of(oven), _apart_s(plan, oven)
    heated_s = (plan.oven.preheat_min - oven.preheat_min) * 60
    rows: list[PlanStep] = []
    for step in plan.steps:
        later_s = by_s + _later_s(plan, step, apart_s)
        if step.kind == "preheat":
            rows.append(_at(replace(step, offset_s=step.offset_s + heated_s), step.start + later_s + heated_s))
        elif step.kind == "serve":
            rows.append(_at(step, step.start + later_s - by_s))
        elif step.kind not in _INSIDE:
            rows.append(_at(step, step.start + later_s) if step.kind in _TRAYS or not step.chain else step)
        if step.kind == "load":
            rows += _baked(plan, rows[-1], baking)
    rows = _beside(plan.steps, rows)
    fits = _is_eaten_in_time(rows) and _in_turn(plan.steps, rows, oven) and _meets(rows) <= _meets(plan.steps)
    told = _waiting(plan.steps, rows) if fits else None
    if told is None:
        return None
    steps = tuple(sorted(told, key=lambda one: (one.start, not one.chain, one.end)))
    hands = [(one.start, one.end) for one in steps if one.presence == "hands" and one.end > one.start]
    trade = replace(plan.trade, hands_on_s=sum(end - start for start, end in hands), visits=visits(hands))
    return replace(plan, oven=oven, steps=steps, trade=trade)


def _apart_s(plan: Plan, oven: OvenPlan) -> int:
    """By how much more two loads have to lie apart than they did."""
    loads = sorted(one.start for one in plan.steps if one.kind == "load")
    needed_s = (baking_of(oven).lift_min + oven.recovery_min) * 60
    return max(0, *(needed_s - (after - one) for one, after in pairwise(loads))) if len(loads) > 1 else 0


def _later_s(plan: Plan, step: PlanStep, apart_s: int) -> int:
    """Of the first load so much sooner that the last one stays; where each is eaten as it comes the first one stays."""
    as_they_come = any(one.kind == "serve" and one.load for one in plan.steps)
    load = step.load or (1 if not step.chain else plan.oven.loads)
    return apart_s * (load - 1 if as_they_come else load - plan.oven.loads) if plan.oven.loads > 1 else 0


def _at(step: PlanStep, start: int) -> PlanStep:
    return replace(step, start=start, end=start + step.end - step.start)


def _baked(plan: Plan, load: PlanStep, baking: Baking) -> Iterator[PlanStep]:
    """What is done at the oven after this loading, by the new minutes; the same steps keep what was asked of them."""
    before = {one.kind: one for one in plan.steps if one.kind in _INSIDE and one.load == load.load}
    for action in baking.actions:
        start = load.start + action.minute * 60
        tag = f"-{load.load}" if load.load else ""
        known = before.get(action.action) or replace(
            load, step_id=f"{action.action}{tag}", kind=action.action, presence="home", mark=None, alarm_min=0
        )
        yield replace(known, start=start, end=start + action.hands_min * 60)


def _beside(before: Sequence[PlanStep], rows: Sequence[PlanStep]) -> list[PlanStep]:
    """What is done beside the dough stays where it was, when it would meet something else now."""
    was, met = {one.step_id: one for one in before}, {one for one, _ in _meets(rows) - _meets(before)}
    return [
        replace(one, start=was[one.step_id].start, end=was[one.step_id].end,
                offset_s=one.offset_s + was[one.step_id].start - one.start)
        if one.step_id in met and not one.chain else one
        for one in rows
    ]  # fmt: skip


def _is_eaten_in_time(rows: Sequence[PlanStep]) -> bool:
    """Each tray, or the last, is cut no sooner and no later after it came out than one may be."""
    lifted = {one.load: one.end for one in rows if one.kind == "lift"}
    served = [one for one in rows if one.kind == "serve"]
    cool_s = (one.start - lifted.get(one.load, max(lifted.values())) for one in served)
    return all(COOL_LEAST_S <= cool <= COOL_MOST_S for cool in cool_s)


def _in_turn(before: Sequence[PlanStep], rows: Sequence[PlanStep], oven: OvenPlan) -> bool:
    """The chain's steps, those in the oven apart, follow each other as before, and each load finds the oven hot."""
    ids = [
        [one.step_id for one in sorted(every, key=lambda one: one.start) if one.chain and one.kind not in _INSIDE]
        for every in (before, rows)
    ]
    loads = sorted(one.start for one in rows if one.kind == "load")
    lifted = sorted(one.end for one in rows if one.kind == "lift")
    hot = all(out + oven.recovery_min * 60 <= start for out, start in zip(lifted, loads[1:], strict=False))
    return ids[0] == ids[1] and hot


def _meets(rows: Sequence[PlanStep]) -> set[tuple[str, str]]:
    """Pairs of steps that fall together, by their ids; lighting the oven takes nobody from anything."""
    busy = [one for one in rows if one.kind not in ("preheat", "serve")]
    return {
        (one.step_id, other.step_id)
        for one in busy for other in busy
        if one is not other and one.start < other.end and other.start < one.end
    }  # fmt: skip


def _waiting(before: Sequence[PlanStep], rows: Sequence[PlanStep]) -> list[PlanStep] | None:
    """The steps with their waits told from the chain step that is now before each; None where a wait would be shorter
    or longer than it may be. In the oven it is as long as the minutes say; of what another step is before now, the
    soonest and the latest instant stay."""
    known = {one.step_id: (ended, at) for ended, at, one in _after_each(before)}
    starts = {one.step_id: one.start for one in before}
    told = [one for one in rows if not one.chain]
    for ended, at, step in _after_each(rows):
        was, gap = known.get(step.step_id), max(0, step.start - at) if ended else 0
        if step.kind in _INSIDE or was is None:
            told.append(replace(step, wait_least_s=gap, wait_most_s=gap))
        elif was[0] == ended:
            if step.start != starts[step.step_id] and not step.wait_least_s <= gap <= step.wait_most_s:
                return None
            told.append(step)
        else:
            least, most = was[1] + step.wait_least_s - at, was[1] + step.wait_most_s - at
            told.append(replace(step, wait_least_s=min(max(0, least), gap), wait_most_s=max(most, gap)))
    return told


def _after_each(rows: Sequence[PlanStep]) -> Iterator[tuple[str, int, PlanStep]]:
    """Each step of the chain in its turn, with the id and the end of the one before it; "" and 0 of the first."""
    before, ended = "", 0
    for step in sorted((one for one in rows if one.chain), key=lambda one: (one.start, one.end)):
        yield before, ended, step
        before, ended = step.step_id, step.end
