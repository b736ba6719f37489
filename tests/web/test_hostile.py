"""What nobody should send: files for texts, JSON for forms, endless numbers, nesting, made-up files."""

from __future__ import annotations

import io
import json
import time
from collections.abc import Callable
from typing import Any

import pytest

from tests.samples import at
from tests.web.conftest import NOW, SAME, InKitchen, event
from tests.web.seen import mistakes, problem_of
from webapp.core.kitchen import Kitchen
from webapp.kitchens import take_along
from webapp.records import to_plain
from webapp.web.kitchen import take_along as page
from webapp.web.phone.schemas import MOST_DEPTH

TRUTH = "/settings/oven/thermometer"


def nested(depth: int) -> Any:
    """Lists inside lists."""
    inner: Any = 0
    for _ in range(depth):
        inner = [inner]
    return inner


def brings(kitchen: InKitchen, body: bytes) -> Any:
    sent = {"file": (io.BytesIO(body), "kitchen.json")}
    return kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")


def taken(kitchen: InKitchen) -> dict[str, Any]:
    """An export with a bake, an event and an own set of toppings in it."""
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    sheet = {"name": "Ours", "pan": "oven-tray", "0-name": "Onion", "0-grams": "200", "0-when": "before",
             "0-keep": "shelf", "0-drained": "50"}  # fmt: skip
    assert kitchen.posts("/larder/toppings", sheet, page="/larder/toppings/new").status_code == 303
    document = kitchen.get("/export.json").json
    assert document is not None
    (one,) = document["larder"]
    assert one["shelf"] == "toppings"
    return dict(document)


def with_value(document: dict[str, Any], path: str, value: Any) -> bytes:
    """The document with one value replaced, as a new bake."""
    *steps, last = path.split(".")
    copy = json.loads(json.dumps(document))
    copy["bakes"][0]["bake_id"] = "another"
    inner: Any = copy
    for step in steps:
        inner = inner[int(step) if step.isdigit() else step]
    inner[int(last) if last.isdigit() else last] = value
    return json.dumps(copy).encode()


def test_a_file_sent_where_a_text_belongs_is_no_text(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for path, field, others in (
        ("/plan", "again", kitchen.answers()),
        (f"/book/{bake_id}", "note", {}),
        ("/settings/units", "zone", {}),
    ):
        sent = {**others, field: (io.BytesIO(b"abc"), "x.txt")}
        answer = kitchen.posts(path, sent, content_type="multipart/form-data")
        assert answer.status_code in (303, 422), path


@pytest.mark.parametrize("body", ["[1, 2]", "7", "null", '{"note": {"a": 1}}', '{"note": 5}', "{"])
def test_json_sent_to_a_form_is_an_empty_form(kitchen: InKitchen, body: str) -> None:
    bake_id = kitchen.has_a_bake()
    headers = SAME | {"X-CSRFToken": kitchen.token()}
    for path in ("/plan", f"/book/{bake_id}", "/settings/units", "/larder", "/reminders/alarms", "/import"):
        answer = kitchen.client.post(path, data=body, headers=headers, content_type="application/json")
        assert answer.status_code in (303, 422), path


@pytest.mark.parametrize("dial", ["1e999", "1e99999999", "5/0", "nan", "٢٥٠", "2_50", "250" * 500, "\0", "-1"])
def test_a_dial_that_no_oven_has_is_a_mistake_at_its_field_at_once(kitchen: InKitchen, dial: str) -> None:
    began = time.process_time()
    answer = kitchen.posts(TRUTH, {"dial": dial, "thermometer": "240"}, page="/settings/oven")
    assert answer.status_code == 422
    assert mistakes(answer.text)
    assert time.process_time() - began < 5, "a number of a hundred million digits is never made"


@pytest.mark.parametrize("depth", [MOST_DEPTH + 1, 300, 600, 900, 1900])
def test_an_event_nested_too_deep_is_refused_as_a_whole(kitchen: InKitchen, depth: int) -> None:
    bake_id = kitchen.has_a_bake()
    deep = f'"more": {"[" * depth}{"]" * depth}'
    line = json.dumps(event(bake_id, "note", text="x", more=0)).replace('"more": 0', deep)
    answer = kitchen.client.post(
        f"/api/bakes/{bake_id}/events", data=f'{{"events": [{line}]}}', headers=SAME, content_type="application/json"
    )
    assert answer.status_code == 422
    assert problem_of(answer)["field"] in ("events.0.data", "body")
    assert kitchen.lines(bake_id) == []


def test_an_event_nested_as_deep_as_allowed_comes_back_as_sent(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sent = event(bake_id, "note", text="x", more=nested(MOST_DEPTH - 1))
    assert kitchen.sends(bake_id, sent).status_code == 200
    assert kitchen.lines(bake_id)[0]["data"] == sent["data"]
    assert kitchen.get("/export.json").status_code == 200


PLAN = "bakes.0.plans.0.plan"
MADE_UP = [
    (f"{PLAN}.title", "half a character \ud800"), (f"{PLAN}.title", "\0"), (f"{PLAN}.title", "x" * 30_000),
    (f"{PLAN}.dough_g", 1e308), (f"{PLAN}.dough_g", 10**400), (f"{PLAN}.revision", 2**70),
    (f"{PLAN}.rise.glass.1.times", 1e308), (f"{PLAN}.rise.room", []), (f"{PLAN}.rise.shares", []),
    (f"{PLAN}.steps.0.start", at(6) - 20 * 86400), (f"{PLAN}.steps.0.end", at(6) + 20 * 86400),
    (f"{PLAN}.notes", ["x"] * 3 + ["\ud800"]),
    ("busy", [[0, 2**63]]), ("busy", [[NOW, NOW]]), ("busy", [[NOW, 2**70]]),
    ("kitchen.people.0.name", ""), ("kitchen.people.0.week.0.away", [{"from_min": 0, "to_min": 20_000}]),
    ("kitchen.people.0.week.0.away", [{"from_min": i, "to_min": i + 1} for i in range(0, 1440, 2)]),
    ("kitchen.vigour_ln_sd", 0.0), ("kitchen.vigour_ln_mean", 40.0), ("kitchen.alarms", [["mix", 10**9]]),
    ("kitchen.habits", [{"field": "loading_times", "value": 0.0, "text": "none"}]),
    ("kitchen.habits", [{"field": "no such", "value": 0.0, "text": "none"}]),
    ("larder.0.key", "own-../../x"), ("larder.0.versions", []),
]  # fmt: skip
# Of the larder, what no person can have written down is left out and named: it comes onto no shelf.
NO_TOPPING = [
    ("larder.0.versions.0.items.0.drained_share", 0.0), ("larder.0.versions.0.items.0.g_cm2_else", 1e6),
    ("larder.0.versions.0.items.0.fridge_out_s", -5),
]  # fmt: skip


def test_a_set_of_toppings_that_nobody_can_have_written_down_comes_onto_no_shelf(
    kitchen: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    document = taken(kitchen)
    for path, value in NO_TOPPING:
        other = phone()
        assert brings(other, with_value(document, path, value)).status_code == 303, path
        assert "cannot be read" in other.get("/").text, path
        there = other.get("/export.json").json
        assert there is not None
        assert there["larder"] == [], path


def test_what_this_app_cannot_have_written_comes_into_no_kitchen(
    kitchen: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    kitchen.client.application.extensions["suppertide-limits"].enabled = False  # how often is another test's question
    document = taken(kitchen)
    assert brings(kitchen, json.dumps(document).encode()).status_code == 303, "as it is, it is good"
    for path, value in MADE_UP:
        other = phone()
        assert brings(other, with_value(document, path, value)).status_code == 303, f"{path}={value!r:.40}"
        assert "cannot be read" in other.get("/").text, path
        there = other.get("/export.json").json
        assert there is not None
        if path.startswith(PLAN):
            assert there["bakes"] == [], path
        elif path.startswith("kitchen"):
            assert there["kitchen"][path.split(".")[1]] == to_plain(Kitchen())[path.split(".")[1]], path


def test_more_people_than_a_kitchen_holds_are_not_brought_in(kitchen: InKitchen) -> None:
    document = taken(kitchen)
    document["kitchen"]["people"] *= 12
    assert brings(kitchen, json.dumps(document).encode()).status_code == 303
    assert "Settings (people and their hours): cannot be read" in kitchen.get("/").text
    there = kitchen.get("/export.json").json
    assert there is not None
    assert there["kitchen"]["people"] == to_plain(Kitchen())["people"]


def test_one_kitchen_is_brought_in_at_a_time(kitchen: InKitchen) -> None:
    body = json.dumps(taken(kitchen)).encode()
    with take_along.one_at_a_time():
        answer = brings(kitchen, body)
    assert answer.status_code == 422
    assert "Try again in a minute" in answer.text
    assert brings(kitchen, body).status_code == 303


def test_a_second_file_is_refused_before_it_is_read_and_does_not_wait(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reading one takes hundreds of megabytes, and a request that waits in line holds a thread."""
    body = json.dumps(taken(kitchen)).encode()
    seen: list[int] = []
    read = page._json

    def while_another_comes(data: bytes) -> Any:
        if not seen:
            seen.append(0)
            seen.append(brings(kitchen, body).status_code)
        else:
            seen.append(-1)
        return read(data)

    monkeypatch.setattr(page, "_json", while_another_comes)
    assert brings(kitchen, body).status_code == 303
    assert seen == [0, 422]


def test_a_bake_brought_in_without_its_offers_still_shows_its_day(kitchen: InKitchen) -> None:
    document = taken(kitchen)
    body = with_value(document, "bakes.0.offers", [])
    assert brings(kitchen, body).status_code == 303
    assert kitchen.get("/bakes/another?offers").status_code == 200
    document["bakes"][0] |= {"bake_id": "bare", "plans": [], "offers": [], "events": []}
    assert brings(kitchen, json.dumps(document).encode()).status_code == 303
    assert kitchen.get("/bakes/bare", follow_redirects=True).status_code == 200
