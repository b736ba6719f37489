"""Writing a formula down: grams and percent stand beside each other, another unit converts all that is typed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.server import Server

pytestmark = pytest.mark.without_worker

WEIGHED = {"0-name": "Flour", "0-amount": "487", "1-name": "Water", "1-amount": "311.5", "2-name": "Salt",
           "2-amount": "10.7", "yeast": "0.33", "name": "Ours", "pre_flour": "160", "pre_water": "72",
           "pre_yeast": "0.16"}  # fmt: skip
NAMES = ("1-amount", "2-amount", "yeast", "pre_flour", "pre_water", "pre_yeast")


def amounts(page: Page) -> list[str]:
    return [page.locator(f"[name='{name}']").input_value() for name in NAMES]


def unfold(page: Page) -> None:
    """Every row and part of the sheet."""
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")


def beside(page: Page, name: str) -> str:
    return page.locator(".field", has=page.locator(f"[name='{name}']")).locator("output").inner_text()


def test_grams_fill_percent_and_percent_fills_grams(shared_server: Server, new_phone: Callable[..., Phone]) -> None:
    page = new_phone(shared_server).page
    broken: list[str] = []
    page.on("pageerror", lambda error: broken.append(str(error)))
    page.goto(f"{shared_server.url}/larder/new")
    unfold(page)
    page.locator("[name=pre_style]").select_option("biga")
    for name, value in WEIGHED.items():
        page.locator(f"[name='{name}']").fill(value)
    assert beside(page, "1-amount") == "= 63.96 % of the flour"  # 311.5 / 487
    page.locator("[name=unit]").select_option("percent")
    # 311.5 / 487, 10.7 / 487, 0.33 / 487 and 160 / 487; 72 / 160 and 0.16 / 160 of the preferment's own flour.
    assert amounts(page) == ["63.963", "2.1971", "0.0678", "32.8542", "45", "0.1"]
    assert beside(page, "1-amount") == "= 311.5 g with 487 g of flour"
    page.locator("[name=unit]").select_option("oz")
    assert amounts(page)[0] == "10.9878"  # 311.5 / 28.349523125
    page.locator("[name=unit]").select_option("grams")
    assert amounts(page) == [WEIGHED[name] for name in NAMES], "there and back, nothing has drifted"
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="Ours")).to_be_visible()
    page.goto(f"{page.url}/edit")
    assert amounts(page) == [WEIGHED[name] for name in NAMES]
    assert broken == []
