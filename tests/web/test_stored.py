"""Plans, journals and own things as the version before facts stored them: they open, show, re-time, export and print.

The files in `stored/` were written by that version's own code for two invented kitchens and are never written again. A
plan in them holds sentences where today's holds facts; it is shown with what it said.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from tests.web.conftest import NOW, InKitchen
from tests.words.fresh import KITCHEN, fresh_plan
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep
from webapp.core.plan.trade import Worse
from webapp.data.toppings import topping_sets
from webapp.doughs.own_kinds import FORMULAS, METHODS, TOPPINGS
from webapp.forms import wish as wish_form
from webapp.kitchens import bakes
from webapp.kitchens.kept import plan_in
from webapp.records import from_plain, to_plain
from webapp.reminders.events import bake_file
from webapp.words.cautions import AUTHORITY
from webapp.words.plan.steps import by_load
from webapp.words.spoken import spoken
from webapp.words.stored_plans import upgraded

STORED = Path(__file__).parents[1] / "golden" / "stored"
PLANS = ("plan", "two_loads")


def stored(name: str) -> Any:
    return json.loads((STORED / f"{name}.json").read_text(encoding="utf-8"))


def has_stored(kitchen: InKitchen, name: str) -> Plan:
    """The kitchen with this plan in its database, row by row as it was written then."""
    plain, kitchen_id = stored(name), kitchen.kitchen_id()
    kitchen.store.put_offers(kitchen_id, plain["bake_id"], stored("wish"), stored("offers")["offers"], NOW)
    kitchen.store.add_plan(kitchen_id, plain["bake_id"], plain, NOW)
    return from_plain(Plan, plain)


@pytest.mark.parametrize("name", PLANS)
def test_a_stored_plan_opens_with_what_it_said(name: str) -> None:
    plain = stored(name)
    shown = spoken(plan_in(plain))
    assert shown.title == plain["title"]
    assert [(step.title, step.text) for step in shown.steps] == [(one["title"], one["text"]) for one in plain["steps"]]
    assert [line.note for line in shown.lines] == [one["note"] for one in plain["lines"]]
    assert (shown.oven.dial, shown.oven.shelf, shown.oven.slab) == tuple(
        plain["oven"][key] for key in ("dial", "shelf", "slab")
    )
    assert [caution.text for caution in shown.cautions] == [one["text"] for one in plain["cautions"]]
    assert [f"{caution.source}. {AUTHORITY}" for caution in shown.cautions] == [
        one["source"] for one in plain["cautions"]
    ]
    assert shown.oven.has_slab
    assert shown.trade.sentence == plain["trade"]["sentence"]
    assert shown.yeast_why == tuple(plain["yeast_why"])


def test_an_oven_that_was_said_to_hold_a_tray_alone_has_no_slab() -> None:
    """As that version wrote it of an oven with nothing heavy in it (`slab_words` of its day)."""
    plain = stored("plan")
    assert plan_in(plain).oven.has_slab
    assert not plan_in(plain | {"oven": plain["oven"] | {"slab": "tray alone"}}).oven.has_slab


@pytest.mark.parametrize("name", PLANS)
def test_a_stored_plan_is_brought_up_to_today_once(name: str) -> None:
    plan = plan_in(stored(name))
    assert upgraded(plan) == plan
    assert plan_in(to_plain(plan)) == plan
    shown = spoken(plan)
    assert spoken(plan_in(to_plain(shown))) == shown


@pytest.mark.parametrize("name", PLANS)
def test_yeast_has_the_name_of_today_whatever_it_was_stored_with(name: str) -> None:
    plain = stored(name)
    assert all(line["name"] for line in plain["lines"])
    plan = plan_in(plain)
    assert {line.name for line in plan.lines if line.kind == "yeast"} == {""}
    assert [line.name for line in spoken(plan).lines] == [one["name"] for one in plain["lines"]]


def test_names_that_a_plan_with_facts_was_stored_with_are_left_to_its_kinds() -> None:
    """As the version wrote it that gave yeast and its water their names in the plan itself."""
    plan = fresh_plan("poolish-tray", kitchen=replace(KITCHEN, micro_step_g=0.0))
    plain = to_plain(plan)
    for lines in (plain["lines"], *(one["lines"] for one in plain["other_yeasts"])):
        for line in lines:
            line["name"] = line["name"] or ("Active dry yeast" if line["kind"] == "yeast" else "Its water, then")
    assert plan_in(plain) == plan


def test_a_plan_with_facts_is_not_touched() -> None:
    assert upgraded(fresh_plan()) == fresh_plan()


def test_loads_of_a_stored_plan_are_counted_from_its_steps() -> None:
    shown = spoken(plan_in(stored("two_loads")))
    assert shown.oven.loads == 2
    still = RetimedStep("", 0, 0, "open", 0, 0.0, 0.0, 0.0, "", 0, 0, 0)
    numbers = [load for load, _ in by_load([(step, still, 0) for step in shown.steps])]
    assert [load for load in numbers if load] == [1, 2]
    assert [note for note in shown.notes if note.startswith("From past bakes")] == []


@pytest.mark.parametrize("name", PLANS)
def test_beside_its_list_a_stored_step_says_no_amount_a_second_time(name: str) -> None:
    """As its maker saw it on the page and in the kitchen: the list has the amounts, the text the rest."""
    plain = stored(name)
    shown = spoken(plan_in(plain))
    mix = next(step for step in shown.steps if step.kind == "mix")
    said = next(one["text"] for one in plain["steps"] if one["kind"] == "mix").split("\n")
    lines = mix.beside.split("\n")
    assert "strong white flour" in mix.text
    assert "strong white flour" not in mix.beside
    assert set(lines) < set(said)
    assert any(line.startswith("Water at") for line in lines)
    assert not any("of yeast" in line for line in lines)
    assert all(step.beside == step.text for step in shown.steps if step.kind not in ("mix", "preferment"))


@pytest.mark.parametrize("name", PLANS)
def test_a_stored_plan_is_timed_again_by_its_journal(name: str) -> None:
    plan = from_plain(Plan, stored(name))
    events = [from_plain(Event, one) for one in stored("journal")]
    mine = [replace(event, bake_id=plan.bake_id) for event in events]
    stands = retime(plan, fold(plan, mine), plan.made_at + 6 * 3600)
    assert len(stands.steps) == len(plan.steps)
    assert stands.steps[[step.step_id for step in plan.steps].index("mix")].status == "done"


@pytest.mark.parametrize("name", PLANS)
def test_a_stored_plan_is_shown_printed_and_exported(kitchen: InKitchen, name: str) -> None:
    plan = has_stored(kitchen, name)
    page, paper = (kitchen.get(f"/bakes/{plan.bake_id}{part}") for part in ("", "/print"))
    assert (page.status_code, paper.status_code) == (200, 200)
    assert plan.title in page.text
    assert plan.steps[0].title in paper.text
    assert plan.title in kitchen.get("/").text
    assert kitchen.get(f"/book/{plan.bake_id}").status_code == 200
    ics = kitchen.get(f"/bakes/{plan.bake_id}/bake.ics")
    assert ics.status_code == 200
    assert f"SUMMARY:{plan.steps[0].title}" in ics.text
    taken = kitchen.get(f"/api/bakes/{plan.bake_id}/bundle").json
    assert taken is not None
    assert [one["title"] for one in taken["plan"]["steps"]] == [step.title for step in plan.steps]


def test_stored_offers_are_shown_and_can_be_picked(kitchen: InKitchen) -> None:
    wish, offers = from_plain(Wish, stored("offers")["wish"]), stored("offers")["offers"]
    bake_id = offers[0]["bake_id"]
    kitchen.store.put_offers(kitchen.kitchen_id(), bake_id, to_plain(wish), offers, NOW)
    page = kitchen.get(f"/bakes/{bake_id}").text
    for offer in offers:
        assert offer["trade"]["method_name"] in page
        assert offer["trade"]["sentence"][:30] in page.replace("\u00a0", " ")
    assert kitchen.picks(bake_id).status_code == 303
    assert offers[0]["title"] in kitchen.get(f"/bakes/{bake_id}").text
    # A bake rings five or six times: its pairs are one event.
    assert bake_file(kitchen.store, NOW, kitchen.kitchen_id(), bake_id, "").count(b"BEGIN:VEVENT") in (5, 6)


def test_a_stored_bundle_has_nothing_that_todays_phone_would_miss(kitchen: InKitchen) -> None:
    plan = has_stored(kitchen, "plan")
    served = bakes.bundle_for(kitchen.store, NOW, kitchen.kitchen_id(), plan.bake_id)
    then = stored("bundle")
    assert set(then) <= set(served)
    assert set(then["plan"]) <= set(served["plan"])
    assert set(then["plan"]["steps"][0]) <= set(served["plan"]["steps"][0])
    assert {one.name for one in fields(Plan)} == set(served["plan"])


def test_what_the_kitchen_made_itself_and_its_settings_still_read() -> None:
    readers: dict[str, Callable[[Any], Any]] = {
        "own_formula": FORMULAS.read, "own_toppings": TOPPINGS.read, "own_method": METHODS.read,
        "kitchen": lambda plain: from_plain(Kitchen, plain), "wish": lambda plain: from_plain(Wish, plain),
    }  # fmt: skip
    for name, read in readers.items():
        assert read(stored(name)), name


@pytest.mark.parametrize(("fan", "function", "shown"), [(True, "fan", "fan"), (False, "still", "")])
def test_a_fan_that_was_on_or_off_is_the_ovens_function_now(fan: bool, function: str, shown: str) -> None:
    """In the kitchen's settings and in a stored plan, both written before functions had names."""
    kitchen = stored("kitchen") | {"oven": stored("kitchen")["oven"] | {"fan": fan}}
    assert from_plain(Kitchen, kitchen).oven.function == function
    plan = from_plain(Plan, stored("plan") | {"oven": stored("plan")["oven"] | {"fan": fan}})
    assert plan.oven.function == function
    assert spoken(plan).oven.blown == shown
    assert from_plain(Kitchen, to_plain(from_plain(Kitchen, kitchen))).oven.function == function


def test_the_ways_out_of_a_refusal_from_then_can_still_be_sent() -> None:
    ways = [from_plain(Wish, way["wish"]) for way in stored("refusal")["ways"]]
    assert ways
    assert all(wish_form.typed_again(wish, Kitchen(zone="Europe/Lisbon"))["supper"] for wish in ways)
    assert set(topping_sets()) >= {wish.toppings_key for wish in ways if wish.toppings_key}


def test_a_cost_that_was_called_beside_is_that_of_a_task_at_the_side() -> None:
    """As plans of before the cost was renamed hold it."""
    assert from_plain(Worse, {"key": "beside", "this": 0, "first": 0}).key == "side-task"
