"""From five answers to the kitchen screen by the real planner: without scripts, and with a phone that goes offline."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at


def evening_ahead() -> str:
    """The day after tomorrow: there is always a way to be ready by half past seven then."""
    return f"{datetime.now(UTC) + timedelta(days=2):%Y-%m-%d}"


def plan_and_pick(page: Page, server: Server) -> str:
    """Answer the questions, take the first day; the bake's id."""
    page.goto(f"{server.url}/plan")
    page.get_by_label("Evening", exact=True).select_option(evening_ahead())
    page.get_by_label("Supper at").fill("19:30")
    page.get_by_role("button", name="Fit the dough into my day").click()
    expect(page.locator(".offer").first).to_be_visible()
    page.get_by_role("button", name=re.compile("^Take this day")).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Plain tray pizza for")
    return page.url.rsplit("/", 1)[1]


def test_everything_up_to_the_fridge_door_works_without_scripts(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    page = new_phone(shared_server, java_script_enabled=False).page
    bake_id = plan_and_pick(page, shared_server)
    expect(page.locator("svg[role=img]").first).to_be_visible()
    page.goto(f"{shared_server.url}/bakes/{bake_id}/print")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Plain tray pizza")
    page.goto(f"{shared_server.url}/settings")
    page.get_by_role("heading", name="Warmth").click()
    page.locator("[name=fridge]").fill("twenty")
    page.locator("form[action*=warmth] button").click()
    expect(page.locator("#fridge-error")).to_contain_text("“twenty” is not a number")
    expect(page.locator("[name=fridge]")).to_have_value("twenty")
    page.locator("[name=fridge]").fill("4,5")
    page.locator("form[action*=warmth] button").click()
    expect(page.get_by_role("status")).to_contain_text("Saved.")


def test_a_phone_in_another_time_zone_is_asked_and_then_no_more(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    page = new_phone(shared_server, timezone_id="Asia/Tokyo").page
    page.goto(f"{shared_server.url}/")
    offer = page.locator("[data-zone]")
    expect(offer).to_contain_text("Asia/Tokyo")
    offer.get_by_role("button").click()
    page.wait_for_url(f"{shared_server.url}/")
    expect(page.locator("[data-zone=Asia\\/Tokyo]")).to_be_hidden()


def test_a_phone_elsewhere_reads_whose_clock_a_page_goes_by_and_supper_by_its_own(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    """Tokyo is 9 h ahead of UTC all year, the server's kitchens are by Lisbon's clock (IANA time zone database)."""
    at_home, away = (new_phone(shared_server, timezone_id=zone) for zone in ("Europe/Lisbon", "Asia/Tokyo"))
    for phone in (at_home, away):
        plan = shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
        was_done(shared_server, phone.kitchen_id, plan, ("mix",))
        supper = datetime.fromtimestamp(plan.supper, ZoneInfo("Asia/Tokyo")).strftime("%H:%M")
        by_phone = re.compile(f"clock of {plan.zone}; by this phone’s supper is at .*{supper}")
        pages = [
            f"/bakes/{plan.bake_id}",
            f"/bakes/{plan.bake_id}/print",
            *(["/week", "/book"] if phone is away else []),
        ]
        for path in pages:
            phone.page.goto(f"{shared_server.url}{path}")
            line = phone.page.locator("[data-clock-of]")
            expect(line.locator("[data-here]")).to_have_text("" if phone is at_home else re.compile(r"\d\d:\d\d$"))
            expect(line).to_be_visible(visible=phone is away)
            if phone is away and plan.bake_id in path:
                expect(line).to_contain_text(by_phone)


def test_a_bake_planned_by_the_real_planner_is_in_the_kitchen_with_no_connection(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(shared_server)
    bake_id = plan_and_pick(phone.page, shared_server)
    phone.open(bake_id)
    parts = ("#now-title", ".now__text")  # what does not go on with the clock
    shown = {part: phone.page.locator(part).inner_text() for part in parts}
    phone.context.set_offline(True)
    phone.reload()
    for part, words in shown.items():
        expect(phone.page.locator(part)).to_have_text(words, use_inner_text=True)


def test_a_second_phone_joins_by_the_picture_and_sees_the_bake(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    first = new_phone(shared_server)
    bake_id = plan_and_pick(first.page, shared_server)
    first.page.goto(f"{shared_server.url}/join")
    first.page.get_by_role("button", name="Show the picture").click()
    expect(first.page.locator("svg.qr")).to_be_visible()
    code = first.page.locator(".code").inner_text()
    second = new_phone(shared_server)
    second.page.goto(f"{shared_server.url}/join?code={code}")
    second.page.get_by_role("button", name="Join").click()
    second.page.wait_for_url(f"{shared_server.url}/")
    second.page.goto(f"{shared_server.url}/bakes/{bake_id}")
    expect(second.page.get_by_role("heading", level=1)).to_contain_text("Plain tray pizza")
