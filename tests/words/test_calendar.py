"""What a calendar event says reads as it does on a page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import sample_kitchen, sample_plan
from webapp.core.kinds import MassUnit
from webapp.web import filters
from webapp.words.calendar import describe


@pytest.mark.parametrize("unit", ["g", "oz"])
@pytest.mark.parametrize("grams", [0.375, 2.345, 5.25, 7.05, 12.25, 19.95, 20.5, 336.4])
def test_an_amount_is_written_as_on_the_page_of_the_bake(grams: float, unit: MassUnit) -> None:
    """Both say 5.3 g of 5.25 g: a calendar that rounded by itself said 5.25."""
    kitchen, plan = replace(sample_kitchen(), mass_unit=unit), sample_plan()
    plan = replace(plan, lines=(replace(plan.lines[0], weigh_g=grams, name="Flour"), *plan.lines[1:]))
    mix = next(step for step in plan.steps if step.kind == "mix")
    told = filters.grams(grams, kitchen).replace("\u00a0", " ")
    if unit == "oz":
        told += f" ({filters.grams(grams)})".replace("\u00a0", " ")
    assert f"\n{told} Flour" in describe(plan, mix, mix.start, kitchen)


def test_of_several_loads_no_event_says_for_one_tray_what_all_of_them_take() -> None:
    """16 g of basil for three trays, 5.3 g for each: what is eaten says its own part, and no lifting says 16 g."""
    plan = sample_plan()
    basil = replace(plan.toppings[0], key="basil", name="Basil leaves", grams=16.0, when="after", note="")
    lift = next(step for step in plan.steps if step.kind == "lift")
    one = replace(plan, toppings=(basil,))
    assert "16 g Basil leaves" in describe(one, lift, lift.start, sample_kitchen())
    three = replace(one, oven=replace(plan.oven, loads=3))
    assert "Basil" not in describe(three, replace(lift, load=1), lift.start, sample_kitchen())
