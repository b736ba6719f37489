"""Own ways of making a dough: shown as chains, copied, changed row by row without scripts, versions kept, put away."""

from __future__ import annotations

import io
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from flask import Flask

from tests.web.conftest import NOW, InKitchen
from tests.web.look import read
from webapp.core.formula.method import CHAIN_STEPS, Method
from webapp.data.doughs import methods
from webapp.doughs.larder import of_kitchen
from webapp.doughs.own import own
from webapp.doughs.own_kinds import METHODS
from webapp.machine.settings import Settings
from webapp.web.app import create_app

PAGE = "/larder/methods"
# Mixed, folded once if there is room, eight to twelve hours on the bench, an hour in the tray.
SLOW = {"name": "Slow bench", "note": "For Sundays", "0-kind": "mix", "0-hands": "20",
        "1-kind": "fold", "1-least": "20", "1-best": "30 min", "1-most": "0:40", "1-optional": "y",
        "2-kind": "press", "2-least": "8 h", "2-best": "9 h 30 min", "2-most": "12h",
        "3-kind": "load", "3-least": "45 min", "3-best": "1 h", "3-most": "1.5 h"}  # fmt: skip


def _own(phone: InKitchen) -> dict[str, Method]:
    return own(phone.store, phone.kitchen_id(), METHODS)


def _writes(phone: InKitchen, **typed: str) -> tuple[int, str]:
    answer = phone.posts(PAGE, SLOW | typed, page=f"{PAGE}/new")
    return answer.status_code, unescape(answer.text)


def _typed(page: str) -> dict[str, str]:
    """What the rows of a form hold, by field, and every tick as "y"."""
    found: dict[str, str] = {}
    nodes = read(page).nodes
    for node in nodes:
        name = node.attrs.get("name", "")
        if node.tag == "input" and name[:1].isdigit() and node.attrs.get("type") != "checkbox":
            found[name] = node.attrs.get("value", "")
        if node.tag == "input" and "checked" in node.attrs:
            found[name] = "y"
        if node.tag == "option" and "selected" in node.attrs:
            found[node.around[-1].attrs["name"]] = node.attrs["value"]
    return found


def test_lengths_of_time_are_read_as_people_write_them(app: Flask, kitchen: InKitchen) -> None:
    assert _writes(kitchen)[0] == 303
    (kept,) = _own(kitchen).values()
    waits = [(s.wait_least_min, s.wait_best_min, s.wait_most_min) for s in kept.steps]
    assert waits == [(0, 0, 0), (20, 30, 40), (480, 570, 720), (45, 60, 90)]
    assert [s.kind for s in kept.steps] == ["mix", "fold", "press", "load"]
    assert (kept.name, kept.note, kept.steps[0].hands, kept.steps[1].optional) == (
        "Slow bench",
        "For Sundays",
        20,
        True,
    )


def test_a_method_may_mix_cool_and_press_before_all_of_its_rise(app: Flask, kitchen: InKitchen) -> None:
    assert _writes(kitchen, mixed_cool="y", pressed_percent="80")[0] == 303
    ((key, kept),) = _own(kitchen).items()
    assert (kept.mixed_cool, kept.pressed_percent) == (True, 80)
    said = " ".join(kitchen.get(PAGE).text.split())
    assert "Mixed with cold tap water. Pressed out at 80 % of its rise; the rest is left to the tray." in said
    fields = {n.attrs.get("name"): n.attrs for n in read(kitchen.get(f"{PAGE}/{key}/edit").text).all("input")}
    assert "checked" in fields["mixed_cool"]
    assert fields["pressed_percent"]["value"] == "80"


@pytest.mark.parametrize("typed", ["50", "101", "most"])
def test_a_dough_that_is_pressed_too_soon_is_refused_at_its_field_and_stays_typed(
    app: Flask, kitchen: InKitchen, typed: str
) -> None:
    status, page = _writes(kitchen, pressed_percent=typed)
    assert status == 422
    assert not _own(kitchen)
    (field,) = (n for n in read(page).all("input") if n.attrs.get("name") == "pressed_percent")
    assert (field.attrs["aria-invalid"], field.attrs["value"]) == ("true", typed)


@pytest.mark.parametrize("key", list(methods()))
def test_a_shipped_method_made_ours_is_the_same_chain(app: Flask, kitchen: InKitchen, key: str) -> None:
    page = kitchen.get(f"{PAGE}/new?from={key}").text
    sent = {"name": "Copy"} | _typed(page)
    assert kitchen.posts(PAGE, sent, page=f"{PAGE}/new").status_code == 303
    (kept,) = _own(kitchen).values()
    assert kept.through_night == methods()[key].through_night
    for ours, theirs in zip(kept.steps, methods()[key].steps, strict=True):
        assert ours.hands == theirs.hands
        assert (ours.kind, ours.place, ours.optional, ours.alarm_min) == (
            theirs.kind, theirs.place, theirs.optional, theirs.alarm_min,
        )  # fmt: skip
        assert (ours.wait_least_min, ours.wait_best_min, ours.wait_most_min) == (
            theirs.wait_least_min, theirs.wait_best_min, theirs.wait_most_min,
        )  # fmt: skip


def test_every_kind_of_step_can_be_chosen_in_plain_words(kitchen: InKitchen) -> None:
    options = [n for n in read(kitchen.get(f"{PAGE}/new").text).all("option") if n.around[-1].attrs["name"] == "0-kind"]
    assert {n.attrs["value"] for n in options} == {"", "out", *CHAIN_STEPS}
    assert all(" " in n.text for n in options)


def test_the_page_shows_every_chain_with_its_waits_and_places(kitchen: InKitchen) -> None:
    page = " ".join(kitchen.get(PAGE).text.split())
    for one in methods().values():
        assert one.name in page
    assert "8 h to 72 h later, best 24 h" in page  # cold 8-72 h, as it is shipped
    assert "then in the fridge" in page
    assert "(may be left out)" in page


def test_an_own_method_can_be_chosen_on_the_plan_form_and_asked_for(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    assert "Slow bench" in kitchen.get("/plan").text
    assert key in of_kitchen(kitchen.store, kitchen.kitchen_id()).methods
    assert kitchen.plans({"method_key": key})


def test_an_own_method_is_planned_inside_its_own_waits(settings: Settings) -> None:
    """With the planner of the app: the chain typed in is the chain of the plan."""
    app = create_app(settings, now=lambda: NOW)
    kitchen = InKitchen(app.test_client())
    _writes(kitchen)
    (key,) = _own(kitchen)
    bake_id = kitchen.plans({"method_key": key, "hours": "home", "supper": "2026-11-25T20:30"})
    kitchen.picks(bake_id)
    bundle = kitchen.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle
    steps = {step["kind"]: step for step in bundle["plan"]["steps"]}
    wait = steps["press"]["start"] - steps["mix"]["end"]
    assert 8 * 3600 <= wait <= 12 * 3600
    assert steps["mix"]["end"] - steps["mix"]["start"] == 20 * 60
    assert "Slow bench" in kitchen.get(f"/bakes/{bake_id}?offers").text


def test_a_change_is_a_new_version_and_the_one_before_is_shown(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    page = f"{PAGE}/{key}/edit"
    assert _typed(kitchen.get(page).text)["2-best"] == "9 h 30 min"
    assert kitchen.posts(page, SLOW | {"2-best": "11 h"}, page=page).status_code == 303
    (kept,) = _own(kitchen).items()
    assert (kept[0], kept[1].steps[2].wait_best_min) == (key, 660)
    ours = kitchen.get(PAGE).text.split("Of the house")[0]
    assert "Version 1" in ours
    assert "best 9 h 30 min" in ours
    assert "best 11 h" in ours


def test_saving_what_has_not_changed_makes_no_version(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    kitchen.posts(f"{PAGE}/{key}/edit", SLOW, page=PAGE)
    assert "Version 1" not in kitchen.get(PAGE).text


def test_putting_away_takes_it_off_the_form_and_the_week_goes_on_without_it(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    bake_id = kitchen.plans({"method_key": key})
    assert kitchen.posts(f"{PAGE}/{key}/put-away", page=PAGE).status_code == 303
    assert "Slow bench" not in kitchen.get("/plan").text
    assert "Slow bench: put away since" in kitchen.get(f"/plan?again={bake_id}").text
    assert kitchen.get("/week").status_code == 200
    assert kitchen.posts(f"{PAGE}/{key}/put-away").status_code == 404


@pytest.mark.parametrize(
    ("rows", "kinds"),
    [
        ("add-2", ["mix", "fold", "", "press", "load"]),
        ("add-4", ["mix", "fold", "press", "load", ""]),
        ("drop-1", ["mix", "press", "load"]),
        ("up-2", ["mix", "press", "fold", "load"]),
        ("up-0", ["mix", "fold", "press", "load"]),
        ("drop-9", ["mix", "fold", "press", "load"]),
        ("bake-1", ["mix", "fold", "press", "load"]),
        ("add-99", ["mix", "fold", "press", "load"]),
    ],
)
def test_rows_come_go_and_move_without_scripts_and_nothing_typed_is_lost(
    app: Flask, kitchen: InKitchen, rows: str, kinds: list[str]
) -> None:
    answer = kitchen.posts(PAGE, SLOW | {"rows": rows, "2-best": "soon"}, page=f"{PAGE}/new")
    assert answer.status_code == 200
    typed = _typed(answer.text)
    assert [typed.get(f"{place}-kind", "") for place in range(len(kinds))] == kinds
    assert f"{len(kinds)}-kind" not in answer.text
    assert typed[f"{kinds.index('press')}-best"] == "soon"
    assert "For Sundays" in answer.text
    assert _own(kitchen) == {}


def test_there_are_never_more_rows_than_a_method_may_have(kitchen: InKitchen) -> None:
    full = {f"{place}-kind": "fold" for place in range(12)}
    page = kitchen.posts(PAGE, full | {"rows": "add-3"}, page=f"{PAGE}/new").text
    assert "11-kind" in page
    assert "12-kind" not in page
    assert "Add a step" not in page


def test_the_last_row_cannot_be_dropped(kitchen: InKitchen) -> None:
    page = kitchen.posts(PAGE, {"0-kind": "mix", "rows": "drop-0"}, page=f"{PAGE}/new").text
    assert _typed(page)["0-kind"] == "mix"


def test_the_return_key_saves_and_adds_no_row(kitchen: InKitchen) -> None:
    """HTML: the first submit button of a form is its default button."""
    buttons = [n for n in read(kitchen.get(f"{PAGE}/new").text).all("button") if any(
        a.tag == "form" and a.attrs.get("action") == PAGE for a in n.around)]  # fmt: skip
    assert "name" not in buttons[0].attrs
    assert any(n.attrs.get("name") == "rows" for n in buttons)


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"name": ""}, "name", "The method needs a name"),
        ({"2-best": "soon"}, "2-best", "“soon” is no length of time"),
        ({"2-best": ""}, "2-best", "A length of time is missing"),
        ({"2-most": "900 h"}, "2-most", "no length of time up to a week"),
        ({"2-best": "13 h"}, "2-least", "the wait is not least"),
        ({"2-best": "9 h 32 min"}, "2-least", "waits count in fives"),
        ({"0-hands": "17"}, "0-hands", "Use a multiple of five minutes"),
        ({"0-hands": "999"}, "0-hands", "does not fit"),
        ({"0-kind": "knead"}, "0-kind", "not on the list"),
        ({"2-kind": ""}, "2-kind", "The step is not answered yet"),
        ({"4-kind": "", "4-alarm": "5"}, "4-kind", "The step is not answered yet"),
        ({"1-place": "fridge"}, "1-place", "the dough cannot go to"),
        ({"2-place": "cellar"}, "2-place", "not on the list"),
        ({"2-optional": "y"}, "2-optional", "this step cannot be left out"),
        ({"1-alarm": "5000"}, "1-alarm", "does not fit"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_typed_is_lost(
    app: Flask, kitchen: InKitchen, typed: dict[str, str], field: str, said: str
) -> None:
    status, page = _writes(kitchen, **typed)
    assert status == 422
    (node,) = [n for n in read(page).nodes if n.attrs.get("id") == f"{field}-error"]
    assert said in node.text
    shown = _typed(page)
    assert shown["1-most"] == "0:40"
    assert shown["1-optional"] == "y"
    for name, value in typed.items():
        if name[:1].isdigit() and "kind" not in name and "place" not in name:
            assert shown[name] == value
    assert _own(kitchen) == {}


def test_a_row_left_out_does_not_shift_where_mistakes_are_said(kitchen: InKitchen) -> None:
    page = _writes(kitchen, **{"1-kind": "out", "2-best": "13 h"})[1]
    assert [n for n in read(page).nodes if n.attrs.get("id") == "2-least-error"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"2-kind": "out"}, "Press comes 0 times"),
        ({"1-kind": "load", "3-kind": "fold"}, "The order is not mix, press, load"),
        ({f"{place}-kind": "out" for place in range(4)}, "A method has at least mix, press and load"),
    ],
)
def test_what_is_wrong_with_the_whole_chain_is_said_on_top(
    kitchen: InKitchen, typed: dict[str, str], said: str
) -> None:
    status, page = _writes(kitchen, **typed)
    assert status == 422
    alert = next(n for n in read(page).nodes if n.attrs.get("role") == "alert")
    assert said in alert.text


def test_a_row_that_is_wholly_empty_is_no_step(app: Flask, kitchen: InKitchen) -> None:
    assert _writes(kitchen, **{"4-kind": "", "4-least": "", "4-best": "", "4-most": ""})[0] == 303
    (kept,) = _own(kitchen).values()
    assert len(kept.steps) == 4


def test_all_mistakes_are_said_at_once(kitchen: InKitchen) -> None:
    page = _writes(kitchen, **{"name": "", "1-best": "x", "2-best": "13 h"})[1]
    for said in ("needs a name", "no length of time", "the wait is not least"):
        assert said in page


def test_a_full_shelf_says_so(app: Flask, kitchen: InKitchen) -> None:
    store, kitchen_id = kitchen.store, kitchen.kitchen_id()
    for place in range(METHODS.most):
        store.put_in_larder(kitchen_id, "method", f"own-{place}", {"key": f"own-{place}", "name": "X"}, 1)
    status, page = _writes(kitchen)
    assert status == 422
    assert "Put one away first" in page


def test_a_method_that_cannot_be_read_any_more_locks_nothing(app: Flask, kitchen: InKitchen) -> None:
    kitchen.store.put_in_larder(kitchen.kitchen_id(), "method", "own-1", {"key": "own-1"}, 1)
    for path in (PAGE, "/", "/week"):
        assert kitchen.get(path).status_code == 200


def test_own_methods_go_along_with_the_kitchen(kitchen: InKitchen, tmp_path: Any) -> None:
    _writes(kitchen)
    other_app = create_app(Settings(data=tmp_path / "other"), now=lambda: NOW)
    other = InKitchen(other_app.test_client())
    for _ in range(2):  # the second time changes nothing
        sent = {"file": (io.BytesIO(kitchen.get("/export.json").data), "kitchen.json")}
        answer = other.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
        assert answer.status_code == 303, answer.text
    assert [one.name for one in _own(other).values()] == ["Slow bench"]
    assert "Slow bench" in other.get("/plan").text


def test_a_method_that_is_none_is_named_and_not_brought_in(kitchen: InKitchen, tmp_path: Any) -> None:
    _writes(kitchen)
    text = kitchen.get("/export.json").text.replace('"kind":"press"', '"kind":"knead"')
    text = text.replace('"kind": "press"', '"kind": "knead"')
    assert "knead" in text
    other = InKitchen(create_app(Settings(data=tmp_path / "other"), now=lambda: NOW).test_client())
    sent = {"file": (io.BytesIO(text.encode()), "kitchen.json")}
    answer = other.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert answer.status_code == 303
    assert "Slow bench: cannot be read" in other.get("/plan").text  # said once, by the page that follows
    assert "Slow bench" not in other.get(PAGE).text
    assert _own(other) == {}


def test_methods_of_another_kitchen_are_as_unknown_as_none(
    app: Flask, kitchen: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    other = phone()
    assert "Slow bench" not in other.get(PAGE).text
    for wanted in (key, "no-such", "cold"):
        assert other.get(f"{PAGE}/{wanted}/edit").status_code == 404
        assert other.posts(f"{PAGE}/{wanted}/edit", SLOW).status_code == 404
        assert other.posts(f"{PAGE}/{wanted}/put-away").status_code == 404
    assert other.get(f"{PAGE}/new?from={key}").status_code == 404
    assert other.posts("/plan", other.answers(method_key=key)).status_code == 422
