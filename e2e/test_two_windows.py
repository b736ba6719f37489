"""Two windows of one phone, with real touches: what rings for both is heard once."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from e2e.home import Home
from e2e.raw import Tab
from e2e.server import Server
from e2e.test_rings import EARS, NO_CHANNEL
from tests.samples import at
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.whole_browser
HEARD = "document.querySelector('#rings')?.textContent.includes('this page beeps, ')"
DUE = "document.title.startsWith('Now: ')"
TICKS = """new Promise((go) => {
  let left = 3;
  addEventListener("kitchen-tick", () => (left -= 1) === 0 && go(true));
})"""


@pytest.fixture
def home(browser: Browser, shared_server: Server) -> Iterator[Home]:
    """A new kitchen."""
    home = Home(browser, shared_server)
    yield home
    home.close()


def two_windows(home: Home, plan: Plan, script: str = "") -> list[Tab]:
    """Their clocks show the same and stand but for `ahead`: however slow the machine, no second ring has its turn."""
    still = f"Date.now = () => {time.time_ns() // 1_000_000} + window.ahead * 1000;"
    return [home.open(plan, EARS + still + script) for _ in range(2)]


def touched(tab: Tab) -> None:
    """It can be heard from now on."""
    tab.front()
    tab.until("document.visibilityState === 'visible'")
    tab.touch("h1")
    tab.until(HEARD)


def tones(both: list[Tab]) -> list[int]:
    """What each has played, once it has seen that it is time and had three more ticks to ring."""
    for tab in both:
        tab.until(DUE)
        tab.js(TICKS)
    return [tab.js("window.tones") for tab in both]


@pytest.mark.parametrize("script", ["", NO_CHANNEL], ids=["told by the other", "told by the database alone"])
def test_of_two_windows_one_rings(home: Home, script: str) -> None:
    one, other = both = two_windows(home, home.bake(at(16, 44), "mix"), script)
    for tab in both:
        touched(tab)
    other.js("window.ahead = 90")
    other.until("window.tones === 3")
    one.js(TICKS)  # its own clock is behind: it is not time there
    one.js("window.ahead = 90")
    assert tones(both) == [0, 3]


def test_of_two_windows_one_rings_when_it_is_time_for_both_at_once(home: Home) -> None:
    both = two_windows(home, home.bake(at(16, 44), "mix"))
    for tab in both:
        touched(tab)
    from_then = both[0].js("performance.timeOrigin + performance.now() + 4000")
    for tab in both:  # at the same moment of the machine's, as on a phone
        tab.js(f"setTimeout(() => {{ window.ahead = 90; }}, {from_then} - performance.timeOrigin - performance.now())")
    assert sorted(tones(both)) == [0, 3]


def test_what_rang_in_another_window_rings_no_second_time_when_the_sound_comes_here(home: Home) -> None:
    one, other = both = two_windows(home, home.bake(at(16, 46), "mix"))
    for tab in both:
        tab.until(DUE)
    touched(one)
    one.until("window.tones === 3")
    touched(other)
    assert tones(both) == [3, 0]
