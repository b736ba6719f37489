"""A push message all the way: asked for by a tap, sent by the server's own bell, shown by the real worker.

The push service in the middle is ours, as no browser under test may reach a real one: it takes what the server sends,
decrypts it with the browser's keys, and Chromium's own debugging door hands the text to the worker.
"""

from __future__ import annotations

import json
import secrets
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import CDPSession, Page, expect

from e2e.conftest import Phone
from e2e.server import PATIENCE_S, Server, plan_at
from tests.reminders.push.push_service import Browser, PushService, b64
from tests.samples import at

pytestmark = pytest.mark.whole_browser
# What a browser does when it subscribes, with keys that the test holds.
_SUBSCRIBING = """
(said) => {
  let held = null;
  PushManager.prototype.getSubscription = async () => held;
  PushManager.prototype.subscribe = async (options) => {
    const key = new Uint8Array(options.applicationServerKey);
    if (!options.userVisibleOnly || key.length !== 65) throw new Error("options");
    held = {
      endpoint: said.endpoint,
      options,
      toJSON: () => said,
      unsubscribe: async () => { held = null; return true; },
    };
    return held;
  };
}
"""


@pytest.fixture
def service() -> Iterator[PushService]:
    running = PushService()
    yield running
    running.stop()


@pytest.fixture
def server(service: PushService, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    monkeypatch.setenv("SUPPERTIDE_PUSH_HOSTS", service.host)  # the server process inherits it
    running = Server(tmp_path).start()
    yield running
    running.kill()


def subscribes(phone: Phone, service: PushService, keys: Browser) -> Page:
    """Open the page of reminders and tap; the page."""
    said = {
        "endpoint": service.endpoint(),
        "expirationTime": None,
        "keys": {"p256dh": keys.p256dh, "auth": b64(keys.auth)},
    }
    phone.context.grant_permissions(["notifications"], origin=phone.server.url)
    phone.page.add_init_script(f"({_SUBSCRIBING})({json.dumps(said)})")
    phone.page.goto(f"{phone.server.url}/reminders#push")
    phone.page.get_by_role("button", name="Send messages to this browser").click()
    expect(phone.page.get_by_text("On: this browser gets a message")).to_be_visible()
    return phone.page


Wanted = Callable[[list[dict[str, Any]]], bool]
AGAIN_S = 5.0


def shows(page: Page, origin: str, text: str, wanted: Wanted) -> list[dict[str, Any]]:
    """What the worker shows once it was handed this message as the browser's own push client would.

    Unlike a push service, the driver says nothing of a message that finds the worker between two states: it is handed
    over again, and takes the place of the one before.
    """
    door: CDPSession = page.context.new_cdp_session(page)
    registrations: list[str] = []

    def seen(event: dict[str, Any]) -> None:
        registrations.extend(one["registrationId"] for one in event["registrations"] if not one["isDeleted"])

    door.on("ServiceWorker.workerRegistrationUpdated", seen)
    door.send("ServiceWorker.enable")
    state = "navigator.serviceWorker.ready.then(({ active }) => active.state)"
    until = time.monotonic() + 2 * PATIENCE_S
    while not registrations or page.evaluate(state) != "activated":
        assert time.monotonic() < until, "no worker"
        page.wait_for_timeout(20)
    handed, shown = 0.0, []
    while not handed or not wanted(shown := list(page.evaluate(_SHOWN))):
        assert time.monotonic() < until, f"not shown: {shown}"
        if time.monotonic() - handed > AGAIN_S:
            handed = time.monotonic()
            message = {"origin": origin, "registrationId": registrations[-1], "data": text}
            door.send("ServiceWorker.deliverPushMessage", message)
        page.wait_for_timeout(20)
    return shown


_SHOWN = """async () => (await (await navigator.serviceWorker.ready).getNotifications())
    .map((one) => ({ title: one.title, body: one.body, tag: one.tag, data: one.data }))"""


def test_a_step_that_is_due_is_shown_by_the_worker(
    server: Server, service: PushService, new_phone: Callable[..., Phone]
) -> None:
    phone, keys = new_phone(server), Browser()
    plan = server.bake(phone.kitchen_id, plan_at(at(7, 6), bake_id=secrets.token_urlsafe(16)))
    page = subscribes(phone, service, keys)
    until = time.monotonic() + 2 * PATIENCE_S
    while not service.taken and time.monotonic() < until:  # the bell looks every few seconds
        page.wait_for_timeout(20)
    (taken,) = service.taken
    said = keys.read(taken.body)
    assert said["title"] == "Mix the dough"
    (shown,) = shows(page, server.url, json.dumps(said), lambda all_shown: len(all_shown) == 1)
    assert shown["title"] == "Mix the dough"
    assert shown["data"] == plan.bake_id
    assert shown["body"] == said["body"]
    moved = said | {"body": "later"}
    # One about the same step takes the place of the one before.
    shows(page, server.url, json.dumps(moved), lambda all_shown: [one["body"] for one in all_shown] == ["later"])


def test_a_message_that_cannot_be_read_still_shows_something(
    server: Server, service: PushService, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(server)
    page = subscribes(phone, service, Browser())
    (shown,) = shows(page, server.url, "not json", lambda all_shown: len(all_shown) == 1)
    assert shown["title"] == "Something is due in the kitchen"


def test_messages_are_turned_off_again_where_they_were_turned_on(
    server: Server, service: PushService, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(server)
    page = subscribes(phone, service, Browser())
    page.get_by_role("button", name="No more messages here").click()
    expect(page.get_by_text("Off on this browser.")).to_be_visible()
    until = time.monotonic() + PATIENCE_S
    while server.store().subscriptions(phone.kitchen_id) and time.monotonic() < until:
        page.wait_for_timeout(20)
    assert server.store().subscriptions(phone.kitchen_id) == ()


def test_where_messages_are_blocked_the_page_says_so(server: Server, new_phone: Callable[..., Phone]) -> None:
    phone = new_phone(server)
    phone.context.grant_permissions([], origin=server.url)  # denies what it does not list
    phone.page.goto(f"{server.url}/reminders#push")
    expect(phone.page.get_by_text("Messages from here are blocked")).to_be_visible()
    expect(phone.page.get_by_role("button", name="Send messages to this browser")).to_be_hidden()
