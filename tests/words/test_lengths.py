"""Lengths of time, said in full."""

from __future__ import annotations

import pytest

from webapp.words.times import every_words


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(60, "every minute"), (1200, "every 20 minutes"), (3600, "every hour"), (5400, "every 1 hour 30 minutes"),
     (7200, "every 2 hours"), (36_000, "every 10 hours")],
)  # fmt: skip
def test_how_often_is_said_in_full(seconds: int, said: str) -> None:
    assert every_words(seconds) == said
