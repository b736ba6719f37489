"""Packing a bake for the kitchen: said only after everything was read back."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.cut_off import IN_CHARGE, IN_DATABASE, was_done
from e2e.server import Server, copy_of_the_app, plan_at
from tests.samples import at

NewPhone = Callable[..., Phone]
CANNOT_WRITE = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (value, ...key) {
  const request = put.call(this, value, ...key);
  if (this.name === "bundles") this.transaction.abort();
  return request;
};
"""


def bake(server: Server, phone: Phone) -> str:
    """A picked bake, mixed."""
    return server.bake(phone.kitchen_id, plan_at(at(12), bake_id=secrets.token_urlsafe(16))).bake_id


def test_a_bake_is_packed_from_its_own_page_and_then_opens_with_the_server_killed(
    own_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(own_server)
    bake_id = bake(own_server, phone)
    phone.page.goto(f"{own_server.url}/bakes/{bake_id}")
    expect(phone.page.locator("[data-pack-words]")).to_contain_text("Packed for the kitchen")
    own_server.kill()
    phone.page.goto(f"{own_server.url}/kitchen#{bake_id}")
    expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")


def test_a_bake_that_could_not_be_written_is_not_called_packed(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    bake_id = bake(shared_server, phone)
    phone.page.add_init_script(CANNOT_WRITE)
    phone.page.goto(f"{shared_server.url}/bakes/{bake_id}")
    expect(phone.page.locator("[data-packed=false]")).to_be_visible()
    expect(phone.page.locator("[data-pack-words]")).not_to_contain_text("Packed")


def test_a_private_window_is_told_that_nothing_is_kept(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    bake_id = bake(shared_server, phone)
    phone.page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined })")
    phone.page.goto(f"{shared_server.url}/bakes/{bake_id}")
    expect(phone.page.locator("[data-pack-words]")).to_contain_text("keeps nothing")


def test_packed_is_said_though_the_question_to_keep_it_for_good_is_never_answered(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """As in Firefox, which asks the person."""
    phone = new_phone(shared_server)
    phone.page.add_init_script("StorageManager.prototype.persist = () => new Promise(() => {})")
    phone.page.goto(f"{shared_server.url}/bakes/{bake(shared_server, phone)}")
    expect(phone.page.locator("[data-pack-words]")).to_have_text("Packed for the kitchen: works offline.")


KEEP_BACK = """(event) => new Promise((done) => {
  const open = indexedDB.open("suppertide");
  open.onsuccess = () => {
    const transaction = open.result.transaction("events", "readwrite");
    transaction.objectStore("events").put(event);
    transaction.oncomplete = () => { open.result.close(); done(); };
  };
})"""


def test_what_was_eaten_long_ago_or_given_up_leaves_the_phone_and_what_the_server_lacks_stays(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    month = 31 * 86400
    names = {"old": at(12) + month, "kept": at(12) + month, "given-up": at(12), "on": at(12)}
    bakes = {
        name: shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=f"{name}-{secrets.token_hex(8)}"))
        for name, moment in names.items()
    }
    for name, plan in bakes.items():
        was_done(shared_server, phone.kitchen_id, plan, ("mix",))
        phone.page.goto(f"{shared_server.url}/bakes/{plan.bake_id}")
        expect(phone.page.locator("[data-packed=true]"), name).to_be_visible()
    refused = {"event_id": "d" * 32, "bake_id": bakes["kept"].bake_id, "at": 1, "logged_at": 1, "phone": "p",
               "kind": "note", "data": {"text": "never taken"}, "sent": 2}  # fmt: skip
    phone.page.evaluate(KEEP_BACK, refused)
    shared_server.store().drop_bake(phone.kitchen_id, bakes["given-up"].bake_id, int(time.time()))
    page = phone.open(bakes["on"].bake_id)
    shelf = page.locator(".others__link")
    expect(shelf).to_have_count(1)
    left = page.evaluate(f"async () => (await ({IN_DATABASE})('bundles')).map((bundle) => bundle.plan.bake_id)")
    assert sorted(left) == sorted(bakes[name].bake_id for name in ("kept", "on"))
    events = page.evaluate(f"async () => (await ({IN_DATABASE})('events')).map((event) => event.bake_id)")
    assert sorted(events) == sorted([bakes["kept"].bake_id] * 2 + [bakes["on"].bake_id])


REFUSED = """
const register = ServiceWorkerContainer.prototype.register;
window.refused = true;
ServiceWorkerContainer.prototype.register = function (...how) {
  return window.refused ? Promise.reject(new TypeError("no")) : register.apply(this, how);
};
"""
NOT_KEPT = "not kept in this phone yet"


def test_a_page_that_could_not_be_kept_says_so_and_is_kept_as_soon_as_it_can(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    bake_id = bake(shared_server, phone)
    page = phone.page
    page.add_init_script(REFUSED)
    page.goto(f"{shared_server.url}/kitchen#{bake_id}")
    notes = page.locator("#notes")
    expect(notes).to_contain_text(NOT_KEPT)
    page.wait_for_load_state("networkidle")  # all of it is here, the sheets too
    phone.context.set_offline(True)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(notes).to_contain_text("Leave this page open")
    phone.context.set_offline(False)
    page.evaluate("window.refused = false; dispatchEvent(new Event('focus'))")
    page.evaluate(IN_CHARGE)
    expect(notes).not_to_contain_text(NOT_KEPT)


def test_a_file_that_does_not_come_is_told_where_packed_would_be_and_asked_for_again(
    own_server: Server, new_phone: NewPhone, tmp_path: Path
) -> None:
    own_server.kill()
    missing = tmp_path / "missing"
    missing.touch()
    own_server.root = copy_of_the_app(
        tmp_path / "app", "webapp/web/phone/shell.py", "or found is None:",
        f'or found is None or (path.endswith("kitchen-rest.js") and __import__("os").path.exists("{missing}")):',
    )  # fmt: skip
    own_server.start()
    phone = new_phone(own_server)
    bake_id = bake(own_server, phone)
    page = phone.page
    page.goto(f"{own_server.url}/bakes/{bake_id}")
    expect(page.locator("[data-pack-words]")).to_contain_text("the kitchen’s page not yet")
    expect(page.locator("[data-packed=false]")).to_be_visible()
    missing.unlink()
    page.evaluate("dispatchEvent(new Event('focus'))")
    expect(page.locator("[data-pack-words]")).to_contain_text("Packed for the kitchen")
    own_server.kill()
    page.goto(f"{own_server.url}/kitchen#{bake_id}")
    expect(page.locator("#now-title")).to_have_text("Mix the dough")


def test_a_cache_that_the_browser_swept_away_is_filled_again_at_the_next_visit(
    own_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(own_server)
    bake_id = bake(own_server, phone)
    page = phone.open(bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.evaluate("caches.keys().then((all) => Promise.all(all.map((name) => caches.delete(name))))")
    page.goto(f"{own_server.url}/bakes/{bake_id}")
    expect(page.locator("[data-pack-words]")).to_contain_text("Packed for the kitchen")
    own_server.kill()
    page.goto(f"{own_server.url}/kitchen#{bake_id}")
    expect(page.locator("#now-title")).to_have_text("Mix the dough")
