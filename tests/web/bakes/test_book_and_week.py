"""The book, the week, and what is offered when a day has no room."""

from __future__ import annotations

import html
import re
from itertools import pairwise

from tests.samples import at
from tests.web.conftest import Clock, InKitchen
from tests.web.seen import fields_of, mistakes, shown
from webapp.machine.settings import Settings
from webapp.planning.evenings import EveningView, plan_week, week
from webapp.web.app import create_app


def test_the_book_says_how_it_came_out_and_likely_why(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    assert bake_id not in kitchen.get("/book").text
    clock.now = at(21)
    assert f'href="/book/{bake_id}"' in kitchen.get("/book").text
    said = {"pale-base": "y", "top-good": "y", "verdict": "past", "timing": "late", "note": "Too <wet>."}
    assert kitchen.posts(f"/book/{bake_id}", said, page=f"/book/{bake_id}").status_code == 303
    page = kitchen.get(f"/book/{bake_id}").text
    assert "Base pale or soft" in page
    assert "Likely why" in page
    assert re.search(r"\((most likely|possible|less likely)\)", page), "in words: the table behind it is rough"
    assert "%)" not in page
    assert "Too &lt;wet&gt;." in page
    assert {"base": "pale-base", "top": "good", "verdict": "past", "timing": "late"} in [
        one["data"] for one in kitchen.lines(bake_id)
    ]


def test_who_has_just_eaten_is_asked_how_it_was_before_all_else_in_the_book(kitchen: InKitchen, clock: Clock) -> None:
    kitchen.has_a_bake()
    clock.now = at(21)
    page = kitchen.get("/book").text
    assert 0 < page.index("Baked after all? Say so") < page.index("What this kitchen has taught")
    assert page.count("Baked after all? Say so") == 1
    assert "Today 19:30" in page


def test_all_good_is_one_tap_and_what_was_ticked_beside_it_counts(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    clock.now = at(21)
    page = f"/book/{bake_id}"
    assert 'name="all-good"' in kitchen.get(page).text
    assert kitchen.posts(page, {"all-good": "y", "note": "Gone in minutes."}, page=page).status_code == 303
    assert {"base": "good", "top": "good", "crumb": "good"} in [one["data"] for one in kitchen.lines(bake_id)]
    assert 'name="all-good"' not in kitchen.get(page).text, "said already"
    assert kitchen.posts(page, {"all-good": "y", "pale-base": "y"}, page=page).status_code == 303
    assert {"base": "pale-base", "top": "good", "crumb": "good"} in [one["data"] for one in kitchen.lines(bake_id)]


def test_saying_nothing_is_no_line_in_the_book(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    assert kitchen.posts(f"/book/{bake_id}", {}, page=f"/book/{bake_id}").status_code == 422
    assert kitchen.posts(f"/book/{bake_id}", {"note": "x" * 2001}, page=f"/book/{bake_id}").status_code == 422
    assert kitchen.lines(bake_id) == []


def test_the_week_is_a_row_an_evening_that_leads_to_its_answer(settings: Settings, clock: Clock) -> None:
    real = InKitchen(create_app(settings, now=clock).test_client())
    page = real.get("/week?at=19:30").text
    rows = re.findall(r'<a class="night" href="([^"]+)">.*?<strong[^>]*>(.*?)</strong>', page, re.DOTALL)
    assert [name for _, name in rows][:3] == ["Today", "Tomorrow", "Friday"]
    assert [name for _, name in rows][-1] == "Wednesday 2 December", "whoever plans on a Wednesday means the next too"
    assert len(rows) == 8
    assert re.search(r"begins \d\d:\d\d today", page), "beside “Today” and “Tomorrow” no name of this day"
    assert not re.search(r"begins [^<]*Wednesday", page)
    further = real.get("/week?at=19:30&from=later").text
    later = re.findall(r'<a class="night" href="([^"]+)">.*?<strong[^>]*>(.*?)</strong>', further, re.DOTALL)
    assert [name for _, name in later] == [
        f"{day} December" for day in ("Thursday 3", "Friday 4", "Saturday 5", "Sunday 6", "Monday 7", "Tuesday 8")
    ], "two weeks are what can be planned"
    assert html.unescape(re.findall(r'href="([^"]+)">The week after<', page)[0]) == "/week?at=19:30&from=later"
    answer = real.get(html.unescape(rows[2][0]))
    assert "Friday, " in answer.text
    assert "Take this day" in answer.text


def test_a_remembered_week_is_what_is_planned_anew_whatever_was_changed(kitchen: InKitchen, clock: Clock) -> None:
    kitchen_id, remembered = kitchen.kitchen_id(), kitchen.client.application.extensions["suppertide"].weeks
    seen: list[tuple[EveningView, ...]] = []
    clock.now = at(6, 51)

    def look() -> None:
        anew = week(kitchen.store, clock(), kitchen_id, "19:30", plan_week)
        assert week(kitchen.store, clock(), kitchen_id, "19:30", remembered) == anew
        assert week(kitchen.store, clock() + 60, kitchen_id, "19:30", remembered) == anew
        seen.append(anew)

    look()
    kitchen.store.set_busy(kitchen_id, [(at(16), at(22))])
    look()
    kitchen.store.set_busy(kitchen_id, [])
    warmth = shown(kitchen.get("/settings").text, "warmth")
    cool = {name: "14" for name in warmth if name.startswith("temp-") and warmth[name]}
    assert kitchen.posts("/settings/warmth", warmth | cool).status_code == 303
    look()
    kitchen.has_a_bake()
    look()
    clock.now = at(37, 2)
    look()
    assert all(one != following for one, following in pairwise(seen)), "each of these changes is seen"


def test_a_day_with_no_room_shows_what_would_work_one_tap_away(settings: Settings, clock: Clock) -> None:
    real = InKitchen(create_app(settings, now=clock).test_client())
    real.get("/")
    refused = real.posts("/plan", real.answers({"hours": "differ", "away": "7:00-19:20"}))
    assert refused.status_code == 422
    assert "Nothing fits this day as asked" in mistakes(refused.text)
    ways = re.findall(r'<li><form[^>]*action="/plan">.*?</form>', refused.text, re.DOTALL)
    assert ways
    for way in ways:
        assert real.posts("/plan", fields_of(way)).status_code == 303, way
