"""The test glass: its grams worked by hand, its rise against SciPy's integration, what it teaches."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate  # type: ignore[import-untyped]

from tests.strategies import between, kitchens
from webapp.core.errors import PlanError
from webapp.core.kinds import YEAST_KINDS
from webapp.core.kitchen import Kitchen
from webapp.core.learning.sample_glass import (
    LONGEST_GLASS_S,
    MOST_READINGS,
    GlassRecipe,
    SampleGlass,
    checked,
    expected_at,
    lessons_of,
    read,
    recipe_for,
    unit_progress,
    when,
)
from webapp.core.learning.vigour import PRIOR, posterior
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.state import Glass
from webapp.core.rise.pace import pace_per_s
from webapp.core.rise.response import response

EVENING = 1_795_564_800
H = 3600
# By hand: 300 g of water, 9 g of salt, 3 g of yeast; 34 g of these 312 to 50 g of flour.
RECIPE = GlassRecipe("instant", 300.0, 9.0, 3.0, 34.0, 50.0, 1.0, 1.0)
GLASS = SampleGlass(RECIPE, EVENING, (RoomSpan(EVENING, 21.0),))


def test_what_is_in_the_glass_is_what_was_weighed() -> None:
    # 34 / 312 of each, over 50 g: water 32.69 g = 65.4 %, salt 0.981 g = 1.96 %, yeast 0.327 g = 0.654 %.
    make = RECIPE.make
    assert (make.hydration_percent, make.salt_percent, make.instant_percent) == pytest.approx(
        (65.38, 1.962, 0.6538), abs=0.01
    )


def test_the_doubt_from_weighing_is_that_of_half_steps_evenly_spread() -> None:
    """By hand: half a gram over sqrt 3 is 0.2887 g. Yeast 0.2887 / 3 = 9.6 %, times the exponent 0.6; the part taken
    0.2887 / 34 and the flour 0.2887 / 50: 1.0 %; salt 0.2887 / 9 = 3.2 %, times 0.12 x 1.96."""
    part = math.hypot(0.2887 / 34, 0.2887 / 50, 0.2887 / 300)
    by_hand = math.hypot(0.6 * math.hypot(0.0962, part), 0.12 * 1.962 * math.hypot(0.0321, part))
    assert RECIPE.made_sd == pytest.approx(by_hand, rel=1e-3)
    assert replace(RECIPE, fine_g=0.01).made_sd < 0.01


def test_an_ordinary_kitchen_gets_round_amounts_for_an_evening() -> None:
    recipe = recipe_for(Kitchen(), 21.0)
    assert (recipe.stock_water_g, recipe.stock_salt_g, recipe.take_g, recipe.flour_g) == (300, 9, 34, 50)
    assert 2.7 < (when(replace(GLASS, recipe=recipe), 2.0) - EVENING) / H < 3.3


@given(kitchens(), st.sampled_from(YEAST_KINDS), between(16, 30))
def test_every_scale_can_weigh_it_and_it_doubles_in_an_evening(kitchen: Kitchen, kind: str, room_c: float) -> None:
    recipe = recipe_for(replace(kitchen, yeast_kind=kind), room_c)  # type: ignore[arg-type]
    for grams, step in ((recipe.stock_water_g, recipe.step_g), (recipe.take_g, recipe.step_g),
                        (recipe.flour_g, recipe.step_g), (recipe.stock_salt_g, recipe.fine_g),
                        (recipe.stock_yeast_g, recipe.fine_g)):  # fmt: skip
        assert grams > 0
        assert grams / step == pytest.approx(round(grams / step), abs=1e-6)
    assert 55 < recipe.make.hydration_percent < 75
    assert 1.5 < recipe.make.salt_percent < 2.6
    doubled = when(SampleGlass(recipe, 0, (RoomSpan(0, room_c),)), 2.0) / H
    assert 1.0 < doubled < 6.0  # 5 g steps are coarse; on others within a quarter of three hours:
    if recipe.fine_g <= 0.5:
        assert doubled == pytest.approx(3.0, rel=0.25)


@pytest.mark.parametrize("room_c", [9.9, 35.1, math.nan])
def test_no_glass_is_set_up_in_a_cellar_or_an_oven(room_c: float) -> None:
    with pytest.raises(PlanError) as caught:
        recipe_for(Kitchen(), room_c)
    assert caught.value.problems[0].field == "room"


def test_progress_is_the_pace_at_the_rooms_warmth_added_up() -> None:
    """Oracle: `scipy.integrate.quad`. Read 21 C at the start, 23 after two hours: 22 between, 23 from then on."""
    glass = replace(GLASS, room=(RoomSpan(EVENING, 21.0), RoomSpan(EVENING + 2 * H, 23.0)))
    path = [22.0, 23.0]
    summed, _ = integrate.quad(lambda t: response(path[t >= 2 * H]), 0, 3 * H, points=[2 * H])
    assert unit_progress(glass, EVENING + 3 * H) == pytest.approx(summed * pace_per_s(RECIPE.make), rel=1e-6)
    assert unit_progress(glass, EVENING) == 0.0


def test_a_reading_of_the_room_from_before_the_line_counts_from_the_line_on() -> None:
    early = replace(GLASS, room=(RoomSpan(EVENING - H, 21.0),))
    assert unit_progress(early, EVENING + H) == unit_progress(GLASS, EVENING + H)


def test_the_time_of_a_rise_is_the_inverse_of_the_rise() -> None:
    for times in (1.3, 2.0, 2.8):
        assert expected_at(GLASS, when(GLASS, times), 0.0, 0.3).times == pytest.approx(times, abs=1e-3)
    assert when(GLASS, 2.0, 2.0) - EVENING == pytest.approx((when(GLASS, 2.0) - EVENING) / 2, abs=1)
    warmer = replace(GLASS, room=(*GLASS.room, RoomSpan(EVENING + H, 27.0)))
    assert when(warmer, 2.0) < when(GLASS, 2.0)


def test_the_band_of_what_it_will_show_is_that_of_the_kitchen() -> None:
    # Progress E ** 0.75 is exp(1.2816 x 0.36) = 1.586 times either way, so E 1.586 ** (4 / 3) = 1.850 times.
    look = expected_at(GLASS, when(GLASS, 2.0), 0.0, 0.36)
    assert (look.low, look.high) == pytest.approx((1 + 1 / 1.850, 1 + 1.850), abs=2e-3)


def test_one_reading_teaches_as_one_bake_with_its_glass() -> None:
    quick = read(GLASS, when(GLASS, 2.0), 2.5)
    (lesson,) = lessons_of("own-1", quick)
    assert (lesson.bake_id, lesson.seen, lesson.times) == ("own-1", "test-glass", 2.5)
    assert lesson.quicker == pytest.approx(1.5**0.75, rel=1e-3)  # E 1.5 where the model had 1
    found = posterior([lesson.observation], EVENING + 86400)
    assert 0.1 < found.mean < math.log(lesson.quicker)
    assert found.sd < 0.7 * PRIOR[1]


def test_two_readings_are_one_glass_and_the_same_instant_is_read_anew() -> None:
    at = when(GLASS, 1.6)
    twice = read(read(GLASS, at, 1.6), at + H, 2.1, 22.0)
    assert [one.at for one in twice.readings] == [at, at + H]
    assert twice.room == (RoomSpan(EVENING, 21.0), RoomSpan(at + H, 22.0))
    assert {one.bake_id for one in lessons_of("k", twice)} == {"k"}
    assert read(twice, at, 1.7).readings == (Glass(at, 1.7), Glass(at + H, 2.1))
    assert read(twice, at + H, 2.1, 24.0).room[-1].temp_c == 24.0


@pytest.mark.parametrize(
    ("at", "times", "field"),
    [
        (EVENING, 2.0, "at"),
        (EVENING + LONGEST_GLASS_S + 1, 2.0, "at"),
        (EVENING + H, 1.0, "times"),
        (EVENING + H, 13, "times"),
    ],
)
def test_a_reading_that_says_nothing_is_refused_at_its_field(at: int, times: float, field: str) -> None:
    with pytest.raises(PlanError) as caught:
        read(GLASS, at, times)
    assert caught.value.problems[0].field == field


def full(glass: SampleGlass) -> SampleGlass:
    return replace(glass, readings=tuple(Glass(EVENING + i, 2.0) for i in range(1, MOST_READINGS + 1)))


def test_a_glass_is_not_read_without_end() -> None:
    with pytest.raises(PlanError, match="now: glass-often"):
        read(full(GLASS), EVENING + H, 2.0)


def test_what_our_pages_make_is_a_glass_and_what_they_could_not_is_none() -> None:
    assert checked(full(GLASS)) == full(GLASS)
    spoilt = [
        replace(GLASS, recipe=replace(RECIPE, take_g=0.0)),
        replace(GLASS, recipe=replace(RECIPE, flour_g=math.nan)),
        replace(GLASS, room=()),
        replace(GLASS, room=(RoomSpan(EVENING + 5, 20.0), RoomSpan(EVENING, 20.0))),
        replace(GLASS, room=(RoomSpan(EVENING, -80.0),)),
        replace(GLASS, readings=(Glass(EVENING, 2.0),)),
        replace(GLASS, readings=(Glass(EVENING + LONGEST_GLASS_S + 1, 2.0),)),
        replace(GLASS, readings=(Glass(EVENING + 9, 2.0), Glass(EVENING + 5, 2.0))),
        replace(GLASS, readings=(Glass(EVENING + 9, 20.0),)),
        replace(GLASS, room=(RoomSpan(EVENING, -5.0),), readings=(Glass(EVENING + 9, 2.0),)),  # nothing rises there
        replace(GLASS, readings=full(GLASS).readings * 2),
    ]
    for one in spoilt:
        with pytest.raises(PlanError, match="glass: glass-not-ours"):
            checked(one)
