"""The chain of a plan's steps, timed one after the other. Twin of static/js/now/chain.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Planned times, or
those of the way that was taken, are kept while they can be kept. A step is put off by the step before it, by the person
("later"), by the clock (overdue) and by the oven (not lit in time), never by the dough: a young dough may be baked, and
`ways.py` says what that gives. A step that is due is under way for as long as it lasts; only then is it late, and a
fold is left out where that was said, or its wait is long over. Once a tray is in the oven its steps run from the
loading, whatever was ticked or is wished: heat does not wait.

What is out of the oven is eaten when it is ready, said or not; hours later nobody waits for that to be said.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import Status
from webapp.core.now.marked import (
    anchor_of,
    baked_at,
    chain_of,
    follows_index,
    is_settled,
    kept_out,
    latest,
    left_out,
    load_index,
    loading_of,
    more_wait,
    not_over,
    press_index,
    said_at,
    soonest,
    waited_for,
)
from webapp.core.now.walk import DAY_S
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import State
from webapp.core.plan.steps import PlanStep

EATEN_S = 4 * 3600  # so long after it could be eaten, out of the oven, it was (common sense; nobody has the figure)


@dataclass
class Timed:
    """A step on its way to a RetimedStep."""

    step: PlanStep
    start: int
    end: int
    status: Status
    long: bool = False  # a longer wait than the method allows


def time_chain(plan: Plan, state: State, now: int) -> list[Timed]:
    """Times of the chain steps, in their order."""
    chain = chain_of(plan)
    floors = [0 for _ in chain]
    timed = one_after_the_other(plan, state, now, chain, floors)
    if pull(state, chain, timed, floors):
        timed = one_after_the_other(plan, state, now, chain, floors)
    return timed


def one_after_the_other(plan: Plan, state: State, now: int, chain: list[PlanStep], floors: list[int]) -> list[Timed]:
    """Each step after the one before it; none before its floor."""
    timed: list[Timed] = []
    for i in range(len(chain)):
        before = end_before(plan, chain, timed, i)
        if is_settled(state, chain, i):
            timed.append(settled_step(state, chain, i, before))
        elif loading_of(chain, i) >= 0:
            timed.append(in_oven(plan, state, now, chain, timed, i))
        else:
            timed.append(open_step(plan, state, now, chain, i, before, floors[i]))
    return timed


def end_before(plan: Plan, chain: list[PlanStep], timed: list[Timed], i: int) -> int:
    """When the step before number `i` ends, or the last one of the same load where that is later; 0 before the first.

    Of two trays one is topped while the other bakes: their steps lie side by side. An oven out of which one was lifted
    must be hot again before the next goes in.
    """
    out = timed[follows_index(chain, i)].end if i > 0 else 0
    for j in range(i):
        if chain[j].load != 0 and chain[j].load == chain[i].load:
            out = latest(out, timed[j].end)
        if chain[j].kind == "lift" and chain[i].kind == "load":
            out = latest(out, timed[j].end + plan.oven.recovery_min * 60)
    return out


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


def open_step(plan: Plan, state: State, now: int, chain: list[PlanStep], i: int, before: int, floor: int) -> Timed:
    """When a step that is not done can be done; `before` is the end of the step before it."""
    step = chain[i]
    lasts = step.end - step.start
    begun = said_at(state.begun, step.step_id)
    if begun != 0:
        return Timed(step, begun, latest(begun + lasts, now), "open")
    if state.way is not None and kept_out(state, step):
        at = latest(before, state.way.press_at - chain[i + 1].wait_least_s)
        return Timed(step, at, at, "passed")
    start = bound_of(plan, state, now, chain, i, before, floor)
    if i > 0 and start == now and step.kind == "serve" and is_settled(state, chain, follows_index(chain, i)):
        ready = bound_of(plan, state, 0, chain, i, before, floor)
        return Timed(step, ready, ready + lasts, "passed" if now >= ready + EATEN_S else "open")
    if left_out(state, step, before, start):
        planned = before + soonest(step.start - chain[i - 1].end, step.wait_most_s)
        return Timed(step, planned, planned + lasts, "passed")
    one = Timed(step, start, start + lasts, "open")
    one.long = before != 0 and step.wait_most_s > 0 and start > before + step.wait_most_s + more_wait(chain, i)
    if not waited_for(step) and now >= one.end:
        one.status = "passed"
    return one


def in_oven(plan: Plan, state: State, now: int, chain: list[PlanStep], timed: list[Timed], i: int) -> Timed:
    """A step with the tray in the oven: its time counts from the loading, whatever was ticked since.

    Heat does not wait for a tap, and a tray that is loaded a night early does not bake until supper.
    Nothing here can be put off ("later"); what is said in front of the oven changes when the tray comes out.
    """
    step = chain[i]
    lasts = step.end - step.start
    begun = said_at(state.begun, step.step_id)
    if begun != 0:
        return Timed(step, begun, latest(begun + lasts, now), "open")
    loading = loading_of(chain, i)
    loaded_at = timed[loading].end
    due = baked_at(plan, state, step, loaded_at, step.start - chain[loading].end)
    start = not_over(due, now, lasts)
    return Timed(step, start, start + lasts, "open")


def bound_of(plan: Plan, state: State, now: int, chain: list[PlanStep], i: int, before: int, floor: int) -> int:
    """The start as far as plan or way, method, person, clock and oven say."""
    step = chain[i]
    out = wished_at(plan, state, chain, i)
    if before != 0:
        more_s, most_s = more_wait(chain, i), step.wait_most_s + more_wait(chain, i)
        if step.wait_most_s > 0 and out > before + most_s and not chosen(state, step):
            # Brought forward, it keeps the planned wait.
            out = before + soonest(step.start - chain[i - 1].end + more_s, most_s)
        out = latest(out, before + step.wait_least_s + more_s)
    out = latest(out, floor)
    if step.presence != "none":
        out = not_over(
            latest(out, state.later),
            now if waited_for(step) else 0,
            0 if oven_first(plan, state, chain, i) else step.end - step.start,
        )
    for side in plan.steps:
        if heats(state, side, step):
            out = latest(out, lit_at(state, now, side, out) - side.offset_s)
    return out


def wished_at(plan: Plan, state: State, chain: list[PlanStep], i: int) -> int:
    """The planned start, moved with supper; or the way's own, what is tied to pressing or loading moved with it.

    A rest that was planned longer than it must be (before the edge is pressed, before it is cut) gives way to supper:
    so it is without a way, and so it stays when one is taken.
    """
    way = state.way
    step = chain[i]
    if way is None:
        return step.start + state.supper - plan.supper
    press, load = press_index(chain), load_index(chain)
    by_press = step.start + way.press_at - chain[press].start if press >= 0 and way.press_at != 0 else step.start
    by_load = step.start + way.load_at - chain[load].start if load >= 0 else step.start
    if step.kind == "serve":
        wished = step.start + state.wanted - plan.supper
        days = int((by_load - wished) / DAY_S) if by_load > wished else 0  # at the same hour of another day
        return soonest(by_load, wished + days * DAY_S)
    if step.kind == "relax" and way.press_at != 0:
        return soonest(by_press, by_load)
    if i > press and load >= 0:
        return soonest(by_load, way.load_at - (step.end - step.start)) if i < load else by_load
    return by_press if i == press or (i == press - 1 and step.kind in ("temper", "warm-out")) else step.start


def chosen(state: State, step: PlanStep) -> bool:
    """Is this step's time what a way was taken for?"""
    return state.way is not None and step.mark is not None


def oven_first(plan: Plan, state: State, chain: list[PlanStep], i: int) -> bool:
    """Is this the topping of a load that waits for an oven that nobody has lit? Then it is not begun."""
    for step in chain[i + 1 :]:
        if chain[i].kind == "top" and step.kind == "load" and step.load == chain[i].load:
            lit = [side.step_id for side in plan.steps if heats(state, side, step)]
            return len([one for one in lit if said_at(state.done, one) + said_at(state.begun, one) == 0]) > 0
    return False


def heats(state: State, side: PlanStep, step: PlanStep) -> bool:
    """Is that the lighting of the oven for this step?"""
    return not side.chain and side.kind == "preheat" and anchor_of(state, side) == step.step_id


def lit_at(state: State, now: int, side: PlanStep, start: int) -> int:
    """When the oven was lit, or is for a loading at `start`; at the earliest now once that is over."""
    lasts = side.end - side.start
    begun = said_at(state.begun, side.step_id)
    done = said_at(state.done, side.step_id)
    if begun != 0:
        return begun
    if done != 0:
        return done - lasts
    return not_over(latest(start + side.offset_s, state.later), now, lasts)


def pull(state: State, chain: list[PlanStep], timed: list[Timed], floors: list[int]) -> bool:
    """Put off open steps that would otherwise be too long before the next one; True when any was.

    What is done in front of the oven follows the loading, so it puts nothing off.
    """
    pulled = False
    starts = [one.start for one in timed]
    for back in range(len(chain) - 1):
        i = len(chain) - 2 - back
        most = 0 if loading_of(chain, i + 1) >= 0 or follows_index(chain, i + 1) != i else chain[i + 1].wait_most_s
        start = starts[i + 1] - most - (chain[i].end - chain[i].start)
        free = timed[i].status == "open" and said_at(state.begun, chain[i].step_id) == 0
        if free and most > 0 and start > starts[i]:
            starts[i] = start
            floors[i] = start
            pulled = True
    return pulled
