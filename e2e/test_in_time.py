"""Running late with what perishes: no way that ends in the bin is offered, and a dough for the bin has no supper.

Two hours out of the fridge are the most (USDA FSIS); the sums are worked by hand in tests/core/now/test_in_time.py.
"""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.eyes import look
from e2e.server import Server, shifted
from tests.core.now.test_in_time import milk, tray
from tests.samples import at
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
SIZES = [(390, 844), (320, 640)]
PRESSED = ("mix", "press", "preheat", "cheese-out")


def opened(
    server: Server, new_phone: NewPhone, plan: Plan, moment: int, done: tuple[str, ...], size: tuple[int, int]
) -> Phone:
    """A phone with this bake, whose `moment` of the sample day is now, and these steps done as planned."""
    plan = shifted(replace(plan, bake_id=secrets.token_urlsafe(16)), int(time.time()) - moment)
    return new_phone(server).follows(plan, done, size)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_milk_dough_two_hours_late_is_kept_cold_in_every_way_that_is_offered(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int]
) -> None:
    """20 min of the morning; 18:00 to 20:16, when it is pressed, and the ten minutes of that: 166 min."""
    phone = opened(shared_server, new_phone, milk(), at(18, 16), ("mix", "chill", "temper"), size)
    phone.late("2 h later")
    dialog = phone.page.locator("dialog")
    expect(dialog.locator("[data-way=as-planned]")).to_have_count(0)
    for way in dialog.locator("[data-way]").all():
        assert "fridge" in (way.text_content() or "").lower()
    going_on = dialog.locator("ul").last
    # A minute more for a page that took so long to open.
    expect(going_on).to_contain_text(re.compile(r"It would come to 2\sh\s4[67]\smin before the oven; 2\sh is the most"))
    expect(going_on).not_to_contain_text("Supper")
    assert look(phone.page) == {}


def test_a_dough_to_throw_away_has_no_supper(shared_server: Server, new_phone: NewPhone) -> None:
    """18:00 to 19:50 and 20 min of the morning: 2 h 10 min."""
    done = ("mix", "chill", "temper", "press")
    phone = opened(shared_server, new_phone, milk(), at(19, 50), done, SIZES[0])
    page = phone.page
    card = page.locator("[data-step]")
    expect(card).to_contain_text("That is too long: throw it away.")
    expect(card).not_to_contain_text(re.compile("limit|Cut that off"))  # nothing else is said of it, or asked
    expect(page.locator("[data-fridge-clock]")).to_have_count(0)
    expect(page.locator(".standing")).not_to_contain_text("Supper")
    phone.late("15 min later")
    only = page.locator("dialog [data-way]")
    expect(only).to_have_count(1)
    expect(only).to_contain_text("Go on, not to be eaten")
    expect(only).to_contain_text(re.compile(r"Out of the fridge for 2\sh\s\d+\smin by then: throw it away"))
    expect(only).not_to_contain_text(re.compile("eat \\d|Risen|Good to eat"))
    assert look(page) == {}
    page.locator("dialog [data-key=close]").click()
    for step in ("preheat", "load"):
        expect(page.locator(f"[data-step={step}]")).to_be_visible()
        page.locator("[data-key=done]").click()
        page.locator("dialog").get_by_role("button", name="Just now", exact=True).click()
    over = page.locator("#screen .card").first
    expect(over.get_by_role("heading")).to_have_text("Not to be eaten")
    expect(over).to_contain_text(re.compile(r"out of the fridge for 2\sh\s\d+\smin in all; 2\sh is the most"))
    assert look(page) == {}


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_topped_tray_two_hours_late_goes_into_the_fridge_and_the_words_are_of_the_tray(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int]
) -> None:
    phone = opened(shared_server, new_phone, tray(), at(18, 56), (*PRESSED, "top"), size)
    page = phone.page
    phone.late("2 h later")
    expect(page.locator("dialog [data-way=as-planned]")).to_have_count(0)
    expect(page.locator("dialog [data-way=cold-tray] .way__name").first).to_have_text(
        re.compile("^Tray into the fridge")
    )
    expect(page.locator("dialog ul").last).to_contain_text("bake it now, or the whole tray into the fridge")
    assert look(page) == {}
    page.locator("dialog [data-way=cold-tray]").first.click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator("[data-fridge-clock]")).to_have_count(0)


def test_a_tray_that_is_left_standing_is_said_to_be_baked_or_put_away_whole(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Topped, and loading put off on another phone: what stands on the screen is of the tray."""
    phone = opened(shared_server, new_phone, tray(), at(18, 56), (*PRESSED, "top"), SIZES[0])
    page = phone.page
    clock = page.locator("[data-fridge-clock]")
    expect(clock).to_contain_text("Low-moisture mozzarella: into the oven by")
    page.locator("[data-key=late]").click()
    page.locator("dialog").get_by_role("button", name="15 min later", exact=True).click()
    page.locator("dialog [data-way=as-planned]").click()
    expect(clock).to_contain_text("into the oven by")
    assert look(page) == {}
