"""The JSON API: lists, bundles, and a journal that is a set whoever sends what how often."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.profiles import examples
from tests.samples import at
from tests.web.conftest import NOW, SAME, Clock, InKitchen, event
from tests.web.seen import problem_of
from webapp.core.kinds import Flag, Place
from webapp.core.learning import observed
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens.bakes import MOST_EVENTS
from webapp.records import from_plain
from webapp.web.phone.schemas import DATA_OF, MOST_AT_ONCE
from webapp.words.screen.bundle import phone_words, rings_words

JSON_KIND = {"Content-Type": "application/json"}


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


def test_a_bundle_brings_the_words_of_days_places_flags_and_answers(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    served = kitchen.get(f"/api/bakes/{bake_id}/bundle").json
    assert served is not None
    assert served["words"] == phone_words()
    assert set(served["words"]["places"]) == set(get_args(Place))
    assert set(served["words"]["flags"]) == {*get_args(Flag), "long-rising"} - {""}
    assert served["words"]["places"]["fridge"] == "in the fridge"


def test_a_bundle_and_the_list_name_the_words_they_speak_by(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    served, listed = kitchen.get(f"/api/bakes/{bake_id}/bundle").json, kitchen.get("/api/bakes").json
    assert served is not None
    assert listed is not None
    assert served["worded"] == listed["worded"]
    # SHA-256 by the system's own tool, over the files in the order of their names, as a shell lists them.
    webapp = Path(__file__).parents[3] / "webapp"
    found = "find data words -type f ( -name *.py -o -name *.toml ) -print0"
    names = subprocess.run(found.split(), cwd=webapp, capture_output=True, check=True).stdout.split(b"\0")[:-1]
    joined = b"".join((webapp / name.decode()).read_bytes() for name in sorted(names, key=lambda one: one.split(b"/")))
    told = subprocess.run(["sha256sum"], input=joined, capture_output=True, check=True).stdout.decode()
    assert told.startswith(listed["worded"])
    assert len(listed["worded"]) == 12


def test_a_bundle_says_what_the_calendar_rings_by_once_steps_have_moved(kitchen: InKitchen) -> None:
    served = kitchen.get(f"/api/bakes/{kitchen.has_a_bake()}/bundle").json
    assert served is not None
    assert served["calendar"] == rings_words(False) != rings_words(True)
    assert "old times" in rings_words(False)


def test_a_bundle_is_all_that_a_phone_needs(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    answer = kitchen.get(f"/api/bakes/{bake_id}/bundle").json
    assert answer is not None
    assert from_plain(Plan, answer["plan"]).bake_id == bake_id
    assert from_plain(Event, answer["events"][0]).kind == "done"
    assert answer["kitchen"]["clock"] == "24"
    assert {sign["part"] for sign in answer["signs"]} == {"base", "top", "crumb"}
    assert answer["served_at"] == NOW


def test_what_the_api_answers_is_kept_by_no_cache(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for path in ("/api/bakes", f"/api/bakes/{bake_id}/bundle", f"/api/bakes/{bake_id}/events", "/api/none"):
        assert kitchen.get(path).headers["Cache-Control"] == "no-store", path


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


@settings(examples(6), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_two_phones_end_with_the_same_journal_whoever_sends_what(kitchen: InKitchen, data: st.DataObject) -> None:
    bake_id = kitchen.has_a_bake()
    events = [event(bake_id, "note", text=str(i)) | {"at": at(8) + i % 3} for i in range(6)]
    sends = data.draw(st.lists(st.lists(st.sampled_from(events), max_size=4), max_size=6))
    for one in sends:
        kitchen.sends(bake_id, *one)
    kitchen.sends(bake_id, *data.draw(st.permutations(events)))
    assert kitchen.lines(bake_id) == sorted(events, key=lambda one: (one["at"], one["event_id"]))


@pytest.mark.parametrize(
    ("kind", "data", "when", "field"),
    [
        ("done", {"step_id": "mix"}, at(7) - 20 * 86400, "at"),
        ("done", {"step_id": "press"}, at(7) + 40 * 86400, "at"),
        ("later", {"until": at(8) + 40 * 86400}, at(8), "data.until"),
        ("supper", {"instant": at(8) + 40 * 86400}, at(8), "data.instant"),
    ],
)
def test_what_only_a_wrong_clock_can_have_written_is_refused(
    kitchen: InKitchen, kind: str, data: dict[str, object], when: int, field: str
) -> None:
    bake_id = kitchen.has_a_bake()
    wrong = event(bake_id, kind, **data) | {"at": when}
    response = kitchen.sends(bake_id, event(bake_id), wrong)
    assert response.status_code == 422
    assert problem_of(response)["field"] == f"events.1.{field}"
    assert kitchen.lines(bake_id) == []


def test_half_a_character_gets_into_no_journal(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for sent in (event(bake_id, "note", text="\ud83c"), event(bake_id, "note", text="x") | {"phone": "\udf55"}):
        assert kitchen.sends(bake_id, sent).status_code == 422
    assert kitchen.sends(bake_id, event(bake_id, "note", text="\ud83c\udf55")).status_code == 200, "a whole one does"


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
    "later": {"until": at(18)}, "glass": {"times": 1.6}, "room": {"temp_c": 23.5}, "dough": {"temp_c": 25.5},
    "moved": {"place": "fridge"},
    "supper": {"instant": at(20)}, "weighed": {"line": "dough/flour"}, "poured": {"line": "dough/water", "grams": 340},
    "pan": {"area_cm2": 900}, "note": {"text": ""}, "outcome": {"base": "good", "verdict": "right"},
    "looked": {"seen": "well-over"}, "poked": {"springs": "slowly"}, "baking": {"seen": "base-pale"},
    "way": {"way": "warm", "press": 0, "load": at(19), "supper": at(19, 30), "moves": [{"at": at(17), "place": "warm"}],
            "proof": "", "asked": True},
    "yeast": {"yeast": "fresh"}, "tray": {"times": 1.2}, "settled": {"revision": 2}, "left-out": {"step_id": "fold-1"},
}  # fmt: skip


WAY: dict[str, Any] = KNOWN["way"]


def test_every_kind_of_the_journal_is_known_to_the_schema() -> None:
    assert set(DATA_OF) == set(KNOWN)
    table = re.findall(r"^    ([a-z-]+) {2,}\w", Event.__doc__ or "", re.MULTILINE)
    assert set(table) - {"kind"} == set(KNOWN), "the table in core/plan/event.py and the schema name the same kinds"


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
        ("dough", {"temp_c": 77}, "temp_c"),
        ("moved", {"place": "garden"}, "place"),
        ("later", {"until": 5}, "until"),
        ("later", {"until": 1.5}, "until"),
        ("supper", {"instant": "19:30"}, "instant"),
        ("weighed", {"line": "flour"}, "line"),
        ("poured", {"line": "dough/flour", "grams": -1}, "grams"),
        ("pan", {"area_cm2": 0}, "area_cm2"),
        ("note", {"text": "x" * 2001}, "text"),
        ("outcome", {"base": ["a"]}, "base"),
        ("outcome", {"verdict": "odd"}, "verdict"),
        ("looked", {"seen": "quadrupled"}, "seen"),
        ("poked", {}, "springs"),
        ("baking", {"seen": "smoking"}, "seen"),
        ("way", WAY | {"way": "midnight"}, "way"),
        ("way", WAY | {"load": 3}, "load"),
        ("way", WAY | {"moves": [{"at": 1, "place": "warm"}]}, "moves.0.at"),
        ("way", WAY | {"moves": [WAY["moves"][0] | {"place": "moon"}]}, "moves.0.place"),
        ("way", WAY | {"asked": "yes"}, "asked"),
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


def test_what_a_phone_takes_for_a_glass_the_server_takes_and_learns_from(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    sheet = (Path(__file__).parents[3] / "static" / "js" / "sheets" / "glass.js").read_text(encoding="utf-8")
    found = re.search(r"const MOST_TIMES = ([0-9.]+);", sheet)
    assert found, "the phone's own limit"
    most = float(found[1])
    assert kitchen.sends(bake_id, event(bake_id, "glass", times=most)).status_code == 200
    assert kitchen.sends(bake_id, event(bake_id, "glass", times=most + 0.05)).status_code == 422
    assert observed.glass(0, most, 1.0).ln_ratio > 0.0, "no PlanError: it teaches"
