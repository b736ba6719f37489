"""What the journal of one bake says about this kitchen: its marks, each against the plan's own walk.

The walk is without any mark: the rate table alone, and where the dough really was and how warm. Steps that nobody
ticked were done as planned, when nothing was ticked after mixing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.kinds import VERDICTS, LessonKind, Verdict
from webapp.core.learning import observed
from webapp.core.learning.observed import Observation
from webapp.core.now.along import sample_at
from webapp.core.now.estimate import observations
from webapp.core.now.journal import fold
from webapp.core.now.retime import Standing, stand
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import Done, State
from webapp.core.plan.steps import PlanStep

COLLAPSED = "collapsed"  # sign of tables/trouble.toml
VERDICT_OF_TIMING: Mapping[str, Verdict] = {"early": "young", "right": "right", "late": "past"}


@dataclass(frozen=True)
class Lesson:
    """Something seen of one bake (or test glass) that says how quick this kitchen's dough is."""

    bake_id: str
    at: int
    seen: LessonKind
    times: float  # how many times its first volume, of a glass; else 0
    observation: Observation

    @property
    def quicker(self) -> float:
        """Than the model's middle kitchen, as a factor."""
        return math.exp(self.observation.ln_ratio)


def lessons(plan: Plan, events: Sequence[Event]) -> tuple[Lesson, ...]:
    """What was seen of this bake: glass, looks, pokes, the result; what says nothing yet is left out."""
    state = fold(plan, events)
    done = _as_planned(plan, state)
    told = [one.at for one in state.glasses] + [one.at for one in (*state.looks, *state.pokes)]
    last = max([plan.supper, *told, *(one.at for one in done)])
    stands = stand(plan, replace(state, glasses=(), looks=(), pokes=(), done=done), last)
    bare = replace(state, glasses=(), looks=(), pokes=())
    found = [_of(plan, stands, replace(bare, glasses=(one,)), "glass", one.times) for one in state.glasses
             if observed.RISEN_FROM <= one.times <= observed.MOST_TIMES]  # fmt: skip
    found += [_of(plan, stands, replace(bare, looks=(one,)), "look") for one in state.looks]
    found += [_of(plan, stands, replace(bare, pokes=(one,)), "poke") for one in state.pokes]
    found.append(_of_verdict(plan, stands, done, verdict_said(state)))
    return tuple(one for one in found if one is not None)


def _of(plan: Plan, stands: Standing, alone: State, how: LessonKind, times: float = 0.0) -> Lesson | None:
    """One mark by the estimate's own arithmetic; what the kitchen was taken for is in the plan's rates."""
    for one in observations(plan, alone, stands.walk.samples, stands.walk.now):
        seen = Observation(one.at, one.ln_ratio + plan.vigour_ln_mean, one.sd, plan.bake_id, int(one.side))
        return Lesson(plan.bake_id, one.at, how, times, seen)
    return None


def verdict_said(state: State) -> Verdict | None:
    """None when nothing was said, or two things that cannot both be."""
    outcome = dict(state.outcome)
    told = outcome.get("verdict", "") or VERDICT_OF_TIMING.get(outcome.get("timing", ""), "")
    said = next((one for one in VERDICTS if one == told), None)  # else a word of a newer phone
    if COLLAPSED in outcome.get("crumb", "").split():
        return None if said == "young" else "past"
    return said


def _of_verdict(plan: Plan, stands: Standing, done: Sequence[Done], said: Verdict | None) -> Lesson | None:
    """What was said of the result, against the mark at loading, or at pressing where loading was not ticked."""
    ticked = {one.step_id: one.at for one in done}
    marked = [(step, ticked[step.step_id]) for step in plan.steps if step.mark and step.step_id in ticked]
    if said is None or not marked:
        return None
    step, at = marked[-1] if not _loads(marked) else _loads(marked)[0]
    assert step.mark is not None  # only steps with a mark are looked at
    start = min(at, next(one.start for one in stands.chain if one.step.step_id == step.step_id))
    unit = sample_at(stands.walk.samples, start).base / math.exp(plan.vigour_ln_mean)
    try:
        seen = observed.verdict(at, said, step.mark.best, unit, plan.bake_id)
    except PlanError:
        return None
    return Lesson(plan.bake_id, at, said, 0.0, seen)


def _loads(marked: Sequence[tuple[PlanStep, int]]) -> list[tuple[PlanStep, int]]:
    """The first load stands for all: the others wait for it."""
    return [one for one in marked if one[0].kind == "load"]


def _as_planned(plan: Plan, state: State) -> tuple[Done, ...]:
    """What was done; mixing as planned when nobody said so, for a dough whose rise was seen was mixed.

    When nothing was ticked after it either, all of it was done as planned.
    """
    said = {one.step_id for one in state.done}
    chain = [step for step in plan.steps if step.chain]
    after = any(step.step_id in said for step in chain if step.end > plan.rise.mixed_at)
    taken = (step for step in chain if step.step_id not in said and (not after or step.end <= plan.rise.mixed_at))
    done = [*state.done, *(Done(step.step_id, step.end) for step in taken)]
    order = [step.step_id for step in plan.steps]
    return tuple(sorted(done, key=lambda one: order.index(one.step_id)))


def progress_at(stands: Retimed, at: int) -> float:
    """Progress at that instant, between the points of the curve; 0 outside of it."""
    for before, after in zip(stands.curve, stands.curve[1:], strict=False):
        if before.at <= at <= after.at and after.at > before.at:
            share = (at - before.at) / (after.at - before.at)
            return before.progress + share * (after.progress - before.progress)
    return 0.0
