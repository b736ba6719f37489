"""The chain of a plan's steps, timed one after the other with the dough walked along. Twin of static/js/now/chain.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Planned times are
kept while they can be kept. A step is put off by the step before it, by the person ("later"), by the clock (overdue),
by the oven (not lit in time) and by the dough (not risen to `early`); it is brought forward only where the method
allows no longer wait. When supper is moved, all that is left moves with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from webapp.core.kinds import Flag, Status
from webapp.core.now.walk import (
    Dough,
    baked,
    go_on,
    mark_times,
    mixed_dough,
    put,
)
from webapp.core.plan import Done, Plan, PlanStep, State


@dataclass
class Timed:
    """A step on its way to a RetimedStep."""

    step: PlanStep
    start: int
    end: int
    status: Status
    flag: Flag = ""
    early_at: int = 0
    best_at: int = 0
    past_at: int = 0


@dataclass(frozen=True)
class Sample:
    """Where the dough was at one instant; the progress is by the plan's own rates."""

    at: int
    base: float
    temp_c: float
    place: str


@dataclass
class Walk:
    """The chain walked through: its steps and the dough's samples."""

    timed: list[Timed]
    samples: list[Sample]
    dough: Dough | None  # None until it is mixed


def walk_chain(plan: Plan, state: State, now: int, chain: list[PlanStep], floors: list[int]) -> Walk:
    """Times of the chain steps, one after the other, with the dough walked along."""
    walk = Walk([], [], None)
    mixing = mixing_index(plan, chain)
    settled = last_settled(state, chain)
    if mixing < 0:
        begin(walk, mixed_dough(plan, state, plan.rise.mixed_at))
    for i in range(len(chain)):
        before = walk.timed[i - 1].end if i > 0 else 0
        wait = chain[i].start - chain[i - 1].end if i > 0 else 0
        if i <= settled:
            one = settled_step(state, chain, i, before)
        else:
            one = open_step(plan, state, now, chain[i], before, wait, floors[i], walk.dough)
        walk.timed.append(one)
        if walk.dough is not None:
            advance(walk, one.end)
            put(walk.dough, chain[i].place, chain[i].vessel)
        if i == mixing:
            dough = mixed_dough(plan, state, one.end + plan.rise.mixed_at - chain[i].end)
            put(dough, chain[i].place, chain[i].vessel)
            begin(walk, dough)
    return walk


def dough_of(walk: Walk) -> Dough:
    """The dough at the end of the walk: by then it is mixed."""
    assert walk.dough is not None
    return walk.dough


def begin(walk: Walk, dough: Dough) -> None:
    """The rise begins."""
    walk.dough = dough
    walk.samples.append(sample_of(dough))


def mixing_index(plan: Plan, chain: list[PlanStep]) -> int:
    """The last chain step that is over when the rise begins; -1 when there is none."""
    out = -1
    for i in range(len(chain)):
        if chain[i].end <= plan.rise.mixed_at:
            out = i
    return out


def last_settled(state: State, chain: list[PlanStep]) -> int:
    """The last chain step that is done; -1 when none is. Whatever comes before it must have happened."""
    out = -1
    for i in range(len(chain)):
        if said_at(state.done, chain[i].step_id) != 0:
            out = i
    return out


def said_at(said: Sequence[Done], step_id: str) -> int:
    """The instant said for this step, 0 when nothing was said."""
    for one in said:
        if one.step_id == step_id:
            return one.at
    return 0


def settled_step(state: State, chain: list[PlanStep], i: int, before: int) -> Timed:
    """Done: when it was said. Overtaken by a later step that is done: as planned, but not after that one."""
    step = chain[i]
    lasts = step.end - step.start
    end = said_at(state.done, step.step_id)
    if end != 0:
        begun = said_at(state.begun, step.step_id)
        return Timed(step, begun if 0 < begun <= end else end - lasts, end, "done")
    end = step.end if step.end > before else before
    for later in chain[i + 1 :]:
        at = said_at(state.done, later.step_id)
        if at != 0 and at < end:
            end = at
    return Timed(step, end - lasts, end, "passed")


def open_step(
    plan: Plan, state: State, now: int, step: PlanStep, before: int, wait: int, floor: int, dough: Dough | None
) -> Timed:
    """When a step that is not done can be done, and what the dough says about it.

    `before` is the end of the step before, `wait` the planned wait between the two.
    """
    lasts = step.end - step.start
    bound = bound_of(plan, state, now, step, before, wait, floor)
    one = Timed(step, bound, bound + lasts, "open")
    if step.mark is not None and dough is not None and not baked(dough):
        one.early_at, one.best_at, one.past_at = mark_times(dough, step.mark, bound)
    begun = said_at(state.begun, step.step_id)
    if begun != 0:
        one.start = begun
        one.end = begun + lasts if begun + lasts > now else now
        return one
    if one.early_at > bound:
        one.start = one.early_at
        one.end = one.start + lasts
    one.flag = flag_of(one, bound, before, dough)
    if step.presence == "none" and now >= one.end:
        one.status = "passed"
    return one


def bound_of(plan: Plan, state: State, now: int, step: PlanStep, before: int, wait: int, floor: int) -> int:
    """The start as far as clock, person, method and oven say; brought forward, it keeps the planned wait."""
    out = step.start + state.supper - plan.supper
    if before != 0:
        if step.wait_most_s > 0 and out > before + step.wait_most_s:
            out = before + wait
        out = latest(out, before + step.wait_least_s)
    out = latest(out, floor)
    if step.presence != "none":
        out = latest(out, latest(state.later, now))
    for side in plan.steps:
        if not side.chain and side.anchor == step.step_id and side.kind == "preheat":
            out = latest(out, lit_at(state, now, side) - side.offset_s)
    return out


def latest(a: int, b: int) -> int:
    """The later instant."""
    return a if a > b else b


def lit_at(state: State, now: int, side: PlanStep) -> int:
    """When the oven was lit, or can be at the earliest."""
    begun = said_at(state.begun, side.step_id)
    done = said_at(state.done, side.step_id)
    if begun != 0:
        return begun
    if done != 0:
        return done - (side.end - side.start)
    return latest(now, state.later)


def flag_of(one: Timed, bound: int, before: int, dough: Dough | None) -> Flag:
    """The one thing about this step's time that the person must know."""
    step = one.step
    if step.mark is not None and dough is not None and not baked(dough):
        if one.early_at == 0:
            return "never"
        if one.past_at != 0 and one.start > one.past_at:
            return "past"
        if one.start > bound:
            return "waits"
    if before != 0 and step.wait_most_s > 0 and one.start > before + step.wait_most_s:
        return "long"
    return ""


def pull(state: State, chain: list[PlanStep], timed: list[Timed], floors: list[int]) -> bool:
    """Put off open steps that would otherwise be too long before the next one; True when any was."""
    pulled = False
    starts = [one.start for one in timed]
    for back in range(len(chain) - 1):
        i = len(chain) - 2 - back
        most = chain[i + 1].wait_most_s
        start = starts[i + 1] - most - (chain[i].end - chain[i].start)
        free = timed[i].status == "open" and said_at(state.begun, chain[i].step_id) == 0
        if free and most > 0 and start > starts[i]:
            starts[i] = start
            floors[i] = start
            pulled = True
    return pulled


def advance(walk: Walk, until: int) -> None:
    """Walk the dough to that instant, leaving a sample at each minute or stride."""
    dough = walk.dough
    while dough is not None and dough.at < until:
        go_on(dough, until)
        walk.samples.append(sample_of(dough))


def sample_of(dough: Dough) -> Sample:
    """The dough at this instant."""
    return Sample(dough.at, dough.base, dough.temp_c, dough.place)
