"""Every tap is heard, for the step and the bake that it was made on, and once: tried with real touches."""

from __future__ import annotations

import time

import pytest

from e2e.cut_off import IN_DATABASE
from e2e.home import ARMED, LOOK, NO_WORKER, STARTED, TITLE, Home, choose, journal, settled, steps
from tests.samples import at


@pytest.mark.parametrize("with_a", ["finger", "mouse"])
def test_a_look_between_down_and_up_does_not_swallow_the_tap(home: Home, with_a: str) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    x, y = tab.where("[data-key=done]")
    mouse = {"x": x, "y": y, "button": "left", "clickCount": 1}
    tab.js("window.node = document.querySelector('[data-key=done]')")
    if with_a == "finger":
        tab.down((x, y))
    else:
        tab.send("Input.dispatchMouseEvent", type="mousePressed", **mouse)
    # Short, since a finger that rests longer than for a tap makes a long press.
    assert tab.js(f"window.ahead = 61; {LOOK}; {LOOK}; window.node.isConnected")
    if with_a == "finger":
        tab.up()
    else:
        tab.send("Input.dispatchMouseEvent", type="mouseReleased", **mouse)
    tab.until(f"{TITLE} === 'Light the oven'")
    assert steps(tab, plan) == ["mix", "press"]


def test_selected_words_an_opened_list_and_the_focus_outlive_every_look(home: Home) -> None:
    tab = home.open(home.bake(at(16, 46), "mix"))
    tab.js(
        """document.querySelector("details[data-all]").open = true;
        getSelection().selectAllChildren(document.querySelector(".now__text"));
        document.querySelector("[data-key=glass]").focus();"""
    )
    for shift in (61, 400):
        tab.js(f"window.ahead = {shift}")
        tab.js(LOOK)
        assert "Oil the tray" in tab.js("getSelection().toString()")
        assert tab.js("document.activeElement.dataset.key") == "glass"
        assert tab.js("document.querySelector('details[data-all]').open")


# What a click sets going keeps the page busy for so long.
SLOW_CLICK = """addEventListener("click", () => {
  const end = performance.now() + 500;
  while (performance.now() < end);
}, { capture: true });"""


@pytest.mark.parametrize("script", ["", SLOW_CLICK], ids=["quick", "slow"])
@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_in_a_row_say_one_step(home: Home, pause: float, script: str) -> None:
    plan = home.bake(at(18, 11), "mix", "press")
    tab = home.open(plan)
    tab.js(script)
    point = tab.where("[data-key=done]")
    first = time.time()
    tab.tap(point, first)
    tab.tap(tab.at_once("[data-key=done]"), first + pause)  # by the finger's own clock, however long the machine took
    tab.until(f"{TITLE} === 'Put the topping on'")
    settled(tab)
    assert steps(tab, plan) == ["mix", "press", "preheat"]
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Load the tray'")
    assert steps(tab, plan) == ["mix", "press", "preheat", "top"]


def test_what_was_said_last_is_taken_back_whatever_minute_it_was_said_for(home: Home) -> None:
    plan = home.bake(at(18, 30), "mix", "press")
    tab = home.open(plan)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Put the topping on'")
    tab.until(ARMED)
    tab.js("window.ahead = 5")
    tab.touch("[data-key=when]")
    tab.until("document.querySelector('dialog')")
    choose(tab, "20 min ago")
    tab.until(f"{TITLE} === 'Load the tray'")
    assert "Topped" in tab.js("document.querySelector('.undo-bar').innerText")


# A database that answers when the test lets it; nobody loses patience.
SLOW = """
const all = IDBIndex.prototype.getAll;  // journals are read by their bake
window.answers = [];
IDBIndex.prototype.getAll = function (...how) {
  const request = all.apply(this, how);
  if (window.slow) {
    const tell = Object.getOwnPropertyDescriptor(IDBRequest.prototype, "onsuccess");
    Object.defineProperty(request, "onsuccess", {
      set(f) { tell.set.call(request, (e) => {
        const go = () => f.call(request, e);
        return window.slow ? window.answers.push(go) : go();
      }); } });
  }
  return request;
};
const patience = setTimeout;
window.setTimeout = (f, ms) => patience(f, ms === 3000 || ms === 15000 ? 1e8 : ms);
"""


def test_a_tap_belongs_to_the_bake_it_was_made_on_however_slow_the_database(home: Home) -> None:
    one, other = home.bake(at(16, 46), "mix", title="One"), home.bake(at(7, 16), title="Other")
    tab = home.open(one, SLOW)
    tab.until(f"document.querySelector(\"a[href='#{other.bake_id}']\")")
    tab.js("window.slow = true")
    tab.js(f"location.hash = '{other.bake_id}'")
    tab.until("window.answers.length > 0")
    assert tab.js(TITLE) == "Press into the oiled tray"
    tab.touch("[data-key=done]")
    tab.until(f"window.clicks >= {tab.taps}")
    tab.js("window.slow = false; window.answers.forEach((go) => go())")
    tab.until("document.querySelector('h1').innerText === 'Other'")
    tab.until(f"({IN_DATABASE})('events').then((all) => all.filter((one) => one.sent === 1).length >= 2)")
    assert (steps(tab, one), steps(tab, other)) == (["mix", "press"], [])


def test_now_is_the_moment_of_the_tap_and_a_time_ahead_is_asked_about(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=when]")
    tab.until("document.querySelector('dialog #when')")
    typed = tab.js("""(() => { const soon = new Date(Date.now() + 300_000);
      const field = document.querySelector('#when'); field.value = soon.toTimeString().slice(0, 5);
      field.form.requestSubmit(); return Math.floor(soon / 60_000) * 60; })()""")
    assert "is still ahead" in tab.until("document.querySelector('dialog .notice')?.innerText")
    assert steps(tab, plan) == ["mix"]
    tab.js("window.ahead = 305")  # the sheet stands open for five minutes: now it is that time
    tab.js("document.querySelector('#when').form.requestSubmit()")
    tab.until(f"{TITLE} === 'Light the oven'")
    said = journal(tab, plan)[-1]
    assert said["at"] == typed
    assert said["logged_at"] >= typed + 5


def test_fifteen_minutes_later_counts_from_the_tap(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog')")
    tab.js("window.ahead = 1800")
    choose(tab, "15 min later")
    tab.until("document.querySelector('dialog [data-key=way-as-planned]')")
    tab.touch("dialog [data-key=way-as-planned]")
    tab.until("!document.querySelector('dialog')")
    said = tab.until(f"({IN_DATABASE})('events').then((all) => all.filter((one) => one.kind === 'later')[0])")
    assert abs(said["data"]["until"] - said["at"] - 900) <= 2


def test_escape_keeps_what_was_typed_and_gives_the_focus_back(home: Home) -> None:
    tab = home.open(home.bake(at(12), "mix"))
    tab.js("document.querySelector('[data-key=room]').focus(); document.activeElement.click()")
    tab.until("document.querySelector('dialog input')")
    tab.js("document.querySelector('dialog input').select()")
    tab.send("Input.insertText", text="27.5")
    for kind in ("rawKeyDown", "keyUp"):
        tab.send("Input.dispatchKeyEvent", type=kind, key="Escape", code="Escape", windowsVirtualKeyCode=27)
    tab.until("!document.querySelector('dialog')")
    assert tab.js("document.activeElement.dataset.key") == "room"
    tab.touch("[data-key=room]")
    assert tab.until("document.querySelector('dialog input')?.value") == "27.5"


def test_what_was_typed_of_a_line_that_got_too_much_is_kept_by_escape(home: Home) -> None:
    tab = home.open(home.bake(at(7, 16)))
    for typed in ("", "412"):
        tab.touch("[data-key=over]")
        tab.until("document.querySelector('dialog .answers button')")
        tab.until("!document.querySelector('dialog [aria-disabled]')")
        tab.touch("dialog .answers button")
        tab.until("document.querySelector('dialog input')")
        assert tab.js("document.querySelector('dialog input').value") == typed
        tab.js("document.querySelector('dialog input').focus()")
        tab.send("Input.insertText", text="412")
        for kind in ("rawKeyDown", "keyUp"):
            tab.send("Input.dispatchKeyEvent", type=kind, key="Escape", code="Escape", windowsVirtualKeyCode=27)
        tab.until("!document.querySelector('dialog')")


@pytest.mark.parametrize(
    "never",
    [
        "IDBFactory.prototype.open = () => ({});",
        "IDBObjectStore.prototype.get = IDBObjectStore.prototype.getAll = () => ({});",
    ],
    ids=["opening", "reading"],
)
def test_a_database_that_never_answers_is_said_after_three_seconds(home: Home, never: str) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.tabs.open(f"/kitchen#{plan.bake_id}", never)
    tab.until("document.querySelector('#notes')?.innerText.includes('storage does not answer')")
    tab.until(f"{TITLE} === 'Press into the oiled tray'")


HOLDS = """new Promise((done) => {
  const asked = indexedDB.open("suppertide", 1);  // as the first version laid it out
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("bundles", { keyPath: "plan.bake_id" });
    asked.result.createObjectStore("events", { keyPath: "event_id" }).createIndex("bake", "bake_id");
  };
  asked.onsuccess = () => { window.held = asked.result; done(true); };
})"""
OPENS = """new Promise((done) => {
  const asked = indexedDB.open("suppertide", 9);
  asked.onsuccess = () => { asked.result.close(); done("opened"); };  // not before the other has let go
})"""


def test_a_connection_that_was_blocked_closes_itself_when_it_comes_after_all(home: Home) -> None:
    """Nobody waits for it any more: held open, it would block the next version in its turn."""
    plan = home.bake(at(16, 46), "mix")
    older = home.tabs.open("/health")
    older.until(HOLDS)
    tab = home.tabs.open(f"/kitchen#{plan.bake_id}")
    tab.until("document.querySelector('#notes')?.innerText.includes('Another window has an older version')")
    older.js("window.held.close()")
    version = "indexedDB.databases().then((all) => all.find((one) => one.name === 'suppertide')?.version === 2)"
    older.until(version)
    assert older.js(OPENS) == "opened"


def test_a_clock_set_right_with_no_connection_is_seen(home: Home) -> None:
    tab = home.open(home.bake(at(12), "mix"), "window.ahead = 3 * 3600;")
    tab.until("document.querySelector('#notes')?.innerText.includes('ahead of the server')")
    tab.js("document.querySelector('[data-key=server-clock]').click()")
    tab.until("document.querySelector('[data-count]').innerText.startsWith('in 4')")
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    tab.js("window.ahead = 0")
    tab.until("!document.querySelector('#notes').innerText.includes('server’s clock')")
    assert tab.js("document.querySelector('[data-count]').innerText").startswith("in 4")


@pytest.mark.parametrize(
    "feature", ["AbortSignal.timeout", "HTMLDialogElement.prototype.showModal", "window.structuredClone"]
)
def test_a_browser_below_the_floor_gets_one_plain_page(home: Home, feature: str) -> None:
    tab = home.tabs.open("/kitchen", f"delete {feature};")
    tab.until("document.querySelector('h1')?.innerText.includes('too old for the kitchen screen')")
    assert "Chrome 103, Firefox 100 or Safari 16" in tab.js("document.querySelector('#screen').innerText")


def test_a_part_that_did_not_load_is_said_and_asked_for_again(home: Home) -> None:
    tab = home.open(home.bake(at(16, 46), "mix"), NO_WORKER)
    tab.send("Network.enable")
    tab.send("Network.setCacheDisabled", cacheDisabled=True)
    tab.send("Network.setBlockedURLs", urls=["*/js/kitchen-rest.js"])
    tab.send("Page.reload")
    tab.until("document.querySelector('#notes')?.innerText.includes('A part of this screen did not load')")
    assert tab.js(TITLE) == "Press into the oiled tray"
    tab.send("Network.setBlockedURLs", urls=[])
    tab.until("document.querySelector('.alarm')")
    tab.until("!document.querySelector('#notes').innerText.includes('did not load')")


def test_a_screen_that_did_not_load_at_all_says_so_and_opens_when_it_can(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.tabs.open("/health")
    tab.send("Network.enable")
    tab.send("Network.setBlockedURLs", urls=["*/js/kitchen-first.js"])
    tab.send("Page.navigate", url=f"{home.server.url}/kitchen#{plan.bake_id}")
    tab.until("document.querySelector('#screen')?.innerText.includes('A part of the kitchen screen did not load')")
    tab.send("Network.setBlockedURLs", urls=[])
    tab.until(f"{TITLE} === 'Press into the oiled tray'")


def test_with_the_server_gone_over_plain_http_every_sheet_still_opens(home: Home) -> None:
    """Over plain http there is no worker: what was not loaded while the server answered would never come."""
    plan = home.bake(at(12), "mix")
    tab = home.open(plan, NO_WORKER)
    tab.until("performance.getEntriesByType('resource').some((one) => one.name.endsWith('/js/kitchen-rest.js'))")
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    for key in ("glass", "room", "felt", "dough", "pan", "late", "when"):
        tab.touch(f"[data-key={key}]")
        tab.until("document.querySelector('dialog')")
        tab.touch("dialog [data-key=close]")
        tab.until("!document.querySelector('dialog')")


def test_a_sheet_that_was_asked_for_before_it_was_here_opens_when_it_is(home: Home) -> None:
    """The last of the three files is held up, as by a weak network; the step can be seen and tapped meanwhile."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, NO_WORKER)
    tab.until(f"({IN_DATABASE})('events').then((all) => all.length > 0)")
    tab.send("Network.enable")
    tab.send("Network.setCacheDisabled", cacheDisabled=True)
    tab.send("Fetch.enable", patterns=[{"urlPattern": "*/js/kitchen-rest.js"}])
    forgets = "addEventListener('pagehide', () => localStorage.removeItem('stood'));"  # or all of it stands there again
    tab.js(f"window.old = true; {forgets} location.reload()")
    tab.until(f"!window.old && {STARTED} && {TITLE} === 'Press into the oiled tray'")
    tab.touch("[data-key=when]")
    assert not tab.js("document.querySelector('dialog, #rings')")
    tab.send("Fetch.disable")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Press into the oiled tray: done when?'")
