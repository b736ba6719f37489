"""Every page by hand: `python -m e2e.by_hand.pages FOLDER [WIDTHxHEIGHT] [light|dark] [TEXT %] [part of an address]`.

Prints of each page how high it is, in screens too, its bytes compressed as they travel (page alone), how wide it is
when it scrolls sideways, and puts a picture of all of it into FOLDER. Ends with 1 when a page is over three screens.
"""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from e2e import browsers
from e2e.every_page import addresses, enter
from e2e.server import Server

MEASURE = "[document.documentElement.scrollHeight, document.documentElement.scrollWidth]"


def main() -> None:
    """Every page once, or those whose address holds the given part."""
    folder, size, scheme, text, part = [*sys.argv[1:], *["", "390x844", "light", "100", ""][len(sys.argv) - 1 :]]
    width, height = map(int, size.split("x"))
    server = Server(Path(tempfile.mkdtemp())).start()
    try:
        with sync_playwright() as play:
            browser = browsers.shell(play)
            context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme,  # type: ignore[arg-type]
                                          service_workers="block")  # fmt: skip
            page = context.new_page()
            enter(page, server)
            high = [look(page, server, path, Path(folder), text) for path in addresses(page, server) if part in path]
            browser.close()
    finally:
        server.kill()
    sys.exit(1 if max(high) > 3 * height else 0)


def look(page: Page, server: Server, path: str, folder: Path, text: str) -> int:
    """The height of one page, CSS pixels; its line is printed and its picture taken."""
    page.goto("about:blank")
    answer = page.goto(server.url + path)
    page.wait_for_load_state("networkidle")
    if text != "100":
        page.evaluate(f"document.documentElement.style.fontSize = '{112.5 * float(text) / 100}%'")
    high, wide = page.evaluate(MEASURE)
    view = page.viewport_size or {"width": 0, "height": 1}
    sent = answer.request.sizes()["responseBodySize"] if answer else 0
    aside = f"  SIDEWAYS {wide}" if wide > view["width"] else ""
    print(f"{path:60} {high:6} px {high / view['height']:4.1f} screens {sent:7} bytes{aside}", flush=True)
    name = re.sub(r"[^a-z0-9]+", "-", path.lower()).strip("-") or "home"
    page.screenshot(path=folder / f"{name[:40]}-{view['width']}.png", full_page=True)
    return int(high)


if __name__ == "__main__":
    main()
