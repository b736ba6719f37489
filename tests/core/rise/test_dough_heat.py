"""Water, ice and time constants against published worked examples and the trade notes' tables."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import between
from webapp.core.errors import PlanError
from webapp.core.kinds import HEATED_PLACES, VESSELS, BeyondKind
from webapp.core.plan.rise import Beyond
from webapp.core.rise import dough_heat as heat
from webapp.core.rise.dough_heat import Portion


@pytest.mark.parametrize(
    ("wanted", "room", "flour", "friction", "water"),
    [
        (75, 65, 65, 8, 87),  # SFBI workshop notes, quoted by farine-mc.blogspot.com (F)
        (80, 75, 65, 35, 65),  # Lehmann, Pizza Today, June 2018, p. 29 (F)
        (78, 85, 67, 0, 82),  # Wihlfahrt, A Treatise on Baking (F)
        (78, 72, 62, 0, 100),  # ibid.
    ],
)
def test_the_three_factor_rule_is_the_bakers(
    wanted: float, room: float, flour: float, friction: float, water: float
) -> None:
    assert heat.three_factor(wanted, room, flour, friction) == water


def test_the_four_factor_rule_is_the_bakers() -> None:
    # Cook's Illustrated, how_to 5818 (F): wanted 75, all at 71, stand mixer 20: prints 67 for 300 - 213 - 20
    assert heat.four_factor(75, 71, 71, 71, 20) == 67


@pytest.mark.parametrize(("rise", "water"), [(0.0, 26.6), (1.5, 24.2), (3.0, 21.7)])
def test_the_heat_balance_is_the_worked_example_of_the_notes(rise: float, water: float) -> None:
    # trade notes, section 6: 24 C wanted, flour and room 20 C, 65 % water, c 1.8 and 4.18 kJ/kgK
    assert heat.water_c(24, 650, [Portion(1000, 20)], rise) == pytest.approx(water, abs=0.06)


@given(between(18, 30), between(50, 5000), between(0, 35), between(50, 5000), between(0, 6), between(4, 25))
def test_the_water_temperature_brings_the_wanted_dough(
    wanted: float, water_g: float, flour_c: float, flour_g: float, rise: float, poolish_c: float
) -> None:
    rows = [Portion(flour_g, flour_c), Portion(200, poolish_c, heat.DOUGH_HEAT)]
    poured = heat.water_c(wanted, water_g, rows, rise)
    assert heat.mixed_dough_c(poured, water_g, rows, rise) == pytest.approx(wanted, abs=1e-6)


def test_everything_at_the_wanted_temperature_stays_there() -> None:
    assert heat.water_c(24, 500, [Portion(800, 24), Portion(20, 24, heat.FAT_HEAT)]) == pytest.approx(24)


@pytest.mark.parametrize(
    ("water", "tap", "wanted", "ice"),
    [(1000, 20, 4, 160), (650, 22, 8, 89)],
)
def test_ice_is_the_worked_example(water: float, tap: float, wanted: float, ice: float) -> None:
    # trade notes, section 6; the form is that of Gisslen, Professional Baking (from memory)
    assert heat.ice_g(water, tap, wanted) == pytest.approx(ice, abs=0.6)


def test_ice_in_pounds_and_fahrenheit_is_the_same_physics() -> None:
    # trade notes: 10 lb of water at 65 F wanted at 40 F take 1.41 lb of ice
    assert heat.ice_g(10, (65 - 32) / 1.8, (40 - 32) / 1.8) == pytest.approx(1.41, abs=0.01)


def test_ice_and_water_balance_their_heat() -> None:
    ice = heat.ice_g(1000, 25, 6)
    given_up = (1000 - ice) * 4.18 * (25 - 6)
    taken = ice * (334 + 4.18 * 6)
    assert given_up == pytest.approx(taken, rel=1e-9)


def test_a_cold_tap_needs_no_ice_and_there_is_never_more_ice_than_water() -> None:
    assert heat.ice_g(500, 12, 15) == 0.0
    assert heat.ice_g(500, 20, -200) == 500


@pytest.mark.parametrize(
    ("poured", "ice", "kind"),
    [(24, 0, None), (50, 0, "hot-water"), (-5, 300, "ice"), (-90, 500, "all-ice")],
)
def test_water_that_cannot_be_poured_is_said_to_be_so(poured: float, ice: float, kind: BeyondKind | None) -> None:
    found = heat.water_limits(poured, 500, ice)
    assert found == (() if kind is None else (Beyond(kind),))


@pytest.mark.parametrize(("kg", "bowl_h"), [(0.3, 1.2), (0.5, 1.4), (1.0, 1.8), (1.8, 2.1), (3.0, 2.5)])
def test_a_bowl_of_dough_has_the_time_constant_of_the_notes(kg: float, bowl_h: float) -> None:
    # trade notes, section 7: lumped, h = 8 W/m2K; plus half the inner conduction time R2 / (pi2 alpha)
    inner_h = {0.3: 0.5, 0.5: 0.8, 1.0: 1.2, 1.8: 1.8, 3.0: 2.5}[kg]
    found = heat.time_constant_s(kg * 1000, "bowl", "bench") / 3600
    assert found == pytest.approx(bowl_h + inner_h / 2, rel=0.05)


def test_a_tray_of_which_nothing_is_known_is_as_thick_as_books_make_it_between_pressing_and_loading() -> None:
    """A deep one and a flat one: 3 lb on a half sheet of 18 x 13 in (Gisslen, Professional Baking), 0.90 g/cm2; a ball
    of 340 g for 12 inches (Forkish, Flour Water Salt Yeast), 0.466 g/cm2. At 1.12 g/cm3 just mixed they lie 0.80 and
    0.416 cm thick, risen to 2.2 times at loading 1.77 and 0.915 cm: the mean of the four is 0.975 cm."""
    pressed = (3 * 453.59237 / (18 * 13 * 2.54**2) / 1.12, 340.0 / (math.pi * (6 * 2.54) ** 2) / 1.12)
    assert pressed == pytest.approx((0.80, 0.416), abs=0.005)
    assert pytest.approx(0.975, rel=0.1) == heat.TRAY_THICKNESS_CM


def test_a_two_centimetre_tray_has_the_time_constant_of_the_notes() -> None:
    # trade notes, section 7: 2 cm slab, both faces, h = 8: 1.05 h lumped; through its 1 cm half little is added
    assert heat.time_constant_s(1000, "tray", "bench", 2.0) / 3600 == pytest.approx(1.05, abs=0.06)


@given(between(100, 4000), between(1.05, 3), st.sampled_from(VESSELS[:2]), st.sampled_from(HEATED_PLACES))
def test_more_dough_lags_more(mass_g: float, times: float, vessel: str, place: str) -> None:
    more = heat.time_constant_s(mass_g * times, vessel, place)
    assert heat.time_constant_s(mass_g, vessel, place) < more


def test_a_tub_lags_more_than_a_bowl_and_a_tray_least() -> None:
    bowl, tub, tray = (heat.time_constant_s(900, vessel, "bench") for vessel in VESSELS)
    assert tray < bowl < tub <= 1.3 * bowl  # common practice: 10-30 % longer in a closed tub


@pytest.mark.parametrize("kg", [0.5, 1.0, 1.8])
def test_a_fridge_with_a_fan_shortens_the_lag_as_its_heat_transfer_does(kg: float) -> None:
    # trade notes, section 7, h = 10: 1.1, 1.4, 1.7 h lumped, plus half of the inner 0.8, 1.2, 1.8 h
    lumped, inner = {0.5: (1.1, 0.8), 1.0: (1.4, 1.2), 1.8: (1.7, 1.8)}[kg]
    found = heat.time_constant_s(kg * 1000, "bowl", "fridge") / 3600
    assert found == pytest.approx(lumped + inner / 2, rel=0.05)
    assert heat.time_constant_s(1000, "tray", "fridge", 2.0) / 3600 == pytest.approx(0.84, abs=0.06)
    for place in ("bench", "warm", "fridge"):  # common practice: a closed tub lengthens the lag by 10-30 %
        ratio = heat.time_constant_s(kg * 1000, "tub", place) / heat.time_constant_s(kg * 1000, "bowl", place)
        assert 1.05 < ratio < 1.3


def test_every_vessel_has_a_time_constant_everywhere() -> None:
    for vessel in VESSELS:
        for place in HEATED_PLACES:
            assert 60 < heat.time_constant_s(900, vessel, place) < 86400


@given(between(300, 40000))
def test_sixty_shares_are_an_hour_of_newtons_law(tau_s: float) -> None:
    left = (1 - heat.share_per_minute(tau_s)) ** 60
    assert left == pytest.approx(math.exp(-3600 / tau_s), rel=1e-9)


@pytest.mark.parametrize(
    ("mass_g", "vessel", "thickness", "field"),
    [
        (900, "bucket", 1.0, "vessel"), (0, "bowl", 1.0, "mass"), (math.nan, "bowl", 1.0, "mass"),
        (9, "tray", 0.0, "mass"),
    ],
)  # fmt: skip
def test_no_dough_and_unknown_vessels_are_refused(mass_g: float, vessel: str, thickness: float, field: str) -> None:
    with pytest.raises(PlanError) as caught:
        heat.time_constant_s(mass_g, vessel, "bench", thickness)
    assert caught.value.problems[0].field == field
