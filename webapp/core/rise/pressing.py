"""A dough from the fridge when it is pressed: how cold it still is, and how long until it gives.

Under about 12 C gluten is stiff and springs back: such a dough is either left to warm to that in its bowl, or goes into
the oiled tray cold and is pressed in two goes with a rest between, until the thin layer has warmed to it (common
practice, the 12 C too). How long either takes follows from its mass and vessel by Newton's law of cooling, with the
shares of the gap that the plan carries for each vessel and place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from webapp.core.kinds import Place
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import Rise, room_at, share_of
from webapp.core.plan.steps import PlanStep

GIVES_C = 12.0
LEAST_REST_MIN = 10  # between two goes at a cold dough, however soon it is warm (common practice)
SECOND_GO_S = 600  # hands at the second go
REST_STEP_MIN = 5  # a rest is told on full five minutes
MINUTE_S = 60
LONGEST_MIN = 4 * 60  # nobody waits for longer, and in a cold kitchen it never comes


@dataclass(frozen=True)
class ColdDough:
    """A dough that is pressed before it gives. Minutes from pressing until it is at 12 C; 0 = not within four hours."""

    temp_c: float
    in_tray_min: int
    in_bowl_min: int


def cold_when_pressed(plan: Plan, press: PlanStep) -> ColdDough | None:
    """How cold the dough is at this pressing; None when it gives."""
    temp_c = temp_when(plan, press.start, press.load)
    return cold_at(plan, press, temp_c) if temp_c < GIVES_C else None


def cold_at(plan: Plan, press: PlanStep, temp_c: float) -> ColdDough:
    """What a dough that is so cold at this pressing takes to give."""
    room_c = room_at(plan.rise.room, press.start)
    before = _moves_until(plan, press.start, press.load)
    bowl = before[-1].vessel if before else "bowl"
    tray_min, bowl_min = (
        minutes_until(temp_c, room_c, share_of(plan.rise, vessel, "bench")) for vessel in ("tray", bowl)
    )
    return ColdDough(temp_c, tray_min, bowl_min)


def rest_min(cold: ColdDough) -> int:
    """Minutes of rest between the two goes at it, upward to five; the least where it never warms to give."""
    return max(LEAST_REST_MIN, -(-cold.in_tray_min // REST_STEP_MIN) * REST_STEP_MIN)


def tray_due(plan: Plan, press: PlanStep) -> int:
    """Instant at which the tray of this pressing is wanted again: to be topped, chilled or loaded."""
    after = (step for step in plan.steps if step.chain and step.start >= press.end and step.load in (0, press.load))
    return min(step.start for step in after if step.kind != "relax")


def _moves_until(plan: Plan, at: int, load: int) -> list[PlanStep]:
    """The steps that had the dough of this load in hand by then; the trays of other loads lie apart."""
    return [step for step in plan.steps if step.chain and step.end <= at and step.load in (0, load)]


def temp_when(plan: Plan, at: int, load: int = 0) -> float:
    """Temperature of the dough at that instant, C, as its steps move it, minute by minute; `load` of several."""
    moves = [step for step in _moves_until(plan, at, load) if step.end >= plan.rise.mixed_at]
    temp_c = plan.rise.dough_c
    ends = [*(step.end for step in moves[1:]), at]
    for step, end in zip(moves, ends, strict=True) if moves else ():
        share = share_of(plan.rise, step.vessel, step.place)
        for around_c, minutes in _surroundings(plan.rise, step.place, step.end, end):
            temp_c = _nearing(temp_c, around_c, share, minutes)
    return temp_c


def _nearing(temp_c: float, around_c: float, share: float, minutes: int) -> float:
    """The temperature after so many minutes in the same surroundings."""
    for _ in range(minutes):
        before, temp_c = temp_c, temp_c + (around_c - temp_c) * share
        if temp_c == before:  # as near as numbers can tell: it stays so
            break
    return temp_c


def _surroundings(rise: Rise, place: Place, start: int, end: int) -> Iterator[tuple[float, int]]:
    """What the dough stands in from `start` to `end`: C, and for how many minutes of those counted from `start` on."""
    steady = {"fridge": rise.fridge_c, "warm": rise.warm_c}.get(place)
    changes = [] if steady is not None else [span.start for span in rise.room if start < span.start < end]
    done = 0
    for until in (*changes, end):
        minutes = max(done, -(-(until - start) // MINUTE_S))  # a minute belongs to where it begins
        if minutes > done:
            yield room_at(rise.room, start + done * MINUTE_S) if steady is None else steady, minutes - done
        done = minutes


def minutes_until(temp_c: float, room_c: float, share: float) -> int:
    """Minutes until a dough of `temp_c` in surroundings of `around_c` gives; 0 when not within four hours."""
    for minute in range(1, LONGEST_MIN + 1):
        temp_c += (room_c - temp_c) * share
        if temp_c >= GIVES_C:
            return minute
    return 0
