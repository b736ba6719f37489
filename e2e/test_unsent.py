"""A form that is sent while the server is away: nothing typed is lost, and no page of the browser's own comes."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Locator, Page, expect

from e2e.conftest import Phone
from e2e.cut_off import IN_CHARGE
from e2e.server import Server

NewPhone = Callable[..., Phone]
WAYS = "The server does not answer, so nothing was sent. What you typed stays here."


def settings(phone: Phone) -> Page:
    """The settings page of an installed app."""
    page = phone.page
    page.goto(f"{phone.server.url}/kitchen")
    page.evaluate(IN_CHARGE)
    page.goto(f"{phone.server.url}/settings")
    return page


def unfolded(page: Page) -> Locator:
    """How cold the fridge is, to be typed."""
    fridge = page.locator("input[name=fridge]")
    page.locator("details", has=fridge).locator("summary").click()
    return fridge


def test_a_form_stays_with_all_that_was_typed_and_is_sent_when_the_server_is_back(
    own_server: Server, new_phone: NewPhone
) -> None:
    page = settings(new_phone(own_server))
    fridge = unfolded(page)
    fridge.fill("6")
    save = page.locator("form", has=fridge).get_by_role("button", name="Save")
    save.click()
    expect(page.locator(".notice--good")).to_be_visible()
    own_server.kill()
    fridge.fill("3.5")
    save.click()
    expect(page.locator("[data-unsent]")).to_have_text(WAYS)
    expect(fridge).to_have_value("3.5")
    assert "/settings" in page.url
    own_server.start()
    expect(page.locator("[data-unsent]")).to_contain_text("The server answers again.")
    save.click()
    expect(page.locator(".notice--good")).to_be_visible()
    expect(page.locator("[data-unsent]")).to_have_count(0)
    expect(fridge).to_have_value("3.5")


def test_what_was_typed_is_there_again_in_an_app_that_was_closed_meanwhile(
    own_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(own_server)
    page = settings(phone)
    fridge = unfolded(page)
    own_server.kill()
    fridge.fill("3.5")
    page.locator("form", has=fridge).get_by_role("button", name="Save").click()
    expect(page.locator("[data-unsent]")).to_have_text(WAYS)
    page.close()
    own_server.start()
    page = phone.context.new_page()
    page.goto(f"{own_server.url}/settings")
    expect(page.locator("[data-unsent]")).to_contain_text("It is still to be sent")
    expect(page.locator("input[name=fridge]")).to_have_value("3.5")
    page.reload()
    expect(page.locator("[data-unsent]")).to_have_count(0)


def test_an_answer_typed_into_the_home_page_s_sheet_stays_in_it(own_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(own_server)
    settings(phone)
    page = phone.page
    page.goto(f"{own_server.url}/")
    page.locator("a[data-ask][href*=warm]").click()
    room = page.locator("dialog input[name=room]")
    room.fill("23")
    own_server.kill()
    page.locator("dialog button:not([type=button])").first.click()
    expect(page.locator("dialog [data-unsent]")).to_have_text(WAYS)
    expect(room).to_have_value("23")


def test_the_answers_in_an_address_are_not_lost_on_the_way_to_the_kitchen(
    own_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(own_server)
    page = settings(phone)
    own_server.kill()
    page.goto(f"{own_server.url}/?room=23&supper=2026-11-25T19%3A30")
    link = page.locator(".instead a")
    expect(link).to_have_attribute("href", "/?room=23&supper=2026-11-25T19%3A30")
