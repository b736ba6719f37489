"""What stood on the screen last is shown before the phone's database has answered, with the time when it stood there.

It goes as soon as plan and journal say otherwise, and nothing of it can be tapped."""

from __future__ import annotations

import json
import secrets
import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

Packed = Callable[[int], tuple[Phone, Plan]]

# The first that is seen of the screen, before anything else can have run.
FIRST = """new MutationObserver((_, self) => {
  const screen = document.getElementById("screen");
  if (!screen?.querySelector("[data-count], h1:not(noscript *)")) return;
  self.disconnect();
  const text = (name) => screen.querySelector(name)?.textContent.replaceAll("\\u00a0", " ") ?? "";
  const buttons = [...screen.querySelectorAll("button")];
  window.first = { title: text("#now-title"), count: text("[data-count]"), weigh: text(".weigh"), rings: text("#alarm"),
    below: screen.querySelectorAll("[data-stood]").length, picture: screen.querySelectorAll(".tide-figure").length,
    alive: buttons.filter((one) => getComputedStyle(one).pointerEvents !== "none" || !one.disabled).length };
}).observe(document, { childList: true, subtree: true });"""
SEEN_FIRST = """async () => {
  while (!window.first) await new Promise((done) => setTimeout(done, 20));
  return window.first;
}"""
KEPT = """async (not) => {
  for (;;) {
    const kept = localStorage.getItem("stood");
    if (kept && kept !== not) return kept;
    await new Promise((done) => setTimeout(done, 20));
  }
}"""
# How much of what stood below is there after each time that the screen is drawn.
LEFT = """window.left = [];
addEventListener("kitchen-looked", () => left.push(document.querySelectorAll("[data-stood]").length));"""
NOT_KEPT = """async () => {
  while (localStorage.getItem("stood")) await new Promise((done) => setTimeout(done, 20));
}"""


def kept(page: Page, other_than: str = "") -> str:
    """What the phone keeps of the screen, as soon as it keeps another."""
    return str(page.evaluate(KEPT, other_than))


def again(phone: Phone, bake_id: str = "", stood: str = "", before: str = "", path: str = "/kitchen") -> Page:
    """The app is opened from cold. `stood`: what it is to have kept; `before`: a script that runs first."""
    phone.page.close()
    phone.page = phone.context.new_page()
    phone.page.add_init_script(FIRST + before)
    if stood:
        phone.page.add_init_script(f"localStorage.setItem('stood', {json.dumps(stood)})")
    phone.page.goto(f"{phone.server.url}{path}#{bake_id}")
    expect(phone.page.locator("html[data-kitchen=started]")).to_have_count(1)
    return phone.page


def first(page: Page) -> dict[str, Any]:
    """What was seen first, as soon as anything is."""
    return dict(page.evaluate(SEEN_FIRST))


def changed(stood: str, **what: object) -> str:
    """What was kept, were this so."""
    return json.dumps({**json.loads(stood), **what})


def test_the_step_stands_again_at_once_says_when_it_did_and_nothing_of_it_can_be_tapped(
    own_server: Server, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(own_server)
    plan = own_server.bake(phone.kitchen_id, plan_at(at(7, 16), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    kept(phone.page)
    own_server.kill()
    for bake_id in (plan.bake_id, ""):  # by its own address, and as the installed app opens
        page = again(phone, bake_id)
        seen = first(page)
        assert seen["title"] == "Mix the dough"
        assert seen["count"].startswith("as of ")
        assert "425 g" in seen["weigh"]
        assert seen["picture"] == 1
        assert seen["alive"] == 0
        expect(page.locator("[data-count]")).not_to_contain_text("as of")
        expect(page.locator("[data-stood]")).to_have_count(0)  # drawn anew, when all of the app is here
        expect(page.locator("#screen button:disabled")).to_have_count(0)
        page.get_by_role("button", name="Strong white flour, 425 g").click()
        flour = page.get_by_role("button", name="Strong white flour, 425 g")
        expect(flour).to_have_attribute("aria-pressed", "true")
        flour.click()
        expect(flour).to_have_attribute("aria-pressed", "false")


def test_a_journal_that_went_on_meanwhile_is_what_is_drawn(packed: Packed) -> None:
    """As where the battery was empty before the screen after the last tap was kept."""
    phone, plan = packed(at(7, 16))
    before = kept(phone.page)
    phone.page.locator("[data-key=done]").click()
    expect(phone.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    kept(phone.page, before)
    page = again(phone, plan.bake_id, stood=before, before=LEFT)
    assert first(page)["title"] == "Mix the dough"
    assert first(page)["count"].startswith("as of ")
    assert first(page)["below"] > 0
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    assert page.evaluate("window.left[0]") == 0, "what stood below the other step is gone with it"


def test_what_stands_below_stays_while_its_times_are_the_same(packed: Packed) -> None:
    phone, plan = packed(at(12))
    was_done(phone.server, phone.kitchen_id, plan, ("mix",))
    phone.page.goto(f"{phone.server.url}/health")
    page = phone.open(plan.bake_id)
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    stood = kept(page)
    while ">Press into the oiled tray<" not in json.loads(stood)["screen"]:  # mixing, until the server told
        stood = kept(page, stood)
    page = again(phone, plan.bake_id, before=LEFT)
    while not page.evaluate("window.left[0]"):  # until what the server told is in the phone's database, too
        kept(page, page.evaluate("localStorage.getItem('stood')"))
        page = again(phone, plan.bake_id, before=LEFT)
    assert page.evaluate("window.left[0]") == first(page)["below"] > 0
    expect(page.locator("[data-stood]")).to_have_count(0)


def test_another_bakes_step_is_never_shown(packed: Packed) -> None:
    phone, plan = packed(at(7, 16))
    stood = kept(phone.page)
    other = phone.server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(phone.server, phone.kitchen_id, other, ("mix",))
    page = again(phone, other.bake_id)
    assert not first(page)["count"].startswith("as of ")
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    while json.loads(stood)["bake"] != other.bake_id:
        stood = kept(page, stood)
    for asked in (changed(stood, bake=plan.bake_id), ""):  # two are on: which is the next is not known yet
        page = again(phone, stood=asked)
        assert not first(page)["count"].startswith("as of ")
        expect(page.locator("[data-step]")).to_be_visible()


def test_a_bake_that_was_given_up_meanwhile_goes_and_is_not_kept(packed: Packed) -> None:
    phone, plan = packed(at(7, 16))
    kept(phone.page)
    phone.page.goto(f"{phone.server.url}/health")
    phone.server.store().drop_bake(phone.kitchen_id, plan.bake_id, int(time.time()))
    page = again(phone)
    assert first(page)["count"].startswith("as of ")
    expect(page.locator("#screen")).to_contain_text("No dough on the go")
    page.evaluate(NOT_KEPT)
    assert first(again(phone))["count"] == ""


def test_of_a_bake_that_is_eaten_nothing_is_kept(packed: Packed) -> None:
    phone, plan = packed(at(19, 25))  # before supper: after it, one of which nothing was told is none
    was_done(phone.server, phone.kitchen_id, plan, tuple(step.step_id for step in plan.steps))
    before = kept(phone.page)
    page = again(phone, plan.bake_id, stood=before)
    expect(page.get_by_role("button", name="How it came out")).to_be_visible()
    page.evaluate(NOT_KEPT)


def test_grams_of_before_become_ounces_where_the_kitchen_went_over_to_them(packed: Packed) -> None:
    """425 g of flour / 28.349523 g (the avoirdupois ounce of 1959) = 14.99, to the twentieth 15 oz."""
    phone, plan = packed(at(7, 16))
    stood = kept(phone.page)
    phone.page.evaluate("""() => new Promise((resolve) => {
      const open = indexedDB.open("suppertide");
      open.onsuccess = () => {
        const all = open.result.transaction("bundles", "readwrite");
        const store = all.objectStore("bundles");
        store.getAll().onsuccess = ({ target: { result: [bundle] } }) => {
          store.put({ ...bundle, kitchen: { ...bundle.kitchen, mass_unit: "oz" } });
        };
        all.oncomplete = () => { open.result.close(); resolve(); };
      };
    })""")
    page = again(phone, plan.bake_id, stood=stood)
    assert "oz" not in first(page)["weigh"]
    assert first(page)["count"].startswith("as of ")
    expect(page.locator(".weigh")).to_contain_text("15\u00a0oz")


@pytest.mark.parametrize(
    "what",
    [{"at": -21 * 3600}, {"at": 3600}, {"looks": "/shell/another/css/kitchen.css"}, {"screen": None}],
    ids=["of another day", "of a clock that was ahead", "of another version", "broken"],
)  # fmt: skip
def test_what_cannot_be_right_any_more_is_not_shown(packed: Packed, what: dict[str, Any]) -> None:
    phone, plan = packed(at(7, 16))
    what = what | ({"at": time.time() + what["at"]} if "at" in what else {})
    page = again(phone, plan.bake_id, stood=changed(kept(phone.page), **what))
    assert not first(page)["count"].startswith("as of ")
    expect(page.locator("#now-title")).to_have_text("Mix the dough")


def test_a_page_that_did_not_open_is_told_of_before_anything(packed: Packed) -> None:
    phone, _ = packed(at(7, 16))
    kept(phone.page)
    page = again(phone, path="/kitchen?instead=/week")
    assert not first(page)["count"].startswith("as of ")
    expect(page.locator(".instead")).to_be_visible()


def test_a_phone_that_keeps_nothing_of_it_works_as_well(packed: Packed) -> None:
    phone, plan = packed(at(7, 16))
    kept(phone.page)
    full = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"
    page = again(phone, plan.bake_id, before=full)
    page.locator("[data-key=done]").click()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
