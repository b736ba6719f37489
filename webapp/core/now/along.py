"""What goes along the timed chain: the steps beside it, and the dough. Twin of static/js/now/along.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages; change both or
neither. Times do not depend on the dough, so the chain is timed first (`chain.py`), and the dough walked once. A side
step keeps its distance from the chain step it is tied to, so side steps stay in the order of their times; the oven is
lit before topping begins, always.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core.kinds import Place, PlaceNow, Status
from webapp.core.now.chain import Timed
from webapp.core.now.marked import anchor_of, kept_out, latest, not_over, place_after, said_at
from webapp.core.now.walk import HORIZON_S, Dough, baked, go_along, mixed_dough, put, reach
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import State
from webapp.core.plan.steps import PlanStep


@dataclass(frozen=True)
class Sample:
    """Where the dough was at one instant; the progress is by the plan's own rates."""

    at: int
    base: float
    temp_c: float
    place: PlaceNow


@dataclass
class Walk:
    """The dough on its way along the chain."""

    now: int
    samples: list[Sample]
    waiting: list[Dough | None]  # of each chain step: the dough as its action begins, were it left there
    dough: Dough | None = None  # None until it is mixed
    here: Dough | None = None  # the dough at `now`; None when it is not mixed by then
    paths: list[list[Dough]] | None = None  # None: a sample at each minute or stride; else where steps begin and end


def walk_along(plan: Plan, state: State, now: int, timed: list[Timed], lit_at: int) -> Walk:
    """From mixing to the end of the chain."""
    chain = [one.step for one in timed]
    walk = Walk(now, [], [None for _ in timed])
    mixing = mixing_index(plan, chain)
    if mixing < 0:
        begin(walk, mixed_dough(plan, state, plan.rise.mixed_at, lit_at))
    for i in range(len(timed)):
        go_through(walk, state, timed, i)
        if i == mixing:
            dough = mixed_dough(plan, state, timed[i].end + plan.rise.mixed_at - chain[i].end, lit_at)
            put(dough, chain[i].place, chain[i].vessel)
            begin(walk, dough)
    if walk.here is None and walk.dough is not None and walk.dough.at <= now:
        walk.here = replace(walk.dough)
    return walk


def mixing_index(plan: Plan, chain: list[PlanStep]) -> int:
    """The last chain step that is over when the rise begins; -1 when there is none."""
    out = -1
    for i in range(len(chain)):
        if chain[i].end <= plan.rise.mixed_at:
            out = i
    return out


def begin(walk: Walk, dough: Dough) -> None:
    """The rise begins."""
    walk.dough = dough
    walk.samples.append(sample_of(dough))


def go_through(walk: Walk, state: State, timed: list[Timed], i: int) -> None:
    """To the end of chain step `i`, and the dough where the step puts it; pressed to the edge it stays where it is."""
    dough = walk.dough
    if dough is None:
        return
    advance(walk, dough, timed[i].start)
    walk.waiting[i] = replace(dough)
    advance(walk, dough, timed[i].end)
    step = timed[i].step
    stays = step.kind == "relax" or (timed[i].status == "passed" and kept_out(state, step))
    put(dough, dough.place if stays else place_of(state, timed[i]), step.vessel)
    walk.samples.append(sample_of(dough))


def place_of(state: State, timed: Timed) -> Place:
    """Where the step leaves the dough, as things stand."""
    return place_after(timed.step, state.way, None if timed.status == "open" else timed.end)


def advance(walk: Walk, dough: Dough, until: int) -> None:
    """Walk the dough to that instant, leaving a sample at each minute or stride; at `now` it is remembered."""
    while dough.at < until:
        if walk.here is None and dough.at == walk.now:
            walk.here = replace(dough)
        go_along(walk.paths, dough, walk.now if dough.at < walk.now < until else until)
        if walk.paths is None or dough.at >= until:
            walk.samples.append(sample_of(dough))


def sample_of(dough: Dough) -> Sample:
    """The dough at this instant."""
    return Sample(dough.at, dough.base, dough.temp_c, dough.place)


def sample_at(samples: list[Sample], at: int) -> Sample:
    """The dough at any instant, on a straight line between samples; nothing before mixing."""
    if at < samples[0].at:
        return Sample(at, 0.0, 0.0, "")
    low = 0
    high = len(samples) - 1
    if at >= samples[high].at:
        return samples[high]
    while high - low > 1:
        middle = int((low + high) / 2)
        if samples[middle].at <= at:
            low = middle
        else:
            high = middle
    a = samples[low]
    b = samples[high]
    part = (at - a.at) / (b.at - a.at)
    return Sample(at, a.base + (b.base - a.base) * part, a.temp_c + (b.temp_c - a.temp_c) * part, a.place)


def reached(walk: Walk, i: int, bases: list[float]) -> list[int]:
    """When the dough had so much progress by the plan's rates, or will have if left where step `i` finds it, for each.

    An instant of the dough from its mixing on, long ago too; 0 = not within two days of the step, or in the oven. The
    least stands first, so that the way is walked once for all: on a slow phone this is most of a first re-timing.
    """
    dough = walk.waiting[i]
    if dough is None or baked(dough):
        return [0 for _ in bases]
    out: list[int] = []
    probe = replace(dough)
    for base in bases:
        if dough.base < base:
            if base <= probe.base:  # reached in the same minutes as the one before: those are walked again
                probe = replace(dough)
            out.append(reach(probe, base, dough.at + HORIZON_S))
        else:
            out.append(crossed(walk.samples, base))
    return out


def crossed(samples: list[Sample], base: float) -> int:
    """The second in which the samples pass this progress; one of them does."""
    low = 0
    high = len(samples) - 1
    while high - low > 1:
        middle = int((low + high) / 2)
        if samples[middle].base < base:
            low = middle
        else:
            high = middle
    a = samples[low]
    b = samples[high]
    if b.base <= a.base or base <= a.base:
        return a.at
    return a.at + int((base - a.base) / (b.base - a.base) * (b.at - a.at))


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
    """A side step keeps its distance from its anchor, but cannot be done in the past or while the person is away.

    What goes on top has left its bowl by the time of topping, and the fridge as long before as was planned, ticked or
    not: however long the tray waits for its oven then.
    """
    lasts = step.end - step.start
    begun = said_at(state.begun, step.step_id)
    end = said_at(state.done, step.step_id)
    if end != 0:
        return Timed(step, begun if 0 < begun <= end else end - lasts, end, "done")
    start = step.start
    status: Status = "open"
    for i in range(len(chain)):
        if chain[i].step.step_id == anchor_of(state, step):
            start = beside(chain, i, step)
            overtaken = chain[i] if step.offset_s <= 0 else chain[len(chain) - 1]
            if step.offset_s <= 0 and step.kind != "preheat" and i > 0 and chain[i - 1].step.kind == "top":
                overtaken = chain[i - 1]
            status = "open" if overtaken.status == "open" else "passed"
            if overtaken.status != "open" and overtaken.step.kind == "top":
                start = overtaken.start + step.start - overtaken.step.start
    if status == "open":
        start = begun if begun != 0 else not_over(latest(start, state.later), now, lasts)
    return Timed(step, start, start + lasts, status)


def beside(chain: list[Timed], i: int, step: PlanStep) -> int:
    """So long before or after its anchor, number `i`; the oven never later than the topping before it."""
    start = chain[i].start + step.offset_s
    load = chain[i].step.load
    tops = [one for one in chain[:i] if one.step.kind == "top" and one.step.load == load and one.status == "open"]
    before = tops if step.kind == "preheat" else []
    return before[0].start if len(before) > 0 and before[0].start < start else start


def oven_lit_at(plan: Plan, timed: list[Timed]) -> int:
    """When the oven is lit, where the warm spot is that oven; 0 when it is not, or nothing is lit."""
    if not plan.rise.warm_is_oven:
        return 0
    for one in timed:
        if one.step.kind == "preheat" and one.status != "passed":
            return one.start
    return 0
