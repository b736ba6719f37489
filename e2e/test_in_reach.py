"""At 390 by 844, and on its side, what to do now and the button that says it is done are seen without scrolling."""

from __future__ import annotations

import secrets
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at

NewPhone = Callable[..., Phone]


@pytest.mark.parametrize(
    "size", [{"width": 390, "height": 844}, {"width": 844, "height": 390}], ids=["held", "on its side"]
)
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
    shared_server: Server, new_phone: NewPhone, moment: int, done: tuple[str, ...], size: dict[str, int]
) -> None:
    phone = new_phone(shared_server, viewport=size)
    plan = shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, done)
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.reload()
    expect(page.locator(".tools")).to_be_visible()
    if "load" not in done:
        expect(page.locator(".alarm")).to_have_count(0 if moment == at(12) else 1)
    covered = page.locator(".rail").bounding_box()
    assert covered
    foot = covered["y"] if covered["y"] > size["height"] / 2 else size["height"]
    wanted = (
        ("#now-title", ".now__text", "[data-key=done]")
        if size["height"] > size["width"]
        else ("#now-title", "[data-key=done]")
    )
    for selector in wanted:
        box = page.locator(selector).bounding_box()
        assert box
        assert 0 <= box["y"] <= box["y"] + box["height"] <= foot, selector
