"""Bakes of every kind, planned by the real planner into a kitchen of a running server: for how long their pages are."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from playwright.sync_api import Browser, Page

from e2e.conftest import PHONE
from e2e.server import Server
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.doughs import larder
from webapp.kitchens import bakes
from webapp.planning import full_plan
from webapp.planning.evenings import set_plan

HEIGHT = "document.documentElement.scrollHeight"
STATES = ("to come", "begun", "given up", "eaten")


@dataclass(frozen=True)
class Baking:
    """A kitchen of its own and what is asked of it."""

    kitchen: Kitchen
    formula_key: str
    trays: int = 1


def supper_ahead() -> str:
    """The day after tomorrow at half past seven in a kitchen at UTC: every way of making it has room."""
    return f"{datetime.now(UTC) + timedelta(days=2):%Y-%m-%d}T19:30"


def heights(browser: Browser, server: Server, baking: Baking) -> Iterator[tuple[str, str, int]]:
    """(method, state, CSS pixels of the bake's page on a phone) of each way to bake it, in each of the states."""
    with _phone(browser, server, baking) as (page, kitchen_id):
        for plan in ways(server, kitchen_id, baking):
            for state in STATES:
                become(server, kitchen_id, plan, state)
                yield plan.trade.method, state, height(page, server, plan)


@contextmanager
def a_bake(browser: Browser, server: Server, baking: Baking) -> Iterator[Page]:
    """The page of the first way to bake it."""
    with _phone(browser, server, baking) as (page, kitchen_id):
        height(page, server, next(ways(server, kitchen_id, baking)))
        yield page


@contextmanager
def _phone(browser: Browser, server: Server, baking: Baking) -> Iterator[tuple[Page, str]]:
    """A phone in a kitchen of its own, and that kitchen's id."""
    key = secrets.token_urlsafe(32)
    kitchen_id = server.kitchen(key, baking.kitchen)
    context = browser.new_context(viewport=PHONE, service_workers="block")  # type: ignore[arg-type]
    context.add_cookies([{"name": "suppertide", "value": key, "url": server.url}])
    yield context.new_page(), kitchen_id
    context.close()


def ways(server: Server, kitchen_id: str, baking: Baking) -> Iterator[Plan]:
    """Each offer of the same evening, picked: bakes of their own. None where the dough allows no such evening."""
    store, now, kitchen = server.store(), int(time.time()), baking.kitchen
    formula = larder.of_kitchen(store, kitchen_id).formulas[baking.formula_key]
    pan = replace(kitchen.pans[0], count=baking.trays)
    wish = Wish(
        supper_ahead(), (pan,), baking.formula_key, "" if formula.toppings_key == "none" else formula.toppings_key
    )
    place, many = 0, 1
    while place < many:
        try:
            bake_id = set_plan(store, now, lambda: secrets.token_urlsafe(16), kitchen_id, wish, full_plan.plans_for)
        except PlanError:
            return
        many = len(bakes.bake(store, kitchen_id, bake_id).offers)
        yield bakes.pick(store, now, kitchen_id, bake_id, place)
        place += 1


def become(server: Server, kitchen_id: str, plan: Plan, state: str) -> None:
    """Its first step done, or all of them, or given up (and taken up again before it is eaten)."""
    store, now = server.store(), int(time.time())
    done = {"to come": 0, "begun": 1, "given up": 1, "eaten": len(plan.steps)}[state]
    lines = [
        Event(secrets.token_hex(16), plan.bake_id, now, now, "phone", "done", {"step_id": step.step_id})
        for step in plan.steps[:done]
    ]
    bakes.add_to_journal(store, now, kitchen_id, plan.bake_id, lines)
    if state == "given up":
        bakes.drop(store, now, kitchen_id, plan.bake_id)
    elif state == "eaten":
        server.bake(kitchen_id, replace(plan, revision=plan.revision + 1))


def height(page: Page, server: Server, plan: Plan) -> int:
    """How long its page is, what its scripts put there included."""
    page.goto(f"{server.url}/bakes/{plan.bake_id}")
    page.wait_for_load_state("networkidle")
    return int(page.evaluate(HEIGHT))
