"""A calendar server that keeps ETags to itself: we ask for them, and still write over nothing that is not ours."""

from __future__ import annotations

from pathlib import Path
from typing import cast

import pytest

from tests.home import Home
from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.update import bring_up_to_date
from webapp.reminders.events import entries
from webapp.store.calendars import AccountRow

CALENDAR = "https://cal.example.org/me/kitchen/"


class Silent:
    """A calendar in memory. As RFC 4791 5.3.4 allows, an answer to PUT says no ETag: only GET does."""

    def __init__(self) -> None:
        self.held: dict[str, tuple[int, bytes]] = {}

    def put_new(self, url: str, body: bytes) -> str:
        if url in self.held:
            raise ChangedError(url)
        self.held[url] = (1, body)
        return ""

    def put_changed(self, url: str, body: bytes, etag: str) -> str:
        if url not in self.held or etag != f'"{self.held[url][0]}"':
            raise ChangedError(url)
        self.held[url] = (self.held[url][0] + 1, body)
        return ""

    def get(self, url: str) -> tuple[str, bytes] | None:
        return (f'"{self.held[url][0]}"', self.held[url][1]) if url in self.held else None

    def delete(self, url: str, etag: str) -> None:
        if url in self.held and etag != f'"{self.held[url][0]}"':
            raise ChangedError(url)
        self.held.pop(url, None)


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path)


def brought(home: Home, server: Silent) -> None:
    """One round of writing what the kitchen's calendar shows now."""
    home.store.put_account(home.kitchen_id, CALENDAR, "Kitchen", "sealed", "https://here.example", home.now)
    row = cast("AccountRow", home.store.account(home.kitchen_id))
    shown = entries(home.store, home.now, home.kitchen_id)
    bring_up_to_date(home.store, cast("CalendarServer", server), row, shown, home.now)


def test_an_etag_that_was_kept_back_is_asked_for_and_a_moved_step_is_written_in_place(home: Home) -> None:
    plan, server = home.plan(), Silent()
    brought(home, server)
    assert {posted.etag for posted in home.store.posted(home.kitchen_id)} == {'"1"'}
    urls = set(server.held)
    home.now += 60
    home.later(plan, "press", 1800)
    brought(home, server)
    assert set(server.held) == urls
    moved = [url for url, (number, _) in server.held.items() if number == 2]
    assert [url for url in moved if "-press" in url]
    assert all(not posted.hands_off for posted in home.store.posted(home.kitchen_id))


def test_what_somebody_changed_there_is_left_alone_all_the_same(home: Home) -> None:
    plan, server = home.plan(), Silent()
    brought(home, server)
    url = next(url for url in server.held if "-press" in url)
    number, body = server.held[url]
    theirs = body.replace(b"SUMMARY:", b"SUMMARY:Ring grandma and ")
    server.held[url] = (number + 1, theirs)
    home.now += 60
    home.later(plan, "press", 1800)
    brought(home, server)
    assert server.held[url] == (number + 1, theirs)
    told = [posted.hands_off for posted in home.store.posted(home.kitchen_id) if posted.url == url]
    assert told == ["changed"]
