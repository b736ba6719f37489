"""The walk of the dough against Newton's law of cooling, against SciPy's integrator, and against counting by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from tests.core.now.saying import constant_room, done, hour, said, steady_plan
from tests.samples import sample_plan
from webapp.core.now.along import reached
from webapp.core.now.estimate import glass_progress
from webapp.core.now.journal import fold
from webapp.core.now.retime import stand
from webapp.core.now.walk import Dough, go_along, go_on, mixed_dough, put, reach
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import GlassMark, RateTable, RoomSpan, Share, rate_at, room_at, room_path

TAU_BOWL_BENCH = 7200.0  # of the sample plan
TAU_BOWL_FRIDGE = 6300.0


def dough_of(plan: Plan, *events: Event) -> Dough:
    """The dough of the sample day, mixed at 07:30."""
    return mixed_dough(plan, fold(plan, events), hour(7.5), 0)


def walk(dough: Dough, h: float) -> Dough:
    """On to that hour."""
    while dough.at < hour(h):
        go_on(dough, hour(h))
    return dough


def test_the_dough_cools_by_newtons_law() -> None:
    """T = Ta + (T0 - Ta) exp(-t / tau): Newton's law of cooling, as in any heat-transfer handbook."""
    plan = constant_room(replace(sample_plan(), rise=replace(sample_plan().rise, dough_c=28.0)), 18.0)
    got = walk(dough_of(plan), 10.5).temp_c
    assert got == pytest.approx(18.0 + 10.0 * math.exp(-3 * 3600 / TAU_BOWL_BENCH), abs=1e-9)


def test_a_thermometer_in_the_dough_is_believed_and_from_there_it_cools_by_the_same_law() -> None:
    plan = constant_room(sample_plan(), 18.0)
    felt = said("dough", 8.25, temp_c=30.0)
    got = walk(dough_of(plan, felt), 10.5).temp_c
    assert got == pytest.approx(18.0 + 12.0 * math.exp(-2.25 * 3600 / TAU_BOWL_BENCH), abs=1e-9)


def test_a_reading_between_two_strides_of_a_dough_at_rest_counts_from_its_own_second() -> None:
    plan = constant_room(replace(sample_plan(), rise=replace(sample_plan().rise, dough_c=18.0)), 18.0)
    read_at = 7.5 + 250 / 3600  # at rest it is walked in strides of ten minutes
    got = walk(dough_of(plan, said("dough", read_at, temp_c=30.0)), 9.5).temp_c
    assert got == pytest.approx(18.0 + 12.0 * math.exp(-(7200 - 250) / TAU_BOWL_BENCH), abs=0.02)


@pytest.mark.parametrize(("read_at", "counts"), [(7.5, True), (7.2, True), (6.4, False)])
def test_a_reading_shortly_before_the_mixing_counts_as_done_was_in_this_dough(read_at: float, counts: bool) -> None:
    plan = sample_plan()
    dough = dough_of(plan, said("dough", read_at, temp_c=27.5))
    assert dough.temp_c == (27.5 if counts else plan.rise.dough_c)


def test_a_dough_that_came_out_warmer_is_ready_sooner() -> None:
    plan = sample_plan()
    for progress in (0.3, 0.5, 0.9):
        warm = reach(dough_of(plan, said("dough", 7.5, temp_c=30)), progress, hour(60))
        assert 0 < warm < reach(dough_of(plan), progress, hour(60))


def test_heat_and_progress_agree_with_scipy_through_bench_fridge_and_bench() -> None:
    plan = sample_plan()
    moves = [said("moved", 10, place="fridge"), said("moved", 15, place="bench")]

    def slope(t: float, y: list[float]) -> list[float]:
        cold = hour(10) <= t < hour(15)
        around = plan.rise.fridge_c if cold else room_at(plan.rise.room, int(t))
        return [(around - y[0]) / (TAU_BOWL_FRIDGE if cold else TAU_BOWL_BENCH), rate_at(plan.rise.table, y[0])]

    at, state = hour(7.5), [plan.rise.dough_c, 0.0]
    for until in (hour(10), hour(15), hour(17), hour(20)):
        state = list(solve_ivp(slope, (at, until), state, rtol=1e-8, atol=1e-10, max_step=300).y[:, -1])
        at = until
    got = walk(dough_of(plan, *moves), 20)
    assert got.temp_c == pytest.approx(state[0], abs=0.01)
    assert got.base == pytest.approx(state[1], rel=2e-3)


def test_a_steady_rate_is_counted_to_the_second() -> None:
    dough = dough_of(steady_plan(0.15))
    while dough.at < hour(7.5) + 3700:
        go_on(dough, hour(7.5) + 3700)
    assert dough.base == pytest.approx(0.15 * 3700 / 3600, abs=1e-12)


def test_between_entries_the_rate_lies_on_the_line_and_past_the_ends_it_is_the_ends() -> None:
    table = RateTable(10.0, 2.0, (1.0, 3.0, 4.0))
    assert [rate_at(table, c) for c in (-40, 10, 11, 12, 13, 14, 90)] == [1.0, 1.0, 2.0, 3.0, 3.5, 4.0, 4.0]


def test_a_reading_of_the_room_keeps_the_rhythm_of_the_day() -> None:
    plan_room = (RoomSpan(hour(0), 18), RoomSpan(hour(7), 20), RoomSpan(hour(17), 21))
    path = room_path(plan_room, (RoomSpan(hour(9), 24), RoomSpan(hour(18), 20)))
    assert [room_at(path, hour(h)) for h in (8, 9, 16, 17.5, 18.5)] == [20, 24, 24, 25, 20]
    assert room_at(path, hour(-5)) == 18


def test_the_glass_is_read_on_straight_lines_and_not_past_its_last_mark() -> None:
    rise = replace(sample_plan().rise, glass=(GlassMark(1.5, 0.6), GlassMark(2.0, 1.0)))
    assert [glass_progress(rise, times) for times in (1, 1.25, 1.5, 1.75, 2, 3)] == [0, 0.3, 0.6, 0.8, 1.0, 1.0]


def test_what_happened_to_the_bowl_before_mixing_counts_no_more() -> None:
    assert walk(dough_of(steady_plan(0.15), said("moved", 7, place="fridge")), 9).place == "bench"


def test_a_lit_oven_is_no_warm_spot() -> None:
    dough = mixed_dough(sample_plan(), fold(sample_plan(), [said("moved", 9, place="warm")]), hour(7.5), hour(11))
    assert walk(dough, 10.9).place == "warm"
    hot = walk(dough, 11.1)
    assert (hot.place, hot.at) == ("bench", hour(11.1))
    put(dough, "warm", "tray")
    assert dough.place == "bench"


@pytest.mark.parametrize("lit_at", [0, hour(13) + 77])
def test_ground_that_was_walked_before_is_walked_again_to_the_last_bit(lit_at: int) -> None:
    plan = sample_plan()
    said_so = [said("room", 9.2, temp_c=25), said("dough", 12.01, temp_c=18), said("moved", 8.5, place="warm"),
               said("moved", 15.31, place="fridge")]  # fmt: skip
    state = fold(plan, said_so)
    paths: list[list[Dough]] = []
    for h in (19.0, 11.003, 22.5, 8.2, 14.77, 19.0, 12.0):  # each from mixing on, in no order
        plain, again = mixed_dough(plan, state, hour(7.5), lit_at), mixed_dough(plan, state, hour(7.5), lit_at)
        while plain.at < hour(h):
            go_on(plain, hour(h))
        while again.at < hour(h):
            go_along(paths, again, hour(h))
        assert again == plain
    assert len(paths) < 2 * 7  # fewer than each going its own way would leave


def test_in_the_oven_it_only_gets_older() -> None:
    dough = walk(dough_of(steady_plan()), 9)
    before = (dough.base, dough.temp_c)
    put(dough, "oven", "tray")
    assert (walk(dough, 12).base, dough.temp_c) == before


def test_a_vessel_without_a_share_takes_that_of_the_place_and_a_place_without_one_keeps_the_dough_as_it_is() -> None:
    plan = replace(sample_plan(), rise=replace(sample_plan().rise, shares=(
        Share("bowl", "bench", 0.25), Share("tray", "bench", 0.5), Share("bowl", "fridge", 0.125))))  # fmt: skip
    dough = dough_of(plan)
    shares = []
    for place, vessel in (("bench", "tray"), ("bench", "tub"), ("fridge", "tub"), ("warm", "bowl")):
        put(dough, place, vessel)
        shares.append(dough.share)
    assert shares == [0.5, 0.25, 0.125, 0.0]


@pytest.mark.parametrize(("progress", "h"), [(0.9, 13.5), (1.2, 15.5), (1.8, 19.5)])
def test_a_progress_is_reached_when_counting_says_so(progress: float, h: float) -> None:
    """At 0.15 an hour from 07:30; the walk answers to the second."""
    assert reach(dough_of(steady_plan(0.15)), progress, hour(60)) == pytest.approx(hour(h), abs=1)


def test_several_are_found_in_one_walk_whether_hours_or_a_minute_apart_behind_or_never() -> None:
    """By hand at 0.15 an hour from 07:30, as seen from pressing at 16:45 (1.3875): 0.9 was at 13:30, 1.5 is at 17:30,
    1.5005 twelve seconds after it, 1.8 at 19:30, 9.6 in 64 hours: more than two days off."""
    plan = steady_plan(0.15)
    along = stand(plan, fold(plan, [done("mix", 7.5)]), hour(12)).walk
    press = next(i for i, one in enumerate(one for one in plan.steps if one.chain) if one.kind == "press")
    *found, never = reached(along, press, [0.9, 1.5, 1.5005, 1.8, 9.6])
    assert found == pytest.approx([hour(13.5), hour(17.5), hour(17.5) + 12, hour(19.5)], abs=1)
    assert never == 0
    assert reached(along, press, [1.8, 1.5]) == pytest.approx([hour(19.5), hour(17.5)], abs=1), "in any order"


def test_a_progress_that_is_never_reached_is_no_instant() -> None:
    assert reach(dough_of(steady_plan(0.0)), 0.9, hour(60)) == 0
    baked = dough_of(steady_plan(0.15))
    put(baked, "oven", "tray")
    assert reach(baked, 0.9, hour(60)) == 0
    there = walk(dough_of(steady_plan(0.15)), 9)
    assert reach(there, 0.1, hour(60)) == hour(9), "it is there already"


def test_the_warm_spot_and_the_fridge_pull_to_their_own_temperature() -> None:
    plan = sample_plan()
    cold = walk(dough_of(plan, said("moved", 8, place="fridge")), 40)
    warm = walk(dough_of(plan, said("moved", 8, place="warm")), 40)
    assert (round(cold.temp_c), round(warm.temp_c)) == (5, 28)
