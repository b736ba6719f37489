"""How long the kitchen screen is as a bake goes on: by a clock that is set, a step after the other, as planned."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from e2e.every_page import addresses, enter
from e2e.still import Still, on, phone_at, still
from e2e.test_every_page import HOURS, LONGEST, settled, too_long
from webapp.core.plan.event import Event
from webapp.kitchens.bakes import add_to_journal, picked

SOON_S, LATE_S = 600, 120


def as_it_goes_on(page: Page, server: Still) -> Iterator[str]:
    """The bake to come in the kitchen of this page, shown soon before each of its steps and soon after."""
    bake_id = next(path for path in addresses(page, server) if path.endswith("/print")).split("/")[2]
    with server.store().reading() as db:
        kitchen_id = db.exec_driver_sql("SELECT kitchen_id FROM bakes WHERE bake_id = ?", (bake_id,)).fetchone()[0]
    for step in picked(server.store(), kitchen_id, bake_id).steps:
        for now in (step.start - SOON_S, step.start + LATE_S):
            server.now = max(now, server.now)
            page.clock.set_fixed_time(server.now)
            settled(page, f"{server.url}/kitchen#{bake_id}")
            yield page.locator("[data-step]").get_attribute("data-step") or ""
        done = Event(secrets.token_hex(16), bake_id, now, now, "phone", "done", {"step_id": step.step_id})
        add_to_journal(server.store(), now, kitchen_id, bake_id, [done])


@pytest.mark.parametrize("hour", [LONGEST, HOURS[1]])
def test_a_step_that_wants_hands_is_three_screens_at_most(browser: Browser, tmp_path: Path, hour: str) -> None:
    with still(tmp_path, on(hour)) as server:
        context = phone_at(browser, server)
        page = context.new_page()
        enter(page, server, server.now)
        seen = {(step_id, server.now): too_long(page) for step_id in as_it_goes_on(page, server)}
        assert {step_id for step_id, _ in seen} >= {"mix", "press", "sauce", "preheat", "top", "load", "lift"}
        assert {place: height for place, height in seen.items() if height} == {}
        context.close()


def test_the_picture_of_the_day_stands_open_while_the_dough_waits(browser: Browser, tmp_path: Path) -> None:
    with still(tmp_path, on(LONGEST)) as server:
        context = phone_at(browser, server)
        page = context.new_page()
        enter(page, server, server.now)
        figure = page.locator("figure.tide-figure")
        next(step_id for step_id in as_it_goes_on(page, server) if step_id == "sauce")
        expect(figure).to_be_hidden()
        server.now -= 3600
        page.clock.set_fixed_time(server.now)
        settled(page, page.url)
        expect(figure).to_be_visible()
        context.close()
