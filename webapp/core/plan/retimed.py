"""Every step's time as things stand now: see `retime` in core/now/retime.py."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import Flag, OutsideKind, PlaceNow, Status
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import Moved
from webapp.core.plan.steps import PlanStep


@dataclass(frozen=True)
class RetimedStep:
    """One step of the plan with its time as things stand now. Instants are 0 where there is none."""

    step_id: str
    start: int
    end: int
    status: Status
    moved_s: int  # start against the plan's start
    progress: float  # at `start`, most likely; 0 before mixing
    progress_low: float  # slow edge of the band
    progress_high: float  # quick edge of the band
    flag: Flag  # young: under early at its start; past: it will be past its best; never: it does not get there within
    #             two days; long: a longer wait than the method allows
    early_at: int  # steps with a mark: when the dough, left as it is, is early but usable
    best_at: int  # ... at its best
    past_at: int  # ... past its best
    dough_c: float = 0.0  # how warm the dough is at `start`; 0 before mixing


@dataclass(frozen=True)
class CurvePoint:
    """One point of the rise for the chart."""

    at: int
    progress: float
    low: float
    high: float
    dough_c: float


@dataclass(frozen=True)
class Retimed:
    """Every step's new time and where the dough stands."""

    steps: tuple[RetimedStep, ...]  # same order as plan.steps
    current: str  # step_id of the open step that comes first, "" when all is done
    next: str  # the one after it, "" when there is none
    progress: float  # now
    progress_low: float
    progress_high: float
    dough_c: float  # now
    place: PlaceNow  # where the dough is now
    factor: float  # how much quicker than planned this dough is taken to be: exp(ln_mean)
    curve: tuple[CurvePoint, ...]  # every 15 min from mixing to loading
    supper: int  # when supper is wanted
    ready_at: int  # when it will be ready
    late_s: int  # ready_at - supper when that is late, else 0
    outside: tuple[OutsideKind, ...]
    eat_at: int  # the supper to show: the wanted one while it holds to 5 min, else ready_at on the next 5 min
    ln_mean: float  # estimate of ln(this dough's rate / the plan's)
    ln_sd: float  # and how sure it is
    moves: tuple[Moved, ...]  # what the way that was taken asks for from `now` on
    way: str  # kind of the way that was taken (a `WayKind`, or one of a newer phone), "" = none


def step_now(retimed: Retimed, step: PlanStep) -> RetimedStep:
    """The step as it now stands, told by its id. KeyError where it has no time."""
    for one in retimed.steps:
        if one.step_id == step.step_id:
            return one
    raise KeyError(step.step_id)


def timed_steps(plan: Plan, retimed: Retimed) -> list[tuple[PlanStep, RetimedStep]]:
    """Each step of the plan as it now stands. KeyError where one has no time."""
    return [(step, step_now(retimed, step)) for step in plan.steps]
