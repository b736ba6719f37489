"""A phone whose storage is full while somebody taps: nothing that was said is lost silently."""

from __future__ import annotations

from playwright.sync_api import Page

from e2e.cut_off import IN_DATABASE
from e2e.home import TITLE, Home
from e2e.raw import Tab
from tests.samples import at
from webapp.core.plan.plan import Plan

# As Indexed Database API 3.0 has it: the write is taken, and the whole transaction fails with QuotaExceededError later.
FULL_OF = """
const put = IDBObjectStore.prototype.put;
window.noRoomFor = "";
IDBObjectStore.prototype.put = function (row, ...key) {
  const asked = put.call(this, row, ...key);
  if (window.noRoomFor && window.noRoomFor.split(" ").includes(row?.kind)) {
    const { transaction } = this;
    Object.defineProperty(transaction, "error", { value: new DOMException("full", "QuotaExceededError") });
    transaction.abort();
  }
  return asked;
};
"""
WATCH = """
window.seen = [];
const see = () => {
  window.seen.push(document.querySelector("[data-key=keep-again]") !== null);
  requestAnimationFrame(see);
};
see();
"""
LEAVING = """(() => {
  const leave = new Event("beforeunload", { cancelable: true });
  return !dispatchEvent(leave);
})()"""
NOTES = "document.querySelector('#notes')?.innerText"


def kept(tab: Tab, plan: Plan) -> list[str]:
    """Kinds of what this phone's database holds that was said on it."""
    rows = tab.js(f"({IN_DATABASE})('events')")
    return sorted(row["kind"] for row in rows if row["bake_id"] == plan.bake_id and row["phone"] != "another")


def test_what_is_held_is_told_until_it_is_kept_though_there_is_room_for_what_was_said_later(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, FULL_OF)
    tab.until("document.querySelector('.tools')")
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    tab.js("window.noRoomFor = 'done'")
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.until(f"{NOTES}.includes('storage is full')")
    near = "document.querySelector('#notes').compareDocumentPosition(document.querySelector('.tools'))"
    assert tab.js(near) == 4, "right under the step: the tools follow it"
    tab.js(WATCH)
    tab.touch("[data-key=glass]")
    tab.until("document.querySelector('dialog .answers')")
    tab.touch("dialog .answers .button")
    tab.until(f"({IN_DATABASE})('events').then((all) => all.some((row) => row.kind === 'glass'))")
    tab.js("new Promise((go) => setTimeout(() => go(true), 500))")
    assert tab.js("window.seen.every(Boolean)"), "the note never left while something was held"
    assert "done" not in kept(tab, plan)
    assert tab.js(LEAVING), "the browser asks before the page goes"
    tab.js("window.noRoomFor = ''")
    tab.touch("[data-key=keep-again]")
    tab.until(f"!{NOTES}.includes('storage is full')")
    assert {"done", "glass"} <= set(kept(tab, plan))
    assert not tab.js(LEAVING)


# The first row is answered for by the server while it is being kept, and another one cannot be kept meanwhile.
WHILE_KEEPING = """async () => {
  const { keepAgain, unkept, write } = await import("/static/js/lib/log.js");
  const { settle } = await import("/static/js/lib/sent.js");
  let room = null;
  const store = { addEvents: () => new Promise((done, no) => { room = { done, no }; }) };
  const failing = { addEvents: () => Promise.reject(new DOMException("full", "QuotaExceededError")) };
  await write(failing, [{ event_id: "a" }]);
  const first = unkept[0];
  const again = keepAgain(store);
  await settle({ addEvents: async () => {} }, [first], 1);
  await write(failing, [{ event_id: "b" }]);
  room.done();
  return [await again, unkept.map((row) => row.event_id)];
}"""


def test_what_could_not_be_kept_while_something_else_was_is_still_held(page: Page) -> None:
    assert page.evaluate(WHILE_KEEPING) == [False, ["b"]]
