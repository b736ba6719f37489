"""The pictures of README: `python -m e2e.pictures` makes them anew in e2e/pictures/, each under 60 kB."""

from __future__ import annotations

import secrets
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from e2e import browsers
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at

FOLDER = Path(__file__).parent / "pictures"
MOST_BYTES = 60_000
PHONE = {"width": 390, "height": 844}


def main() -> None:
    """A workday's answer as a newcomer sees it, and the kitchen while the dough waits."""
    FOLDER.mkdir(exist_ok=True)
    server = Server(Path(tempfile.mkdtemp())).start()
    try:
        with sync_playwright() as play:
            browser = browsers.shell(play)
            page = browser.new_context(viewport=PHONE, service_workers="block", timezone_id="UTC").new_page()  # type: ignore[arg-type]
            days = (datetime.now(UTC) + timedelta(days=n) for n in range(1, 4))
            workday = next(day for day in days if day.weekday() < 5)
            page.goto(f"{server.url}/?supper={workday:%Y-%m-%d}T19:30")
            expect(page.get_by_role("button", name="Take this day")).to_be_visible()
            keep(page, "home.jpg")
            key = secrets.token_urlsafe(32)
            kitchen_id, plan = server.kitchen(key), plan_at(at(16, 46))
            was_done(server, kitchen_id, server.bake(kitchen_id, plan), ("mix",))
            page.context.add_cookies([{"name": "suppertide", "value": key, "url": server.url}])
            page.goto(f"{server.url}/kitchen#{plan.bake_id}")
            expect(page.locator("#rings")).to_be_attached(timeout=30_000)
            keep(page, "kitchen.jpg")
            browser.close()
    finally:
        server.kill()


def keep(page: Page, name: str) -> None:
    """What the phone shows, as fine as so many bytes hold it."""
    page.evaluate("scrollTo(0, 0)")
    tries = (page.screenshot(type="jpeg", quality=quality) for quality in range(90, 40, -5))
    picture = next(one for one in tries if len(one) < MOST_BYTES)
    (FOLDER / name).write_bytes(picture)
    print(f"{name}: {len(picture)} bytes")


if __name__ == "__main__":
    main()
