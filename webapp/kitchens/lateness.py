"""One lateness, as an instant: until when somebody may come home and supper still stands, on a dough still good."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Protocol

from webapp.core.kinds import MIXING_KINDS
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import ANOTHER, GRID_S, PlanStep
from webapp.kitchens.bakes import as_planned
from webapp.pictures.reading import waiting

MATTERS_S = 1800  # a step sooner than this after coming home is missed by coming home late
_OTHERS = 2  # names at a step: another than who comes home


class FromTo(Protocol):
    """A step's time, as planned or as it stands."""

    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...


def meeting(plan: Plan) -> PlanStep:
    """The step to be there for: the first one after coming home.

    Where nobody comes home to the dough, it is the one that ends the longest time that the dough is left to itself.
    """
    chain = [step for step in plan.steps if step.chain]
    away = _away(plan, chain)
    met = [step for step in chain if away is not None and step.start >= away.end]
    return met[0] if met else max(pairwise(chain), key=lambda pair: pair[1].start - pair[0].end)[1]


def comes_home(plan: Plan) -> int | None:
    """When the last hours away before supper end; None when there are none from now on, or a night lies between. Hands
    that are busy, with another dough too, are at home."""
    first = min(step.start for step in plan.steps if step.chain)
    nights = [one.end for one in plan.busy if one.kind == "asleep" and one.end <= first]
    since = max([plan.made_at, *nights])
    ends = [one.end for one in plan.busy if one.kind == "away" and since < one.end <= plan.supper]
    return max(ends, default=None)


def is_awaited(plan: Plan, step: PlanStep, home: int) -> bool:
    """Whether that step waits for who comes home at `home`: nobody else has been in for it."""
    nobody = plan.busy if plan.nobody is None else plan.nobody
    hinders = (one for one in nobody if step.presence == "hands" or one.kind != "busy")
    if ANOTHER in step.who:
        return False
    return len(step.who) < _OTHERS or any(one.start < home and one.end > home - MATTERS_S for one in hinders)


def _away(plan: Plan, chain: Sequence[PlanStep]) -> Busy | None:
    """The hours away that somebody comes home from; None when another is at the dough meanwhile."""
    home = comes_home(plan)
    away = next((one for one in plan.busy if one.end == home and one.kind == "away"), None)
    if away is None or any(away.start < step.start < away.end for step in chain):
        return None
    met = next((step for step in chain if step.start >= away.end), None)
    return away if met is None or is_awaited(plan, met, away.end) else None


def from_away(plan: Plan) -> bool:
    """Whether somebody comes home to that step, rather than being there all the time."""
    away, met = _away(plan, [step for step in plan.steps if step.chain]), meeting(plan)
    return away is not None and away.end <= met.start and ANOTHER not in met.who


def home_by(plan: Plan, stands: Retimed | None = None) -> int:
    """The latest instant to begin the step that is met on coming home, supper as wanted and the dough likely good.

    As planned, or as things stand. Waits between that step and the oven are cut to what the way of making it needs at
    least; a rise is not made any quicker by that. Never before the step's own start.
    """
    step = meeting(plan)
    now: Mapping[str, FromTo] = {one.step_id: one for one in (stands.steps if stands else plan.steps)}
    start = now[step.step_id].start
    if step.kind in MIXING_KINDS:
        return start
    good = step.start + plan.trade.slack_s + (_past(stands) - _past(_planned(plan)) if stands else 0)
    lit = (now[one.step_id].start for one in plan.steps if one.kind == "preheat")
    latest = min([good, start + _room_s(plan, step, now), *lit])
    return max(start, latest // GRID_S * GRID_S)


@lru_cache(maxsize=64)  # of a page that is looked at again and again
def _planned(plan: Plan) -> Retimed:
    return as_planned(plan).retimed


def _past(stands: Retimed) -> int:
    """When the dough, left as it is, is past its best for the tray."""
    return next((one.past_at for one in stands.steps if one.past_at), 0)


def _room_s(plan: Plan, step: PlanStep, now: Mapping[str, FromTo]) -> int:
    """Seconds by which waits from the end of `step` to the first loading can be cut down."""
    chain = [one for one in plan.steps if one.chain and one.start >= step.start]
    room = 0
    for before, after in pairwise(chain):
        room += max(0, now[after.step_id].start - now[before.step_id].end - after.wait_least_s)
        if after.kind == "load":
            break  # what the oven does takes as long as it takes
    return room


def comes_between(plan: Plan, stands: Retimed, latest: int) -> tuple[int, int] | None:
    """Between which instants somebody may come to the step that is met: from when the dough has likely risen for it, or
    from the step itself where that is sooner, to `latest`. None where no rise ends with that step."""
    now = next(one for one in stands.steps if one.step_id == meeting(plan).step_id)
    waits = waiting(plan, stands)
    if waits is None or waits.start < now.start or (waits.early_at > now.start and waits.step_id != now.step_id):
        return None
    since = min(waits.early_at, now.start)
    return (since, latest) if since < latest else None


def proofs(plan: Plan, stands: Retimed, latest: int) -> tuple[int, int] | None:
    """Seconds that the first tray proofs: begun as it stands, and begun at `latest`, where supper stays. None where
    something else than its proof is cut short too, or nothing is."""
    now, met = {one.step_id: one for one in stands.steps}, meeting(plan)
    chain = [one for one in plan.steps if one.chain and one.start >= met.start]
    press = next((i for i, one in enumerate(chain) if one.kind == "press"), len(chain))
    visit = chain[: press + 2]  # from what is met to what ends the proof
    if len(visit) < press + 2 or any(not step.chain or step.kind == "relax" for step in visit):
        return None
    waits = [now[after.step_id].start - now[before.step_id].end for before, after in pairwise(visit)]
    late = latest - now[met.step_id].start
    if late <= 0 or any(wait > after.wait_least_s for wait, after in zip(waits[:-1], visit[1:], strict=False)):
        return None
    cut = waits[-1] - late
    return (waits[-1], cut) if cut >= visit[-1].wait_least_s else None


def awaited(plan: Plan, stands: Retimed, now: int) -> int | None:
    """The same while somebody is still to come home to it; None once that is done, or over, or nobody was away, and
    where supper is late as it is."""
    step = meeting(plan)
    is_open = any(one.step_id == step.step_id and one.status == "open" for one in stands.steps)
    if not (is_open and from_away(plan)) or stands.eat_at > stands.supper:
        return None
    latest = home_by(plan, stands)
    return latest if now < latest else None
