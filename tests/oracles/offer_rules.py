"""What every offer must keep to, read off its own steps: whose hands, which waits, the oven, the dough."""

from __future__ import annotations

import math
from itertools import pairwise

from tests.oracles.plain_day import awake_at_home
from webapp.core.planner.offer import Offer, TimedStep, Wanted
from webapp.core.rise.fermentation import Leg, along
from webapp.core.rise.response import response_seconds


def keeps_the_rules(wanted: Wanted, offer: Offer) -> None:
    """Assert all of them."""
    hands_are_free(wanted, offer)
    waits_are_in_range(offer)
    oven_is_never_alone(wanted, offer)
    supper_is_on_time(wanted, offer)
    dough_is_ready(wanted, offer)
    dough_keeps(wanted, offer)
    assert offer.score == sum(c.points for c in offer.costs)
    assert all(c.points > 0 for c in offer.costs)
    assert len({s.step_id for s in offer.steps}) == len(offer.steps)
    assert [s.start for s in offer.steps] == sorted(s.start for s in offer.steps)


STOPS = ("turn-down", "check", "turn")  # for these topping is put down for a minute


def within(stop: TimedStep, top: TimedStep) -> bool:
    """Does the tray in the oven ask for a minute while the next one is topped?"""
    return stop.kind in STOPS and top.start <= stop.start and stop.end <= top.end


def hands_are_free(wanted: Wanted, offer: Offer) -> None:
    """Somebody free does every hands-on step, and the cook is never in two places."""
    work = sorted((s for s in offer.steps if s.kind not in ("preheat", "serve")), key=lambda s: s.start)
    stops = [s for s in work if s.kind in STOPS]
    for one, other in pairwise([s for s in work if not any(within(s, top) for top in work if top.kind == "top")]):
        assert one.end <= other.start, f"{one.step_id} runs into {other.step_id}"
    for top in (s for s in work if s.kind == "top"):
        put_down = sum(s.end - s.start for s in stops if within(s, top))
        assert top.end - top.start == wanted.top_min * 60 + put_down, "the minutes at the oven come on top"
        assert top.load > 1 or not put_down
    for step in (s for s in work if s.presence == "hands"):
        names = [p.name for p in wanted.day.people if any(f.start <= step.start and step.end <= f.end for f in p.free)]
        assert names, step
        assert step.person == names[0]
        assert step.start >= wanted.now


def waits_are_in_range(offer: Offer) -> None:
    """The gap before each chain step lies between its least and its most."""
    chain = sorted((s for s in offer.steps if s.chain), key=lambda s: (s.start, s.end))
    for before, step in pairwise(chain):
        gap = max(0, step.start - before.end)
        assert step.wait_least_s <= gap <= step.wait_most_s, step
        assert step.wait_least_s <= step.wait_best_s <= step.wait_most_s, step
    for side in (s for s in offer.steps if not s.chain):
        anchor = next(s for s in offer.steps if s.step_id == side.anchor)
        assert anchor.start + side.offset_s == side.start


def oven_is_never_alone(wanted: Wanted, offer: Offer) -> None:
    """From lighting until the last tray is out somebody is awake at home at every moment, free or busy."""
    lit = next(s.start for s in offer.steps if s.kind == "preheat")
    out = max(s.end for s in offer.steps if s.kind == "lift")
    for moment in range(lit, out, 60):
        assert any(awake_at_home(p, moment) for p in wanted.day.people), "the oven is on and nobody is there"
    assert all(out <= span.start or span.end <= lit for span in wanted.oven_taken), "another bake has the oven"
    first = min(s.start for s in offer.steps if s.kind == "load")
    assert first - lit == wanted.baking.preheat_min * 60


def supper_is_on_time(wanted: Wanted, offer: Offer) -> None:
    """The first slice five to fifteen minutes after the last lift, or the first as they come, not after supper."""
    lifts = sorted(s.end for s in offer.steps if s.kind == "lift")
    eaten = sorted(s.start for s in offer.steps if s.kind == "serve")
    out = lifts[0 if wanted.as_they_come else -1]
    assert eaten[0] == offer.ready_at
    assert [at - lift for at, lift in zip(eaten, lifts[-len(eaten) :], strict=True)] == [eaten[0] - out] * len(eaten)
    assert len(eaten) == (wanted.baking.loads if wanted.as_they_come else 1)
    earliest = wanted.supper - 600 if wanted.supper_from is None else wanted.supper_from
    assert earliest <= offer.ready_at <= wanted.supper
    assert 300 <= offer.ready_at - out <= 900


def dough_is_ready(wanted: Wanted, offer: Offer) -> None:
    """By the closed integral over the offer's own steps, the yeast makes it ready when it is pressed and loaded."""
    dough = wanted.dough
    assert dough.least_percent * 0.999 <= offer.instant_percent <= dough.most_percent * 1.001
    loads = max(1, wanted.baking.loads)
    for load in range(1, loads + 1):
        pressed, loaded = taken_up(wanted, offer, load if loads > 1 else 0)
        whole = dough.warm_seconds(offer.instant_percent)
        assert pressed / whole < dough.press.past / dough.press.best + 0.005
        if load == 1:
            assert abs(pressed / whole - offer.pressed) < 0.004
            share = (loaded - pressed) / pressed
            assert dough.proof_least - 0.01 < share < dough.proof_most + 0.01
        at_best = loaded / whole / (1.0 + dough.proof_best)
        assert abs(at_best - offer.loaded[load - 1]) < 0.006
        if loads == 1:
            assert abs(math.log(at_best)) < 0.05, "loaded at its best, by plan"


def dough_keeps(wanted: Wanted, offer: Offer) -> None:
    """No longer out of the fridge than 8 h at 28 C or 5 h at 32 C, and between and beyond on the straight line."""
    chain = [s for s in offer.steps if s.chain and s.end >= offer.mixed_at and s.kind not in ("fold", "rest")]
    loaded = max(s.start for s in chain if s.kind == "load")
    spent = 0.0
    for step, following in pairwise([s for s in chain if s.load in (0, max(x.load for x in chain))]):
        for minute in range(step.end, min(following.end, loaded), 60):
            rooms = [r.temp_c for r in wanted.day.room if r.start <= minute] or [wanted.day.room[0].temp_c]
            around = {"fridge": wanted.dough.fridge_c, "warm": wanted.dough.warm_c or 0.0}.get(step.place, rooms[-1])
            slope = (1 / 5 - 1 / 8) / (32 - 28)
            spent += max(0.0, 1 / 8 + slope * (around - 28)) / 60
    assert spent < 1.01


def taken_up(wanted: Wanted, offer: Offer, load: int) -> tuple[float, float]:
    """Warm seconds until pressing and until loading of one load, integrated leg by leg."""
    moves = [s for s in offer.steps if s.kind in ("mix", "chill", "warm", "temper", "press", "load")]
    path = [s for s in moves if s.load in (0, load)]
    at_press, heat, done = 0.0, offer.mixed_c, 0.0
    for step, following in pairwise(path):
        if step.kind == "press":
            at_press = done
            begun = path[path.index(step) - 1]
            more, _ = _stay(wanted, begun, step.start, step.end, _heat_at(wanted, offer, path, step.start))
            done += more
        until = following.start if following.kind in ("press", "load") else following.end
        more, heat = _stay(wanted, step, step.end, until, heat)
        done += more
        if following.kind == "press":
            _, heat = _stay(wanted, step, following.start, following.end, heat)
    return at_press, done


def _heat_at(wanted: Wanted, offer: Offer, path: list[TimedStep], instant: int) -> float:
    heat = offer.mixed_c
    for step, following in pairwise(path):
        until = min(instant, following.end)
        _, heat = _stay(wanted, step, step.end, until, heat)
        if following.end >= instant:
            break
    return heat


def _stay(wanted: Wanted, step: TimedStep, begin: int, end: int, heat: float) -> tuple[float, float]:
    """Warm seconds and temperature of the dough where `step` put it, from `begin` to `end`."""
    dough = wanted.dough
    tau = next(t for v, p, t in dough.tau_s if (v, p) == (step.vessel, step.place))
    if step.place != "bench":
        around = dough.fridge_c if step.place == "fridge" else dough.warm_c or 0.0
        return response_seconds(heat, Leg(around, end - begin, tau), end - begin), along(
            heat, [Leg(around, end - begin, tau)]
        )[1]
    room = wanted.day.room
    legs, at = [], begin
    while at < end:
        around = [r.temp_c for r in room if r.start <= at] or [room[0].temp_c]
        until = min([end, *(r.start for r in room if r.start > at)])
        legs.append(Leg(around[-1], until - at, tau))
        at = until
    return along(heat, legs)
