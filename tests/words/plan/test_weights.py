"""How to weigh, in words: notes of the list and doses, in the units that this kitchen's scales show."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.samples import sample_plan
from tests.strategies import between
from tests.words.fresh import fresh_plan
from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kinds import DoseKind, WeighedBy, YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Dosing, WeighLine, YeastWater
from webapp.core.scale.dosing import dosing
from webapp.core.scale.measures import Measure, in_spoons
from webapp.core.scale.weighing import weigh_out
from webapp.core.units import mass_text
from webapp.words.plan.weights import (
    Scales,
    dose_words,
    ice_words,
    mass_of_line,
    note,
    other_pan_note,
    part_name,
    pour_list,
    scales_here,
    scales_of,
    spoons_words,
    yeast_dose_words,
)

OUNCE = 28.349523125  # g, international yard and pound agreement of 1959
ROWS = (
    Ingredient("flour", "Flour", "flour", 100, 0, ("gluten",)), Ingredient("water", "Water", "water", 70),
    Ingredient("salt", "Salt", "salt", 2.2), Ingredient("oil", "Olive oil", "fat", 3.0),
)  # fmt: skip
PLAIN = Formula("plain", "Plain", "tray", ROWS, yeast_percent=0.3)
FINE = Kitchen(micro_step_g=0.01)


def test_every_way_of_dosing_is_said_and_how_sure_it_is() -> None:
    scales = Scales(yeast_kind="fresh")
    said = {
        "scale": (Dosing("scale", 4.2, 3.0, step_g=0.5), "Weigh 3 g of yeast. That is exact enough."),
        "micro": (
            Dosing("micro", 0.2, 0.68, step_g=0.01), "On the fine scale, weigh 0.68 g of yeast. That is exact enough."
        ),
        "spoon": (Dosing("spoon", 20.0, 0.8, teaspoons=0.25), "Take 1/4 tsp of yeast, level. That may be off by 20 %."),
        "yeast-water": (
            Dosing("yeast-water", 6.0, 0.4, 2.0, 100.0, 20.4, 20.0, 1.0, 1.0),
            "Stir 2 g of fresh yeast into 100 g of water until none is left to see. "
            "20 g of it goes in; throw the rest away. That is exact enough.",
        ),
        "none": (
            Dosing("none", 100.0, 0.2),
            "0.2 g is too little for this kitchen's scale: it takes measuring spoons or a finer one.",
        ),
    }  # fmt: skip
    assert set(said) == set(get_args(DoseKind))
    for dose, words in said.values():
        assert dose_words(dose, scales) == words


def test_below_its_line_a_dose_says_neither_the_grams_again_nor_that_all_is_well() -> None:
    """The list has them in big figures right above; where it counts in ounces, a fine scale still shows grams."""
    fine, coarse = Dosing("micro", 0.2, 0.68, step_g=0.01), Dosing("scale", 4.2, 3.0, step_g=0.5)
    row = WeighLine("yeast", "Yeast", "yeast", "dough", 0.1, 0.68, 0.68, dosing=fine, weighed_by="dosed")
    assert note(row, Scales()) == "On the fine scale."
    assert note(replace(row, dosing=coarse), Scales()) == "", "what is exact needs no word"
    assert "weigh 0.68 g" in note(row, Scales(mass_unit="oz", micro_step_g=0.01))
    assert other_pan_note(replace(row, dosing=coarse), Scales()), "else the kitchen waits for what is said of that pan"


@given(between(50, 900), between(0.05, 2.5), st.sampled_from([FINE, replace(FINE, micro_step_g=0.1), Kitchen()]))
def test_what_its_line_shows_is_what_the_dose_says(flour_g: float, percent: float, kitchen: Kitchen) -> None:
    for line in weigh_out(replace(PLAIN, yeast_percent=percent), flour_g, kitchen):
        if line.dosing and line.dosing.kind in ("scale", "micro"):
            assert mass_text(line.weigh_g) == mass_text(line.dosing.yeast_g)


def test_what_an_error_does_to_the_time_is_said_where_somebody_would_notice() -> None:
    """Time goes as yeast to the power of -0.6 (fitted to published formulas): a fifth too little yeast makes
    0.8 ** -0.6 = 1.143 times as long, of 9 h 1 h 17 min; a hundredth too little 3 min, which nobody notices."""
    spoon = Dosing("spoon", 20.0, 0.8, teaspoons=0.25)
    nine = Scales(rise_s=9 * 3600)
    assert dose_words(spoon, nine) == (
        "Take 1/4 tsp of yeast, level. That may have it ready up to 1 h 15 min sooner or later."
    )
    fine = Dosing("micro", 1.0, 0.8, step_g=0.01, teaspoons=0.25, spoon_error_percent=18.1)
    assert dose_words(fine, nine) == (
        "On the fine scale, weigh 0.8 g of yeast. That is exact enough. "
        "Or 1/4 tsp, level: ready up to 1 h 10 min sooner or later."
    )


def test_the_easy_way_comes_first_and_says_that_supper_holds_the_exact_one_behind_it() -> None:
    water = YeastWater(4.0, 60.0, 11.0, 10.3, 1.0, 1.0)
    spoon = Dosing("spoon", 24.0, 0.78, teaspoons=0.25, exact=water, is_forgiven=True)
    # 0.76 ** -0.6 = 1.179: of 9 h 1 h 37 min more, a dough as quick or slow as that may be eaten as planned
    said = "Take 1/4 tsp of yeast, level. Ready up to 1 h 35 min sooner or later: keep to the plan, supper holds. More"
    assert dose_words(spoon, Scales(rise_s=9 * 3600)).startswith(said)
    assert dose_words(spoon, Scales()) == (
        "Take 1/4 tsp of yeast, level. Near enough: supper holds. More exact: stir 4 g of instant "
        "yeast into 60 g of water until none is left to see; 11 g of it goes in, and 10 g less water."
    )
    # All the water in one line: what is left of it is said, nobody has to take 10 g from 297 g at the scale.
    assert dose_words(spoon, Scales(water_g=297.0)).endswith("11 g of it goes in, and 10 g less water: 287 g.")
    assert dose_words(spoon, Scales(water_g=10.0)).endswith("and 10 g less water."), "none is left to be weighed"
    twice = replace(spoon, exact=replace(water, part_g=20.0, more_water_g=80.0))
    assert "left to see; Stir" not in dose_words(twice, Scales())
    assert "; stir 20 g of that into 80 g of water; 11 g of it goes in" in dose_words(twice, Scales())


def test_the_yeast_is_told_in_grams_and_in_spoons_where_a_spoon_measures_it() -> None:
    plan = sample_plan()
    spoon = Dosing("spoon", 24.0, 0.78, teaspoons=0.25, is_forgiven=True)

    def with_dose(dose: Dosing | None) -> str:
        lines = tuple(replace(one, dosing=dose) if one.kind == "yeast" else one for one in plan.lines)
        return yeast_dose_words(replace(plan, lines=lines), "g")

    grams = next(line.weigh_g for line in plan.lines if line.kind == "yeast")
    assert with_dose(spoon) == f"{grams:g} g (1/4 tsp)"
    assert with_dose(None) == f"{grams:g} g" == with_dose(replace(spoon, kind="scale", teaspoons=0.0))


def test_yeast_that_is_stirred_twice_is_told_in_its_order() -> None:
    twice = Dosing("yeast-water", 14.7, 0.1, 8.0, 72.0, 10.0, 9.9, 1.0, 1.0, part_g=20.0, more_water_g=180.0)
    assert dose_words(twice, Scales()).startswith(
        "Stir 8 g of instant yeast into 72 g of water until none is left to see. Stir 20 g of that into 180 g of water."
        " 10 g of it goes in; throw the rest away."
    )


# Active dry yeast: 38-43 C, 100-110 F, until it foams (common practice); over 46 C it dies (bakeinfo.co.nz).
def test_active_dry_yeast_is_woken_in_warm_water_and_no_other_is() -> None:
    weighed = Dosing("micro", 1.0, 0.8, step_g=0.01)
    stirred = Dosing("yeast-water", 6.0, 0.4, 2.0, 100.0, 20.4, 20.0, 1.0, 1.0)
    for kind in get_args(YeastKind):
        said = [dose_words(dose, Scales(yeast_kind=kind)) for dose in (weighed, stirred)]
        assert all(("40 °C" in words and "foams" in words) is (kind == "active-dry") for words in said), said
    american = dose_words(weighed, Scales(heat_unit="F", yeast_kind="active-dry"))
    assert "104 °F, never over 113 °F" in american


def test_instant_yeast_beside_cold_water_goes_into_the_flour() -> None:
    """Makers want it in the flour where the water is below 70 F, 21 C (from memory); a yeast water is stirred apart."""
    plan = fresh_plan()
    said = "Stir it into the flour first: water this cold weakens it."
    weighed = dosing(2.0, Kitchen(micro_step_g=0.01))
    line = WeighLine("yeast", "", "yeast", "dough", 0.4, 2.0, 2.0, weighed_by="dosed", dosing=weighed)
    for kind in get_args(YeastKind):
        cold, warm = (scales_of(replace(plan, water_c=water_c, yeast_kind=kind)) for water_c in (16.0, 22.0))
        assert (said in note(line, cold)) == (kind == "instant")
        assert said not in note(line, warm)
    cold = scales_of(replace(plan, water_c=16.0))
    stirred = replace(line, dosing=dosing(0.2, Kitchen(has_spoons=False)))
    assert stirred.dosing
    assert stirred.dosing.kind == "yeast-water"
    assert said not in note(stirred, cold)


def test_every_way_of_weighing_a_line_has_its_note() -> None:
    line = WeighLine("x", "X", "other", "dough", 1.0, 10.0, 10.0)
    said = {by: note(replace(line, weighed_by=by), Scales()) for by in get_args(WeighedBy)}
    assert said.pop("scale") == said.pop("dosed") == ""  # nothing to say; a dose says itself
    assert all(words.endswith(".") for words in said.values())
    assert len(set(said.values())) == len(said)


def test_a_note_says_warmth_scale_spoons_and_ice_in_this_order() -> None:
    line = WeighLine("x", "X", "water", "dough", 1.0, 10.0, 10.0, weighed_by="too-little", teaspoons=0.375, at_c=2.0,
                     ice_g=45.0)  # fmt: skip
    assert note(line, Scales(tap_c=18.0)) == (
        "At 2 °C. Too little for the scale. 1/4 + 1/8 tsp level. "
        "45 g of it as ice, for the tap runs at 18 °C: let it melt."
    )
    assert ice_words(0.0, Scales()) == ""


def test_the_pour_list_keeps_its_order_and_its_unit() -> None:
    lines = sample_plan().lines[:3]
    assert pour_list(lines) == "297 g water, 0.51 g instant yeast and 425 g strong white flour"
    assert mass_of_line(lines[2], "oz") == "15 oz strong white flour"  # 425 / 28.349523 = 14.991, on a scale of 0.05


@given(between(0.15, 4), st.sampled_from([0.05, 0.1]), st.sampled_from([0.0, 0.01, 0.1]))
def test_what_is_said_in_ounces_gives_the_dose_and_can_be_read_off_an_ounce_scale(
    yeast_g: float, step_oz: float, micro_g: float
) -> None:
    kitchen = Kitchen(mass_unit="oz", scale_step_g=step_oz * OUNCE, micro_step_g=micro_g, has_spoons=False)
    found = dosing(yeast_g, kitchen, water_g=1000)
    if found.kind == "none":
        return
    said_of_it = dose_words(found, scales_here(kitchen, "instant"))
    said = [(float(n), unit) for n, unit in re.findall(r"([\d.]+) (g|oz)\b", said_of_it)]
    weighed = [n * OUNCE if unit == "oz" else n for n, unit in said]
    assert all(abs(n / step_oz - round(n / step_oz)) < 1e-6 for n, unit in said if unit == "oz"), said_of_it
    given_g = weighed[0] if len(weighed) == 1 else weighed[2] * weighed[0] / (weighed[0] + weighed[1])
    assert abs(given_g / yeast_g - 1) * 100 <= found.error_percent + 0.5, said_of_it


def test_a_fine_scale_shows_grams_in_a_kitchen_of_ounces_too() -> None:
    # 0.68 g would read 0.02 oz, which is 0.57 g: a sixth too little.
    fine = Kitchen(mass_unit="oz", micro_step_g=0.01, has_spoons=False)
    assert dose_words(dosing(0.68, fine), scales_here(fine, "instant")).startswith(
        "On the fine scale, weigh 0.68 g of yeast."
    )


@pytest.mark.parametrize(
    ("grams", "text"),
    [(0.1, "1/8 tsp"), (3.0, "1/2 tsp"), (6.0, "1 tsp"), (10.5, "1 3/4 tsp"), (18.0, "1 tbsp"),
     (27.0, "1 tbsp + 1 1/2 tsp"), (40.0, "2 tbsp + 1/2 tsp")],
)  # fmt: skip
def test_spoons_are_said_as_a_cook_counts_them(grams: float, text: str) -> None:
    assert spoons_words(float(in_spoons(grams, Measure("salt", "Salt", 6.0, 10.0)).teaspoons)) == text


@pytest.mark.parametrize(
    ("exact", "text"),
    [(0.324, "1/4 + 1/8 tsp"), (0.06, "1/8 tsp"), (0.6, "1/2 + 1/8 tsp"), (0.9, "3/4 + 1/8 tsp"), (1.55, "1 1/2 tsp"),
     (2.625, "2 3/4 tsp"), (3.2, "1 tbsp"), (7.3, "2 tbsp + 1 1/2 tsp")],
)  # fmt: skip
def test_spoons_of_a_dose_for_another_pan_are_the_nearest_that_can_be_taken(exact: float, text: str) -> None:
    """By hand. A set has spoons of an eighth, a quarter, a half and one teaspoon and of a tablespoon (common practice),
    so 0.324 is a quarter and an eighth (0.375), nearer than a quarter; the least is an eighth. Above a teaspoon nobody
    takes four spoons for one amount: 1.55 is nearer to 1 1/2 than to 1 3/4, 2 5/8 as near to 2 3/4 as to 2 1/2; above a
    tablespoon halves: 3.2 is nearer to 3 than to 3.5."""
    assert spoons_words(exact) == text


@pytest.mark.parametrize(("unit", "words"), [("C", "At 27 °C."), ("F", "At 81 °F.")])
def test_the_water_line_says_how_warm_in_the_persons_unit(unit: str, words: str) -> None:
    lines = weigh_out(PLAIN, 745, replace(FINE, heat_unit=unit), water_c=27.0)
    (water,) = [line for line in lines if line.kind == "water"]
    assert note(water, scales_here(replace(FINE, heat_unit=unit), "instant")) == words


def test_in_a_kitchen_of_ounces_what_goes_on_the_fine_scale_is_said_in_the_grams_it_shows() -> None:
    ounces = replace(FINE, mass_unit="oz", scale_step_g=0.05 * 28.349523125)
    salt = next(line for line in weigh_out(PLAIN, 540, ounces) if line.key == "salt")
    assert salt.weigh_g == pytest.approx(6.77, abs=0.1)  # 307.69 x 2.2 %
    said = note(salt, scales_here(ounces, "instant"))
    assert said.startswith(f"On the fine scale: {salt.weigh_g:.2f}".rstrip("0"))
    assert " g." in said


def test_what_is_made_ahead_goes_by_the_name_its_formula_gives_it() -> None:
    plan = sample_plan()
    ahead = WeighLine("own-starter", "Our starter", "preferment", "dough", 40.0, 200.0, 200.0)
    assert part_name(replace(plan, lines=(*plan.lines, ahead)), "own-starter") == "Our starter"
    assert part_name(plan, "own-starter") == "own-starter", "a plan that does not say keeps its key"
