"""The oven is broken: what the dough can still become is told on the phone, with no server in reach."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.eyes import look
from e2e.server import Server, plan_at
from tests.profiles import crossed
from tests.samples import at
from webapp.core.now.walk import DAY_S
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
PRESSED = (at(17, 30), ("mix", "press"))
LIGHTING = (at(18, 11), ("mix", "press"))
LOADING = (at(18, 56), ("mix", "press", "preheat", "top"))
BAKING = (at(19, 0), ("mix", "press", "preheat", "top", "load", "turn-down"))
AT_NIGHT = (at(6, 0), ())


def opened(
    server: Server,
    new_phone: NewPhone,
    moment: tuple[int, tuple[str, ...]],
    perishes: bool = False,
    zone: str = "Europe/Lisbon",
    **options: object,
) -> tuple[Phone, Plan]:
    """The sheet, opened on a phone whose server has gone."""
    phone = new_phone(server, **options)
    plan = plan_at(moment[0], bake_id=secrets.token_urlsafe(16))
    plan = server.bake(phone.kitchen_id, replace(plan, dough_perishes=perishes, zone=zone))
    was_done(server, phone.kitchen_id, plan, moment[1])
    page = phone.open(plan.bake_id)
    expect(page.locator("[data-key=noOven]")).to_be_visible()
    return phone, plan


def asked(page: Page) -> None:
    page.context.set_offline(True)
    page.locator("[data-key=noOven]").click()
    expect(page.locator("#sheet-title")).to_have_text("The oven is broken")
    expect(page.locator("dialog [data-caution]").first).to_contain_text("Smell of gas")
    assert page.locator("dialog").evaluate("(sheet) => sheet.scrollTop") == 0  # what to do about gas is read first


def where_it_is(hour: int) -> str:
    """A time zone in which it is this hour now."""
    east = (hour - datetime.now(UTC).hour + 9) % 24 - 9
    return f"Etc/GMT{-east:+d}"  # named the other way round (POSIX)


def test_a_dough_waits_for_tomorrow_at_one_tap(shared_server: Server, new_phone: NewPhone) -> None:
    phone, plan = opened(shared_server, new_phone, PRESSED, zone=where_it_is(12))  # supper is today
    page = phone.page
    asked(page)
    assert page.locator("dialog h3").all_inner_texts() == [
        "It waits for tomorrow", "In another oven", "On the hob, as flat bread",
    ]  # fmt: skip
    (row,) = page.locator("dialog .way").all()
    expect(row).to_contain_text("tomorrow")
    expect(page.locator("dialog")).to_contain_text("5 °C or less")
    row.click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator(".carry--now")).to_contain_text("into the fridge")
    page.context.set_offline(False)
    phone.has_sent(plan.bake_id, "done", "done", "way")
    (way,) = [one for one in shared_server.events(phone.kitchen_id, plan.bake_id) if one["kind"] == "way"]
    assert abs(way["data"]["supper"] - plan.supper - DAY_S) <= 15 * 60
    assert way["data"]["moves"][0]["place"] == "fridge"


def test_of_a_supper_that_is_tomorrow_the_day_after_it_is_named(shared_server: Server, new_phone: NewPhone) -> None:
    """Ten at night there, supper after midnight: to wait for "tomorrow" would be for the supper without an oven."""
    zone = where_it_is(22)
    phone, plan = opened(shared_server, new_phone, (at(16, 50), ("mix", "press")), zone=zone)
    asked(phone.page)
    after = datetime.fromtimestamp(plan.supper + DAY_S, ZoneInfo(zone))
    expect(phone.page.locator("dialog h3").first).to_have_text(f"It waits for {after:%A}")
    expect(phone.page.locator("dialog .way")).to_contain_text(f"{after:%A}")


def test_a_dough_with_milk_hears_how_long_it_may_be_out_of_the_fridge(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Two hours in all (USDA FSIS, facts of the trade 11): mixed since the morning it is past that, and said to be."""
    phone, _ = opened(shared_server, new_phone, PRESSED, perishes=True)
    asked(phone.page)
    expect(phone.page.locator("dialog")).to_contain_text("2 hours in all")
    expect(phone.page.locator("dialog")).not_to_contain_text("some two days")
    expect(phone.page.locator("dialog .way")).to_contain_text("not to be eaten")


def test_bread_on_the_hob_ends_the_bake_and_can_be_taken_back(shared_server: Server, new_phone: NewPhone) -> None:
    """The sample's 755 g are six pieces of 126 g: of 120 g each they would be 6.3."""
    phone, plan = opened(shared_server, new_phone, LOADING)
    page = phone.page
    asked(page)
    sheet = page.locator("dialog")
    expect(sheet).to_contain_text(f"About {round(plan.dough_g / 120)} pieces of {plan.dough_g / 6:.0f} g")
    expect(sheet).to_contain_text("nobody leaves it")
    page.locator("[data-key=on-the-hob]").click()
    expect(page.locator("#screen")).to_contain_text("Flat bread from the pan")
    expect(page.locator("[data-key=came-out]")).to_be_visible()
    expect(page.locator(".alarm")).to_have_count(0)
    page.get_by_role("button", name="Not on the hob after all").click()
    expect(page.locator("#now-title")).to_have_text("Load the tray")
    page.context.set_offline(False)
    phone.has_sent(plan.bake_id, *("done",) * 5, "note", "undo", "undo")
    events = shared_server.events(phone.kitchen_id, plan.bake_id)
    hob = [one for one in events if one["data"].get("hob")]
    assert sorted(one["data"].get("step_id", one["kind"]) for one in hob) == ["note", "serve"]


def test_a_note_of_the_hob_is_known_by_what_it_is_and_not_by_its_words(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Told by an older version, in other words and without saying what it is; a note of one's own stays."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(LOADING[0], bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, LOADING[1])
    now = int(time.time())
    told = (("note", {"text": "Softer than last time."}, 9), ("note", {"text": "From the pan."}, 3),
            ("done", {"step_id": "serve", "hob": True}, 2))  # fmt: skip
    rows = [
        {"event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": now - ago, "logged_at": now - ago,
         "phone": "another", "kind": kind, "data": data} for kind, data, ago in told
    ]  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, plan.bake_id, rows, now)
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="Not on the hob after all").click()
    expect(page.locator("#now-title")).to_have_text("Load the tray")
    phone.has_sent(plan.bake_id, *("done",) * 5, "note", "note", "undo", "undo")
    events = shared_server.events(phone.kitchen_id, plan.bake_id)
    assert {one["data"]["event_id"] for one in events if one["kind"] == "undo"} == {one["event_id"] for one in rows[1:]}


def test_before_mixing_nothing_is_lost_and_in_the_oven_it_is_finished_in_a_pan(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone, plan = opened(shared_server, new_phone, AT_NIGHT)
    asked(phone.page)
    expect(phone.page.locator("dialog")).to_contain_text("Nothing is mixed yet")
    expect(phone.page.locator("dialog .way")).to_have_count(0)
    evening = phone.page.get_by_role("link", name="Another evening")
    expect(evening).to_have_attribute("href", f"/bakes/{plan.bake_id}/change")  # where another supper is asked for
    phone, _ = opened(shared_server, new_phone, BAKING)
    asked(phone.page)
    expect(phone.page.locator("dialog")).to_contain_text("Leave the door shut")
    expect(phone.page.locator("dialog .way")).to_have_count(0)
    expect(phone.page.locator("[data-key=on-the-hob]")).to_be_visible()


@pytest.mark.parametrize(("size", "scheme"), crossed(((390, 844), (320, 640)), ("light", "dark")), ids=str)
def test_it_is_offered_where_the_oven_is_lit_and_can_be_read(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int], scheme: str
) -> None:
    viewport = {"width": size[0], "height": size[1]}
    phone, plan = opened(shared_server, new_phone, LIGHTING, viewport=viewport, color_scheme=scheme)
    phone.page.goto(f"{shared_server.url}/kitchen?no-oven#{plan.bake_id}")  # as the bake's page leads there
    expect(phone.page.locator("dialog .way")).to_be_visible()
    assert look(phone.page) == {}
    phone.page.locator("[data-key=on-the-hob]").click()
    expect(phone.page.locator("#screen")).to_contain_text("Flat bread from the pan")
    assert look(phone.page) == {}
