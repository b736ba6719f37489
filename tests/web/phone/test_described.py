"""The description of the JSON API: every JSON address is in it, and what is answered and taken is what it says.

That real requests and answers keep to it, in thousands, is tried by hand: tests/by_hand/fuzz_api.py.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from flask import Flask
from marshmallow import Schema

from tests.samples import sample_plan
from tests.web.conftest import SAME, InKitchen, event
from webapp.core.plan.plan import Plan
from webapp.records import to_plain
from webapp.web.app import addresses_of
from webapp.web.phone import answers
from webapp.web.phone.described.openapi import openapi
from webapp.web.phone.described.route import Failure
from webapp.web.phone.described.shapes import schema_of
from webapp.web.phone.health import Health
from webapp.web.phone.push import Messages, RingsAt
from webapp.web.phone.schemas import DATA_OF, EVENT_KINDS

NUMBERS = {"glass": "times", "room": "temp_c", "dough": "temp_c", "tray": "times", "pan": "area_cm2"}


def json_addresses(app: Flask) -> set[tuple[str, str]]:
    """Address and method of everything that speaks JSON (`wants_json` in webapp/web/errors.py)."""
    return {
        (re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule), method.lower())
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/") or rule.rule == "/health"
    }


def described(app: Flask) -> set[tuple[str, str]]:
    return {(path, method) for path, methods in openapi(addresses_of(app))["paths"].items() for method in methods}


def test_every_json_address_is_described_and_nothing_else(app: Flask) -> None:
    assert len(json_addresses(app)) > 5
    assert described(app) == json_addresses(app)


def test_a_json_address_of_which_nothing_is_said_is_missed(app: Flask) -> None:
    app.add_url_rule("/api/<bake_id>/new", "new", lambda bake_id: {})
    assert json_addresses(app) - described(app) == {("/api/{bake_id}/new", "get")}


def references(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        yield from (one for key, one in value.items() if key == "$ref")
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from references(one)


def test_the_description_names_nothing_that_is_not_in_it_and_nothing_for_nothing(app: Flask) -> None:
    found = openapi(addresses_of(app))
    named = {one.removeprefix("#/components/schemas/") for one in references(found)}
    assert named == set(found["components"]["schemas"])
    assert found["openapi"].startswith("3.1")


def test_each_change_says_what_it_takes_and_that_it_comes_from_a_page_of_ours(app: Flask) -> None:
    for address, methods in openapi(addresses_of(app))["paths"].items():
        for method, said in methods.items():
            headers = {one["name"] for one in said["parameters"] if one["in"] == "header"}
            assert ("requestBody" in said) == (method == "post") == (headers == {"Sec-Fetch-Site"}), address
            assert {"200", "421", "429", "500", "503"} <= set(said["responses"]), address
            assert said["summary"], address
            assert bool(said["security"]) == (address != "/health")


def test_every_kind_of_event_is_described_by_itself_and_the_others_by_the_last() -> None:
    *known, newer = EVENT_KINDS
    assert len(known) == len(DATA_OF)
    line = event("b", "made-up", anything=[1])
    assert newer().validate(line) == {}
    for kind in DATA_OF:
        assert "kind" in newer().validate(line | {"kind": kind}), kind


def test_the_description_says_how_long_a_name_in_an_events_data_may_be(app: Flask) -> None:
    for name, shape in openapi(addresses_of(app))["components"]["schemas"].items():
        if name.endswith("Event") and name != "Event":
            assert shape["properties"]["data"]["propertyNames"] == {"maxLength": 40}, name


@dataclass(frozen=True)
class Said:
    """One answer and the schema that was said of it."""

    schema: type[Schema]
    body: Any


def said(kitchen: InKitchen) -> Iterator[Said]:
    bake_id = kitchen.has_a_bake()
    sent = kitchen.sends(bake_id, event(bake_id), event(bake_id, "note", text="airy"))
    yield Said(answers.JoinedJournal, sent.json)
    yield Said(answers.Journal, kitchen.get(f"/api/bakes/{bake_id}/events").json)
    yield Said(answers.Bundle, kitchen.get(f"/api/bakes/{bake_id}/bundle").json)
    yield Said(answers.BakeList, kitchen.get("/api/bakes").json)
    yield Said(Messages, kitchen.get("/api/push").json)
    yield Said(RingsAt, kitchen.client.post("/api/push/test", json={}, headers=SAME).json)
    yield Said(Health, kitchen.get("/health").json)
    yield Said(Failure, kitchen.get("/api/bakes/none/events").json)
    yield Said(Failure, kitchen.sends(bake_id, event(bake_id, "glass", times="wide")).json)


def test_every_answer_is_what_was_said_of_it(kitchen: InKitchen) -> None:
    for one in said(kitchen):
        assert one.body
        assert one.schema().validate(one.body) == {}, one.schema.__name__


def test_an_answer_with_more_with_less_or_of_another_kind_is_not_what_was_said(kitchen: InKitchen) -> None:
    for one in said(kitchen):
        name = sorted(one.body)[-1]
        assert one.schema().validate(one.body | {"more": 1}), one.schema.__name__
        assert one.schema().validate(one.body | {name: object()}), one.schema.__name__
        assert one.schema().validate({}), one.schema.__name__


def test_a_plan_has_the_shape_that_its_record_says() -> None:
    plain = json.loads(json.dumps(to_plain(sample_plan())))
    assert schema_of(Plan)().validate(plain) == {}
    for path, value in (("steps", [{}]), ("revision", "1"), ("yeast_kind", "wild"), ("nobody", 5), ("trade", None)):
        assert path in schema_of(Plan)().validate(plain | {path: value}), path


def test_a_record_of_what_has_no_plain_value_has_no_schema() -> None:
    @dataclass(frozen=True)
    class Odd:
        value: complex

    with pytest.raises(TypeError):
        schema_of(Odd)


def test_what_could_pass_for_a_number_is_none(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for kind, name in NUMBERS.items():
        for value in ("2", True, None, [2], 10**400):
            answer = kitchen.sends(bake_id, event(bake_id, kind, **{name: value}))
            assert answer.status_code == 422, kind
            assert f"events.0.data.{name}" in answer.text


def test_a_whole_number_is_one_however_it_is_written(kitchen: InKitchen) -> None:
    """RFC 8259 has numbers of one kind, and a JSON Schema `integer` is one whose fraction is zero (2020-12, 6.1.1)."""
    bake_id = kitchen.has_a_bake()
    for value, status in ((1.0, 200), (1, 200), (1.5, 422), ("1", 422), (True, 422)):
        assert kitchen.sends(bake_id, event(bake_id) | {"revision": value}).status_code == status, value
    assert [repr(line["revision"]) for line in kitchen.lines(bake_id)] == ["1", "1"]


def test_what_could_pass_for_true_or_false_is_neither(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for value in (1, 0, "true", "yes", None):
        answer = kitchen.sends(bake_id, event(bake_id, "poured", line="dough/water", grams=1, kept=value))
        assert answer.status_code == 422, value


def test_what_a_browser_adds_to_its_subscription_is_passed_over(kitchen: InKitchen) -> None:
    more = {"endpoint": "https://fcm.googleapis.com/x", "expirationTime": None, "new": {"deep": [[[[[1]]]]]}}
    assert kitchen.client.post("/api/push/off", json=more, headers=SAME).status_code == 200
    assert kitchen.client.post("/api/push/test", json={"new": 1}, headers=SAME).status_code == 422
