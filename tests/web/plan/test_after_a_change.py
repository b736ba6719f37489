"""A household changes its units or its clock while a bake is on: no page mixes two, and whose clock it is is said."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.day.day import clock_text as clock_of
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.bakes import kitchen_of
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.words.times import other_clock


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def plain(page: str) -> str:
    return " ".join(re.sub(r"<(script|svg|style)[\s\S]*?</\1>|<[^>]+>", " ", page).split()).replace("\u00a0", " ")


def test_after_a_change_of_units_a_bake_is_read_in_the_new_ones_alone(real: InKitchen) -> None:
    bake_id = real.has_a_bake()
    before = plain(real.get(f"/bakes/{bake_id}").text)
    assert re.search(r"\d g of ", before)
    assert re.search(r"\d °C", before)
    changed = {"mass_unit": "oz", "heat_unit": "F"}
    change_kitchen(real.store, real.kitchen_id(), lambda one: replace(one, **changed))  # type: ignore[arg-type]
    bundle = real.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle is not None
    steps = " ".join(step["text"] for step in bundle["plan"]["steps"]).replace("\u00a0", " ")
    pages = (real.get(f"/bakes/{bake_id}").text, real.get(f"/bakes/{bake_id}/print").text)
    lists = r"<table[\s\S]*?</table>"  # the list of weights has a column of grams beside the ounces, whatever is read
    for said in (*(plain(re.sub(lists, " ", page)) for page in pages), steps):
        alone = re.sub(r" oz \([\d.]+ g\)", " oz", said)  # those beside an ounce are welcome
        assert not re.search(r"\d g\b", alone), re.findall(r".{30}\d g\b.{20}", alone)
    assert re.search(r"\d oz", steps)
    mixing = next(step["text"] for step in bundle["plan"]["steps"] if step["kind"] == "mix")
    assert "°F" in mixing
    assert "°C" not in mixing
    for step in bundle["plan"]["steps"]:
        heats = re.findall(
            r"\d+ °C", step["text"].replace("\u00a0", " ")
        )  # the dial's own unit alone: "dial at 250 °C"
        assert set(heats) <= {one["dial"].replace("\u00a0", " ") for one in bundle["plan"]["oven"]["programme"]}, step


def test_a_bake_keeps_its_clock_and_says_so_once_the_household_s_is_another(real: InKitchen) -> None:
    """Supper at 19:30 in London in November, which is UTC, is 21:30 in Athens (two hours ahead, EET)."""
    bake_id = real.has_a_bake()
    assert "; by that of" not in plain(real.get(f"/bakes/{bake_id}").text)
    real.posts("/settings/zone", {"zone": "Europe/Athens", "keep": "1"})
    page = plain(real.get(f"/bakes/{bake_id}").text)
    assert "Times here are by the clock of Europe/London; by that of Europe/Athens supper is at 21:30." in page
    assert "Supper 19:30" in page


def evenings(page: str) -> list[tuple[str, str]]:
    """Evenings to tap: their day, and what they are called."""
    return re.findall(r'name="day" type="radio" value="([\d-]+)"><span>([^<]*)</span>', page)


def test_supper_of_a_bake_by_another_clock_is_moved_by_that_clock_and_it_is_named(real: InKitchen) -> None:
    """At ten to seven in London it is ten to eight of that evening in Auckland (13 hours ahead, NZDT)."""
    bake_id = real.has_a_bake()
    where = f"/bakes/{bake_id}/change"
    assert "On the kitchen’s clock." in plain(real.get(where).text)
    real.posts("/settings/zone", {"zone": "Pacific/Auckland", "keep": "1"})
    real.sends(bake_id, event(bake_id))
    page = real.get(where).text
    assert "Today, sooner or later" in plain(page)
    assert evenings(page)[:2] == [("2026-11-25", "Tonight"), ("2026-11-26", "Tomorrow")]
    assert "By the clock of Europe/London, as all times of this bake." in plain(page)
    assert real.posts(where, {"day": "2026-11-25", "at": "20:30"}).status_code == 303
    stands = bakes.followed_bake(real.store, at(7, 40), real.kitchen_id(), bake_id)
    assert stands.state.supper == at(20, 30)


def test_a_piece_of_a_dough_by_another_clock_is_asked_for_by_the_kitchen_s(real: InKitchen, clock: Clock) -> None:
    """Its bake is a new one, and goes by the clock on the kitchen's wall: 19:30 in London is 21:30 in Athens."""
    bake_id = real.has_a_bake()
    real.posts("/settings/zone", {"zone": "Europe/Athens", "keep": "1"})
    real.sends(bake_id, event(bake_id))
    clock.now = at(7, 40)
    page = real.get(f"/bakes/{bake_id}/spare").text
    assert "On the kitchen’s clock." in plain(page)
    assert 'value="21:30"' in page


def supper_local(phone: InKitchen, bake_id: str, zone: str) -> str:
    return clock_of(bakes.picked(phone.store, phone.kitchen_id(), bake_id).supper, zone)


@pytest.mark.parametrize("where", ["/settings/zone", "/settings/units"])
def test_another_clock_is_asked_about_with_what_it_moves_and_nothing_is_changed_before_the_answer(
    real: InKitchen, where: str
) -> None:
    """19:30 in London in November is UTC, and 21:30 in Athens (two hours ahead, EET)."""
    bake_id = real.has_a_bake()
    sent = {"zone": "Europe/Athens", "mass_unit": "g", "heat_unit": "F", "clock": "24"}
    answer = real.posts(where, sent)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/settings/zone?zone=Europe/Athens")
    kitchen = kitchen_of(real.store, real.kitchen_id())
    assert kitchen.zone == "Europe/London"
    assert kitchen.heat_unit == ("F" if where.endswith("units") else "C"), "what else was typed is kept"
    page = plain(real.get(answer.headers["Location"]).text)
    assert "19:30 by the clock of Europe/London, 21:30 by that of Europe/Athens" in page
    assert supper_local(real, bake_id, "Europe/London") == "19:30"


def test_a_bake_is_moved_to_the_same_hour_by_the_new_clock_with_one_tap_and_made_the_same_way(real: InKitchen) -> None:
    bake_id = real.plans({"supper": "2026-11-26T19:30", "method_key": ""})
    real.picks(bake_id)
    before = bakes.picked(real.store, real.kitchen_id(), bake_id)
    moved = real.posts("/settings/zone", {"zone": "Europe/Athens", "move": bake_id})
    assert moved.headers["Location"] == "/"
    after = bakes.picked(real.store, real.kitchen_id(), bake_id)
    assert (after.zone, clock_of(after.supper, "Europe/Athens")) == ("Europe/Athens", "19:30")
    assert after.supper == before.supper - 2 * 3600
    assert after.trade.method == before.trade.method
    assert "; by that of" not in plain(real.get(f"/bakes/{bake_id}").text)


def stands(phone: InKitchen, bake_id: str) -> Plan:
    """Its plan as if nothing was heard of: that hours fit no longer makes a further revision, and no other day."""
    return replace(bakes.picked(phone.store, phone.kitchen_id(), bake_id), revision=1, dough_of=0)


def test_a_dough_that_is_mixed_stays_where_it_is_and_one_that_cannot_be_moved_too(
    real: InKitchen, clock: Clock
) -> None:
    bake_id = real.has_a_bake()
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    # In Auckland (UTC+13 in November) it is evening: 19:30 of that day is over.
    answer = real.posts("/settings/zone", {"zone": "Pacific/Auckland", "move": bake_id})
    assert "zone=Pacific/Auckland" in answer.headers["Location"], "it is asked again, for it stands as before"
    assert "The bake stays as it was" in plain(real.get(answer.headers["Location"]).text)
    assert stands(real, bake_id) == replace(plan, house=stands(real, bake_id).house), "but for whose hours it has"
    mix = next(step for step in plan.steps if step.kind == "mix")
    clock.now = mix.end
    done = Event("a" * 32, bake_id, mix.end, mix.end, "p", "done", {"step_id": mix.step_id})
    bakes.add_to_journal(real.store, mix.end, real.kitchen_id(), bake_id, [done])
    page = real.get("/settings/zone?zone=Europe/Athens").text
    assert "Its dough is made" in plain(page)
    assert 'name="move"' not in page
    real.posts("/settings/zone", {"zone": "Europe/Athens", "move": bake_id})
    assert stands(real, bake_id) == replace(plan, house=stands(real, bake_id).house)


def test_with_nothing_planned_the_clock_is_set_and_not_asked_about(real: InKitchen) -> None:
    assert real.posts("/settings/zone", {"zone": "Europe/Athens"}).headers["Location"] == "/"
    assert kitchen_of(real.store, real.kitchen_id()).zone == "Europe/Athens"
    assert real.get("/settings/zone?zone=Europe/Athens").status_code == 302
    assert "Set the kitchen’s clock?" in plain(real.get("/settings/zone?zone=Europe/Lisbon").text)


def test_where_it_is_another_day_there_the_day_is_said() -> None:
    """19:30 UTC on Wednesday is 08:30 on Thursday in Auckland's summer (UTC+13)."""
    assert other_clock(at(19, 30), "Europe/Lisbon", "Pacific/Auckland", "24").endswith("supper is at Thursday 08:30.")
    assert other_clock(at(19, 30), "Europe/Lisbon", "Europe/London", "24") == ""
