"""What each GET and each POST costs the server, beside a plain page of the same kitchen.

Processor time of the app's own process, asked in it. A GET is asked for twice: when nothing of it is remembered, and
again; each form of every page is sent as it stands, behind its page, as a browser does: what
was worked out for the page is not worked out again. Each request comes from another address, so that no limit hides it.
"""

from __future__ import annotations

import itertools
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date, timedelta
from pathlib import Path

from flask import Flask

from tests.by_hand.form_reader import Page
from tests.by_hand.fuzz_forms import Begun, Kitchen, endpoint_of
from tests.reminders.caldav.odd_server import OddServer
from webapp.machine.settings import Settings
from webapp.web.app import create_app

PLAIN = "/more"
_ASKED = 9  # times for a median
_SHOWN = 8  # dearest of each kind


def milliseconds(job: Callable[[], object]) -> float:
    """Processor time of this process."""
    begun = time.process_time()
    job()
    return (time.process_time() - begun) * 1000


@contextmanager
def a_kitchen() -> Iterator[tuple[Flask, Settings, Kitchen]]:
    """An invented kitchen in which everything is, and which has seen all of its own pages."""
    with tempfile.TemporaryDirectory() as name, closing(_Calendar()) as calendar:
        settings = Settings(data=Path(name), local_calendars=True)
        app = create_app(settings)
        app.extensions["suppertide-limits"].enabled = False
        kitchen = Kitchen(app, settings, calendar.server)
        kitchen.walk()
        yield app, settings, kitchen


class _Calendar:
    """A calendar server for the forms that ask for one."""

    def __init__(self) -> None:
        self.server = OddServer()

    def close(self) -> None:
        self.server.stop()


def asked_for(kitchen: Kitchen) -> list[str]:
    """Addresses to ask: every page that the walk came by, each supper of the coming days, each hour of a week."""
    days = [f"{date.today() + timedelta(days=day)}T{hour}:30" for day in range(1, 5) for hour in (13, 19, 21)]
    suppers = [f"/?supper={one}" for one in days]
    weeks = [f"/week?at={hour}:00" for hour in (12, 18, 19, 21)]
    walked = {path for many in kitchen.seen.values() for path, _ in many}
    links = {link for path in walked for link in Page(kitchen.client.get(path).text).links}
    return [PLAIN, *suppers, *weeks, *sorted(walked | links)]


def ratios() -> None:
    """Print them, dearest first."""
    with a_kitchen() as (app, settings, kitchen):
        client, gets = kitchen.client, dict[str, tuple[float, float]]()
        client.get(PLAIN)
        plain = statistics.median(milliseconds(lambda: client.get(PLAIN)) for _ in range(_ASKED))
        for path in asked_for(kitchen):
            first = milliseconds(lambda path=path: client.get(path))  # type: ignore[misc]  # bound now
            again = statistics.median(milliseconds(lambda path=path: client.get(path)) for _ in range(3))  # type: ignore[misc]
            gets[path] = first, again
        print(f"a plain page ({PLAIN}): {plain:.2f} ms of the processor")
        print(f"GET, {len(gets)} addresses, times a plain page, first and again:")
        for path, (first, again) in sorted(gets.items(), key=lambda one: -max(one[1]))[:_SHOWN]:
            print(f"  {first / plain:6.1f} {again / plain:6.1f}  {path[:70]}")
        posts = _posts(app, settings, kitchen)
        print(f"POST, {len(posts)} forms as they stand, times a plain page:")
        for endpoint, cost in sorted(posts.items(), key=lambda one: -one[1])[:_SHOWN]:
            print(f"  {cost / plain:6.1f}  {endpoint}")


def _posts(app: Flask, settings: Settings, kitchen: Kitchen) -> dict[str, float]:
    """The dearest of each endpoint's forms; the kitchen is put back behind each."""
    begun, dearest = Begun(settings, kitchen), dict[str, float]()
    for path, seen in itertools.chain.from_iterable(many[:3] for many in kitchen.seen.values()):
        begun.restore(kitchen)
        page = Page(kitchen.client.get(path).text)
        form = next((one for one in page.forms if (one.action, one.buttons) == (seen.action, seen.buttons)), seen)
        button = next(iter(form.buttons), ("", ""))
        cost = milliseconds(lambda form=form, button=button: kitchen.send(form.action, form, {}, button))  # type: ignore[misc]
        endpoint = endpoint_of(app, form.action)
        dearest[endpoint] = max(cost, dearest.get(endpoint, 0.0))
    return dearest
