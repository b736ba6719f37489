"""Two bakes at once have one cook, one oven and one fridge between them.

What a bake takes of the day is read off the sample's own steps by hand (tests/samples.py).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count, pairwise
from pathlib import Path

import pytest

from tests.oracles.offer_rules import keeps_the_rules
from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from tests.samples import at, sample_kitchen, sample_plan
from tests.wishes import wish as wanted
from webapp.core.day.span import Span
from webapp.core.kitchen import Kitchen, Person, Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.planner.propose import propose
from webapp.kitchens import access, bakes
from webapp.kitchens.bakes import FollowedBake, as_planned
from webapp.planning import evenings, tonight
from webapp.planning.full_plan import NothingFits, plans_for
from webapp.planning.other_bakes import MEAL_S, in_fridge, with_others
from webapp.planning.question import NOTHING_BOOKED, Booked
from webapp.store.store import Store
from webapp.words.tonight import fridge_words

NOW = at(6, 50)
_numbers = count()
SUPPER = (at(19, 30), at(20))
HANDS = [  # mixing, pressing, topping, loading, lifting, and half an hour at the table
    (at(7, 15), at(7, 30)), (at(16, 45), at(16, 55)), (at(18, 45), at(18, 53)), (at(18, 55), at(18, 56)),
    (at(19, 15), at(19, 17)), SUPPER,
]  # fmt: skip


def with_place(step_id: str, place: str, plan: Plan | None = None) -> FollowedBake:
    """The sample, its dough somewhere else after that step."""
    plan = plan or sample_plan()
    moved = tuple(replace(one, place=place) if one.step_id == step_id else one for one in plan.steps)
    return as_planned(replace(plan, steps=moved))  # type: ignore[arg-type]


def spans(of: tuple[Span, ...]) -> list[tuple[int, int]]:
    return [(span.start, span.end) for span in of]


def test_the_hands_of_a_bake_and_its_oven_from_lighting_it_until_the_tray_is_out_are_taken() -> None:
    taken = with_others(NOTHING_BOOKED, sample_kitchen(), [as_planned(sample_plan())])
    (mine,) = taken.people
    assert spans(mine) == HANDS
    assert spans(taken.oven) == [(at(18, 10), at(19, 17))]


def test_in_a_house_of_two_a_step_takes_the_hands_of_whom_it_names_first() -> None:
    two = replace(sample_kitchen(), people=(Person("Ann"), Person("Bo")))
    plan = sample_plan()
    named = tuple(replace(one, who=("Bo", "Ann") if one.kind == "mix" else ("Ann",)) for one in plan.steps)
    taken = with_others(Booked(((Span(5, 6),),)), two, [as_planned(replace(plan, steps=named))])
    ann, bo = map(spans, taken.people)
    assert bo == [(at(7, 15), at(7, 30)), SUPPER], "at the table both are"
    assert ann[-1] == SUPPER
    assert ann[0] == (5, 6)
    assert (at(16, 45), at(16, 55)) in ann


def test_a_dough_that_is_kept_warm_in_the_oven_takes_it_and_in_another_warm_spot_does_not() -> None:
    warm = with_place("mix", "warm")
    assert spans(with_others(NOTHING_BOOKED, sample_kitchen(), [warm]).oven) == [
        (at(18, 10), at(19, 17)), (at(7, 30), at(16, 45))]  # fmt: skip
    elsewhere = replace(sample_kitchen(), warm_is_oven=False)
    assert spans(with_others(NOTHING_BOOKED, elsewhere, [warm]).oven) == [(at(18, 10), at(19, 17))]


def test_two_doughs_in_one_fridge_are_told_of_with_when_both_are_there() -> None:
    cold = with_place("mix", "fridge")
    later = replace(sample_plan("c" * 22), formula_name="Focaccia", supper=at(43, 30))
    other = as_planned(
        replace(later, steps=tuple(
            replace(one, place="fridge" if one.kind == "mix" else one.place, start=one.start + 4 * 3600,
                    end=one.end + 4 * 3600)
            for one in later.steps))
    )  # fmt: skip
    (found,) = in_fridge(cold.plan, [other])
    assert (found.span.start, found.span.end) == (at(11, 30), at(16, 45))
    said = fridge_words(found.plan, found.span.start, found.span.end, "Europe/Lisbon", "24", NOW)
    assert said == "Focaccia for tomorrow is in the fridge too, from 11:30 until 16:45: it needs room for both."
    already = fridge_words(found.plan, at(5), at(30), "Europe/Lisbon", "24", NOW)
    assert already == "Focaccia for tomorrow is in the fridge too, until tomorrow 06:00: it needs room for both."
    assert in_fridge(cold.plan, [as_planned(sample_plan())]) == ()


# --- the planner ----------------------------------------------------------------------------------------------------


def test_no_offer_lights_the_oven_that_another_bake_has_and_the_least_delay_is_named() -> None:
    asked = wanted()
    free = propose(asked).offers[0]
    lit = next(step.start for step in free.steps if step.kind == "preheat")
    taken = replace(asked, oven_taken=(Span(lit - 3600, lit + 600),))
    answer = propose(taken)
    assert {one.why.kind for one in answer.in_the_way} == {"oven-taken"}
    later = next(one for one in answer.nearest if one.kind == "eat-later")
    put_off = replace(taken, supper=later.supper, supper_from=asked.supper)
    keeps_the_rules(put_off, later.offer)
    sooner = replace(taken, supper=later.supper - 300, supper_from=asked.supper)
    assert not propose(sooner, with_nearest=False).fits
    aside = replace(asked, oven_taken=(Span(lit - 7200, lit - 600),))
    for offer in propose(aside).offers:
        keeps_the_rules(aside, offer)


def test_an_oven_that_is_taken_at_another_hour_is_not_blamed() -> None:
    away = wanted("2026-11-25T16:30")
    morning = replace(away, oven_taken=(Span(away.now, away.now + 3600),))
    assert {one.why.kind for one in propose(morning, with_nearest=False).in_the_way} == {"oven-alone"}


def test_no_dough_is_put_into_a_warm_oven_that_is_lit_for_another_bake() -> None:
    kitchen = replace(KITCHEN, people=(Person(week=(replace(Person().week[6]),) * 7),))
    asked = wish(method_key="express")
    free = plans_for(asked, kitchen, MORNING, "b" * 22, SHELF)[0]
    warm = next(step for step in free.steps if step.place == "warm")
    taken = Booked(oven=(Span(warm.end - 600, warm.end + 600),))
    with pytest.raises(NothingFits):
        plans_for(asked, kitchen, MORNING, "b" * 22, SHELF, taken)
    shelf = replace(kitchen, warm_is_oven=False)
    assert plans_for(asked, shelf, MORNING, "b" * 22, SHELF, taken)
    for plan in plans_for(wish(method_key=""), kitchen, MORNING, "b" * 22, SHELF, taken):
        chain = [step for step in plan.steps if step.chain]
        for step, after in pairwise(chain):
            apart = after.start <= taken.oven[0].start or taken.oven[0].end <= step.end
            assert step.place != "warm" or apart


def test_in_a_house_of_two_each_step_names_whom_its_time_suits_and_alone_nobody() -> None:
    early = Person("Bo", (replace(Person().week[0], away=()),) * 7)
    two = replace(KITCHEN, people=(Person("Ann"), early))
    plan = plans_for(wish(), two, MORNING, "b" * 22, SHELF)[0]
    ann, bo = (plans_for(wish(), replace(KITCHEN, people=(one,)), MORNING, "b" * 22, SHELF) for one in two.people)
    assert all(step.who for step in plan.steps)
    at_noon = [step for step in plan.steps if at(9) < step.start < at(17)]
    assert all(step.who == ("Bo",) for step in at_noon), "Ann is at work from eight until a quarter to six"
    assert all(step.who == () for one in (*ann, *bo) for step in one.steps)


# --- a kitchen ------------------------------------------------------------------------------------------------------


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "kitchen.sqlite3")


@pytest.fixture
def new_id() -> Callable[[], str]:
    return lambda: f"id{next(_numbers)}".ljust(22, "x")


@pytest.fixture
def kitchen_id(store: Store, new_id: Callable[[], str]) -> str:
    home = Kitchen(zone="Europe/Lisbon", people=(Person(week=(replace(Person().week[6]),) * 7),))
    return access.make_kitchen(store, NOW, new_id, "key", home).kitchen_id


def takes(store: Store, kitchen_id: str, asked: Wish, bake_id: str) -> Plan:
    """The first day of the home page, taken; the form sent twice."""
    day = tonight.days(store, NOW, kitchen_id, asked, plans_for)[0]
    for _ in range(2):
        assert tonight.take(store, NOW, kitchen_id, asked, plans_for, day.seen, NOW, bake_id)
    return bakes.picked(store, kitchen_id, bake_id)


@pytest.mark.many_cases
def test_a_second_bake_the_same_evening_keeps_clear_of_the_first_and_taken_twice_is_one(
    store: Store, kitchen_id: str
) -> None:
    first = takes(store, kitchen_id, wish(method_key=""), "first".ljust(22, "x"))
    with pytest.raises(NothingFits) as refused:
        tonight.days(store, NOW, kitchen_id, wish(method_key="", formula_key="round-flat"), plans_for)
    later = next(one.wish for one in refused.value.nearest if one.change.kind == "eat-later")
    second = takes(store, kitchen_id, later, "second".ljust(22, "x"))
    assert len(bakes.coming(store, kitchen_id, NOW)) == 2
    assert bakes.picked(store, kitchen_id, second.bake_id).revision == 1
    on = [(min(s.start for s in plan.steps if s.kind == "preheat"), max(s.end for s in plan.steps if s.kind == "lift"))
          for plan in (first, second)]  # fmt: skip
    assert on[0][1] <= on[1][0]
    own, other = ([s for s in plan.steps if s.presence == "hands" and s.end > s.start] for plan in (first, second))
    assert all(a.end <= b.start or b.end <= a.start for a in own for b in other)


@pytest.mark.many_cases
def test_a_bake_that_is_planned_anew_is_not_in_its_own_way(store: Store, kitchen_id: str) -> None:
    first = takes(store, kitchen_id, wish(method_key=""), "first".ljust(22, "x"))
    evenings.set_plan(store, NOW, lambda: "", kitchen_id, wish(method_key=""), plans_for, first.bake_id)
    offered = bakes.bake(store, kitchen_id, first.bake_id).offers
    assert [one.start for one in offered[0].steps] == [one.start for one in first.steps]


@pytest.mark.many_cases
def test_a_bake_that_is_given_up_or_whose_tray_is_out_takes_nothing_more(store: Store, kitchen_id: str) -> None:
    first = takes(store, kitchen_id, wish(method_key=""), "first".ljust(22, "x"))
    assert evenings.busy_of(store, NOW, kitchen_id)[1].oven
    out = [
        Event(f"{next(_numbers):032x}", first.bake_id, step.end, step.end, "p", "done", {"step_id": step.step_id})
        for step in first.steps
    ]  # fmt: skip
    bakes.add_to_journal(store, first.supper, kitchen_id, first.bake_id, out[:-1])
    _, busy = evenings.busy_of(store, first.supper, kitchen_id)
    at_table = Span(first.supper, first.supper + MEAL_S)
    assert (busy.oven, busy.people) == ((), ((at_table,),))
    bakes.add_to_journal(store, first.supper, kitchen_id, first.bake_id, out[-1:])
    assert evenings.busy_of(store, first.supper, kitchen_id)[1].people == ((),), "it was eaten"
    second = takes(store, kitchen_id, wish(method_key="", supper_local="2026-11-26T19:30"), "second".ljust(22, "x"))
    assert evenings.busy_of(store, NOW, kitchen_id)[1].oven
    bakes.drop(store, NOW, kitchen_id, second.bake_id)
    assert evenings.busy_of(store, NOW, kitchen_id)[1].oven == ()


def test_an_oven_that_is_lit_is_taken_from_now_on() -> None:
    plan = sample_plan()
    lit = Event("e" * 32, plan.bake_id, at(18, 10), at(18, 10), "p", "done", {"step_id": "preheat"})
    stands = bakes.stands_at(plan, (lit,), at(18, 20))
    (oven,) = with_others(NOTHING_BOOKED, sample_kitchen(), [stands]).oven
    assert oven.start <= at(18, 20)
