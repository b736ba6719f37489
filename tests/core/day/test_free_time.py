"""A person without one kind of busy time: hand-worked with round instants."""

from __future__ import annotations

import pytest

from webapp.core.day.free_time import PersonDay
from webapp.core.day.span import Span
from webapp.core.kinds import BUSY_KINDS, BusyKind

WHOLE = Span(0, 100)
ONE = PersonDay(
    "one", (Span(0, 10), Span(90, 100)), away=(Span(10, 40),), asleep=(Span(60, 90),), busy=(Span(30, 60),)
)  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "free"),
    [
        ("away", (Span(0, 30), Span(90, 100))),  # busy from 30 on all the same
        ("busy", (Span(0, 10), Span(40, 60), Span(90, 100))),
        ("asleep", (Span(0, 10), Span(60, 100))),
    ],
)
def test_without_one_kind_its_hours_are_free_unless_another_holds_them(kind: BusyKind, free: tuple[Span, ...]) -> None:
    other = ONE.without((kind,), WHOLE)
    assert other.free == free
    assert other.taken[kind] == ()
    assert all(other.taken[left] == ONE.taken[left] for left in BUSY_KINDS if left != kind)


def test_without_all_of_them_the_whole_day_is_free() -> None:
    assert ONE.without(BUSY_KINDS, WHOLE).free == (WHOLE,)


def test_every_kind_of_busy_time_has_its_hours() -> None:
    assert set(ONE.taken) == set(BUSY_KINDS)
    assert all(ONE.taken.values())
