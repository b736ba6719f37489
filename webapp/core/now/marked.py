"""The chain of a plan and its two steps that want a rise. Twin of static/js/now/marked.js: change both or neither."""

from __future__ import annotations

from webapp.core.kinds import BAKE_KINDS
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep


def chain_of(plan: Plan) -> list[PlanStep]:
    """The steps that follow each other, in plan order."""
    return [step for step in plan.steps if step.chain]


def press_index(chain: list[PlanStep]) -> int:
    """The first step that wants a rise and is no loading: pressing out; -1 when there is none."""
    for i in range(len(chain)):
        if chain[i].mark is not None and chain[i].kind != "load":
            return i
    return -1


def load_index(chain: list[PlanStep]) -> int:
    """The first loading; -1 when there is none."""
    for i in range(len(chain)):
        if chain[i].kind == "load":
            return i
    return -1


def loading_of(chain: list[PlanStep], i: int) -> int:
    """The loading that brought in the tray of which step `i` is a part in the oven; -1 when it is none."""
    if chain[i].kind not in BAKE_KINDS or chain[i].presence == "none":
        return -1
    for back in range(i):
        if chain[i - 1 - back].kind == "load":
            return i - 1 - back
    return -1
