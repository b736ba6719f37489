"""Running late with the oven lit, and with a dough that warmth has aged: what is said before the tap, and after it."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.eyes import look
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
SIZES = [(390, 844), (320, 640)]
OFF = re.compile(r"Light the oven: it is on, and would stand hot and empty: turn it off now, and on again at .*\d")


def opened(server: Server, new_phone: NewPhone, plan: Plan, done: tuple[str, ...], size: tuple[int, int]) -> Phone:
    """A phone with this bake, and these steps done as planned."""
    phone = new_phone(server, viewport={"width": size[0], "height": size[1]})
    was_done(server, phone.kitchen_id, server.bake(phone.kitchen_id, plan), done)
    phone.open(plan.bake_id)
    return phone


def late(phone: Phone, by: str) -> None:
    """Running late, by so much."""
    phone.page.locator("[data-key=late]").click()
    phone.page.locator("dialog").get_by_role("button", name=by, exact=True).click()
    expect(phone.page.locator("dialog [data-way=as-planned]")).to_be_visible()


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_late_at_the_oven_it_is_turned_off_now_and_its_step_comes_back(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int]
) -> None:
    plan = plan_at(at(18, 54), bake_id=secrets.token_urlsafe(16))
    phone = opened(shared_server, new_phone, plan, ("mix", "press", "preheat", "top"), size)
    page = phone.page
    late(phone, "15 min later")
    expect(page.locator("dialog ul").last).not_to_contain_text("turn it off now")
    page.locator("dialog").get_by_role("button", name="1 h later", exact=True).click()
    expect(page.locator("dialog ul").last).to_contain_text(OFF)
    assert look(page) == {}
    page.locator("dialog [data-way=as-planned]").click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator("#screen")).to_contain_text(OFF)
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    assert look(page) == {}


def test_a_dough_past_its_best_by_warmth_is_not_told_as_at_its_best(shared_server: Server, new_phone: NewPhone) -> None:
    """An hour after its best at pressing it is past by its mark; loaded a while later it has hardly risen too far."""
    plan = plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16))
    steps = tuple(
        replace(one, mark=replace(one.mark, past=1.4)) if one.kind == "press" and one.mark is not None else one
        for one in plan.steps
    )
    phone = opened(shared_server, new_phone, replace(plan, steps=steps), ("mix",), SIZES[0])
    late(phone, "1 h later")
    going = phone.page.locator("dialog [data-way=as-planned]")
    expect(going.locator(".way__name")).to_have_text(re.compile("a bit past$"))
    expect(going).not_to_contain_text("at its best")
    expect(phone.page.locator("dialog ul").last).to_contain_text("past its best from")
