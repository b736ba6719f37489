"""Twelve hours open with thirty bakes: nothing grows, everything due has rung, and nothing rings after it was done."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser

from e2e.cut_off import PACKED, was_done
from e2e.raw import Tab, Tabs
from e2e.server import Server, plan_at
from tests.samples import at

BAKES = 30
JUMP_S = 600
COUNTS = """
window.handles = 0;
const open = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...how) { window.handles += 1; return open.apply(this, how); };
window.timers = 0;
const every = window.setInterval;
window.setInterval = (...how) => { window.timers += 1; return every(...how); };
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
    """Nodes and listeners that live, after the rubbish was taken out; timers and database handles ever made."""
    tab.send("HeapProfiler.collectGarbage")
    metrics = {one["name"]: one["value"] for one in tab.send("Performance.getMetrics")["metrics"]}
    own = {"handles": tab.js("window.handles"), "timers": tab.js("window.timers")}
    return {"nodes": metrics["Nodes"], "listeners": metrics["JSEventListeners"], **own}


def grown_little(before: dict[str, float], now: dict[str, float]) -> bool:
    """Within a tenth, as what is due and how many bakes stand in the bar change over a day."""
    return now["nodes"] < before["nodes"] * 1.1 and now["listeners"] < before["listeners"] * 1.1


def grown_by_none(before: dict[str, float], now: dict[str, float]) -> bool:
    """Fewer than one node or listener for two looks."""
    return now["nodes"] < before["nodes"] + 50 and now["listeners"] < before["listeners"] + 50


def settled(tab: Tab, enough: Callable[[dict[str, float]], bool]) -> dict[str, float]:
    """The size once it is small enough, or after twenty looks: what a look in flight holds goes, what leaks stays."""
    for _ in range(20):
        if enough(found := size(tab)):
            break
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
    tab.until(f"document.querySelectorAll('.shelf__link').length === {BAKES - 1}")
    tab.touch("h1")
    tab.send("Performance.enable")
    early: dict[str, float] = {}
    for turn in range(1, 12 * 3600 // JUMP_S + 1):
        tab.js(f"window.ahead = {turn * JUMP_S}; dispatchEvent(new Event('focus'))")
        if turn == 12:
            early = size(tab)
    late = settled(tab, lambda now: grown_little(early, now))
    assert late["timers"] == early["timers"]
    assert late["handles"] == early["handles"]
    assert grown_little(early, late), (early, late)
    # Looking again a hundred times at the same minute adds nothing at all.
    for _ in range(100):
        tab.js("dispatchEvent(new Event('focus'))")
    again = settled(tab, lambda now: grown_by_none(late, now))
    assert grown_by_none(late, again), (late, again)
    rings = tab.js(RINGS)
    assert all(one["rung"] > 0 for one in rings)
    rung = {(one["bake_id"], one["step_id"]) for one in rings}
    for bake_id, mixed in done.items():
        wanted = "press" if mixed else "mix"  # twelve hours after seven the next thing to do is long due
        assert (bake_id, wanted) in rung
        assert not mixed or (bake_id, "mix") not in rung
