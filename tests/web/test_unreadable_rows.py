"""A row that this program cannot read (a newer version wrote it, a hand changed it, a disk lost it) is named and
skipped: no page that is about something else is lost with it, and what cannot be read can be deleted."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import closing
from typing import Any

import pytest

from tests.web.conftest import NOW, InKitchen, event
from webapp.store.engines.sqlite import connect

PAGES = ("/", "/plan", "/week", "/book", "/more", "/reminders",
         "/settings", "/settings/oven", "/larder",
         "/export.json", "/api/bakes", "/kitchen", "/change/pan")  # fmt: skip
Spoil = Callable[[str], str]
pytestmark = pytest.mark.of_a_file  # what SQLite can do with JSON spoils the rows


def _without(*names: str) -> Spoil:
    """Valid JSON that lacks what a record needs, or has another kind of value there."""

    def spoil(text: str) -> str:
        plain: dict[str, Any] = json.loads(text)
        for name in names:
            plain[name] = {"of": "a later version"}
        return json.dumps(plain)

    return spoil


COLUMNS = {
    ("kitchens", "settings"): ("people", "zone", "pans"),
    ("bakes", "wish"): ("supper_local", "pans"),
    ("offers", "plan"): ("steps", "supper"),
    ("plans", "plan"): ("steps", "supper"),
    ("events", "event"): ("kind", "at", "data"),
    ("larder", "body"): ("key", "name"),
}


def _spoil(kitchen: InKitchen, table: str, column: str, how: Spoil) -> list[tuple[int, str]]:
    """Every row of the table; what was in the column before."""
    with closing(connect(kitchen.store.path)) as db, db:
        rows = db.execute(f"SELECT rowid, {column} FROM {table}").fetchall()
        for rowid, text in rows:
            db.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = ?", (how(text), rowid))
    return [(rowid, text) for rowid, text in rows]


def _put_back(kitchen: InKitchen, table: str, column: str, was: list[tuple[int, str]]) -> None:
    with closing(connect(kitchen.store.path)) as db, db:
        db.executemany(f"UPDATE {table} SET {column} = ? WHERE rowid = ?", [(text, rowid) for rowid, text in was])


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=[table for table, _ in COLUMNS])
def test_no_other_page_is_lost(kitchen: InKitchen, table: str, column: str) -> None:
    eaten, ahead = kitchen.has_a_bake(), kitchen.has_a_bake()
    kitchen.sends(eaten, event(eaten), event(eaten, "note", text="good"), event(eaten, "outcome", base="pale"))
    own = kitchen.posts("/larder/toppings", {"name": "Ours", "pan": "oven-tray", "0-name": "Leek", "0-grams": "40"})
    assert own.status_code == 303, own.text
    for how in (lambda text: text[: len(text) // 2], *(_without(name) for name in COLUMNS[table, column])):
        was = _spoil(kitchen, table, column, how)
        assert was
        lost = {page: answer.status_code for page in PAGES
                if (answer := kitchen.get(page, follow_redirects=True)).status_code != 200}  # fmt: skip
        assert lost == {}
        for bake_id in (eaten, ahead):
            for page in (
                f"/bakes/{bake_id}",
                f"/book/{bake_id}",
                f"/bakes/{bake_id}/print",
                f"/bakes/{bake_id}/bake.ics",
            ):
                assert kitchen.get(page, follow_redirects=True).status_code in (200, 422), page
        _put_back(kitchen, table, column, was)


# Of the right type, and yet nothing can be reckoned with it.
USELESS = [
    ("kitchens", "settings", "$.zone", '"Nowhere/Gone"'), ("kitchens", "settings", "$.room", "[]"),
    ("kitchens", "settings", "$.people", "[]"), ("kitchens", "settings", "$.pans", "[]"),
    ("kitchens", "settings", "$.scale_step_g", "0"), ("kitchens", "settings", "$.vigour_ln_sd", "0"),
    ("plans", "plan", "$.zone", '"Nowhere/Gone"'), ("plans", "plan", "$.supper", "9999999999999"),
    ("plans", "plan", "$.rise.table.rates", "[]"), ("plans", "plan", "$.rise.room", "[]"),
    ("plans", "plan", "$.steps", "[]"),
    ("plans", "plan", "$.rise.table.step_c", "0"), ("plans", "plan", "$.rise.shares[0].share", "1e308"),
    ("plans", "plan", "$.rise.dough_c", "1e300"), ("plans", "plan", "$.formula_name", r'"\ud800"'),
    ("kitchens", "settings", "$.mixing_rise_c", "-1e13"), ("kitchens", "settings", "$.vigour_ln_sd", "1e308"),
    ("offers", "plan", "$.zone", '"Nowhere/Gone"'), ("offers", "plan", "$.supper", "-9999999999999"),
    ("events", "event", "$.at", "9999999999999"), ("events", "event", "$.at", "-1"),
    ("bakes", "wish", "$.supper_local", '"one evening"'), ("bakes", "wish", "$.pans", "[]"),
    ("bakes", "wish", "$.pans[0].count", "1000000"), ("plans", "plan", "$.pans[0].count", "0"),
    ("kitchens", "settings", "$.pans[0].count", "1000000"), ("kitchens", "settings", "$.room[0].temp_c", "300"),
    ("kitchens", "settings", "$.room[0].temp_c", "1e308"), ("kitchens", "settings", "$.fridge_c", "1.7e308"),
    ("kitchens", "settings", "$.warm_c", "1.7e308"), ("kitchens", "settings", "$.tap_c", "-1.7e308"),
    ("kitchens", "settings", "$.mixing_rise_c", "99.9"), ("kitchens", "settings", "$.mixing_rise_c", "-99.9"),
    ("kitchens", "settings", "$.oven.highest_c", "1.7e308"), ("kitchens", "settings", "$.scale_step_g", "60"),
    ("kitchens", "settings", "$.oven.dial_error_c", "1e9"), ("kitchens", "settings", "$.pans[0].length_cm", "1.7e308"),
    ("kitchens", "settings", "$.oven.measured_preheat_min", "1" + "0" * 400),
    ("larder", "body", "$.recipe.take_g", "1e-300"), ("larder", "body", "$.recipe.flour_g", "1e-300"),
    ("larder", "body", "$.started_at", "1" + "0" * 400), ("larder", "body", "$.room[0].temp_c", "1e308"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "column", "path", "value"), USELESS, ids=[f"{t}{p}={v}" for t, _, p, v in USELESS])
def test_a_value_that_nobody_can_reckon_with_locks_no_page(
    kitchen: InKitchen, table: str, column: str, path: str, value: str
) -> None:
    ahead, picked = kitchen.plans(), kitchen.has_a_bake()
    kitchen.sends(picked, event(picked), event(picked, "note", text="good"))
    kitchen.posts("/settings/zone", {"zone": "Europe/Paris"})  # kept whole from then on
    kitchen.posts("/test-glass", {}, page="/test-glass")
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute(f"UPDATE {table} SET {column} = json_set({column}, ?, json(?))", (path, value))
    lost = {page: answer.status_code for page in (*PAGES, "/test-glass")
            if (answer := kitchen.get(page, follow_redirects=True)).status_code != 200}  # fmt: skip
    assert lost == {}
    named = {"kitchens": "/settings", "larder": "/test-glass"}
    assert table not in named or "cannot be read" in kitchen.get(named[table]).text
    for page in (f"/bakes/{ahead}", f"/bakes/{picked}", f"/book/{picked}", f"/plan?again={picked}",
                 f"/bakes/{picked}/print", f"/bakes/{picked}/bake.ics", f"/api/bakes/{picked}/bundle"):  # fmt: skip
        assert kitchen.get(page, follow_redirects=True).status_code in (200, 422), page


def test_a_bake_that_cannot_be_read_is_named_at_home_and_can_be_forgotten(kitchen: InKitchen) -> None:
    lost, fine = kitchen.has_a_bake(), kitchen.has_a_bake()
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE plans SET plan = json_remove(plan, '$.steps') WHERE bake_id = ?", (lost,))
    home = kitchen.get("/").text
    assert f'href="/bakes/{lost}"' in home
    assert "cannot be read by this version" in home
    assert f'href="/bakes/{fine}"' in home
    page = kitchen.get(f"/bakes/{lost}")
    assert page.status_code == 422
    assert "This bake cannot be read" in page.text
    assert kitchen.client.get(f"/api/bakes/{lost}/bundle").status_code == 422
    assert kitchen.posts(f"/bakes/{lost}/delete").status_code == 303
    assert "cannot be read" not in kitchen.get("/").text


def test_a_bake_nobody_can_reckon_with_can_be_forgotten(kitchen: InKitchen) -> None:
    lost, fine = kitchen.has_a_bake(), kitchen.has_a_bake()
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE plans SET plan = json_set(plan, '$.rise.table.step_c', 0) WHERE bake_id = ?", (lost,))
    assert kitchen.get(f"/bakes/{fine}").status_code == 200
    assert kitchen.client.get(f"/api/bakes/{fine}/bundle").status_code == 200
    assert kitchen.posts(f"/bakes/{lost}/delete").status_code == 303


def test_a_plan_of_before_that_cannot_be_read_leaves_the_present_one_to_be_packed(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    with closing(connect(kitchen.store.path)) as db, db:
        (text,) = db.execute("SELECT plan FROM plans WHERE bake_id = ?", (bake_id,)).fetchone()
    present = {**json.loads(text), "revision": 2, "dough_of": 1}
    kitchen.store.add_plan(kitchen.kitchen_id(), bake_id, present, NOW)
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE plans SET plan = json_set(plan, '$.lines', -1) WHERE revision = 1")
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200
    assert kitchen.client.get(f"/api/bakes/{bake_id}/bundle").status_code == 200


def test_settings_that_cannot_be_read_are_named_and_the_rest_stays(kitchen: InKitchen) -> None:
    kitchen.posts("/settings/zone", {"zone": "America/New_York"})
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE kitchens SET settings = json_set(settings, '$.pans', 'a later shape')")
    home = kitchen.get("/").text
    assert "(pans)" in home
    assert 'value="America/New_York"' in kitchen.get("/settings").text
    assert "(pans)" in kitchen.get("/settings").text


def test_a_wish_that_cannot_be_read_is_told_by_the_plan(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    _spoil(kitchen, "bakes", "wish", lambda _: "{}")
    form = kitchen.get(f"/plan?again={bake_id}").text
    assert 'value="2026-11-25T19:30"' in form


def test_a_line_of_the_journal_that_cannot_be_read_is_left_out_and_the_others_count(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id), event(bake_id, "note", text="good"))
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE events SET event = json_remove(event, '$.at') WHERE kind = 'done'")
    bundle = kitchen.client.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle is not None
    assert [one["kind"] for one in bundle["events"]] == ["note"]


def test_an_offer_that_cannot_be_read_hinders_nobody_from_picking_another(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    with closing(connect(kitchen.store.path)) as db, db:
        db.execute("UPDATE offers SET plan = json_remove(plan, '$.steps') WHERE bake_id = ? AND place = 0", (bake_id,))
    assert kitchen.picks(bake_id, 0).status_code == 303
    assert kitchen.get(f"/bakes/{bake_id}").status_code == 200


def test_bytes_that_are_no_text_cost_their_row_alone(kitchen: InKitchen) -> None:
    lost, fine = kitchen.has_a_bake(), kitchen.has_a_bake()
    kitchen.sends(fine, event(fine), event(fine, "note", text="good"))
    for table, column, which in (("plans", "plan", f"bake_id = '{lost}'"), ("events", "event", "kind = 'done'"),
                                 ("bakes", "wish", "1"), ("kitchens", "settings", "1")):  # fmt: skip
        with closing(connect(kitchen.store.path)) as db, db:
            db.execute(f"UPDATE {table} SET {column} = CAST(X'7BFF' AS TEXT) WHERE {which}")
        for page in (*PAGES, f"/bakes/{fine}"):
            assert kitchen.get(page, follow_redirects=True).status_code == 200, (table, page)
    assert [one["kind"] for one in kitchen.lines(fine)] == ["note"]
