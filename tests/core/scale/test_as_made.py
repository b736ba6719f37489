"""What went into the bowl: another pan, another yeast, an over-pour. Worked by hand; that the phone rounds alike is
compared in e2e/test_weigh_twin.py."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import sample_plan
from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.core.plan.event import Event
from webapp.core.plan.plan import KeptPart, Plan
from webapp.core.scale.as_made import as_made, rescaled
from webapp.core.scale.dosing import dosing, with_spoon
from webapp.core.scale.measures import Measure
from webapp.core.scale.weighing import total_g
from webapp.words.plan.weights import Scales, note

DOUBLE: dict[str, object] = {"area_cm2": 2 * 1064.0, "name": "Two of the neighbour's"}


def after(plan: Plan, *said: tuple[str, dict[str, object]]) -> Plan:
    """The plan after these lines, a minute apart."""
    at = plan.steps[0].start
    lines = [Event(f"{i:032x}", plan.bake_id, at + 60 * i, at + 60 * i, "p", kind, data, 1)
             for i, (kind, data) in enumerate(said, 1)]  # fmt: skip
    return as_made(plan, fold(plan, lines), "The other pan")


def test_a_dough_that_nothing_was_said_of_is_as_planned() -> None:
    assert after(sample_plan()) == sample_plan()


def test_a_pan_of_twice_the_floor_takes_twice_of_everything() -> None:
    plan = sample_plan()
    made = after(plan, ("pan", DOUBLE), ("done", {"step_id": "mix"}))
    assert [pan.name for pan in made.pans] == [DOUBLE["name"]]
    assert made.dough_g == pytest.approx(2 * plan.dough_g, abs=2 * plan.scale_step_g)
    assert made.loading_g_cm2 == pytest.approx(plan.loading_g_cm2, rel=0.002)
    for old, new in zip(plan.lines, made.lines, strict=True):
        assert new.weigh_g == pytest.approx(2 * old.weigh_g, abs=plan.scale_step_g)
    assert [one.grams for one in made.toppings] == [pytest.approx(2 * one.grams) for one in plan.toppings]


def test_a_pan_taken_once_it_was_mixed_leaves_the_dough_and_changes_what_lies_on_it() -> None:
    plan = sample_plan()
    made = after(plan, ("done", {"step_id": "mix"}), ("pan", DOUBLE))
    assert made.lines == plan.lines
    assert made.loading_g_cm2 == pytest.approx(plan.loading_g_cm2 / 2, rel=1e-6)
    assert made.toppings[0].grams == pytest.approx(2 * plan.toppings[0].grams)


def test_of_several_pans_there_is_the_one_that_was_taken() -> None:
    plan = sample_plan()
    plan = replace(plan, pans=(replace(plan.pans[0], count=2),))
    made = after(plan, ("pan", DOUBLE | {"area_cm2": 4 * 1064.0}))
    assert [(pan.name, pan.count, pan.area_cm2) for pan in made.pans] == [(DOUBLE["name"], 1, 4256.0)]


def test_what_was_poured_over_is_in_the_bowl() -> None:
    """A tenth too much of the water: everything grows by as much (core/scale/mending.py)."""
    plan = sample_plan()
    water = next(one for one in plan.lines if one.kind == "water")
    over = ("poured", {"line": f"{water.part}/{water.key}", "grams": water.weigh_g * 1.1})
    made = after(plan, over, ("done", {"step_id": "mix"}))
    assert made.dough_g == pytest.approx(1.1 * plan.dough_g, rel=0.01)


def test_as_much_as_was_asked_for_is_no_over_pour() -> None:
    plan = sample_plan()
    water = next(one for one in plan.lines if one.kind == "water")
    made = after(plan, ("poured", {"line": f"{water.part}/{water.key}", "grams": water.weigh_g}))
    assert made.dough_g == pytest.approx(plan.dough_g, abs=plan.scale_step_g)
    assert [(one.weigh_g, one.teaspoons, one.dosing) for one in made.lines] == [
        (one.weigh_g, one.teaspoons, one.dosing) for one in plan.lines
    ]


def test_spoons_and_ice_grow_with_a_dough_that_was_poured_over() -> None:
    """By hand: an eighth more water is an eighth more of all, so 1 3/4 level teaspoons are 1.97, two of them."""
    plan = sample_plan()
    lines = [replace(one, teaspoons=1.75) if one.kind == "salt" else one for one in plan.lines]
    lines = [replace(one, ice_g=40.0) if one.kind == "water" else one for one in lines]
    plan = replace(plan, lines=tuple(lines))
    water = next(one for one in plan.lines if one.kind == "water")
    made = after(plan, ("poured", {"line": f"{water.part}/{water.key}", "grams": water.grams * 1.125}))
    salt = next(one for one in made.lines if one.kind == "salt")
    assert salt.teaspoons == pytest.approx(1.75 * 1.125)
    assert next(one.ice_g for one in made.lines if one.kind == "water") == pytest.approx(45.0)
    said = note(salt, Scales())
    assert "2 tsp level." in said
    assert "times" not in said


def test_a_piece_that_was_cut_off_lies_on_no_tray() -> None:
    """By hand: of a dough of 1.2 times what its pan takes a sixth is cut off, and it lies as thick as planned."""
    plan = sample_plan()
    water = next(one for one in plan.lines if one.kind == "water")
    over = ("poured", {"line": f"{water.part}/{water.key}", "grams": water.weigh_g * 1.2})
    whole = after(plan, over)
    assert whole.loading_g_cm2 == pytest.approx(1.2 * plan.loading_g_cm2, rel=0.01)
    cut = replace(plan, kept=KeptPart(whole.dough_g / 6, plan.supper, mixed_here=True, at="press", spare=True))
    left = after(cut, over)
    assert left.loading_g_cm2 == pytest.approx(plan.loading_g_cm2, rel=0.01)
    assert left.dough_g == whole.dough_g, "it was mixed all the same"
    piece = replace(cut, kept=replace(cut.kept, mixed_here=False)) if cut.kept else cut
    assert after(piece).loading_g_cm2 == plan.loading_g_cm2, "the piece is the whole of its own tray"


@pytest.mark.parametrize("factor", [0.4, 0.58, 1.73, 3.0])
def test_a_rescaled_part_adds_up(factor: float) -> None:
    """To half a step of the scale, and what the yeast, which is dosed, is off by (core/scale/weighing.py)."""
    plan = sample_plan()
    lines = rescaled(plan.lines, factor, plan.scale_step_g)
    assert total_g(lines) == pytest.approx(factor * total_g(plan.lines), abs=plan.scale_step_g + 0.01)


def test_a_preferment_goes_in_as_much_as_was_made_of_it() -> None:
    """By hand: 100 g of flour and 100 g of water set the evening before are 150 g and 150 g for half as much again;
    300 g then go into the dough, whatever the dough's own lines round to."""
    first = sample_plan().lines[0]
    flour = next(one for one in sample_plan().lines if one.kind == "flour")
    ahead = [replace(one, part="poolish", grams=100.0, weigh_g=100.0) for one in (first, flour)]
    goes_in = replace(flour, key="poolish", kind="preferment", grams=200.0, weigh_g=200.0)
    made = rescaled([*ahead, goes_in, replace(flour, grams=301.0, weigh_g=301.0)], 1.5, 1.0)
    assert [one.weigh_g for one in made[:3]] == [150.0, 150.0, 300.0]
    assert made[3].weigh_g == pytest.approx(451.5, abs=0.5)


def fine_scale(plan: Plan, yeast_g: float) -> Plan:
    """The plan with so much yeast by a fine scale, a spoon of 3.1 g (Reinhart) beside it."""
    kitchen, measure = Kitchen(micro_step_g=0.01), Measure("yeast-instant", "Instant yeast", 3.1, 15.0)
    known = {measure.key: measure}
    dose = with_spoon(dosing(yeast_g, kitchen, "instant", 300.0, known, 100.0), yeast_g, kitchen, measure)
    lines = tuple(
        replace(one, grams=yeast_g, weigh_g=dose.yeast_g, dosing=dose) if one.kind == "yeast" else one
        for one in plan.lines
    )
    return replace(plan, lines=lines)


@pytest.mark.parametrize(
    ("times", "spoon", "off"),
    [
        (2.0, 0.5, 15.0 + 100 * 0.05 / 1.6),  # 1.6 g due, half a teaspoon of 3.1 g holds 1.55 g
        (1.25, 0.375, 15.0 + 100 * 0.1625 / 1.0),  # 1 g due: 3/8 holds 1.1625 g
        (0.75, 0.25, 15.0 + 100 * 0.175 / 0.6),  # 0.6 g due: 1/4 holds 0.775 g: too far off to be named
    ],
)
def test_the_spoon_beside_another_dough_is_told_with_its_own_doubt(times: float, spoon: float, off: float) -> None:
    """Filling 15 %, as planned; what an eighth of a spoon is off by is worked out by hand."""
    plan = fine_scale(sample_plan(), 0.8)
    made = after(plan, ("pan", DOUBLE | {"area_cm2": times * 1064.0}), ("done", {"step_id": "mix"}))
    (dose,) = [one.dosing for one in made.lines if one.kind == "yeast"]
    assert dose is not None
    expected = (0.0, 0.0) if off > 35.0 else (spoon, pytest.approx(off))
    assert (dose.teaspoons, dose.spoon_error_percent) == expected


def test_of_a_plan_of_before_no_spoon_is_named_beside_another_dough() -> None:
    plan = fine_scale(sample_plan(), 0.8)
    lines = tuple(replace(one, dosing=one.dosing and replace(one.dosing, spoon_g=0.0)) for one in plan.lines)
    made = after(replace(plan, lines=lines), ("pan", DOUBLE), ("done", {"step_id": "mix"}))
    (dose,) = [one.dosing for one in made.lines if one.kind == "yeast"]
    assert dose is not None
    assert dose.spoon_error_percent == 0.0
