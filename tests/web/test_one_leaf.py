"""One value somewhere in one row of what is kept is wrong, of every kind of row: whatever it is, no page about anything
else is lost, no page breaks, and the calendar keeps the other bakes.

A few changes of each kind by default, the same ones each time; every value at every place with `--thorough`.
"""

from __future__ import annotations

import copy
import io
import json
import math
import random
import re
from collections.abc import Iterator
from contextlib import closing
from typing import Any

import pytest

from tests.profiles import thorough
from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from webapp.store.engines.sqlite import connect

pytestmark = pytest.mark.of_a_file  # its rows are written past the store

VALUES = (None, "", "x", "a" * 60_000, "\ud800", [], {}, True, 0, -1, 1e-300, 1e308, -1e308, 1000.0, 2**63, 10**400,
          math.nan, math.inf, -math.inf)  # fmt: skip
EVERYWHERE = ("/", "/plan", "/week", "/book", "/settings", "/settings/busy", "/reminders", "/larder/toppings",
              "/test-glass", "/settings/oven", "/take-along", "/export.json", "/kitchen", "/change/pan")  # fmt: skip
KINDS = {
    "settings": ("kitchens", "settings", ""),
    "wish": ("bakes", "wish", ""),
    "offer": ("offers", "plan", "WHERE place = 1"),
    "plan": ("plans", "plan", ""),
    "event": ("events", "event", ""),
    "glass": ("larder", "body", "WHERE shelf = 'glass'"),
    "toppings": ("larder", "body", "WHERE shelf = 'toppings'"),
    "entry": ("calendar_entries", "entry", ""),
    "notes": ("busy_calendars", "notes", ""),
    "message": ("push_due", "payload", ""),
}
FEW = {"plan": 8, "settings": 8, "event": 8}  # changes, by default; 4 of each other kind
ICS = b"""BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//made up//EN
BEGIN:VEVENT
UID:1@made-up
DTSTART:20261126T100000Z
DTEND:20261126T110000Z
END:VEVENT
BEGIN:VEVENT
UID:2@made-up
DTSTART:20261199T100000Z
END:VEVENT
END:VCALENDAR
""".replace(b"\n", b"\r\n")


def _journal(bake_id: str) -> list[dict[str, Any]]:
    """A line of every kind of which something is reckoned."""
    hour = at(9)
    way = {"way": "fridge", "press": at(17), "load": at(19), "supper": at(19, 40), "asked": True, "given_up": 0.0}
    return [
        event(bake_id, "done", step_id="mix"), event(bake_id, "glass", times=1.7), event(bake_id, "tray", times=1.1),
        event(bake_id, "room", temp_c=21.0, since=at(7, 10)), event(bake_id, "dough", temp_c=23.0),
        event(bake_id, "poured", line="dough/flour", grams=900.0, kept=False, pace=1.1),
        event(bake_id, "poured", line="dough/water", grams=900.0), event(bake_id, "pan", area_cm2=1000.0, name="x"),
        event(bake_id, "later", until=at(17), heats=False), event(bake_id, "supper", instant=at(19, 45)),
        event(bake_id, "way", **way, proof="", result="", moves=[{"at": hour, "place": "fridge"}]),
        event(bake_id, "looked", seen="doubled"), event(bake_id, "yeast", yeast="fresh"),
        event(bake_id, "outcome", base="pale", verdict="right"), event(bake_id, "note", text="good"),
    ]  # fmt: skip


def _furnished(kitchen: InKitchen, clock: Clock) -> tuple[str, str, str, str]:
    """One of everything that is kept: a bake that is over, one to come, one that is not picked; the feed's address."""
    eaten, ahead = kitchen.has_a_bake(), kitchen.has_a_bake()
    clock.now = at(8)
    assert kitchen.sends(eaten, *_journal(eaten)).status_code == 200
    asked = kitchen.plans()
    kitchen.posts("/larder/toppings", {"name": "Ours", "pan": "oven-tray", "0-name": "Leek", "0-grams": "40"})
    kitchen.posts("/settings/zone", {"zone": "Europe/Paris"})
    glass = kitchen.posts("/test-glass", {}, page="/test-glass").headers["Location"].rsplit("#", 1)[1]
    clock.now = at(10)
    kitchen.posts(f"/test-glass/{glass}", {"first": "10", "height": "16"}, page="/test-glass")
    busy = {"file": (io.BytesIO(ICS), "mine.ics")}
    kitchen.posts("/settings/busy", busy, page="/settings/busy", content_type="multipart/form-data")
    shown = kitchen.posts("/reminders/feed", page="/reminders", follow_redirects=True).text
    found = re.search(r"/feed/[A-Za-z0-9_-]+\.ics", shown)
    assert found
    assert kitchen.get(found[0]).status_code == 200
    return eaten, ahead, asked, found[0]


def _leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    yield path
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, one in inner:
        yield from _leaves(one, (*path, name))


def _changed(value: Any, path: tuple[str | int, ...], new: Any) -> Any:
    if not path:
        return new
    value = copy.deepcopy(value)
    there = value
    for step in path[:-1]:
        there = there[step]
    there[path[-1]] = new
    return value


def _changes(rows: list[tuple[int, str]], few: int) -> list[tuple[int, tuple[str | int, ...], Any]]:
    """Row, place and new value; of places that are alike but for their number in a list one."""
    places: dict[str, tuple[int, tuple[str | int, ...]]] = {}
    for rowid, text in rows:
        value = json.loads(text)
        kind = value.get("kind", "") if isinstance(value, dict) else ""
        for path in _leaves(value):
            places.setdefault(f"{kind} {['*' if isinstance(one, int) else one for one in path]}", (rowid, path))
    every = [(rowid, path, new) for rowid, path in places.values() for new in VALUES]
    return every if thorough() else random.Random(7).sample(every, min(few, len(every)))


@pytest.mark.parametrize("kind", KINDS)
def test_no_page_about_anything_else_is_lost(kitchen: InKitchen, clock: Clock, kind: str) -> None:
    table, column, which = KINDS[kind]
    eaten, ahead, asked, feed = _furnished(kitchen, clock)
    with closing(connect(kitchen.store.path)) as db, db:
        rows = db.execute(f"SELECT rowid, {column} FROM {table} {which}").fetchall()
    texts, lost = dict(rows), []
    for rowid, path, new in _changes(rows, FEW.get(kind, 4)):
        text = json.dumps(_changed(json.loads(texts[rowid]), path, new))
        with closing(connect(kitchen.store.path)) as db, db:
            db.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = ?", (text, rowid))
            db.execute("DELETE FROM calendar_drawn")
            db.execute("UPDATE calendar_versions SET version = version + 1")
        lost += [
            (".".join(map(str, path)), repr(new)[:20], *one) for one in _lost(kitchen, eaten, ahead, asked, feed, kind)
        ]
        with closing(connect(kitchen.store.path)) as db, db:
            db.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = ?", (texts[rowid], rowid))
    assert lost == []


def _lost(
    kitchen: InKitchen, eaten: str, ahead: str, asked: str, feed: str, kind: str
) -> Iterator[tuple[str, int | str]]:
    own = [f"/bakes/{eaten}", f"/bakes/{ahead}", f"/book/{eaten}", f"/bakes/{ahead}/print", f"/bakes/{eaten}/bake.ics",
           f"/bakes/{asked}", f"/api/bakes/{ahead}/bundle", f"/plan?again={ahead}"]  # fmt: skip
    told = {"plan", "offer", "wish"}  # a bake of which these cannot be read says so on its own pages
    for page in (*EVERYWHERE, feed, *own):
        try:
            answer = kitchen.get(page, follow_redirects=True)
        except Exception as error:  # what would be a 500
            yield page, repr(error)[:120]
            continue
        if answer.status_code != 200 and not (page in own and kind in told and answer.status_code in (404, 422)):
            yield page, answer.status_code
        elif page == feed and not (ahead in answer.text or eaten in answer.text):
            yield page, "no bake"
