"""The app at an hour that is set, for tests of what differs by the hour: in a thread, answering real requests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from threading import Thread
from unittest.mock import patch
from zoneinfo import ZoneInfo

from playwright.sync_api import Browser, BrowserContext
from werkzeug.serving import make_server

from e2e.conftest import PHONE
from e2e.server import Server
from webapp.machine.settings import Settings
from webapp.web.app import create_app

ZONE = "Europe/London"


def on(hour: str) -> int:
    """That hour in London, as "2026-11-25T07:35"."""
    return int(datetime.fromisoformat(hour).replace(tzinfo=ZoneInfo(ZONE)).timestamp())


@dataclass
class Still(Server):
    """A server whose clock stands until it is set."""

    now: int = 0


@contextmanager
def still(data: Path, now: int) -> Iterator[Still]:
    """One of its own, on a machine in London."""
    server = Still(data, now=now)
    app = create_app(Settings(data=data), now=lambda: server.now)
    http = make_server("127.0.0.1", 0, app, threaded=True)
    server.port = http.server_port
    thread = Thread(target=http.serve_forever, daemon=True)
    asked = (f"webapp.{where}.zone_here" for where in ("commands.demo", "kitchens.bakes"))
    with patch(next(asked), lambda: ZONE), patch(next(asked), lambda: ZONE):
        thread.start()
        yield server
        http.shutdown()
        thread.join()
        http.server_close()


def phone_at(browser: Browser, server: Still, **options: object) -> BrowserContext:
    """A browser whose clock is that of the server, and which remembers no folds that stood open last."""
    usual = {"viewport": PHONE, "timezone_id": ZONE, "service_workers": "block", "reduced_motion": "reduce"}
    context = browser.new_context(**(usual | options))  # type: ignore[arg-type]
    context.add_init_script("if (location.protocol !== 'about:') localStorage.removeItem('stood')")
    context.clock.set_fixed_time(server.now)
    return context
