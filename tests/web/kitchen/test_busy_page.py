"""The page of busy times and what the home page says of them, as a person sees it without JavaScript."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from flask import Flask

from tests.reminders.test_busy_address import SECRET, Calendars, calendar
from tests.samples import at
from tests.web.conftest import NOW, Clock, InKitchen, sample_planner
from webapp.kitchens.busy import calendar_file
from webapp.kitchens.busy.times import REACH_S
from webapp.machine.settings import Settings
from webapp.store.busy import BusyCalendar
from webapp.web.app import create_app, most_bytes

DAY = 86400
PAGE = "/settings/busy"


@pytest.fixture
def there() -> Iterator[Calendars]:
    server = Calendars()
    server.body = calendar(at(42))
    yield server
    server.stop()


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> Flask:
    """A server whose owner opened the home network."""
    return create_app(Settings(data=tmp_path / "data", local_calendars=True), planner=sample_planner, now=clock)


def follows(kitchen: InKitchen, url: str) -> str:
    """Type the address in; the page that comes back."""
    answer = kitchen.posts(f"{PAGE}/address", {"busy-address": url}, page=PAGE, follow_redirects=True)
    return answer.text


def uploads(kitchen: InKitchen) -> None:
    sent = {"file": (io.BytesIO(calendar(at(42))), "mine.ics")}
    assert kitchen.posts(PAGE, sent, page=PAGE, content_type="multipart/form-data").status_code == 303


def row_of(kitchen: InKitchen) -> BusyCalendar:
    (row,) = kitchen.store.busy_calendars(kitchen.kitchen_id())
    return row


def test_an_address_is_fetched_at_once_and_never_shown_again(kitchen: InKitchen, there: Calendars) -> None:
    page = follows(kitchen, there.url)
    assert "Read: one busy stretch in the coming weeks." in page
    assert "From the calendar at <strong>127.0.0.1</strong>" in page
    assert "1 busy stretch from now on" in page.replace("\n", "")
    assert SECRET not in page
    assert SECRET not in kitchen.get("/settings").text
    assert SECRET not in kitchen.get("/export.json").text


def test_a_mistyped_address_stays_as_typed_at_its_field_and_in_no_cache(kitchen: InKitchen) -> None:
    answer = kitchen.posts(f"{PAGE}/address", {"busy-address": "ftp://cal.example.org/x"}, page=PAGE)
    assert answer.status_code == 422
    assert 'value="ftp://cal.example.org/x"' in answer.text
    assert 'id="busy-address-error"' in answer.text
    assert answer.headers["Cache-Control"] == "no-store"


def test_fetching_now_says_what_went_wrong_and_what_still_counts(kitchen: InKitchen, there: Calendars) -> None:
    follows(kitchen, there.url)
    there.status = 404
    kitchen.posts(f"{PAGE}/now", page=PAGE)
    page = kitchen.get(PAGE).text
    assert "It could not be fetched." in page
    assert "Copy it anew" in page
    assert "go on counting" in page
    there.status = 200
    assert "it is up to date" in kitchen.posts(f"{PAGE}/now", page=PAGE, follow_redirects=True).text
    assert "could not be fetched" not in kitchen.get(PAGE).text


def test_taking_the_address_out_forgets_it_and_its_times(kitchen: InKitchen, there: Calendars) -> None:
    follows(kitchen, there.url)
    kitchen.posts(f"{PAGE}/forget", page=PAGE)
    assert kitchen.store.busy_calendars(kitchen.kitchen_id()) == ()
    answer = kitchen.get("/export.json").json
    assert answer is not None
    assert answer["busy"] == []
    assert kitchen.posts(f"{PAGE}/now", page=PAGE).status_code == 303, "nothing to fetch, and nothing breaks"


def test_an_upload_reaches_to_its_last_entry_and_warns_before_it_ends(kitchen: InKitchen, clock: Clock) -> None:
    """A file of the coming weeks ends somewhere, and whether a later day is free it cannot say."""
    late = at(42) + 50 * DAY
    sent = {"file": (io.BytesIO(calendar(at(42), late)), "mine.ics")}
    kitchen.posts(PAGE, sent, page=PAGE, content_type="multipart/form-data")
    end = late + 3600
    assert row_of(kitchen).reach == end
    assert "it reaches to <strong>" in kitchen.get(PAGE).text
    assert "nothing after" not in kitchen.get("/").text
    assert "Nothing is in it after" not in kitchen.get(PAGE).text
    clock.now = end - 13 * DAY  # something planned a fortnight ahead would lie beyond
    assert "Nothing is in it after" in kitchen.get(PAGE).text
    assert "nothing after" not in kitchen.get("/").text
    clock.now = end - 6 * DAY
    assert "calendar that you uploaded has nothing after" in kitchen.get("/").text
    clock.now = end + DAY
    assert "calendar that you uploaded ended" in kitchen.get("/").text
    assert "It ended" in kitchen.get(PAGE).text


def test_an_upload_with_one_entry_reaches_to_that_one_and_not_as_far_as_it_was_looked_through(
    kitchen: InKitchen,
) -> None:
    uploads(kitchen)
    assert row_of(kitchen).reach == at(43) < NOW + REACH_S
    assert "Nothing is in it after" in kitchen.get(PAGE).text


def test_a_file_that_is_too_large_to_be_taken_is_refused_at_the_field_with_the_limit_and_the_way_out(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(calendar_file, "MOST_FILE_BYTES", 100_000)
    kitchen = InKitchen(create_app(replace(settings, max_body=100_000)).test_client())
    kitchen.get("/")
    large = b"BEGIN:VCALENDAR\r\n" + b" " * 400_000
    sent = {"file": (io.BytesIO(large), "mine.ics")}
    answer = kitchen.posts(PAGE, sent, page=PAGE, content_type="multipart/form-data")
    assert answer.status_code == 413
    assert 'id="file-error"' in answer.text
    assert "That file has 0.4 MB; 0.1 MB is the most." in answer.text
    assert "Export only the coming weeks" in answer.text
    assert "calendar’s own address" in answer.text
    assert kitchen.store.busy_calendars(kitchen.kitchen_id()) == ()


def test_an_address_that_keeps_silent_is_said_on_the_home_page_after_a_day(
    kitchen: InKitchen, there: Calendars, clock: Clock
) -> None:
    follows(kitchen, there.url)
    kitchen.store.put_busy_calendar(replace(row_of(kitchen), problem="It says 503."))
    assert "was last fetched" not in kitchen.get("/").text
    clock.now += 2 * DAY
    assert "calendar of your busy times was last fetched" in kitchen.get("/").text


def test_busy_times_brought_in_from_another_server_reach_as_far_as_the_last_of_them(
    kitchen: InKitchen,
) -> None:
    uploads(kitchen)
    taken = kitchen.get("/export.json").data
    kitchen.posts(f"{PAGE}/forget", page=PAGE)
    sent = {"file": (io.BytesIO(taken), "kitchen.json")}
    kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert row_of(kitchen).reach == at(43)


def test_the_page_names_the_limits_that_are_kept(kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calendar_file, "MOST_FILE_BYTES", 2_500_000)
    monkeypatch.setattr(calendar_file, "MOST_BUSY_EVENTS", 7_000)
    kitchen.has_a_bake()
    assert "2.5 MB and 7,000 events at most" in kitchen.get("/settings/busy").text


def test_a_calendar_file_may_be_larger_than_a_request_of_another_page(settings: Settings) -> None:
    kitchen = InKitchen(create_app(replace(settings, max_body=100_000)).test_client())
    kitchen.get("/")
    note = b"\r\n ".join([b"X-NOTE:", *[b"x" * 60] * 3000])
    sent = {"file": (io.BytesIO(calendar(at(42)).replace(b"END:VCALENDAR", note + b"\r\nEND:VCALENDAR")), "mine.ics")}
    assert kitchen.posts(PAGE, sent, page=PAGE, content_type="multipart/form-data").status_code == 303
    assert kitchen.posts("/plan", {"away": "x" * 190_000}).status_code == 413


def test_the_most_that_a_request_may_have_follows_the_most_that_a_file_may_have(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(calendar_file, "MOST_FILE_BYTES", 7_000_000)
    assert most_bytes(settings)(PAGE) > 7_000_000
    assert most_bytes(settings)("/plan") == settings.max_body
    assert most_bytes(replace(settings, max_body=9_000_000))(PAGE) == 9_000_000


@pytest.mark.parametrize("way", ["now", "forget"])
@pytest.mark.parametrize("who", ["7", "-1", "x"])
def test_somebody_who_is_not_on_the_list_is_told_so_on_the_page_itself(kitchen: InKitchen, way: str, who: str) -> None:
    kitchen.get("/")
    kitchen.has_a_bake()
    response = kitchen.posts(f"/settings/busy/{way}", {"who": who}, page="/settings/busy")
    assert response.status_code == 422
    assert "That person is not on the list." in response.text
    assert "<h1>Busy times</h1>" in response.text
