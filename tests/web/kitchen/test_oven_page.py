"""The oven page: two measurements made once, the slab, what past bakes have left."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask import Flask

from tests.web.conftest import SAME, Clock, InKitchen
from webapp.core.kitchen import Kitchen, Oven
from webapp.core.oven.function import FUNCTIONS
from webapp.core.oven.oven import preheat
from webapp.core.plan.plan import Habit
from webapp.kitchens.access import change_kitchen

OVEN = "/settings/oven"


def _now(app: Flask, phone: InKitchen, **changes: object) -> Kitchen:
    """This phone's kitchen as it is kept, after changes to it."""
    here = app.extensions["suppertide"]
    return change_kitchen(here.store, phone.kitchen_id(), lambda k: replace(k, **changes))  # type: ignore[arg-type]


def _send(phone: InKitchen, part: str, **typed: str) -> tuple[int, str]:
    answer = phone.posts(f"{OVEN}/{part}", typed, page=OVEN)
    return answer.status_code, answer.text


def test_a_newcomer_s_oven_is_not_measured_and_says_so(kitchen: InKitchen) -> None:
    page = kitchen.get(OVEN).text
    assert "Not measured yet" in page
    assert "tray alone" in page
    assert f"{preheat(Oven()).minutes} min" in page
    assert "the dial is believed" in page
    assert "Nothing yet" in page


def test_by_how_much_a_fan_oven_is_set_lower_is_what_plans_reckon_with(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    """20 °C is common practice (British recipe charts); whoever changes it there has changed the page."""
    assert "a fan oven is set 20 °C lower" in kitchen.get(OVEN).text
    monkeypatch.setitem(FUNCTIONS, "fan", replace(FUNCTIONS["fan"], less_c=15.0))  # type: ignore[arg-type]
    assert "a fan oven is set 15 °C lower" in kitchen.get(OVEN).text


def test_choosing_a_slab_sets_its_size_and_forgets_a_preheat_measured_without_it(
    app: Flask, kitchen: InKitchen
) -> None:
    _now(app, kitchen, oven=Oven(measured_preheat_min=15))
    assert _send(kitchen, "slab", slab="steel-10")[0] == 303
    kept = _now(app, kitchen).oven
    assert (kept.slab, kept.slab_mm, kept.slab_width_cm, kept.measured_preheat_min) == ("steel", 10.0, 40.0, 0)
    assert "10 mm steel" in kitchen.get(OVEN).text


def test_saving_the_same_slab_again_keeps_what_was_measured_with_it(app: Flask, kitchen: InKitchen) -> None:
    _send(kitchen, "slab", slab="stone-15")
    _send(kitchen, "preheat", minutes="41")
    _send(kitchen, "slab", slab="stone-15")
    assert _now(app, kitchen).oven.measured_preheat_min == 41


def test_a_slab_that_is_not_on_offer_is_an_error_at_the_form(kitchen: InKitchen) -> None:
    status, page = _send(kitchen, "slab", slab="marble")
    assert status == 422
    assert "not on the list" in page


def test_a_slab_of_another_size_is_none_of_those_on_offer(app: Flask, kitchen: InKitchen) -> None:
    _now(app, kitchen, oven=Oven(slab="steel", slab_mm=8.0))
    page = kitchen.get(OVEN).text
    assert "8 mm steel" in page
    assert "checked" not in page.split('id="lies"')[1].split("</section>")[0]


def test_measured_minutes_replace_the_reckoning_and_an_empty_field_brings_it_back(
    app: Flask, kitchen: InKitchen
) -> None:
    _send(kitchen, "preheat", minutes="52")
    assert _now(app, kitchen).oven.measured_preheat_min == 52
    page = kitchen.get(OVEN).text
    assert "(46 to 58)" in page
    assert "Measured: 52 min" in page
    _send(kitchen, "preheat", minutes="")
    assert _now(app, kitchen).oven.measured_preheat_min == 0


@pytest.mark.parametrize("typed", ["0", "999", "soon"])
def test_minutes_that_cannot_be_are_said_and_kept_as_typed(kitchen: InKitchen, typed: str) -> None:
    status, page = _send(kitchen, "preheat", minutes=typed)
    assert status == 422
    assert f'value="{typed}"' in page
    assert "from 3 to 180" in page


def test_the_stopwatch_measures_from_lighting_to_hot(app: Flask, kitchen: InKitchen, clock: Clock) -> None:
    running = kitchen.posts(f"{OVEN}/lit", page=OVEN).headers["Location"]
    clock.now += 20 * 60
    page = kitchen.get(running).text
    assert "It has been on for 20 min" in page
    clock.now += 27 * 60
    lit = running.split("lit=")[1].split("#")[0]
    assert _send(kitchen, "hot", lit=lit)[0] == 303
    assert _now(app, kitchen).oven.measured_preheat_min == 47


@pytest.mark.parametrize("lit", ["", "soon", "0", "99999999999999"])
def test_a_stopwatch_that_was_never_started_measures_nothing(app: Flask, kitchen: InKitchen, lit: str) -> None:
    status, page = _send(kitchen, "hot", lit=lit)
    assert status == 422
    assert "not a preheat" in page
    assert _now(app, kitchen).oven.measured_preheat_min == 0


def test_a_stopwatch_from_yesterday_or_tomorrow_is_not_shown(kitchen: InKitchen, clock: Clock) -> None:
    for lit in (clock.now - 86400, clock.now + 60):
        assert "Lit at" not in kitchen.get(f"{OVEN}?lit={lit}").text


def test_dial_and_thermometer_together_correct_the_plans(app: Flask, kitchen: InKitchen) -> None:
    assert _send(kitchen, "thermometer", dial="250", thermometer="232")[0] == 303
    assert _now(app, kitchen).oven.dial_error_c == -18.0
    assert _now(app, kitchen).oven.dial_said, "who reads a dial beside a thermometer has said what it shows"
    page = kitchen.get(OVEN).text
    assert "18 °C cooler than its dial" in page
    assert "in truth 232 °C" in page
    _send(kitchen, "thermometer", dial="", thermometer="")
    assert _now(app, kitchen).oven.dial_error_c == 0.0


def test_a_hot_fahrenheit_oven_is_told_in_fahrenheit(app: Flask, kitchen: InKitchen) -> None:
    _now(app, kitchen, oven=Oven(dial_unit="F", highest_c=288.0), heat_unit="F")
    _send(kitchen, "thermometer", dial="450", thermometer="475")
    assert _now(app, kitchen).oven.dial_error_c == pytest.approx(25 / 1.8, abs=0.1)
    assert "25 °F hotter than its dial" in kitchen.get(OVEN).text


def test_a_gas_oven_is_asked_for_its_mark(app: Flask, kitchen: InKitchen) -> None:
    _now(app, kitchen, oven=Oven(dial_unit="gas", highest_c=246.0))
    _send(kitchen, "thermometer", dial="6", thermometer="210")
    assert _now(app, kitchen).oven.dial_error_c == pytest.approx(210 - 204.4, abs=0.1)


@pytest.mark.parametrize(
    ("dial", "shown", "said"),
    [("250", "", "needs a number"), ("", "230", "is not a temperature"), ("250", "100", "away from the dial"),
     ("hot", "warm", "is not a temperature"), ("hot", "warm", "is not a number")],
)  # fmt: skip
def test_readings_that_cannot_be_are_said_at_their_field(kitchen: InKitchen, dial: str, shown: str, said: str) -> None:
    status, page = _send(kitchen, "thermometer", dial=dial, thermometer=shown)
    assert status == 422
    assert said in page


def test_a_thermometer_that_could_not_be_read_is_not_compared_with_the_dial(kitchen: InKitchen) -> None:
    assert "away from the dial" not in _send(kitchen, "thermometer", dial="250", thermometer="")[1]


def test_what_past_bakes_left_is_listed_reckoned_with_and_can_be_dropped(app: Flask, kitchen: InKitchen) -> None:
    before = preheat(Oven()).minutes
    _now(app, kitchen, habits=(Habit("preheat_min", 10.0, "Heat longer."), Habit("note", 0.0, "More oil.")))
    page = kitchen.get(OVEN).text
    assert "Heat longer. (now +10 min)" in page
    assert f"{before + 10} min" in page
    assert kitchen.posts(f"{OVEN}/habits/0/drop", page=OVEN).status_code == 303
    assert [h.text for h in _now(app, kitchen).habits] == ["More oil."]


def test_the_table_of_gas_marks_is_there(kitchen: InKitchen) -> None:
    assert "160–170" in kitchen.get(OVEN).text  # mark 3 as recipes print it


def test_a_form_without_its_token_changes_nothing(app: Flask, kitchen: InKitchen) -> None:
    answer = kitchen.client.post(f"{OVEN}/preheat", data={"minutes": "50"}, headers=SAME)
    assert answer.status_code == 400
    assert _now(app, kitchen).oven.measured_preheat_min == 0
