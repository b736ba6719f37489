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
