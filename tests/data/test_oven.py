"""The data files of the last hour are complete, agree with core, and name their sources."""

from __future__ import annotations

import pytest

from webapp.core.errors import PlanError
from webapp.core.oven.dial import MARKS
from webapp.core.oven.profile import STYLES
from webapp.core.oven.slab import MATERIALS
from webapp.core.units import c_from_f
from webapp.data import oven
from webapp.data import toppings as topping_data
from webapp.data.read import table


def test_the_printed_table_of_gas_marks_agrees_with_what_the_dial_reckons() -> None:
    rows = oven.gas_marks()
    assert [(row.mark, pytest.approx(c_from_f(row.fahrenheit))) for row in rows] == list(MARKS)
    for row in rows:
        # recipes print rounded values, never 7 C away from the nominal ones
        assert row.printed_low_c - 7 <= c_from_f(row.fahrenheit) <= row.printed_high_c + 7


def test_every_slab_on_offer_is_of_a_material_that_can_be_heated() -> None:
    for choice in oven.slabs():
        assert choice.slab == "tray" or choice.slab in MATERIALS
        assert (choice.mm > 0) is (choice.slab != "tray")


def test_every_row_names_its_source() -> None:
    assert table("gas_marks")["source"]
    assert table("allergens")["eu_source"]
    assert table("allergens")["us_source"]
    assert all(row["source"] for row in table("slabs")["slab"])
    assert all(row["source"] for row in table("cautions")["caution"])
    assert all(row["source"] for row in table("trouble")["cause"])
    for chosen in table("toppings")["set"]:
        assert all(item["source"] for item in chosen.get("item", ()))


def test_no_set_at_all_is_a_set() -> None:
    assert topping_data.topping_set("") == topping_data.topping_set("none")
    assert topping_data.topping_set("none").items == ()


def test_an_unknown_set_is_an_error_at_its_field() -> None:
    with pytest.raises(PlanError, match="toppings_key: no-toppings typed truffle"):
        topping_data.topping_set("truffle")


def test_loads_name_known_styles_only() -> None:
    for chosen in topping_data.topping_sets().values():
        for item in chosen.items:
            assert {style for style, _ in item.g_cm2} <= set(STYLES)
