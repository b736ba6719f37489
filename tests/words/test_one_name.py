"""A step has one name: what the picture of a day calls it, in short, is in the title that it has elsewhere."""

from __future__ import annotations

import re

import pytest

from webapp.words.pages.pictures import PEG_WORDS
from webapp.words.plan.step_texts import step_texts


@pytest.mark.parametrize(("kind", "short"), PEG_WORDS.items())
def test_the_word_below_the_picture_is_in_the_title_of_its_step(kind: str, short: str) -> None:
    title = set(re.findall(r"\w+", step_texts()[kind].title.lower()))
    assert set(short.split()) <= title, f"{short!r} is called {step_texts()[kind].title!r} elsewhere"


def test_what_a_tap_says_is_done_is_said_in_the_words_of_the_step() -> None:
    """An oven that is turned on "is on", a tray that goes into it "is in" it: nothing is lit or loaded."""
    assert step_texts()["preheat"].done == "The oven is on"
    assert step_texts()["load"].done == "It’s in the oven"
