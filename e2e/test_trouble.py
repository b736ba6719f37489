"""What can go wrong with a phone: each is handled, and said on the screen."""

from __future__ import annotations

import json
import secrets
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from e2e.conftest import Phone
from e2e.cut_off import IN_CHARGE, IN_DATABASE, was_done
from e2e.server import Server, copy_of_the_app, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan
from webapp.records import bundle

NewPhone = Callable[..., Phone]
NOTES = "#notes"


def packed_bake(server: Server, phone: Phone, moment: int, *done: str, **changes: object) -> Plan:
    """A picked bake of that phone's kitchen, with these steps done."""
    plan = plan_at(moment, bake_id=secrets.token_urlsafe(16))
    plan = server.bake(phone.kitchen_id, type(plan)(**{**vars(plan), **changes}))
    was_done(server, phone.kitchen_id, plan, done)
    return plan


def wake(page: Page) -> None:
    """The phone comes back into sight."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


# The phone's clock ------------------------------------------------------------------------------------------------


# What was chosen is in the phone's database.
GOES_BY = """() => new Promise((done) => {
  const open = indexedDB.open("suppertide");
  open.onsuccess = () => {
    const look = () => {
      const asked = open.result.transaction("meta").objectStore("meta").get("clock");
      asked.onsuccess = () => (asked.result ? done(open.result.close()) : look());
    };
    look();
  };
})"""


@pytest.mark.parametrize(("hours", "words"), [(3, "3 h ahead of"), (-2, "2 h behind")])
def test_a_clock_wrong_by_hours_is_shown_and_not_silently_corrected(
    shared_server: Server, new_phone: NewPhone, hours: int, words: str
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(12), "mix")
    phone.page.clock.install(time=datetime.fromtimestamp(time.time() + hours * 3600, UTC))
    phone.open(plan.bake_id)
    expect(phone.page.locator(NOTES)).to_contain_text(f"clock is {words}")
    wrong = phone.page.locator("[data-count]").inner_text()
    phone.page.get_by_role("button", name="Go by the server’s clock").click()
    expect(phone.page.locator("[data-count]")).to_contain_text("in 4 h 4")
    assert phone.page.locator("[data-count]").inner_text() != wrong
    phone.page.evaluate(GOES_BY)
    phone.reload()
    expect(phone.page.locator("[data-count]")).to_contain_text("in 4 h 4")
    phone.page.get_by_role("button", name="Go by this phone again").click()
    expect(phone.page.locator(NOTES)).to_contain_text(f"clock is {words}")


def test_a_phone_set_right_again_is_not_kept_wrong(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(12), "mix")
    phone.page.clock.install(time=datetime.fromtimestamp(time.time() + 3 * 3600, UTC))
    phone.open(plan.bake_id)
    phone.page.get_by_role("button", name="Go by the server’s clock").click()
    expect(phone.page.locator("[data-count]")).to_contain_text("in 4 h 4")
    phone.page.clock.set_system_time(datetime.fromtimestamp(time.time(), UTC))
    wake(phone.page)
    expect(phone.page.locator(NOTES)).not_to_contain_text("clock")
    expect(phone.page.locator("[data-count]")).to_contain_text("in 4 h 4")


# Storage ----------------------------------------------------------------------------------------------------------

FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  window.full = true;
  IDBObjectStore.prototype.put = function (...row) {
    if (window.full && this.name === "events") throw new DOMException("full", "QuotaExceededError");
    return put.apply(this, row);
  };
}"""

WRITTEN = f"""async (bake) => {{
  while (!(await ({IN_DATABASE})("events")).some((event) => event.bake_id === bake)) {{
    await new Promise((done) => setTimeout(done, 20));
  }}
}}"""


def test_a_full_storage_is_said_the_tap_is_held_sent_and_kept_when_there_is_room(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(7, 31))
    phone.open(plan.bake_id)
    expect(phone.page.locator(".tools")).to_be_visible()
    phone.page.evaluate(FULL)
    phone.page.get_by_role("button", name="Mixed").click()
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(phone.page.locator(NOTES)).to_contain_text("storage is full")
    phone.page.evaluate("window.full = false")
    phone.page.get_by_role("button", name="Try again now").click()
    expect(phone.page.locator(NOTES)).not_to_contain_text("storage is full")
    phone.page.evaluate(WRITTEN, plan.bake_id)
    kept = phone.page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
    assert [event["kind"] for event in kept if event["bake_id"] == plan.bake_id] == ["done"]
    wake(phone.page)
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    phone.has_sent(plan.bake_id, "done")


@pytest.mark.parametrize(
    "broken",
    ["Object.defineProperty(window, 'indexedDB', { value: undefined })",
     "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); }"],
)  # fmt: skip
def test_a_private_window_works_while_it_is_open_and_says_what_is_lost(
    shared_server: Server, new_phone: NewPhone, broken: str
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(7, 31))
    phone.page.add_init_script(broken)
    phone.page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(phone.page.locator(NOTES)).to_contain_text("This browser keeps nothing")
    with phone.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        phone.page.get_by_role("button", name="Mixed").click()
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    phone.has_sent(plan.bake_id, "done")


LATE = """(() => {
  const open = indexedDB.open.bind(indexedDB);
  let answered = false;
  indexedDB.open = (...asked) => {
    if (answered) {
      return open(...asked);
    }
    const stands = {};
    window.answer = () => {
      answered = true;
      const real = open(...asked);
      for (const name of ["onupgradeneeded", "onsuccess", "onerror", "onblocked"]) {
        real[name] = (event) => stands[name]?.call(real, event);
      }
      Object.defineProperty(stands, "result", { get: () => real.result });
      Object.defineProperty(stands, "error", { get: () => real.error });
      Object.defineProperty(stands, "transaction", { get: () => real.transaction });
    };
    return stands;
  };
})()"""


def test_what_was_said_and_sent_before_a_late_database_answers_stays_said(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(7, 31))
    phone.page.add_init_script(LATE)
    phone.page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    with phone.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        phone.page.get_by_role("button", name="Mixed").click()
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    phone.has_sent(plan.bake_id, "done")
    phone.context.set_offline(True)
    phone.page.evaluate("window.answer()")
    expect(phone.page.locator(NOTES)).not_to_contain_text("database")
    phone.page.evaluate(WRITTEN, plan.bake_id)
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")


META = """(rows) => new Promise((done) => {
  const open = indexedDB.open("suppertide");
  open.onsuccess = () => {
    const transaction = open.result.transaction("meta", "readwrite");
    rows.forEach(([key, value]) => transaction.objectStore("meta").put(value, key));
    transaction.oncomplete = () => { open.result.close(); done(); };
  };
})"""


def test_the_chosen_clock_and_what_was_kept_are_read_from_a_database_that_answers_late(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Three hours behind, by the server's clock; an entry four hours ahead was looked at and kept."""
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(12), "mix")
    page = phone.open(plan.bake_id)
    ahead = int(time.time()) + 4 * 3600
    said = {"event_id": "e" * 32, "bake_id": plan.bake_id, "at": ahead, "logged_at": ahead, "phone": "other",
            "kind": "room", "data": {"temp_c": 21}}  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, plan.bake_id, [said], int(time.time()))
    wake(page)
    expect(page.locator(NOTES)).to_contain_text("still ahead")
    page.evaluate(META, [["clock", 3 * 3600], ["kept ahead", ["e" * 32]]])
    page.goto(f"{shared_server.url}/health")
    phone.context.set_offline(True)  # whatever is known of the clock comes from the phone
    page.add_init_script(LATE)
    page.clock.install(time=datetime.fromtimestamp(time.time() - 3 * 3600, UTC))
    page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    page.clock.run_for(5000)
    expect(page.locator(NOTES)).to_contain_text("storage does not answer")
    page.evaluate("window.answer()")
    expect(page.locator(NOTES)).to_contain_text("Times here go by the server’s clock")
    expect(page.locator("[data-count]")).to_contain_text("in 4 h 4")
    expect(page.locator(NOTES)).not_to_contain_text("still ahead")
    expect(page.locator(NOTES)).not_to_contain_text("storage does not answer")


HANGS = """() => {
  const ask = IDBDatabase.prototype.transaction;
  window.hangs = true;
  IDBDatabase.prototype.transaction = function (...how) {
    const real = ask.apply(this, how);
    return window.hangs
      ? new Proxy({}, { get: (_, name) => name === "objectStore"
          ? () => new Proxy({}, { get: () => () => new Proxy({ getAll: () => ({}) }, { set: () => true }) }) : null,
          set: () => true })
      : real;
  };
}"""


def test_a_database_that_hangs_in_the_middle_holds_up_neither_the_screen_nor_the_sending(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(16, 46), "mix")
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.evaluate(HANGS)
    page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven", timeout=12_000)  # 15 s: it was waited for
    expect(page.locator(NOTES)).to_contain_text("storage is full")
    phone.has_sent(plan.bake_id, "done", "done")
    page.evaluate("window.hangs = false")
    page.get_by_role("button", name="Try again now").click()
    expect(page.locator(NOTES)).not_to_contain_text("storage is full")
    kept = page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
    assert {event["data"]["step_id"] for event in kept if event["bake_id"] == plan.bake_id} == {"mix", "press"}


VERSION_1 = """([bundle, event]) => new Promise((done) => {
  const open = indexedDB.open("suppertide", 1);
  open.onupgradeneeded = () => {
    open.result.createObjectStore("bundles", { keyPath: "plan.bake_id" }).put(bundle);
    const events = open.result.createObjectStore("events", { keyPath: "event_id" });
    events.createIndex("bake", "bake_id");
    events.put(event);
  };
  open.onsuccess = () => { open.result.close(); done(); };
})"""


def test_a_database_of_an_older_version_is_taken_over_with_all_that_is_in_it(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(9))
    mixed = {"event_id": "a" * 32, "bake_id": plan.bake_id, "at": plan.steps[0].end, "logged_at": plan.steps[0].end,
             "phone": "old", "kind": "done", "data": {"step_id": "mix"}}  # fmt: skip
    phone.page.goto(f"{shared_server.url}/health")
    phone.page.evaluate(VERSION_1, [json.loads(json.dumps(bundle(plan, [], plan.made_at))), mixed])
    phone.open(plan.bake_id)
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(phone.page.locator(".tools")).to_be_visible()
    wake(phone.page)
    expect(phone.page.locator(NOTES)).not_to_contain_text("wait")
    phone.has_sent(plan.bake_id, "done")


def test_a_database_of_a_newer_version_is_left_alone_and_said(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(9), "mix")
    phone.page.goto(f"{shared_server.url}/health")
    phone.page.evaluate(
        """() => new Promise((done) => {
          const open = indexedDB.open("suppertide", 99);
          open.onsuccess = () => { open.result.close(); done(); };
        })"""
    )
    phone.page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(phone.page.locator(NOTES)).to_contain_text("written by a newer version of the app")
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")


TAKE_OVER = """() => new Promise((done) => {
  const open = indexedDB.open("suppertide", 99);
  open.onsuccess = () => { open.result.close(); done(); };
})"""


def test_a_window_whose_database_was_taken_over_goes_on_and_says_so(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(16, 46), "mix")
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.evaluate(TAKE_OVER)
    expect(page.locator(NOTES)).to_contain_text("newer version of the kitchen is open in another window")
    with page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    phone.has_sent(plan.bake_id, "done", "done")


def test_a_database_that_the_browser_closed_is_opened_again(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(16, 46), "mix")
    phone.page.add_init_script("""
      const open = IDBFactory.prototype.open;
      IDBFactory.prototype.open = function (...how) {
        const request = open.apply(this, how);
        request.addEventListener("success", () => { (window.opened ??= []).push(request.result); });
        return request;
      };
    """)
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.evaluate("window.opened.forEach((db) => { db.close(); db.dispatchEvent(new Event('close')); })")
    page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    expect(page.locator(NOTES)).not_to_contain_text("storage")
    kept = page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
    assert {event["data"]["step_id"] for event in kept if event["bake_id"] == plan.bake_id} == {"mix", "press"}


# Bundles of another schema ----------------------------------------------------------------------------------------


def newer(route: Route) -> None:
    """The bundle as a newer server would pack it."""
    answer = route.fetch()
    bundle = answer.json()
    plan = {"bake_id": bundle["plan"]["bake_id"], "revision": bundle["plan"]["revision"], "zones": []}
    route.fulfill(response=answer, json={**bundle, "plan": plan, "schema": 2})


def test_a_bundle_of_a_newer_schema_is_not_guessed_at(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(9), "mix")
    phone.page.route("**/api/bakes/*/bundle", newer)
    phone.page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(phone.page.locator("h1")).to_have_text("This bake was packed by a newer version")
    phone.page.unroute("**/api/bakes/*/bundle")
    wake(phone.page)
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_a_plan_that_can_be_read_is_kept_when_its_change_cannot(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(9), "mix")
    phone.open(plan.bake_id)
    expect(phone.page.locator(".tools")).to_be_visible()
    phone.page.route("**/api/bakes/*/bundle", newer)
    shared_server.bake(phone.kitchen_id, type(plan)(**{**vars(plan), "revision": 2, "title": "Changed"}))
    wake(phone.page)
    expect(phone.page.locator(NOTES)).to_contain_text("changed by a newer version")
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")


# A new version of the worker --------------------------------------------------------------------------------------

ONE_CACHE = """async () => {
  while ((await caches.keys()).length !== 1) await new Promise((done) => setTimeout(done, 20));
}"""


def new_version(server: Server, folder: Path, file: str, old: str, new: str) -> None:
    """The server comes back at the same address as another version."""
    server.kill()
    server.root = copy_of_the_app(folder, file, old, new)
    server.start()


def shell_version(page: Page) -> str:
    """Which version the page on the screen is of."""
    return page.locator("script[type=module]").first.get_attribute("src").split("/")[2]  # type: ignore[union-attr]


def test_a_new_version_waits_while_a_step_runs_and_comes_when_asked_for(
    own_server: Server, new_phone: NewPhone, tmp_path: Path
) -> None:
    phone = new_phone(own_server)
    plan = packed_bake(own_server, phone, at(7, 31))
    page = phone.open(plan.bake_id)
    before = shell_version(page)
    new_version(own_server, tmp_path / "app", "static/css/kitchen.css", "max-width: 44rem", "max-width: 44.1rem")
    wake(page)
    expect(page.locator(NOTES)).to_contain_text("It waits until no step is running")
    page.reload()
    expect(page.locator("[data-step]")).to_be_visible()
    assert shell_version(page) == before, "a reload in the middle of a step changes nothing"
    expect(page.locator(NOTES)).to_contain_text("It waits until no step is running")
    page.get_by_role("button", name="Mixed").click()
    page.get_by_role("button", name="Use it now").click()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(page.locator(f"script[src*='{before}']")).to_have_count(0)
    page.evaluate(ONE_CACHE)  # the old shell is swept away


def test_a_version_that_cannot_be_fetched_whole_is_not_taken(
    own_server: Server, new_phone: NewPhone, tmp_path: Path
) -> None:
    phone = new_phone(own_server)
    plan = packed_bake(own_server, phone, at(9), "mix")
    page = phone.open(plan.bake_id)
    before = shell_version(page)
    new_version(own_server, tmp_path / "app", "webapp/web/phone/shell.py", "or found is None:",
                'or found is None or path.endswith("kitchen-rest.js"):')  # fmt: skip
    kitchen = own_server.root / "static" / "css" / "kitchen.css"
    kitchen.write_text(kitchen.read_text(encoding="utf-8") + ".another { top: 0; }\n", encoding="utf-8")
    own_server.kill()
    own_server.start()
    refused = page.evaluate(
        """async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          const coming = new Promise((done) => registration.addEventListener("updatefound", () => {
            const worker = registration.installing;
            worker.addEventListener("statechange", () => worker.state === "redundant" && done("redundant"));
          }, { once: true }));
          await registration.update().catch(() => {});
          return coming;
        }"""
    )
    assert refused == "redundant"
    own_server.kill()
    page.reload()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    assert shell_version(page) == before


def test_a_page_that_its_worker_passed_over_is_taken_charge_of_when_it_asks(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """A claim leaves out a page that is just opening (Service Workers, `clients.claim()`: "execution ready"); one that
    is loaded past its worker, by the browser's own "reload and forget", is in nobody's charge either."""
    phone = new_phone(shared_server)
    phone.page.goto(f"{shared_server.url}/kitchen")
    phone.page.evaluate(IN_CHARGE)
    phone.page.add_init_script("window.passedOver = navigator.serviceWorker.controller === null")
    with phone.page.expect_navigation():
        phone.context.new_cdp_session(phone.page).send("Page.reload", {"ignoreCache": True})
    assert phone.page.evaluate("window.passedOver")
    phone.page.evaluate(IN_CHARGE)


def test_the_worker_of_the_first_visit_takes_charge_at_once(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    phone.page.goto(f"{shared_server.url}/kitchen")
    phone.page.evaluate(IN_CHARGE)
    expect(phone.page.locator("h1")).to_have_text("No dough on the go")
    expect(phone.page.locator(NOTES)).not_to_contain_text("new version")


PLAIN_HTTP = """
delete Navigator.prototype.serviceWorker;
Object.defineProperty(window, "isSecureContext", { value: false });
"""


def test_over_plain_http_it_says_what_is_missing_and_works_online(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = packed_bake(shared_server, phone, at(7, 31))
    phone.page.add_init_script(PLAIN_HTTP)
    phone.page.goto(f"{shared_server.url}/kitchen#{plan.bake_id}")
    expect(phone.page.locator(NOTES)).to_contain_text("starting it with --phone")
    with phone.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        phone.page.get_by_role("button", name="Mixed").click()
    phone.has_sent(plan.bake_id, "done")
    phone.page.goto(f"{shared_server.url}/bakes/{plan.bake_id}")
    expect(phone.page.locator("[data-packed=false]")).to_contain_text("Over plain http a phone keeps no app")
