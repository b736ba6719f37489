"""The page of reminders in a browser: readable on a small phone, every test ring within reach."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from pathlib import Path

import icalendar
import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.server import Server, plan_at
from tests.samples import at


@pytest.fixture
def phone(shared_server: Server, new_phone: Callable[..., Phone]) -> Phone:
    made = new_phone(shared_server)
    made.page.goto(f"{shared_server.url}/reminders")
    return made


@pytest.mark.parametrize(("width", "height", "scheme"), [(320, 640, "dark"), (390, 844, "light"), (1200, 800, "light")])
def test_nothing_is_cut_off_too_small_or_out_of_reach(
    shared_server: Server, new_phone: Callable[..., Phone], width: int, height: int, scheme: str
) -> None:
    phone = new_phone(shared_server, viewport={"width": width, "height": height}, color_scheme=scheme)
    page = phone.page
    page.goto(f"{shared_server.url}/reminders")
    assert page.evaluate("document.documentElement.scrollHeight") <= 3 * max(height, 844), "three screens at most"
    page.goto(f"{shared_server.url}/reminders#feed")
    page.get_by_role("button", name="Make the address").click()
    expect(page.get_by_role("button", name="Copy the address")).to_be_visible()
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll("main *")].filter((node) => node.checkVisibility()
            && [...node.childNodes].some((kid) => kid.nodeType === 3 && kid.data.trim())
            && !node.closest(".visually-hidden, thead") && parseFloat(getComputedStyle(node).fontSize) < 18)
            .map((node) => node.textContent.trim().slice(0, 40))"""
    )
    assert small == []
    low = page.evaluate(
        """() => [...document.querySelectorAll(`main button, main .choice, main select, main .button,
            main input:not([type=hidden], .choice input)`)]
            .filter((node) => node.checkVisibility() && node.getBoundingClientRect().height < 47.5)
            .map((node) => node.outerHTML.slice(0, 80))"""
    )
    assert low == []


def test_each_route_is_one_folded_card_that_a_link_to_it_opens(phone: Phone) -> None:
    for key in ("calendar", "file", "push", "page", "feed", "alarms"):
        expect(phone.page.locator(f"#{key}")).to_be_hidden()
        phone.page.goto(f"{phone.server.url}/reminders#{key}")
        expect(phone.page.locator(f"#{key}")).to_be_visible()
        phone.page.goto(f"{phone.server.url}/reminders")


def test_the_open_page_beeps_after_a_minute(phone: Phone) -> None:
    page = phone.page
    page.clock.install()
    page.goto(f"{phone.server.url}/reminders#page")
    page.locator("[data-beep]").click()
    expect(page.get_by_text("Leave this page open and lit")).to_be_visible()
    page.clock.fast_forward(30_000)
    expect(page.get_by_text("That was it.")).to_be_hidden()
    page.clock.fast_forward(31_000)
    expect(page.get_by_text("That was it. Did you hear it?")).to_be_visible()


def test_the_address_of_the_feed_is_copied_with_one_tap(phone: Phone) -> None:
    phone.context.grant_permissions(["clipboard-read", "clipboard-write"], origin=phone.server.url)
    phone.page.goto(f"{phone.server.url}/reminders#feed")
    phone.page.get_by_role("button", name="Make the address").click()
    phone.page.get_by_role("button", name="Copy the address").click()
    expect(phone.page.get_by_text("Copied. Add it in your calendar")).to_be_visible()
    address = phone.page.evaluate("navigator.clipboard.readText()")
    assert address.startswith(f"{phone.server.url}/feed/")
    assert phone.context.request.get(address).headers["content-type"] == "text/calendar; charset=utf-8"
    assert address.rsplit("/", 1)[1].removesuffix(".ics") not in phone.server.said()


def test_the_calendar_link_of_a_bake_hands_over_a_file_with_the_worker_in_charge(phone: Phone, tmp_path: Path) -> None:
    plan = phone.server.bake(phone.kitchen_id, plan_at(at(6, 55), bake_id=secrets.token_urlsafe(16)))
    page = phone.page
    page.goto(f"{phone.server.url}/kitchen#{plan.bake_id}")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.goto(f"{phone.server.url}/bakes/{plan.bake_id}")
    with page.expect_download() as download:
        page.locator("a[href$='/bake.ics']").first.click()
    download.value.save_as(tmp_path / "bake.ics")
    events = icalendar.Calendar.from_ical((tmp_path / "bake.ics").read_bytes()).walk("VEVENT")
    assert len(events) == 6, "a plain evening rings six times"


def test_minutes_are_kept(phone: Phone) -> None:
    phone.page.goto(f"{phone.server.url}/reminders#alarms")
    phone.page.get_by_text("Other minutes for one step").click()
    phone.page.get_by_label("Turn the oven on").select_option("20")
    phone.page.get_by_role("button", name="Save").click()
    expect(phone.page.get_by_text("Saved.")).to_be_visible()
    expect(phone.page.get_by_label("Turn the oven on")).to_have_value("20")


def test_a_packed_bakes_calendar_is_handed_over_with_the_server_dead(
    own_server: Server, new_phone: Callable[..., Phone], tmp_path: Path
) -> None:
    phone = new_phone(own_server)
    plan = own_server.bake(phone.kitchen_id, plan_at(at(6, 55), bake_id=secrets.token_urlsafe(16)))
    page = phone.page
    page.goto(f"{own_server.url}/bakes/{plan.bake_id}")
    expect(page.locator("[data-packed=true]")).to_be_visible()
    own_server.kill()
    with page.expect_download() as download:
        page.locator("a[href$='/bake.ics']").first.click()
    download.value.save_as(tmp_path / "kept.ics")
    events = icalendar.Calendar.from_ical((tmp_path / "kept.ics").read_bytes()).walk("VEVENT")
    assert len(events) == 6, "a plain evening rings six times"
    step = phone.page.evaluate(f"fetch('/bakes/{plan.bake_id}/steps/mix.ics').then(() => 'answered', () => 'none')")
    assert step == "none", "what was not kept is not answered with something else"


@pytest.mark.parametrize("clock", ["24", "12"])
def test_the_time_of_the_steps_in_the_oven_stands_on_one_line_on_a_small_phone(
    shared_server: Server, new_phone: Callable[..., Phone], clock: str
) -> None:
    phone = new_phone(shared_server, viewport={"width": 320, "height": 640})
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(6, 55), bake_id=secrets.token_urlsafe(16)))
    page = phone.page
    page.goto(f"{shared_server.url}/bakes/{plan.bake_id}")
    time = page.locator(".step-load > details > summary > time")
    expect(time).to_be_visible()
    if clock == "12":
        time.evaluate("(node) => { node.textContent = '12:06 pm'; }")
    time.evaluate("(node) => { window.text = document.createRange(); window.text.selectNodeContents(node); }")
    lines = page.evaluate("window.text.getClientRects().length")
    assert lines == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
