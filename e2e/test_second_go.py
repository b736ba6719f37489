"""A dough from the fridge in the kitchen: the glass is told of at mixing, and the tray is pressed out in two goes."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.eyes import look
from e2e.server import Server, shifted
from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from webapp.core.plan.plan import Plan
from webapp.planning.full_plan import plans_for

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]


def cold_plan(step_id: str) -> Plan:
    """A dough out of the fridge, half a minute after that step begins."""
    asked = wish(method_key="cold", supper_local="2026-11-26T20:15")  # with time between pressing and the oven
    plan = plans_for(asked, KITCHEN, MORNING, secrets.token_urlsafe(16), SHELF)[0]
    begins = next(step.start for step in plan.steps if step.step_id == step_id)
    return shifted(plan, int(time.time()) - begins - 30)


def test_at_mixing_the_kitchen_tells_of_the_glass_that_it_asks_for_at_pressing(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    page = phone.open(shared_server.bake(phone.kitchen_id, cold_plan("mix")).bake_id)
    expect(page.get_by_text("straight-sided glass").first).to_be_visible()


@pytest.mark.parametrize("size", [(390, 844), (320, 640)], ids=str)
def test_the_second_go_has_its_time_and_is_one_tap(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int]
) -> None:
    phone = new_phone(shared_server, viewport={"width": size[0], "height": size[1]})
    plan = shared_server.bake(phone.kitchen_id, cold_plan("relax"))
    was_done(shared_server, phone.kitchen_id, plan, ("mix", "chill", "temper", "press"))
    page = phone.open(plan.bake_id)
    expect(page.get_by_role("heading", name="Press it out again")).to_be_visible()
    assert look(page) == {}
    page.get_by_role("button", name="Pressed out again", exact=True).click()
    expect(page.locator(".undo-bar")).to_contain_text("Pressed out again")
    expect(page.get_by_role("heading", name="Press it out again")).to_have_count(0)


def test_a_dough_that_stayed_on_the_bench_is_pressed_in_one_go_and_gently_when_it_is_past(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Under about 12 C a dough springs back, and one past its best tears under fingers (common practice)."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, cold_plan("press"))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    now = int(time.time())
    told = {
        "way": "bench", "press": now - 30, "load": now + 3600, "supper": plan.supper, "moves": [], "proof": "",
        "asked": True, "result": "past", "given_up": 0.0,
    }  # fmt: skip
    row = {
        "event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": now - 60, "logged_at": now - 60,
        "phone": "another", "kind": "way", "data": told,
    }  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, plan.bake_id, [row], now)
    page = phone.open(plan.bake_id)
    step = page.locator("[data-step=press]")
    expect(step).to_contain_text("Tip the dough in")
    expect(step).to_contain_text("Do not knead it, bake it thin.")
    expect(step).not_to_contain_text("it is still cold")
    expect(page.locator(".next")).not_to_contain_text("Press it out again")
    assert look(page) == {}
