"""How much the home page says before anything is scrolled, in every state it can be in, at an hour that is set.

The pages are asked of an app in this process, whose clock a test sets; a browser only lays them out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Route, ViewportSize, expect

from e2e.test_home import WORDS
from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.seen import fields_of
from webapp.machine.settings import Settings
from webapp.web.app import create_app

MOST = 78  # words, beside the 80 that a person is to read at most
TOMORROW, LATER = "2026-11-26T19:30", "2026-11-27T19:30"
PLACES = (
    """() => ["h1", ".day svg", ".take"].map((one) => document.querySelector(one).getBoundingClientRect().toJSON())"""
)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def real(tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> InKitchen:
    """A phone before the planner itself, of somebody who has never been here: ten to seven on a Wednesday."""
    monkeypatch.setattr("webapp.kitchens.bakes.zone_here", lambda: "Europe/London")
    return InKitchen(create_app(Settings(data=tmp_path), now=clock).test_client())


@pytest.fixture
def pages(browser: Browser, real: InKitchen) -> Iterator[Page]:
    """A page of a phone whose every request that app answers."""
    context = browser.new_context(service_workers="block", timezone_id="Europe/London")

    def answered(route: Route) -> None:
        parts = urlsplit(route.request.url)
        answer = real.get(f"{parts.path}?{parts.query}")
        route.fulfill(status=answer.status_code, headers=dict(answer.headers), body=answer.data)

    context.route("**/*", answered)
    yield context.new_page()
    context.close()


def takes(real: InKitchen, asked: str) -> str:
    """Take the first day of that supper; the id of the bake."""
    form = re.search(r'<form class="take".*?</form>', real.get(f"/?{asked}").text, re.DOTALL)
    assert form
    return str(real.posts("/take", fields_of(form[0])).headers["Location"]).rsplit("/", 1)[1]


def is_done_before(real: InKitchen, bake_id: str, kind: str) -> int:
    """All that comes before the first step of this kind is done as planned; when that step begins."""
    bundle = real.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle
    for step in bundle["plan"]["steps"]:
        if step["kind"] == kind:
            return int(step["start"])
        told = event(bake_id, "done", step_id=step["step_id"])
        real.sends(bake_id, told | {"at": step["end"], "logged_at": step["end"]})
    raise AssertionError(f"no step of the kind {kind}")


def nobody_was_here(real: InKitchen, clock: Clock) -> None:
    """Before the day: it fits as it is guessed."""


def too_late_to_mix(real: InKitchen, clock: Clock) -> None:
    clock.now = at(11, 18)


def too_late_for_any(real: InKitchen, clock: Clock) -> None:
    clock.now = at(17, 50)


def a_bake_tomorrow(real: InKitchen, clock: Clock) -> None:
    takes(real, f"supper={LATER}")


def a_bake_and_not_as_asked(real: InKitchen, clock: Clock) -> None:
    takes(real, f"supper={TOMORROW}")
    clock.now = at(11, 18)


def a_fridge_that_nobody_ticked(real: InKitchen, clock: Clock) -> None:
    clock.now = is_done_before(real, takes(real, f"supper={TOMORROW}&method_key=cold"), "chill") + 7 * 3600


def a_dough_to_throw_away(real: InKitchen, clock: Clock) -> None:
    bake_id = takes(real, f"supper={LATER}&formula_key=milk-round")
    is_done_before(real, bake_id, "press")
    clock.now = is_done_before(real, bake_id, "temper") + 4 * 3600


ALONE = (nobody_was_here, too_late_to_mix, too_late_for_any)
BESIDE = {
    a_bake_tomorrow: "supper",
    a_bake_and_not_as_asked: "supper tomorrow 19:30",
    a_fridge_that_nobody_ticked: "Has it been in the fridge since",
    a_dough_to_throw_away: "Not to be eaten",
}


def opened(real: InKitchen, clock: Clock, pages: Page, state: object, size: ViewportSize) -> None:
    """Home, on a phone of that size, in that state."""
    assert callable(state)
    state(real, clock)
    pages.set_viewport_size(size)
    pages.goto("http://kitchen.test/")


@pytest.mark.parametrize("state", [*ALONE, *BESIDE])
def test_the_first_screen_says_no_more_than_can_be_taken_in(
    real: InKitchen, clock: Clock, pages: Page, state: object
) -> None:
    opened(real, clock, pages, state, {"width": 390, "height": 844})
    said = pages.evaluate(WORDS)
    assert len(said) <= MOST, " ".join(said)
    head, picture, take = pages.evaluate(PLACES)
    assert head["top"] >= 0
    assert picture["bottom"] <= take["top"]


@pytest.mark.parametrize("state", list(BESIDE))
def test_beside_a_bake_on_the_go_a_small_phone_still_shows_the_picture_of_the_day(
    real: InKitchen, clock: Clock, pages: Page, state: object
) -> None:
    opened(real, clock, pages, state, {"width": 320, "height": 640})
    assert BESIDE[state] in pages.locator(".going").inner_text().replace("\u00a0", " ")  # type: ignore[index]
    _, picture, take = pages.evaluate(PLACES)
    assert picture["bottom"] <= take["top"]
    assert pages.evaluate("document.documentElement.scrollWidth") == 320
    # Hour by hour it is a tap away.
    pages.locator(".day summary").click()
    expect(pages.locator(".day__lines dd").first).to_be_visible()
