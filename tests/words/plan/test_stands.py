"""What a pressing says of each place where its tray could stand."""

from __future__ import annotations

from dataclasses import replace

from tests.core.now.test_side_by_side import party
from tests.planning.test_full_plan import KITCHEN
from tests.samples import sample_plan
from tests.words.plan.test_warm_spot import THERE, express, step_of
from webapp.words.plan import slots
from webapp.words.plan.oven import OFF
from webapp.words.plan.stands import STANDS, by_place
from webapp.words.spoken import spoken


def test_each_place_has_its_own_words_with_the_time_left_open() -> None:
    plan = express(replace(KITCHEN, warm_is_oven=True))
    press = step_of(plan, "press")
    said = by_place(plan, KITCHEN)[press.step_id]
    assert list(said) == ["bench", "fridge", "warm"]
    for place, words in said.items():
        assert words["text"].count(STANDS) == words["beside"].count(STANDS) == 1
        assert (THERE in words["text"]) == (place == "warm")
        assert ("warm spot" in words["title"]) == (place == "warm")
    shown = step_of(spoken(plan, KITCHEN), "press")
    mine = said[shown.place]
    assert mine["title"] == shown.title
    before, after = mine["text"].split(STANDS)
    assert shown.text.startswith(before)
    assert shown.text.endswith(after)


def test_in_another_pan_too_it_names_the_place_that_the_way_took() -> None:
    press = step_of(express(replace(KITCHEN, warm_is_oven=True)), "press")
    said = by_place(express(replace(KITCHEN, warm_is_oven=True)), KITCHEN)[press.step_id]
    for place, words in said.items():
        other = words["other_pan"]
        assert not isinstance(other, str)
        assert other["text"].count(STANDS) == 1
        assert slots.PAN in other["text"]
        assert (THERE in other["text"]) == (place == "warm")


def test_a_lifting_before_a_long_wait_turns_the_oven_off_in_place_of_the_dial_back() -> None:
    plan = party(2)
    said = by_place(plan, KITCHEN)
    shown = next(one for one in spoken(plan, KITCHEN).steps if one.step_id == "lift-1")
    assert said["lift-1"]["on"]["text"] == shown.text
    assert "dial back" in shown.text
    assert "dial back" not in said["lift-1"]["off"]["text"]
    assert OFF in str(said["lift-1"]["off"]["text"])
    assert "lift-2" not in said, "after the last it goes off anyway"


def test_a_plan_of_before_there_were_facts_keeps_its_own_words() -> None:
    assert by_place(sample_plan(), KITCHEN) == {}
