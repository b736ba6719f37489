"""Conversions against the definitions and the trade's own worked figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import between
from webapp.core import units
from webapp.core.kinds import HeatUnit


@pytest.mark.parametrize(("f", "c"), [(32, 0), (212, 100), (-40, -40), (75, 23.888889)])
def test_fahrenheit_and_celsius_meet_at_the_fixed_points(f: float, c: float) -> None:
    # NIST SP 811, appendix B.8; 75 F is the wanted dough temperature of many American texts
    assert units.c_from_f(f) == pytest.approx(c, abs=1e-6)
    assert units.f_from_c(c) == pytest.approx(f, abs=1e-5)


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert units.step_c_from_f(9) == pytest.approx(5)  # NIST SP 811


def test_an_ounce_and_an_inch_are_their_definitions() -> None:
    # International yard and pound agreement, 1959
    assert units.g_from_oz(16) == pytest.approx(453.59237, abs=1e-9)
    assert units.cm_from_in(12) == pytest.approx(30.48)


def test_a_loading_in_ounces_per_square_inch_is_4_394_grams_per_square_centimetre() -> None:
    assert units.g_cm2_from_oz_in2(1.0) == pytest.approx(4.394, abs=0.001)  # hand calculation from the definitions
    assert units.oz_in2_from_g_cm2(4.394) == pytest.approx(1.0, abs=0.001)


@given(between(-1e4, 1e4))
def test_every_conversion_comes_back(x: float) -> None:
    assert units.f_from_c(units.c_from_f(x)) == pytest.approx(x, abs=1e-9)
    assert units.oz_from_g(units.g_from_oz(x)) == pytest.approx(x, abs=1e-9)
    assert units.in_from_cm(units.cm_from_in(x)) == pytest.approx(x, abs=1e-9)
    assert units.h_from_s(units.s_from_h(x)) == pytest.approx(x, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(2.5, 0, "3"), (2.5, 2, "2.5"), (3.0, 1, "3"), (-0.4, 0, "0"), (-1.26, 1, "-1.3"), (0.005, 2, "0.01")],
)
def test_numbers_for_people_round_half_up_and_drop_empty_decimals(value: float, decimals: int, text: str) -> None:
    assert units.number_text(value, decimals) == text


@pytest.mark.parametrize(
    ("grams", "unit", "text"),
    [
        (480.2, "g", "480 g"),
        (0.576, "g", "0.58 g"),
        # 480 g are 16.931 oz, 287 g 10.124 oz, 14 g 0.494 oz, 1.5 g 0.0529 oz; an ounce scale shows steps of 0.05.
        (480.0, "oz", "16.95 oz"),
        (287.0, "oz", "10.1 oz"),
        (14.0, "oz", "0.49 oz"),
        (1.5, "oz", "0.053 oz"),
    ],
)
def test_masses_have_as_many_decimals_as_their_size_deserves(grams: float, unit: str, text: str) -> None:
    assert units.mass_text(grams, unit) == text


def test_a_mass_takes_the_decimals_it_is_told() -> None:
    assert units.mass_text(5.25, "g", 1) == "5.3 g"


@pytest.mark.parametrize("step_oz", [0.005, 0.02, 0.05, 0.1, 0.2])
@given(st.integers(1, 2000))
def test_what_some_ounce_scale_shows_is_said_as_it_shows_it(step_oz: float, steps: int) -> None:
    said = units.mass_number(steps * step_oz * 28.349523125, "oz")
    assert float(said) == pytest.approx(steps * step_oz, abs=1e-9)


@given(between(0.5, 2000))
def test_ounces_are_never_off_by_more_than_half_a_step_of_an_ounce_scale(ounces: float) -> None:
    said = float(units.mass_number(ounces * 28.349523125, "oz"))
    assert abs(said - ounces) <= 0.025 + 1e-9
    assert abs(said / 0.005 - round(said / 0.005)) < 1e-6


def test_grams_stand_beside_ounces_and_alone_where_grams_are_weighed() -> None:
    """287 g are 10.124 oz, 2.45 g 0.0864 oz (28.349523125 g to the ounce, by definition)."""
    assert units.mass_beside(287.0, "oz") == "10.1 oz (287 g)"
    assert units.mass_beside(2.45, "oz", 2) == "0.086 oz (2.45 g)"
    assert units.mass_beside(287.0) == "287 g"


def test_heat_is_said_in_the_persons_unit() -> None:
    assert (units.heat_text(24.0), units.heat_text(24.0, "F")) == ("24 °C", "75 °F")


@pytest.mark.parametrize(
    ("least", "most", "unit", "text"),
    [(18.0, 21.0, "C", "18\u201321 °C"), (20.9, 21.2, "C", "21 °C"), (0.0, 100.0, "F", "32\u2013212 °F")],
)
def test_a_range_of_heat_says_its_unit_once(least: float, most: float, unit: HeatUnit, text: str) -> None:
    assert units.heats_text(least, most, unit) == text
