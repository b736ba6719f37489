"""At 390 by 844, and on its side, what to do now and the button that says it is done are seen without scrolling."""

from __future__ import annotations

import secrets
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at

NewPhone = Callable[..., Phone]


# The rail at the foot (or the side) of the screen, and each of these, read in one look: a screen that is drawn again
# between two questions would answer them for two different screens.
BOXES = """(selectors) => selectors.map((selector) => {
  const box = document.querySelector(selector)?.getBoundingClientRect();
  return box ? [box.top, box.bottom] : null;
})"""
HELD, ON_ITS_SIDE = {"width": 390, "height": 844}, {"width": 844, "height": 390}
WANTED = {844: ["#now-title", ".now__text", "[data-key=done]"], 390: ["#now-title", "[data-key=done]"]}


@pytest.mark.parametrize(
    ("moment", "done"),
    [
        (at(12), ("mix",)),
        (at(16, 46), ("mix",)),
        (at(18, 11), ("mix", "press")),
        (at(18, 56), ("mix", "press", "preheat", "top")),
        (at(18, 57), ("mix", "press", "preheat", "top", "load")),
        (at(19, 10), ("mix", "press", "preheat", "top", "load", "turn-down")),
    ],
)
def test_what_to_do_and_its_button_are_in_sight_without_scrolling(
    shared_server: Server, new_phone: NewPhone, moment: int, done: tuple[str, ...]
) -> None:
    phone = new_phone(shared_server, viewport=HELD)
    plan = shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, done)
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    for size in (HELD, ON_ITS_SIDE):
        page.set_viewport_size(size)
        page.reload()
        expect(page.locator(".tools")).to_be_visible()
        expect(page.locator("[data-key=done]")).to_be_visible()
        if "load" not in done:
            expect(page.locator(".alarm")).to_have_count(0 if moment == at(12) else 1)
        in_sight(page, size["height"])


def in_sight(page: Page, height: int) -> None:
    """Everything wanted lies between the top and the rail, or the foot where the rail is at the side."""
    selectors = WANTED[height]
    rail, *boxes = page.evaluate(BOXES, [".rail", *selectors])
    foot = rail[0] if rail[0] > height / 2 else height
    for selector, box in zip(selectors, boxes, strict=True):
        assert box, selector
        assert 0 <= box[0] <= box[1] <= foot, selector
