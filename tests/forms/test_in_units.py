"""What is typed in ounces and inches, by the definitions: 28.349523125 g to the ounce, 2.54 cm to the inch (1959)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.kitchen import Kitchen
from webapp.core.scale import pans
from webapp.forms.in_units import loading_text, read_loading, read_mass
from webapp.forms.pans import read_pan, typed_pan
from webapp.forms.typed import Answers

GRAMS, OUNCES = Kitchen(), Kitchen(mass_unit="oz")
KITCHENS = pytest.mark.parametrize("kitchen", [GRAMS, OUNCES], ids=["g", "oz"])


def test_a_mass_is_read_in_ounces_where_those_are_weighed() -> None:
    assert read_mass(Answers({"m": "4"}), "m", OUNCES, 1, 500) == pytest.approx(113.398, abs=0.001)
    assert read_mass(Answers({"m": "4"}), "m", GRAMS, 1, 500) == 4.0


def test_a_mass_out_of_reach_is_told_in_the_unit_it_was_typed_in() -> None:
    """A gram is 0.0353 oz and 500 g are 17.637, both to the hundredth on their far side."""
    answers = Answers({"m": "300"})
    read_mass(answers, "m", OUNCES, 1, 500)
    (problem,) = answers.problems
    assert problem.way_out == "Between 0.03 and 17.64 oz, please."


def test_dough_on_the_tray_is_read_in_ounces_on_the_square_inch() -> None:
    """11 oz on 12 inches across is 0.0973 oz on each square inch (Lehmann, Pizza Today, 2019): 0.427 g on each cm2."""
    assert read_loading(Answers({"d": "0.0973"}), "d", OUNCES) == pytest.approx(0.4275, abs=0.0006)
    answers = Answers({"d": "0.7"})
    read_loading(answers, "d", OUNCES)
    assert "oz on each in²" in answers.problems[0].way_out


@KITCHENS
@given(thousandths=st.integers(100, 1500))
def test_dough_on_the_tray_reads_back_to_the_thousandth(kitchen: Kitchen, thousandths: int) -> None:
    shown = loading_text(thousandths / 1000, kitchen)
    answers = Answers({"d": shown})
    assert read_loading(answers, "d", kitchen) == thousandths / 1000
    assert not answers.problems


@KITCHENS
@given(water_g=st.integers(50, 10_000))
def test_a_pan_that_was_measured_with_water_keeps_its_size_when_it_is_saved_again(
    kitchen: Kitchen, water_g: int
) -> None:
    was = pans.pan("odd", "Odd", "measured", 0.0, water_g=float(water_g))
    answers = Answers(typed_pan(was, kitchen, "p-") | {"p-count": "1"})
    assert read_pan(answers, kitchen, "p-", "odd", "Odd") == [was]
    assert not answers.problems


def test_a_pound_of_water_one_centimetre_deep_covers_454_square_centimetres() -> None:
    """A pound is 453.59237 g, and a gram of water a cubic centimetre."""
    answers = Answers({"p-shape": "measured", "p-water_g": "16", "p-count": "1"})
    (pan,) = read_pan(answers, OUNCES, "p-", "odd", "Odd")
    assert pan.area_cm2 == pytest.approx(454, abs=0.5)
