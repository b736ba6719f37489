"""Of several processes on one database one alone is at work for a household; nobody rings twice."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from webapp.store.push import DueRow, SubscriptionRow
from webapp.store.store import Store


@pytest.fixture
def servers(database: Path | str) -> list[Store]:
    """Four on one database."""
    return [Store(database) for _ in range(4)]


def at_once(servers: list[Store], work: object, times: int = 4) -> list[object]:
    with ThreadPoolExecutor(len(servers) * times) as threads:
        return list(threads.map(work, servers * times))  # type: ignore[arg-type]


def test_what_many_claim_at_once_one_of_them_gets(servers: list[Store]) -> None:
    for of in range(10):
        assert (
            at_once(servers, lambda store, of=of: store.claim("calendar", f"{of}", f"{id(store)}", 5, 9)).count(True)
            == 1
        )


def test_a_claim_is_free_when_it_is_released_or_its_time_is_over(servers: list[Store]) -> None:
    one, other = servers[:2]
    assert one.claim("calendar", "k", "one", 0, 10)
    assert not other.claim("calendar", "k", "other", 9, 20)
    assert other.claim("busy", "k", "other", 9, 20), "another work"
    assert other.claim("calendar", "l", "other", 9, 20), "another household"
    other.release("calendar", "k", "other")  # it is not the other's
    assert not other.claim("calendar", "k", "other", 9, 20)
    one.release("calendar", "k", "one")
    assert other.claim("calendar", "k", "other", 9, 20)
    assert one.claim("calendar", "k", "one", 20, 30), "who died has no claim for ever"


def test_each_message_is_claimed_once_by_whoever_is_awake(servers: list[Store]) -> None:
    store = servers[0]
    for kitchen_id in ("a", "b"):
        store.add_kitchen(kitchen_id, {}, 1)
        store.add_phone(kitchen_id, f"{kitchen_id}-phone", f"{kitchen_id}-hash", "Phone", 1)
        store.put_subscription(
            SubscriptionRow(kitchen_id, kitchen_id, f"{kitchen_id}-phone", f"https://p.example/{kitchen_id}", "", ""), 1
        )
    rows = [DueRow(kitchen_id, f"s{n}", n, 99, "") for kitchen_id in "ab" for n in range(30)]
    store.add_due(rows)

    def claim_all(one: Store) -> list[tuple[str, str]]:
        found = []
        while row := one.claim_due(50):
            found.append((row.subscription_id, row.topic))
        return found

    claimed = [one for part in at_once(servers, claim_all, 2) for one in part]  # type: ignore[attr-defined]
    assert sorted(claimed) == sorted((row.subscription_id, row.topic) for row in rows)


def test_what_is_read_and_then_written_in_one_kitchen_is_never_interleaved(servers: list[Store]) -> None:
    """Each adds one to what it reads: as many as there are, none lost."""
    servers[0].add_kitchen("k", {"n": 0}, 1)

    def one_more(store: Store) -> None:
        with store.transaction():
            settings = store.settings_of("k") or {}
            store.save_settings("k", {"n": settings["n"] + 1})

    at_once(servers, one_more, 5)
    assert servers[0].settings_of("k") == {"n": 20}
