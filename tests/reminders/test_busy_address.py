"""Busy times by a calendar's own address: a real server that answers as the test says, on this machine."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.databases import everything_in, settings_in
from tests.home import Home
from webapp.core.errors import PlanError
from webapp.kitchens.busy import calendar_file
from webapp.kitchens.busy.times import PLANS_S, REACH_S, bring_file, known_busy
from webapp.machine.net_guard import Guard
from webapp.records import to_plain
from webapp.reminders import busy_address
from webapp.reminders.busy_address import ADDRESS_FIELD, SEEN_S, address_of, follow, look_again
from webapp.reminders.caldav.account import Tools
from webapp.reminders.wire import CalendarError, Conversation
from webapp.server.background import Background
from webapp.store.busy import BusyCalendar

DAY = 86400
SECRET = "/private-5f2c9a/basic.ics"


def calendar(*starts: int) -> bytes:
    """One hour from each of these instants."""
    rows = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//own//test//EN"]
    for number, start in enumerate(starts):
        stamps = (time.strftime("%Y%m%dT%H%M%SZ", time.gmtime(at)) for at in (start, start + 3600))
        rows += ["BEGIN:VEVENT", f"UID:{number}@own", "SUMMARY:Secret rehearsal"]
        rows += [f"{name}:{stamp}" for name, stamp in zip(("DTSTART", "DTEND"), stamps, strict=True)]
        rows += ["END:VEVENT"]
    return "\r\n".join([*rows, "END:VCALENDAR", ""]).encode()


class Calendars:
    """Answers at one address; `asked` holds the headers of every question."""

    def __init__(self) -> None:
        self.status, self.body, self.headers = 200, b"", dict[str, str]()
        self.asked: list[dict[str, str]] = []
        self.hold = threading.Event()
        self.hold.set()
        mine = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                mine.asked.append({**{k.lower(): v for k, v in self.headers.items()}, "path": self.path})
                mine.hold.wait(30)
                etag = mine.headers.get("ETag")
                unchanged = etag and self.headers.get("If-None-Match") == etag
                self.send_response(304 if unchanged and mine.status == 200 else mine.status)
                for name, value in mine.headers.items():
                    self.send_header(name, value)
                body = b"" if unchanged else mine.body
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *_: object) -> None:
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self.server.server_port}{SECRET}"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def stop(self) -> None:
        self.hold.set()
        self.server.shutdown()
        self.server.server_close()


@pytest.fixture
def there() -> Iterator[Calendars]:
    server = Calendars()
    yield server
    server.stop()


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def tools_of(home: Home, talk_s: float = 10.0, local: bool = True) -> Tools:
    return Tools(home.box, Guard(local=local), talk_s)


def following(home: Home, there: Calendars, *starts: int) -> BusyCalendar:
    """The calendar is followed, with busy hours from these instants."""
    there.body = calendar(*starts)
    follow(home.store, tools_of(home), home.now, home.kitchen_id, there.url)
    return row_of(home)


def row_of(home: Home) -> BusyCalendar:
    (row,) = home.store.busy_calendars(home.kitchen_id)
    return row


def starts_of(home: Home) -> list[int]:
    return [start for start, _ in home.store.busy(home.kitchen_id)]


def refused(home: Home, typed: str, tools: Tools | None = None) -> str:
    with pytest.raises(PlanError) as caught:
        follow(home.store, tools or tools_of(home), home.now, home.kitchen_id, typed)
    (one,) = caught.value.problems
    assert one.field == ADDRESS_FIELD
    assert home.store.busy_calendars(home.kitchen_id) == ()
    return f"{one.message} {one.way_out}"


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("webcal://cal.example.org/a.ics?key=1", "https://cal.example.org/a.ics?key=1"),
        ("WEBCALS://cal.example.org/a", "https://cal.example.org/a"),
        (" https://cal.example.org/a ", "https://cal.example.org/a"),
        ("cal.example.org/a.ics", "https://cal.example.org/a.ics"),
        ("http://192.168.1.5/a.ics", "http://192.168.1.5/a.ics"),
    ],
)
def test_an_address_is_taken_as_calendars_show_it(typed: str, address: str) -> None:
    """webcal is https as far as fetching goes: the scheme only says which program shall open it (common practice)."""
    assert address_of(typed) == address


@pytest.mark.parametrize(
    "typed",
    ["", "  ", "ftp://cal.example.org/a.ics", "file:///etc/passwd", "https://", "https://me:pw@cal.example.org/a",
     "https://cal.example.org/a b", "https://[::1/a", "x" * 3000, "https://cal.example.org/\x00"],
)  # fmt: skip
def test_what_is_no_address_is_said_at_the_field(home: Home, typed: str) -> None:
    assert refused(home, typed)


def test_busy_hours_are_read_and_the_address_is_nowhere_to_be_found(home: Home, there: Calendars) -> None:
    row = following(home, there, home.now + DAY)
    assert starts_of(home) == [home.now + DAY]
    assert (row.read_at, row.reach) == (home.now, home.now + REACH_S)
    kept = everything_in(home.store)
    assert "private-5f2c9a" not in kept
    assert "rehearsal" not in kept
    assert home.box.open(row.address) == there.url


def test_an_unchanged_calendar_is_neither_sent_nor_read_again(home: Home, there: Calendars) -> None:
    there.headers = {"ETag": '"one"', "Last-Modified": "Wed, 25 Nov 2026 06:00:00 GMT"}
    row = following(home, there, home.now + DAY)
    home.now += 3600
    assert look_again(home.store, tools_of(home), home.now, row)
    assert there.asked[0].get("if-none-match") is None
    assert there.asked[1]["if-none-match"] == '"one"'
    assert there.asked[1]["if-modified-since"] == "Wed, 25 Nov 2026 06:00:00 GMT"
    assert row_of(home).read_at == home.now
    assert starts_of(home) == [home.now - 3600 + DAY]


def test_a_changed_calendar_takes_the_place_of_what_was_known(home: Home, there: Calendars) -> None:
    row = following(home, there, home.now + DAY, home.now + 2 * DAY)
    there.body = calendar(home.now + 3 * DAY)
    assert look_again(home.store, tools_of(home), home.now + 3600, row)
    assert starts_of(home) == [home.now + 3 * DAY]


def test_it_is_read_anew_before_anything_that_can_be_planned_lies_beyond_it(home: Home, there: Calendars) -> None:
    """The calendar did not change, but time went on: an event of the tenth week comes into reach."""
    there.headers = {"ETag": '"one"'}
    far = home.now + 70 * DAY
    row = following(home, there, far)
    assert starts_of(home) == []
    later = home.now + 30 * DAY
    assert look_again(home.store, tools_of(home), later, row)
    assert starts_of(home) == [far]
    assert row_of(home).reach == later + REACH_S
    assert row.reach - later > PLANS_S, "known all the time for whatever can be planned"


def test_it_is_read_anew_by_the_kitchens_clock_when_that_changed(home: Home, there: Calendars) -> None:
    there.headers = {"ETag": '"one"'}
    there.body = calendar(home.now + DAY).replace(b"00Z\r\n", b"00\r\n")  # floating: the kitchen's clock
    follow(home.store, tools_of(home), home.now, home.kitchen_id, there.url)
    (before,) = starts_of(home)
    home.change(zone="Asia/Tokyo")
    assert look_again(home.store, tools_of(home), home.now, row_of(home))
    assert starts_of(home) != [before]


@pytest.mark.parametrize(
    ("status", "said", "soon"),
    [
        (404, "There is no calendar at that address", False),
        (410, "There is no calendar at that address", False),
        (401, "asks for a password", False),
        (403, "asks for a password", False),
        (500, "in trouble", True),
        (503, "in trouble", True),
        (429, "in trouble", True),
        (418, "says 418", False),
    ],
)
def test_a_failure_is_said_and_the_times_read_last_go_on_counting(
    home: Home, there: Calendars, status: int, said: str, soon: bool
) -> None:
    row = following(home, there, home.now + DAY)
    there.status = status
    assert not look_again(home.store, tools_of(home), home.now + 3600, row)
    kept = row_of(home)
    assert said in kept.problem
    assert starts_of(home) == [home.now + DAY]
    assert (kept.read_at, kept.tries) == (home.now, 1)
    assert (kept.next_try - home.now - 3600 <= 600) == soon
    there.status = 200
    assert look_again(home.store, tools_of(home), home.now + 7200, kept)
    assert (row_of(home).problem, row_of(home).tries) == ("", 0)


def test_a_page_to_sign_in_is_no_calendar_and_says_where_to_look(home: Home, there: Calendars) -> None:
    there.body = b"<!doctype html><title>Sign in</title>"
    said = refused(home, there.url)
    assert "not a calendar" in said
    assert "address for subscribing" in said


def test_an_answer_without_end_is_cut_off(home: Home, there: Calendars) -> None:
    there.body = b"BEGIN:VCALENDAR\r\n" + b"X-A:b\r\n" * (busy_address.MOST_FETCHED // 6)
    assert "4 MB is the most" in refused(home, there.url)


def test_a_server_that_keeps_silent_is_left_in_time(home: Home, there: Calendars) -> None:
    there.hold.clear()
    begun = time.monotonic()
    assert "does not answer" in refused(home, there.url, tools_of(home, talk_s=0.5))
    assert time.monotonic() - begun < 10


def test_a_calendar_that_repeats_without_end_is_refused_as_in_a_file(home: Home, there: Calendars) -> None:
    there.body = calendar(home.now).replace(b"END:VEVENT", b"RRULE:FREQ=SECONDLY\r\nEND:VEVENT")
    assert "more than once an hour" in refused(home, there.url)


def test_an_address_in_the_home_network_needs_the_owners_leave(home: Home, there: Calendars) -> None:
    assert "server's own network" in refused(home, there.url, tools_of(home, local=False))
    assert there.asked == [], "nothing was even asked"


@pytest.mark.parametrize("to", ["http://169.254.169.254/latest", "http://[fd00:ec2::254]/", "ftp://cal.example.org/"])
def test_a_redirect_is_checked_like_the_address(home: Home, there: Calendars, to: str) -> None:
    there.status, there.headers = 302, {"Location": to}
    assert "not" in refused(home, there.url)


def test_a_redirect_is_followed_and_circles_are_not(home: Home, there: Calendars) -> None:
    there.status, there.headers = 308, {"Location": SECRET}
    assert "round in circles" in refused(home, there.url)
    first = Calendars()
    try:
        first.status, first.headers = 301, {"Location": there.url}
        there.status, there.headers, there.body = 200, {}, calendar(home.now + DAY)
        follow(home.store, tools_of(home), home.now, home.kitchen_id, first.url)
    finally:
        first.stop()
    assert starts_of(home) == [home.now + DAY]


def test_no_redirect_leads_from_an_encrypted_to_an_open_connection() -> None:
    with Conversation(Guard()) as server:
        assert server.onward("https://a.example/x", "https://b.example/y") == "https://b.example/y"
        assert server.onward("https://a.example/x", "/y") == "https://a.example/y"
        for href in ("http://a.example/x", "http://[::1"):
            with pytest.raises(CalendarError):
                server.onward("https://a.example/x", href)


def test_a_redirect_that_says_not_where_to_is_told_so(home: Home, there: Calendars) -> None:
    """RFC 9110 15.4: without a Location there is nothing to go on to."""
    there.status, there.headers = 301, {}
    assert "moved, but not where to" in refused(home, there.url)


def test_a_file_does_not_silently_replace_an_address(home: Home, there: Calendars) -> None:
    following(home, there, home.now + DAY)
    with pytest.raises(PlanError, match="Take the address out first"):
        bring_file(home.store, home.now, home.kitchen_id, calendar(home.now))
    home.store.forget_busy(home.kitchen_id, 0)
    assert starts_of(home) == []
    bring_file(home.store, home.now, home.kitchen_id, calendar(home.now + DAY))
    assert row_of(home).address == ""


def test_who_takes_the_address_out_during_a_fetch_does_not_get_it_back(home: Home, there: Calendars) -> None:
    row = following(home, there, home.now + DAY)
    home.store.forget_busy(home.kitchen_id, 0)
    assert look_again(home.store, tools_of(home), home.now, row)
    assert (starts_of(home), home.store.busy_calendars(home.kitchen_id)) == ([], ())


def test_who_moves_up_in_the_list_during_a_fetch_keeps_the_calendar(home: Home, there: Calendars) -> None:
    row = following(home, there, home.now + DAY)
    home.store.put_busy_calendar(replace(row, person=1))
    home.store.person_left(home.kitchen_id, 0)
    there.body = calendar(home.now + 2 * DAY)
    assert look_again(home.store, tools_of(home), home.now, replace(row, person=1))
    assert home.store.busy(home.kitchen_id, person=0)[0][0] == home.now + 2 * DAY
    assert home.store.busy(home.kitchen_id, person=1) == ()


def test_a_lost_key_is_said(home: Home, there: Calendars) -> None:
    row = following(home, there, home.now + DAY)
    home.store.busy_was_fetched(row, None)
    home.store.put_busy_calendar(broken := replace(row, address="gAAAA"))
    assert not look_again(home.store, tools_of(home), home.now, broken)
    assert "key was lost" in row_of(home).problem


def test_one_slow_server_never_delays_another_household(home: Home, there: Calendars) -> None:
    slow, other = Calendars(), "o" * 22
    home.store.add_kitchen(other, to_plain(home.change()), home.now)
    home.store.add_phone(other, "phone-2", "e" * 64, "Phone 1", home.now)
    try:
        slow.body = calendar(home.now + DAY)
        follow(home.store, tools_of(home), home.now, other, slow.url)
        slow.hold.clear()
        home.store.put_busy_calendar(replace(home.store.busy_calendars(other)[0], next_try=0, read_at=0))
        # The slow one is the first in the line.
        home.store.put_busy_calendar(replace(following(home, there, home.now + DAY), next_try=1))
        there.body = calendar(home.now + 2 * DAY)
        Background(settings_in(home.folder, local_calendars=True), now=lambda: home.now).busy_times()
        until = time.monotonic() + 20
        while starts_of(home) != [home.now + 2 * DAY]:
            assert time.monotonic() < until
            time.sleep(0.05)
        assert len(slow.asked) == 2, "it was asked"
        assert home.store.busy_calendars(other)[0].read_at == 0, "and is still waited for"
    finally:
        slow.stop()


def test_a_kitchen_that_nobody_opens_is_not_fetched_for(home: Home, there: Calendars) -> None:
    following(home, there, home.now + DAY)
    assert busy_address.due(home.store, home.now + 3600) == ((home.kitchen_id,), ())
    assert busy_address.due(home.store, home.now + SEEN_S + 1) == ((), ())


def test_it_is_told_everywhere_when_a_calendar_ends_or_keeps_silent(home: Home, there: Calendars) -> None:
    kitchen = home.change()

    def told(row: BusyCalendar, now: int) -> bool:
        home.store.put_busy_calendar(row)
        (one,) = known_busy(home.store, now, home.kitchen_id, kitchen)
        return one.to_be_told

    file = BusyCalendar(home.kitchen_id, 0, home.now + 56 * DAY, home.now)
    assert not told(file, home.now + 48 * DAY)
    assert told(file, home.now + 50 * DAY)
    address = replace(file, address="sealed", problem="It does not answer.")
    assert not told(address, home.now + 3600)
    assert told(address, home.now + 2 * DAY)


def test_readers_that_are_engaged_are_no_fault_of_the_calendar(
    home: Home, there: Calendars, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = following(home, there, home.now + 3600)
    there.body = calendar(home.now + 7200)  # it changed, so that it has to be read again
    none_free = threading.BoundedSemaphore(1)
    assert none_free.acquire()
    monkeypatch.setattr(calendar_file, "_AT_ONCE", none_free)
    monkeypatch.setattr(busy_address, "_READS_FOR_S", 0.0)
    home.now = row.next_try
    look_again(home.store, tools_of(home), home.now, row)
    told = row_of(home)
    assert told.problem == "Other calendars are being read just now."
    assert told.next_try - home.now < 3600, "its turn is soon, not in six hours"


@pytest.mark.parametrize("tag", ["caf\xe9", "x" * 5000, "", None])
def test_a_tag_that_cannot_be_sent_back_is_not_kept(tag: str | None) -> None:
    assert busy_address._sendable(tag) == ""
    assert busy_address._sendable('W/"5f-1"') == 'W/"5f-1"'
