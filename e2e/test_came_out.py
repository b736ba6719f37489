"""After the last step: how it came out is said in the kitchen, with or without a server, and stands in the book."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable
from dataclasses import replace

from playwright.sync_api import Page, expect

from e2e.browsers import WHOLE
from e2e.conftest import Phone
from e2e.cut_off import row, steps_of, was_done
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan
from webapp.kitchens.access import change_kitchen

NewPhone = Callable[..., Phone]
DAY_S = 86400
YEAR_S = 365 * DAY_S


def eaten(server: Server, phone: Phone) -> Plan:
    """A bake with every step done."""
    plan = server.bake(phone.kitchen_id, plan_at(at(19, 40), bake_id=secrets.token_urlsafe(16)))
    was_done(server, phone.kitchen_id, plan, tuple(step.step_id for step in plan.steps))
    return plan


def choices(page: Page, inside: str) -> list[str]:
    """Every choice with the question over it."""
    return list(
        page.locator(inside).evaluate(
            """(form) => [...form.querySelectorAll("input[type=checkbox], input[type=radio], option")]
              .map((one) => one.tagName === "OPTION" ? one.text : one.closest("label").innerText.trim())
              .filter((words) => words !== "–")"""
        )
    )


def test_how_it_came_out_is_said_with_the_server_dead_and_is_in_the_book_later(
    own_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(own_server)
    plan = eaten(own_server, phone)
    page = phone.open(plan.bake_id)
    expect(page.locator("h2.big")).to_have_text("All done. Eat.")
    own_server.kill()
    page.reload()
    page.get_by_role("button", name="How it came out").click()
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("alert").filter(has_text="Tick something")).to_be_visible()
    page.get_by_label("Base burnt").check()
    page.get_by_role("group", name="Top").get_by_label("Good").check()
    crumb = page.get_by_role("group", name="Crumb")
    crumb.get_by_label("Good").check()
    crumb.get_by_label("Dry or tough").check()
    expect(crumb.get_by_label("Good")).not_to_be_checked()
    page.get_by_label("Just right").check()
    page.get_by_label("A line or two").fill("Next time <b>less</b> salt")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("#screen .card").first).to_contain_text("How it came out is written down.")
    expect(page.locator("#notes")).to_contain_text("2 entries wait")
    page.reload()
    page.get_by_role("button", name="Say more").click()
    expect(page.get_by_label("Base burnt")).to_be_checked()
    own_server.start()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#notes")).not_to_contain_text("wait")
    phone.has_sent(plan.bake_id, *["done"] * len(plan.steps), "outcome", "note")
    page.goto(f"{own_server.url}/book/{plan.bake_id}")
    said = page.get_by_role("region", name="How it came out")
    for words in ("burnt", "Dry or tough", "just right", "Next time <b>less</b> salt"):
        expect(said).to_contain_text(words)


def test_the_kitchen_asks_the_same_as_the_book(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = eaten(shared_server, phone)
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="How it came out").click()
    expect(page.get_by_label("Just right")).to_be_visible()
    here = choices(page, "dialog form")
    page.goto(f"{shared_server.url}/book/{plan.bake_id}")
    for fold in page.get_by_text("Not quite", exact=True).all():
        fold.click()
    assert here == choices(page, "main form")


def test_a_bake_forgotten_for_a_year_opens_at_once_rings_nothing_and_can_still_be_finished(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """That it opens at once is held by how little is worked out for it: no more than for one of some days."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(12) + YEAR_S, bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.page
    page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(page.locator("h2.big")).to_contain_text("This bake was for")
    expect(page.locator(WHOLE)).to_be_attached()
    expect(page.locator(".alarm, .card--due, .notice--careful")).to_have_count(0)
    assert page.locator("main *").count() < 600
    steps_of(page)
    expect(row(page, "Press into the oiled tray").get_by_role("button", name="It is done")).to_be_visible()
    page.goto(f"{shared_server.url}/bakes/{plan.bake_id}")
    expect(page.locator("h1").first).to_be_visible()


def test_a_bake_that_was_never_begun_leaves_the_kitchen_and_is_called_so(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(12) + 9 * DAY_S, bake_id=secrets.token_urlsafe(16)))
    page = phone.page
    page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(page.locator("h2.big")).to_contain_text("This bake was for")
    expect(page.locator("#screen")).to_contain_text("It was never begun")
    expect(page.locator("[data-key=came-out]")).to_have_count(0)
    page.goto(f"{shared_server.url}/health")
    page.goto(f"{shared_server.url}/kitchen")
    expect(page.locator("h1")).to_have_text("No dough on the go")
    expect(page.locator("#screen a.button")).to_have_text("Plan a bake")
    expect(page.locator(".others__link")).to_have_count(0)


def test_an_eaten_bake_leaves_the_others_of_the_phone_once_it_is_said_how_it_came_out(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    past = eaten(shared_server, phone)
    page = phone.open(past.bake_id)
    going = shared_server.bake(phone.kitchen_id, plan_at(at(12), bake_id=secrets.token_urlsafe(16)))
    page.goto(f"{shared_server.url}/bakes/{going.bake_id}")
    expect(page.locator("[data-packed=true]")).to_be_visible()
    phone.open(going.bake_id)
    others = page.locator(".others__link")
    expect(others).to_contain_text("how did it come out?")
    was_said = {"event_id": secrets.token_hex(16), "bake_id": past.bake_id, "at": past.ready_at, "kind": "outcome",
                "logged_at": past.ready_at, "phone": "another", "data": {"timing": "right"}}  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, past.bake_id, [was_said], int(time.time()))
    phone.reload()
    expect(others).to_have_count(0)


def test_all_good_is_one_tap_with_what_was_written_beside_it(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = eaten(shared_server, phone)
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="How it came out").click()
    page.get_by_label("A line or two").fill("Gone in minutes.")
    page.get_by_role("button", name="All good").click()
    expect(page.locator("#screen .card").first).to_contain_text("How it came out is written down.")
    phone.has_sent(plan.bake_id, *["done"] * len(plan.steps), "outcome", "note")
    said = {one["kind"]: one["data"] for one in shared_server.events(phone.kitchen_id, plan.bake_id)}
    assert said["outcome"] == {"base": "good", "top": "good", "crumb": "good"}
    assert said["note"] == {"text": "Gone in minutes."}


def test_a_bake_that_was_eaten_long_ago_is_listed_by_the_clock_that_the_household_reads_now(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Nothing newer is fetched of it: its own bundle is still of a clock of 24 hours."""
    phone = new_phone(shared_server)
    past = eaten(shared_server, phone)
    page = phone.open(past.bake_id)
    change_kitchen(shared_server.store(), phone.kitchen_id, lambda one: replace(one, clock="12"))
    going = shared_server.bake(phone.kitchen_id, plan_at(at(12), bake_id=secrets.token_urlsafe(16)))
    page.goto(f"{shared_server.url}/bakes/{going.bake_id}")
    expect(page.locator("[data-packed=true]")).to_be_visible()
    phone.open(going.bake_id)
    expect(page.locator(".others__link")).to_contain_text(re.compile(r"eaten .*\d:\d\d.(am|pm): how did it come out\?"))
