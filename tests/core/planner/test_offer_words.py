"""What is said about an offer: every row of the table of weights has words of its own."""

from __future__ import annotations

import pytest

from webapp.core.planner.cost import WEIGHTS
from webapp.core.planner.offer_words import WHY, span_words


def test_whatever_may_decide_between_two_days_has_a_sentence() -> None:
    assert set(WHY) == {weight.key for weight in WEIGHTS}
    assert all(why[0].isupper() and why.endswith(".") for why in WHY.values())


@pytest.mark.parametrize(("seconds", "said"), [(3000, "50 min"), (10800, "3 h"), (9000, "2 h 30 min")])
def test_a_length_of_time_is_said_in_hours_and_minutes(seconds: int, said: str) -> None:
    assert span_words(seconds) == said
