"""A bake whose dough is mixed, on pages: it is changed from where it stands and never replaced by another plan."""

from __future__ import annotations

import re
from collections.abc import Callable

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.seen import mistakes
from webapp.kitchens import bakes
from webapp.machine.settings import Settings
from webapp.web.app import create_app


def mixed_bake(kitchen: InKitchen, clock: Clock) -> str:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(15)
    return bake_id


def test_of_a_bake_that_is_not_mixed_supper_is_moved_and_all_else_is_a_question_of_its_own(kitchen: InKitchen) -> None:
    bake_id = kitchen.has_a_bake()
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert f'href="/bakes/{bake_id}/change"' in page
    assert f"/plan?again={bake_id}" in page
    assert f"/plan?again={bake_id}" in kitchen.get(f"/bakes/{bake_id}/change").text


def test_a_mixed_bake_offers_the_change_from_where_it_stands_and_no_other_day(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = mixed_bake(kitchen, clock)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "Change it from where it stands" in page
    assert "/plan?again" not in page
    assert "?offers" not in page
    assert kitchen.get(f"/plan?again={bake_id}").headers["Location"] == f"/bakes/{bake_id}/change"
    assert "/pick" not in kitchen.get(f"/bakes/{bake_id}?offers").text


def test_once_mixed_the_way_out_of_a_broken_oven_stands_beside_the_next_step_until_the_dough_is_baked(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = kitchen.has_a_bake()

    def ways_out() -> int:
        return kitchen.get(f"/bakes/{bake_id}").text.count(f'href="/kitchen?no-oven#{bake_id}">If the oven fails')

    assert ways_out() == 1  # beside the dial: nothing is mixed, so nothing is lost
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(15)
    assert ways_out() == 2
    steps = [step["step_id"] for step in kitchen.get(f"/api/bakes/{bake_id}/bundle").json["plan"]["steps"]]  # type: ignore[index]
    clock.now = at(19, 40)
    kitchen.sends(bake_id, *(event(bake_id, step_id=one) for one in steps[1 : steps.index("lift") + 1]))
    assert ways_out() == 0


def test_the_page_says_what_stays_and_asks_when_supper_is(kitchen: InKitchen, clock: Clock) -> None:
    page = kitchen.get(f"/bakes/{mixed_bake(kitchen, clock)}/change").text
    assert "the dough is mixed, with 0.51 g of yeast" in page
    assert 'value="19:30"' in page


def test_a_dough_that_was_mixed_for_another_pan_is_told_as_it_was_mixed(kitchen: InKitchen, clock: Clock) -> None:
    """In two of the planned trays: 0.51 g of yeast become 1.02 g, 744.8 g of dough twice as many."""
    bake_id = kitchen.has_a_bake()
    pan = event(bake_id, "pan", area_cm2=2128.0, name="The neighbour's trays") | {"at": at(7), "logged_at": at(7)}
    kitchen.sends(bake_id, pan, event(bake_id))
    clock.now = at(15)
    assert "mixed, with 1.02 g of yeast" in kitchen.get(f"/bakes/{bake_id}/change").text
    for page in (f"/bakes/{bake_id}", f"/bakes/{bake_id}/print"):
        text = kitchen.get(page).text
        assert "The neighbour&#39;s trays" in text
        assert "1.02\u00a0g" in text


def test_supper_of_a_mixed_dough_is_moved_by_the_form(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = mixed_bake(kitchen, clock)
    moved = kitchen.posts(f"/bakes/{bake_id}/change", {"day": "2026-11-25", "at": "20:30"})
    assert moved.headers["Location"] == f"/bakes/{bake_id}"
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "20:30" in page
    assert [line["kind"] for line in kitchen.lines(bake_id)][:2] == ["done", "supper"]
    assert kitchen.get(f"/api/bakes/{bake_id}/bundle").json["plan"]["dough_of"] in (0, 1)  # type: ignore[index]


def test_what_is_in_the_oven_comes_out_in_its_own_time_wherever_supper_is_moved_to(
    kitchen: InKitchen, clock: Clock
) -> None:
    """The sample tray goes in at 18:55 and comes out at 19:15, supper at half past seven or not."""
    bake_id = mixed_bake(kitchen, clock)
    for step_id, then in (("press", at(16, 55)), ("preheat", at(18, 11)), ("top", at(18, 53)), ("load", at(18, 56))):
        kitchen.sends(bake_id, event(bake_id, step_id=step_id) | {"at": then, "logged_at": then})
    clock.now = at(19)
    before = kitchen.get(f"/bakes/{bake_id}/print").text
    moved = kitchen.posts(f"/bakes/{bake_id}/change", {"day": "2026-11-25", "at": "22:30"})
    assert "comes out in its own time" in kitchen.get(moved.headers["Location"]).text
    after = kitchen.get(f"/bakes/{bake_id}/print").text
    out = re.compile(r"(\d\d:\d\d)(?:(?!\d\d:\d\d).)*Out of the oven", re.DOTALL)
    assert out.search(before)[1] == out.search(after)[1]  # type: ignore[index]
    assert out.search(after)[1] == "19:15"  # type: ignore[index]


def test_a_supper_that_is_over_is_refused_and_nothing_typed_is_lost(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = mixed_bake(kitchen, clock)
    for typed, said in (("11:00", "over already"), ("soon", "not a time of day")):
        answer = kitchen.posts(f"/bakes/{bake_id}/change", {"day": "2026-11-25", "at": typed})
        assert answer.status_code == 422
        assert said in answer.text
        assert f'value="{typed}"' in answer.text


def test_a_time_that_is_missing_is_said_at_its_field(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = mixed_bake(kitchen, clock)
    answer = kitchen.posts(f"/bakes/{bake_id}/change", {"day": "2026-11-26", "at": " "})
    assert answer.status_code == 422
    assert 'href="#at"' in answer.text
    assert "The time is missing" in mistakes(answer.text)


def test_a_form_that_was_open_while_the_dough_was_mixed_changes_nothing_and_keeps_its_supper(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = mixed_bake(kitchen, clock)
    sent = kitchen.posts("/plan", kitchen.answers(again=bake_id, supper="2026-11-25T21:15"))
    assert sent.status_code == 303
    assert sent.headers["Location"].startswith(f"/bakes/{bake_id}/change?supper=2026-11-25T21:15")
    page = kitchen.get(sent.headers["Location"]).text
    assert "mixed meanwhile" in page
    assert 'value="21:15"' in page


def test_a_dough_that_was_given_up_is_not_moved_and_its_page_leads_back_to_the_kitchen(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = mixed_bake(kitchen, clock)
    kitchen.posts(f"/bakes/{bake_id}/drop")
    where, lines = f"/bakes/{bake_id}", kitchen.lines(bake_id)
    assert f"{where}/change" not in kitchen.get(where).text
    asked = kitchen.get(f"{where}/change")
    moved = kitchen.posts(f"{where}/change", {"day": "2026-11-25", "at": "20:30"})
    for answer in (asked, moved):
        assert (answer.status_code, answer.headers["Location"]) == (303, where)
    page = kitchen.get(where).text
    assert "It was given up, so its supper is not moved." in page
    assert "Supper is moved" not in page
    assert '<a class="button button--quiet" href="/kitchen">' in page
    assert kitchen.lines(bake_id) == lines


def test_a_plan_that_was_given_up_is_not_taken_up_by_moving_its_supper(kitchen: InKitchen) -> None:
    """By a form that was open meanwhile: it would ring again on every phone."""
    bake_id = kitchen.has_a_bake()
    kitchen.posts(f"/bakes/{bake_id}/drop")
    kitchen.posts(f"/bakes/{bake_id}/change", {"to": "2026-11-25T20:00"})
    assert "You gave this bake up" in kitchen.get(f"/bakes/{bake_id}").text


def test_a_day_that_is_taken_while_the_dough_is_mixed_is_not_taken(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    page = kitchen.get(f"/bakes/{bake_id}?offers").text
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(8)
    seen = page.split('name="seen" value="')[2].split('"')[0]
    answer = kitchen.posts(f"/bakes/{bake_id}/pick", {"place": "1", "seen": seen})
    assert answer.headers["Location"] == f"/bakes/{bake_id}/change"
    assert kitchen.get(f"/api/bakes/{bake_id}/events").json["revision"] == 1  # type: ignore[index]


def test_an_offer_of_a_dough_that_was_mixed_and_given_up_is_not_taken(kitchen: InKitchen, clock: Clock) -> None:
    """By a page of offers that was open meanwhile: what is in the bowl is none of that day's."""
    bake_id = kitchen.has_a_bake()
    page = kitchen.get(f"/bakes/{bake_id}?offers").text
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(8)
    kitchen.posts(f"/bakes/{bake_id}/drop")
    seen = page.split('name="seen" value="')[2].split('"')[0]
    for asked, typed in (("pick", {"place": "1", "seen": seen}), ("anew", {})):
        answer = kitchen.posts(f"/bakes/{bake_id}/{asked}", typed)
        assert (answer.status_code, answer.headers["Location"]) == (303, f"/bakes/{bake_id}")
        shown = kitchen.get(f"/bakes/{bake_id}").text
        assert "Its dough was mixed and given up, so no other day is taken for it." in shown
        assert "You gave this bake up" in shown
    assert kitchen.get(f"/api/bakes/{bake_id}/events").json["revision"] == 1  # type: ignore[index]


def test_a_mixed_bake_of_another_kitchen_is_not_here(phone: Callable[[], InKitchen], clock: Clock) -> None:
    kitchen, neighbour = phone(), phone()
    bake_id = mixed_bake(kitchen, clock)
    neighbour.kitchen_id()
    assert neighbour.get(f"/bakes/{bake_id}/change").status_code == 404
    assert neighbour.posts(f"/bakes/{bake_id}/change", {"day": "2026-11-25", "at": "20:30"}).status_code == 404


def test_of_two_loads_another_pan_is_what_every_page_names_and_its_spoons_can_be_taken(
    settings: Settings, clock: Clock
) -> None:
    """The phone says "Oil the pan well: Blue tin" of each load; so do page, sheet, calendar. Spoons are eighths."""
    kitchen = InKitchen(create_app(settings, now=clock).test_client())
    asked = {"supper": "2026-11-28T19:30", "pan-oven-tray": "0", "pan-round-28": "2"}
    bake_id = kitchen.plans(asked)
    kitchen.picks(bake_id)
    plan = bakes.picked(kitchen.store, kitchen.kitchen_id(), bake_id)
    assert (plan.oven.loads, [pan.count for pan in plan.pans]) == (2, [2])
    planned = plan.pans[0].name
    assert planned in kitchen.get(f"/bakes/{bake_id}").text
    mix = next(one for one in plan.steps if one.kind == "mix")
    then = {"at": mix.start, "logged_at": mix.start, "revision": plan.revision}
    pan = event(bake_id, "pan", area_cm2=0.864 * 2 * plan.pans[0].area_cm2, name="Blue tin") | then
    kitchen.sends(bake_id, pan, event(bake_id) | then | {"at": mix.end, "logged_at": mix.end})
    clock.now = mix.end + 60
    for page in (f"/bakes/{bake_id}", f"/bakes/{bake_id}/print"):
        text = kitchen.get(page).text
        assert "Blue tin" in text
        assert planned not in text, page
        assert "Divide the dough" not in text
        assert not re.search(r"\d{3,}/\d+ t(b?)sp", text)
    assert re.search(r"\d/[248] tsp", text)
    calendar = kitchen.get(f"/bakes/{bake_id}/bake.ics").text.replace("\r\n ", "")
    assert calendar.count("Oil the pan well: Blue tin") == 2
