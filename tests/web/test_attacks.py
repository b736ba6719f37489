"""What an attacker tries first, on every route that there is: forged forms, foreign keys, paths, headers, sizes."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import closing

import icalendar
import pytest
from flask import Flask
from sqlalchemy import select

from tests.web.conftest import SAME, InKitchen
from tests.web.seen import sheet
from webapp.machine.settings import Settings
from webapp.store.schema.tables import TABLES
from webapp.store.store import Store

TOPPINGS = {"name": "Ours", "0-name": "Onion", "0-grams": "200", "0-when": "before", "0-keep": "shelf"}
WAY = {"name": "Slow bench", "0-kind": "mix", "0-hands": "20", "1-kind": "press", "1-least": "8 h", "1-best": "9 h",
       "1-most": "12 h", "2-kind": "load", "2-least": "45 min", "2-best": "1 h", "2-most": "90"}  # fmt: skip
# Written down by a look alone: when a phone was last here, and what a calendar file that was given out said, since its
# SEQUENCE counts changes of that (RFC 5545, 3.8.7.4).
NOTED = ("phones", "calendar_")


def dump(settings: Settings) -> list[str]:
    """All that is kept."""
    store = Store(settings.database)
    with closing(store), store.reading() as db:
        return [
            f"{table.name} {tuple(row)!r}"
            for table in TABLES.sorted_tables
            if not table.name.startswith(NOTED)
            for row in db.execute(select(table))
        ]


def routes(app: Flask, method: str) -> list[tuple[str, str]]:
    """(endpoint, path) of every route that takes this method, but of those for JSON."""
    rules = [one for one in app.url_map.iter_rules() if method in (one.methods or ())]
    return [(one.endpoint, one.rule) for one in rules if not one.rule.startswith("/api/")]


def filled(rule: str, names: dict[str, str]) -> str:
    """The path with something in each place: what there is by that name, else a number or a word."""
    return re.sub(r"<(?:(\w+):)?(\w+)>", lambda one: names.get(one[2], "0" if one[1] == "int" else "x"), rule)


@pytest.fixture
def names(kitchen: InKitchen) -> dict[str, str]:
    """A bake, an own formula, this phone: of `kitchen`."""
    bake_id = kitchen.has_a_bake()
    kitchen.posts("/larder", sheet(kitchen))
    phone = re.search(r"/join/phones/([^/]+)/name", kitchen.get("/join").text)
    own = re.search(r"/larder/(own-[\w-]+)", kitchen.get("/larder").text)
    assert phone
    assert own
    return {"bake_id": bake_id, "phone_id": phone[1], "key": own[1], "section": "units", "question": "pan"}


def test_no_form_is_taken_without_the_token_of_a_page_of_ours(
    app: Flask, kitchen: InKitchen, names: dict[str, str], settings: Settings
) -> None:
    before, sent = dump(settings), routes(app, "POST")
    assert len(sent) > 45
    for endpoint, rule in sent:
        answer = kitchen.client.post(filled(rule, names), data={"word": "delete", "name": "x"}, headers=SAME)
        assert answer.status_code == 400, endpoint
        forged = kitchen.client.post(
            filled(rule, names), data={"csrf_token": "x" * 90, "word": "delete"}, headers={"Origin": "http://localhost"}
        )
        assert forged.status_code == 400, endpoint
    assert dump(settings) == before


def test_no_form_is_taken_from_another_site_even_with_a_token(
    app: Flask, kitchen: InKitchen, names: dict[str, str], settings: Settings
) -> None:
    token, before = kitchen.token("/join"), dump(settings)
    for endpoint, rule in routes(app, "POST"):
        for said in ({"Sec-Fetch-Site": "cross-site"}, {"Origin": "https://evil.example"}, {"Origin": "null"}):
            data = {"csrf_token": token, "word": "delete", "name": "x"}
            assert kitchen.client.post(filled(rule, names), data=data, headers=said).status_code == 403, endpoint
    assert dump(settings) == before


def test_looking_at_every_page_changes_nothing_and_each_says_what_a_browser_may_do_with_it(
    app: Flask, kitchen: InKitchen, names: dict[str, str], settings: Settings
) -> None:
    """The headers are those of OWASP's Secure Headers list that apply to pages; from memory."""
    before, met = dump(settings), 0
    for endpoint, rule in routes(app, "GET"):
        answer = kitchen.get(filled(rule, names))
        assert answer.status_code in (200, 303, 302, 404, 422), endpoint
        met += answer.status_code == 200
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy, endpoint
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff", endpoint
        assert answer.headers["Referrer-Policy"] == "same-origin", endpoint
        assert "Server" not in answer.headers
        if answer.mimetype == "text/html":
            assert "Content-Type" in answer.headers
            assert answer.headers["Content-Type"].endswith("charset=utf-8"), endpoint
            assert not re.search(r"<script(?![^>]*src=)[^>]*>(?!\s*</)", answer.text.replace(" type=", " src=")), (
                endpoint
            )
    assert met > 30
    assert dump(settings) == before


def test_what_a_kitchen_wrote_down_opens_to_no_other(kitchen: InKitchen, phone: Callable[[], InKitchen]) -> None:
    assert kitchen.posts("/larder", sheet(kitchen)).status_code == 303
    assert kitchen.posts("/larder/toppings", TOPPINGS | {"pan": "oven-tray"}).status_code == 303
    assert kitchen.posts("/larder/methods", WAY).status_code == 303
    assert kitchen.posts("/test-glass", {"room": "21"}).status_code == 303
    stranger = phone()
    stranger.kitchen_id()
    ours = {
        place: set(re.findall(rf'"({place}/(?:own-)?[\w-]{{16,}}[\w/-]*)', kitchen.get(place).text))
        for place in ("/larder", "/larder/toppings", "/larder/methods", "/test-glass")
    }
    assert all(ours.values()), ours
    for path in set().union(*ours.values()):
        assert stranger.get(path).status_code in (404, 405), path
        sent = sheet(stranger) | TOPPINGS | WAY | {"first": "50", "height": "60"}
        answer = stranger.posts(path, sent)
        assert answer.status_code in (404, 405), path
    for place, paths in ours.items():
        there = stranger.get(place).text
        assert not [path for path in paths if path in there]
        assert all(path in kitchen.get(place).text for path in paths), "and all is still there"


@pytest.mark.parametrize("method", ["TRACE", "TRACK", "CONNECT", "PUT", "DELETE", "PATCH", "PROPFIND", "MADE-UP"])
def test_other_methods_are_refused(kitchen: InKitchen, method: str) -> None:
    for path in ("/", "/settings", "/plan", "/export.json", "/api/bakes"):
        assert kitchen.client.open(path, method=method, headers=SAME).status_code in (403, 405), path


BREAKS = ("Ours\r\nATTACH:https://evil.example/", "Ours\nEND:VEVENT\nBEGIN:VEVENT", "Ours\x85X-A:b", "Ours\u2028X-A:b")


@pytest.mark.parametrize("name", BREAKS)
def test_a_name_with_line_breaks_adds_no_line_to_a_calendar_and_no_header_to_an_answer(
    kitchen: InKitchen, name: str
) -> None:
    """RFC 5545, 3.1: a line break ends a property; RFC 9110, 5.5: and a header."""
    bake_id = kitchen.has_a_bake()
    kitchen.posts("/larder", sheet(kitchen, {"name": name}))
    kitchen.posts("/settings/people/0", {"name": name, "0-away": "8-17"}, page="/settings/people/0")
    for path in (f"/bakes/{bake_id}/bake.ics", f"/bakes/{bake_id}/called-off.ics", "/reminders/test.ics"):
        answer = kitchen.get(path)
        assert answer.status_code in (200, 404), path
        if answer.status_code == 200:
            lines = answer.data.split(b"\r\n")
            assert not [line for line in lines if line.startswith((b"ATTACH", b"X-A"))]
            calendar = icalendar.Calendar.from_ical(answer.data)
            assert all(b"\n" not in line and b"\r" not in line for line in lines)
            assert len(calendar.walk("VEVENT")) == answer.data.count(b"BEGIN:VEVENT\r\n")
            assert re.fullmatch(r'(?:attachment|inline); filename="?[\w.-]+"?', answer.headers["Content-Disposition"])


LEADS = ("//evil.example/", "https://evil.example/\r\nX-Injected: yes")


@pytest.mark.parametrize("typed", LEADS)
def test_nothing_typed_leads_away_or_into_a_header(app: Flask, kitchen: InKitchen, typed: str) -> None:
    bake_id, token = kitchen.has_a_bake(), kitchen.token("/join")
    names = {"bake_id": bake_id, "section": "units", "question": "pan"}
    fields = ("zone", "supper", "again", "once", "code", "name", "move", "keep", "next", "lit", "seen", "place")
    for endpoint, rule in routes(app, "POST"):
        if endpoint == "export.delete_everything":
            continue
        data = dict.fromkeys(fields, typed) | {"csrf_token": token}
        answer = kitchen.client.post(filled(rule, names), data=data, headers=SAME)
        assert answer.status_code < 500, endpoint
        assert "X-Injected" not in answer.headers
        assert re.match(r"/(?![/\\])", answer.headers.get("Location", "/")), endpoint
    for endpoint, rule in routes(app, "GET"):
        answer = kitchen.client.get(filled(rule, names), query_string=dict.fromkeys(fields, typed))
        assert answer.status_code < 500, endpoint
        assert "X-Injected" not in answer.headers
        assert re.match(r"/(?![/\\])", answer.headers.get("Location", "/")), endpoint


def test_a_form_of_more_fields_or_bytes_than_any_of_ours_is_413_with_words(kitchen: InKitchen) -> None:
    token = kitchen.token("/join")
    many = {"csrf_token": token} | {f"field-{number}": "x" for number in range(3000)}
    long = {"csrf_token": token, "name": "x" * 1_600_000}
    for data, kind in ((many, "multipart/form-data"), (long, "application/x-www-form-urlencoded")):
        answer = kitchen.client.post("/settings/people/0", data=data, headers=SAME, content_type=kind)
        assert answer.status_code == 413
        assert "more than the server takes at once" in answer.text
