"""What a pressing says of each place where its tray could stand."""

from __future__ import annotations

from dataclasses import replace

from tests.planning.test_full_plan import KITCHEN
from tests.samples import sample_plan
from tests.words.plan.test_warm_spot import THERE, express, step_of
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


def test_a_plan_of_before_there_were_facts_keeps_its_own_words() -> None:
    assert by_place(sample_plan(), KITCHEN) == {}
