"""What the dial reads: gas marks, Fahrenheit, the fan, the dial's own error."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.errors import PlanError
from webapp.core.kitchen import Oven
from webapp.core.oven import dial

# Gas marks: encyclopedia table as copied in the trade's notes; C is F converted by the definition and rounded.
GAS = {
    "1/4": (225, 107),
    "1/2": (250, 121),
    "1": (275, 135),
    "2": (300, 149),
    "3": (325, 163),
    "4": (350, 177),
    "5": (375, 191),
    "6": (400, 204),
    "7": (425, 218),
    "8": (450, 232),
    "9": (475, 246),
    "10": (500, 260),
}


@pytest.mark.parametrize("mark", list(GAS))
def test_gas_marks_are_the_published_ones(mark: str) -> None:
    assert round(dial.gas_mark_c(mark)) == GAS[mark][1]
    assert dial.nearest_mark(GAS[mark][1]) == mark


@pytest.mark.parametrize("typed", ["gas 6", "Gas mark 6", " 6 ", "gas mark 6"])
def test_a_mark_may_be_typed_with_its_word(typed: str) -> None:
    assert dial.gas_mark_c(typed) == dial.gas_mark_c("6")


def test_halves_may_be_typed_as_signs() -> None:
    assert dial.gas_mark_c("½") == dial.gas_mark_c("1/2")
    assert dial.gas_mark_c("¼") == dial.gas_mark_c("1/4")


def test_an_unknown_mark_is_named() -> None:
    with pytest.raises(PlanError, match="dial: no-gas-mark typed 11"):
        dial.gas_mark_c("11")


def test_the_nearest_mark_stays_on_the_dial() -> None:
    assert dial.nearest_mark(260, highest_c=246) == "9"
    assert dial.nearest_mark(260, highest_c=50) == "1/4"  # a dial below all marks: the lowest there is


def test_an_oven_that_runs_cool_is_set_higher_and_never_above_its_highest() -> None:
    cool = Oven(dial_error_c=-15.0, highest_c=250.0)
    assert dial.dial_c(cool, 220.0) == 235.0
    assert dial.dial_c(cool, 250.0) == 250.0
    assert dial.air_c(cool, 235.0) == 220.0


def test_a_fan_bakes_like_twenty_degrees_more() -> None:
    # British recipe charts: fan = 20 C less
    assert dial.function_c(Oven(function="fan"), 220.0) == 200.0
    assert dial.function_c(Oven(function="still"), 220.0) == 220.0


@given(st.floats(120, 300), st.sampled_from(["C", "F", "gas"]), st.floats(-30, 30))
def test_the_dial_is_never_above_its_highest_and_close_to_what_is_wanted(want: float, unit: str, error: float) -> None:
    oven = Oven(dial_unit=unit, dial_error_c=error, highest_c=dial.gas_mark_c("9"))
    setting = dial.dial_c(oven, want)
    assert setting <= oven.highest_c + 0.1
    if dial.gas_mark_c("1/4") <= want - error <= oven.highest_c:
        assert abs(dial.air_c(oven, setting) - want) <= (7.1 if unit == "gas" else 2.6)


@pytest.mark.parametrize(
    ("text", "unit", "heat_c"),
    [("250", "C", 250.0), ("482", "F", 250.0), ("237,5", "C", 237.5), ("gas 7", "gas", 218.3)],
)
def test_a_typed_dial_is_understood_in_its_unit(text: str, unit: str, heat_c: float) -> None:
    assert dial.read_dial("dial", text, unit) == pytest.approx(heat_c, abs=0.05)


@pytest.mark.parametrize(
    ("text", "unit"), [("hot", "C"), ("", "F"), ("1/0", "C"), ("20", "C"), ("900", "C"), ("12", "gas")]
)
def test_a_typed_dial_that_is_none_is_an_error_at_its_field(text: str, unit: str) -> None:
    with pytest.raises(PlanError) as caught:
        dial.read_dial("reading_dial", text, unit)
    assert caught.value.problems[0].field == "reading_dial"


def test_the_error_of_a_dial_is_thermometer_minus_dial() -> None:
    assert dial.dial_error_c("t", "250", 232.0, "C") == pytest.approx(-18.0)
    assert dial.dial_error_c("t", "9", 232.0, "gas") == pytest.approx(232.0 - 246.1, abs=0.1)


def test_a_thermometer_far_off_the_dial_is_doubted() -> None:
    with pytest.raises(PlanError, match="t: apart apart_c 100"):
        dial.dial_error_c("t", "250", 150.0, "C")


def test_correcting_an_oven_by_its_error_brings_the_air_to_the_wish() -> None:
    oven = Oven(highest_c=270.0)
    measured = dial.dial_error_c("t", "220", 205.0, "C")
    fixed = replace(oven, dial_error_c=measured)
    assert dial.air_c(fixed, dial.dial_c(fixed, 220.0)) == pytest.approx(220.0)
