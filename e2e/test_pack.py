"""Packing a bake for the kitchen: said only after everything was read back."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.server import Server, plan_at
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
