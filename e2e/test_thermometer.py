"""A thermometer in the dough: what it says is kept, shown, and turns the times."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at

pytestmark = pytest.mark.without_worker


def test_the_measured_warmth_of_the_dough_is_taken_over(shared_server: Server, new_phone: Callable[..., Phone]) -> None:
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(8), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.open(plan.bake_id)
    line = page.locator(".standing__line", has_text="The dough")
    expect(line).to_contain_text(re.compile(r"at about 2\d\s°C"))
    page.get_by_role("button", name="The dough is at").click()
    page.get_by_label("The thermometer in the dough says").fill("99")
    page.get_by_role("button", name="That is how warm it is").click()
    expect(page.get_by_role("alert").filter(has_text="Give a temperature")).to_be_visible()
    page.get_by_label("The thermometer in the dough says").fill("30")
    with page.expect_response(lambda answer: answer.url.endswith("/events") and answer.request.method == "POST"):
        page.get_by_role("button", name="That is how warm it is").click()
    expect(line).to_contain_text(re.compile(r"at about (29|30)\s°C"))
    expect(page.locator("dialog")).to_have_count(0)
    assert "dough" in phone.journal(plan.bake_id)


def test_what_is_half_typed_waits_in_its_own_sheet(shared_server: Server, new_phone: Callable[..., Phone]) -> None:
    """The thermometers of room and dough are one script and two sheets, whatever they are called."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(8), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.open(plan.bake_id)
    room, dough = "The thermometer in the kitchen says", "The thermometer in the dough says"
    for button, field in (("The room is at", room), ("The dough is at", dough)):
        page.get_by_role("button", name=button).click()
        thought = page.get_by_label(field).input_value()
        assert thought != "27"
        page.get_by_label(field).fill("27" if field == room else "29")
        page.keyboard.press("Escape")
        expect(page.locator("dialog")).to_have_count(0)
    page.get_by_role("button", name="The room is at").click()
    expect(page.get_by_label(room)).to_have_value("27")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="The dough is at").click()
    expect(page.get_by_label(dough)).to_have_value("29")


def test_a_dough_that_was_warm_since_it_was_mixed_is_further_than_it_was_thought(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    """Half past four of the sample day: nine hours out of the fridge. One tap says since when it was so warm."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(16, 30), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="The dough is at").click()
    page.get_by_label("The thermometer in the dough says").fill("26")
    expect(page.get_by_role("button", name="So for the last hour")).to_be_visible()
    with page.expect_response(
        lambda answer: answer.url.endswith("/events") and answer.request.method == "POST"
    ) as sent:
        page.get_by_role("button", name="So since it was mixed").click()
    told = next(one for one in sent.value.request.post_data_json["events"] if one["kind"] == "dough")
    mixed = next(step for step in plan.steps if step.kind == "mix")
    assert told["data"] == {"temp_c": 26, "since": mixed.end}
