"""The table of what rings: for each route and each state of it, the words a person needs."""

from __future__ import annotations

import pytest

from webapp.reminders.caldav.account import AccountState
from webapp.reminders.events import FeedState
from webapp.reminders.routes import RingRow, is_at_home, rows

NO_FEED = FeedState("", 0)


def table(account: AccountState | None = None, feed: FeedState = NO_FEED, browsers: int = 0,
          push_there: bool = True) -> dict[str, RingRow]:  # fmt: skip
    return {row.key: row for row in rows(account, feed, browsers, push_there)}


def account(problem: str = "") -> AccountState:
    return AccountState("Ours", "https://cal.example/ours/", good_at=5, next_try=0, problem=problem, left_alone=())


def test_a_calendar_that_is_written_rings_and_one_that_cannot_be_written_promises_nothing() -> None:
    good, bad = table(account())["calendar"], table(account("The calendar server does not answer."))["calendar"]
    assert (good.sure, good.rings.startswith("Yes")) == ("good", True)
    assert bad.sure == "careful"
    assert "cannot be written just now" in bad.have
    assert bad.rings == "Only what was written before, at its old times."
    assert bad.follows.startswith("Not now")


def test_what_is_not_set_up_does_not_promise_to_ring() -> None:
    for key in ("calendar", "feed", "push"):
        row = table()[key]
        assert row.have == "Not set up"
        assert row.sure == "bad"
        assert not row.rings.startswith("Yes")


@pytest.mark.parametrize(
    ("browsers", "there", "have"),
    [(0, False, "Not installed on this server"), (1, True, "On one browser"), (3, True, "On 3 browsers")],
)
def test_push_counts_browsers_and_promises_little(browsers: int, there: bool, have: str) -> None:
    row = table(browsers=browsers, push_there=there)["push"]
    assert row.have == have
    assert not row.rings.startswith("Yes")


def test_a_feed_is_never_said_to_ring_for_sure() -> None:
    unread, read = (table(feed=FeedState("key", at))["feed"] for at in (0, 5))
    assert "not fetched by any calendar yet" in unread.have
    assert read.have == "Made"
    assert all(row.rings.startswith("Perhaps") and row.sure == "careful" for row in (unread, read))


def test_what_reading_back_found_is_said() -> None:
    from dataclasses import replace

    live, lost = (table(replace(account(), alarms=found))["calendar"] for found in ("live", "lost"))
    assert "its alarms are there" in live.rings
    assert (lost.sure, lost.rings.startswith("No")) == ("bad", True)


def test_a_file_is_never_said_to_follow() -> None:
    for family in ("apple", "android", "other"):
        (row,) = [row for row in rows(None, NO_FEED, 0, True, family) if row.key == "file"]  # type: ignore[arg-type]
        assert row.follows.startswith("No: an added file is a copy")


@pytest.mark.parametrize(
    ("host", "home"),
    [("localhost", True), ("kitchen.local:8080", True), ("192.168.1.5:8000", True), ("[fd00::1]", True),
     ("bread.example.org", False), ("bread.example.org:443", False), ("8.8.8.8", False),
     ("[2a00::1]", False), ("[2a00::1]:8000", False), ("[fd00::1]:8000", True), ("2a00::1", False)],
)  # fmt: skip
def test_a_home_address_is_told_from_one_on_the_internet(host: str, home: bool) -> None:
    """RFC 1918, 4193 and 6762 name what is at home, RFC 4291 2.4 what is not."""
    assert is_at_home(host) is home
