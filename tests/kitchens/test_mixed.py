"""What was mixed is the dough: of two plans of one bake, the one in the bowl is followed, and the others are asked."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import pytest

from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kitchen import Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import access, bakes, book, mixed
from webapp.records import to_plain
from webapp.store.store import Store
from webapp.words.plan import mixed as plan_words

NOW = at(6, 50)
BAKE = "b" * 22
SAM, ALEX = "5" * 32, "a" * 32
_numbers = itertools.count(1)


def with_yeast(plan: Plan, grams: float) -> Plan:
    """The sample with so much yeast on its list."""
    lines = tuple(replace(one, weigh_g=grams) if one.kind == "yeast" else one for one in plan.lines)
    return replace(plan, lines=lines)


def yeast_of(plan: Plan) -> float:
    return sum(line.weigh_g for line in plan.lines if line.kind == "yeast")


# Two plans of one evening: on the bench all day, and mixed late with four times the yeast.
EARLIER, NEWER = with_yeast(sample_plan(BAKE), 2.45), with_yeast(sample_plan(BAKE), 0.61)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "s.sqlite3")


@pytest.fixture
def kitchen_id(store: Store) -> str:
    """A kitchen of two phones, and a bake that was planned anew: the second phone still holds the earlier plan."""
    home = access.make_kitchen(store, NOW, lambda: f"id{next(_numbers)}", "key", sample_kitchen())
    store.add_phone(home.kitchen_id, "sams", "hash of Sam's key", "Sam", NOW)
    store.says_as("sams", SAM)
    wish = Wish("2026-11-25T19:30", EARLIER.pans, "bench-tray")
    store.put_offers(home.kitchen_id, BAKE, to_plain(wish), [to_plain(EARLIER), to_plain(NEWER)], NOW)
    for place in (0, 1):
        bakes.pick(store, NOW, home.kitchen_id, BAKE, place)
    return home.kitchen_id


def says(store: Store, kitchen_id: str, phone: str, kind: str, when: int, by: int, **data: object) -> Event:
    one = Event(f"{next(_numbers):032x}", BAKE, when, when, phone, kind, data, by)
    bakes.add_to_journal(store, when, kitchen_id, BAKE, [one])
    return one


def shown(store: Store, kitchen_id: str) -> bakes.FollowedBake:
    return bakes.followed_bake(store, at(9), kitchen_id, BAKE)


def test_the_plan_picked_last_is_followed_until_something_is_mixed(store: Store, kitchen_id: str) -> None:
    assert yeast_of(bakes.picked(store, kitchen_id, BAKE)) == 0.61
    says(store, kitchen_id, SAM, "room", at(7), 1, temp_c=22.0)
    assert yeast_of(bakes.picked(store, kitchen_id, BAKE)) == 0.61


def test_what_was_mixed_by_the_earlier_plan_is_what_is_shown(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    stands = shown(store, kitchen_id)
    assert yeast_of(stands.plan) == 2.45
    assert [one.step_id for one in stands.state.done] == ["mix"]
    assert (stands.plan.revision, stands.plan.dough_of) == (3, 1)


def test_the_other_phone_is_asked_by_name_and_the_one_that_mixed_is_not(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    question = bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"]
    assert question["words"].startswith("Sam mixed the earlier plan, with 2.45 g of yeast.")
    assert "0.61 g" in question["words"]
    assert question["by"] == [SAM]
    assert [revision for _, revision in question["answers"]] == [1, 0]


def test_the_question_names_the_yeast_that_went_in_for_another_pan(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "pan", at(7), 1, area_cm2=2 * 1064.0, name="Two trays")
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    assert "with 4.9 g of yeast" in bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"]["words"]


def test_a_dough_that_is_gone_on_with_keeps_what_had_followed(store: Store, kitchen_id: str) -> None:
    """Its oven was measured anew, as a further revision, before the household planned anew."""
    plans = bakes.bake(store, kitchen_id, BAKE).offers
    first = bakes.pick(store, NOW, kitchen_id, BAKE, 0)
    mixed.go_on_as(store, NOW, kitchen_id, first, replace(first, oven=replace(first.oven, preheat_min=50)))
    bakes.pick(store, NOW, kitchen_id, BAKE, 1)
    says(store, kitchen_id, SAM, "done", at(7, 30), first.revision, step_id="mix")
    plan = shown(store, kitchen_id).plan
    assert (yeast_of(plan), plan.oven.preheat_min) == (yeast_of(plans[0]), 50)


def test_an_answer_is_asked_for_once(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    says(store, kitchen_id, ALEX, "settled", at(8), 1, revision=1)
    assert bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"] is None
    assert yeast_of(shown(store, kitchen_id).plan) == 2.45


def test_a_mixing_that_is_taken_back_leaves_the_plan_that_was_picked_last(store: Store, kitchen_id: str) -> None:
    mixing = says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    says(store, kitchen_id, ALEX, "undo", at(8), 1, event_id=mixing.event_id)
    stands = shown(store, kitchen_id)
    assert yeast_of(stands.plan) == 0.61
    assert stands.state.done == ()
    assert bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"] is None


def test_of_two_doughs_the_one_mixed_first_is_shown_until_somebody_says_which(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, ALEX, "done", at(7, 40), 2, step_id="mix")
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    assert yeast_of(shown(store, kitchen_id).plan) == 2.45
    question = bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"]
    assert question["words"].startswith("Two doughs were mixed")
    assert (question["by"], [revision for _, revision in question["answers"]]) == ([], [1, 2])
    says(store, kitchen_id, SAM, "settled", at(8), 1, revision=2)
    stands = shown(store, kitchen_id)
    assert yeast_of(stands.plan) == 0.61
    assert [one.at for one in stands.state.done] == [at(7, 40)]


def test_two_doughs_alike_are_told_apart_by_what_differs(store: Store, kitchen_id: str) -> None:
    """Of one yeast, for half past seven and for nine; the answers say so too, for nobody can see it in the bowl."""
    late = replace(EARLIER, supper=EARLIER.supper + 5400)
    first, second = plan_words.told_apart((EARLIER, late))
    assert first == "2.45 g of yeast, supper Wednesday 19:30"
    assert second == "2.45 g of yeast, supper Wednesday 21:00"
    asked = plan_words.mixed_words("Sam", EARLIER, late, "12")
    assert "supper Wednesday 7:30 pm" in asked
    assert "supper Wednesday 9:00 pm" in asked
    says(store, kitchen_id, ALEX, "done", at(7, 40), 2, step_id="mix")
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    (one, _), (other, _) = bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"]["answers"]
    assert (one, other) == (
        "Sam: that dough, 2.45 g of yeast",
        "The other phone: that dough, 0.61 g of yeast",
    )


def test_two_doughs_that_differ_in_nothing_are_told_apart_by_when_they_begin() -> None:
    """The sample is begun at 7:15 by its plan, the other one a quarter of an hour later."""
    steps = tuple(replace(one, start=one.start + 900, end=one.end + 900) for one in EARLIER.steps)
    first, second = plan_words.told_apart((EARLIER, replace(EARLIER, steps=steps)))
    assert first.endswith("of yeast, begun Wednesday 07:15")
    assert second.endswith("of yeast, begun Wednesday 07:30")


def test_what_was_weighed_and_moved_for_another_dough_is_not_this_ones(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "weighed", at(7), 1, line="dough/flour")
    says(store, kitchen_id, SAM, "supper", at(7), 1, instant=at(21))
    state = shown(store, kitchen_id).state
    assert state.weighed == ()
    assert state.supper == at(19, 30)


def test_a_dough_in_the_bowl_is_not_replaced_by_picking_another_plan(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, ALEX, "done", at(7, 30), 2, step_id="mix")
    with pytest.raises(bakes.DoughMixed):
        bakes.pick(store, at(8), kitchen_id, BAKE, 0)
    assert yeast_of(shown(store, kitchen_id).plan) == 0.61


def test_a_mixing_of_before_phones_said_their_plan_belongs_to_the_one_that_is_held(
    store: Store, kitchen_id: str
) -> None:
    says(store, kitchen_id, SAM, "done", at(7, 30), 0, step_id="mix")
    stands = shown(store, kitchen_id)
    assert (yeast_of(stands.plan), stands.plan.revision) == (0.61, 2)
    assert bakes.bundle_for(store, at(8), kitchen_id, BAKE)["question"] is None


def test_a_bake_that_was_given_up_stays_so_whatever_was_mixed(store: Store, kitchen_id: str) -> None:
    bakes.drop(store, at(7), kitchen_id, BAKE)
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    assert bakes.coming(store, kitchen_id, NOW) == ()


def test_supper_of_a_dough_in_the_bowl_is_moved_and_the_dough_stays(store: Store, kitchen_id: str) -> None:
    says(store, kitchen_id, SAM, "done", at(7, 30), 1, step_id="mix")
    new_id = iter("xyz").__next__
    book.move_supper(store, at(15), new_id, kitchen_id, BAKE, at(20, 30))
    stands = bakes.followed_bake(store, at(15), kitchen_id, BAKE)
    assert yeast_of(stands.plan) == 2.45
    assert stands.state.wanted == at(20, 30)
    load = next(one for one in stands.retimed.steps if one.step_id == "load")
    assert abs(load.start - at(20)) <= 3600, "the tray goes in for the supper that is wanted now"


def test_supper_that_is_moved_far_turns_a_lit_oven_off_until_its_time(store: Store, kitchen_id: str) -> None:
    """The sample plan lights it 45 minutes before loading: so it does for the later supper."""
    for step_id, when in (("mix", at(7, 30)), ("press", at(16, 55)), ("preheat", at(18, 11))):
        says(store, kitchen_id, SAM, "done", when, 1, step_id=step_id)
    book.move_supper(store, at(18, 15), iter("xyz").__next__, kitchen_id, BAKE, at(21))
    steps = {one.step_id: one for one in bakes.followed_bake(store, at(18, 15), kitchen_id, BAKE).retimed.steps}
    assert (steps["preheat"].status, steps["preheat"].flag) == ("open", "off")
    assert steps["load"].start - steps["preheat"].start == 45 * 60
