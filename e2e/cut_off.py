"""A phone whose kitchen is packed and whose server is then out of reach, in one of two ways."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from e2e.browsers import WHOLE
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

WAYS = ("the network is off", "the server is killed")

# Where in the sample day each bake stands when the phone is cut off, and which steps are done by then.
MOMENTS: dict[str, tuple[int, tuple[str, ...]]] = {
    "weigh": (at(7, 16), ()),
    "weigh-pan": (at(7, 16), ()),
    "wait": (at(12), ("mix",)),
    "glass": (at(12), ("mix",)),
    "room": (at(12), ("mix",)),
    "press": (at(16, 46), ("mix",)),
    "early": (at(16, 30), ("mix",)),
    "order": (at(16, 30), ("mix",)),
    "late": (at(16, 50), ("mix",)),
    "rescue": (at(16, 50), ("mix",)),
    "moved": (at(12), ("mix",)),
    "oven": (at(18, 11), ("mix", "press")),
    "over": (at(23, 50), ("mix",)),
}
# The pages allow no eval, so Playwright's wait_for_function cannot be used: these wait inside.
IN_CHARGE = """() => new Promise((done, failed) => {
  const { serviceWorker } = navigator;
  if (serviceWorker.controller) { done(); }
  serviceWorker.addEventListener("controllerchange", () => done(), { once: true });
  setTimeout(async () => {
    const there = await serviceWorker.getRegistration();
    const states = ["installing", "waiting", "active"].map((one) => `${one}: ${there?.[one]?.state ?? "none"}`);
    failed(new Error(`no worker in charge after 60 s; ${states.join(", ")}`));
  }, 60000);
})"""
IN_DATABASE = """(store) => new Promise((resolve, reject) => {
  const open = indexedDB.open("suppertide");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const ask = open.result.transaction(store).objectStore(store).getAll();
    ask.onsuccess = () => { open.result.close(); resolve(ask.result); };
  };
})"""

PACKED = f"""async (count, said = 0) => {{
  const all = async (store) => (await ({IN_DATABASE})(store)).length;
  while ((await all("bundles")) < count || (await all("events")) < said) {{
    await new Promise((done) => setTimeout(done, 20));
  }}
}}"""


@dataclass
class CutOff:
    """The phone, its bakes by name, and a way to open the installed app from cold."""

    context: BrowserContext
    server: Server
    plans: dict[str, Plan]

    def open(self, name: str) -> Page:
        """A cold start of the app at this bake, once all of it is drawn anew; no other window is open."""
        for other in self.context.pages:
            other.close()
        page = self.context.new_page()
        page.goto(f"{self.server.url}/kitchen#{self.plans[name].bake_id}")
        expect(page.locator("[data-step]")).to_be_visible()
        expect(page.locator(WHOLE)).to_be_attached()
        return page


@contextmanager
def cut_off(browser: Browser, folder: Path, way: str) -> Iterator[CutOff]:
    """Packed, then cut off."""
    server = Server(folder).start()
    try:
        yield from _packed(browser, server, way)
    finally:
        server.kill()


def _packed(browser: Browser, server: Server, way: str) -> Iterator[CutOff]:
    key = secrets.token_urlsafe(32)
    kitchen_id = server.kitchen(key)
    plans = {name: server.bake(kitchen_id, plan_at(moment, bake_id=f"{name}-{secrets.token_hex(8)}"))
             for name, (moment, _) in MOMENTS.items()}  # fmt: skip
    for name, plan in plans.items():
        was_done(server, kitchen_id, plan, MOMENTS[name][1])
    context = browser.new_context(viewport={"width": 390, "height": 844}, timezone_id="Europe/Lisbon")
    context.add_cookies([{"name": "suppertide", "value": key, "url": server.url, "httpOnly": True}])
    page = context.new_page()
    page.goto(f"{server.url}/kitchen")
    page.evaluate(IN_CHARGE)
    page.evaluate(f"() => ({PACKED})({len(plans)}, {sum(len(done) for _, done in MOMENTS.values())})")
    page.close()
    if way == WAYS[0]:
        context.set_offline(True)
    else:
        server.kill()
    yield CutOff(context, server, plans)
    context.close()


def was_done(server: Server, kitchen_id: str, plan: Plan, step_ids: tuple[str, ...], late_s: int = 0) -> None:
    """These steps were done when the plan wanted them, or so much later."""
    ends = {step.step_id: step.end + late_s for step in plan.steps}
    rows = [
        {"event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": ends[s], "logged_at": ends[s],
         "phone": "another", "kind": "done", "data": {"step_id": s}} for s in step_ids
    ]  # fmt: skip
    server.store().add_events(kitchen_id, plan.bake_id, rows, int(time.time()))


def steps_of(page: Page) -> Locator:
    """The list of all steps, opened."""
    details = page.locator("details[data-all]")
    if details.get_attribute("open") is None:
        details.locator("summary").click()
    return details.locator(".step-row")


def row(page: Page, title: str) -> Locator:
    """One step of that list."""
    return steps_of(page).filter(has_text=title)


def time_of(page: Page, title: str) -> str:
    """Its time as shown."""
    return row(page, title).locator(".step-row__time").inner_text()
