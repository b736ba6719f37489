"""Settings, people, phones, taking everything along, larder, book, week: what a person does there, right or wrong."""

from __future__ import annotations

import html
import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask

from tests.samples import at
from tests.web.conftest import NOW, Clock, InKitchen, event
from tests.web.test_pages import mistakes
from webapp import kitchen_answers
from webapp.settings import Settings
from webapp.store import Store
from webapp.usecases_kitchen import JOIN_CODE_S
from webapp.web import create_app


def shown(page: str, section: str) -> dict[str, str]:
    """The values of one settings form, as a browser would send them back untouched."""
    form = re.search(rf'<form[^>]*action="/settings/{section}[^"]*".*?</form>', page, re.DOTALL)
    assert form, section
    return fields_of(form[0])


def fields_of(form: str) -> dict[str, str]:
    """What a browser sends for a form: inputs, ticked boxes, chosen options, texts."""
    sent: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        found = dict(re.findall(r'([a-z_-]+)="([^"]*)"', tag))
        if found.get("type") in ("checkbox", "radio") and " checked" not in tag:
            continue
        if "name" in found:
            sent[found["name"]] = html.unescape(found.get("value", ""))
    for name, inner in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'<option selected value="([^"]*)"', inner)
        first = re.search(r'<option[^>]*value="([^"]*)"', inner)
        sent[name] = html.unescape((chosen or first or [""])[1]) if chosen or first else ""
    for name, inner in re.findall(r'<textarea[^>]*name="([^"]+)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        sent[name] = html.unescape(inner.strip())
    sent.pop("csrf_token", None)
    return sent


@pytest.fixture
def record(app: Flask) -> Callable[[], dict[str, Any]]:
    """The one kitchen record in the database."""

    def read() -> dict[str, Any]:
        store: Store = app.extensions["suppertide"].store
        with store.reading() as db:
            (row,) = db.execute("SELECT settings FROM kitchens").fetchall()
        settings: dict[str, Any] = json.loads(row[0])
        return settings

    return read


# --- settings -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("units", [{"mass_unit": "g", "heat_unit": "C"}, {"mass_unit": "oz", "heat_unit": "F"}])
def test_saving_every_section_untouched_changes_nothing_that_matters(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], units: dict[str, str]
) -> None:
    kitchen.posts("/settings/units", shown(kitchen.get("/settings").text, "units") | units)
    before = record()
    for section in kitchen_answers.SECTIONS:
        sent = shown(kitchen.get("/settings").text, section)
        assert kitchen.posts(f"/settings/{section}", sent).status_code == 303, section
    after = record()
    assert before.keys() == after.keys()
    assert near(before, after)


def near(one: Any, other: Any) -> bool:
    """Equal but for what a form rounds away: a tenth of a degree, of an inch."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= max(0.06, 0.005 * abs(one))
    if isinstance(one, dict):
        return all(near(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(near, one, other))
    return bool(one == other)


SAVED = [
    ("scale", {"scale_step": "5", "micro_step": "0.01", "mixing": "mixer", "mixing_rise": "6", "tap": "12,5"},
     {"scale_step_g": 5.0, "micro_step_g": 0.01, "mixing": "mixer", "mixing_rise_c": 6.0, "tap_c": 12.5}),
    ("warmth", {"fridge": "3", "warm": "30", "from-0": "", "temp-0": "", "from-3": "22:00", "temp-3": "19"},
     {"fridge_c": 3.0, "warm_c": 30.0, "room": [{"from_min": 420, "temp_c": 20.0}, {"from_min": 1020, "temp_c": 21.0},
                                                {"from_min": 1320, "temp_c": 19.0}]}),
    ("units", {"mass_unit": "oz", "heat_unit": "F", "clock": "12", "zone": "Asia/Tokyo", "avoid-milk": "1"},
     {"mass_unit": "oz", "heat_unit": "F", "clock": "12", "zone": "Asia/Tokyo", "avoid": ["milk"]}),
]  # fmt: skip


@pytest.mark.parametrize(("section", "sent", "kept"), SAVED, ids=[section for section, _, _ in SAVED])
def test_a_section_is_saved(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], section: str, sent: dict[str, str], kept: dict[str, Any]
) -> None:
    response = kitchen.posts(f"/settings/{section}", shown(kitchen.get("/settings").text, section) | sent)
    assert response.status_code == 303, mistakes(response.text)
    now = record()
    assert {key: now[key] for key in kept} == kept


def test_the_oven_is_saved(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    sent = {"fan": "y", "dial_unit": "gas", "highest": "280", "slab": "steel", "slab_mm": "10", "slab_width": "40",
            "slab_depth": "36", "power_w": "3000", "measured_preheat": "40", "dial_error": "-12"}  # fmt: skip
    assert kitchen.posts("/settings/oven", shown(kitchen.get("/settings").text, "oven") | sent).status_code == 303
    oven = record()["oven"]
    assert (oven["fan"], oven["slab"], oven["slab_mm"], oven["highest_c"]) == (True, "steel", 10.0, 280.0)
    assert (oven["measured_preheat_min"], oven["dial_error_c"]) == (40, -12.0)


def test_a_pan_is_added_changed_and_taken_away(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    def pans() -> list[tuple[str, str, float]]:
        return [(pan["key"], pan["name"], round(pan["area_cm2"])) for pan in record()["pans"]]

    def send(changes: dict[str, str]) -> None:
        response = kitchen.posts("/settings/pans", shown(kitchen.get("/settings").text, "pans") | changes)
        assert response.status_code == 303, mistakes(response.text)

    send({"2-name": "Old oval dish", "2-shape": "oval", "2-length": "30", "2-width": "20"})
    assert pans()[2] == ("old-oval-dish", "Old oval dish", 471)  # pi x 30 x 20 / 4
    send({"1-shape": "measured", "1-water_g": "640"})
    assert pans()[1] == ("round-28", "Round pan 28 cm", 640)
    send({"0-gone": "1"})
    assert [key for key, _, _ in pans()] == ["round-28", "old-oval-dish"]


WRONG = [
    ("scale", {"scale_step": "3"}, "“3” is not on the list"),
    ("scale", {"tap": "hot"}, "“hot” is not a number"),
    ("scale", {"mixing_rise": "NaN"}, "“NaN” is not a number"),
    ("warmth", {"temp-0": "60"}, "Between 0 and 45 °C"),
    ("warmth", {"from-0": "25:00"}, "“25:00” is not a time of day"),
    ("warmth", {"from-1": "0:00"}, "Two parts of the day begin at the same time"),
    ("warmth", {f"{name}-{i}": "" for name in ("from", "temp") for i in range(4)}, "The kitchen has no temperature"),
    ("warmth", {"fridge": "20"}, "Between -2 and 15 °C"),
    ("oven", {"highest": "900"}, "Between 150 and 550 °C"),
    ("oven", {"slab": "steel", "slab_mm": ""}, "Its thickness needs a number"),
    ("oven", {"slab": "marble"}, "“marble” is not on the list"),
    ("oven", {"trays_at_once": "0"}, "A whole number from 1 to 6"),
    ("units", {"zone": "Middle/Earth"}, "no time zone called"),
    ("units", {"zone": "../../etc/passwd"}, "no time zone called"),
    ("units", {"zone": ""}, "no time zone called"),
    ("units", {"clock": "13"}, "“13” is not on the list"),
    ("pans", {"0-length": "0"}, "Between 8 and 100 cm"),
    ("pans", {"0-length": "300"}, "Between 8 and 100 cm"),
    ("pans", {"0-gone": "1", "1-gone": "1"}, "A kitchen needs a pan"),
    ("pans", {"2-shape": "round", "2-length": "x"}, "“x” is not a number"),
]


@pytest.mark.parametrize(("section", "sent", "words"), WRONG, ids=[f"{s}-{w}" for s, _, w in WRONG])
def test_a_wrong_setting_is_named_kept_as_typed_and_saved_nowhere(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], section: str, sent: dict[str, str], words: str
) -> None:
    page = kitchen.get("/settings").text
    before = record()
    typed = shown(page, section) | sent
    response = kitchen.posts(f"/settings/{section}", typed)
    assert response.status_code == 422
    assert words in mistakes(response.text)
    assert record() == before
    again = shown(response.text, section)
    for name, value in typed.items():
        if value and re.search(rf'<input(?![^>]*checkbox)[^>]*name="{re.escape(name)}"', response.text):
            assert again[name] == value, name


def test_an_unknown_section_is_not_there(kitchen: InKitchen) -> None:
    assert kitchen.posts("/settings/moon").status_code == 404


def test_the_phones_zone_is_taken_over_and_a_wrong_one_is_not(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    assert kitchen.posts("/settings/zone", {"zone": "Europe/Lisbon"}).status_code == 303
    assert kitchen.posts("/settings/zone", {"zone": "Europe"}).status_code == 422
    assert record()["zone"] == "Europe/Lisbon"


def person_page(kitchen: InKitchen, place: int) -> dict[str, str]:
    return fields_of(re.findall(r"<form.*?</form>", kitchen.get(f"/settings/people/{place}").text, re.DOTALL)[0])


def test_a_person_is_added_changed_and_taken_away(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    second = person_page(kitchen, 1) | {"name": "Flatmate", "2-away": "22:00-6:00, 12-13", "2-sleep": "1:30"}
    assert kitchen.posts("/settings/people/1", second).status_code == 303
    people = record()["people"]
    assert [one["name"] for one in people] == ["Me", "Flatmate"]
    wednesday = people[1]["week"][2]
    assert wednesday["away"] == [{"from_min": 720, "to_min": 780}, {"from_min": 1320, "to_min": 1800}]
    assert wednesday["sleep_min"] == 1440 + 90
    assert kitchen.posts("/settings/people/0", {"gone": "y"}).status_code == 303
    assert [one["name"] for one in record()["people"]] == ["Flatmate"]
    refused = kitchen.posts("/settings/people/0", {"gone": "y"})
    assert refused.status_code == 422
    assert "Somebody has to do the baking" in refused.text


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"name": ""}, "This person needs a name"), ({"3-wake": "late"}, "“late” is not a time of day"),
        ({"3-away": "8:00"}, "“8:00” is not a stretch"), ({"3-away": "1-2,3-4,5-6,7-8,9-10"}, "4 at most"),
        ({"name": "x" * 31}, "30 at most"), ({"0-sleep": ""}, "A time is missing"),
    ],
)  # fmt: skip
def test_a_wrong_week_is_named_and_kept_as_typed(kitchen: InKitchen, sent: dict[str, str], words: str) -> None:
    response = kitchen.posts("/settings/people/0", person_page(kitchen, 0) | sent)
    assert response.status_code == 422
    assert words in mistakes(response.text)
    for name, value in sent.items():
        assert fields_of(response.text)[name] == value


# --- phones -------------------------------------------------------------------------------------------------------


def code_of(kitchen: InKitchen) -> str:
    page = kitchen.posts("/join/code", page="/join").text
    found = re.search(r'<p class="code">([^<]+)</p>', page)
    assert found
    assert page.count("<svg") >= 1
    return found[1]


def test_another_phone_joins_by_a_code_and_sees_the_same_bakes(phone: Callable[[], InKitchen]) -> None:
    first, second = phone(), phone()
    bake_id = first.has_a_bake()
    code = code_of(first)
    asked = second.get(f"/join?code={code}")
    assert "see and change everything" in asked.text
    typed = f" {code[:5]}-{code[5:].upper()} "
    joined = second.posts("/join", {"code": typed}, page=f"/join?code={code}")
    assert joined.status_code == 303
    assert second.get(f"/bakes/{bake_id}").status_code == 200
    assert first.get("/join").text.count('class="button button--bad"') == 2


def test_looking_at_a_code_uses_nothing_up_and_makes_no_kitchen(phone: Callable[[], InKitchen], app: Flask) -> None:
    first, second = phone(), phone()
    code = code_of(first)
    second.get(f"/join?code={code}")
    assert "Join</button>" in second.get(f"/join?code={code}").text
    with app.extensions["suppertide"].store.reading() as db:
        assert db.execute("SELECT count(*) FROM kitchens").fetchone()[0] == 1


@pytest.mark.parametrize("why", ["used", "old", "wrong", "replaced"])
def test_a_code_that_does_not_hold_lets_nobody_in(phone: Callable[[], InKitchen], clock: Clock, why: str) -> None:
    first, second, third = phone(), phone(), phone()
    bake_id = first.has_a_bake()
    code = code_of(first)
    if why == "used":
        third.get("/")
        third.posts("/join", {"code": code})
    elif why == "old":
        clock.now += JOIN_CODE_S
    elif why == "wrong":
        code = code[::-1]
    else:
        code_of(first)
    second.get("/")
    refused = second.posts("/join", {"code": code})
    assert refused.status_code == 422
    assert "used up, too old or mistyped" in refused.text
    assert second.get(f"/bakes/{bake_id}").status_code == 404


def test_a_phone_shut_out_sees_nothing_from_then_on(phone: Callable[[], InKitchen]) -> None:
    first, second = phone(), phone()
    bake_id = first.has_a_bake()
    second.get("/")
    second.posts("/join", {"code": code_of(first)})
    removals = re.findall(r'action="(/join/phones/[^"]+/remove)"', first.get("/join").text)
    assert len(removals) == 2
    assert first.posts(removals[1], page="/join").status_code == 303
    assert second.get(f"/api/bakes/{bake_id}/bundle").status_code == 401
    assert second.get(f"/bakes/{bake_id}").status_code == 404
    assert first.get(f"/bakes/{bake_id}").status_code == 200


def test_the_last_phone_cannot_shut_itself_out(kitchen: InKitchen) -> None:
    name = re.search(r'action="(/join/phones/[^"]+)/name"', kitchen.get("/join").text)
    assert name
    refused = kitchen.posts(f"{name[1]}/remove", page="/join")
    assert refused.status_code == 422
    assert "only phone" in refused.text


def test_a_phone_gets_a_name_and_no_empty_or_endless_one(kitchen: InKitchen) -> None:
    action = re.search(r'action="(/join/phones/[^"]+/name)"', kitchen.get("/join").text)
    assert action
    assert kitchen.posts(action[1], {"name": " By  the <oven> "}, page="/join").status_code == 303
    assert 'value="By the &lt;oven&gt;"' in kitchen.get("/join").text
    for name in ("", " ", "x" * 41):
        assert kitchen.posts(action[1], {"name": name}, page="/join").status_code == 422


def test_keys_and_codes_are_in_the_database_as_hashes_only(kitchen: InKitchen, app: Flask, settings: Settings) -> None:
    code = code_of(kitchen)
    cookie = kitchen.client.get_cookie("suppertide")
    assert cookie is not None
    assert len(cookie.value) >= 43  # 256 bits in base64
    with app.extensions["suppertide"].store.transaction() as db:
        dump = "\n".join(db.iterdump())
    assert cookie.value not in dump
    assert code not in dump


# --- everything at once -------------------------------------------------------------------------------------------


def test_everything_can_be_taken_to_a_new_server_and_is_the_same_there(kitchen: InKitchen, tmp_path: Any) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id), event(bake_id, "note", text="Gut!"))
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


BROKEN = [
    ("kind", "another program"), ("schema", 99), ("kitchen", None), ("kitchen.zone", 7), ("bakes", {}), ("bakes.0", []),
    ("bakes.0.bake_id", ""), ("bakes.0.wish", 1), ("bakes.0.plans.0", 1), ("bakes.0.plans.0.plan.steps", "x"),
    ("bakes.0.plans.0.plan.supper", "late"), ("bakes.0.events", [1]), ("bakes.0.events", 1), ("larder", [1]),
    ("busy", [[1]]), ("busy", [["a", "b"]]),
    ("larder", [{"shelf": "formula", "key": "own-x", "versions": [{"name": "no dough"}]}]),
    ("larder", [{"shelf": "formula", "key": "bench-tray", "versions": []}]),
    ("larder", [{"shelf": "toppings", "key": "own-x", "versions": [{"name": 7}]}]),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value"), BROKEN, ids=[f"{p}={v!r:.20}" for p, v in BROKEN])
def test_a_file_that_is_not_ours_or_damaged_changes_nothing(kitchen: InKitchen, path: str, value: Any) -> None:
    kitchen.has_a_bake()
    whole = kitchen.get("/export.json").json
    assert whole is not None
    body = changed(json.loads(json.dumps(whole)), path, value)
    sent = {"file": (io.BytesIO(body), "kitchen.json")}
    response = kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert response.status_code == 422
    assert 'class="field__error"' in response.text
    assert kitchen.get("/export.json").json == whole


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


def test_deleting_everything_wants_the_word_and_then_deletes_everything(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    for word in ("", "yes"):
        assert kitchen.posts("/delete-everything", {"word": word}, page="/take-along").status_code == 422
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200
    assert "Everything is deleted" in kitchen.posts("/delete-everything", {"word": " Delete "}, page="/take-along").text
    assert kitchen.client.get_cookie("suppertide") is None
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 404


# --- larder -------------------------------------------------------------------------------------------------------


def sheet(kitchen: InKitchen, changes: dict[str, str] | None = None) -> dict[str, str]:
    """A dough of our own in grams: 500 g flour, 350 g water, 11 g salt, 1 g yeast."""
    page = kitchen.get("/larder/new").text
    form = re.findall(r"<form.*?</form>", page, re.DOTALL)[0]
    rows = {"0-name": "Flour from the mill", "0-amount": "500", "1-name": "Water", "1-amount": "350", "2-name": "Salt",
            "2-amount": "11", "3-name": "", "yeast": "1", "name": "Mill dough"}  # fmt: skip
    return fields_of(form) | rows | (changes or {})


def test_grams_become_percent_of_the_flour(kitchen: InKitchen) -> None:
    saved = kitchen.posts("/larder", sheet(kitchen), page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    page = kitchen.get(saved.headers["Location"]).text
    # 350 / 500, 11 / 500 and 1 / 500 of the flour: baker's percentages by their definition.
    for percent in ("70 %", "2.2 %", "0.2 %"):
        assert percent in page
    assert "gluten" in page, "a flour counts as gluten unless none is written"
    assert "Mill dough" in kitchen.get("/larder").text
    assert "Mill dough" in kitchen.get("/").text


def test_an_edit_is_a_new_version_and_the_one_before_is_kept(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    form = re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0]
    typed = fields_of(form)
    assert (typed["unit"], typed["1-amount"]) == ("percent", "70")
    assert kitchen.posts(f"{key}/edit", typed | {"1-amount": "74"}, page=f"{key}/edit").status_code == 303
    page = kitchen.get(key).text
    assert "74 %" in page
    assert "Version 1" in page
    untouched = re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0]
    kitchen.posts(f"{key}/edit", fields_of(untouched), page=f"{key}/edit")
    assert "Version 2" not in kitchen.get(key).text, "saved as it was: no new version"


@pytest.mark.parametrize("source", ["bench-tray", "poolish-tray", "milk-round", "part-whole-tray"])
def test_a_copy_of_a_shipped_formula_is_the_same_dough(kitchen: InKitchen, source: str) -> None:
    form = re.findall(r"<form.*?</form>", kitchen.get(f"/larder/new?from={source}").text, re.DOTALL)[0]
    saved = kitchen.posts("/larder", fields_of(form), page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    pages = (kitchen.get(path).text for path in (saved.headers["Location"], f"/larder/{source}"))
    ours, theirs = (re.findall(r"<tbody>.*?</tbody>", page, re.DOTALL)[0] for page in pages)
    assert ours == theirs


WRONG_DOUGH = [
    ({"name": ""}, "The formula needs a name"),
    ({"0-amount": ""}, "It needs a number"),
    ({"0-amount": "", "0-name": ""}, "There is no flour"),
    ({"0-amount": "0"}, "There is no flour"),
    ({"1-amount": "NaN"}, "“NaN” is not a number"),
    ({"1-amount": "", "1-name": ""}, "There is no water"),
    ({"1-amount": "900"}, "a batter"),
    ({"2-amount": "60"}, "salt is no dough"),
    ({"yeast": "45"}, "yeast is too much"),
    ({"yeast": "0"}, "Between 0.001 and 2000 g"),
    ({"1-kind": ""}, "What it is is not answered yet"),
    ({"0-allergens": "gravel"}, "“gravel” is not on the list of allergens"),
    ({"target_times": "4", "past_times": "3"}, "below the rise that is past it"),
    ({"loading_low": "0.9"}, "must rise from low over usual to high"),
    ({"pre_style": "poolish", "pre_flour": "50", "pre_water": "150", "pre_yeast": "0.1"}, "the formula has"),
    ({"style": "spherical"}, "“spherical” is not on the list"),
]


@pytest.mark.parametrize(("changes", "words"), WRONG_DOUGH, ids=[words for _, words in WRONG_DOUGH])
def test_what_is_no_dough_is_named_and_kept_as_typed(kitchen: InKitchen, changes: dict[str, str], words: str) -> None:
    typed = sheet(kitchen, changes)
    response = kitchen.posts("/larder", typed, page="/larder/new")
    assert response.status_code == 422
    assert words in mistakes(response.text)
    again = fields_of(next(one for one in re.findall(r"<form.*?</form>", response.text, re.DOTALL) if "0-name" in one))
    for name, value in typed.items():
        if value and name.endswith(("-name", "-amount", "yeast", "_low", "_times", "-allergens")):
            assert again[name] == value, name


def test_a_formula_put_away_leaves_the_shelf_but_not_the_bakes(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    kitchen.plans({"formula_key": key.rsplit("/", 1)[1]})
    assert kitchen.posts(f"{key}/put-away", page=key).status_code == 303
    assert kitchen.get(key).status_code == 404
    assert "Mill dough" not in kitchen.get("/larder").text
    assert kitchen.get("/").status_code == 200, "the last wish named it"
    assert kitchen.get("/week").status_code == 200


def test_shipped_and_foreign_formulas_cannot_be_changed(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    key = ours.posts("/larder", sheet(ours), page="/larder/new").headers["Location"]
    theirs.get("/")
    for path in (key, "/larder/bench-tray", "/larder/never-was"):
        assert theirs.get(f"{path}/edit").status_code == 404
        assert theirs.posts(f"{path}/edit", sheet(theirs)).status_code == 404
        assert theirs.posts(f"{path}/put-away").status_code == 404
    assert theirs.get(key).status_code == 404


# --- book and week ------------------------------------------------------------------------------------------------


def test_the_book_says_how_it_came_out_and_likely_why(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    assert bake_id not in kitchen.get("/book").text
    clock.now = at(21)
    assert f'href="/book/{bake_id}"' in kitchen.get("/book").text
    said = {"pale-base": "y", "top-good": "y", "timing": "late", "note": "Too <wet>."}
    assert kitchen.posts(f"/book/{bake_id}", said, page=f"/book/{bake_id}").status_code == 303
    page = kitchen.get(f"/book/{bake_id}").text
    assert "Base pale or soft" in page
    assert "Likely why" in page
    assert "Too &lt;wet&gt;." in page
    assert {"base": "pale-base", "top": "good", "timing": "late"} in [one["data"] for one in kitchen.lines(bake_id)]


def test_saying_nothing_is_no_line_in_the_book(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.posts(f"/book/{bake_id}", {}, page=f"/book/{bake_id}").status_code == 422
    assert kitchen.posts(f"/book/{bake_id}", {"note": "x" * 2001}, page=f"/book/{bake_id}").status_code == 422
    assert kitchen.lines(bake_id) == []


def test_the_week_offers_each_evening_with_its_way(settings: Settings, clock: Clock) -> None:
    real = InKitchen(create_app(settings, now=clock).test_client())
    real.get("/")
    page = real.get("/week?at=19:30").text
    assert page.count("Plan this") == 7
    forms = re.findall(r'<form method="post" action="/plan">.*?</form>', page, re.DOTALL)
    planned = real.posts("/plan", fields_of(forms[2]))
    assert planned.status_code == 303, mistakes(planned.text)


def test_a_day_with_no_room_shows_what_would_work_one_tap_away(settings: Settings, clock: Clock) -> None:
    real = InKitchen(create_app(settings, now=clock).test_client())
    real.get("/")
    refused = real.posts("/plan", real.answers({"hours": "differ", "away": "7:00-19:20"}))
    assert refused.status_code == 422
    assert "Nothing fits this day as asked" in mistakes(refused.text)
    ways = re.findall(r'<li><form method="post" action="/plan">.*?</form>', refused.text, re.DOTALL)
    assert ways
    for way in ways:
        assert real.posts("/plan", fields_of(way)).status_code == 303, way


# --- busy times ---------------------------------------------------------------------------------------------------

CLASS = b"""BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//a test//\r
BEGIN:VEVENT\r
UID:evening-class\r
DTSTAMP:20261101T000000Z\r
DTSTART:20261126T180000Z\r
DTEND:20261126T200000Z\r
RRULE:FREQ=WEEKLY;COUNT=3\r
SUMMARY:Choir with Somebody\r
END:VEVENT\r
END:VCALENDAR\r
"""


def upload(kitchen: InKitchen, body: bytes) -> Any:
    sent = {"file": (io.BytesIO(body), "mine.ics")} if body else {}
    return kitchen.posts("/settings/busy", sent, page="/settings", content_type="multipart/form-data")


def test_busy_times_of_a_calendar_are_kept_without_their_titles(kitchen: InKitchen, app: Flask) -> None:
    assert upload(kitchen, CLASS).status_code == 303
    store: Store = app.extensions["suppertide"].store
    with store.transaction() as db:
        assert "Choir" not in "\n".join(db.iterdump())
    # Three Thursdays, 18:00 to 20:00 UTC (RFC 5545 3.3.10: COUNT includes the first).
    week = 7 * 86400
    expected = [[at(42) + n * week, at(44) + n * week] for n in range(3)]
    answer = kitchen.get("/export.json").json
    assert answer is not None
    assert answer["busy"] == expected
    assert "3 busy stretches" in kitchen.get("/settings").text
    assert kitchen.posts("/settings/busy/forget", page="/settings").status_code == 303
    assert "busy stretches" not in kitchen.get("/settings").text


@pytest.mark.parametrize("body", [b"", b"hello", CLASS.replace(b"FREQ=WEEKLY", b"FREQ=SECONDLY")], ids=range(3))
def test_a_calendar_that_cannot_be_read_is_said_so_and_the_former_times_stay(kitchen: InKitchen, body: bytes) -> None:
    upload(kitchen, CLASS)
    before = kitchen.get("/export.json").json
    response = upload(kitchen, body)
    assert response.status_code == 422
    assert 'id="busy-error"' in response.text
    assert kitchen.get("/export.json").json == before
