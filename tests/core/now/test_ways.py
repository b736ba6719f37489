"""Ways from here: each keeps its promise, the first is the least loss, and somebody always eats tonight.

The oracle of "least loss" is independent: SciPy integrates the dough, the loss is written out by hand from the table,
and every loading on the grid of five minutes is tried.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.stats import norm

from tests.core.now.saying import clock, constant_room, done, from_here, hour, look, said, steady_plan, step
from tests.made_up import made_up
from tests.samples import sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.loss import LOSSES, loss_of, off_best, off_press, off_supper
from webapp.core.now.retime import retime
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.rise import rate_at
from webapp.core.plan.way import Way

PLAN = constant_room(sample_plan(), 21.0)
MIXED = done("mix", 7.5)
SLOW = said("glass", 16.5, times=1.7)
QUICK = said("glass", 16.5, times=4.0)
WARM_COLD = {"warm": 28.0, "fridge": 5.0, "bench": 21.0}


def kinds(found: tuple[Way, ...]) -> list[str]:
    """Their kinds, in their order."""
    return [way.kind for way in found]


def taken(way: Way, at: int, asked: bool = True) -> Event:
    """The event that takes it."""
    return Event("f" * 32, "b" * 22, at, at, "phone-1", "way", event_data(way, asked))


def test_before_mixing_and_once_the_tray_is_in_the_oven_there_is_nothing_to_choose() -> None:
    assert from_here(PLAN, 7) == ()
    loaded = [MIXED, done("press", 16.9), done("top", 18.8), done("load", 18.95)]
    assert from_here(PLAN, 19, *loaded) == ()
    no_load = replace(PLAN, steps=tuple(one for one in PLAN.steps if one.kind != "load"))
    assert from_here(no_load, 12, MIXED) == ()
    unmarked = replace(PLAN, steps=tuple(replace(one, mark=None) for one in PLAN.steps))
    assert from_here(unmarked, 12, MIXED) == ()


def test_a_dough_as_planned_goes_on_as_planned() -> None:
    found = from_here(PLAN, 16.5, MIXED)
    assert (found[0].kind, found[0].late_s, found[0].asks) == ("as-planned", 0, False)
    assert (clock(found[0].press_at), clock(found[0].load_at)) == ("16:45", "18:55")


def test_going_on_and_eating_on_time_are_always_among_the_ways() -> None:
    for glass in (SLOW, QUICK, said("glass", 16.5, times=1.3)):
        found = from_here(PLAN, 16.6, MIXED, glass)
        assert "as-planned" in kinds(found)
        assert any(way.late_s == 0 for way in found)
        assert len(found) <= 6


@pytest.mark.parametrize("now", [18.5, 18.9, 19.2, 20.0])
def test_no_way_loads_a_tray_in_the_past(now: float) -> None:
    for times in (1.2, 4.0):
        found = from_here(PLAN, now, MIXED, done("press", 16.9), said("glass", 16.5, times=times))
        assert found
        assert all(way.load_at >= hour(now) for way in found)


def test_a_quick_dough_is_pressed_at_once_and_its_tray_kept_cold() -> None:
    way = from_here(PLAN, 16.6, MIXED, QUICK)[0]
    assert (way.kind, way.proof, clock(way.press_at)) == ("cold-tray", "fridge", "16:36")
    plain = next(one for one in from_here(PLAN, 16.6, MIXED, QUICK) if one.kind == "as-planned")
    assert 1.0 < way.ratio < plain.ratio
    assert [(clock(move.at), move.place) for move in way.moves] == [("16:46", "fridge")]


def test_a_slow_dough_goes_to_the_warm_spot_and_out_before_the_oven_is_lit() -> None:
    found = from_here(PLAN, 16.6, MIXED, SLOW)
    warm = next(one for one in found if one.kind == "warm")
    plain = next(one for one in found if one.kind == "as-planned")
    assert warm.ratio > plain.ratio
    out = warm.moves[-1]
    lit_at = warm.load_at - 45 * 60
    assert (out.place, out.at) == ("bench", lit_at)
    elsewhere = replace(PLAN, rise=replace(PLAN.rise, warm_is_oven=False))
    stays = next(one for one in from_here(elsewhere, 16.6, MIXED, SLOW) if one.kind == "warm")
    assert [move.place for move in stays.moves] == ["warm"]


def test_a_kitchen_without_a_warm_spot_is_not_sent_there() -> None:
    cold = replace(PLAN, rise=replace(PLAN.rise, has_warm=False))
    assert "warm" not in kinds(from_here(cold, 16.6, MIXED, SLOW))
    pressed = [MIXED, SLOW, done("press", 16.9)]
    assert "warm" not in kinds(from_here(cold, 17.2, *pressed))


def test_who_comes_later_is_asked_whether_the_fridge_can_be_reached_and_told_of_nothing_else() -> None:
    away = said("later", 16.5, until=hour(20.5))
    found = from_here(PLAN, 16.6, MIXED, QUICK, away)
    assert {move.place for way in found for move in way.moves} == {"fridge"}
    fridge = next(way for way in found if way.kind == "fridge")
    plain = next(way for way in found if way.kind == "as-planned")
    assert (fridge.asks, fridge.ratio < plain.ratio) == (True, True)


def test_a_pressed_tray_can_go_to_the_warm_spot_or_into_the_fridge() -> None:
    pressed = [MIXED, done("press", 16.9)]
    warm = from_here(PLAN, 17, *pressed, said("glass", 16.7, times=1.7))
    assert (warm[0].kind, warm[0].place, warm[0].press_at) == ("warm", "warm", 0)
    cold = from_here(PLAN, 17, *pressed, said("glass", 16.7, times=4.0))[0]
    assert (cold.kind, cold.place) == ("cold-tray", "fridge")
    back = from_here(PLAN, 17.5, *pressed, said("glass", 16.7, times=1.7), taken(cold, hour(17)))
    assert any(way.place == "bench" or way.place == "warm" for way in back), "out of the fridge again"


def test_a_bowl_long_before_pressing_can_be_moved_now() -> None:
    quick = from_here(PLAN, 12, MIXED, said("glass", 11.9, times=2.6))
    assert quick[0].kind == "fridge"
    assert quick[0].moves[0].place == "fridge"
    slow = from_here(PLAN, 12, MIXED, said("glass", 11.9, times=1.15))
    assert next(way for way in slow if way.kind == "warm").moves[0].place == "warm"


def test_supper_is_put_off_on_full_five_minutes_and_only_so_far() -> None:
    found = from_here(PLAN, 16.6, MIXED, said("glass", 16.5, times=1.4))
    later = [way for way in found if 0 < way.late_s < 86400]
    assert later
    assert all(way.supper % 300 == 0 and way.late_s <= 5400 for way in later)


def test_when_tonight_is_bad_tomorrow_is_named_and_tonight_still_comes_first() -> None:
    found = from_here(PLAN, 16.6, MIXED, said("glass", 16.5, times=1.2))
    morrow = [way for way in found if way.late_s > 80000]
    assert [(way.kind, way.moves[0].place, way.moves[1].place) for way in morrow] == [("fridge", "fridge", "bench")]
    assert found[0].late_s <= 1800
    pressed = [MIXED, said("glass", 16.5, times=1.2), done("press", 16.9)]
    tray = [way for way in from_here(PLAN, 17, *pressed) if way.late_s > 80000]
    assert [(way.kind, way.press_at) for way in tray] == [("fridge", 0)]
    cold = [way for way in from_here(PLAN, 18, *pressed, said("moved", 17, place="fridge")) if way.late_s > 80000]
    assert all(way.carried == () for way in cold), "it is in the fridge already"


def test_a_way_taken_unasked_moves_supper_by_a_quarter_of_an_hour_at_most_however_often() -> None:
    """Asked is against what the person agreed to, so quarters of an hour do not add up."""
    way = replace(from_here(PLAN, 16.6, MIXED, SLOW)[0], supper=PLAN.supper + 900, load_at=hour(19.17))
    again = from_here(PLAN, 16.7, MIXED, SLOW, taken(way, hour(16.6), asked=False))
    assert all(one.asks == (abs(one.supper - PLAN.supper) > 900) for one in again)
    agreed = from_here(PLAN, 16.7, MIXED, SLOW, taken(way, hour(16.6), asked=True))
    assert all(one.asks == (abs(one.supper - PLAN.supper - 900) > 900) for one in agreed)
    assert all(one.late_s == one.supper - PLAN.supper for one in agreed), "late against what was wished for"


def test_results_are_named_by_how_far_from_best() -> None:
    names = {}
    for times in (1.1, 1.6, 1.9, 2.3, 2.5, 3.0, 3.5, 4.0):
        for way in from_here(PLAN, 16.6, MIXED, said("glass", 16.5, times=times)):
            names.setdefault(way.result, []).append(way.ratio)
    bounds = {
        "young": (0, 0.7),
        "bit-young": (0.7, 0.85),
        "best": (0.85, 1.2),
        "bit-past": (1.2, 1.4),
        "past": (1.4, 9),
    }
    assert set(names) == set(bounds)
    for name, ratios in names.items():
        assert bounds[name][0] <= min(ratios) <= max(ratios) <= bounds[name][1]


@pytest.mark.many_cases
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 1))
def test_a_way_keeps_its_promise_once_it_is_taken(n: int, which: int) -> None:
    """Re-timing after the event says what the way said: press, load, supper, progress."""
    plan, events, now = made_up(n)
    events = [event for event in events if event.logged_at <= now]
    found = ways(plan, fold(plan, events), now)
    chain = [
        pair for pair in zip(plan.steps, retime(plan, fold(plan, events), now).steps, strict=True) if pair[0].chain
    ]
    if any(a[i].start > b[i].start for a, b in itertools.pairwise(chain) for i in (0, 1)):
        return  # a step planned, or begun, before the one before it: no day that anybody had
    others = [way for way in found if way.kind != "as-planned"]  # to go on as planned is no event
    if len(others) <= which:
        return
    way = others[which]
    then = [*events, Event("e" * 32, plan.bake_id, now, now, "p", "way", event_data(way, True))]
    here = retime(plan, fold(plan, then), now)
    steps = {one.step_id: one for one in here.steps}
    load = next(one for one in plan.steps if one.kind == "load")
    assert here.ready_at == way.ready_at
    assert steps[load.step_id].start == way.load_at
    assert steps[load.step_id].progress == pytest.approx(way.progress, rel=1e-4)
    assert (here.supper, here.way) == (way.supper, way.kind)


@pytest.mark.many_cases
@settings(max_examples=40, deadline=None)
@given(st.floats(1.05, 4.0), st.floats(15.5, 17.0), st.floats(17, 27))
def test_nobody_is_told_to_eat_much_later_when_supper_on_time_is_possible(times: float, h: float, c: float) -> None:
    plan = constant_room(sample_plan(), c)
    found = from_here(plan, h + 0.1, MIXED, said("glass", h, times=times))
    assert -1800 <= found[0].late_s <= 1800
    assert found[0].loss == min(way.loss for way in found)


def test_the_table_of_loss_by_hand() -> None:
    """Twice best is 1.3 ln 2; half of it ln 2; 40 minutes late 30 x 0.0005 + 10 x 0.03; 40 sooner 0.015 + 10 x 0.02."""
    assert off_best(2.0, 1.0, 0.0) == pytest.approx(1.3 * math.log(2))
    assert off_best(0.5, 1.0, 0.0) == pytest.approx(math.log(2))
    assert off_press(2.0, 1.0) == pytest.approx(0.1 * math.log(2)) == pytest.approx(off_press(0.5, 1.0))
    assert (off_supper(2400), off_supper(-2400)) == (pytest.approx(0.315), pytest.approx(0.215))
    assert (off_supper(600), off_supper(-600), off_supper(0)) == (pytest.approx(0.005), pytest.approx(0.005), 0.0)
    assert off_best(0.0, 1.0, 0.1) == off_press(0.0, 1.0) == 9.0, "a dough that stands still is as bad as can be"
    assert [loss_of(row.key) for row in LOSSES] == [row.loss for row in LOSSES]


@given(st.floats(-1, 1), st.floats(0.01, 0.5))
def test_the_loss_of_a_dough_that_is_not_known_is_its_mean_over_what_may_be(mean: float, sd: float) -> None:
    """Against SciPy's expectation of the two straight lines under the normal, within a tenth."""
    exact = norm.expect(lambda x: 1.3 * x if x > 0 else -x, loc=mean, scale=sd)
    assert off_best(math.exp(mean), 1.0, sd) == pytest.approx(exact, rel=0.12)


# --- the oracle ------------------------------------------------------------------------------------------------

PRESS_S, TOP_S, LEAST_PROOF_S, LIT_S = 600, 480, 2700, 2700  # of the sample plan


def stands(press_at: int, proof: str, load_at: int, at: int) -> Iterator[tuple[int, str, str]]:
    """(until, place, vessel) of the dough from `at` on."""
    yield press_at + PRESS_S, "bench", "bowl"
    out = load_at - LIT_S if proof == "warm" else load_at - 600 + TOP_S if proof == "fridge" else load_at
    yield max(out, press_at + PRESS_S), proof, "tray"
    yield load_at, "bench", "tray"


def progress_by_scipy(plan: Plan, start: tuple[int, float, float], legs: Iterator[tuple[int, str, str]]) -> list[float]:
    """Progress by the plan's rates at the end of each leg, from (instant, temperature, progress) on."""
    at, temp_c, base = start
    out = []
    for until, place, vessel in legs:
        if until > at:
            share = next(one.share for one in plan.rise.shares if (one.place, one.vessel) == (place, vessel))
            tau = -60 / math.log(1 - share)

            def slope(_t: float, y: list[float], place: str = place, tau: float = tau) -> list[float]:
                return [(WARM_COLD[place] - y[0]) / tau, rate_at(plan.rise.table, y[0])]

            end = solve_ivp(slope, (at, until), [temp_c, base], rtol=1e-7, max_step=300).y[:, -1]
            at, temp_c, base = until, float(end[0]), float(end[1])
        out.append(base)
    return out


def loss_by_hand(plan: Plan, here: Retimed, pressed: float, loaded: float, late_s: float, changes: float) -> float:
    """The table, written out."""
    marks = {one.step_id: one.mark for one in plan.steps}
    assert marks["press"] is not None
    assert marks["load"] is not None
    off = math.log(loaded * here.factor / marks["load"].best)
    young_or_past = 1.15 * math.hypot(off, math.sqrt(2 / math.pi) * here.ln_sd) + 0.15 * off
    press = abs(math.log(pressed * here.factor / marks["press"].best))
    minutes = abs(late_s) / 60
    supper = minutes * 0.0005 if minutes <= 30 else 0.015 + (minutes - 30) * (0.03 if late_s > 0 else 0.02)
    return young_or_past + 0.1 * press + supper + changes


@pytest.mark.many_cases
@pytest.mark.parametrize("times", [1.3, 1.7, 2.1, 2.6, 3.2, 4.0])
def test_the_first_way_is_the_least_loss_on_the_grid(times: float) -> None:
    now = hour(16.6)
    events = [MIXED, said("glass", 16.5, times=times)]
    here = look(PLAN, 16.6, *events)
    start = (now, here.dough_c, here.progress / here.factor)
    least = math.inf
    for (press_at, proof), by in itertools.product(
        [(hour(16.75), ""), (hour(16.75), "warm"), (now, "warm"), (now, "fridge")], range(-12, 19)
    ):
        load_at = hour(18.9166666) + by * 300
        if load_at < press_at + PRESS_S + LEAST_PROOF_S + 600:
            continue
        pressed, *_ = progress_by_scipy(PLAN, start, iter([(press_at, "bench", "bowl")]))
        loaded = progress_by_scipy(PLAN, start, stands(press_at, proof or "bench", load_at, now))[-1]
        # Out of the oven at 19:17 it rests 13 minutes as planned, and 5 at the least: 8 minutes later costs no supper.
        ready_s = by * 300 - min(max(by * 300, 0), 480)
        late_s = 0 if -300 < ready_s < 300 else math.ceil(ready_s / 300) * 300
        changes = (
            0.0 if proof == "" and by == 0 else 0.02 + (0.015 if proof else 0) + (0.004 if abs(late_s) > 900 else 0)
        )
        least = min(least, loss_by_hand(PLAN, here, pressed, loaded, late_s, changes))
    found = ways(PLAN, fold(PLAN, events), now)[0]
    assert found.loss == pytest.approx(least, abs=0.004)


def test_a_plan_that_is_pressed_at_any_rise_can_be_loaded_well_all_the_same() -> None:
    """A method of one's own may have no mark at pressing: then only the loading counts."""
    plan = replace(PLAN, steps=tuple(replace(one, mark=None) if one.kind == "press" else one for one in PLAN.steps))
    found = from_here(plan, 17, MIXED, done("press", 16.9))
    assert (found[0].press_at, found[0].kind) == (0, "as-planned")


def test_after_a_way_the_times_are_its_own_and_what_it_asks_for_is_told() -> None:
    way = next(one for one in from_here(PLAN, 16.6, MIXED, SLOW) if one.kind == "warm")
    here = look(PLAN, 16.7, MIXED, SLOW, taken(way, hour(16.6)))
    assert (step(here, "press").start, step(here, "load").start) == (way.press_at, way.load_at)
    assert [(move.at, move.place) for move in here.moves] == [(move.at, move.place) for move in way.moves]
    assert (look(PLAN, 16.7, MIXED, SLOW).moves, look(PLAN, 16.7, MIXED, SLOW).way) == ((), "")


def test_a_supper_moved_by_hand_ends_the_way() -> None:
    way = from_here(PLAN, 16.6, MIXED, QUICK)[0]
    here = look(PLAN, 16.8, MIXED, QUICK, taken(way, hour(16.6)), said("supper", 16.7, instant=hour(20.5)))
    assert (here.way, here.supper, clock(step(here, "load").start)) == ("", hour(20.5), "19:55")


def test_a_steady_dough_that_never_moves_has_ways_too() -> None:
    found = from_here(steady_plan(0.0), 16.6, MIXED)
    assert found[0].kind == "as-planned"
    assert found[0].ratio == 0.0
