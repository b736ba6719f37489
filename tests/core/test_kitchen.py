"""A kitchen as a household describes it."""

from __future__ import annotations

import pytest

from webapp.core.kitchen import Kitchen, PartOfDay


@pytest.mark.parametrize(
    ("was_c", "is_c", "other"), [(5.0, 5.0, False), (5.0, 5.9, False), (5.0, 8.0, True), (6.0, 3.0, True)]
)
def test_a_fridge_is_another_one_where_it_differs_by_more_than_it_swings(
    was_c: float, is_c: float, other: bool
) -> None:
    """Within a degree a household fridge swings by itself (common practice)."""
    assert Kitchen(fridge_c=is_c).has_other_fridge(was_c) is other


@pytest.mark.parametrize(("minute", "usual_c"), [(0, 21.0), (419, 21.0), (420, 18.0), (1200, 21.0)])
def test_a_room_is_as_warm_as_the_part_of_the_day_that_has_begun(minute: int, usual_c: float) -> None:
    kitchen = Kitchen(room=(PartOfDay(420, 18.0), PartOfDay(1200, 21.0), PartOfDay(0, 21.0)))
    assert kitchen.usual_c(minute) == usual_c
