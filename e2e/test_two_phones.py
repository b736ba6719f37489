"""A bake is planned anew while the other phone, out of reach, mixes: what is in the bowl is on both screens."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

NewPhone = Callable[..., Phone]
pytestmark = pytest.mark.without_worker


def with_yeast(plan: Plan, grams: float, revision: int) -> Plan:
    """The plan with so much yeast, as another revision of it."""
    lines = tuple(replace(one, weigh_g=grams) if one.kind == "yeast" else one for one in plan.lines)
    return replace(plan, lines=lines, revision=revision)


def wake(phone: Phone) -> None:
    """The phone comes back into sight."""
    phone.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def planned_anew(server: Server, new_phone: NewPhone) -> tuple[Phone, Phone, str]:
    """Sam's phone with the earlier plan and no connection, the other with the newer one."""
    key = secrets.token_urlsafe(32)
    other = new_phone(server, key)
    plan = plan_at(at(7, 31), bake_id=secrets.token_urlsafe(16))
    server.bake(other.kitchen_id, with_yeast(plan, 2.45, 1))
    sam = new_phone(server, key, other.kitchen_id)
    sam.open(plan.bake_id)
    expect(sam.page.locator(".weigh")).to_contain_text("2.45 g")
    expect(sam.page.locator(".tools")).to_be_visible()
    sam.page.route("**/api/**", lambda route: route.abort())
    server.bake(other.kitchen_id, with_yeast(plan, 0.61, 2))
    other.open(plan.bake_id)
    expect(other.page.locator(".weigh")).to_contain_text("0.61 g")
    expect(other.page.locator(".tools")).to_be_visible()
    return sam, other, plan.bake_id


def mixed_and_met(server: Server, new_phone: NewPhone) -> tuple[Phone, Phone, str]:
    """Sam mixes by the earlier plan; then both phones meet the server."""
    sam, other, bake_id = planned_anew(server, new_phone)
    sam.page.get_by_role("button", name="Mixed").click()
    expect(sam.page.locator("#notes")).to_contain_text("One entry waits")
    sam.page.unroute("**/api/**")
    wake(sam)
    sam.has_sent(bake_id, "done")
    wake(other)
    expect(other.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    return sam, other, bake_id


def test_the_other_phone_shows_what_was_mixed_and_is_asked_once(shared_server: Server, new_phone: NewPhone) -> None:
    sam, other, bake_id = mixed_and_met(shared_server, new_phone)
    expect(other.page.locator("#notes")).to_contain_text("mixed the earlier plan, with 2.45 g of yeast")
    expect(sam.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(sam.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    other.page.get_by_role("button", name="Go on with that dough").click()
    expect(other.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    other.has_sent(bake_id, "done", "settled")


def test_a_dough_that_is_not_used_leaves_both_screens(shared_server: Server, new_phone: NewPhone) -> None:
    sam, other, bake_id = mixed_and_met(shared_server, new_phone)
    other.page.get_by_role("button", name="No, that dough is not used").click()
    for phone in (other, sam):
        wake(phone)
        expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")
        expect(phone.page.locator(".weigh")).to_contain_text("0.61 g")
        expect(phone.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    other.has_sent(bake_id, "done", "undo")
