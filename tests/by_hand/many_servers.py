"""Two servers and two that ring on one database, sixteen phones; then who writes and a database server, killed.

    python -m tests.by_hand.many_servers [SECONDS [KILLS [KILLS_OF_POSTGRESQL]]]

On a file and on PostgreSQL (a server of its own): for so many seconds sixteen phones write into the journals of eight
kitchens over two servers and pick moved plans, while two processes send what is due into one sink, the clock running
six hundred times as fast. Then a process that writes is killed so many times, and where two write into PostgreSQL the
server itself. Prints what was counted; raises AssertionError when anything is lost or doubled. Without numbers it is
60 s, 500 kills on either and 20 of PostgreSQL, which takes half an hour where nothing else is done.
"""

from __future__ import annotations

import contextlib
import itertools
import multiprocessing
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import httpx

from e2e.server import Server
from tests.databases import new_postgres
from tests.postgres_server import PostgresServer
from tests.samples import sample_kitchen, sample_plan
from webapp.core.plan.plan import Plan
from webapp.kitchens.access import hash_of
from webapp.records import to_plain
from webapp.reminders.lines import Lines
from webapp.reminders.push import message
from webapp.reminders.push.sending import lay_out, ring_all, ringing_lines
from webapp.store.push import SubscriptionRow
from webapp.store.store import Store

KITCHENS, FASTER = 8, 600
HEADERS = {"Sec-Fetch-Site": "same-origin", "Content-Type": "application/json"}
_ids = itertools.count(1)


class Sink:
    """A push service that writes down what it was sent."""

    def __init__(self, path: Path) -> None:
        self.file = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT)

    def send(self, to: message.Receiver, payload: str, topic: str, ttl_s: int) -> message.Outcome:
        """Taken."""
        os.write(self.file, f"{to.endpoint} {topic}\n".encode())
        return message.Outcome(message.SENT)


def ringer(where: Path | str, sink: Path, began: float, base: int, until: float) -> None:
    """A process that lays out and rings."""
    store, lines, sender = Store(where), ringing_lines(), Sink(sink)
    while time.time() < until:
        now = base + int((time.time() - began) * FASTER)
        with contextlib.suppress(Exception):
            lay_out(store, now)
        _ring(store, sender, now, lines)
        time.sleep(0.1)
    lines.close()


def _ring(store: Store, sender: Sink, now: int, lines: Lines) -> None:
    try:
        ring_all(store, sender, now, lines)
    except Exception as error:  # as a round does: said, and tried again
        print("a round failed:", error, flush=True)


def moved(plan: Plan, by_s: int) -> Plan:
    """All of it so much later."""
    steps = tuple(replace(s, start=s.start + by_s, end=s.end + by_s) for s in plan.steps)
    return replace(plan, steps=steps, supper=plan.supper + by_s, ready_at=plan.ready_at + by_s)


def filled(where: Path | str) -> None:
    """Eight kitchens with a bake and two phones each, both with messages."""
    store = Store(where)
    for n in range(KITCHENS):
        store.add_kitchen(f"k{n}", to_plain(sample_kitchen()), 1)
        plan = to_plain(sample_plan(f"bake{n}"))
        store.put_offers(f"k{n}", f"bake{n}", {}, [plan], 1)
        store.add_plan(f"k{n}", f"bake{n}", plan | {"revision": 1}, 1)
        for phone in ("a", "b"):
            name = f"{n}{phone}"
            store.add_phone(f"k{n}", name, hash_of(name * 21), "Phone", 1)
            store.put_subscription(SubscriptionRow(name, f"k{n}", name, f"https://p.example/{name}", "", ""), 1)
    store.close()


def phone(
    name: str, servers: list[Server], where: Path | str, until: float, said: list[str], picks: Counter[str]
) -> None:
    """Writes a line over one server, then over the other; now and then picks the plan anew, moved."""
    bake, kitchen, store = f"bake{name[0]}", f"k{name[0]}", Store(where)
    client = httpx.Client(cookies={"suppertide": name * 21}, headers=HEADERS, timeout=30)
    for turn in itertools.count():
        if time.time() > until:
            break
        one = {"event_id": f"{next(_ids):032x}", "bake_id": bake, "at": sample_plan().supper, "revision": 1,
               "logged_at": sample_plan().supper, "phone": name * 8, "kind": "note", "data": {"text": "x"}}  # fmt: skip
        url = f"{servers[turn % 2].url}/api/bakes/{bake}/events"
        with contextlib.suppress(httpx.HTTPError):
            if client.post(url, json={"events": [one]}).status_code == 200:
                said.append(str(one["event_id"]))
        if turn % 10 == 9:
            with store.transaction():
                row = store.bake(kitchen, bake)
                revision = store.revision(bake) + 1
                assert row is not None
                plan = moved(sample_plan(bake), 300 * revision)
                store.add_plan(kitchen, bake, to_plain(plan) | {"revision": revision}, 1)
            picks[bake] += 1
    client.close()
    store.close()


def busy(where: Path | str, folder: Path, seconds: int) -> None:
    """The evening: nothing lost, nothing doubled."""
    filled(where)
    if isinstance(where, str):
        os.environ["SUPPERTIDE_DATABASE"] = where
    servers = [Server(folder).start() for _ in range(2)]
    os.environ.pop("SUPPERTIDE_DATABASE", None)
    began, base, sink = time.time(), sample_plan().steps[0].start - 3600, folder / "sink.txt"
    until = began + seconds
    spawn = multiprocessing.get_context("spawn")
    ringers = [spawn.Process(target=ringer, args=(where, sink, began, base, until + 10)) for _ in range(2)]
    said: list[str] = []
    picks: Counter[str] = Counter()
    phones = [
        threading.Thread(target=phone, args=(f"{n}{p}", servers, where, until, said, picks))
        for n in range(KITCHENS)
        for p in "ab"
    ]
    for one in (*ringers, *phones):
        one.start()
    for one in (*phones, *ringers):
        one.join()
    for server in servers:
        server.kill()
    _counted(where, sink, said, picks)


def _counted(where: Path | str, sink: Path, said: list[str], picks: Counter[str]) -> None:
    store = Store(where)
    kept = [one["event_id"] for n in range(KITCHENS) for one in store.events(f"k{n}", f"bake{n}")]
    assert len(kept) == len(set(kept)), "a line stands twice"
    assert set(said) <= set(kept), "an acknowledged line is lost"
    for n in range(KITCHENS):
        assert store.revision(f"bake{n}") == 1 + picks[f"bake{n}"], "a picked plan is lost"
    with store.reading() as db:
        states = Counter(dict(db.exec_driver_sql("SELECT state, count(*) FROM push_due GROUP BY state").all()))
    sent = sink.read_text().splitlines()
    assert len(sent) == states["sent"], f"sent {len(sent)}, noted as sent {states}"
    assert states["claimed"] == 0, "one was claimed and not sent"
    print(f"  {len(said)} lines acknowledged, {sum(picks.values())} plans picked,", end=" ")
    print(f"{len(sent)} messages sent: {dict(states)}")
    store.close()


WRITES = """
import sys, time
from pathlib import Path
from webapp.store.store import Store
where = sys.argv[1]
store = Store(where if where.startswith("postgresql") else Path(where))
n = int(sys.argv[2])
while True:
    n += 1
    one = {"event_id": str(n), "at": n, "kind": "note", "text": "x" * 200}
    try:
        store.add_events("k0", "bake0", [one], n)
    except Exception:
        time.sleep(0.05)
        continue
    print(n, flush=True)
"""


def writer(where: Path | str, first: int) -> subprocess.Popen[str]:
    """A process that writes lines of its own numbers and says each that was acknowledged."""
    command = [sys.executable, "-c", WRITES, str(where), str(first)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def said_until_killed(one: subprocess.Popen[str]) -> set[str]:
    """All that it said; the last line may be cut off."""
    one.kill()
    assert one.stdout is not None
    rest = one.stdout.read()
    one.wait()
    one.stdout.close()
    return set(rest.rpartition("\n")[0].split())


def heard(one: subprocess.Popen[str], lines: int) -> set[str]:
    """Its next lines."""
    assert one.stdout is not None
    return {one.stdout.readline().strip() for _ in range(lines)}


def killed(where: Path | str, kills: int) -> None:
    """Who writes is killed again and again: everything acknowledged is there."""
    said: set[str] = set()
    for turn in range(kills):
        one = writer(where, turn * 1_000_000)
        said |= heard(one, 3 + turn % 5) | said_until_killed(one)
    all_there(where, said, f"{kills} kills of who writes")


def server_killed(server: PostgresServer, where: str, kills: int) -> None:
    """The database server is killed under two that write: they go on when it is there again, nothing is missing."""
    two = [writer(where, 1_000_000_000 * n) for n in (1, 2)]
    said = set[str]()
    for turn in range(kills):
        for one in two:
            said |= heard(one, 5 + turn % 5)
        server.kill()
        server.start()
    for one in two:
        said |= heard(one, 5) | said_until_killed(one)
    all_there(where, said, f"{kills} kills of PostgreSQL")


def all_there(where: Path | str, said: set[str], what: str) -> None:
    """Every line that was acknowledged."""
    store = Store(where)
    kept = {one["event_id"] for one in store.events("k0", "bake0")}
    store.close()
    assert said <= kept, f"lost: {sorted(said - kept)[:5]}"
    print(f"  {what}, {len(said)} lines acknowledged, all there", flush=True)


def main() -> None:
    """Both engines, each so that what it acknowledges is on the disk."""
    typed = sys.argv[1:]
    seconds, kills, of_postgres = (int(one) for one in (*typed, *("60", "500", "20")[len(typed) :]))
    with tempfile.TemporaryDirectory() as folder:
        print("a file")
        busy(Path(folder) / "suppertide.sqlite3", Path(folder), seconds)
        killed(Path(folder) / "suppertide.sqlite3", kills)
    with tempfile.TemporaryDirectory() as folder, contextlib.closing(PostgresServer(durable=True)) as server:
        print("PostgreSQL")
        server.start()
        where = new_postgres(server.address)
        busy(where, Path(folder), seconds)
        killed(where, kills)
        server_killed(server, where, of_postgres)


if __name__ == "__main__":
    main()
