"""A kitchen whose tabs no test driver watches, with its bakes: for what has to be tried with real touches."""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import Any

from playwright.sync_api import Browser

from e2e.cut_off import IN_DATABASE, was_done
from e2e.raw import STANDS, Tab, Tabs
from e2e.server import Server, plan_at
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep

SHIFT = "window.ahead = 0; const now = Date.now.bind(Date); Date.now = () => now() + window.ahead * 1000;"
# For who counts what rings: the clock stands but for `ahead`; however slow the machine, no second ring has its turn.
STILL = "const since = Date.now(); window.ahead = 0; Date.now = () => since + window.ahead * 1000;"
# How many clicks the page was told of, refused ones too, and how much it is writing down just now.
WATCHED = """(() => {
  window.clicks = 0;
  addEventListener("click", () => { window.clicks += 1; }, { capture: true });
  window.writing = 0;
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (names, mode, ...how) {
    const begun = begin.call(this, names, mode, ...how);
    if (mode === "readwrite") {
      window.writing += 1;
      ["complete", "abort"].forEach((kind) => begun.addEventListener(kind, () => { window.writing -= 1; }));
    }
    return begun;
  };
})();"""
SAUCE = PlanStep(
    "sauce", "sauce", 0, 300, "hands", "none", "", chain=False, anchor="load", offset_s=-57 * 60,
    title="Make the sauce", text="Crush the tomatoes.",
)  # fmt: skip
NO_WORKER = "Object.defineProperty(Navigator.prototype, 'serviceWorker', { value: undefined });"  # as over plain http
LOOK = "dispatchEvent(new Event('focus'))"
TITLE = "document.querySelector('#now-title')?.innerText"
ARMED = "!document.querySelector('[aria-disabled]')"
STARTED = "document.documentElement.dataset.kitchen === 'started'"


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
        tab = self.tabs.open(f"/kitchen#{plan.bake_id}", SHIFT + WATCHED + script, size=size)
        tab.until(STANDS)
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


def choose(tab: Tab, words: str) -> None:
    """A tap on the sheet’s button of these words; a number and its unit are held together there."""
    said = "one.innerText.replaceAll('\u00a0', ' ')"
    wanted = f"[...document.querySelectorAll('dialog button')].find((one) => {said} === {words!r})"
    tab.until(wanted)
    tab.js(f"{wanted}.setAttribute('data-wanted', '')")
    tab.touch("[data-wanted]")


def settled(tab: Tab) -> None:
    """Every tap was heard or refused, what was said is written, and the rest is over."""
    tab.until(f"window.clicks >= {tab.taps}")
    tab.until(ARMED)
    tab.js("new Promise((go) => setTimeout(() => go(true), 250))")
    tab.until(f"window.writing === 0 && {ARMED}")


def steps(tab: Tab, plan: Plan) -> list[str]:
    """Steps that are written down as done."""
    return [row["data"]["step_id"] for row in journal(tab, plan)]
