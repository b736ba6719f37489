"""A kitchen whose tabs no test driver watches, with its bakes: for what has to be tried with real touches."""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import Any

from playwright.sync_api import Browser

from e2e.cut_off import IN_DATABASE, was_done
from e2e.raw import Tab, Tabs
from e2e.server import Server, plan_at
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep

SHIFT = "window.ahead = 0; const now = Date.now.bind(Date); Date.now = () => now() + window.ahead * 1000;"
SAUCE = PlanStep(
    "sauce", "sauce", 0, 300, "hands", "none", "", chain=False, anchor="load", offset_s=-57 * 60,
    title="Make the sauce", text="Crush the tomatoes.",
)  # fmt: skip
NO_WORKER = "Object.defineProperty(Navigator.prototype, 'serviceWorker', { value: undefined });"  # as over plain http
LOADED = "document.querySelector('#rings') && document.querySelector('#screen h1')"
LOOK = "dispatchEvent(new Event('focus'))"
TITLE = "document.querySelector('#now-title')?.innerText"
ARMED = "!document.querySelector('[aria-disabled]')"


class Home:
    """Tabs of a new kitchen, and its bakes."""

    def __init__(self, browser: Browser, server: Server) -> None:
        key = secrets.token_urlsafe(32)
        self.server, self.kitchen_id = server, server.kitchen(key)
        self.browser, self.key = browser, key
        self.tabs = Tabs(browser, server.url, key)
        self.phones = [self.tabs]

    def bake(self, moment: int, *done: str, **changes: object) -> Plan:
        """A picked bake whose `moment` is now."""
        plan = plan_at(moment, bake_id=secrets.token_urlsafe(16))
        plan = self.server.bake(self.kitchen_id, replace(plan, **changes))  # type: ignore[arg-type]
        was_done(self.server, self.kitchen_id, plan, done)
        return plan

    def open(self, plan: Plan, script: str = "", size: tuple[int, int] = (390, 844)) -> Tab:
        """The kitchen at this bake, all of it."""
        tab = self.tabs.open(f"/kitchen#{plan.bake_id}", SHIFT + script, size=size)
        tab.until(LOADED)
        return tab

    def other_phone(self) -> Tabs:
        """Another phone of the same kitchen."""
        self.phones.append(Tabs(self.browser, self.server.url, self.key))
        return self.phones[-1]

    def close(self) -> None:
        """All of it."""
        for tabs in self.phones:
            tabs.close()


def journal(tab: Tab, plan: Plan, kind: str = "done") -> list[dict[str, Any]]:
    """What the phone's own database holds of this bake, in order of writing."""
    rows = tab.js(f"({IN_DATABASE})('events')")
    own = [row for row in rows if row["bake_id"] == plan.bake_id and row["kind"] == kind]
    return sorted(own, key=lambda row: (row["logged_at"], row["at"]))


def steps(tab: Tab, plan: Plan) -> list[str]:
    """Steps that are written down as done."""
    return [row["data"]["step_id"] for row in journal(tab, plan)]
