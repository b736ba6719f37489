"""The JSON API: one error shape everywhere, a journal that is a set, and walls between kitchens."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from tests.samples import at, sample_plan
from tests.web.conftest import NOW, SAME, Clock, InKitchen, event
from webapp.bundle import from_plain
from webapp.core.plan import Event, Plan
from webapp.usecases import MOST_EVENTS
from webapp.web.schemas import DATA_OF, MOST_AT_ONCE

JSON_KIND = {"Content-Type": "application/json"}


def problem_of(response: TestResponse) -> dict[str, str]:
    """The error of an answer, after checking that it has the one shape."""
    assert response.mimetype == "application/json", response.text
    answer = response.json
    assert answer is not None
    assert set(answer) == {"error", "errors"}
    assert answer["errors"][0] == answer["error"]
    for one in answer["errors"]:
        assert set(one) == {"field", "message", "way_out"}
        assert all(isinstance(value, str) for value in one.values())
        assert one["field"]
        assert one["message"]
    error: dict[str, str] = answer["error"]
    return error


def test_the_list_has_picked_bakes_only_and_says_when_it_was_made(kitchen: InKitchen, clock: Clock) -> None:
    kitchen.plans()
    bake_id = kitchen.has_a_bake()
    answer = kitchen.get("/api/bakes").json
    assert answer is not None
    assert answer["served_at"] == NOW
    (only,) = answer["bakes"]
    assert only["bake_id"] == bake_id
    assert only["title"] == "Tray pizza for Wednesday"
    assert (only["begins"], only["supper"]) == (at(7, 15), at(19, 30))
    clock.now = at(19, 30) + 36 * 3600 + 1
    later = kitchen.get("/api/bakes").json
    assert later is not None
    assert later["bakes"] == []


def test_a_bundle_is_all_that_a_phone_needs(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    answer = kitchen.get(f"/api/bakes/{bake_id}/bundle").json
    assert answer is not None
    assert from_plain(Plan, answer["plan"]).bake_id == bake_id
    assert from_plain(Event, answer["events"][0]).kind == "done"
    assert answer["kitchen"]["clock"] == "24"
    assert answer["served_at"] == NOW


def test_what_the_api_answers_is_kept_by_no_cache(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for path in ("/api/bakes", f"/api/bakes/{bake_id}/bundle", f"/api/bakes/{bake_id}/events", "/api/none"):
        assert kitchen.get(path).headers["Cache-Control"] == "no-store", path


# --- the journal --------------------------------------------------------------------------------------------------


def test_events_come_back_as_they_were_sent(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sent = [event(bake_id), event(bake_id, "glass", times=1.6), event(bake_id, "note", text="Fenêtre ouverte 🪟")]
    answer = kitchen.sends(bake_id, *sent)
    assert answer.status_code == 200
    assert answer.json is not None
    assert answer.json["added"] == 3
    assert answer.json["events"] == sent == kitchen.lines(bake_id)


def test_a_repeated_send_changes_nothing(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sent = event(bake_id)
    first = kitchen.sends(bake_id, sent, sent).json
    second = kitchen.sends(bake_id, sent).json
    assert first is not None
    assert second is not None
    assert (first["added"], second["added"]) == (1, 0)
    assert first["events"] == second["events"]


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_two_phones_end_with_the_same_journal_whoever_sends_what(kitchen: InKitchen, data: st.DataObject) -> None:
    bake_id = kitchen.has_a_bake()
    events = [event(bake_id, "note", text=str(i)) | {"at": at(8) + i % 3} for i in range(6)]
    sends = data.draw(st.lists(st.lists(st.sampled_from(events), max_size=4), max_size=6))
    for one in sends:
        kitchen.sends(bake_id, *one)
    kitchen.sends(bake_id, *data.draw(st.permutations(events)))
    assert kitchen.lines(bake_id) == sorted(events, key=lambda one: (one["at"], one["event_id"]))


def test_an_unknown_kind_is_kept_for_the_phone_that_knows_it(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sent = event(bake_id, "moon-phase", phase={"deep": [1, 2, None]})
    assert kitchen.sends(bake_id, sent).status_code == 200
    assert kitchen.lines(bake_id) == [sent]


def test_what_a_newer_phone_adds_to_a_known_kind_is_kept(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sent = event(bake_id, "glass", times=1.5, light="dim")
    kitchen.sends(bake_id, sent)
    assert kitchen.lines(bake_id) == [sent]


def test_no_events_is_fine_and_asks_for_the_journal(kitchen: InKitchen) -> None:
    assert kitchen.sends(kitchen.has_a_bake()).status_code == 200


KNOWN: dict[str, dict[str, object]] = {
    "done": {"step_id": "mix"}, "begun": {"step_id": "load-2"}, "undo": {"event_id": "0" * 32},
    "later": {"until": at(18)}, "glass": {"times": 1.6}, "room": {"temp_c": 23.5}, "moved": {"place": "fridge"},
    "supper": {"instant": at(20)}, "weighed": {"line": "dough/flour"}, "poured": {"line": "dough/water", "grams": 340},
    "pan": {"area_cm2": 900}, "note": {"text": ""}, "outcome": {"base": "good"},
}  # fmt: skip


def test_every_kind_of_the_journal_is_known_to_the_schema() -> None:
    assert set(DATA_OF) == set(KNOWN)
    table = re.findall(r"^    ([a-z]+) {2,}\w", Event.__doc__ or "", re.MULTILINE)
    assert set(table) - {"kind"} == set(KNOWN), "the table in core/plan.py and the schema name the same kinds"


@pytest.mark.parametrize("kind", KNOWN)
def test_every_known_kind_is_taken(kitchen: InKitchen, kind: str) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.sends(bake_id, event(bake_id, kind, **KNOWN[kind])).status_code == 200


@pytest.mark.parametrize(
    ("kind", "data", "field"),
    [
        ("done", {"step_id": "Mix the dough"}, "step_id"),
        ("done", {"step_id": 3}, "step_id"),
        ("done", {"x": 1}, "step_id"),
        ("undo", {"event_id": "short"}, "event_id"),
        ("glass", {"times": "NaN"}, "times"),
        ("glass", {"times": 0.5}, "times"),
        ("glass", {"times": 99}, "times"),
        ("room", {"temp_c": 120}, "temp_c"),
        ("moved", {"place": "garden"}, "place"),
        ("later", {"until": 5}, "until"),
        ("later", {"until": 1.5}, "until"),
        ("supper", {"instant": "19:30"}, "instant"),
        ("weighed", {"line": "flour"}, "line"),
        ("poured", {"line": "dough/flour", "grams": -1}, "grams"),
        ("pan", {"area_cm2": 0}, "area_cm2"),
        ("note", {"text": "x" * 2001}, "text"),
        ("outcome", {"base": ["a"]}, "base"),
    ],
)
def test_wrong_data_is_refused_by_its_path(kitchen: InKitchen, kind: str, data: dict[str, object], field: str) -> None:
    bake_id = kitchen.has_a_bake()
    response = kitchen.sends(bake_id, event(bake_id), {**event(bake_id, kind), "data": data})
    assert response.status_code == 422
    assert problem_of(response)["field"] == f"events.1.data.{field}"
    assert kitchen.lines(bake_id) == [], "all or nothing"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"event_id": "x"}, "event_id"),
        ({"event_id": None}, "event_id"),
        ({"at": "now"}, "at"),
        ({"at": 1}, "at"),
        ({"at": 10**11}, "at"),
        ({"logged_at": True}, "logged_at"),
        ({"kind": "Big Kind"}, "kind"),
        ({"kind": "x" * 40}, "kind"),
        ({"phone": ""}, "phone"),
        ({"phone": "p" * 65}, "phone"),
        ({"data": []}, "data"),
        ({"data": {"k" * 41: 1}}, "data"),
        ({"bake_id": "another"}, "bake_id"),
        ({"extra": 1}, "extra"),
        ({"data": {"x": "y" * 5000}}, "data"),
    ],
)
def test_a_wrong_event_is_refused_by_its_path(kitchen: InKitchen, change: dict[str, object], field: str) -> None:
    bake_id = kitchen.has_a_bake()
    response = kitchen.sends(bake_id, {**event(bake_id, "odd"), **change})
    assert response.status_code == 422
    assert problem_of(response)["field"].startswith(f"events.0.{field}")


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b'"x"', b"\xff\xfe", b'{"events": 1}', b'{"events": [1]}', b"{}",
        b'{"events": [], "x": 1}', b"[" * 100_000, b'{"events":' + b"[" * 50_000,
    ],
    ids=range(12),
)  # fmt: skip
def test_a_body_that_is_no_batch_is_refused(kitchen: InKitchen, body: bytes) -> None:
    bake_id = kitchen.has_a_bake()
    response = kitchen.client.post(f"/api/bakes/{bake_id}/events", data=body, headers=SAME | JSON_KIND)
    assert response.status_code == 422
    problem_of(response)


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_no_number_that_is_none_gets_into_a_journal(kitchen: InKitchen, number: str) -> None:
    bake_id = kitchen.has_a_bake()
    text = json.dumps({"events": [event(bake_id, "odd", value="HERE")]}).replace('"HERE"', number)
    response = kitchen.client.post(f"/api/bakes/{bake_id}/events", data=text, headers=SAME | JSON_KIND)
    assert response.status_code == 422
    problem_of(response)
    assert "NaN" not in kitchen.get(f"/api/bakes/{bake_id}/bundle").text


def test_too_many_events_at_once_are_refused(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    response = kitchen.sends(bake_id, *(event(bake_id) for _ in range(MOST_AT_ONCE + 1)))
    assert response.status_code == 422
    assert problem_of(response)["field"] == "events"


def test_a_full_journal_takes_no_more_but_repeats_are_welcome(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    first = [event(bake_id, "note", text="x") for _ in range(MOST_AT_ONCE)]
    for start in range(0, MOST_EVENTS, MOST_AT_ONCE):
        batch = first if start == 0 else [event(bake_id, "note", text="x") for _ in range(MOST_AT_ONCE)]
        assert kitchen.sends(bake_id, *batch).status_code == 200
    response = kitchen.sends(bake_id, event(bake_id))
    assert response.status_code == 422
    assert "full" in problem_of(response)["message"]
    assert kitchen.sends(bake_id, *first).status_code == 200
    assert len(kitchen.lines(bake_id)) == MOST_EVENTS


def test_a_body_larger_than_the_server_takes_is_refused_in_the_one_shape(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    body = b'{"events": ["' + b"x" * 2_000_000 + b'"]}'
    response = kitchen.client.post(f"/api/bakes/{bake_id}/events", data=body, headers=SAME | JSON_KIND)
    assert response.status_code == 413
    problem_of(response)


# --- doors --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "headers",
    [
        {}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Sec-Fetch-Site": "none"},
        {"Origin": "http://evil.example"}, {"Origin": "null"}, {"Origin": "http://localhost:9999"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "cross-site"},
    ],
    ids=range(8),
)  # fmt: skip
def test_a_change_from_anywhere_but_our_own_pages_is_refused(kitchen: InKitchen, headers: dict[str, str]) -> None:
    bake_id = kitchen.has_a_bake()
    body = {"events": [event(bake_id)]}
    response = kitchen.client.post(f"/api/bakes/{bake_id}/events", json=body, headers=headers)
    assert response.status_code == 403
    problem_of(response)
    assert kitchen.lines(bake_id) == []


def test_our_own_origin_is_taken_from_a_browser_without_fetch_metadata(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.sends(bake_id, event(bake_id), headers={"Origin": "http://localhost"}).status_code == 200


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_what_a_form_of_another_site_could_send_is_no_json(kitchen: InKitchen, kind: str) -> None:
    bake_id = kitchen.has_a_bake()
    body = json.dumps({"events": [event(bake_id)]})
    headers = SAME | ({"Content-Type": kind} if kind else {})
    response = kitchen.client.post(f"/api/bakes/{bake_id}/events", data=body, headers=headers)
    assert response.status_code == 415
    problem_of(response)


def test_a_phone_without_a_kitchen_is_told_so_and_makes_none(phone: Callable[[], InKitchen]) -> None:
    stranger = phone()
    response = stranger.get("/api/bakes")
    assert response.status_code == 401
    assert "no kitchen" in problem_of(response)["message"]
    assert "Set-Cookie" not in response.headers


def every_api_failure(kitchen: InKitchen, app: Flask) -> list[tuple[str, TestResponse]]:
    """Each route of the API, failing in each way it can: no kitchen, not there, wrong verb."""
    stranger = InKitchen(app.test_client())
    found = []
    for rule in app.url_map.iter_rules():
        if not rule.rule.startswith("/api/"):
            continue
        path = re.sub(r"<[^>]+>", "x", rule.rule)
        for method in (rule.methods or set()) - {"OPTIONS", "HEAD"}:
            more: dict[str, Any] = {"headers": SAME} | ({"json": {}} if method != "GET" else {})
            found.append((f"{method} {path} stranger", stranger.client.open(path, method=method, **more)))
            if "<" in rule.rule:
                found.append((f"{method} {path} missing", kitchen.client.open(path, method=method, **more)))
        found.append((f"PATCH {path}", kitchen.client.patch(path, headers=SAME, json={})))
    return [*found, ("GET /api/nothing", kitchen.get("/api/nothing"))]


def test_every_route_that_can_fail_fails_in_the_one_shape(kitchen: InKitchen, app: Flask) -> None:
    kitchen.get("/")
    failures = every_api_failure(kitchen, app)
    assert len(failures) >= 9
    for name, response in failures:
        if response.status_code >= 400:
            assert problem_of(response), name
        else:
            assert response.mimetype == "application/json", name
    assert {response.status_code for _, response in failures} >= {401, 404, 405}


def test_a_fault_in_the_program_is_a_500_that_tells_nothing(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    kitchen = InKitchen(app.test_client())
    kitchen.get("/")

    def breaks(*_: object, **__: object) -> None:
        raise RuntimeError("the secret inside")

    monkeypatch.setattr("webapp.store.bakes.Bakes.picked", breaks)
    app.testing = False
    app.logger.disabled = True
    response = kitchen.get("/api/bakes")
    page = kitchen.get("/")
    assert (response.status_code, page.status_code) == (500, 500)
    assert problem_of(response)["field"] == "request"
    assert "secret" not in response.text + page.text


# --- two kitchens -------------------------------------------------------------------------------------------------


def bake_routes(app: Flask) -> list[tuple[str, str]]:
    """Every (method, path pattern) that names a bake or anything else of one kitchen."""
    named = ("<bake_id>", "<phone_id>", "<step_id>")
    return [
        (method, rule.rule)
        for rule in app.url_map.iter_rules()
        for method in sorted((rule.methods or set()) - {"OPTIONS", "HEAD"})
        if any(one in rule.rule for one in named)
    ]


def test_two_kitchens_cannot_see_each_other_on_any_route(app: Flask, phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    bake_id = ours.has_a_bake()
    ours.sends(bake_id, event(bake_id, "note", text="ours alone"))
    theirs.has_a_bake()
    our_phone = re.search(r"/join/phones/([^/]+)/name", ours.get("/join").text)
    assert our_phone
    step = sample_plan().steps[0].step_id
    token = theirs.token()
    routes = bake_routes(app)
    assert len(routes) >= 10
    for method, rule in routes:
        answers = []
        for bake, a_phone in ((bake_id, our_phone[1]), ("never-was", "never-was")):
            path = rule.replace("<bake_id>", bake).replace("<phone_id>", a_phone).replace("<step_id>", step)
            assert "<" not in path, rule
            sent: dict[str, Any] = {"headers": SAME}
            if method == "POST":
                fields = {"csrf_token": token, "place": "0", "name": "x", "note": "x"}
                sent |= {"json": {"events": []}} if rule.startswith("/api/") else {"data": fields}
            answer = theirs.client.open(path, method=method, **sent)
            assert answer.status_code == 404, f"{method} {path}: {answer.status_code}"
            answers.append(answer.text.replace(bake, "ID"))
        assert answers[0] == answers[1], f"{method} {rule}: foreign and missing must look the same"
    assert ours.lines(bake_id)[0]["data"] == {"text": "ours alone"}
    assert ours.get(f"/bakes/{bake_id}").status_code == 200


def test_lists_show_what_is_ours_alone(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    bake_id = ours.has_a_bake()
    for path in ("/", "/api/bakes", "/book", "/export.json", "/join", "/week", "/larder"):
        theirs.get("/")
        assert bake_id not in theirs.get(path).text, path


def test_events_with_the_same_id_in_two_kitchens_do_not_meet(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    our_bake, their_bake = ours.has_a_bake(), theirs.has_a_bake()
    same = event(our_bake, "note", text="ours")
    ours.sends(our_bake, same)
    theirs.sends(their_bake, {**same, "bake_id": their_bake, "data": {"text": "theirs"}})
    assert [one["data"]["text"] for one in theirs.lines(their_bake)] == ["theirs"]
