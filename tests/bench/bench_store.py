"""What the store costs: a line of a journal written, a guest known, a feed asked for, and opening it.

Run by hand: `python -m tests.bench.bench_store` (SQLite in a new folder), or with the address of an empty PostgreSQL
database behind it. Printed are the best and the middle of many single calls, in milliseconds, beside a bare write of
one row to a plain SQLite file with an fsync each, in turns, so that a busy machine slows both.
"""

from __future__ import annotations

import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.samples import sample_kitchen, sample_plan
from webapp.records import to_plain
from webapp.store.store import Store

TIMES, ROUNDS = 200, 3


def filled(store: Store) -> Store:
    """One kitchen with a phone, a feed and a picked bake."""
    store.add_kitchen("ours", to_plain(sample_kitchen()), 1)
    store.add_phone("ours", "phone", "hash", "Phone 1", 1)
    store.put_feed("ours", "feed", "sealed", 1)
    store.put_offers("ours", "bake", {"formula_key": "x"}, [to_plain(sample_plan("bake"))], 10)
    store.add_plan("ours", "bake", to_plain(sample_plan("bake")), 20)
    return store


def bare(folder: Path) -> Callable[[int], object]:
    """The reference: a row into a plain file, each in a transaction of its own that reaches the disk."""
    db = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    for line in ("PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL", "CREATE TABLE a (b TEXT)"):
        db.execute(line)
    return lambda n: db.execute("INSERT INTO a VALUES (?)", (f"{n}" * 40,))


def cases(store: Store) -> dict[str, Callable[[int], object]]:
    """What is measured, by name."""

    def line(n: int) -> object:
        event: dict[str, Any] = {"event_id": f"{time.perf_counter_ns()}", "at": n, "kind": "note", "text": "x" * 40}
        return store.add_events("ours", "bake", [event], n)

    return {
        "a line of the journal": line,
        "who is asking": lambda _: store.guest("hash"),
        "a feed's state": lambda _: store.feed("feed"),
        "picked bakes": lambda _: store.picked("ours"),
        "a bake": lambda _: store.bake("ours", "bake"),
        "a phone seen": lambda n: store.saw_phone("phone", n),
    }


def measure(every: dict[str, Callable[[int], object]]) -> dict[str, list[float]]:
    """Milliseconds of each call, the cases in turns."""
    found: dict[str, list[float]] = {name: [] for name in every}
    for _ in range(ROUNDS):
        for name, once in every.items():
            for n in range(TIMES):
                start = time.perf_counter()
                once(n)
                found[name].append((time.perf_counter() - start) * 1000)
    return found


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        where: Any = sys.argv[1] if len(sys.argv) > 1 else Path(folder) / "s.sqlite3"
        start = time.perf_counter()
        store = filled(Store(where))
        print(f"a new one made in {(time.perf_counter() - start) * 1000:.0f} ms", end="; ")
        start = time.perf_counter()
        Store(where)
        print(f"opened again in {(time.perf_counter() - start) * 1000:.1f} ms")
        for name, times in measure({"a bare row": bare(Path(folder)), **cases(store)}).items():
            print(f"{name:<24} best {min(times):.3f}  middle {statistics.median(times):.3f}")


if __name__ == "__main__":
    main()
