"""New times for what is left, given what happened. Twin of static/js/now/retime.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. How the steps are
timed is in `chain.py`, how the dough rises in `walk.py`, ways out of trouble in `rescue.py`.
"""

from __future__ import annotations

from webapp.core.kinds import Status
from webapp.core.now.chain import (
    Sample,
    Timed,
    dough_of,
    latest,
    pull,
    said_at,
    walk_chain,
)
from webapp.core.now.walk import DAY_S, FORGOTTEN_S, LEAST_FACTOR, MOST_FACTOR, Dough
from webapp.core.plan import CurvePoint, Plan, PlanStep, Retimed, RetimedStep, State

CURVE_S = 900  # the chart gets a point each quarter of an hour


def retime(plan: Plan, state: State, now: int) -> Retimed:
    """Every step's time as things stand at `now`, and where the dough is."""
    chain = [step for step in plan.steps if step.chain]
    floors = [0 for _ in chain]
    walk = walk_chain(plan, state, now, chain, floors)
    if pull(state, chain, walk.timed, floors):
        walk = walk_chain(plan, state, now, chain, floors)
    timed = in_plan_order(plan, state, now, walk.timed)
    current = first_open(timed, "")
    here = sample_at(walk.samples, now)
    dough = dough_of(walk)
    ready_at = plan.ready_at if len(chain) == 0 else walk.timed[len(chain) - 1].start
    low, high = band(plan, dough, here)
    return Retimed(
        steps=tuple(step_out(plan, walk.samples, dough, one) for one in timed),
        current=current,
        next=first_open(timed, current),
        progress=here.base * dough.factor,
        progress_low=low,
        progress_high=high,
        dough_c=here.temp_c,
        place=here.place,
        factor=dough.factor,
        curve=curve(plan, walk.samples, dough),
        supper=state.supper,
        ready_at=ready_at,
        late_s=ready_at - state.supper if ready_at > state.supper else 0,
        outside=outside(plan, state, walk.samples, dough),
    )


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


def band(plan: Plan, dough: Dough, sample: Sample) -> tuple[float, float]:
    """Slow and quick edge of the progress. Up to a reading of the glass there is none, after it it is half as wide."""
    progress = sample.base * dough.factor
    if dough.read_at == 0:
        return progress * plan.rise.band_low, progress * plan.rise.band_high
    if sample.at <= dough.read_at:
        return progress, progress
    read = dough.read_base * dough.factor
    low = read + (progress - read) * (1 + plan.rise.band_low) / 2
    return low, read + (progress - read) * (1 + plan.rise.band_high) / 2


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
    for one in chain:
        if one.step.step_id == step.anchor:
            start = one.start + step.offset_s
            overtaken = one if step.offset_s <= 0 else chain[len(chain) - 1]
            status = "open" if overtaken.status == "open" else "passed"
    if status == "open":
        start = begun if begun != 0 else latest(start, latest(now, state.later))
    return Timed(step, start, start + lasts, status)


def first_open(timed: list[Timed], but: str) -> str:
    """The open step that comes first, leaving one out; "" when there is none."""
    out = ""
    start = 0
    for one in timed:
        if one.status == "open" and one.step.step_id != but and (out == "" or one.start < start):
            out = one.step.step_id
            start = one.start
    return out


def step_out(plan: Plan, samples: list[Sample], dough: Dough, one: Timed) -> RetimedStep:
    """The step with the dough's progress at its start."""
    sample = sample_at(samples, one.start)
    low, high = band(plan, dough, sample)
    return RetimedStep(
        step_id=one.step.step_id,
        start=one.start,
        end=one.end,
        status=one.status,
        moved_s=one.start - one.step.start,
        progress=sample.base * dough.factor,
        progress_low=low,
        progress_high=high,
        flag=one.flag,
        early_at=one.early_at,
        best_at=one.best_at,
        past_at=one.past_at,
    )


def curve(plan: Plan, samples: list[Sample], dough: Dough) -> tuple[CurvePoint, ...]:
    """The rise for the chart, until the dough goes into the oven."""
    out: list[CurvePoint] = []
    end = samples[0].at
    for sample in samples:
        if sample.place not in ("oven", "none"):
            end = sample.at
    at = samples[0].at
    while at < end:
        out.append(point(plan, dough, sample_at(samples, at)))
        at += CURVE_S if at - samples[0].at < FORGOTTEN_S else DAY_S
    out.append(point(plan, dough, sample_at(samples, end)))
    return tuple(out)


def point(plan: Plan, dough: Dough, sample: Sample) -> CurvePoint:
    """One point of it."""
    low, high = band(plan, dough, sample)
    return CurvePoint(sample.at, sample.base * dough.factor, low, high, sample.temp_c)


def outside(plan: Plan, state: State, samples: list[Sample], dough: Dough) -> tuple[str, ...]:
    """Where the answer leaves the range of the plan's numbers."""
    table = plan.rise.table
    last_c = table.first_c + table.step_c * (len(table.rates) - 1)
    out: list[str] = []
    if any(sample.temp_c < table.first_c for sample in samples):
        out.append("colder")
    if any(sample.temp_c > last_c for sample in samples):
        out.append("warmer")
    top = plan.rise.glass[len(plan.rise.glass) - 1].times if len(plan.rise.glass) > 0 else 0.0
    if any(glass.times > top for glass in state.glasses):
        out.append("glass")
    if dough.factor in (LEAST_FACTOR, MOST_FACTOR):
        out.append("factor")
    if dough.glass > 0 and dough.read_at == 0:
        out.append("soon")
    return tuple(out)
