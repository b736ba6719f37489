"""Who may ask what: our own pages only, one error shape for every failure, walls between kitchens."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from tests.samples import sample_plan
from tests.web.conftest import SAME, InKitchen, event
from tests.web.seen import problem_of


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
    kitchen.kitchen_id()

    def breaks(*_: object, **__: object) -> None:
        raise RuntimeError("the secret inside")

    monkeypatch.setattr("webapp.store.bakes.Bakes.picked", breaks)
    app.testing = False
    monkeypatch.setattr(app.logger, "disabled", True)  # the logger is of the process: others want it back
    response = kitchen.get("/api/bakes")
    page = kitchen.get("/")
    assert (response.status_code, page.status_code) == (500, 500)
    assert problem_of(response)["field"] == "request"
    assert "secret" not in response.text + page.text


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
