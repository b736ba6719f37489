"""The table of what rings: for each route and each state of it, the words a person needs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from webapp.reminders.caldav.account import AccountState
from webapp.reminders.events import FeedState
from webapp.reminders.routes import RingRow, best_for, family_of, rows

NO_FEED = FeedState("", 0)


def table(account: AccountState | None = None, feed: FeedState = NO_FEED, browsers: int = 0,
          push_there: bool = True) -> dict[str, RingRow]:  # fmt: skip
    return {row.key: row for row in rows(account, feed, browsers, push_there)}


def account(problem: str = "") -> AccountState:
    return AccountState("Ours", "https://cal.example/ours/", good_at=5, next_try=0, problem=problem, left_alone=())


def test_a_calendar_that_is_written_rings_and_one_that_cannot_be_written_promises_nothing() -> None:
    good, bad = (
        table(replace(account(), alarms="live"))["calendar"],
        table(account("The calendar server does not answer."))["calendar"],
    )
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
    live, lost = (table(replace(account(), alarms=found))["calendar"] for found in ("live", "lost"))
    assert "its alarms are there" in live.rings
    assert (lost.sure, lost.rings.startswith("No")) == ("bad", True)


def test_a_file_is_never_said_to_follow() -> None:
    for family in ("apple", "android", "mac", "other"):
        (row,) = [row for row in rows(None, NO_FEED, 0, True, family) if row.key == "file"]  # type: ignore[arg-type]
        assert row.follows.startswith("No: an added file is a copy")


def test_an_ipad_that_calls_itself_a_mac_and_a_mac_are_told_what_is_true_for_both() -> None:
    """Since 2019 tablets ask for the pages of a desktop, with its words in their name for themselves."""
    agent = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 Version/18.0 Safari/605.1.15"
    assert family_of(agent) == "mac"
    assert best_for("mac", None).startswith("On an iPad or a Mac")
    assert "a Mac that sleeps is silent" in best_for("mac", None)


def test_before_anything_was_read_back_nothing_is_promised() -> None:
    assert not table(account())["calendar"].rings.startswith("Yes")
    said = best_for("apple", account())
    assert "whether it rings is not known" in said
    assert "its alarms are kept" in best_for("apple", replace(account(), alarms="live"))


def test_who_followed_the_advice_already_is_told_the_next_step_and_not_the_same_again() -> None:
    lost = best_for("apple", replace(account(), alarms="lost"))
    assert "throws alarms away" in lost
    assert "another calendar" in lost
    assert "cannot be written just now" in best_for("apple", account("It does not answer."))


def test_on_android_it_is_said_that_a_further_program_is_needed() -> None:
    """Android has accounts for calendars and no program of its own that speaks CalDAV: common knowledge."""
    for known in (None, account(), replace(account(), alarms="live")):
        assert "a further program for that is needed" in best_for("android", known)
        assert "further program" not in best_for("apple", known)
