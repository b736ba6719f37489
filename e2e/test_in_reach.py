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

pytestmark = pytest.mark.without_worker

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
        phone.reload()
        expect(page.locator("[data-key=done]")).to_be_visible()
        if "load" not in done:
            expect(page.locator(".alarm")).to_have_count(0 if moment == at(12) else 1)
        # Whose oven has died looks nowhere else.
        oven = ["[data-key=noOven]"] if size == HELD and moment != at(12) else []
        in_sight(page, size["height"], WANTED[size["height"]] + oven)


LINES = """(selector) => {
  const range = document.createRange();
  const words = document.createTreeWalker(document.querySelector(selector), NodeFilter.SHOW_TEXT);
  range.selectNodeContents(words.nextNode());
  return new Set([...range.getClientRects()].map((box) => Math.round(box.bottom))).size;
}"""


def test_on_the_smallest_phone_what_rings_is_a_line_beside_its_button(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server, viewport={"width": 320, "height": 640})
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.open(plan.bake_id)
    expect(page.locator(".alarm")).to_contain_text("It is time")
    assert page.evaluate(LINES, ".alarm > strong") == 1
    assert page.evaluate(LINES, ".alarm .button") == 1


def in_sight(page: Page, height: int, selectors: list[str]) -> None:
    """Everything wanted lies between the top and the rail, or the foot where the rail is at the side.

    And what is read is not covered: where the dock lies over the page, it ends above the dock.
    """
    rail, alarm, dock, *boxes = page.evaluate(BOXES, [".rail", "#alarm", ".dock", *selectors])
    foot = rail[0] if rail[0] > height / 2 else height
    over = min((box[0] for box in (alarm, dock) if box and box[1] > box[0]), default=foot)
    for selector, box in zip(selectors, boxes, strict=True):
        assert box, selector
        in_the_dock = selector == "[data-key=done]" or page.viewport_size == ON_ITS_SIDE
        assert 0 <= box[0] <= box[1] <= (foot if in_the_dock else over), selector


@pytest.mark.parametrize(
    ("size", "selectors"),
    [
        (HELD, ["#now-title", ".oven__dial", ".now__text", "[data-key=done]"]),
        ({"width": 320, "height": 640}, ["#now-title", "[data-key=done]"]),
    ],
    ids=["390", "320"],
)
def test_the_button_is_in_sight_while_another_bake_of_the_same_name_rings_too(
    shared_server: Server, new_phone: NewPhone, size: dict[str, int], selectors: list[str]
) -> None:
    phone = new_phone(shared_server, viewport=size)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(18, 11), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix", "press"))
    other = shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, other, ("mix",))
    page = phone.open(plan.bake_id)
    expect(page.locator(".alarm__other")).to_be_visible()
    expect(page.locator(".tools")).to_be_visible()
    assert page.locator("#now-title").inner_text() == "Light the oven"
    in_sight(page, size["height"], selectors)
    page.locator("#rings").scroll_into_view_if_needed()
    in_sight(page, size["height"], ["[data-key=done]"])


@pytest.mark.parametrize("size", [HELD, {"width": 320, "height": 640}], ids=["390", "320"])
@pytest.mark.parametrize(("moment", "done"), [(at(7, 16), ()), (at(16, 46), ("mix",)), (at(18, 11), ("mix", "press"))])
def test_at_twice_the_text_nothing_is_cut_and_the_button_is_in_sight(
    shared_server: Server, new_phone: NewPhone, size: dict[str, int], moment: int, done: tuple[str, ...]
) -> None:
    """WCAG 2.2, 1.4.4: text up to 200 per cent without loss. Here the text is 18 px at its usual size."""
    phone = new_phone(shared_server, viewport=size)
    plan = shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, done)
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.evaluate("document.documentElement.style.fontSize = '36px'")
    assert page.evaluate("document.documentElement.scrollWidth") == size["width"]
    assert page.evaluate(CUT) == []
    in_sight(page, size["height"], ["[data-key=done]"])


CUT = """() => [...document.querySelectorAll("#screen button, #screen dd, #screen p, #now-title")]
  .filter((node) => node.offsetParent && node.scrollWidth > node.clientWidth + 1).map((node) => node.innerText)"""
