"""Messages of many households at once: a push service that hangs keeps nobody else waiting."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from tests.home import Home
from tests.samples import sample_kitchen
from webapp.records import to_plain
from webapp.reminders.lines import Lines
from webapp.reminders.push import sending
from webapp.reminders.push.message import Outcome, Receiver
from webapp.store.push import SubscriptionRow


def test_what_one_households_endpoints_do_never_delays_another_households_ring(tmp_path: Path) -> None:
    """One household's push service keeps its sender waiting; the other's ring goes out meanwhile."""
    home = Home(tmp_path)
    home.store.add_kitchen("o" * 22, to_plain(sample_kitchen()), home.now)
    home.store.add_phone("o" * 22, "phone-o", "o" * 64, "Phone", home.now)
    for kitchen, phone, name in ((home.kitchen_id, "phone-1", "slow"), ("o" * 22, "phone-o", "quick")):
        home.store.put_subscription(
            SubscriptionRow(name, kitchen, phone, f"https://{name}.example/", "x", "x"), home.now
        )
        sending.ring_in_a_minute(home.store, home.now, kitchen, home.new_id)
    over, came = threading.Event(), threading.Event()

    class Waits:
        def send(self, to: Receiver, *_: object) -> Outcome:
            if "slow" in to.endpoint:
                over.wait(30)
            else:
                came.set()
            return Outcome("sent")

    lines = Lines()
    try:
        sending.ring_all(home.store, Waits(), home.now + 60, lines)
        assert came.wait(10), "sent while the slow one still waits"
        assert home.store.rings_due(home.now + 60) == ()
    finally:
        over.set()
        lines.close()


@pytest.mark.parametrize("same", [True, False])
def test_a_push_service_that_hangs_for_many_households_delays_no_other_service_and_no_other_phone(
    tmp_path: Path, same: bool
) -> None:
    """Seventeen households with three browsers each, all hanging; another household, and another browser of the last of
    them, are served meanwhile: by the same service, which hangs for some, or by another."""
    home = Home(tmp_path)
    host = "slow" if same else "quick"
    for number in range(18):
        kitchen = f"{number:022d}"
        home.store.add_kitchen(kitchen, to_plain(sample_kitchen()), home.now)
        home.store.add_phone(kitchen, f"theirs-{number}", f"{number:064d}", "Phone", home.now)
        places = [f"https://slow.example/{number}-{one}" for one in range(3)] if number < 17 else []
        places += [f"https://{host}.example/good-{number}"] if number == 17 else []
        places += ["https://other.example/good-16"] if number == 16 else []
        for place in places:
            row = SubscriptionRow(place, kitchen, f"theirs-{number}", place, "x", "x")
            home.store.put_subscription(row, home.now)
        sending.ring_in_a_minute(home.store, home.now, kitchen, home.new_id)
    over, came = threading.Event(), threading.Semaphore(0)

    class Waits:
        def send(self, to: Receiver, *_: object) -> Outcome:
            if "good" in to.endpoint:
                came.release()
            else:
                over.wait(30)
            return Outcome("sent")

    lines = sending.ringing_lines()
    try:
        sending.ring_all(home.store, Waits(), home.now + 60, lines)
        assert came.acquire(timeout=10)
        assert came.acquire(timeout=10), "both are served while seventeen hang"
    finally:
        over.set()
        lines.close()


def test_lines_that_a_hanging_server_may_have_are_fewer_than_there_are() -> None:
    over, came = threading.Event(), threading.Event()
    lines = Lines(3, most_alike=2, alike=lambda one: one[0])
    try:
        for _ in range(2):
            lines.take(["a1", "a2", "a3", "a4", "b1"], lambda one: over.wait(30) if one[0] == "a" else came.set())
        assert came.is_set()
    finally:
        over.set()
        lines.close()
