"""Steps beside the chain: the oven, the sauce, what leaves the fridge. Twin of static/js/now/sides.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages; change both or
neither. A side step keeps its distance from the chain step it is tied to, so side steps stay in the order of their
times; the oven is lit before topping begins, always.
"""

from __future__ import annotations

from webapp.core.kinds import Status
from webapp.core.now.chain import Timed, latest, not_over, said_at
from webapp.core.plan import Plan, PlanStep, State


def in_plan_order(plan: Plan, state: State, now: int, chain: list[Timed]) -> list[Timed]:
    """Chain steps and side steps together."""
    out: list[Timed] = []
    i = 0
    for step in plan.steps:
        if step.chain:
            out.append(chain[i])
            i += 1
        else:
            out.append(side_step(state, now, step, chain))
    return out


def side_step(state: State, now: int, step: PlanStep, chain: list[Timed]) -> Timed:
    """A side step keeps its distance from its anchor, but cannot be done in the past or while the person is away."""
    lasts = step.end - step.start
    begun = said_at(state.begun, step.step_id)
    end = said_at(state.done, step.step_id)
    if end != 0:
        return Timed(step, begun if 0 < begun <= end else end - lasts, end, "done")
    start = step.start
    status: Status = "open"
    for i in range(len(chain)):
        if chain[i].step.step_id == step.anchor:
            start = beside(chain, i, step)
            overtaken = chain[i] if step.offset_s <= 0 else chain[len(chain) - 1]
            status = "open" if overtaken.status == "open" else "passed"
    if status == "open":
        start = begun if begun != 0 else not_over(latest(start, state.later), now, lasts)
    return Timed(step, start, start + lasts, status)


def beside(chain: list[Timed], i: int, step: PlanStep) -> int:
    """So long before or after its anchor, number `i`; the oven never later than the topping before it."""
    start = chain[i].start + step.offset_s
    topping = chain[i - 1] if step.kind == "preheat" and i > 0 else chain[i]
    if topping.status == "open" and topping.start < start:
        return topping.start
    return start


def oven_lit_at(plan: Plan, timed: list[Timed]) -> int:
    """When the oven is lit, where the warm spot is that oven; 0 when it is not, or nothing is lit."""
    if not plan.rise.warm_is_oven:
        return 0
    for one in timed:
        if one.step.kind == "preheat" and one.status != "passed":
            return one.start
    return 0
