"""What past bakes changed and what a bake's numbers say, in words."""

from __future__ import annotations

import math
from typing import get_args

import pytest

from webapp.core.kinds import BakeNumber, LessonKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Habit
from webapp.words.learned import NUMBER_WORDS, habit_words, lesson_words, number_words, pace_words, sureness_words


@pytest.mark.parametrize(
    ("habit", "said"),
    [
        (Habit("topping_times", 0.64, "Less."), "Less. (now 64 % of usual)"),
        (Habit("preheat_min", 20.0, "Longer."), "Longer. (now +20 min)"),
        (Habit("bake_c", -10.0, "Cooler."), "Cooler. (now -10 °C)"),
        (Habit("water_percent", 3.0, "Wetter."), "Wetter. (now +3 %)"),
        (Habit("shelf_low", 1.0, "Lowest."), "Lowest."),
    ],
)
def test_a_habit_says_how_far_it_has_come(habit: Habit, said: str) -> None:
    assert habit_words(habit) == said


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("heat_short_min", 20.0, "heated 20 min less than planned"),
        ("load_ratio", 0.85, "at 85 % of its best rise when it went in"),
        ("slab", 0.0, "the tray alone"),
        ("slab", 1.0, "a heated slab"),
    ],
)
def test_a_number_is_said_in_words(name: str, value: float, words: str) -> None:
    assert number_words(name, value) == words


def test_every_number_can_be_said() -> None:
    assert set(NUMBER_WORDS) == set(get_args(BakeNumber))
    for name in get_args(BakeNumber):
        assert "{" not in number_words(name, 1.0)


def test_what_taught_the_kitchen_is_said_for_every_kind() -> None:
    said = {kind: lesson_words(kind, "×2") for kind in get_args(LessonKind)}
    assert said["glass"] == "glass at ×2"
    assert said["past"] == "past its best when baked"
    assert len(set(said.values())) == len(said)


@pytest.mark.parametrize(
    ("quicker", "said"),
    [
        (1.0, "as fast as in most kitchens"), (1.04, "as fast as in most kitchens"),
        (1.21, "about 20 % faster than in most kitchens"), (0.72, "about 30 % slower than in most kitchens"),
    ],
)  # fmt: skip
def test_the_pace_of_a_kitchen_is_said_to_five_in_a_hundred(quicker: float, said: str) -> None:
    assert pace_words(Kitchen(vigour_ln_mean=math.log(quicker))) == said


def test_how_sure_times_are_is_told_in_hours() -> None:
    """By hand: 8 h and 60 % are 8 / 1.6 = 5 and 8 x 1.6 = 12.8 hours, to the half hour 13; 20 % are 6.7 and 9.6."""
    assert sureness_words(60.0) == "a rise planned for 8 hours may take from 5 to 13"
    assert sureness_words(20.0) == "a rise planned for 8 hours may take from 6.5 to 9.5"
