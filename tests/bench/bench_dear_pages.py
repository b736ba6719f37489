"""The dearest pages that a person can ask for: a whole answer of home and of the week, where it may take long.

Run by hand:  python -m tests.bench.bench_dear_pages
Kitchens at four warmths whose people are always at home, with the shipped methods alone and with as many of their own
as a kitchen may have, of twelve steps each; up to six trays, one at a time; suppers to thirteen days ahead.
Processor time of this process, each page by nobody asked before, beside a plain page of the same kitchen.
"""

from __future__ import annotations

import itertools
import re
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from flask.testing import FlaskClient

from webapp.core.formula.method import MOST_STEPS, Method, MethodStep
from webapp.core.kitchen import DayHours, Kitchen, PartOfDay, Person
from webapp.data.doughs import methods
from webapp.doughs.own import save
from webapp.doughs.own_kinds import METHODS
from webapp.kitchens.access import hash_of
from webapp.machine.settings import Settings
from webapp.records import to_plain
from webapp.web.app import create_app
from webapp.web.door import World, random_id

PLAIN = "/more"
HOME = DayHours(8 * 60, 23 * 60)
NOW = 1_795_590_000  # a Wednesday morning of November 2026, a line of the grid
ROOMS_C = (18.0, 27.0, 33.0, 40.0)
DAYS = (1, 2, 5, 13)
ASKED = (
    "pan-oven-tray=1",
    "pan-oven-tray=6&at_once=1",
    "pan-oven-tray=6&at_once=6",
    "pan-oven-tray=2&formula_key=milk-round",
)
SAME = {"Sec-Fetch-Site": "same-origin"}
SHOWN = 5


class Cost(NamedTuple):
    """One answer."""

    ms: float
    path: str


def own_methods(count: int) -> Iterator[Method]:
    """Shipped ones with folds between, as many as one may have, each with waits of its own."""
    shipped = itertools.cycle(one for one in methods().values() if not one.has_preferment)
    for number, one in zip(range(count), shipped, strict=False):
        first, *rest = one.steps
        folds = (MethodStep("fold", 5, 15 + number, 25 + number, 45 + number, optional=True),) * (
            MOST_STEPS - len(one.steps)
        )
        yield Method(f"own-{number}", f"Own {number}", (first, *folds, *rest), through_night=one.through_night)


@contextmanager
def a_kitchen(room_c: float, own: int) -> Iterator[FlaskClient]:
    """A phone in a kitchen as warm as that, with so many methods of its own."""
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(data=Path(folder)), now=lambda: NOW)
        app.extensions["suppertide-limits"].enabled = False
        client = app.test_client()
        token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', client.get("/join").text)
        assert token
        client.post("/settings/zone", data={"csrf_token": token[1], "zone": "Europe/London"}, headers=SAME)
        world: World = app.extensions["suppertide"]
        cookie = client.get_cookie("suppertide")
        assert cookie
        guest = world.store.guest(hash_of(cookie.value))
        assert guest
        kitchen = Kitchen(room=(PartOfDay(0, room_c),), people=(Person("Me", (HOME,) * 7),))
        world.store.save_settings(
            guest.kitchen_id, to_plain(replace(kitchen, oven=replace(kitchen.oven, trays_at_once=1)))
        )
        for one in own_methods(own):
            save(world.store, NOW, random_id, guest.kitchen_id, METHODS, one)
        yield client
        world.store.close()


def cost(client: FlaskClient, path: str) -> Cost:
    """Of one answer."""
    begun = time.process_time()
    answer = client.get(path)
    took = (time.process_time() - begun) * 1000
    assert answer.status_code == 200, f"{answer.status_code} {path}"
    return Cost(took, path)


def paths(room_c: float) -> Iterator[str]:
    """Addresses that may be dear: a room that was read and another hour than the usual are each compared with; half of
    a dough for another evening has hours of its own."""
    for day, asked in itertools.product(DAYS, ASKED):
        supper = time.strftime("%Y-%m-%d", time.gmtime(NOW + day * 86400))
        yield from (f"/?supper={supper}T{hour}&{asked}" for hour in ("19:30", "04:00"))
        yield f"/?supper={supper}T21:00&{asked}&room={room_c + 3:.0f}"
        yield f"/?supper={supper}T21:00&{asked}&kept_for=2"
    yield "/week"


def main() -> None:
    """Print the dearest of each kitchen."""
    for room_c, own in itertools.product(ROOMS_C, (0, METHODS.most)):
        with a_kitchen(room_c, own) as client:
            client.get(PLAIN)
            plain = statistics.median(cost(client, PLAIN).ms for _ in range(9))
            found = sorted((cost(client, path) for path in paths(room_c)), reverse=True)
        print(f"{room_c:.0f} C, {own} methods of its own; a plain page is {plain:.2f} ms")
        for one in found[:SHOWN]:
            print(f"  {one.ms:6.0f} ms {one.ms / plain:6.0f} times  {one.path}")


if __name__ == "__main__":
    main()
