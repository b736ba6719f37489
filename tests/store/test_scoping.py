"""Every question of the store, asked by one kitchen about everything that another has: it sees and changes nothing.

A question that names no kitchen is listed with the reason why it need not.
"""

from __future__ import annotations

import gzip
import inspect
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from tests.databases import drop_postgres, new_postgres
from tests.samples import sample_kitchen, sample_plan
from webapp.records import to_plain
from webapp.store.base import Base
from webapp.store.engines.move import move
from webapp.store.push import DueRow
from webapp.store.schema.tables import TABLES
from webapp.store.store import Store

_FULL = Path(__file__).parent / "folders" / "numbered_scripts.sqlite3.gz"  # every table has a row
OURS, BAKE, PHONE, SUBSCRIPTION, LEFT = "k" * 22, "b" * 22, "phone-1", "sub", 1
OWN = {"kitchen_id": OURS, "bake_id": BAKE, "subscription_id": SUBSCRIPTION, "left_id": LEFT}
OURS_IN_WORDS = (OURS, BAKE, PHONE, "Mine", "sealed", "cal.example", "push.example", "1795597200", "bench-tray")
THEIRS = "theirs"

_SECRET = "asked by a secret that nobody else has"
_BACKGROUND = "asked by what works while nobody looks, for all kitchens, and shown to none"
_BY_BAKE = "asked behind `bake`, which found it in that kitchen"
_BY_PHONE = "asked with the phone that its key opened"
_BY_LEFT = "asked with the number of a calendar that `left_calendars` of a kitchen, or the background, gave"
NAME_NO_KITCHEN = {
    "guest": _SECRET, "feed": _SECRET, "join_code_opens": _SECRET, "take_join_code": _SECRET,
    "accounts_to_look_at": _BACKGROUND, "accounts_to_sync": _BACKGROUND, "account_that_wrote": _BACKGROUND,
    "kitchens_to_ring": _BACKGROUND, "kitchens_with_tests": _BACKGROUND, "left_to_try": _BACKGROUND,
    "rings_due": _BACKGROUND, "next_due": _BACKGROUND, "sweep": _BACKGROUND, "sweep_due": _BACKGROUND,
    "claim": _BACKGROUND, "release": _BACKGROUND, "add_due": _BACKGROUND, "settle": _BACKGROUND,
    "put_back": _BACKGROUND, "subscription": _BACKGROUND, "drop_subscription": _BACKGROUND,
    "revision": _BY_BAKE, "revisions": _BY_BAKE, "count_events": _BY_BAKE, "save_entries": _BY_BAKE,
    "says_as": _BY_PHONE, "saw_phone": _BY_PHONE,
    "left_calendar": _BY_LEFT, "left_events": _BY_LEFT, "drop_left_event": _BY_LEFT, "left_has_problem": _BY_LEFT,
    "forget_left_login": _BY_LEFT, "drop_left_when_out": _BY_LEFT, "drop_left": _BY_LEFT,
}  # fmt: skip
CROSSES = {
    "take_messages_along": "a phone takes its messages into the kitchen that it joins",
    "put_subscription": "an endpoint is a secret of its browser (RFC 8030, 8.3), which may have changed kitchens",
}
_OF_A_KITCHEN = ("BusyCalendar", "AccountRow", "SubscriptionRow")  # rows that name theirs


def questions() -> dict[str, Callable[..., Any]]:
    """Every method of the store, by name."""
    members = inspect.getmembers(Store, inspect.isfunction)
    return {name: one for name, one in members if not name.startswith("_") and name not in vars(Base)}


def names_a_kitchen(question: Callable[..., Any]) -> bool:
    asked = inspect.signature(question).parameters.values()
    return any(one.name == "kitchen_id" or one.annotation in _OF_A_KITCHEN for one in asked)


SCOPED = sorted(name for name, one in questions().items() if names_a_kitchen(one) and name not in CROSSES)


class Undone(Exception):  # noqa: N818  # no fault
    """Nothing of what was tried is kept."""


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """Ours has a row in every table; theirs has a kitchen, a phone and a bake. Every test leaves it so."""
    folder = tmp_path_factory.mktemp("scoping")
    full = folder / "full.sqlite3"
    full.write_bytes(gzip.decompress(_FULL.read_bytes()))
    on_file = request.param == "sqlite"
    where = folder / "s.sqlite3" if on_file else new_postgres(request.getfixturevalue("postgres_server"))
    move(full, where)
    store = Store(where)
    store.add_kitchen(THEIRS, to_plain(sample_kitchen()), 1)
    store.add_phone(THEIRS, "their-phone", "their-hash", "Theirs", 1)
    store.put_offers(THEIRS, "their-bake", {"formula_key": "theirs"}, [to_plain(sample_plan("their-bake"))], 10)
    yield store
    store.close()
    if isinstance(where, str):
        drop_postgres(where)


def known_of_ours(store: Store) -> dict[str, Any]:
    """By parameter, what somebody would name who knows all that is ours, down to every number."""
    account, posted = store.account(OURS), store.posted(OURS)[0]
    assert account
    return {
        "bake_id": BAKE, "phone_id": PHONE, "uid": posted.uid, "calendar_url": account.calendar_url, "kind": "formula",
        "key": "mine", "endpoint": "https://push.example/1", "code_hash": "c" * 64, "key_hash": "e" * 64,
        "person": 0, "since": 0, "seen_since": 0, "until": 1 << 61, "now": 1795633200, "most": 100, "service": "",
        "version": 5, "look_next": 7, "tag": "t", "name": "Taken", "login": "taken", "origin": "", "named": "Taken",
        "expires_at": 1 << 40, "sealed_key": "taken", "settings": {}, "body": {"name": "Taken"}, "wish": {},
        "offers_made": (), "plan": to_plain(sample_plan(BAKE)), "stretches": [(1, 2)], "found": "lost", "next_try": 9,
        "lines": [{"event_id": "9" * 32, "at": 1, "kind": "note"}], "problem": "taken", "refused": False,
        "rows": [DueRow(SUBSCRIPTION, "new", 1795633300, 1795636900, "taken")], "held": True, "newest_first": False,
        "to_kitchen_id": THEIRS, "new_phone_id": "their-phone", "BusyCalendar": store.busy_calendars(OURS)[0],
        "AccountRow": account, "PostedRow": posted, "SubscriptionRow": store.subscriptions(OURS)[0],
    }  # fmt: skip


def asked_by(kitchen_id: str, store: Store, name: str, known: dict[str, Any]) -> Any:
    """What that question answers to this kitchen, everything else in it being ours."""
    given = {}
    for one in inspect.signature(getattr(store, name)).parameters.values():
        value = known.get(one.annotation, known.get(one.name))
        if one.annotation in _OF_A_KITCHEN:
            value = replace(value, kitchen_id=kitchen_id)
        given[one.name] = kitchen_id if one.name == "kitchen_id" else value
        assert given[one.name] is not None, f"{name} asks for {one.name}: say what of ours that would be"
    return getattr(store, name)(**given)


def rows_of_ours(store: Store) -> list[str]:
    with store.reading() as db:
        return sorted(
            f"{table.name} {tuple(row)!r}"
            for table in TABLES.sorted_tables
            for row in db.execute(select(table))
            if any(getattr(row, name, None) == own for name, own in OWN.items())
        )


def test_a_question_that_names_no_kitchen_has_a_reason() -> None:
    assert set(questions()) - set(SCOPED) == set(NAME_NO_KITCHEN) | set(CROSSES)
    assert len(SCOPED) > 60


@pytest.mark.parametrize("name", SCOPED)
def test_a_kitchen_sees_and_changes_nothing_of_another(store: Store, name: str) -> None:
    known, before = known_of_ours(store), rows_of_ours(store)
    assert len(before) >= len(TABLES.sorted_tables) - 1, "but for claims, which are nobody's"
    answered = ""
    with suppress(Undone, IntegrityError, LookupError), store.transaction():  # refused: it is another's
        answered = repr(asked_by(THEIRS, store, name, known))
        assert rows_of_ours(store) == before
        raise Undone
    assert not any(word in answered for word in OURS_IN_WORDS), answered


# What ours is answered; the others change something, or answer to a moment that is not there.
SEEN = (
    "account", "account_at", "bake", "bake_ids", "bakes_around", "busy", "busy_calendars", "calendar_entries", "events",
    "in_larder", "last_wish", "left_calendars", "phones", "picked", "posted", "sealed_feed", "subscriptions", "to_draw",
    "versions",
)  # fmt: skip


@pytest.mark.parametrize("name", SEEN)
def test_the_same_question_shows_its_own_kitchen_all_of_it(store: Store, name: str) -> None:
    """Else the test before would prove nothing."""
    shown = repr(asked_by(OURS, store, name, known_of_ours(store)))
    assert any(word in shown for word in OURS_IN_WORDS)
