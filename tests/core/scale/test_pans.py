"""Floors and dough masses against published pan and dough figures."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from tests.strategies import between
from webapp.core.errors import PlanError
from webapp.core.plan.tray import Pan
from webapp.core.scale import pans
from webapp.core.units import cm_from_in, g_cm2_from_oz_in2, oz_from_g


@pytest.mark.parametrize(("inches", "area"), [(12, 113.04), (14, 153.86), (16, 200.96)])
def test_round_pans_have_the_areas_the_trade_prints(inches: float, area: float) -> None:
    # Lehmann, Pizza Today October 2019, p. 20-22, in square inches, with pi = 3.14
    assert pans.round_cm2(cm_from_in(inches)) / 2.54**2 == pytest.approx(area, rel=6e-4)


@pytest.mark.parametrize(("inches", "ounces"), [(14, 15.0), (16, 19.5)])
def test_dough_that_suits_a_12_inch_pan_scales_to_larger_ones(inches: float, ounces: float) -> None:
    # Lehmann, ibid.: 11 oz on 12 in becomes 15 oz on 14 in and 19.5 oz on 16 in
    loading = g_cm2_from_oz_in2(11 / 113.04)
    pan = pans.pan("r", "Round", "round", cm_from_in(inches))
    assert oz_from_g(pans.dough_g([pan], loading)) == pytest.approx(ounces, abs=0.1)


def test_dough_for_a_full_tray_from_a_12_inch_pan() -> None:
    # Lehmann, Pizza Today, 24 October 2013: 13 oz on 12 in becomes 54 oz on an 18 x 26 in tray
    pan = pans.pan("t", "Tray", "rectangle", cm_from_in(18), cm_from_in(26))
    assert oz_from_g(pans.dough_g([pan], g_cm2_from_oz_in2(13 / 113.04))) == pytest.approx(54, abs=0.3)


def test_dough_for_a_half_sheet_from_a_12_inch_pan_is_half_of_what_the_full_tray_takes() -> None:
    # ibid.: 54 oz on 18 x 26 in; a half sheet, 18 x 13 in, is that tray cut in two
    half = pans.pan("h", "Half sheet", "rectangle", cm_from_in(18), cm_from_in(13))
    assert oz_from_g(pans.dough_g([half], g_cm2_from_oz_in2(13 / 113.04))) == pytest.approx(54 / 2, abs=0.15)


def test_a_rectangle_with_rounded_corners_loses_what_four_quarter_circles_leave() -> None:
    assert pans.rectangle_cm2(45, 32) == 1440
    assert pans.rectangle_cm2(45, 32, 5) == pytest.approx(1440 - 100 + 25 * math.pi)  # by hand
    assert pans.rectangle_cm2(20, 20, 10) == pytest.approx(pans.round_cm2(20))
    assert pans.rectangle_cm2(20, 20, 99) == pytest.approx(pans.round_cm2(20))


@given(between(5, 80))
def test_a_round_pan_is_an_oval_as_long_as_wide(size: float) -> None:
    assert pans.oval_cm2(size, size) == pytest.approx(pans.round_cm2(size))


def test_a_pan_of_any_shape_is_measured_with_water() -> None:
    pan = pans.pan("m", "Heart", "measured", 0, water_g=640)
    assert pan.area_cm2 == 640
    assert pans.measured_cm2(1280, 2.0) == 640


def test_an_oval_pan_has_pi_over_four_of_the_rectangle_around_it() -> None:
    """Elementary geometry: the ellipse with these axes has pi a b / 4, so 0.7854 of the rectangle."""
    assert pans.oval_cm2(38, 28) / pans.rectangle_cm2(38, 28) == pytest.approx(0.785398, abs=1e-6)


def test_an_oval_pan_knows_its_floor() -> None:
    assert pans.pan("o", "Oval", "oval", 36, 24).area_cm2 == pytest.approx(math.pi * 216)


@given(between(10, 60), between(10, 60), between(0.2, 1.2))
def test_several_pans_take_one_dough_in_proportion_to_their_floors(a: float, b: float, loading: float) -> None:
    one = pans.pan("a", "A", "rectangle", a, b)
    three = pans.pan("b", "B", "rectangle", a, b, count=3)
    together = pans.dough_g([one, three], loading)
    assert together == pytest.approx(4 * a * b * loading)
    assert pans.area_cm2([one, three]) == pytest.approx(4 * a * b)


def test_a_loss_is_made_up_for() -> None:
    pan = pans.pan("a", "A", "rectangle", 45, 32)
    made = pans.dough_g([pan], 0.5, 2.0)
    assert made * 0.98 == pytest.approx(720)  # by hand: 45 x 32 x 0.5


@pytest.mark.parametrize(
    ("shape", "length", "width", "count", "field"),
    [
        ("star", 20, 20, 1, "pan"), ("rectangle", 1, 1, 1, "pan"), ("rectangle", 900, 900, 1, "pan"),
        ("rectangle", math.nan, 20, 1, "pan"), ("rectangle", -20, -20, 1, "pan"), ("round", 28, 0, 0, "count"),
    ],
)  # fmt: skip
def test_a_pan_that_is_none_is_refused(shape: str, length: float, width: float, count: int, field: str) -> None:
    with pytest.raises(PlanError) as caught:
        pans.pan("x", "X", shape, length, width, count)
    assert caught.value.problems[0].field == field


def test_the_thinnest_and_the_deepest_loading_are_still_loadings() -> None:
    pan = pans.pan("a", "A", "rectangle", 40, 25)
    assert pans.dough_g([pan], 0.05) == pytest.approx(50)
    assert pans.dough_g([pan], 3.0) == pytest.approx(3000)
    for absurd in (0.049, 3.01):
        with pytest.raises(PlanError):
            pans.dough_g([pan], absurd)


@pytest.mark.parametrize(
    ("loading", "loss", "field"),
    [(9.0, 0, "loading"), (math.nan, 0, "loading"), (0.7, 60, "loss_percent"), (0.7, math.nan, "loss_percent")],
)
def test_a_loading_or_a_loss_that_is_none_is_refused(loading: float, loss: float, field: str) -> None:
    with pytest.raises(PlanError) as caught:
        pans.dough_g([pans.pan("a", "A", "round", 28)], loading, loss)
    assert caught.value.problems[0].field == field


def test_walls_of_round_oval_and_measured_pans() -> None:
    assert pans.wall_cm([Pan("p", "", "round", math.pi * 14**2, 1, 28, 28)]) == pytest.approx(math.pi * 28)
    # ellipse of axes 30 and 20: perimeter 79.33 by Ramanujan's second formula, which is exact to 1e-4 here
    h = ((15 - 10) / 25) ** 2
    ramanujan2 = math.pi * 25 * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert pans.wall_cm([Pan("p", "", "oval", 471.2, 1, 30, 20)]) == pytest.approx(ramanujan2, rel=1e-4)
    assert pans.wall_cm([Pan("p", "", "measured", 900.0)]) == pytest.approx(2 * math.sqrt(math.pi * 900))


@pytest.mark.parametrize("shape", ["rectangle", "oval"])
@pytest.mark.parametrize(("length", "width"), [(0.0, 30.0), (30.0, 0.0), (0.0, 0.0)])
def test_a_pan_whose_sides_are_not_known_has_the_wall_of_a_round_one(shape: str, length: float, width: float) -> None:
    pan = Pan("p", "", shape, 900.0, 1, length, width)
    assert pans.wall_cm([pan]) == pytest.approx(2 * math.sqrt(math.pi * 900))
