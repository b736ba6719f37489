"""What steps say: every slot filled, nothing said about what is not there."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.data.read import table
from webapp.words.lists import joined
from webapp.words.plan.step_texts import say, slots_of, template_from_dict
from webapp.words.plan.steps import place_words
from webapp.words.times import duration_words

ROOT = Path(__file__).parents[2]
MIX = template_from_dict(
    "mix", {"title": "Mix", "done": "Mixed", "text": ["Weigh {list}.", "{dosing}", "Cover the bowl."]}
)


def test_a_sentence_without_its_number_is_not_said() -> None:
    assert say(MIX, {"list": "300 g flour", "dosing": ""}) == "Weigh 300 g flour.\nCover the bowl."


def test_a_sentence_with_its_number_is_said_in_order() -> None:
    said = say(MIX, {"list": "300 g flour", "dosing": "Weigh 1 g."})
    assert said.split("\n") == ["Weigh 300 g flour.", "Weigh 1 g.", "Cover the bowl."]


def test_braces_in_a_name_are_only_text() -> None:
    assert say(MIX, {"list": "{dosing}", "dosing": ""}) == "Weigh {dosing}.\nCover the bowl."


@pytest.mark.parametrize(
    "row",
    [
        {}, {"title": "Mix", "done": "Mixed"}, {"title": 3, "done": "Mixed", "text": []}, {"title": "Mix", "text": []},
        {"title": "Mix", "done": "Mixed", "text": "Stir."},
    ],
)  # fmt: skip
def test_a_kind_of_step_without_title_its_word_for_done_or_sentences_is_named(row: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="step mix needs"):
        template_from_dict("mix", row)


@pytest.mark.parametrize("kind", sorted(table("steps")))
def test_every_shipped_template_reads_and_ends_its_sentences(kind: str) -> None:
    template = template_from_dict(kind, table("steps")[kind])
    filled = dict.fromkeys((slot for one in template.sentences for slot in slots_of(one)), "So.")
    said = say(template, filled)
    assert said.endswith((".", "?"))
    assert "{" not in said


@pytest.mark.parametrize(
    ("parts", "said"),
    [([], ""), (["flour"], "flour"), (["flour", "salt"], "flour and salt"), (["a", "", "b", "c"], "a, b and c")],
)
def test_a_list_reads_as_people_say_it(parts: list[str], said: str) -> None:
    assert joined(parts) == said


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0, "0 minutes"), (60, "1 minute"), (1500, "25 minutes"), (3600, "1 hour"), (7260, "2 hours 1 minute"),
        (33300, "9 hours 15 minutes"), (3599, "1 hour"),
    ],
)  # fmt: skip
def test_durations_are_said_in_hours_and_minutes(seconds: int, said: str) -> None:
    assert duration_words(seconds) == said


@given(st.integers(0, 7 * 86400))
def test_a_said_duration_is_within_half_a_minute(seconds: int) -> None:
    words = duration_words(seconds).split()
    units = {"hour": 3600, "hours": 3600, "minute": 60, "minutes": 60}
    said = sum(int(n) * units[u] for n, u in zip(words[::2], words[1::2], strict=True))
    assert abs(said - seconds) <= 30


def test_dough_that_does_not_wait_is_nowhere() -> None:
    assert place_words("bench", 30) == ""
    assert place_words("none", 3600) == ""
    assert place_words("fridge", 3600) == "about 1 hour in the fridge"


def test_a_sentence_that_a_list_says_is_left_out() -> None:
    said = say(MIX, {"list": "300 g flour", "dosing": "Weigh 1 g."}, without=("list", "dosing"))
    assert said == "Cover the bowl."
