"""The response along a path against the published cardinal model, SciPy and Newton's law."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tests.strategies import between, dough_temps, legs, room_temps, taus
from webapp.core.rise.response import (
    NEVER_AFTER_S,
    T_MAX,
    T_MIN,
    T_OPT,
    Leg,
    along,
    open_length,
    response,
    response_seconds,
    seconds_for,
    temp_after,
)


def cardinal_1993(t: float, t_min: float, t_opt: float, t_max: float) -> float:
    """Rosso, Lobry and Flandrois 1993, written out from the paper's equation, 1 at the optimum."""
    if t <= t_min or t >= t_max:
        return 0.0
    top = (t - t_max) * (t - t_min) ** 2
    return top / ((t_opt - t_min) * ((t_opt - t_min) * (t - t_opt) - (t_opt - t_max) * (t_opt + t_min - 2 * t)))


@given(between(-10, 60))
def test_the_response_is_the_cardinal_model_relative_to_24_degrees(temp_c: float) -> None:
    reference = cardinal_1993(24.0, -1.5, 32.3, 45.4)
    assert response(temp_c) == pytest.approx(cardinal_1993(temp_c, -1.5, 32.3, 45.4) / reference, abs=1e-12)


@pytest.mark.parametrize(
    ("temp_c", "value"),
    [(2, 0.029), (4, 0.069), (8, 0.196), (12, 0.371), (18, 0.687), (22, 0.902), (24, 1), (28, 1.158), (32.3, 1.229),
     (38, 1.051), (42, 0.634)],
)  # fmt: skip
def test_the_response_has_the_values_worked_out_in_the_trade_notes(temp_c: float, value: float) -> None:
    # trade notes, section 1: the cardinal model with T_MIN -1.5, Salvado 2011's optimum and maximum, relative to 24 C
    assert response(temp_c) == pytest.approx(value, abs=0.0006)


def test_the_response_is_highest_at_the_optimum_and_nothing_beyond_the_ends() -> None:
    assert response(T_OPT) > max(response(T_OPT - 0.5), response(T_OPT + 0.5))
    assert response(T_MIN) == response(T_MAX) == response(-30) == response(90.6) == 0.0


def test_a_fridge_slows_dough_eight_to_fifteen_times() -> None:
    # common practice: a fridge slows 8-15 x against 24 C, here at 4 to 5.5 C
    assert 8 <= 1 / response(5.5) <= 15
    assert 8 <= 1 / response(4) <= 15


@given(dough_temps, legs())
def test_dough_relaxes_by_newtons_law(start_c: float, leg: Leg) -> None:
    # Newton's law of cooling, analytic: half the gap is left after tau ln 2
    assert temp_after(start_c, leg, leg.tau_s * math.log(2)) == pytest.approx((start_c + leg.ambient_c) / 2)


def test_a_kilogram_from_25_degrees_is_within_2_of_a_4_degree_fridge_after_2_35_time_constants() -> None:
    # trade notes, section 7: tau ln(21/2) = 2.35 tau
    assert temp_after(25, Leg(4, None, 7200), 2.35 * 7200) == pytest.approx(6, abs=0.02)


def by_solve_ivp(start_c: float, leg: Leg, seconds: float) -> float:
    """The same integral by SciPy's general solver, Newton's cooling as an equation of its own."""

    def slope(_t: float, y: list[float]) -> list[float]:
        return [(leg.ambient_c - y[0]) / leg.tau_s, response(y[0])]

    found = solve_ivp(slope, (0, seconds), [start_c, 0.0], rtol=1e-9, atol=1e-6, max_step=seconds / 20)
    return float(found.y[1, -1])


@pytest.mark.parametrize(
    ("start_c", "ambient_c"),
    [(25.5, 21), (24, 4), (5, 28), (20, 20), (20, 20.0000001), (-5, 25), (20, -10), (50, 20), (20, 60), (60, -20),
     (-20, 70), (-5, -3), (60, 50), (32.3, 45.4)],
)  # fmt: skip
def test_the_closed_form_agrees_with_solve_ivp(start_c: float, ambient_c: float) -> None:
    for tau_s in (1800.0, 10800.0):
        leg = Leg(ambient_c, None, tau_s)
        expected = by_solve_ivp(start_c, leg, 20000.0)
        assert response_seconds(start_c, leg, 20000.0) == pytest.approx(expected, rel=1e-4, abs=0.02)


@given(between(-20, 60), between(-20, 60), taus, between(0, 1e5), between(0, 1))
def test_a_stretch_is_the_sum_of_its_two_parts(
    start_c: float, ambient_c: float, tau_s: float, s: float, p: float
) -> None:
    leg = Leg(ambient_c, None, tau_s)
    first = response_seconds(start_c, leg, s * p)
    second = response_seconds(temp_after(start_c, leg, s * p), leg, s * (1 - p))
    assert first + second == pytest.approx(response_seconds(start_c, leg, s), rel=1e-6, abs=1e-3)


@given(dough_temps, room_temps, taus, between(1, 2e5))
def test_the_time_for_a_rise_brings_exactly_that_rise(
    start_c: float, ambient_c: float, tau_s: float, want: float
) -> None:
    leg = Leg(ambient_c, None, tau_s)
    seconds = seconds_for(want, start_c, leg)
    if math.isfinite(seconds):
        assert response_seconds(start_c, leg, seconds) == pytest.approx(want, rel=1e-6, abs=1e-4)
    else:
        assert response_seconds(start_c, leg, NEVER_AFTER_S) < want


@given(dough_temps, room_temps, between(0, 2), taus, between(1, 1e5))
def test_a_warmer_room_never_finishes_later(
    start_c: float, room_c: float, more: float, tau_s: float, want: float
) -> None:
    cool = seconds_for(want, min(start_c, 29), Leg(room_c, None, tau_s))
    warm = seconds_for(want, min(start_c, 29), Leg(room_c + more, None, tau_s))
    assert warm <= cool * (1 + 1e-9) + 1e-3


def test_nothing_wanted_takes_no_time_and_too_much_is_never_reached() -> None:
    assert seconds_for(0.0, 20, Leg(20, None, 3600)) == 0.0
    assert seconds_for(1e5, 20, Leg(-10, None, 3600)) == math.inf  # frozen through before it has risen
    assert seconds_for(1e9, 24, Leg(24, None, 3600)) == math.inf  # beyond sixty days


def test_dough_that_starts_too_cold_to_rise_waits_until_it_has_warmed() -> None:
    leg = Leg(20, None, 7200)
    warmed = 7200 * math.log(25 / 21.5)  # Newton: from -5 to -1.5 C in a room of 20 C
    assert response_seconds(-5, leg, warmed * 0.99) == 0.0
    assert seconds_for(1.0, -5, leg) > warmed


@pytest.mark.parametrize(
    ("start_c", "ambient_c", "rises"),
    [(T_MIN, 20, True), (T_MAX, 20, True), (T_MIN, -5, False), (T_MAX, 60, False), (20, T_MIN, True), (20, T_MAX, True),
     (-5, T_MIN, False), (60, T_MAX, False), (T_MIN, T_MIN, False), (T_MIN, T_MAX, True), (-9, -9, False)],
)  # fmt: skip
def test_dough_exactly_at_an_end_of_the_range_rises_only_inwards(start_c: float, ambient_c: float, rises: bool) -> None:
    done = response_seconds(start_c, Leg(ambient_c, None, 3600), 7200)
    assert (done > 0) == rises
    assert done == pytest.approx(by_solve_ivp(start_c, Leg(ambient_c, None, 3600), 7200), rel=1e-4, abs=0.02)


def test_a_slow_start_in_a_cold_place_is_still_found() -> None:
    seconds = seconds_for(30_000.0, 30, Leg(-1.0, None, 14400))
    assert seconds == math.inf or response_seconds(30, Leg(-1.0, None, 14400), seconds) == pytest.approx(30_000)


@given(dough_temps, st.lists(legs(), max_size=3), legs(), st.lists(legs(), max_size=3), between(10, 3e5))
def test_the_open_stage_is_just_so_long_that_all_stages_together_are_enough(
    start_c: float, before: list[Leg], opened: Leg, after: list[Leg], want: float
) -> None:
    open_leg = Leg(opened.ambient_c, None, opened.tau_s)
    length = open_length(want, start_c, [*before, open_leg, *after])
    if math.isfinite(length):
        done, _ = along(start_c, [*before, Leg(opened.ambient_c, length, opened.tau_s), *after])
        assert done == pytest.approx(want, rel=1e-5, abs=0.01) if length > 0 else done >= want
    else:
        done, _ = along(start_c, [*before, Leg(opened.ambient_c, NEVER_AFTER_S, opened.tau_s), *after])
        assert done < want


def test_the_stages_after_the_open_one_shorten_it() -> None:
    bench = Leg(22, 7200, 7200)
    alone = open_length(60_000, 24, [bench, Leg(4, None, 7200)])
    tempered = open_length(60_000, 24, [bench, Leg(4, None, 7200), Leg(21, 3600, 7200)])
    assert 0 < tempered < alone


def test_stages_that_do_it_alone_leave_nothing_for_the_open_one() -> None:
    assert open_length(1000, 24, [Leg(24, None, 3600), Leg(24, 3600, 3600)]) == 0.0
    assert open_length(1000, 24, [Leg(24, 3600, 3600), Leg(4, None, 3600)]) == 0.0


def test_an_open_stage_too_cold_to_rise_in_is_never_long_enough() -> None:
    assert open_length(50_000, 24, [Leg(-10, None, 3600), Leg(20, 3600, 3600)]) == math.inf
