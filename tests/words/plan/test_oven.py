"""The oven in words: dial, shelf, slab, minute by minute, and why a hot slab."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.oven.test_oven import ovens
from webapp.core.kinds import BREAD_STYLES, OVEN_FUNCTIONS, DialUnit, HeatUnit
from webapp.core.kitchen import Oven
from webapp.core.oven import dial
from webapp.core.oven import oven as core
from webapp.core.oven.profile import Adjust, heating_c
from webapp.core.plan.oven import OvenPlan
from webapp.words.plan.oven import (
    dial_end,
    dial_words,
    hot_asked,
    latest_words,
    lift_words,
    shelf_words,
    usual_thickness_words,
)
from webapp.words.spoken import spoken_oven

STEEL = Oven(slab="steel", slab_mm=10.0, slab_width_cm=40.0, slab_depth_cm=35.0)
STONE = Oven(slab="stone", slab_mm=20.0)
BARE = Oven()


def programme(asked: core.ToBake, trays: int = 1, heat: HeatUnit = "C") -> Any:
    """The oven's part of a bake as it is shown."""
    return spoken_oven(core.programme(asked, trays), heat)


def _actions(plan: OvenPlan) -> list[str]:
    return [a.action for a in plan.programme]


def test_a_hot_slab_is_loaded_hot_turned_down_at_once_turned_checked_and_lifted() -> None:
    plan = programme(core.ToBake(STEEL, 0.70, 0.40, "tray"))
    assert _actions(plan) == ["load", "turn-down", "turn", "check", "lift"]
    assert [a.dial for a in plan.programme][:2] == ["250 °C", "220 °C"]
    assert plan.programme[1].minute == 1
    assert plan.shelf == "lowest"
    assert plan.slab == "10 mm steel"
    assert "Turn the oven off" in plan.programme[-1].text


def test_a_fan_oven_bakes_twenty_degrees_lower_but_heats_its_slab_in_full() -> None:
    still, fan = (programme(core.ToBake(replace(STEEL, function=f), 0.7, 0.4, "tray")) for f in OVEN_FUNCTIONS)
    assert still.programme[0].dial == fan.programme[0].dial == "250 °C"
    assert (still.programme[1].dial, fan.programme[1].dial) == ("220 °C", "200 °C")
    assert fan.preheat_min < still.preheat_min
    assert heating_c(replace(BARE, function="fan"))[0] == heating_c(BARE)[0] - 20


def test_gas_and_fahrenheit_ovens_are_told_in_their_own_words() -> None:
    gas = programme(core.ToBake(replace(STEEL, dial_unit="gas", highest_c=246.2), 0.7, 0.4, "tray"))
    assert [a.dial for a in gas.programme[:2]] == ["gas 9", "gas 7"]
    american = programme(core.ToBake(replace(STEEL, dial_unit="F", highest_c=288.0), 0.7, 0.4, "tray"), heat="F")
    assert american.dial == "480 °F"
    assert "°F" in american.why
    assert "°C" not in american.why + "".join(a.text for a in american.programme)


def test_a_thermometer_is_read_in_the_households_unit_whatever_the_dial_shows() -> None:
    # F = 1.8 C + 32 (NIST SP 811): 94 C is 201.2 F, 96 C is 204.8 F
    dials: tuple[tuple[DialUnit, str], ...] = (("C", "250 °C"), ("gas", "gas 9"))
    for unit, dial_says in dials:
        asked = core.ToBake(replace(STEEL, dial_unit=unit, highest_c=250.0), 0.7, 0.4, "tray")
        plan = programme(asked, heat="F")
        assert plan.dial == dial_says
        assert "201 °F to 205 °F" in plan.programme[-1].text
        assert hot_asked(plan.setting, "F").endswith("°F on a thermometer in it. If not, wait.")
        assert "°F" in plan.why
        assert "°C" not in plan.why + plan.programme[-1].text
    celsius = programme(core.ToBake(replace(STEEL, dial_unit="F"), 0.7, 0.4, "tray"))
    assert celsius.dial.endswith("°F")
    assert "94 °C to 96 °C" in celsius.programme[-1].text


def test_the_lift_names_the_heat_of_a_baked_middle() -> None:
    # lean flat breads 93-98 C in the middle (bread-bakers list 2008; common practice)
    assert "94 °C to 96 °C" in programme(core.ToBake(BARE, 0.7, 0.4, "tray")).programme[-1].text


def test_trays_beyond_what_the_oven_holds_become_loads_with_time_to_recover() -> None:
    plan = programme(core.ToBake(STEEL, 0.70, 0.40, "tray"), trays=3)
    assert plan.loads == 3
    assert plan.recovery_min >= 5
    assert "dial back to 250 °C" in plan.programme[-1].text


def test_two_trays_at_once_are_one_load_and_change_shelves() -> None:
    plan = programme(core.ToBake(replace(BARE, trays_at_once=2), 0.70, 0.40, "tray"), trays=2)
    assert (plan.loads, plan.recovery_min) == (1, 0)
    assert "change shelves" in next(a.text for a in plan.programme if a.action == "turn")
    assert core.loads_needed(BARE, 0) == 1


def test_a_shelf_asked_for_by_a_past_bake_wins() -> None:
    plan = programme(core.ToBake(replace(BARE, shelves=4), 0.9, 0.02, "focaccia", adjust=Adjust(shelf="low")))
    assert plan.shelf == "lowest"
    assert programme(core.ToBake(replace(BARE, shelves=4), 0.9, 0.02, "focaccia")).shelf == "second from the bottom"


@settings(max_examples=25, deadline=None)
@given(ovens, st.sampled_from(BREAD_STYLES), st.floats(0.25, 1.1), st.floats(0.0, 0.7), st.integers(1, 4))
def test_every_programme_climbs_in_time_and_stays_within_the_dial(
    oven: Oven, style: str, loading: float, topping: float, trays: int
) -> None:
    plan = programme(core.ToBake(oven, loading, topping, style), trays)
    minutes = [a.minute for a in plan.programme]
    assert minutes == sorted(set(minutes))
    assert _actions(plan)[0] == "load"
    assert _actions(plan)[-1] == "lift"
    assert plan.bake_low_min <= plan.programme[-1].minute
    assert plan.preheat_low_min <= plan.preheat_min <= plan.preheat_high_min
    assert plan.bake_low_min < plan.bake_high_min
    assert all(a.text.endswith(".") for a in plan.programme)
    assert plan.loads * oven.trays_at_once >= trays


def test_a_slab_of_unknown_thickness_is_taken_as_a_usual_one_and_that_is_said() -> None:
    """6 mm of steel, 15 mm of stone, a cast-iron pan of 4 to 5 mm are what is sold (common practice)."""
    said = usual_thickness_words()
    assert "6 mm for steel" in said
    assert "15 mm for stone" in said
    unknown = programme(core.ToBake(Oven(slab="steel"), 0.70, 0.40, "tray"))
    known = programme(core.ToBake(Oven(slab="steel", slab_mm=6.0), 0.70, 0.40, "tray"))
    assert (unknown.slab, known.slab) == ("steel", "6 mm steel"), "nobody is told a thickness that nobody has said"


def test_two_loads_already_need_the_dial_set_back() -> None:
    plan = programme(core.ToBake(STEEL, 0.70, 0.40, "tray"), trays=2)
    assert "dial back to 250 °C" in plan.programme[-1].text
    assert "Turn the oven off." not in plan.programme[-1].text


def test_each_dial_is_read_in_its_own_words() -> None:
    assert dial_words("C", 250.0) == "250 °C"
    american = Oven(dial_unit="F", highest_c=290.0)
    assert dial_words("F", dial.dial_c(american, 260.0)) == "500 °F"
    gas = Oven(dial_unit="gas", highest_c=dial.gas_mark_c("9"))
    assert dial_words("gas", dial.dial_c(gas, 250.0)) == "gas 9"
    assert dial_words("gas", dial.dial_c(gas, 220.0)) == "gas 7"


def test_the_lift_of_each_load_says_what_comes_after_it() -> None:
    plan = programme(core.ToBake(STEEL, 0.70, 0.40, "tray"), trays=3)
    said = [lift_words(plan, plan.setting, load, "C") for load in (1, 2, 3)]
    assert ["More to come" in text for text in said] == [True, True, False]
    assert [text.endswith("Turn the oven off.") for text in said] == [False, False, True]
    alone = programme(core.ToBake(STEEL, 0.70, 0.40, "tray"))
    only, first = (lift_words(alone, alone.setting, load, "C") for load in (0, 1))
    assert only == first == alone.programme[-1].text


def test_why_a_slab_is_worth_its_heat_is_one_sentence_with_numbers() -> None:
    on_tray = programme(core.ToBake(STEEL, 0.7, 0.4, "tray")).why
    # h = 150 W/m2K through the tray: 24 + 226 (1 - erfcx(h sqrt(alpha t)/k)), alpha 0.25/(500*2800): 191 C by hand
    assert "about 191 °C" in on_tray
    bare_dough = programme(core.ToBake(STEEL, 0.7, 0.4, "thin")).why
    assert "at 240 °C where they touch" in bare_dough  # (13446*250 + 592*24)/14038, by hand
    alone = programme(core.ToBake(BARE, 0.7, 0.4, "tray")).why
    assert "cold tray" in alone
    for text in (on_tray, bare_dough, alone):
        assert text.count(". ") == 0
        assert text.endswith(".")


@pytest.mark.parametrize(
    ("shelves", "where", "words"),
    [
        (1, "low", "the only one"),
        (4, "low", "lowest"),
        (3, "high", "highest"),
        (5, "high", "second from the top"),
        (3, "middle", "middle"),
        (2, "middle", "upper"),
        (4, "middle", "second from the bottom"),
        (6, "middle", "third from the bottom"),
    ],
)
def test_shelves_are_named_as_a_person_counts_them(shelves: int, where: str, words: str) -> None:
    assert shelf_words(shelves, where) == words


def test_the_last_step_at_the_oven_says_when_it_comes_out_whatever_it_looks_like() -> None:
    # the top of the bake's band and a third over: 18 min and 6
    plan = replace(core.programme(core.ToBake(Oven(), 0.7, 0.4, "tray")), bake_high_min=18)
    assert latest_words(plan).startswith("Out after 24 minutes in any case:")


def test_a_slab_of_unknown_size_counts_as_the_usual_one() -> None:
    stones = [programme(core.ToBake(Oven(slab="stone", slab_mm=mm), 0.7, 0.4, "tray")) for mm in (0.0, 15.0)]
    assert [one.slab for one in stones] == ["stone", "15 mm stone"]
    assert stones[0].preheat_min == stones[1].preheat_min
    assert programme(core.ToBake(Oven(slab="tray"), 0.7, 0.4, "tray")).slab == "tray alone"


def test_the_end_of_a_gas_dial_is_no_mark_beyond_it() -> None:
    # mark 9 is 475 F = 246 C, mark 10 500 F = 260 C (data/tables/gas_marks.toml): a dial that ends at 255 C
    # ends at 9
    assert dial_end(Oven(dial_unit="gas", highest_c=255.0)) == "gas 9"
