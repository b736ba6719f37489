"""How long the kitchen screen is as a bake goes on: by a clock that is set, a step after the other, as planned."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from e2e.every_page import addresses, enter
from e2e.still import ZONE, Still, on, phone_at, still
from e2e.test_every_page import HOURS, LONGEST, settled, too_long
from tests.planning.test_full_plan import SHELF
from webapp.commands.demo import demo_kitchen
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.event import Event
from webapp.kitchens.bakes import add_to_journal, picked
from webapp.planning.full_plan import plans_for
from webapp.records import to_plain

SOON_S, LATE_S = 600, 120


def as_it_goes_on(page: Page, server: Still, bake_id: str = "") -> Iterator[str]:
    """That bake, or the one to come in the kitchen of this page, shown soon before each of its steps and soon after."""
    bake_id = bake_id or next(path for path in addresses(page, server) if path.endswith("/print")).split("/")[2]
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


@pytest.mark.parametrize("kitchen", [Kitchen(zone=ZONE), demo_kitchen(ZONE)], ids=["plain", "slab"])
def test_no_step_of_a_party_is_longer(browser: Browser, tmp_path: Path, kitchen: Kitchen) -> None:
    """Two trays, one after the other: while the first is at the oven the second waits, and so do its toppings."""
    with still(tmp_path, on("2026-11-25T06:40")) as server:
        key = secrets.token_urlsafe(32)
        wish = Wish("2026-11-25T20:30", (replace(kitchen.pans[0], count=2),), "bench-tray", "tomato-cheese")
        plan = plans_for(wish, kitchen, server.now, secrets.token_urlsafe(16), SHELF)[0]
        kitchen_id, stored = server.kitchen(key, kitchen), to_plain(plan)
        server.store().put_offers(kitchen_id, plan.bake_id, to_plain(wish), [stored], server.now)
        server.store().add_plan(kitchen_id, plan.bake_id, stored, server.now)
        context = phone_at(browser, server)
        context.add_cookies([{"name": "suppertide", "value": key, "url": server.url}])
        page = context.new_page()
        seen = {(step_id, server.now): too_long(page) for step_id in as_it_goes_on(page, server, plan.bake_id)}
        assert {step_id for step_id, _ in seen} >= {"mix", "press-1", "press-2", "load-1", "lift-1", "load-2", "serve"}
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
