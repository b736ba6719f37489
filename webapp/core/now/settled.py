"""What was said of a step, and what that settles. Twin of static/js/now/settled.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.
"""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.kinds import BAKE_KINDS
from webapp.core.plan.state import Done, State
from webapp.core.plan.steps import PlanStep


def is_settled(state: State, chain: list[PlanStep], i: int) -> bool:
    """Is this step done, or one that comes after it? Whatever comes before that must have happened."""
    if said_at(state.done, chain[i].step_id) != 0:
        return True
    return any(said_at(state.done, later.step_id) != 0 and overtakes(later, chain[i]) for later in chain[i + 1 :])


def overtakes(later: PlanStep, step: PlanStep) -> bool:
    """Does what is done later mean that this happened? Of a tray in the oven it says nothing of the next tray."""
    return later.kind not in BAKE_KINDS or later.load >= step.load


def said_at(said: Sequence[Done], step_id: str) -> int:
    """The instant said for this step, 0 when nothing was said."""
    for one in said:
        if one.step_id == step_id:
            return one.at
    return 0
