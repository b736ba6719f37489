"""Taking everything along, bringing it in elsewhere, deleting it."""

from __future__ import annotations

import gzip
import io
import json
import re
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.web.conftest import NOW, Clock, InKitchen, event
from tests.web.seen import sheet, shown
from webapp.core.errors import PlanError
from webapp.core.plan.plan import Plan
from webapp.kitchens import take_along
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.bakes import MOST_COMING, coming, kitchen_of
from webapp.kitchens.unbegun import LATE_S
from webapp.machine.settings import Settings
from webapp.records import ShapeError, from_plain, to_plain
from webapp.store.busy import BusyCalendar
from webapp.web.app import create_app
from webapp.words.problems.told import all_in_words


def test_everything_can_be_taken_to_a_new_server_and_is_the_same_there(kitchen: InKitchen, tmp_path: Any) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id, "room", temp_c=22.5), event(bake_id, "note", text="Gut!"))
    kitchen.picks(bake_id, 1)
    kitchen.posts("/settings/units", shown(kitchen.get("/settings").text, "units") | {"zone": "Asia/Tokyo"})
    kitchen.posts("/larder", sheet(kitchen, {"name": "Our own"}), page="/larder/new")
    gone = kitchen.posts("/larder", sheet(kitchen, {"name": "Put away"}), page="/larder/new").headers["Location"]
    kitchen.posts(f"{gone}/put-away", page=gone)
    taken = kitchen.get("/export.json")
    assert "attachment" in taken.headers["Content-Disposition"]
    other = InKitchen(create_app(Settings(data=tmp_path / "other"), now=lambda: NOW + 99).test_client())
    other.get("/")
    for _ in range(2):  # the second time changes nothing
        sent = {"file": (io.BytesIO(taken.data), "kitchen.json")}
        response = other.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
        assert response.status_code == 303, response.text
    assert other.lines(bake_id) == kitchen.lines(bake_id)
    there, here = other.get("/export.json").json, taken.json
    assert there is not None
    assert here is not None
    for part in ("kitchen", "busy"):
        assert there[part] == here[part]
    assert there["larder"] == here["larder"]
    assert len(here["larder"]) == 2
    assert "Put away" not in other.get("/larder").text
    (bake,), (same,) = there["bakes"], here["bakes"]
    assert [one["plan"] for one in bake["plans"]] == [one["plan"] for one in same["plans"]]
    assert bake["events"] == same["events"]


def test_nobody_s_busy_calendar_stays_when_a_file_with_fewer_people_is_brought_in(
    kitchen: InKitchen, clock: Clock
) -> None:
    taken = kitchen.get("/export.json")
    owner = kitchen.kitchen_id()
    change_kitchen(kitchen.store, owner, lambda mine: replace(mine, people=mine.people + mine.people))
    second = len(kitchen_of(kitchen.store, owner).people) - 1
    kitchen.store.put_busy_calendar(BusyCalendar(owner, second, clock.now, 0, address="sealed", host="cal.example.org"))
    sent = {"file": (io.BytesIO(taken.data), "kitchen.json")}
    assert kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data").status_code == 303
    assert kitchen.store.busy_calendars(owner) == ()


@pytest.mark.parametrize("takes", ["identity", "gzip, br"])
def test_years_of_bakes_are_never_in_memory_while_they_are_taken_along(kitchen: InKitchen, takes: str) -> None:
    bake_id, owner = kitchen.has_a_bake(), kitchen.kitchen_id()
    (picked,) = kitchen.store.revisions(bake_id)
    with kitchen.store.transaction():
        for number in range(400):
            new = {**picked["plan"], "bake_id": f"of-years-{number}", "revision": 1}
            kitchen.store.put_offers(owner, new["bake_id"], {}, [], NOW)
            kitchen.store.add_plan(owner, new["bake_id"], new, NOW)
    tracemalloc.start()
    try:
        answer = kitchen.get("/export.json", headers={"Accept-Encoding": takes}, buffered=False)
        sent = sum(map(len, answer.response))
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
        answer.close()
    whole = kitchen.get("/export.json", headers={"Accept-Encoding": takes})
    assert len(whole.data) == sent == whole.content_length
    text = gzip.decompress(whole.data) if whole.headers.get("Content-Encoding") == "gzip" else whole.data
    assert ("Content-Encoding" in whole.headers) == (takes != "identity")
    assert len(json.loads(text)["bakes"]) == 401
    assert most < len(text) / 4


def test_what_cannot_be_read_while_everything_is_taken_along_is_told_as_a_failure_and_no_file(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    kitchen.has_a_bake()

    def broken(*_: Any) -> None:
        raise OSError("no space left on device")

    monkeypatch.setattr(kitchen.store, "events", broken)
    kitchen.client.application.config["PROPAGATE_EXCEPTIONS"] = False
    kitchen.client.application.testing = False
    answer = kitchen.get("/export.json", headers={"Accept-Encoding": "gzip"})
    assert answer.status_code == 500
    assert "Content-Disposition" not in answer.headers


def test_an_export_holds_no_key(kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    cookie = kitchen.client.get_cookie("suppertide")
    assert cookie is not None
    text = kitchen.get("/export.json").text
    assert cookie.value not in text
    assert "hash" not in text


def test_on_the_same_server_a_brought_in_bake_gets_an_id_of_its_own(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    bake_id = ours.has_a_bake()
    ours.sends(bake_id, event(bake_id, "note", text="ours"))
    theirs.get("/")
    sent = {"file": (io.BytesIO(ours.get("/export.json").data), "kitchen.json")}
    theirs.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    answer = theirs.get("/api/bakes").json
    assert answer is not None
    (copied,) = [one["bake_id"] for one in answer["bakes"]]
    assert copied != bake_id
    assert theirs.lines(copied)[0]["bake_id"] == copied
    theirs.posts(f"/bakes/{copied}/delete")
    assert ours.lines(bake_id)


def changed(document: dict[str, Any], path: str, value: Any) -> bytes:
    """The document with one value replaced."""
    *steps, last = path.split(".")
    inner: Any = document
    for step in steps:
        inner = inner[int(step)] if step.isdigit() else inner[step]
    inner[int(last) if last.isdigit() else last] = value
    return json.dumps(document).encode()


NOT_OURS = [("kind", "another program"), ("schema", 99), ("kitchen", None), ("bakes", {}), ("larder", 1), ("busy", "x")]


@pytest.mark.parametrize(("path", "value"), NOT_OURS, ids=[f"{p}={v!r:.20}" for p, v in NOT_OURS])
def test_a_file_that_is_not_ours_changes_nothing(kitchen: InKitchen, path: str, value: Any) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    whole = kitchen.get("/export.json").json
    assert whole is not None
    body = changed(json.loads(json.dumps(whole)), path, value)
    sent = {"file": (io.BytesIO(body), "kitchen.json")}
    response = kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert response.status_code == 422
    assert 'class="field__error"' in response.text
    assert kitchen.get("/export.json").json == whole


TRAY = "Long-bench tray pizza"
LOST = [
    ("bakes.0", [], "A bake"), ("bakes.0.bake_id", "", TRAY), ("bakes.0.plans.0", 1, "A bake"),
    ("bakes.0.plans.0.plan.steps", "x", TRAY), ("bakes.0.plans.0.plan.supper", "late", TRAY),
    ("bakes.0.events", 1, TRAY), ("bakes.0.plans.0.plan.zone", "Middle/Earth", TRAY),
    ("bakes.0.plans.0.plan.steps", [], TRAY), ("bakes.0.plans.0.plan.supper", 10**12, TRAY),
    ("bakes.0.plans.0.plan.rise.table.rates", [], TRAY),
    ("bakes.0.plans.0.plan.rise.mixed_at", 0, TRAY), ("bakes.0.plans.0.plan.pans.0.count", 0, TRAY),
    ("bakes.0.plans.0.plan.rise.glass.0.progress", 0.0, TRAY),
    ("bakes.0.events.0.at", 0, "a line of a journal"), ("bakes.0.events", [1], "a line of a journal"),
    ("bakes.0.events.0.data", {"x": "\ud800"}, "a line of a journal"),
    ("larder", [1], "Something of your own"), ("busy", [[1], ["a", "b"]], "2 busy times"),
    ("larder", [{"shelf": "formula", "key": "bench-tray", "versions": []}], "Something of your own"),
    ("larder", [{"shelf": "glass", "key": "own-g", "versions": [{}]}], "A test glass"),
    ("kitchen.zone", "Middle/Earth", "Settings ("), ("kitchen.zone", 7, "Settings ("),
    ("kitchen.people", [], "Settings ("), ("kitchen.people.0.week", [], "Settings ("),
    ("kitchen.people.0.name", "", "Settings ("), ("kitchen.room", [], "Settings ("),
    ("kitchen.pans", [], "Settings ("), ("kitchen.fridge_c", 400.0, "Settings ("),
    ("kitchen.scale_step_g", 0.0, "Settings ("), ("kitchen.heat_unit", "K", "Settings ("),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "name"), LOST, ids=[f"{p}={v!r:.20}" for p, v, _ in LOST])
def test_what_cannot_be_read_of_a_file_is_named_and_the_rest_is_brought_in(
    kitchen: InKitchen, phone: Callable[[], InKitchen], path: str, value: Any, name: str
) -> None:
    for _ in range(2):
        bake_id = kitchen.has_a_bake()
        kitchen.sends(bake_id, event(bake_id))
    whole = kitchen.get("/export.json").json
    assert whole is not None
    for one in whole["bakes"]:
        one["plans"] = one["plans"][-1:]  # with no earlier one
    body = changed(json.loads(json.dumps(whole)), path, value)
    other = phone()
    sent = {"file": (io.BytesIO(body), "kitchen.json")}
    answer = other.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert answer.status_code == 303
    home = other.get("/").text
    assert re.search(rf"{re.escape(name)}[^<]*: cannot be read", home)
    there = other.get("/export.json").json
    assert there is not None
    other_bake = whole["bakes"][1]
    assert [one["plan"]["steps"] for one in other_bake["plans"]] == [
        one["plan"]["steps"] for one in there["bakes"][-1]["plans"]
    ]
    assert len(there["bakes"]) == (1 if name in ("A bake", TRAY) else 2)


def test_an_earlier_plan_that_cannot_be_read_leaves_the_present_one_its_number(
    kitchen: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    bake_id = kitchen.has_a_bake()
    whole = kitchen.get("/export.json").json
    assert whole is not None
    whole["bakes"][0]["plans"] = [{"plan": {}}, *whole["bakes"][0]["plans"][-1:]]
    other = phone()
    sent = {"file": (io.BytesIO(json.dumps(whole).encode()), "kitchen.json")}
    assert other.posts("/import", sent, page="/take-along", content_type="multipart/form-data").status_code == 303
    assert "an earlier plan: cannot be read" in other.get("/").text
    there = other.get("/export.json").json
    assert there is not None
    assert [one["plan"]["revision"] for one in there["bakes"][0]["plans"]] == [2]
    assert bake_id


UNREADABLE = [
    ({"shelf": "formula", "key": "own-x", "versions": [{"name": "No dough"}]}, "No dough"),
    ({"shelf": "toppings", "key": "own-x", "versions": [{"name": 7}]}, "own-x"),
    ({"shelf": "method", "key": "own-y", "versions": [{}]}, "own-y"),
]


@pytest.mark.parametrize(("thing", "name"), UNREADABLE, ids=[name for _, name in UNREADABLE])
def test_an_own_thing_that_cannot_be_read_is_named_and_the_rest_is_brought_in(
    kitchen: InKitchen, phone: Callable[[], InKitchen], thing: dict[str, Any], name: str
) -> None:
    bake_id = kitchen.has_a_bake()
    document = kitchen.get("/export.json").json
    assert document is not None
    body = json.dumps(document | {"larder": [thing]}).encode()
    other = phone()
    sent = {"file": (io.BytesIO(body), "kitchen.json")}
    answer = other.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert answer.status_code == 303
    there = other.get("/").text
    assert f"{name}: cannot be read" in there
    taken = other.get("/export.json").json
    assert taken is not None
    assert taken["larder"] == []
    assert [one["wish"] for one in taken["bakes"]] == [one["wish"] for one in document["bakes"]]
    assert bake_id in {one["bake_id"] for one in document["bakes"]}


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b"NaN", b"[" * 200_000, b"\xff" * 9], ids=range(6))
def test_a_file_that_is_no_json_is_said_to_be_none(kitchen: InKitchen, body: bytes) -> None:
    kitchen.get("/")
    sent = {"file": (io.BytesIO(body), "x.json")}
    response = kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert response.status_code == 422
    assert kitchen.posts("/import", page="/take-along").status_code == 422


def test_a_kitchen_larger_than_a_form_may_still_be_brought_in(settings: Settings) -> None:
    kitchen = InKitchen(create_app(replace(settings, max_body=100_000)).test_client())
    kitchen.get("/")
    assert kitchen.posts("/plan", {"away": "x" * 200_000}).status_code == 413
    sent = {"file": (io.BytesIO(b" " * 200_000 + b"{}"), "x.json")}
    response = kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert response.status_code == 422, "read, and found to be no kitchen: not 413"


def test_deleting_everything_tells_the_browser_to_clear_what_it_kept(kitchen: InKitchen) -> None:
    """W3C Clear Site Data, 3.1; the word that was typed wrong is still in its field."""
    kitchen.has_a_bake()
    refused = kitchen.posts("/delete-everything", {"word": "delet"}, page="/take-along")
    assert 'value="delet"' in refused.text
    assert "Clear-Site-Data" not in refused.headers
    done = kitchen.posts("/delete-everything", {"word": "delete"}, page="/take-along")
    assert done.headers["Clear-Site-Data"] == '"storage"'


def test_deleting_everything_wants_the_word_and_then_deletes_everything(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for word in ("", "yes"):
        assert kitchen.posts("/delete-everything", {"word": word}, page="/take-along").status_code == 422
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200
    assert "Everything is deleted" in kitchen.posts("/delete-everything", {"word": " Delete "}, page="/take-along").text
    assert kitchen.client.get_cookie("suppertide") is None
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 404


def said_after(phone: InKitchen, document: bytes) -> str:
    """What the page says when the file was brought in."""
    sent = {"file": (io.BytesIO(document), "kitchen.json")}
    assert phone.posts("/import", sent, page="/take-along", content_type="multipart/form-data").status_code == 303
    return phone.get("/take-along").text


def test_an_import_counts_what_a_person_counts_as_bakes(kitchen: InKitchen, clock: Clock, tmp_path: Path) -> None:
    """Five evenings stand in the file: one made, one to come, one given up, one let pass, one only looked at."""
    made, passed, dropped, coming = (kitchen.has_a_bake() for _ in range(4))
    kitchen.plans()
    kitchen.sends(made, event(made, "note", text="Gut!"), event(made, "done", step_id="mix"))
    kitchen.posts(f"/bakes/{dropped}/drop", {})
    document = json.loads(kitchen.get("/export.json").data)
    assert len(document["bakes"]) == 5
    for bake in document["bakes"]:
        if bake["bake_id"] in (made, passed):
            for one in bake["plans"]:
                one["plan"] = earlier(one["plan"], 7 * 86400)
            bake["events"] = [one | {"at": one["at"] - 7 * 86400} for one in bake["events"]]
    taken = json.dumps(document).encode()
    other = InKitchen(create_app(Settings(data=tmp_path / "other"), now=lambda: NOW + 99).test_client())
    other.get("/")
    assert "and 2 bakes that were not here yet, and 2 that nobody made." in said_after(other, taken)
    assert "and no bake that was not here yet." in said_after(other, taken), "brought in twice"
    assert coming in [one["bake_id"] for one in document["bakes"]]


def many_times(kitchen: InKitchen, times: int, by_s: int = 0) -> dict[str, Any]:
    """The file of a kitchen with a bake, which it holds so many times under other ids, `by_s` earlier."""
    kitchen.has_a_bake()
    document: dict[str, Any] = json.loads(kitchen.get("/export.json").data)
    bake = document["bakes"][0]
    plans = [one | {"plan": earlier(one["plan"], by_s)} for one in bake["plans"]]
    document["bakes"] = [bake | {"bake_id": f"again-{n}", "plans": plans} for n in range(times)]
    return document


def brought(phone: InKitchen, document: dict[str, Any]) -> int:
    """How many of its bakes are new."""
    here = phone.client.application.extensions["suppertide"]
    return take_along.bring_in(phone.store, NOW, here.new_id, phone.kitchen_id(), document).bakes


@pytest.fixture
def other(tmp_path: Path) -> InKitchen:
    """Elsewhere, somebody's kitchen with nothing in it."""
    elsewhere = InKitchen(create_app(Settings(data=tmp_path / "other"), now=lambda: NOW + 99).test_client())
    elsewhere.posts("/settings/units", shown(elsewhere.get("/settings").text, "units"))
    return elsewhere


def test_a_file_with_more_bakes_to_come_than_a_kitchen_has_changes_nothing(
    kitchen: InKitchen, other: InKitchen
) -> None:
    with pytest.raises(PlanError) as refused:
        brought(other, many_times(kitchen, MOST_COMING + 1))
    said = all_in_words(refused.value.problems)[0]
    assert said.message == f"This file has {MOST_COMING + 1} bakes still to come; a kitchen has {MOST_COMING} at most."
    assert other.store.bake_ids(other.kitchen_id()) == ()
    assert brought(other, many_times(kitchen, MOST_COMING)) == MOST_COMING
    one_more = many_times(kitchen, 1)
    one_more["bakes"][0]["bake_id"] = "one-more"
    with pytest.raises(PlanError):  # with what is there already it would be one too many
        brought(other, one_more)
    assert brought(other, many_times(kitchen, MOST_COMING)) == 0, "nothing of it is new"


def test_bakes_of_the_past_come_in_by_the_hundred_and_planning_does_not_look_at_them(
    kitchen: InKitchen, other: InKitchen
) -> None:
    brought(other, many_times(kitchen, 3 * MOST_COMING, 7 * 86400))
    owner = other.kitchen_id()
    assert len(other.store.bake_ids(owner)) == 3 * MOST_COMING
    assert coming(other.store, owner, NOW - LATE_S) == ()
    assert other.get("/book").status_code == 200


def test_a_kitchen_has_so_many_bakes_in_all(kitchen: InKitchen, other: InKitchen, monkeypatch: Any) -> None:
    monkeypatch.setattr(take_along, "MOST_BAKES", 5)
    assert brought(other, many_times(kitchen, 3)) == 3
    more = many_times(kitchen, 3)
    for bake in more["bakes"]:
        bake["bake_id"] += "-more"
    with pytest.raises(ShapeError):
        brought(other, more)
    assert len(other.store.bake_ids(other.kitchen_id())) == 3


def earlier(plan: dict[str, Any], by_s: int) -> dict[str, Any]:
    """The same plan, so many seconds before."""
    held = from_plain(Plan, plan)
    rise = replace(held.rise, mixed_at=held.rise.mixed_at - by_s, room=tuple(
        replace(one, start=one.start - by_s) for one in held.rise.room))  # fmt: skip
    steps = tuple(replace(one, start=one.start - by_s, end=one.end - by_s) for one in held.steps)
    moved = replace(held, supper=held.supper - by_s, made_at=held.made_at - by_s, rise=rise, steps=steps)
    return dict(to_plain(moved))
