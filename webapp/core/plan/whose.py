"""Whom a step suits at the time at which it stands. Twin of static/js/plan/whose.js: change both or neither.

What was planned for somebody may have slid, or been moved, to hours when others are there, or nobody.
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.plan.house import HouseHours, is_empty, there
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.state import State
from webapp.core.plan.steps import PlanStep


def who(plan: Plan, step: PlanStep, timed: RetimedStep) -> tuple[str, ...]:
    """Of several people whom it suits: as planned where it stands as planned; () of one alone, and where the plan does
    not know."""
    if timed.start == step.start and timed.end == step.end:
        return step.who
    house = plan.house
    return there(house, timed.start, timed.end, step.presence) if house is not None and len(house.people) > 1 else ()


def is_unseen(house: HouseHours, plan: Plan, state: State, step: PlanStep, timed: RetimedStep, now: int) -> bool:
    """Does a step to come, for which somebody was there as planned, stand where by these hours nobody is?"""
    if timed.start <= now or step.presence == "none" or not was_seen_to(plan, step):
        return False
    seen = [] if timed.start == step.start else [done.at for done in state.done]  # hours that were told for it stand
    return is_empty(house, timed.start, timed.end, step.presence, seen)


def was_seen_to(plan: Plan, step: PlanStep) -> bool:
    """Was somebody there for it at its planned time when it was planned?"""
    end = max(step.end, step.start + 1)
    taken = plan.busy if plan.nobody is None else plan.nobody
    hinders = (one for one in taken if step.presence == "hands" or one.kind != "busy")
    return not any(one.start < end and step.start < one.end for one in hinders)


def as_it_stands(plan: Plan, state: State, retimed: Retimed, now: int) -> Plan:
    """The plan with those named at each open step who are there at its present time, and the steps of which nobody is.

    Nobody is named where the plan does not know the house's hours, or not those.
    """
    timed = {one.step_id: one for one in retimed.steps}
    return replace(plan, steps=tuple(_step(plan, state, one, timed[one.step_id], now) for one in plan.steps))


def _step(plan: Plan, state: State, step: PlanStep, timed: RetimedStep, now: int) -> PlanStep:
    if timed.status != "open":
        return step
    unseen = plan.house is not None and is_unseen(plan.house, plan, state, step, timed, now)
    return replace(step, who=who(plan, step, timed), nobody=unseen)


def with_house(plan: Plan, house: HouseHours) -> Plan:
    """The plan with these hours, and those named at each step, at its planned time, who are there by them."""
    several = len(house.people) > 1
    named = (there(house, one.start, one.end, one.presence) if several else () for one in plan.steps)
    steps = tuple(replace(one, who=names) for one, names in zip(plan.steps, named, strict=True))
    return replace(plan, house=house, steps=steps)
