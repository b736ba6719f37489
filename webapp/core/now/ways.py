"""Ways from here: a few futures, each really re-timed, best first. Twin of static/js/now/ways.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages; change both or
neither. What one future is, is in `futures.py`; what makes one better than another, in `loss.py`.

There is no "not before": a young dough may always be baked. Kinds:
    as-planned  go on as things stand
    on-time     supper as wished, the dough as it is then
    later       riper, later
    sooner      loaded sooner
    warm        the warm spot, out again before the oven is lit when it is the oven
    cold-tray   pressed now, the tray cold until it is topped
    fridge      the bowl into the fridge now, for tonight or for tomorrow
    bench       on the bench from now on, out of the fridge or never put into it
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.kinds import ASIDE_PLACES, ProofPlace
from webapp.core.now.futures import DAY_S, given_up, tried, walked_through
from webapp.core.now.loss import NOBODY, put_off
from webapp.core.now.scene import (
    InTime,
    Scene,
    Tried,
    as_it_stands,
    free_now,
    out_of_the_cold,
    planned_press,
    scene_of,
    timed_by,
)
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import State
from webapp.core.plan.way import Choice, Way

NEAR_S = 5400  # pressing "now" is a way when it is due within so long
WORTH_S = 1800  # a bowl is not carried for less
FURTHEST_S = 5400  # ways for tonight put supper off by so much at most
EVENING_S = 21600  # from when it was wanted, or somebody is there, to when nobody bakes any more
TEMPER_S = 7200  # out of the fridge so long before pressing, the day after
SEEDS_S = (0, 900, -900, 1800, -1800)  # loadings to begin with: what may be done unasked, and what a supper gives
STEPS_S = (600, 300)  # from the best of them it is searched in such steps, ever finer
RIPER_S = 900  # "later" is searched in such steps
RIPE = 0.95  # of best: as good as best
MOST_WAYS = 5
SAME_PLATE = 0.1  # of loss, where both are called the same: nobody would taste it (this project's own judgement)
NO_BETTER = 0.02  # of loss: two doughs that nobody could tell apart
HARDLY_S = 900  # two ways of one kind whose suppers differ by less are one
MUCH = 1000.0  # more than any loss
PUT_OFF = 6  # steps of one way are put off so often, until somebody is there for all of them
BAD_LOSS = 0.4  # when tonight is no better than this, tomorrow is named too


def ways(plan: Plan, state: State, now: int) -> tuple[Way, ...]:
    """The ways from here, least loss first; () before mixing and once the first load is in the oven."""
    scene = scene_of(plan, state, now)
    if scene is None:
        return ()
    found = [tried(scene, "as-planned", as_it_stands(scene))]
    for choice in choices(scene):
        put_in_order(found, at_home(scene, best_load(scene, choice)))
        put_in_order(found, at_home(scene, replace(choice, load_at=scene.on_time)))
    least = found[0]
    for proof in ("", "warm") if has_warm(plan) and free_now(scene) else ("",):
        put_in_order(found, riper(scene, replace(as_it_stands(scene), proof=proof)))
    if least.way.loss > BAD_LOSS:
        for choice in out_of_the_cold(scene):
            put_in_order(found, riper(scene, choice))
            put_in_order(found, at_home(scene, choice))
        put_in_order(found, at_home(scene, tomorrow(scene)))
    return with_given_up(scene, those_that_differ(found))


def with_given_up(scene: Scene, found: tuple[Way, ...]) -> tuple[Way, ...]:
    """Each with what is given up by taking it; who goes on gives up again what they gave up before."""
    before = scene.state.way.given_up if scene.state.way is not None else 0.0
    out: list[Way] = []
    for way in found:
        more = way.loss - found[0].loss
        if way.kind == "as-planned":
            more = more + given_up(scene) if more > 0 else before
        out.append(replace(way, given_up=more))
    return tuple(out)


def has_warm(plan: Plan) -> bool:
    """Is there a warm spot? A plan of before does not say, and has one."""
    return plan.rise.has_warm


def choices(scene: Scene) -> list[Choice]:
    """Where the dough could go and when it could be pressed; the loading is still to be found.

    Who cannot do the next step yet may still be there to put the dough into the fridge: that is asked, never taken.
    """
    stay = as_it_stands(scene)
    out = [stay]
    free = free_now(scene)
    for spot in ASIDE_PLACES if has_warm(scene.plan) and free else ("fridge",):
        if scene.press < 0 or stay.press_at - scene.now >= WORTH_S:
            out.append(replace(stay, place=spot, proof=spot if spot == "warm" else stay.proof))
        elif spot == "warm":
            out.append(replace(stay, proof=spot))
        if free and scene.press >= 0 and stay.press_at - scene.now <= NEAR_S:
            out.append(replace(stay, press_at=scene.now, proof=spot))
    mixed_at = scene.plan.rise.mixed_at + scene.state.wanted - scene.plan.supper
    if free and scene.press >= 0 and mixed_at - scene.now >= TEMPER_S:
        # Mixed hours early: kept cold until the planned mixing, it rises as planned from then on.
        out.append(Choice("fridge", planned_press(scene), "", scene.on_time, mixed_at))
    if free and scene.here.place in ASIDE_PLACES:
        out.append(replace(stay, place="bench", proof=""))
    return [choice for choice in out if choice.place != scene.here.place]


def best_load(scene: Scene, choice: Choice) -> Choice:
    """The same choice with the loading of least loss, within reach of the wished supper: downhill, ever finer."""
    best = choice
    least = MUCH
    for by_s in SEEDS_S:
        other = replace(choice, load_at=scene.on_time + by_s)
        loss = loss_within(scene, other)
        if loss < least:
            best = other
            least = loss
    for step_s in STEPS_S:
        for by_s in (step_s, -step_s):
            moved = True
            while moved:
                other = replace(best, load_at=best.load_at + by_s)
                loss = loss_within(scene, other)
                moved = loss < least
                if moved:
                    best = other
                    least = loss
    return best


def loss_within(scene: Scene, choice: Choice) -> float:
    """Its loss; no choice at all when it is loaded in the past or too late for tonight."""
    if choice.load_at < scene.now or choice.load_at > scene.on_time + FURTHEST_S:
        return MUCH
    found = in_time(scene, choice)
    return walked_through(scene, None, found.one).way.loss if found.met else MUCH


def in_time(scene: Scene, choice: Choice) -> InTime:
    """The choice, timed, as far as somebody is there for it. No dough is walked for that."""
    one = timed_by(scene, choice, False)
    other = put_off(scene.plan, choice, one.got, one.timed, scene.now)
    for _ in range(PUT_OFF):
        if other is not None:
            one = timed_by(scene, other, False)
            other = put_off(scene.plan, other, one.got, one.timed, scene.now)
    return InTime(one, other is None)


def at_home(scene: Scene, choice: Choice) -> Tried:
    """The same, re-timed; a way only when somebody is there for it, in the evening."""
    found = in_time(scene, choice)
    one = walked_through(scene, None, found.one)
    return replace(one, met=found.met and in_the_evening(scene, one.way.load_at))


def in_the_evening(scene: Scene, load_at: int) -> bool:
    """Is it loaded this evening, or the next? What is put off past the night is no breakfast."""
    since = scene.on_time
    for at in (scene.now, scene.state.later):
        since = at if at > since else since
    return load_at <= since + EVENING_S or load_at >= scene.on_time + DAY_S - EVENING_S


def riper(scene: Scene, choice: Choice) -> Tried:
    """The same choice loaded when the dough is as good as at its best, or as late as anybody would wait for it."""
    load_at = scene.on_time
    found = at_home(scene, replace(choice, load_at=load_at))
    while found.way.ratio < RIPE and load_at < scene.on_time + FURTHEST_S:
        load_at += RIPER_S
        press_at = choice.press_at + load_at - scene.on_time if choice.place == "bench" else choice.press_at
        found = at_home(scene, replace(choice, press_at=press_at, load_at=load_at))
    return found


def tomorrow(scene: Scene) -> Choice:
    """The bowl or the tray into the fridge now, the rest for tomorrow's supper; what perishes is pressed cold."""
    stay = as_it_stands(scene)
    place: ProofPlace = "" if scene.here.place == "fridge" else "fridge"
    if stay.press_at == 0:
        return Choice(place, 0, "", scene.on_time + DAY_S)
    planned = planned_press(scene)
    press_at = (planned if planned < stay.press_at else stay.press_at) + DAY_S
    return Choice(place, press_at, "", scene.on_time + DAY_S, 0 if scene.plan.dough_perishes else press_at - TEMPER_S)


def put_in_order(found: list[Tried], one: Tried) -> None:
    """Into the list by loss, after its equals; a way that nobody is there for, or that ends in the bin, is none."""
    i = len(found)
    while i > 0 and one.way.loss < found[i - 1].way.loss:
        i -= 1
    found[i:i] = [one] if one.met and one.way.out_s == 0 else []


def those_that_differ(found: list[Tried]) -> tuple[Way, ...]:
    """The best, and of the others those that give something for what they cost: another plate, or the same one nearer
    to the wished supper. Going on as planned is always one, but where it ends in the bin: then only when nothing else
    is left; what gives no more than it does is none, but for the least loss."""
    kept: list[Tried] = []
    out: list[Way] = []
    going = [one for one in found if one.way.kind == "as-planned" and one.way.out_s == 0 and one.way.loss < NOBODY]
    for one in found:
        if one.way.out_s > 0 and len(found) > 1:
            continue
        gained = len(out) == 0 or not any(beaten(one, by) for by in going)
        timely = one.way.late_s == 0 and not any(way.late_s == 0 for way in out)
        room = len(out) < MOST_WAYS and not any(beaten(one, by) for by in kept)
        if one.way.kind == "as-planned" or (gained and (timely or room)):
            kept.append(one)
            out.append(one.way)
    return tuple(out)


def beaten(one: Tried, by: Tried) -> bool:
    """Would a person call these two the same, or does the other give as good a dough as near the wished supper?"""
    apart_s = one.way.supper - by.way.supper
    if one.way.kind == by.way.kind and -HARDLY_S < apart_s < HARDLY_S:
        return True
    same = one.way.result == by.way.result and -FURTHEST_S < apart_s < FURTHEST_S
    unseen = SAME_PLATE if same else NO_BETTER
    return by.off <= one.off + unseen and away_s(by.way.late_s) <= away_s(one.way.late_s)


def away_s(late_s: int) -> int:
    """How far from the wished supper, either way."""
    return late_s if late_s >= 0 else -late_s
