"""The weigh-out list: it adds up, keeps its proportions, and never loses salt or yeast."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given

from tests.core.scale.doughs import FINE
from tests.strategies import between, formulas, kitchens
from webapp.core.errors import PlanError
from webapp.core.formula.ingredients import Formula, Ingredient, Preferment
from webapp.core.kitchen import Kitchen
from webapp.core.scale.rounding import add_up
from webapp.core.scale.weighing import total_g, weigh_out
from webapp.data import doughs
from webapp.words.plan.weights import by_hand, named

OILED = Formula(
    "plain", "Plain", "tray",
    (
        Ingredient("flour", "Flour", "flour", 100, 0, ("gluten",)), Ingredient("water", "Water", "water", 70),
        Ingredient("salt", "Salt", "salt", 2.2), Ingredient("oil", "Olive oil", "fat", 3.0),
    ),
    yeast_percent=0.3,
)  # fmt: skip


def test_a_tray_dough_has_the_grams_of_the_worked_example() -> None:
    # trade notes, section 13: 540 g of 100 / 70 / 2.2 / 0.3 / 3 = 175.5 %: 307.69, 215.38, 6.77, 0.92, 9.23
    grams = {line.key: line.grams for line in weigh_out(OILED, 540, FINE)}
    expected = {"flour": 307.69, "water": 215.38, "salt": 6.77, "yeast": 0.92, "oil": 9.23}
    assert grams == pytest.approx(expected, abs=0.006)


@given(formulas(), between(300, 5000), kitchens())
def test_the_list_adds_up_and_no_line_is_off_by_a_whole_step(formula: Formula, dough: float, kitchen: Kitchen) -> None:
    lines = weigh_out(formula, dough, kitchen, measures=doughs.measures())
    for part in {line.part for line in lines}:
        rows = [line for line in lines if line.part == part and line.kind != "yeast"]  # yeast is dosed, not rounded
        step = kitchen.scale_step_g
        off = math.fsum(r.weigh_g - r.grams for r in rows)
        whole = any(r.kind == "preferment" for r in rows)  # which brings its own half step along
        assert abs(off) <= (step if whole else step / 2) + 1e-6
        for r in rows:
            assert r.weigh_g > 0
            if r.kind != "preferment":
                assert abs(r.weigh_g - r.grams) < step + 1e-6
    final = math.fsum(line.grams for line in lines if line.part == "dough")
    assert final == pytest.approx(dough)


@given(formulas(), between(300, 5000), between(0.5, 3))
def test_scaling_there_and_back_is_the_same_list(formula: Formula, dough: float, times: float) -> None:
    once: dict[str, float] = {}
    scaled: dict[str, float] = {}
    for found, mass in ((once, dough), (scaled, dough * times)):
        for line in weigh_out(formula, mass, FINE):
            name = f"{line.part}/{'water' if line.key == 'yeast-water' else line.key}"  # as poured together
            found[name] = found.get(name, 0.0) + line.grams
    assert {name: grams / times for name, grams in scaled.items()} == pytest.approx(once, rel=1e-9)


def test_odd_steps_go_to_the_heaviest_lines() -> None:
    assert add_up([400.4, 300.4, 8.4], 709.2, 1.0) == (401.0, 300.0, 8.0)


@pytest.mark.parametrize(
    ("exact", "total", "expected"),
    [
        ([400.6, 300.6, 8.6], 709.8, (400.0, 301.0, 9.0)),  # nearest would be 711: flour gives way, not salt
        ([10.0, 20.0], 30.0, (10.0, 20.0)),
        ([0.2, 100.0], 100.2, (1.0, 99.0)),  # salt is never nothing; the flour makes up for it
        ([0.0, 100.0], 100.0, (0.0, 100.0)),
        ([0.3, 0.3], 0.6, (1.0, 1.0)),
        ([], 0.0, ()),
    ],
)
def test_rounding_by_hand(exact: list[float], total: float, expected: tuple[float, ...]) -> None:
    assert add_up(exact, total, 1.0) == expected


@given(between(50, 900), between(50, 900), between(3, 60), between(3, 60))
def test_rounding_keeps_the_total_with_the_fewest_lines_moved(a: float, b: float, c: float, d: float) -> None:
    exact = [a, b, c, d]
    found = add_up(exact, sum(exact), 1.0)
    assert abs(sum(found) - sum(exact)) <= 0.5 + 1e-9
    nearest = [math.floor(x + 0.5) for x in exact]
    moved = sum(f != n for f, n in zip(found, nearest, strict=True))
    assert moved == abs(sum(nearest) - math.floor(sum(exact) + 0.5))  # oracle: each moved line mends exactly one step


def test_a_yeast_water_takes_its_water_out_of_the_recipes() -> None:
    lines = {line.key: line for line in weigh_out(replace(OILED, yeast_percent=0.1), 745, Kitchen(has_spoons=False))}
    assert lines["yeast"].dosing is not None
    assert lines["yeast"].dosing.kind == "yeast-water"
    assert lines["yeast-water"].weighed_by == "poured"
    assert lines["water"].grams + lines["yeast-water"].grams == pytest.approx(745 * 70 / 175.3, rel=1e-6)
    assert lines["water"].percent + lines["yeast-water"].percent == pytest.approx(70)


def test_salt_and_oil_go_on_the_fine_scale_where_a_gram_is_coarse() -> None:
    lines = {line.key: line for line in weigh_out(OILED, 540, FINE)}
    assert lines["salt"].weigh_g == pytest.approx(6.8)
    assert lines["salt"].weighed_by == "fine"
    assert lines["flour"].weigh_g == 308


def test_what_is_less_than_a_step_is_neither_nothing_nor_a_whole_step() -> None:
    lines = {line.key: line for line in weigh_out(OILED, 200, Kitchen(scale_step_g=5.0), measures=doughs.measures())}
    assert lines["salt"].grams == pytest.approx(2.5, abs=0.05)
    assert lines["salt"].weigh_g == pytest.approx(2.5)
    assert (lines["salt"].weighed_by, lines["salt"].teaspoons) == ("too-little", 0.375)


def test_spoons_are_a_hint_for_small_lines_only_and_only_where_they_are_owned() -> None:
    lines = {line.key: line for line in weigh_out(OILED, 540, FINE, measures=doughs.measures())}
    assert lines["salt"].teaspoons == 1.25  # 6.8 g at 6 g a teaspoon (USDA, from memory)
    assert lines["flour"].teaspoons == 0
    coarse = {line.key: line for line in weigh_out(OILED, 540, Kitchen(scale_step_g=5.0), measures=doughs.measures())}
    assert coarse["salt"].teaspoons == 1.25  # of the salt wanted, not of the 5 g that such a scale shows
    without = weigh_out(OILED, 540, replace(FINE, has_spoons=False), measures=doughs.measures())
    assert all(line.teaspoons == 0 for line in without)
    large = {line.key: line for line in weigh_out(OILED, 9000, FINE, measures=doughs.measures())}
    assert large["salt"].teaspoons == 0


def test_a_preferment_comes_first_with_its_own_lines_and_goes_in_whole() -> None:
    formula = replace(OILED, preferment=Preferment("poolish", "Poolish", "poolish", 30, 100, 0.1))
    lines = weigh_out(formula, 745, FINE, water_c=24.0)
    assert [line.part for line in lines] == sorted((line.part for line in lines), reverse=True)
    made = math.fsum(line.weigh_g for line in lines if line.part == "poolish")
    (whole,) = [line for line in lines if line.kind == "preferment"]
    assert whole.weigh_g == pytest.approx(made)
    assert total_g(lines) == pytest.approx(745, abs=0.5 + 1e-6)
    assert "°C" not in lines[0].note  # the temperature is the final dough's water


def test_a_dough_whose_yeast_is_all_in_the_preferment_has_no_yeast_line() -> None:
    formula = replace(OILED, preferment=Preferment("biga", "Biga", "biga", 50, 50, 0.6))
    lines = weigh_out(formula, 745, Kitchen())
    assert [line.part for line in lines if line.kind == "yeast"] == ["biga"]


@pytest.mark.parametrize("dough", [0.0, 1e9, math.nan])
def test_no_dough_and_a_lorryful_are_refused(dough: float) -> None:
    with pytest.raises(PlanError, match="dough_g: dough-mass"):
        weigh_out(OILED, dough, Kitchen())


@pytest.mark.parametrize(
    "kitchen", [Kitchen(scale_step_g=0.0), Kitchen(scale_step_g=math.nan), Kitchen(micro_step_g=-1.0)]
)
def test_a_scale_without_a_step_is_refused(kitchen: Kitchen) -> None:
    with pytest.raises(PlanError, match="scale_step: no-scale-step"):
        weigh_out(OILED, 745, kitchen)


def test_a_formula_that_cannot_work_is_not_weighed() -> None:
    with pytest.raises(PlanError, match="water: no-water"):
        weigh_out(replace(OILED, ingredients=OILED.ingredients[:1]), 745, Kitchen())


def test_a_yeast_water_is_one_thing_to_weigh() -> None:
    lines = named(weigh_out(replace(OILED, yeast_percent=0.1), 745, Kitchen(has_spoons=False)), "instant")
    poured = by_hand(lines)
    water = next(line for line in poured if line.name == "Yeast water")
    assert len(poured) == len(lines) - 1
    # by hand: 425 g flour x 0.1 % = 0.425 g; 4 g stirred into 80 g, 1 in 21, is 8.9 g, off by 12.5 + 0.6 + 5.6 %, a
    # little too much; into 100 g it is 1 in 26: 11.05 g, poured 11
    assert water.weigh_g == pytest.approx(11)
    assert total_g(poured) == pytest.approx(total_g(lines))
    assert by_hand(poured) == poured
    assert by_hand(weigh_out(OILED, 540, FINE)) == weigh_out(OILED, 540, FINE)  # nothing is dosed in water here
