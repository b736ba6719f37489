"""Calendar addresses: what a phone and a subscribed calendar get, and what nobody gets."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace

import icalendar
import pytest
from flask import Flask

from tests import samples
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.kitchen import Person
from webapp.kitchens.access import change_kitchen
from webapp.machine.redact import clean, install, redacted
from webapp.reminders.events import new_feed
from webapp.reminders.ics import CONTENT_TYPE
from webapp.web.reminder_tools import Ringing


def give_feed(app: Flask, kitchen: InKitchen, key: str = "a-feed-key") -> str:
    """Give the kitchen of this phone a feed; its path."""
    world = app.extensions["suppertide"]
    ringing: Ringing = app.extensions["suppertide-ringing"]
    new_feed(world.store, ringing.box, world.now(), kitchen.kitchen_id(), key)
    return f"/feed/{key}.ics"


def test_the_bake_and_each_step_are_calendar_files(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    answer = kitchen.get(f"/bakes/{bake_id}/bake.ics")
    assert answer.headers["Content-Type"] == CONTENT_TYPE
    whole = {str(e["UID"]): e for e in icalendar.Calendar.from_ical(answer.data).walk("VEVENT")}
    for step in samples.sample_plan().steps:
        one = icalendar.Calendar.from_ical(kitchen.get(f"/bakes/{bake_id}/steps/{step.step_id}.ics").data)
        (told,) = one.walk("VEVENT")
        assert whole[str(told["UID"])] == told
        assert step.text in str(told["DESCRIPTION"])


def test_links_lead_back_to_the_server_that_was_asked(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    text = kitchen.get(f"/bakes/{bake_id}/steps/mix.ics").text.replace("\r\n ", "")
    assert f"URL:http://localhost/bakes/{bake_id}#step-mix\r\n" in text


@pytest.mark.parametrize("path", ["bake.ics", "steps/mix.ics"])
def test_nobody_elses_bake_has_a_calendar_and_neither_has_an_unpicked_one(
    phone: Callable[[], InKitchen], path: str
) -> None:
    mine, yours = phone(), phone()
    bake_id = mine.has_a_bake()
    yours.get("/")
    assert yours.get(f"/bakes/{bake_id}/{path}").status_code == 404
    assert phone().get(f"/bakes/{bake_id}/{path}").status_code == 404
    unpicked = mine.plans()
    assert mine.get(f"/bakes/{unpicked}/{path}").status_code == 404


def test_an_unknown_step_has_no_file(kitchen: InKitchen) -> None:
    assert kitchen.get(f"/bakes/{kitchen.has_a_bake()}/steps/nope.ics").status_code == 404


def test_the_file_follows_what_happened(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    before = kitchen.get(f"/bakes/{bake_id}/bake.ics").data
    clock.now = samples.at(7, 31)
    assert kitchen.get(f"/bakes/{bake_id}/bake.ics").data == before
    kitchen.sends(bake_id, event(bake_id))
    after = kitchen.get(f"/bakes/{bake_id}/steps/mix.ics").text
    assert "VALARM" not in after
    assert "SEQUENCE:1" in after


def test_the_feed_needs_its_key_and_no_cookie(app: Flask, kitchen: InKitchen, phone: Callable[[], InKitchen]) -> None:
    kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    stranger = phone()
    answer = stranger.get(path)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == CONTENT_TYPE
    assert len(icalendar.Calendar.from_ical(answer.data).walk("VALARM")) == 6
    assert "Set-Cookie" not in answer.headers


def test_the_feed_answers_304_to_whoever_has_it_and_head_like_get(app: Flask, kitchen: InKitchen, clock: Clock) -> None:
    """RFC 9110 13.1.2 and 9.3.2: a strong validator, and HEAD without a body."""
    bake_id = kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    first = kitchen.get(path)
    tag = first.headers["ETag"]
    assert not tag.startswith("W/")
    again = kitchen.get(path, headers={"If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == tag
    head = kitchen.client.head(path)
    assert (head.status_code, head.data) == (200, b"")
    assert head.headers["ETag"] == tag
    assert head.headers["Content-Length"] == str(len(first.data))
    clock.now = samples.at(7, 31)
    assert kitchen.get(path, headers={"If-None-Match": tag}).status_code == 304, "time alone changes nothing"
    kitchen.sends(bake_id, event(bake_id))
    changed = kitchen.get(path, headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["ETag"] != tag


def test_a_feed_at_hand_is_answered_exactly_as_the_app_answers_it(app: Flask, kitchen: InKitchen) -> None:
    """The first asker wakes the app, the next ones are answered at the hatch in front of it."""
    kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    names = ("Content-Type", "ETag", "Cache-Control", "Referrer-Policy", "X-Content-Type-Options", "Content-Length")
    by_app, by_hatch = kitchen.get(path), kitchen.get(path)
    assert "Content-Security-Policy" in by_app.headers
    assert "Content-Security-Policy" not in by_hatch.headers, "it did not go through the app"
    assert by_app.data == by_hatch.data
    assert [by_app.headers[n] for n in names] == [by_hatch.headers[n] for n in names]
    tag = by_app.headers["ETag"]
    for sent, status in ((tag, 304), ("*", 304), (f'"x", W/{tag}', 304), ('"x"', 200), ("nonsense", 200), ("", 200)):
        assert kitchen.get(path, headers={"If-None-Match": sent}).status_code == status, sent


def test_one_persons_feed_is_its_own_and_answers_304_to_whoever_has_it(app: Flask, kitchen: InKitchen) -> None:
    """What is at hand for the whole house is never sent to one of it, nor the other way round."""
    people = (Person("Ann"), Person("Zoë"))
    change_kitchen(app.extensions["suppertide"].store, kitchen.kitchen_id(), lambda old: replace(old, people=people))
    kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    everybody, zoe = kitchen.get(path), kitchen.get(path, query_string={"person": "Zoë"})
    assert [one.status_code for one in (everybody, zoe)] == [200, 200]
    assert icalendar.Calendar.from_ical(zoe.data)["X-WR-CALNAME"] == "Suppertide: Zoë"
    assert zoe.headers["ETag"] != everybody.headers["ETag"]
    has_it = {"If-None-Match": zoe.headers["ETag"]}
    assert kitchen.get(path, query_string={"person": "Zoë"}, headers=has_it).status_code == 304
    assert kitchen.get(path, headers=has_it).status_code == 200
    assert kitchen.get(path, query_string={"person": "Cy"}).status_code == 404
    assert kitchen.get(path).data == everybody.data


def test_a_feed_asked_for_under_another_name_links_to_that_name(app: Flask, kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    for _ in range(2):
        for host in ("localhost", "kitchen.local:8080"):
            text = kitchen.get(path, base_url=f"http://{host}").text.replace("\r\n ", "")
            assert f"URL:http://{host}/bakes/" in text
    assert kitchen.get(path, base_url="http://stranger.example").status_code == 421


def test_a_feed_that_was_at_hand_is_gone_the_moment_it_is_revoked(app: Flask, kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    path = give_feed(app, kitchen)
    assert [kitchen.get(path).status_code for _ in range(2)] == [200, 200]
    kitchen.posts("/reminders/feed/off", page="/reminders")
    assert kitchen.get(path).status_code == 404


def test_unknown_and_revoked_feeds_look_the_same(app: Flask, kitchen: InKitchen) -> None:
    old = give_feed(app, kitchen, "old-key")
    give_feed(app, kitchen, "new-key")
    answers = [kitchen.get(path) for path in (old, "/feed/never-was.ics", f"/feed/{'x' * 3000}.ics")]
    assert {(a.status_code, a.text) for a in answers} == {(404, answers[0].text)}
    assert kitchen.client.post("/feed/new-key.ics").status_code in (400, 403, 405)


def test_a_test_ring_is_a_minute_or_two_away(kitchen: InKitchen, clock: Clock) -> None:
    (entry,) = icalendar.Calendar.from_ical(kitchen.get("/reminders/test.ics").data).walk("VEVENT")
    assert 60 <= entry["DTSTART"].dt.timestamp() - clock.now < 120
    assert len(entry.walk("VALARM")) == 1


def test_a_feed_that_breaks_leaves_no_key_in_the_log(
    app: Flask, kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    path = give_feed(app, kitchen, "very-secret-key")

    def breaks(*_: object) -> None:
        raise RuntimeError(f"cannot serve {path}")

    monkeypatch.setattr("webapp.reminders.events.feed", breaks)
    app.testing = False
    app.config["PROPAGATE_EXCEPTIONS"] = False
    answer = kitchen.get(path)
    assert answer.status_code == 500
    assert "very-secret-key" not in answer.text
    assert caplog.records, "the failure itself is logged"
    handler = logging.Formatter()
    assert "very-secret-key" not in "".join(handler.format(record) for record in caplog.records)


@pytest.mark.parametrize(
    ("said", "hidden"),
    [
        ('GET /feed/abc-123_X.ics HTTP/1.1" 200', "abc-123_X"),
        ("http://host:8080/feed/abc-123?x=1", "abc-123"),
        ("https://host/join?code=abcdef&x=1", "abcdef"),
        ("https://updates.push.services.mozilla.com/wpush/v2/gAAAA", "gAAAA"),
        ("https://fcm.googleapis.com/fcm/send/tok:en", "tok:en"),
    ],
)
def test_every_kind_of_key_is_hidden(said: str, hidden: str) -> None:
    assert hidden in said
    assert hidden not in redacted(said)


def test_what_the_http_client_logs_loses_every_address_but_its_host() -> None:
    """A push service of one's own, a calendar's path: whatever they look like, they may be keys."""
    text = 'HTTP Request: POST http://push.home.example:444/send/s3cret?k=s3cret "HTTP/1.1 201 Created"'
    said = logging.LogRecord("httpx", logging.INFO, "", 0, text, None, None)
    assert clean(said) is said
    assert "s3cret" not in said.getMessage()
    assert "push.home.example:444" in said.getMessage()


@pytest.mark.parametrize("name", ["webapp", "webapp.reminders.push.sending", "webapp.server.background", "of.nobody"])
def test_no_logger_is_made_that_tells_a_key(name: str, caplog: pytest.LogCaptureFixture) -> None:
    install()
    install()
    with caplog.at_level(logging.INFO):
        try:
            raise RuntimeError("cannot reach /feed/s3cret.ics")
        except RuntimeError:
            logging.getLogger(name).exception("read %s", "/feed/s3cret.ics")
        logging.getLogger(name).info("of %d calendars /feed/s3cret.ics", "no number")
    told = "".join(logging.Formatter().format(record) for record in caplog.records)
    assert told.count("(hidden)") == 4, "the words, the raised words and the line that raises them, and the odd one"
    assert "s3cret" not in told


def test_before_a_bake_is_forgotten_the_file_that_calls_its_steps_off_is_offered(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()

    def forgetting() -> str:
        return kitchen.get(f"/bakes/{bake_id}").text.partition("Forget it for good")[2].partition("Yes, forget it")[0]

    assert "give the bake up first" in forgetting()
    kitchen.posts(f"/bakes/{bake_id}/drop", page=f"/bakes/{bake_id}")
    assert f'href="/bakes/{bake_id}/bake.ics"' in forgetting()
    events = icalendar.Calendar.from_ical(kitchen.get(f"/bakes/{bake_id}/bake.ics").data).walk("VEVENT")
    assert {str(one["STATUS"]) for one in events} == {"CANCELLED"}
