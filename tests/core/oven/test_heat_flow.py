"""Heat in flat layers against textbook solutions and SciPy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.oracles import heat
from webapp.core.oven import heat_flow
from webapp.core.oven.heat_flow import (
    STEFAN_BOLTZMANN,
    contact_c,
    effusivity,
    face_after,
    in_series,
    radiation_h,
    step,
)


def _march(
    temps: list[float], caps: list[float], links: list[float], seconds: float, face_c: float, skin: float
) -> None:
    """Hold both faces at `face_c` through `skin` W/m2K."""
    dt = heat_flow.steady_step_s(caps, links, skin, skin)
    steps = math.ceil(seconds / dt)
    for _ in range(steps):
        low, high = skin * (face_c - temps[0]), skin * (face_c - temps[-1])
        step(temps, caps, links, low, high, seconds / steps)


@pytest.mark.parametrize("biot", [0.5, 2.0, 20.0])
def test_a_wall_heated_on_both_faces_follows_the_series_solution(biot: float) -> None:
    thick, k, rho, c, cells = 0.02, 0.4, 800.0, 2500.0, 40
    alpha, half, h = k / (rho * c), 0.01, biot * k / 0.01
    caps, links = [rho * c * thick / cells] * cells, [k * cells / thick] * (cells - 1)
    temps = [20.0] * cells
    seconds = heat.wall_middle_s(half, alpha, biot, 0.3)
    _march(temps, caps, links, seconds, 120.0, in_series(h, 2 * k * cells / thick))
    middle = (temps[cells // 2 - 1] + temps[cells // 2]) / 2
    assert (120.0 - middle) / 100.0 == pytest.approx(0.3, abs=0.004)


def test_a_thick_body_follows_the_error_function_while_the_heat_has_not_crossed_it() -> None:
    thick, k, rho, c, cells = 0.10, 2.0, 2000.0, 900.0, 100
    caps, links = [rho * c * thick / cells] * cells, [k * cells / thick] * (cells - 1)
    temps = [20.0] * cells
    _march(temps, caps, links, 120.0, 250.0, 2 * k * cells / thick)
    for cell in (2, 5, 10):
        depth = (cell + 0.5) * thick / cells
        assert temps[cell] == pytest.approx(heat.deep_step_c(depth, 120.0, 20.0, 250.0, k / (rho * c)), abs=1.0)


def test_the_face_of_a_thick_body_agrees_with_scipy_over_eleven_decades() -> None:
    for power in range(-3, 8):
        ours = face_after(10.0**power, 20.0, 250.0, 30.0, 0.25, 1.8e-7)
        assert ours == pytest.approx(heat.convected_face_c(10.0**power, 20.0, 250.0, 30.0, 0.25, 1.8e-7), abs=2e-3)


@given(st.lists(st.floats(0, 300), min_size=2, max_size=8), st.floats(-500, 500), st.floats(-500, 500))
def test_no_heat_is_made_or_lost_inside_a_column(temps: list[float], low: float, high: float) -> None:
    caps = [1000.0 + 200 * i for i in range(len(temps))]
    before = sum(t * c for t, c in zip(temps, caps, strict=True))
    step(temps, caps, [37.0] * (len(temps) - 1), low, high, 2.0)
    after = sum(t * c for t, c in zip(temps, caps, strict=True))
    assert after - before == pytest.approx((low + high) * 2.0, abs=1e-3)


@given(st.floats(0, 400), st.floats(0, 400), st.floats(0.1, 1.0))
def test_radiation_as_a_conductance_carries_what_the_fourth_powers_say(a: float, b: float, eps: float) -> None:
    by_powers = eps * STEFAN_BOLTZMANN * ((a + 273.15) ** 4 - (b + 273.15) ** 4)
    assert radiation_h(a, b, eps) * (a - b) == pytest.approx(by_powers, rel=1e-6, abs=1e-6)


def test_black_surfaces_at_room_temperature_exchange_about_six_watts_per_square_metre_and_degree() -> None:
    # 4 sigma T^3 at 300 K = 6.12 W/m2K, Incropera ch. 1 (from memory)
    assert radiation_h(26.85, 26.85, 1.0) == pytest.approx(6.12, abs=0.02)


def test_steel_and_dough_meet_nearly_at_the_heat_of_the_steel() -> None:
    # by hand: steel sqrt(47*7850*490) = 13446, dough sqrt(0.25*500*2800) = 592; (13446*250 + 592*24)/14038 = 240.5
    steel, dough = effusivity(47, 7850, 490), effusivity(0.25, 500, 2800)
    assert steel == pytest.approx(13446, rel=1e-3)
    assert contact_c(250, steel, 24, dough) == pytest.approx(240.5, abs=0.1)


@given(st.floats(0, 300), st.floats(0, 300), st.floats(10, 20000), st.floats(10, 20000))
def test_two_bodies_meet_between_their_heats_and_it_does_not_matter_who_is_named_first(
    a: float, b: float, ea: float, eb: float
) -> None:
    met = contact_c(a, ea, b, eb)
    assert min(a, b) - 1e-9 <= met <= max(a, b) + 1e-9
    assert met == pytest.approx(contact_c(b, eb, a, ea))


def test_alike_bodies_meet_half_way() -> None:
    assert contact_c(100.0, 500.0, 20.0, 500.0) == pytest.approx(60.0)


def test_resistances_in_series_are_less_than_the_least() -> None:
    assert in_series(20.0, 20.0) == pytest.approx(10.0)
    assert in_series(1e12, 7.0) == pytest.approx(7.0)


def test_the_longest_steady_step_does_not_swing_and_twice_the_margin_does() -> None:
    caps, links, skin = [900.0] * 4, [300.0] * 3, 600.0
    safe = heat_flow.steady_step_s(caps, links, skin, skin)

    def swings(dt: float) -> bool:
        temps = [20.0] * 4
        for _ in range(200):
            step(temps, caps, links, skin * (100 - temps[0]), skin * (100 - temps[-1]), dt)
        return not all(19.9 < t < 100.1 for t in temps)

    assert not swings(safe)
    assert swings(safe * 4)
