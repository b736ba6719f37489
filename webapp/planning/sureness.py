"""The dough's path from the end of mixing to pressing out: how sure a wait is, what a warmer kitchen changes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from webapp.core.plan.rise import RoomSpan, room_at
from webapp.core.planner.offer import Offer
from webapp.core.rise import fermentation
from webapp.core.rise.pace import N
from webapp.planning.mixing import dough

WARMER_C = 2.0
TOO_LITTLE_TO_TELL_S = 300


def stretches(room: Sequence[RoomSpan], start: int, end: int) -> tuple[tuple[int, int, float], ...]:
    """(start, end, temperature) of the kitchen between two instants, by parts of the day."""
    cuts = sorted({start, end, *(span.start for span in room if start < span.start < end)})
    return tuple((a, b, room_at(room, a)) for a, b in pairwise(cuts))


def legs_of(
    batch: dough.Batch, offer: Offer, room: Sequence[RoomSpan], warmer_c: float = 0.0, until: int | None = None
) -> tuple[fermentation.Leg, ...]:
    """One leg for every place and part of the day from the end of mixing to pressing out, or to the instant `until`."""
    taus: dict[tuple[str, str], float] = {(vessel, place): tau for vessel, place, tau in dough.time_constants(batch)}
    places = {"fridge": batch.kitchen.fridge_c, "warm": batch.kitchen.warm_c}
    press = next(step for step in offer.steps if step.mark == "press")
    last = press.start if until is None else until
    movers = [step for step in offer.steps if step.chain and offer.mixed_at <= step.end <= last]
    ends = [*(after.end for after in movers[1:]), last]
    legs = []
    for step, ends_at in zip(movers, ends, strict=True):
        for start, end, temp_c in stretches(room, max(step.end, offer.mixed_at), ends_at):
            ambient = places.get(step.place, temp_c + warmer_c)
            legs.append(fermentation.Leg(ambient, float(end - start), taus[step.vessel, step.place]))
    return tuple(legs)


def if_warmer(batch: dough.Batch, offer: Offer, room: Sequence[RoomSpan]) -> tuple[int, int] | None:
    """Seconds by which the dough is sooner when the kitchen is 2 C warmer, and later when cooler; None when tiny."""
    pace, best = fermentation.pace_per_s(batch.make), batch.marks[0].best
    whole = math.fsum(leg.seconds or 0.0 for leg in legs_of(batch, offer, room))

    def best_after_s(warmer: float) -> float:
        done, _ = fermentation.along(offer.mixed_c, legs_of(batch, offer, room, warmer))
        return whole * best / (pace * done)

    planned = best_after_s(0.0)  # seldom when it is pressed: the yeast is chosen with the ways from there in mind
    shifts = [abs(planned - best_after_s(warmer)) for warmer in (WARMER_C, -WARMER_C)]
    return (round(shifts[0]), round(shifts[1])) if min(shifts) >= TOO_LITTLE_TO_TELL_S else None


def sure_slack_s(batch: dough.Batch, offer: Offer, room: Sequence[RoomSpan], quick: float) -> int:
    """How late the person may come even when this dough is as quick as the band's edge (`quick` times the rate).

    Seconds, never more than the most likely dough allows. The dough waits on where it stands before the step that
    ends the long wait; what comes between that step and pressing out stays as planned.
    """
    meet = next(step for step in offer.steps if step.step_id == offer.meet_step)
    if meet.start < offer.mixed_at:  # the preferment's wait: ripe when it is met, so its room shrinks in proportion
        return int(offer.slack_s * max(0.0, (dough.SPONGE_PAST / quick - 1.0) / (dough.SPONGE_PAST - 1.0)))
    before = legs_of(batch, offer, room, until=meet.start)
    done, _ = fermentation.along(offer.mixed_c, legs_of(batch, offer, room))
    _, dough_c = fermentation.along(offer.mixed_c, before)
    past = batch.marks[0].past / (fermentation.pace_per_s(batch.make) * quick)
    warmest = max(fermentation.response(dough_c), fermentation.response(before[-1].ambient_c))
    return min(offer.slack_s, max(0, int((past - done) / warmest))) if warmest > 0 else offer.slack_s


def forgiven_percent(batch: dough.Batch, offer: Offer) -> float:
    """How far the yeast may be off, too much or too little, with the likely dough still good whenever it is met.

    Percent; 0 where the long wait is a preferment's. The rise goes as the yeast to the power of N: with too little the
    dough must be past early when it is pressed as planned, with too much not past its best when somebody comes to it so
    late that they go straight from there to the oven; and in the oven it must lie between early and past too. What
    nobody knows of a kitchen is far more than this, and is not counted here.
    """
    press, load = batch.marks
    start = {step.mark: step.start for step in reversed(offer.steps)}  # of several loads the first
    met = next(step.start for step in offer.steps if step.step_id == offer.meet_step)
    if met < offer.mixed_at:
        return 0.0
    pressed = offer.pressed * press.best
    late = min(1.0, (start["load"] - met) / max(offer.slack_s, 1))  # of all the time until it is past
    slower = max(press.early / pressed, load.early / (min(offer.loaded) * load.best))
    quicker = min(press.past / (pressed + late * (press.past - pressed)), load.past / (max(offer.loaded) * load.best))
    little, much = 1.0 - math.pow(min(1.0, slower), 1.0 / N), math.pow(max(1.0, quicker), 1.0 / N) - 1.0
    return 100.0 * min(little, much)
