"""A bake that nobody has begun: what it is, and until when a bake is walked on; as `static/js/state/packed.js`.

What is begun may come late, and is walked on for days. Of what nobody has begun there is no dough to be late: it is
over with its supper, or with the hour until which somebody put it off.
"""

from __future__ import annotations

from webapp.core.plan.plan import Plan
from webapp.core.plan.state import State

_FORGOTTEN_S = 3 * 86400  # something was told, and then no more
LATE_S = 3 * 3600  # so long after its supper a bake may still want hands and oven


def is_silent(state: State) -> bool:
    """Nobody said that a step was done or begun, or looked at its dough."""
    return not (state.done or state.begun or state.glasses or state.looks or state.pokes)


def never_begun(state: State) -> bool:
    """Nobody said that either, nor how it came out."""
    return is_silent(state) and not state.outcome


def is_past(plan: Plan, state: State, now: int) -> bool:
    """Its supper is past and nobody has begun it: nothing of it is due, or rings, any more."""
    return is_silent(state) and now > _last(plan, state)


def until(plan: Plan, state: State, now: int) -> int:
    """`now`, at most some days past the bake's end; what nobody has begun stands as planned after its supper."""
    if is_past(plan, state, now):
        return plan.made_at
    return min(now, _last(plan, state) + _FORGOTTEN_S)


def _last(plan: Plan, state: State) -> int:
    return max([plan.made_at, plan.supper, state.supper, state.later, *(one.at for one in state.done)])
