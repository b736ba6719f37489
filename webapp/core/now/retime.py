"""New times for what is left, given what happened. Twin of static/js/now/retime.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. How the steps are
timed is in `chain.py`, how the dough rises in `walk.py` and `along.py`, how quick it is in `estimate.py`, what else
could be done in `ways.py`.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import BAKED_PLACES, Flag, OutsideKind
from webapp.core.now.along import Sample, Walk, in_plan_order, oven_lit_at, reached, sample_at, walk_along
from webapp.core.now.chain import Timed, time_chain
from webapp.core.now.estimate import Estimate, band, estimate
from webapp.core.now.marked import chain_of, eat_at, ready_index, tray_in
from webapp.core.now.walk import DAY_S, FORGOTTEN_S
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import CurvePoint, Retimed, RetimedStep
from webapp.core.plan.state import Moved, State
from webapp.core.plan.steps import GRID_S, PlanStep

CURVE_S = 900  # the chart gets a point each quarter of an hour


@dataclass(frozen=True)
class Standing:
    """All that is worked out once for `retime` and `ways`."""

    chain: list[Timed]
    timed: list[Timed]  # side steps too, in plan order
    walk: Walk
    known: Estimate
    ready_at: int
    eat_at: int  # see `eat_at`
    agreed: str = ""  # what the person was told of the dough by the way that they took
    cold: Flag = ""  # the oven was lit and is to be off until it is lit again: at once, or with its tray out


def stand(plan: Plan, state: State, now: int) -> Standing:
    """The chain timed, the dough walked along it, and how quick it is."""
    chain = time_chain(plan, state, now)
    timed = in_plan_order(plan, state, now, chain)
    walk = walk_along(plan, state, now, chain, oven_lit_at(plan, timed))
    ready_at = plan.ready_at if len(chain) == 0 else chain[ready_index(chain_of(plan))].start
    agreed = state.way.result if state.way is not None else ""
    eat = eat_at(ready_at, state.supper)
    known = estimate(plan, state, walk.samples, now)
    off: Flag = "off-then" if tray_in(state, chain_of(plan)) else "off"
    return Standing(chain, timed, walk, known, ready_at, eat, agreed, off if state.cold_again else "")


def retime(plan: Plan, state: State, now: int) -> Retimed:
    """Every step's time as things stand at `now`, and where the dough is."""
    stands = stand(plan, state, now)
    known = stands.known
    current = first_open(stands.timed, "")
    here = sample_at(stands.walk.samples, now)
    low, high = band(plan, known, here.base)
    return Retimed(
        steps=steps_out(plan, stands),
        current=current,
        next=first_open(stands.timed, current),
        progress=here.base * known.factor,
        progress_low=low,
        progress_high=high,
        dough_c=here.temp_c,
        place=here.place,
        factor=known.factor,
        curve=curve(plan, known, stands.walk.samples),
        supper=state.supper,
        ready_at=stands.ready_at,
        late_s=stands.ready_at - state.supper if stands.ready_at > state.supper else 0,
        outside=outside(plan, state, stands),
        eat_at=stands.eat_at,
        ln_mean=known.mean,
        ln_sd=known.sd,
        moves=moves_to_come(plan, state, stands, now),
        way=state.way.kind if state.way is not None else "",
    )


def eaten_late(stands: Standing, one: Timed) -> int:
    """Seconds from when the last step could begin until we eat, where that is within five minutes: so much later it is
    shown, so that there is one time of supper on every page; 0 for any other step."""
    if one.status != "open" or one.step.kind != "serve":
        return 0
    late_s = stands.eat_at - one.start
    return late_s if -GRID_S < late_s < GRID_S else 0


def moves_to_come(plan: Plan, state: State, stands: Standing, now: int) -> tuple[Moved, ...]:
    """What the way that was taken has carried from now on: the dough, the tray once pressed, out of a lit oven."""
    if state.way is None:
        return ()
    out = [move for move in state.moves if move.at >= now]
    for one in stands.chain:
        tray = one.step.mark is not None and one.step.kind != "load"
        if tray and one.status == "open" and state.way.proof != "":
            out.append(Moved(one.end, state.way.proof))
    lit_at = oven_lit_at(plan, stands.timed)
    before = sample_at(stands.walk.samples, lit_at - 1)
    if lit_at > now and before.place == "warm":
        out.append(Moved(lit_at, "bench"))
    return tuple(out)


def first_open(timed: list[Timed], but: str) -> str:
    """The open step that comes first, leaving one out; "" when there is none."""
    out = ""
    start = 0
    for one in timed:
        if one.status == "open" and one.step.step_id != but and (out == "" or one.start < start):
            out = one.step.step_id
            start = one.start
    return out


def steps_out(plan: Plan, stands: Standing) -> tuple[RetimedStep, ...]:
    """Every step, in plan order."""
    out: list[RetimedStep] = []
    i = 0
    for one in stands.timed:
        out.append(step_out(plan, stands, one, i if one.step.chain else -1))
        if one.step.chain:
            i += 1
    return tuple(out)


def step_out(plan: Plan, stands: Standing, one: Timed, i: int) -> RetimedStep:
    """The step with the dough's progress at its start; `i` its number in the chain, -1 beside it."""
    there = sample_at(stands.walk.samples, one.start)
    base = there.base
    progress = base * stands.known.factor
    low, high = band(plan, stands.known, base)
    early_at, best_at, past_at = mark_times(stands, one, i)
    late_s = eaten_late(stands, one)
    return RetimedStep(
        step_id=one.step.step_id,
        start=one.start + late_s,
        end=one.end + late_s,
        status=one.status,
        moved_s=one.start - one.step.start,
        progress=progress,
        progress_low=low,
        progress_high=high,
        flag=flag_of(stands, one, i, progress, early_at),
        early_at=early_at,
        best_at=best_at,
        past_at=past_at,
        dough_c=there.temp_c,
    )


def mark_times(stands: Standing, one: Timed, i: int) -> tuple[int, int, int]:
    """When the estimated dough is early, best and past, from its mixing on; 0 = not within two days of the step."""
    mark = one.step.mark
    if mark is None or i < 0 or one.status != "open":
        return 0, 0, 0
    factor = stands.known.factor
    early_at, best_at, past_at = reached(stands.walk, i, [mark.early / factor, mark.best / factor, mark.past / factor])
    return early_at, best_at, past_at


def flag_of(stands: Standing, one: Timed, i: int, progress: float, early_at: int) -> Flag:
    """The one thing about this step's time that the person must know."""
    mark = one.step.mark
    if mark is not None and i >= 0 and one.status == "open" and stands.walk.waiting[i] is not None:
        if progress > mark.past and stands.agreed not in ("bit-past", "past"):
            return "past"
        if progress < mark.best:  # however long it has waited, it is not a dough that waits too long
            if progress >= mark.early or young_agreed(stands.agreed, one.step):
                return ""
            return "never" if early_at == 0 else "young"
    if stands.cold != "" and one.step.kind == "preheat" and one.start > stands.walk.now:
        return stands.cold
    return "long" if one.long else ""


def young_agreed(agreed: str, step: PlanStep) -> bool:
    """Was the person told that the dough is young then, and took it? Whoever took a way agreed to its pressing."""
    return agreed in ("young", "bit-young") or (agreed != "" and step.kind != "load")


def curve(plan: Plan, known: Estimate, samples: list[Sample]) -> tuple[CurvePoint, ...]:
    """The rise for the chart, until the dough goes into the oven."""
    out: list[CurvePoint] = []
    end = samples[0].at
    for sample in samples:
        if sample.place not in BAKED_PLACES:
            end = sample.at
    at = samples[0].at
    while at < end:
        out.append(point(plan, known, sample_at(samples, at)))
        at += CURVE_S if at - samples[0].at < FORGOTTEN_S else DAY_S
    out.append(point(plan, known, sample_at(samples, end)))
    return tuple(out)


def point(plan: Plan, known: Estimate, sample: Sample) -> CurvePoint:
    """One point of it."""
    low, high = band(plan, known, sample.base)
    return CurvePoint(sample.at, sample.base * known.factor, low, high, sample.temp_c)


def outside(plan: Plan, state: State, stands: Standing) -> tuple[OutsideKind, ...]:
    """Where the answer leaves the range of the plan's numbers, or what was seen is hard to believe."""
    table = plan.rise.table
    last_c = table.first_c + table.step_c * (len(table.rates) - 1)
    samples = stands.walk.samples
    out: list[OutsideKind] = []
    if any(sample.temp_c < table.first_c for sample in samples):
        out.append("colder")
    if any(sample.temp_c > last_c for sample in samples):
        out.append("warmer")
    top = plan.rise.glass[len(plan.rise.glass) - 1].times if len(plan.rise.glass) > 0 else 0.0
    if any(glass.times > top for glass in state.glasses):
        out.append("glass")
    if stands.known.soon:
        out.append("soon")
    if stands.known.again:
        out.append("again")
    return tuple(out)
