"""An over-pour: nothing is taken out, everything else rises in proportion, said twice it changes nothing more."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.scale.doughs import FINE, PLAIN
from tests.strategies import between, formulas, kitchens
from webapp.core.errors import PlanError
from webapp.core.formula import check
from webapp.core.formula.ingredients import Formula, Ingredient, Preferment
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import WeighLine
from webapp.core.scale.as_made import rescaled
from webapp.core.scale.mending import LIVED, percent_of
from webapp.core.scale.weighing import line_id, mended, total_g, weigh_out
from webapp.data import doughs
from webapp.machine import folders
from webapp.words.screen.bundle import HELP

AHEAD = replace(PLAIN, preferment=Preferment("poolish", "Poolish", "poolish", 30, 100, 0.1))


def by_id(lines: tuple[WeighLine, ...]) -> dict[str, WeighLine]:
    return {line_id(line): line for line in lines}


def overall(lines: tuple[WeighLine, ...]) -> dict[str, float]:
    """Exact grams by ingredient, all parts together."""
    total: dict[str, float] = {}
    for line in lines:
        if line.kind != "preferment":
            total[line.key] = total.get(line.key, 0.0) + line.grams
    return total


def test_twenty_percent_too_much_water_makes_a_dough_twenty_percent_bigger() -> None:
    lines = weigh_out(PLAIN, 1725, FINE)  # by hand: 1000 flour, 700 water, 20 salt, 5 yeast
    found = mended(lines, {"dough/water": 840.0})
    after = by_id(found.lines)
    assert found.factor == pytest.approx(1.2)
    assert (after["dough/flour"].weigh_g, after["dough/water"].weigh_g) == (1200, 840)
    assert after["dough/salt"].weigh_g == pytest.approx(24)
    assert after["dough/yeast"].weigh_g == pytest.approx(6)
    assert (found.dough_g, found.added_g) == (pytest.approx(2070, abs=1), pytest.approx(345, abs=1))


@given(formulas(preferment=False), between(400, 3000), between(1.02, 1.6), st.data())
def test_whichever_line_went_over_the_proportions_are_kept(
    formula: Formula, dough: float, times: float, data: st.DataObject
) -> None:
    lines = weigh_out(formula, dough, FINE)
    over = data.draw(st.sampled_from(lines))
    poured = max(over.weigh_g, over.grams) * times
    found = mended(lines, {line_id(over): poured})
    for before, after in zip(lines, found.lines, strict=True):
        assert after.grams / before.grams == pytest.approx(poured / over.grams)
        most = max(0.5001, before.weigh_g - after.grams)  # never less than may be in the bowl already
        assert after.weigh_g == pytest.approx(after.grams, abs=most)
    assert by_id(found.lines)[line_id(over)].weigh_g >= poured - 1e-9


@given(formulas(preferment=False), between(400, 3000), between(0.3, 1.5), between(0.3, 1.5))
def test_two_over_pours_in_either_order_end_in_the_larger(formula: Formula, dough: float, a: float, b: float) -> None:
    lines = weigh_out(formula, dough, FINE)
    ends = ((lines[0], a), (lines[-1], b))
    poured = {line_id(line): line.weigh_g * times for line, times in ends}
    together = mended(lines, poured)
    over = [line.weigh_g * times / line.grams for line, times in ends if times > 1]
    assert together.factor == pytest.approx(max([1.0, *over]))
    for name, grams in poured.items():  # what is in the bowl stays in the bowl
        assert by_id(together.lines)[name].weigh_g >= grams - 1e-9
    one_by_one = lines
    for name, grams in poured.items():
        one_by_one = mended(one_by_one, {name: grams}).lines
    half_step = 0.5 / min(lines[0].weigh_g, lines[-1].weigh_g)  # the list in between is rounded to the scale
    for x, y in zip(together.lines, one_by_one, strict=True):
        assert x.grams == pytest.approx(y.grams, rel=0.01 + 1.5 * half_step)


@given(between(300, 1500))
def test_saying_the_same_twice_changes_nothing_more(poured: float) -> None:
    lines = weigh_out(PLAIN, 1725, FINE)
    once = mended(lines, {"dough/water": poured}).lines
    assert mended(once, {"dough/water": poured}).lines == once


def test_what_a_formula_names_and_wants_none_of_grows_with_nothing() -> None:
    oil = Ingredient("oil-0", "Oil", "fat", 0.0)
    lines = weigh_out(replace(PLAIN, ingredients=(*PLAIN.ingredients, oil)), 1725, FINE)
    after = by_id(mended(lines, {"dough/water": 840.0}).lines)  # by hand: 700 wanted
    assert after["dough/flour"].weigh_g == 1200
    assert after["dough/oil-0"].grams == 0
    assert mended(lines, {"dough/oil-0": 5.0}).factor == 1.0


def test_less_than_asked_for_is_no_over_pour() -> None:
    lines = weigh_out(PLAIN, 1725, FINE)
    assert mended(lines, {"dough/water": 500.0, "dough/flour": 1000.0}).lines == lines
    assert mended(lines, {}).factor == 1.0


def test_an_over_pour_while_the_preferment_is_made_scales_everything() -> None:
    lines = weigh_out(AHEAD, 1725, FINE)
    flour = by_id(lines)["poolish/flour"].weigh_g
    found = mended(lines, {"poolish/flour": flour * 1.1})
    for old, line in zip(lines, found.lines, strict=True):
        assert line.grams / old.grams == pytest.approx(1.1)


def test_a_finished_preferment_stays_and_the_overall_formula_is_kept() -> None:
    lines = weigh_out(AHEAD, 1725, FINE)
    before, over = by_id(lines), by_id(lines)["dough/water"].weigh_g + 140  # a fifth of all the water
    found = mended(lines, {"dough/water": over})
    after = by_id(found.lines)
    for key in ("poolish/flour", "poolish/water", "poolish/yeast", "dough/poolish"):
        assert after[key] == before[key]
    old, new = overall(lines), overall(found.lines)
    assert {key: new[key] / old[key] for key in old} == pytest.approx(dict.fromkeys(old, 1.2), rel=0.002)
    assert after["dough/water"].weigh_g == pytest.approx(over)
    assert total_g(found.lines) == pytest.approx(1.2 * 1725, rel=0.002)


def test_over_pours_in_both_parts_are_both_kept() -> None:
    lines = weigh_out(AHEAD, 1725, FINE)
    rows = by_id(lines)
    poured = {"poolish/water": rows["poolish/water"].weigh_g * 1.1, "dough/salt": rows["dough/salt"].weigh_g * 1.3}
    found = mended(lines, poured)
    old, new = overall(lines), overall(found.lines)
    assert {key: new[key] / old[key] for key in old} == pytest.approx(dict.fromkeys(old, 1.3), rel=0.002)
    assert by_id(found.lines)["poolish/flour"].grams == pytest.approx(1.1 * rows["poolish/flour"].grams)


def test_water_over_poured_in_both_parts_counts_as_all_the_water_that_is_in() -> None:
    """A tenth too much in the poolish, 200 g too much in the dough: by hand, all that was poured over all asked for."""
    lines = weigh_out(AHEAD, 1725, FINE)
    ahead, final = (by_id(lines)[key].weigh_g for key in ("poolish/water", "dough/water"))
    found = mended(lines, {"poolish/water": ahead * 1.1, "dough/water": final + 200})
    assert found.factor == pytest.approx((ahead * 1.1 + final + 200) / (ahead + final), rel=0.002)
    old, new = overall(lines), overall(found.lines)
    assert {key: new[key] / old[key] for key in old} == pytest.approx(dict.fromkeys(old, found.factor), rel=0.002)


def test_a_whole_preferment_cannot_go_over() -> None:
    lines = weigh_out(AHEAD, 1725, FINE)
    assert mended(lines, {"dough/poolish": 5000.0}).factor == 1.0


# By hand: 1000 g of flour, 20 g of salt asked for, 29 in: 2.9 % (Lahey bakes pizza with 3.2).
def test_a_little_too_much_salt_is_lived_with_and_named_in_percent() -> None:
    lines = weigh_out(PLAIN, 1725, FINE)
    found = mended(lines, {"dough/salt": 29.0}, kept={"dough/salt"})
    assert found.factor == 1.0
    after = by_id(found.lines)
    assert after["dough/salt"].weigh_g == 29.0
    assert {key: after[key] for key in after if key != "dough/salt"} == {
        key: line for key, line in by_id(lines).items() if key != "dough/salt"
    }
    assert percent_of("salt", lines) == pytest.approx(2.0)
    assert percent_of("salt", lines, {"dough/salt": 29.0}) == pytest.approx(2.9)
    assert 2.9 < LIVED["salt"] <= 3.2
    assert percent_of("salt", tuple(line for line in lines if line.kind != "flour")) == 0.0


def test_a_splash_of_oil_too_much_makes_no_bigger_dough_and_is_named_in_percent() -> None:
    """By hand: 1000 g of flour, 30 g of oil asked for, 65 in: 6.5 %. Up to 6 % of fat has no clear effect on the rise,
    over 10 % slows it (common practice); grown with it the dough would be 65 / 30 times as much."""
    oily = replace(PLAIN, ingredients=(*PLAIN.ingredients, Ingredient("oil", "Oil", "fat", 3.0)))
    lines = weigh_out(oily, 1755, FINE)
    oil = next(name for name, line in by_id(lines).items() if line.kind == "fat")
    assert by_id(lines)[oil].grams == pytest.approx(30)
    assert mended(lines, {oil: 65.0}).factor == pytest.approx(65 / 30)
    found = mended(lines, {oil: 65.0}, kept={oil})
    assert (found.factor, by_id(found.lines)[oil].weigh_g) == (1.0, 65.0)
    assert percent_of("fat", lines, {oil: 65.0}) == pytest.approx(6.5)
    assert 6.0 <= LIVED["fat"] <= 10.0


def test_the_phone_knows_what_is_lived_with_and_where_a_dough_ends_as_the_server_does() -> None:
    """What it says past each of them is said from these figures in words/screen/bundle.py."""
    script = (folders.static_folder() / "js" / "scale" / "mending.js").read_text(encoding="utf-8")
    told = {
        name: {kind: float(most) for kind, most in re.findall(r"(\w+): ([\d.]+)", figures)}
        for name, figures in re.findall(r"export const (LIVED|MOST) = \{(.*?)\};", script)
    }
    assert told == {"LIVED": LIVED, "MOST": {"salt": check._MOST_SALT, "fat": check._MOST_FAT}}
    assert f"up to {LIVED['salt']:g} %" in HELP["over-salt"]
    assert f"Past {check._MOST_SALT:g} %" in HELP["past-salt"]
    assert f"Past {LIVED['fat']:g} %" in HELP["over-fat"]
    assert f"Past {check._MOST_FAT:g} %" in HELP["past-fat"]


def test_beside_salt_that_is_lived_with_an_over_pour_still_asks_for_more_of_all_else() -> None:
    lines = weigh_out(PLAIN, 1725, FINE)
    after = by_id(mended(lines, {"dough/salt": 29.0, "dough/water": 770.0}, kept={"dough/salt"}).lines)
    assert after["dough/flour"].weigh_g == pytest.approx(1100)
    assert after["dough/salt"].weigh_g == 29.0, "22 g would have been asked for, and more is in"


def test_a_dose_is_kept_and_how_much_more_of_it_is_told() -> None:
    lines = weigh_out(replace(PLAIN, yeast_percent=0.1), 745, Kitchen(has_spoons=False))
    after = by_id(mended(lines, {"dough/flour": by_id(lines)["dough/flour"].grams * 1.25}).lines)
    assert after["dough/yeast"].times == pytest.approx(1.25)
    assert after["dough/yeast"].dosing == by_id(lines)["dough/yeast"].dosing


def test_what_the_scale_rounded_is_not_grown() -> None:
    """By hand: 2.65 g of yeast stand as 3 g on a scale of 1 g. With 1500 g of flour for 1276 it is 1.1755 times the
    dough: 3.1 g of yeast are due, which is 3 and not 3 x 1.1755 = 3.5, shown as 4. Of 7.39 g of salt, shown as 7, 9 g
    are 1.218 times as much and not 9 / 7 = 1.286: at 2.0 % of 369.5 g the flour goes to 450 g and stays at 2.0 %."""
    grams = Kitchen(has_spoons=False)
    lines = weigh_out(
        replace(PLAIN, yeast_percent=2.65 / 12.76), 1276 * (172 + 2.65 / 12.76) / 100, grams, None, None, 99
    )
    rows = by_id(lines)
    assert (rows["dough/flour"].weigh_g, rows["dough/yeast"].weigh_g) == (1276, 3)
    assert rows["dough/yeast"].grams == pytest.approx(2.65)
    assert by_id(mended(lines, {"dough/flour": 1500.0}).lines)["dough/yeast"].weigh_g == 3
    lines = weigh_out(PLAIN, 369.5 * 1.725, grams)
    assert by_id(lines)["dough/salt"].weigh_g == 7
    found = mended(lines, {"dough/salt": 9.0})
    assert found.factor == pytest.approx(9 / 7.39)
    assert by_id(found.lines)["dough/flour"].weigh_g == 450
    assert percent_of("salt", found.lines) == pytest.approx(2.0)


def test_a_yeast_spoon_for_a_larger_dough_is_counted_from_what_is_due() -> None:
    """By hand: 2.07 g are 5/8 tsp, which hold 1.94 g at 3.1 g (Reinhart). Of 1.1 times as much 2.28 g are due, 0.735
    tsp, which is 3/4; 5/8 times 1.1 would have been 0.69, and 11/16 is no spoon."""
    lines = weigh_out(
        replace(PLAIN, yeast_percent=0.207), 1722.07, Kitchen(), measures=doughs.measures(), forgiven_percent=40
    )
    assert by_id(lines)["dough/yeast"].weigh_g == pytest.approx(0.625 * 3.1)
    for grown in (mended(lines, {"dough/flour": 1100.0}).lines, rescaled(lines, 1.1, 1.0)):
        assert by_id(tuple(grown))["dough/yeast"].weigh_g == pytest.approx(2.277, abs=0.006)


def test_a_list_in_ounces_is_mended_on_its_own_scale() -> None:
    step = 28.349523125 / 10
    lines = weigh_out(PLAIN, 1725, Kitchen(scale_step_g=step, mass_unit="oz"))
    after = by_id(mended(lines, {"dough/water": 850.0}, step).lines)
    steps = after["dough/flour"].weigh_g / step
    assert steps == pytest.approx(round(steps), abs=1e-6)


@pytest.mark.parametrize(
    ("name", "grams", "field"),
    [("dough/gold", 5.0, "line"), ("dough/water", -1.0, "grams"), ("dough/water", math.nan, "grams"),
     ("dough/water", math.inf, "grams")],
)  # fmt: skip
def test_what_was_not_poured_is_refused(name: str, grams: float, field: str) -> None:
    with pytest.raises(PlanError) as caught:
        mended(weigh_out(PLAIN, 745, FINE), {name: grams})
    assert caught.value.problems[0].field == field


@given(formulas(preferment=True), between(400, 3000), between(1.02, 1.6), kitchens(), st.data())
def test_with_a_preferment_and_yeast_water_the_overall_formula_is_kept_to_the_gram(
    formula: Formula, dough: float, times: float, kitchen: Kitchen, data: st.DataObject
) -> None:
    """The water that the yeast came in counts as water, wherever it is: in the preferment, the final dough or both."""
    lines = weigh_out(formula, dough, kitchen)
    over = data.draw(st.sampled_from([line for line in lines if line.kind not in ("preferment", "yeast")]))
    found = mended(lines, {line_id(over): over.weigh_g * times})
    old, new = overall_with_its_water(lines), overall_with_its_water(found.lines)
    assert {key: new[key] / old[key] for key in old} == pytest.approx(dict.fromkeys(old, found.factor), rel=1e-9)


def overall_with_its_water(lines: tuple[WeighLine, ...]) -> dict[str, float]:
    total = overall(lines)
    total["water"] = total.get("water", 0.0) + total.pop("yeast-water", 0.0)
    return total


def two_waters(yeast_g: float) -> tuple[WeighLine, ...]:
    """100 g of water and 100 of flour ahead with 1 g of yeast; 60 + 40 g of water and `yeast_g` in the dough."""
    rows = (
        ("water", "water", "poolish", 100.0), ("yeast", "yeast", "poolish", 1.0), ("flour", "flour", "poolish", 100.0),
        ("water", "water", "dough", 60.0), ("yeast", "yeast", "dough", yeast_g),
        ("yeast-water", "water", "dough", 40.0), ("flour", "flour", "dough", 200.0),
    )  # fmt: skip
    return tuple(WeighLine(key, key, kind, part, grams, grams, grams) for key, kind, part, grams in rows)


def test_yeast_water_grows_with_its_yeast_and_the_water_makes_up_the_rest() -> None:
    """By hand: 250 g of flour in the bowl in place of 200 make 350 of 300 in all, a factor of 7/6.

    Yeast: 7/6 x 3 g - 1 g ahead = 2.5 g for 2, so 1.25 times; its water 40 x 1.25 = 50 g. All water 7/6 x 200 =
    233.33 g, less 100 ahead and these 50: 83.33 g.
    """
    after = by_id(mended(two_waters(2.0), {"dough/flour": 250.0}).lines)
    assert after["dough/yeast"].grams == pytest.approx(2.5)
    assert after["dough/yeast-water"].grams == pytest.approx(50.0)
    assert after["dough/water"].grams == pytest.approx(250 / 3)


def test_yeast_water_over_poured_is_its_yeast_over_poured() -> None:
    # By hand: 1.25 times of 2 g and 1 g ahead: 3.5 of 3 in all, 7/6 again.
    assert mended(two_waters(2.0), {"dough/yeast-water": 50.0}).factor == pytest.approx(7 / 6)
    assert mended(two_waters(2.0), {"dough/yeast": 2.5}).factor == pytest.approx(7 / 6)


def test_water_over_poured_counts_with_the_yeast_water_that_will_follow() -> None:
    """By hand: of f x 200 g of water, 100 are ahead and 40 x (3 f - 1) / 2 = 60 f - 20 come with yeast: the rest,
    140 f - 80, is 74 g for f = 1.1."""
    assert mended(two_waters(2.0), {"dough/water": 74.0}).factor == pytest.approx(1.1)


def test_a_dough_whose_yeast_is_nearly_all_ahead_is_not_made_many_times_bigger() -> None:
    # Two fifths of the water come with a tenth of the yeast: kept exactly, 6 g too much would ask for no dough at all.
    found = mended(two_waters(1 / 9), {"dough/water": 66.0})
    assert found.factor == pytest.approx((66 + 40 + 100) / 200)
    assert all(line.grams >= 0 for line in found.lines)


def test_a_list_with_yeast_water_and_no_yeast_line_still_grows_by_its_own() -> None:
    lines = tuple(line for line in two_waters(2.0) if line.key != "yeast" or line.part != "dough")
    assert mended(lines, {"dough/yeast-water": 80.0}).factor == 1.0
    after = by_id(mended(lines, {"dough/flour": 500.0}).lines)
    assert after["dough/yeast-water"].grams == pytest.approx(40 * 2.0)


def test_yeast_water_ahead_of_a_dough_without_water_is_kept_for_itself() -> None:
    lines = tuple(line for line in two_waters(2.0) if line.kind != "water" or line.key == "yeast-water")
    after = by_id(mended(lines, {"dough/flour": 250.0}).lines)
    assert after["dough/yeast-water"].grams == pytest.approx(40 * 1.25)
