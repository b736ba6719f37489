"""Where the model ends, the result says so; and the band is wider where less is known."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import between, dough_temps, legs, makes
from webapp.core.rise.certainty import UNLEARNED_SD, band_sd, mean_temp, outside_range
from webapp.core.rise.fermentation import DoughMake, Leg
from webapp.core.rise.response import temp_after

INSIDE = DoughMake(0.5, 2.0, 1.0, 3.0, 70.0)


@given(makes(), dough_temps, legs(0.5, 34.5))
def test_inside_its_range_the_model_has_nothing_to_add(make: DoughMake, start_c: float, leg: Leg) -> None:
    assert outside_range(make, start_c, [leg]) == ()


@pytest.mark.parametrize(
    ("changed", "kind"),
    [
        ({"instant_percent": 0.02}, "little-yeast"), ({"instant_percent": 3.0}, "much-yeast"),
        ({"sugar_percent": 12.0}, "sugar"),
        ({"oil_percent": 15.0}, "fat"), ({"salt_percent": 4.0}, "salt"), ({"hydration_percent": 45.0}, "stiff"),
        ({"hydration_percent": 125.0}, "batter"),
    ],
)  # fmt: skip
def test_each_number_outside_the_range_is_told_by_its_kind(changed: dict[str, float], kind: str) -> None:
    assert outside_range(replace(INSIDE, **changed), 24.0, [Leg(21, 3600, 3600)])[0].kind == kind


def test_how_much_slower_a_stiff_dough_is_reckoned_is_told() -> None:
    # trade notes, section 4: a quarter of the pace at 44 %, the same pace at 56 %, equal ratios between: 50 % is half,
    # 53 % is 1 / sqrt(2).
    (half,) = outside_range(replace(INSIDE, hydration_percent=50.0), 24.0)
    assert (half.percent, half.slower) == (50.0, pytest.approx(2.0))
    (gently,) = outside_range(replace(INSIDE, hydration_percent=53.0), 24.0)
    assert gently.slower == pytest.approx(math.sqrt(2.0))


def test_a_dough_that_gets_too_cold_or_too_warm_is_named_with_its_temperature() -> None:
    (cold,) = outside_range(INSIDE, 24, [Leg(-4, 36000, 3600)])
    assert (cold.kind, cold.temp_c) == ("cold", pytest.approx(-4.0, abs=0.5))
    (warm,) = outside_range(INSIDE, 24, [Leg(40, 36000, 3600), Leg(20, 3600, 3600)])
    assert (warm.kind, warm.temp_c) == ("hot", pytest.approx(40.0, abs=0.5))
    assert outside_range(INSIDE, 24, [Leg(40, 600, 7200)]) == ()  # ten minutes do not warm it that far


def test_a_stage_that_never_ends_reaches_its_surroundings() -> None:
    assert outside_range(INSIDE, 24, [Leg(-4, math.inf, 3600)])


def test_the_band_is_narrowest_in_the_middle_of_the_data() -> None:
    assert band_sd(INSIDE, 1.0, 24.0) == UNLEARNED_SD
    for make, increase, temp_c in ((replace(INSIDE, instant_percent=0.06), 1.0, 24), (INSIDE, 2.2, 24), (INSIDE, 1, 5)):
        assert band_sd(make, increase, temp_c) > UNLEARNED_SD


def test_a_kitchen_known_three_times_as_well_has_a_third_of_the_band_whatever_the_dough() -> None:
    far = replace(INSIDE, instant_percent=0.06)
    unlearned, learned = band_sd(far, 2.2, 8.0), band_sd(far, 2.2, 8.0, UNLEARNED_SD / 3)
    assert learned == pytest.approx(unlearned / 3)


def test_the_cold_part_of_the_band_is_what_another_minimum_temperature_would_do() -> None:
    # the same by finite differences of the cardinal model (Rosso et al. 1993) written out here
    def ratio(t_min: float, t: float = 8.0) -> float:
        def f(x: float) -> float:
            line = (32.3 - t_min) * (x - 32.3) - (32.3 - 45.4) * (32.3 + t_min - 2 * x)
            return (x - 45.4) * (x - t_min) ** 2 / ((32.3 - t_min) * line)

        return math.log(f(t) / f(24.0))

    slope = abs(ratio(-1.4) - ratio(-1.6)) / 0.2
    cold = math.sqrt(band_sd(INSIDE, 1.0, 8.0) ** 2 - UNLEARNED_SD**2)
    assert cold == pytest.approx(1.76 * slope, rel=0.2)  # the code keeps the leading term


def test_the_band_stops_widening_at_the_cold_end_of_home_fridges() -> None:
    # Home fridges are kept at 2 to 5 C (common practice). The fit leaves its minimum open up to +3.3 C, where no band
    # would mean anything, so what is colder than a fridge is as unsure as its coldest shelf.
    at = {c: band_sd(INSIDE, 1.0, c) for c in (-1.0, 1.0, 2.0, 2.5)}
    assert at[-1.0] == at[1.0] == at[2.0] > at[2.5]
    assert band_sd(INSIDE, 1.0, 1.9) == at[2.0] > band_sd(INSIDE, 1.0, 2.1)


@given(dough_temps, st.lists(legs(), min_size=1, max_size=3))
def test_the_mean_temperature_is_that_of_many_small_steps(start_c: float, way: list[Leg]) -> None:
    total = sum(leg.seconds or 0.0 for leg in way)
    if total < 60:
        return
    temp, heat = start_c, 0.0
    for leg in way:
        step = (leg.seconds or 0.0) / 400
        heat += sum(temp_after(temp, leg, (i + 0.5) * step) for i in range(400)) * step
        temp = temp_after(temp, leg, leg.seconds or 0.0)
    assert mean_temp(start_c, way) == pytest.approx(heat / total, abs=0.05)


@given(between(0, 30))
def test_the_mean_over_no_time_is_where_it_starts(start_c: float) -> None:
    assert mean_temp(start_c, [Leg(4, 0.0, 3600)]) == start_c


@pytest.mark.parametrize(
    ("inside", "outside"),
    [
        ({"instant_percent": 0.05}, {"instant_percent": 0.049}), ({"instant_percent": 2.0}, {"instant_percent": 2.01}),
        ({"sugar_percent": 8.0}, {"sugar_percent": 8.01}), ({"oil_percent": 10.0}, {"oil_percent": 10.01}),
        ({"salt_percent": 3.5}, {"salt_percent": 3.51}), ({"hydration_percent": 56.0}, {"hydration_percent": 55.9}),
        ({"hydration_percent": 115.0}, {"hydration_percent": 115.1}),
    ],
)  # fmt: skip
def test_just_inside_an_edge_nothing_is_said_and_just_past_it_one_thing(
    inside: dict[str, float], outside: dict[str, float]
) -> None:
    # The range is that of design and trade notes: 0 to 35 C, sugar to 8 %, instant yeast 0.05 to 2 %; a dough is stiff
    # under 56 % water, and that it is slower is said from there on.
    assert outside_range(replace(INSIDE, **inside), 24.0) == ()
    assert len(outside_range(replace(INSIDE, **outside), 24.0)) == 1
