"""What a page costs over the wire and on the server: run by hand, `python -m e2e.bench_pages`.

Home page and bake page as a browser that has nothing yet asks for them, with no worker: requests and bytes of bodies as
they travel. The week beside a plain page (`/more`) of the same kitchen: processor time of the server's own process,
rounds alternate and the median round counts; the first of the week plans it, the next ones find it remembered.
"""

from __future__ import annotations

import secrets
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from e2e.server import Server, plan_at
from tests.samples import at
from tests.up import BROWSERS, on_path
from webapp.machine.settings import Settings
from webapp.web.app import create_app

ROUNDS = 9


def over_the_wire(browser: Browser, server: Server, key: str, path: str) -> tuple[int, int, int]:
    """Requests, bytes of their bodies, nodes of the page."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, service_workers="block")
    context.add_cookies([{"name": "suppertide", "value": key, "url": server.url}])
    page = context.new_page()
    sizes: list[int] = []
    page.on("requestfinished", lambda request: sizes.append(request.sizes()["responseBodySize"]))
    page.goto(f"{server.url}{path}", wait_until="networkidle")
    nodes = int(page.evaluate("document.querySelectorAll('*').length"))
    context.close()
    return len(sizes), sum(sizes), nodes


def milliseconds(job: Callable[[], object]) -> float:
    """Processor time of this process."""
    begun = time.process_time()
    job()
    return (time.process_time() - begun) * 1000


def the_week(folder: Path, key: str) -> None:
    """Print the week beside a plain page."""
    weeks, again, plain = [], [], []
    for _ in range(ROUNDS):
        client = create_app(Settings(data=folder)).test_client()
        client.set_cookie("suppertide", key)
        client.get("/more")
        plain.append(statistics.median(milliseconds(lambda c=client: c.get("/more")) for _ in range(9)))  # type: ignore[misc]
        weeks.append(milliseconds(lambda c=client: c.get("/week")))  # type: ignore[misc]
        again.append(milliseconds(lambda c=client: c.get("/week")))  # type: ignore[misc]
    page = statistics.median(plain)
    for name, times in (("first", weeks), ("again", again)):
        taken = statistics.median(times)
        print(f"/week {name}: {taken:.1f} ms of the processor, {taken / page:.0f} times a plain page ({page:.2f} ms)")


def main() -> None:
    """Measure and print."""
    server = Server(Path(tempfile.mkdtemp())).start()
    try:
        key = secrets.token_urlsafe(32)
        plan = server.bake(server.kitchen(key), plan_at(at(12), bake_id=secrets.token_urlsafe(16)))
        with sync_playwright() as play:
            browser = play.chromium.launch(executable_path=on_path(BROWSERS), args=["--no-sandbox", "--disable-quic"])
            pages = (
                ("a stranger’s home page", "/", ""),
                ("home page", "/", key),
                ("bake", f"/bakes/{plan.bake_id}", key),
            )
            for name, path, who in pages:
                requests, size, nodes = over_the_wire(browser, server, who or secrets.token_urlsafe(32), path)
                print(f"{name}: {size:,} B in {requests} requests, {nodes} nodes")
            browser.close()
    finally:
        server.kill()
    the_week(server.data, key)


if __name__ == "__main__":
    main()
