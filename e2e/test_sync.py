"""Two phones, one bake: what either taps is on both, through lost answers, a killed server and a night without one."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from dataclasses import replace

from playwright.sync_api import Route, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.kitchens.bakes import picked

NewPhone = Callable[..., Phone]
# That a note was read is in the phone's database: it is known when the page opens again.
NONE_LEFT = """() => new Promise((done) => {
  const open = indexedDB.open("suppertide");
  open.onsuccess = () => {
    const look = () => {
      const asked = open.result.transaction("meta").objectStore("meta").get("left");
      asked.onsuccess = () => (asked.result?.length === 0 ? done(open.result.close()) : setTimeout(look, 20));
    };
    look();
  };
})"""


def two_phones(server: Server, new_phone: NewPhone, moment: int, *done: str) -> tuple[Phone, Phone, str]:
    """Two phones of one kitchen with one bake on both screens."""
    key = secrets.token_urlsafe(32)
    one = new_phone(server, key)
    other = new_phone(server, key, one.kitchen_id)
    plan = server.bake(one.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
    was_done(server, one.kitchen_id, plan, done)
    bake_id = plan.bake_id
    one.open(bake_id)
    other.open(bake_id)
    for phone in (one, other):
        expect(phone.page.locator(".tools")).to_be_visible()
    return one, other, bake_id


def wake(phone: Phone) -> None:
    """The phone comes back into sight."""
    phone.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def test_a_tap_on_one_phone_is_on_the_other_when_it_is_looked_at(shared_server: Server, new_phone: NewPhone) -> None:
    one, other, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    with one.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        one.page.get_by_role("button", name="Mixed").click()
    one.has_sent(bake_id, "done")
    wake(other)
    expect(other.page.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_both_act_while_the_server_is_dead_and_nothing_is_lost(own_server: Server, new_phone: NewPhone) -> None:
    one, other, bake_id = two_phones(own_server, new_phone, at(16, 46), "mix")
    own_server.kill()
    one.page.get_by_role("button", name="Pressed out").click()
    other.page.get_by_role("button", name="Pressed out").click()
    other.page.get_by_role("region", name="Tell the kitchen").get_by_role("button", name="Read the glass").click()
    other.page.get_by_role("button", name="×2.5").click()
    expect(one.page.locator("#notes")).to_contain_text("One entry waits")
    expect(other.page.locator("#notes")).to_contain_text("2 entries wait")
    own_server.start()
    for phone in (one, other):
        wake(phone)
        expect(phone.page.locator("#notes")).not_to_contain_text("wait")
    one.has_sent(bake_id, "done", "done", "done", "glass")
    wake(one)
    expect(one.page.locator(".standing")).to_contain_text("×2.")
    for phone in (one, other):
        expect(phone.page.locator("#now-title")).to_have_text("Light the oven")


def test_an_answer_that_is_lost_is_asked_for_again_and_counts_once(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    lost: list[int] = []

    def lose(route: Route) -> None:
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch().status)  # the server has it; the phone never hears so
            route.abort()
        else:
            route.continue_()

    one.page.route("**/api/bakes/*/events", lose)
    one.page.get_by_role("button", name="Mixed").click()
    expect(one.page.locator("#notes")).to_contain_text("One entry waits")
    wake(one)
    expect(one.page.locator("#notes")).not_to_contain_text("wait")
    assert lost == [200]
    one.has_sent(bake_id, "done")


def test_an_event_that_is_refused_does_not_hold_up_the_others(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    one.page.evaluate(
        """(bake_id) => new Promise((done) => {
          const open = indexedDB.open("suppertide");
          open.onsuccess = () => {
            const when = { at: 1, logged_at: 1 };
            const row = { event_id: "not-an-id", bake_id, ...when, phone: "x", kind: "glass", data: {}, sent: 0 };
            const writing = open.result.transaction("events", "readwrite");
            writing.objectStore("events").put(row);
            writing.oncomplete = () => { open.result.close(); done(); };
          };
        })""",
        bake_id,
    )
    one.page.get_by_role("button", name="Mixed").click()
    expect(one.page.locator("#notes")).to_contain_text("did not take one entry")
    one.has_sent(bake_id, "done")


def test_a_changed_plan_reaches_the_phone_and_keeps_its_journal(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    with one.page.expect_response(lambda r: r.request.method == "POST" and r.ok):
        one.page.get_by_role("button", name="Mixed").click()
    changed = plan_at(at(7, 31), bake_id=bake_id)
    shared_server.bake(
        one.kitchen_id, type(changed)(**{**vars(changed), "revision": 2, "dough_of": 1, "title": "Focaccia after all"})
    )
    wake(one)
    expect(one.page.locator("h1")).to_have_text("Focaccia after all")
    expect(one.page.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_a_phone_that_never_had_a_bake_is_not_told_that_it_was_forgotten(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server, secrets.token_urlsafe(32))
    phone.context.clear_cookies()
    with phone.page.expect_response(lambda r: r.url.endswith("/api/bakes")) as asked:
        phone.page.goto(f"{shared_server.url}/kitchen")
    assert asked.value.status == 401
    phone.page.wait_for_load_state("networkidle")
    expect(phone.page.locator("main")).to_contain_text("No dough on the go")
    expect(phone.page.locator("#notes")).not_to_contain_text("does not know this phone")


def test_a_phone_that_was_sent_away_keeps_its_bake_and_says_so(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, _ = two_phones(shared_server, new_phone, at(7, 31))
    one.context.clear_cookies()
    wake(one)
    expect(one.page.locator("#notes")).to_contain_text("does not know this phone")
    expect(one.page.locator("#now-title")).to_have_text("Mix the dough")


def test_a_bake_deleted_on_another_phone_leaves_the_kitchen_and_that_is_said_once(
    shared_server: Server, new_phone: NewPhone
) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    other = plan_at(at(12), bake_id=secrets.token_urlsafe(16))
    shared_server.bake(one.kitchen_id, replace(other, title="The one that is left"))
    wake(one)
    expect(one.page.locator(".others__link")).to_contain_text("The one that is left")
    shared_server.store().delete_bake(one.kitchen_id, bake_id)
    wake(one)
    expect(one.page.locator("h1")).to_have_text("The one that is left")
    expect(one.page.locator("#notes")).to_contain_text("Tray pizza for Wednesday: deleted. It rings no more.")
    expect(one.page.locator(".others__link")).to_have_count(0)
    one.page.reload()  # nobody has read it yet
    expect(one.page.locator("#notes")).to_contain_text(": deleted.")
    one.page.get_by_role("button", name="Understood").click()
    expect(one.page.locator("#notes")).not_to_contain_text(": deleted.")
    one.page.evaluate(NONE_LEFT)
    one.reload()
    expect(one.page.locator("h1")).to_have_text("The one that is left")
    expect(one.page.locator("#notes")).not_to_contain_text(": deleted.")


def test_a_bake_that_is_taken_up_again_is_no_longer_said_to_be_given_up(
    shared_server: Server, new_phone: NewPhone
) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    store = shared_server.store()
    plan = picked(store, one.kitchen_id, bake_id)
    store.drop_bake(one.kitchen_id, bake_id, int(time.time()))
    wake(one)
    expect(one.page.locator("#notes")).to_contain_text(": given up. It rings no more.")
    shared_server.bake(one.kitchen_id, replace(plan, revision=plan.revision + 1))
    wake(one)
    expect(one.page.locator("#now-title")).to_have_text("Mix the dough")
    expect(one.page.locator("#notes")).not_to_contain_text(": given up.")


def test_a_bake_given_up_on_another_phone_leaves_the_kitchen_and_rings_no_more(
    shared_server: Server, new_phone: NewPhone
) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    shared_server.store().drop_bake(one.kitchen_id, bake_id, int(time.time()))
    wake(one)
    expect(one.page.locator("main")).to_contain_text("No dough on the go")
    expect(one.page.locator("#notes")).to_contain_text(": given up.")
    expect(one.page.locator("#alarm")).to_be_empty()
    assert one.page.evaluate("location.hash") == ""
    one.page.reload()
    expect(one.page.locator("main")).to_contain_text("No dough on the go")


def test_what_nobody_has_begun_leaves_the_kitchen_with_its_supper(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(19, 31), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    expect(phone.page.locator("main")).to_contain_text("This bake was for")
    expect(phone.page.locator("#alarm")).to_be_empty()


def test_a_second_window_of_the_same_phone_follows_at_once(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    window = one.context.new_page()
    window.goto(f"{shared_server.url}/kitchen#{bake_id}")
    expect(window.locator(".tools")).to_be_visible()
    one.page.get_by_role("button", name="Mixed").click()
    expect(window.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_a_server_that_answers_but_takes_nothing_is_quoted(shared_server: Server, new_phone: NewPhone) -> None:
    one, _, bake_id = two_phones(shared_server, new_phone, at(7, 31))
    full = {"field": "events", "message": "The journal of this bake is full.", "way_out": "Start a new plan."}

    def refuse(route: Route) -> None:
        if route.request.method == "POST":
            route.fulfill(status=422, json={"error": full, "errors": [full]})
        else:
            route.continue_()

    one.page.route("**/api/bakes/*/events", refuse)
    one.page.get_by_role("button", name="Mixed").click()
    expect(one.page.locator("#notes")).to_contain_text("The journal of this bake is full. Start a new plan.")
    one.page.unroute("**/api/bakes/*/events")
    wake(one)
    expect(one.page.locator("#notes")).not_to_contain_text("takes nothing")
    one.has_sent(bake_id, "done")


def test_a_bake_that_arrives_does_not_push_the_one_in_hand_off_the_screen(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    shared_server.bake(phone.kitchen_id, plan_at(at(7, 16), bake_id=secrets.token_urlsafe(16)))
    page = phone.open()
    expect(page.locator("#now-title")).to_have_text("Mix the dough")
    sooner = shared_server.bake(phone.kitchen_id, plan_at(at(18, 56), bake_id=secrets.token_urlsafe(16)))
    wake(phone)
    expect(page.locator(f"a[href='#{sooner.bake_id}']")).to_be_visible()
    expect(page.locator("#now-title")).to_have_text("Mix the dough")
    expect(page.locator(".oven")).to_have_count(0)
