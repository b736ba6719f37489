"""A second phone joins and is shut out again; everything moves to a new server; everything is deleted."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

NewPhone = Callable[..., Phone]


@pytest.fixture
def new_server(tmp_path: Path) -> Iterator[Server]:
    """The server that a kitchen moves to."""
    folder = tmp_path / "new"
    folder.mkdir()
    server = Server(folder).start()
    yield server
    server.kill()


def packed(server: Server, phone: Phone) -> Plan:
    """A bake on that phone's screen, mixed."""
    plan = server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(server, phone.kitchen_id, plan, ("mix",))
    phone.open(plan.bake_id)
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    return plan


def wake(page: Page) -> None:
    """The phone comes back into sight."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def test_a_phone_joins_by_the_picture_works_with_the_other_and_is_shut_out_again(
    own_server: Server, new_phone: NewPhone
) -> None:
    first, second = new_phone(own_server), new_phone(own_server)
    plan = packed(own_server, first)
    inside, coming = first.page, second.page
    inside.goto(f"{own_server.url}/join")
    inside.get_by_role("button", name="Show the picture").click()
    expect(inside.locator(".qr-frame svg")).to_be_visible()
    code = inside.locator(".code").inner_text().strip()
    coming.goto(f"{own_server.url}/join?code={code}")
    coming.get_by_role("button", name="Join").click()
    coming.wait_for_url(f"{own_server.url}/")
    coming.goto(f"{own_server.url}/kitchen#{plan.bake_id}")
    expect(coming.locator("#now-title")).to_have_text("Press into the oiled tray")
    with coming.expect_response(lambda r: r.request.method == "POST" and r.ok):
        coming.get_by_role("button", name="Pressed out").click()
    first.open(plan.bake_id)
    expect(inside.locator("#now-title")).to_have_text("Light the oven")
    inside.goto(f"{own_server.url}/join")
    others = inside.locator(".phones li").filter(has_not_text="This phone")
    others.get_by_role("button", name="Shut").click()
    expect(inside.locator(".phones li")).to_have_count(1)
    coming.get_by_role("button", name="The oven is on").click()
    expect(coming.locator("#notes")).to_contain_text("The server does not know this phone (any more)")
    expect(coming.locator("#now-title")).to_have_text("Put the topping on")
    first.has_sent(plan.bake_id, "done", "done")
    inside.goto(f"{own_server.url}/join?code={code}")
    expect(inside.get_by_role("alert")).to_contain_text("used up")


def test_everything_moves_to_a_new_server_and_is_deleted_on_the_old_one(
    own_server: Server, new_server: Server, new_phone: NewPhone, tmp_path: Path
) -> None:
    phone = new_phone(own_server)
    plan = packed(own_server, phone)
    with phone.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        phone.page.get_by_role("button", name="Pressed out").click()
    phone.page.goto(f"{own_server.url}/take-along")
    with phone.page.expect_download() as taken:
        phone.page.get_by_role("link", name="Take along").click()
    file = tmp_path / "kitchen.json"
    taken.value.save_as(file)
    moved = new_phone(new_server)
    moved.page.goto(f"{new_server.url}/take-along")
    moved.page.get_by_label("The file").set_input_files(file)
    moved.page.get_by_role("button", name="Bring in").click()
    expect(moved.page.locator("main")).to_contain_text("Brought in")
    moved.open(plan.bake_id)
    expect(moved.page.locator("#now-title")).to_have_text("Light the oven")
    page = phone.page
    page.goto(f"{own_server.url}/take-along")
    page.get_by_label("Type “delete”").fill("delete")
    page.get_by_role("button", name="Delete everything").click()
    expect(page.locator("h1, h2").first).to_have_text("Everything is deleted")
    assert page.evaluate("async () => (await indexedDB.databases()).map((one) => one.name)") == []
    answer = page.goto(f"{own_server.url}/bakes/{plan.bake_id}")
    assert answer
    assert answer.status == 404
    page.goto(f"{own_server.url}/kitchen")
    expect(page.locator(".empty h1")).to_have_text("No dough on the go")
