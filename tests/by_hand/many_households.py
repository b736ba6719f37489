"""A server with a hundred thousand households beside one with a single one: what each costs. Run by hand.

    python -m tests.by_hand.many_households [HOUSEHOLDS [postgresql]]

The households are written straight into the store's tables, each with two phones, a feed, a calendar, a message that
waits, a picked plan of this week and five lines of journal: copies of one that the app itself made. Then the same
questions go to both servers in turn (home page, bake, what a phone sends and fetches, the feed), and what works while
nobody asks does its rounds in each. Prints medians, the slowest of twenty, and the ratio of the medians: nothing should
cost more because there are many.
"""

from __future__ import annotations

import itertools
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import Connection, Table, insert, select

from tests.databases import new_postgres
from tests.home import Home
from tests.postgres_server import PostgresServer
from tests.samples import sample_plan
from webapp.kitchens.access import hash_of
from webapp.machine.settings import Settings
from webapp.reminders.push.sending import lay_out
from webapp.store.push import DueRow, SubscriptionRow
from webapp.store.schema.tables import TABLES
from webapp.store.store import Store
from webapp.web.app import create_app

HOUSEHOLDS, LINES, ROUNDS = 100_000, 5, 20
_AT_ONCE = 500
_NOW = 1_795_600_000
SAME = {"Sec-Fetch-Site": "same-origin"}
_IDS = ("kitchen_id", "bake_id", "phone_id", "subscription_id")


def first_household(folder: Path) -> Store:
    """Made as the app makes one; its phone's key is "key-0"."""
    home = Home(folder)
    home.store.add_phone(home.kitchen_id, "phone-2", hash_of("key-0"), "Phone 2", home.now)
    plan = home.plan()
    for number in range(LINES):
        home.did(plan, "note", plan.rise.mixed_at + number, text="It rises.")
    store, kitchen_id = home.store, home.kitchen_id
    store.put_feed(kitchen_id, hash_of("feed-0"), "sealed", home.now)
    store.put_account(kitchen_id, "https://dav.example/", "Home", "sealed", "", home.now)
    (account,) = store.accounts_to_sync(_NOW)
    version = store.calendar_versions(kitchen_id).now
    store.account_is_good(account, version, home.now)
    store.put_subscription(SubscriptionRow("sub", kitchen_id, "phone-2", "https://push.example/", "p", "a"), home.now)
    store.set_due(kitchen_id, [DueRow("sub", "mix", _NOW + 86_400, _NOW + 90_000, "{}")], version)
    return store


def another(row: dict[str, Any], number: int) -> dict[str, Any]:
    """The same row of household `number`."""
    mine = {name: f"{number:06d}{row[name]}" for name in _IDS if name in row}
    if "key_hash" in row:
        word = "feed" if "sealed_key" in row else f"key-{row['phone_id']}"
        mine["key_hash"] = hash_of(f"{word}-{number}")
    if "endpoint" in row:
        mine["endpoint"] = f"{row['endpoint']}{number}"
    text = {name: value.replace("b" * 22, f"{number:06d}{'b' * 22}") for name, value in row.items() if _holds(value)}
    return row | text | mine


def _holds(value: object) -> bool:
    return isinstance(value, str) and "b" * 22 in value


def fill(store: Store, households: int) -> None:
    """Copies of the one that is there."""
    with store.transaction() as db:
        there = {one: [dict(row) for row in db.execute(select(one)).mappings()] for one in TABLES.sorted_tables}
        numbers = iter(range(1, households))
        while part := list(itertools.islice(numbers, _AT_ONCE)):
            for table, rows in there.items():
                _put(db, table, [another(row, number) for number in part for row in rows])


def _put(db: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    if rows and table.name not in ("claims", "left_calendars"):
        db.execute(insert(table), rows)


def questions(client: FlaskClient, bake_id: str) -> dict[str, Callable[[], object]]:
    """What a phone of the first household asks."""
    numbers = itertools.count(1)

    def line() -> object:
        one = {"event_id": f"{next(numbers):032x}", "bake_id": bake_id, "at": 1795591800, "logged_at": 1795591800,
               "phone": "phone-2", "kind": "note", "data": {"text": "Springs back."}, "revision": 1}  # fmt: skip
        answer = client.post(f"/api/bakes/{bake_id}/events", json={"events": [one]}, headers=SAME)
        assert answer.status_code == 200, answer.text
        return answer

    def page(path: str) -> Callable[[], object]:
        def ask() -> object:
            answer = client.get(path)
            assert answer.status_code == 200, (path, answer.status_code)
            return answer

        return ask

    return {
        "home page": page("/"), "bake": page(f"/bakes/{bake_id}"), "book": page("/book"),
        "a line of the journal": line, "the journal fetched": page(f"/api/bakes/{bake_id}/events"),
        "feed": page("/feed/feed-0.ics"),
    }  # fmt: skip


def rounds_of_the_background(store: Store) -> dict[str, Callable[[], object]]:
    """What is asked all day while nobody does anything."""
    now = _NOW
    return {
        "background: messages to make": lambda: lay_out(store, now),
        "background: messages due": lambda: store.rings_due(now),
        "background: next message": store.next_due,
        "background: calendars to write": lambda: store.accounts_to_sync(now),
        "background: calendars to look at": lambda: store.accounts_to_look_at(now),
        "background: busy calendars to fetch": lambda: store.busy_to_fetch(now, now),
        "background: left calendars": lambda: store.left_to_try(now),
        "background: daily sweep": lambda: store.sweep(1),
    }


def asked(folder: Path, where: Path | str, bake_id: str) -> dict[str, Callable[[], object]]:
    settings = Settings(data=folder, database_server=where if isinstance(where, str) else "")
    app = create_app(settings)
    app.extensions["suppertide-limits"].enabled = False
    client = app.test_client()
    client.set_cookie("suppertide", "key-0")
    return questions(client, bake_id) | rounds_of_the_background(Store(where))


def seconds(job: Callable[[], object]) -> float:
    begun = time.perf_counter()
    job()
    return time.perf_counter() - begun


def databases(stack: ExitStack, on_postgres: bool) -> Iterator[tuple[Path, Path | str]]:
    """Two data folders, and where what is kept in each lies."""
    server = PostgresServer(durable=True) if on_postgres else None
    if server:
        stack.callback(server.close)
        server.start()
    while True:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        yield folder, new_postgres(server.address) if server else folder / "suppertide.sqlite3"


def main() -> None:
    """Measure and print."""
    households = int(sys.argv[1]) if len(sys.argv) > 1 else HOUSEHOLDS
    with ExitStack() as stack:
        places = databases(stack, "postgresql" in sys.argv)
        (few_folder, few), (many_folder, many) = next(places), next(places)
        for where in (few, many):
            with tempfile.TemporaryDirectory() as name:
                begun = first_household(Path(name))
                _carry(begun, Store(where))
        begun_s = time.perf_counter()
        fill(Store(many), households)
        print(f"{households:,} households written in {time.perf_counter() - begun_s:.0f} s")
        bake_id = sample_plan().bake_id
        alone, among = asked(few_folder, few, bake_id), asked(many_folder, many, bake_id)
        print(f"{'':38} alone ms   among {households:,}: ms (slowest)   ratio")
        for name in alone:
            took: tuple[list[float], list[float]] = ([], [])
            for _ in range(ROUNDS):
                for times, jobs in zip(took, (alone, among), strict=True):
                    times.append(seconds(jobs[name]) * 1000)
            one, other = (statistics.median(times) for times in took)
            print(f"{name:38} {one:8.2f} {other:12.2f} ({max(took[1]):8.2f}) {other / one:12.2f}", flush=True)


def _carry(begun: Store, to: Store) -> None:
    with begun.reading() as old, to.transaction() as new:
        for table in TABLES.sorted_tables:
            _put(new, table, [dict(row) for row in old.execute(select(table)).mappings()])
    begun.close()


if __name__ == "__main__":
    main()
