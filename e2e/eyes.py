"""What a person's eye and thumb would notice, measured in the page by eyes.js: sizes, contrast, what sticks out."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page

_EYES = (Path(__file__).parent / "eyes.js").read_text(encoding="utf-8")


def _see(page: Page, what: str, *given: float) -> list[str]:
    return list(page.evaluate(f"(given) => ({_EYES.strip()}).{what}(...given)", list(given)))


def too_small(page: Page, least: float = 18) -> list[str]:
    """Texts under `least` CSS pixels, as they appear."""
    return _see(page, "tooSmall", least)


def too_thin(page: Page) -> list[str]:
    """Things to tap that are under 48 pixels in either direction."""
    return _see(page, "tooThin")


def too_faint(page: Page) -> list[str]:
    """Texts whose contrast is under the least of WCAG 2.2 AA."""
    return _see(page, "tooFaint")


def sticking_out(page: Page) -> list[str]:
    """What makes the page scroll sideways; empty when it does not."""
    return _see(page, "sideways")


def paper_pages(pdf: bytes) -> int:
    """How many pages a PDF has."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


def look(page: Page) -> dict[str, list[str]]:
    """Everything that is wrong with how this page looks now."""
    found = {"sideways": sticking_out(page), "small": too_small(page), "thin": too_thin(page), "faint": too_faint(page)}
    return {what: wrong for what, wrong in found.items() if wrong}
