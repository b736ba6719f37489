"""Twelve hours open with thirty bakes: nothing grows, everything due has rung, and nothing rings after it was done."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser

from e2e.cut_off import PACKED, was_done
from e2e.raw import PATIENCE_S, Tab, Tabs
from e2e.server import Server, plan_at
from tests.samples import at

BAKES = 30
JUMP_S = 600
TAPS = (2, 30, 58)  # turns at which the step on the screen is said to be done
COUNTS = """
window.handles = 0;
const open = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...how) { window.handles += 1; return open.apply(this, how); };
window.timers = 0;
const every = window.setInterval;
window.setInterval = (...how) => { window.timers += 1; return every(...how); };
const waits = new Set();
const { setTimeout: later, clearTimeout: never } = window;
window.setTimeout = (call, ...how) => {
  const id = later(() => { waits.delete(id); call(); }, ...how);
  waits.add(id);
  return id;
};
window.clearTimeout = (id) => { waits.delete(id); never(id); };
window.waiting = () => waits.size;
window.ahead = 0;
const now = Date.now.bind(Date);
Date.now = () => now() + window.ahead * 1000;
"""
RINGS = """new Promise((done) => { const asked = open.call(indexedDB, "suppertide"); asked.onsuccess = () => {
  const got = asked.result.transaction("meta").objectStore("meta").get("rings");
  got.onsuccess = () => { asked.result.close(); done(got.result ?? []); }; }; })"""


@pytest.fixture
def tabs(browser: Browser, shared_server: Server) -> Iterator[tuple[Tabs, str]]:
    """Tabs of a new kitchen."""
    key = secrets.token_urlsafe(32)
    kitchen_id = shared_server.kitchen(key)
    made = Tabs(browser, shared_server.url, key)
    yield made, kitchen_id
    made.close()


def size(tab: Tab) -> dict[str, float]:
    """Nodes, listeners, bytes and waits that live, after the rubbish was taken out; timers and handles ever made."""
    tab.send("HeapProfiler.collectGarbage")
    metrics = {one["name"]: one["value"] for one in tab.send("Performance.getMetrics")["metrics"]}
    own = {name: tab.js(f"window.{name}") for name in ("handles", "timers")} | {"waits": tab.js("window.waiting()")}
    own["bytes"] = tab.send("Runtime.getHeapUsage")["usedSize"]
    return {"nodes": metrics["Nodes"], "listeners": metrics["JSEventListeners"], **own}


def grown_little(before: dict[str, float], now: dict[str, float]) -> bool:
    """By no more than screens of a day differ: one at the oven, or with notes, has more on it than one that waits, and
    what works out its ways is ready by then.

    What is left behind once a turn, by sixty turns, is more than that.
    """
    more = {"nodes": 1.15, "listeners": 1.5, "bytes": 1.4}
    most = {name: before[name] * times for name, times in more.items()} | {"waits": before["waits"] + 4}
    return all(now[name] < limit for name, limit in most.items())


def grown_by_none(before: dict[str, float], now: dict[str, float]) -> bool:
    """Fewer than one node or listener for two looks."""
    return now["nodes"] < before["nodes"] + 50 and now["listeners"] < before["listeners"] + 50


def settled(tab: Tab, enough: Callable[[dict[str, float]], bool]) -> dict[str, float]:
    """The size once it is small enough, however long the machine takes: what a look in flight holds goes, what leaks
    stays."""
    end = time.monotonic() + PATIENCE_S
    while not enough(found := size(tab)) and time.monotonic() < end:
        tab.js("new Promise((go) => setTimeout(() => go(true), 200))")
    return found


def test_twelve_hours_with_thirty_bakes(shared_server: Server, tabs: tuple[Tabs, str]) -> None:
    room, kitchen_id = tabs
    done = {}
    for n in range(BAKES):
        plan = shared_server.bake(kitchen_id, plan_at(at(7) + 97 * n, bake_id=f"{n:02}-{secrets.token_hex(8)}"))
        done[plan.bake_id] = n % 2 == 0
        if n % 2 == 0:
            was_done(shared_server, kitchen_id, plan, ("mix",))
    tab = room.open("/kitchen", COUNTS)
    tab.until("document.querySelector('#rings')")
    tab.js(f"({PACKED})({BAKES})")
    tab.until(f"document.querySelectorAll('.others__link').length === {BAKES - 1}")
    tab.touch("h1")
    tab.send("Performance.enable")
    early: dict[str, float] = {}
    ever: set[tuple[str, str]] = set()
    over: dict[tuple[str, str], int] = {}  # done -> how often it had rung by then
    for turn in range(1, 12 * 3600 // JUMP_S + 1):
        tab.js(f"window.ahead = {turn * JUMP_S}; dispatchEvent(new Event('focus'))")
        if turn == 12:
            early = size(tab)
        if turn in TAPS:
            rings = rung(tab)
            key = said_done(tab)
            over[key] = rings.get(key, 0)
            if turn == TAPS[1]:  # a sheet that asks was loaded by now: its script stays, once
                early["bytes"] = size(tab)["bytes"]
        rings = rung(tab)
        assert all(rings.get(key, 0) <= times for key, times in over.items()), "what was done rings no more"
        ever |= {key for key, times in rings.items() if times > 0}
    late = settled(tab, lambda now: grown_little(early, now))
    assert late["timers"] == early["timers"]
    assert late["handles"] == early["handles"]
    assert grown_little(early, late), "\n".join(f"{name}: {early[name]} {late[name]}" for name in early)
    # Looking again a hundred times at the same minute adds nothing at all.
    for _ in range(100):
        tab.js("dispatchEvent(new Event('focus'))")
    again = settled(tab, lambda now: grown_by_none(late, now))
    assert grown_by_none(late, again), (late, again)
    assert all(one["rung"] > 0 for one in tab.js(RINGS))
    for bake_id, mixed in done.items():
        wanted = "press" if mixed else "mix"  # twelve hours after seven the next thing to do is long due
        assert (bake_id, wanted) in ever | over.keys()
        assert not mixed or (bake_id, "mix") not in ever
    assert len(over) == len(TAPS)


def rung(tab: Tab) -> dict[tuple[str, str], int]:
    """How often each step has rung that rings now."""
    return {(one["bake_id"], one["step_id"]): one["rung"] for one in tab.js(RINGS)}


def said_done(tab: Tab) -> tuple[str, str]:
    """Bake and step of the button that was tapped, once the screen has gone on."""
    here = "[document.querySelector('#screen').dataset.bake, document.querySelector('[data-step]').dataset.step]"
    bake_id, step_id = tab.js(here)
    tab.until("!document.querySelector('[data-key=done][aria-disabled]')")
    tab.touch("[data-key=done]")
    gone = f"document.querySelector('[data-step]').dataset.step !== '{step_id}'"
    early = "document.querySelector('dialog [data-key=way-as-planned]:not([aria-disabled])')"  # hours before its plan
    # Long due, after the hour of supper, it is asked when it was.
    when = "[...document.querySelectorAll('dialog button')].find((one) => one.innerText === 'Just now')"
    tab.until(f"{gone} || Boolean({early} || {when})")
    if tab.js(f"Boolean({early})"):
        tab.touch("dialog [data-key=way-as-planned]")
    elif tab.js(f"Boolean({when} && !{when}.setAttribute('data-wanted', ''))"):
        tab.touch("[data-wanted]")
    tab.until(gone)
    return bake_id, step_id
