"""An evening that has its bake: the home page says so and leads to it; a second bake of that evening is asked for."""

from __future__ import annotations

import html
import re

from tests.samples import at
from tests.web.conftest import SAME, Clock, InKitchen, event
from tests.web.seen import fields_of, words
from webapp.kitchens import bakes

TONIGHT = "2026-11-25T19:30"


def heading(page: str) -> str:
    found = re.search(r"<h1.*?</h1>", page, re.DOTALL)
    assert found
    return words(found[0])


def takes(phone: InKitchen, page: str) -> str:
    """Take the day of that page; the id of the bake."""
    form = re.search(r'<form class="take".*?</form>', page, re.DOTALL)
    assert form, words(page)
    answer = phone.posts("/take", fields_of(form[0]))
    assert answer.status_code == 303
    return str(answer.headers["Location"]).rsplit("/", 1)[1]


def linked(page: str, said: str) -> str:
    """Where the link with these words leads."""
    found = re.search(rf'<a[^>]*href="([^"]+)"[^>]*>\s*{said}', page)
    assert found, words(page)
    return html.unescape(found[1])


def test_an_evening_that_is_taken_is_said_to_be_and_leads_to_its_bake(real: InKitchen) -> None:
    bake_id = takes(real, real.get("/").text)
    page = real.get(f"/?supper={TONIGHT}").text
    assert heading(page) == "Tonight is planned already"
    assert "Plain tray pizza, supper 19:30." in words(page)
    assert "Not tonight" not in words(page), "supper is not off"
    assert 'class="take"' not in page
    assert linked(page, "Open it") == f"/bakes/{bake_id}"
    moved = real.get(linked(page, "Change supper"))
    assert moved.status_code == 200
    assert heading(moved.text) == "Change supper", "nothing is mixed: it is planned anew in the same way"
    swapped = real.get(f"/?supper={TONIGHT}", headers={"X-Part": "day"}).text
    assert heading(swapped) == "Tonight is planned already", "in place too"


def test_a_second_bake_of_an_evening_is_asked_for_and_stays_asked_for(real: InKitchen) -> None:
    takes(real, real.get("/").text)
    page = real.get(f"/?supper={TONIGHT}&room=22").text
    hour = re.search(r"Plan a second supper tonight: (\d\d:\d\d)", words(page))
    assert hour, words(page)
    second = real.get(linked(page, "Plan a second supper tonight")).text
    assert heading(second) == f"Tonight, {hour[1]}"
    asked = real.get(html.unescape(re.findall(r'href="(/change/warm[^"]*)"', second)[0])).text
    form = re.search(r"<form[^>]*data-answer.*?</form>", asked, re.DOTALL)
    assert form
    answered = fields_of(form[0])
    assert answered["second"] == "1"
    assert answered["room"] == "22", "what was answered before is kept"
    assert heading(real.get("/", query_string=answered).text) == f"Tonight, {hour[1]}"
    other = takes(real, second)
    assert bakes.picked(real.store, real.kitchen_id(), other).supper > at(19, 30)
    assert "second=1" not in linked(second, "Tomorrow"), "another evening is another question"


def test_supper_of_a_taken_evening_that_was_moved_is_told_as_it_stands(real: InKitchen, clock: Clock) -> None:
    bake_id = takes(real, real.get("/").text)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    mixed, moved = at(7, 20), at(20, 30)
    told = [
        event(bake_id) | {"at": mixed, "logged_at": mixed},
        event(bake_id, "supper", instant=moved) | {"at": mixed + 60, "logged_at": mixed + 60},
    ]
    assert plan.supper == at(19, 30)
    clock.now = mixed + 120
    assert real.client.post(f"/api/bakes/{bake_id}/events", json={"events": told}, headers=SAME).status_code == 200
    page = real.get(f"/?supper={TONIGHT}").text
    assert "supper 20:30." in words(page)
    assert real.get(linked(page, "Change supper")).status_code == 200, "mixed: from where it stands"


def test_a_midday_bake_leaves_the_evening_of_that_day_free(real: InKitchen) -> None:
    takes(real, real.get("/?supper=2026-11-28T13:00&hours=home").text)
    assert heading(real.get("/?supper=2026-11-28T13:30").text) == "Saturday is planned already"
    assert heading(real.get("/?supper=2026-11-28T19:30").text).startswith("Saturday, 19:30")
    assert heading(real.get("/?supper=2026-11-29T13:00").text).startswith("Sunday, 13:00")


def test_a_dough_nobody_said_is_in_the_fridge_is_asked_about_on_its_page_before_any_supper(
    real: InKitchen, clock: Clock
) -> None:
    """Mixed by a tap, and then none: seven hours on a supper would move with every minute that nobody says so."""
    bake_id = takes(real, real.get("/?supper=2026-11-26T19:30&method_key=cold").text)
    bundle = real.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle
    mix, chill = (next(one for one in bundle["plan"]["steps"] if one["kind"] == kind) for kind in ("mix", "chill"))
    mixed = event(bake_id, "done", step_id=mix["step_id"])
    real.sends(bake_id, mixed | {"at": mix["end"], "logged_at": mix["end"]})

    def head(after_s: int) -> str:
        clock.now = chill["start"] + after_s
        return words(real.get(f"/bakes/{bake_id}").text.partition('id="weigh"')[0])

    asked = "Has it been in the fridge since"
    assert "Supper 19:30" in head(600)
    assert asked not in head(600)
    late = head(7 * 3600)
    assert asked in late
    assert "Say so in the kitchen" in late
    assert "Supper" not in late.partition("Plain tray pizza for")[2].replace("Suppertide", "")
    assert "later, at" not in late
    assert asked in words(real.get("/").text), "as at home"
