"""What was tapped is heard: a slow database, two lines side by side, and buttons below the bar of what rings."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from e2e.home import ARMED, TITLE, Home, journal, settled, steps
from e2e.raw import Tab
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.whole_browser
# A database that tells that it has written when the test lets it, or never.
HELD = """(() => {
  const tell = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
  window.waiting = [];
  Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
    set(then) {
      tell.set.call(this, (event) => {
        const go = () => then.call(this, event);
        return window.hold && this.objectStoreNames.contains("events") ? window.waiting.push(go) : go();
      });
    },
  });
})();"""
DONE = "document.querySelector('[data-key=done]')?.innerText"
NOTES = "document.querySelector('#notes')?.innerText"
RESTED = "new Promise((go) => setTimeout(() => go(true), 900))"


@pytest.fixture
def home(browser: Browser, shared_server: Server) -> Iterator[Home]:
    """A new kitchen."""
    home = Home(browser, shared_server)
    yield home
    home.close()


def test_done_says_that_it_was_heard_while_the_phone_writes_and_is_filed_once(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, HELD)
    tab.js("const patience = setTimeout; window.setTimeout = (f, ms) => patience(f, ms === 3000 ? 1e8 : ms)")
    tab.js("window.hold = true")
    tab.touch("[data-key=done]")
    tab.until(f"{DONE}?.startsWith('Heard')")
    for _ in range(2):
        tab.js(RESTED)
        tab.touch("[data-key=done]")
    assert tab.js(TITLE) == "Press into the oiled tray"
    tab.js("window.hold = false; window.waiting.forEach((go) => go())")
    tab.until(f"{TITLE} === 'Light the oven' && {DONE} === 'The oven is on'")
    assert steps(tab, plan) == ["mix", "press"]


def test_a_write_that_never_answers_is_told_and_what_was_said_is_held_once(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, HELD)
    tab.until("document.querySelector('#rings')")
    tab.js("window.hold = true")
    tab.touch("[data-key=done]")
    tab.until(f"{DONE}?.startsWith('Heard')")
    tab.js(RESTED)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert "does not answer" in tab.until(f"{NOTES}?.includes('What you tapped is held') && {NOTES}")
    assert steps(tab, plan) == ["mix", "press"]


# The first two lines that lie edge to edge: [which, across, where the upper one ends, where the lower one begins].
EDGE = """(() => {
  const boxes = [...document.querySelectorAll(".weigh__tick")].map((one) => one.getBoundingClientRect());
  const i = boxes.findIndex((box, n) => boxes[n + 1]?.top - box.bottom < 8);
  return [i, boxes[i].left + boxes[i].width / 2, boxes[i].bottom, boxes[i + 1].top];
})()"""


def at_the_edge(tab: Tab, plan: Plan) -> tuple[list[str], float, float, float]:
    """Both lines, and where they meet; the page has come to rest."""
    tab.where(".weigh__row:last-child .weigh__tick")
    tab.until(ARMED)
    i, x, upper, lower = tab.js(EDGE)
    return [f"{line.part}/{line.key}" for line in plan.lines[i : i + 2]], x, upper, lower


@pytest.mark.parametrize("inside", [8, 14, 20])
def test_two_lines_tapped_near_the_edge_between_them_are_both_ticked(home: Home, inside: int) -> None:
    """Less than 48 pixels apart, and within the rest of the tap before."""
    plan = home.bake(at(7, 16))
    tab = home.open(plan)
    lines, x, upper, lower = at_the_edge(tab, plan)
    assert 16 <= lower - upper + 2 * inside < 48
    tab.tap((x, upper - inside))
    tab.tap((x, lower + inside))
    tab.until("document.querySelectorAll('.weigh__row--in').length === 2")
    settled(tab)
    assert [row["data"]["line"] for row in journal(tab, plan, "weighed")] == lines


def test_a_finger_that_trembles_over_the_edge_of_two_lines_ticks_one(home: Home) -> None:
    plan = home.bake(at(7, 16))
    tab = home.open(plan)
    lines, x, upper, lower = at_the_edge(tab, plan)
    began = time.time()
    for n in range(4):  # ten hits a second, however busy the machine
        tab.tap((x, lower + 2 if n % 2 else upper - 2), began + 0.1 * n)
    tab.until("document.querySelector('.weigh__row--in')")
    settled(tab)
    assert [row["data"]["line"] for row in journal(tab, plan, "weighed")] == lines[:1]


OVER = """(() => {
  scrollTo(0, document.documentElement.scrollHeight);
  const box = document.querySelector("[data-key=server-clock]").getBoundingClientRect();
  const bar = document.querySelector("#alarm").getBoundingClientRect();
  const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return box.bottom <= bar.top && Boolean(at?.closest("[data-key=server-clock]"));
})()"""


@pytest.mark.parametrize("size", [(390, 844), (320, 568)])
def test_the_last_note_can_be_scrolled_out_from_under_the_bar_of_what_rings(home: Home, size: tuple[int, int]) -> None:
    plan = home.bake(at(18, 56), title="Here")
    for n in range(3):
        other = replace(plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)), title=f"Another one, number {n}")
        home.server.bake(home.kitchen_id, other)
    tab = home.open(plan, "window.ahead = 3600;", size)
    tab.until("document.querySelectorAll('.alarm__other').length === 2 && document.querySelector('.alarm__others')")
    tab.until("document.querySelector('[data-key=server-clock]')")
    tab.until(OVER)
    tab.touch("[data-key=server-clock]")
    tab.until(f"{NOTES}?.includes('go by the server')")
