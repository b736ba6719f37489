"""Ways out when life slips, by the same arithmetic. Twin of static/js/now/rescue.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Every way out is
found by re-timing the plan as if it had been taken.
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.now.retime import retime
from webapp.core.plan import Moved, Plan, Rescue, Retimed, RetimedStep, State

NEAR_S = 60  # the fridge's latest instant is found to the minute


def rescues(plan: Plan, state: State, now: int) -> tuple[Rescue, ...]:
    """What helps the next rise that does not fit, and what becomes of supper."""
    here = retime(plan, state, now)
    out: list[Rescue] = []
    target = marked_step(plan, here)
    if target is not None and here.place != "":
        if target.flag == "past" and here.place != "fridge":
            out.append(fridge(plan, state, now, target))
        if target.flag in ("waits", "never") and here.place != "warm":
            out.extend(warm(plan, state, now, target))
        if target.flag == "past":
            out.append(Rescue("past", target.step_id, until=target.past_at))
    if here.late_s > 0:
        out.append(Rescue("later", here.steps[len(here.steps) - 1].step_id, ready_at=here.ready_at))
    return tuple(out)


def marked_step(plan: Plan, here: Retimed) -> RetimedStep | None:
    """The first open step whose rise does not fit its time."""
    for i in range(len(plan.steps)):
        flagged = here.steps[i].flag in ("past", "never", "waits")
        if plan.steps[i].mark is not None and here.steps[i].status == "open" and flagged:
            return here.steps[i]
    return None


def if_moved(plan: Plan, state: State, now: int, at: int, place: str, step_id: str) -> RetimedStep:
    """That step, if the dough were moved."""
    before = [move for move in state.moves if move.at <= at]
    after = [move for move in state.moves if move.at > at]
    moved = retime(plan, replace(state, moves=(*before, Moved(at, place), *after)), now)
    for step in moved.steps:
        if step.step_id == step_id:
            return step
    raise AssertionError("a re-timed plan keeps its steps")


def fridge(plan: Plan, state: State, now: int, target: RetimedStep) -> Rescue:
    """Into the fridge: by when at the latest for the step to find the dough in time, and how long it holds from now."""
    held = if_moved(plan, state, now, now, "fridge", target.step_id)
    if held.flag == "past":
        return Rescue("fridge", target.step_id, until=held.past_at)
    low = now
    high = target.past_at if target.past_at > now else now
    while high - low > NEAR_S:
        middle = int((low + high) / 2)
        if if_moved(plan, state, now, middle, "fridge", target.step_id).flag == "past":
            high = middle
        else:
            low = middle
    return Rescue("fridge", target.step_id, by=low, until=held.past_at)


def warm(plan: Plan, state: State, now: int, target: RetimedStep) -> list[Rescue]:
    """Into the warm spot, when that brings the step in."""
    helped = if_moved(plan, state, now, now, "warm", target.step_id)
    if helped.early_at == 0:
        return []
    sooner_s = target.start - helped.start if target.early_at != 0 else 0
    if sooner_s <= 0 and target.early_at != 0:
        return []
    return [Rescue("warm", target.step_id, until=helped.early_at, sooner_s=sooner_s)]
