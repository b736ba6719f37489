"""Where the model is outside its range, in words."""

from __future__ import annotations

from typing import get_args

from webapp.core.kinds import BeyondKind
from webapp.core.plan.rise import Beyond
from webapp.words.plan.rise import beyond_words


def test_every_number_outside_the_range_has_its_own_sentence() -> None:
    said = [beyond_words(Beyond(kind)) for kind in get_args(BeyondKind)]
    assert len(set(said)) == len(said)
    assert all(one.endswith(".") and one[0].isupper() for one in said)


def test_outside_the_warmth_is_told_in_the_kitchens_own_degrees() -> None:
    # 36 C = 96.8 F, 35 C = 95 F (NIST SP 811)
    hot = Beyond("hot", 36.0)
    assert beyond_words(hot) == "The dough gets to 36 °C: above 35 °C the times are a guess."
    assert beyond_words(hot, "F") == "The dough gets to 96.8 °F: above 95 °F the times are a guess."


def test_what_is_made_ahead_is_named() -> None:
    assert beyond_words(Beyond("little-yeast", part="Poolish")).startswith("Poolish: With less than 0.05 %")


def test_how_much_slower_a_stiff_dough_is_reckoned_is_said() -> None:
    said = beyond_words(Beyond("stiff", percent=53.0, slower=1.4142))
    assert "With 53 % water" in said
    assert "1.41 times as slow" in said
