"""Supper of a bake that is not mixed yet, moved with a tap: the same bake, made in the same way, its times anew."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.plan.test_home import plan_of, takes
from tests.web.seen import mistakes, words
from webapp.core.day.day import clock_text
from webapp.core.plan.plan import Plan
from webapp.core.scale.as_made import as_made
from webapp.kitchens import bakes

HOUR_S = 3600


@pytest.fixture
def taken(real: InKitchen) -> Plan:
    """Wednesday's bake, supper half past seven."""
    return plan_of(real, takes(real, real.get("/").text))


def taps(page: str) -> dict[str, str]:
    """Suppers to tap, and what is sent for each."""
    return dict(re.findall(r'<button class="chip" name="to" value="[^"]*?T([\d:]+)">([^<]*)</button>', page))


def test_an_hour_later_is_a_tap_and_keeps_the_bake_and_its_way(real: InKitchen, taken: Plan) -> None:
    where = f"/bakes/{taken.bake_id}/change"
    assert taps(real.get(where).text) == {one: one for one in ("18:30", "19:00", "20:00", "20:30")}
    answer = real.posts(where, {"to": "2026-11-25T20:30"})
    assert answer.headers["Location"] == f"/bakes/{taken.bake_id}"
    plan = bakes.picked(real.store, real.kitchen_id(), taken.bake_id)
    assert plan.supper == taken.supper + HOUR_S
    assert plan.trade.method == taken.trade.method
    assert plan.revision == taken.revision + 1, "phones and calendars follow it"
    assert "Supper is moved to 20:30, and every step is planned for it." in words(
        real.get(f"/bakes/{taken.bake_id}").text
    )
    assert len(bakes.coming(real.store, real.kitchen_id(), at(7))) == 1, "it is one bake"


def test_another_evening_forgets_what_was_told_of_the_first_one_alone(real: InKitchen) -> None:
    told = real.get("/?room=26&hours=home").text
    taken = plan_of(real, takes(real, told))
    answer = real.posts(f"/bakes/{taken.bake_id}/change", {"day": "2026-11-27", "at": "20:00"})
    assert answer.status_code == 303
    wish = bakes.bake(real.store, real.kitchen_id(), taken.bake_id).wish
    assert wish.supper_local == "2026-11-27T20:00"
    assert (wish.room_c, wish.away_today) == (None, None)


def test_the_same_evening_keeps_what_was_told_of_it(real: InKitchen) -> None:
    taken = plan_of(real, takes(real, real.get("/?room=22&hours=home").text))
    real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T20:00"})
    wish = bakes.bake(real.store, real.kitchen_id(), taken.bake_id).wish
    assert (wish.room_c, wish.away_today) == (22.0, ())


def test_a_supper_that_the_way_does_not_meet_shows_those_that_do_and_moves_nothing_yet(
    real: InKitchen, clock: Clock, taken: Plan
) -> None:
    """By a dough on the bench since the morning; at three in the afternoon a warm spot alone is quick enough."""
    clock.now = at(15)
    answer = real.posts(f"/bakes/{taken.bake_id}/change", {"day": "2026-11-25", "at": "20:45"})
    assert answer.headers["Location"] == f"/bakes/{taken.bake_id}?offers"
    page = words(real.get(answer.headers["Location"]).text)
    assert "Your way does not fit that supper; these do." in page
    assert bakes.picked(real.store, real.kitchen_id(), taken.bake_id) == taken


def test_a_supper_that_is_not_to_be_had_says_why_and_what_is(real: InKitchen, clock: Clock, taken: Plan) -> None:
    clock.now = at(15)
    answer = real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T18:30"})
    assert answer.status_code == 422
    assert mistakes(answer.text)
    near = re.search(r'name="near" value="(2026-11-25T[\d:]+)">Eat at', answer.text)
    assert near
    moved = real.posts(f"/bakes/{taken.bake_id}/change", {"near": near[1]})
    assert moved.headers["Location"] == f"/bakes/{taken.bake_id}", "what was offered is taken, whichever way it is made"
    plan = bakes.picked(real.store, real.kitchen_id(), taken.bake_id)
    assert plan.trade.method != taken.trade.method
    assert clock_text(plan.supper, plan.zone) == near[1][11:]


def test_a_tap_of_a_dough_that_is_mixed_moves_it_from_where_it_stands(
    real: InKitchen, clock: Clock, taken: Plan
) -> None:
    early = [step for step in taken.steps if step.kind in ("mix", "chill")]
    clock.now = early[-1].end + HOUR_S
    for step in early:
        real.sends(taken.bake_id, event(taken.bake_id, step_id=step.step_id) | {"at": step.end, "logged_at": step.end})
    assert "20:00" in taps(real.get(f"/bakes/{taken.bake_id}/change").text)
    assert real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T20:00"}).status_code == 303
    standing = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), taken.bake_id)
    assert standing.state.supper == taken.supper + HOUR_S // 2
    assert standing.plan.revision == taken.revision, "no other plan"


def test_nonsense_is_said_at_the_time(real: InKitchen, taken: Plan) -> None:
    answer = real.posts(f"/bakes/{taken.bake_id}/change", {"to": "soon"})
    assert answer.status_code == 422
    assert mistakes(answer.text)


def test_a_neighbour_moves_nothing(phone: Callable[[], InKitchen]) -> None:
    bake_id = phone().has_a_bake()
    neighbour = phone()
    neighbour.kitchen_id()
    assert neighbour.get(f"/bakes/{bake_id}/change").status_code == 404
    assert neighbour.posts(f"/bakes/{bake_id}/change", {"to": "2026-11-25T20:30"}).status_code == 404


def test_answers_that_were_tried_and_not_taken_are_not_moved_with_it(real: InKitchen, taken: Plan) -> None:
    again = real.answers(again=taken.bake_id, formula_key="oil-tray", supper="2026-11-25T19:30")
    assert real.posts("/plan", again).status_code == 303
    real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T20:00"})
    plan = bakes.picked(real.store, real.kitchen_id(), taken.bake_id)
    assert plan.formula_key == taken.formula_key
    assert plan.supper == taken.supper + HOUR_S // 2


@pytest.mark.parametrize(("until", "is_kept"), [(at(7, 35), True), (at(17, 0), False)])
def test_what_was_put_off_stays_put_off_where_the_way_still_fits_and_is_said_to_be_over_where_not(
    real: InKitchen, clock: Clock, taken: Plan, until: int, is_kept: bool
) -> None:
    """From five in the afternoon no dough of the bench is ready by half past eight."""
    late = event(taken.bake_id, "later", until=until)
    real.sends(taken.bake_id, late | {"at": clock.now, "logged_at": clock.now, "revision": taken.revision})
    assert taken.steps[0].start < until
    assert real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T20:30"}).status_code == 303
    moved = bakes.picked(real.store, real.kitchen_id(), taken.bake_id)
    assert moved.trade.method == taken.trade.method
    assert moved.supper == taken.supper + HOUR_S
    assert (moved.steps[0].start >= until) == is_kept
    page = words(real.get(f"/bakes/{taken.bake_id}").text)
    assert ("what you had put off is due by the new plan" in page) != is_kept


def test_another_way_that_is_taken_is_baked_in_the_pan_that_was_chosen_at_the_bench(
    real: InKitchen, clock: Clock
) -> None:
    bake_id = real.plans({"supper": "2026-11-26T19:30"})
    real.picks(bake_id, 0)
    pan = event(bake_id, "pan", area_cm2=615.8, name="Round pan 28 cm")
    real.sends(bake_id, pan | {"at": clock.now, "logged_at": clock.now})
    assert real.picks(bake_id, 1).status_code == 303
    stands = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), bake_id)
    assert stands.plan.revision == 2
    assert (stands.state.area_cm2, stands.state.pan) == (615.8, "Round pan 28 cm")
    lines = len(real.lines(bake_id))
    real.picks(bake_id, 1)
    assert len(real.lines(bake_id)) == lines, "taken already, nothing is said again"


def test_the_pan_and_the_yeast_chosen_at_the_bench_go_on(real: InKitchen, clock: Clock, taken: Plan) -> None:
    """By hand: a round pan of 28 cm is pi x 14 x 14 = 615.75 cm2; the dough is so many times the tray's."""
    area, floor = math.pi * 14 * 14, sum(pan.area_cm2 * pan.count for pan in taken.pans)
    said: tuple[tuple[str, dict[str, object]], ...] = (
        ("pan", {"area_cm2": area, "name": "Round pan 28 cm"}),
        ("yeast", {"yeast": "fresh"}),
    )
    for kind, data in said:
        line = event(taken.bake_id, kind, **data)
        real.sends(taken.bake_id, line | {"at": clock.now, "logged_at": clock.now, "revision": taken.revision})
    answer = real.posts(f"/bakes/{taken.bake_id}/change", {"to": "2026-11-25T20:30"})
    assert answer.status_code == 303
    stands = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), taken.bake_id)
    assert stands.plan.supper == taken.supper + HOUR_S
    assert (stands.state.area_cm2, stands.state.pan, stands.state.yeast) == (area, "Round pan 28 cm", "fresh")
    made = as_made(stands.plan, stands.state, "")
    assert made.dough_g == pytest.approx(stands.plan.dough_g * area / floor, abs=1)
    page = words(real.get(f"/bakes/{taken.bake_id}").text)
    assert "Round pan 28 cm" in page


def test_a_mixed_bake_that_is_moved_to_another_day_is_called_by_it_and_stands_there_in_the_week(
    real: InKitchen, clock: Clock, taken: Plan
) -> None:
    mixed = next(step for step in taken.steps if step.kind == "mix").end
    clock.now = mixed + 60
    real.sends(taken.bake_id, event(taken.bake_id, step_id="mix") | {"at": mixed, "logged_at": mixed})
    assert f"{taken.formula_name} for Wednesday" in words(real.get(f"/bakes/{taken.bake_id}").text)
    real.posts(f"/bakes/{taken.bake_id}/change", {"day": "2026-11-26", "at": "19:30"})
    for page in (f"/bakes/{taken.bake_id}", f"/bakes/{taken.bake_id}/change"):
        said = words(real.get(page).text)
        assert f"{taken.formula_name} for Thursday" in said
        assert "for Wednesday" not in said
    nights = re.findall(
        r'<a class="night" href="/bakes/[^"]*"><strong class="night__day">([^<]*)<', real.get("/week").text
    )
    assert nights == ["Tomorrow"]


def test_how_much_later_a_step_is_said_to_be_is_by_the_time_that_stands_beside_it(
    kitchen: InKitchen, clock: Clock
) -> None:
    """Into the oven 37 minutes late: people are called to eat on the next five minutes."""
    bake_id = kitchen.has_a_bake()
    plan = bakes.picked(kitchen.store, kitchen.kitchen_id(), bake_id)
    in_at = next(one.end for one in plan.steps if one.kind == "load") + 37 * 60
    for one in plan.steps[: [one.kind for one in plan.steps].index("load") + 1]:
        moment = in_at if one.kind == "load" else one.end
        kitchen.sends(bake_id, event(bake_id, step_id=one.step_id) | {"at": moment, "logged_at": moment})
    clock.now = in_at + 60
    page = words(kitchen.get(f"/bakes/{bake_id}").text)
    ((shown, late),) = re.findall(
        r"(\d\d:\d\d) Cut and eat(?:(?! \d\d:\d\d ).)*?Moved: (\d+) min later", page.replace("\xa0", " ")
    )
    planned = next(one.start for one in plan.steps if one.kind == "serve")
    assert shown == clock_text(planned + int(late) * 60, plan.zone)
    ready = bakes.followed_bake(kitchen.store, clock.now, kitchen.kitchen_id(), bake_id).retimed.ready_at
    assert shown != clock_text(ready, plan.zone), "it is ready some minutes sooner"
