"""Ranges of figures: those of a kitchen and of a phone's thermometer that cookbooks and makers name lie inside."""

from __future__ import annotations

import pytest

from webapp.core.ranges import is_said, of, typed, typed_whole


def test_what_is_counted_is_counted_in_whole_numbers() -> None:
    """Household ovens have four to seven levels and one to three trays in use (makers' manuals, from memory)."""
    for field, few, many in (("shelves", 4, 7), ("trays_at_once", 1, 3)):
        least, most = typed_whole("Oven", field)
        assert isinstance(least, int)
        assert isinstance(most, int)
        assert (least, most) == typed("Oven", field)
        assert least <= few <= many <= most


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"temp_c": 4.4}, True),  # 40 F, at which the USDA has a refrigerator
        ({"temp_c": 24, "since": 1_795_000_000}, True),  # a dough on the bench
        ({"temp_c": 100.0}, False),  # water boils
        ({"temp_c": True}, False),
        ({"temp_c": "24"}, False),
        ({"temp_c": None}, False),
        ({}, False),
        ({"temp_c": 24, "since": "noon"}, False),
    ],
)
def test_a_dough_s_warmth_is_heeded_where_it_is_one(data: dict[str, object], said: bool) -> None:
    assert is_said("dough", data) == said


def test_a_line_without_figures_is_heeded_whatever_it_holds() -> None:
    assert is_said("done", {"step_id": "mix"})


def test_what_is_kept_may_be_off_by_the_half_degree_fahrenheit_that_was_rounded_when_it_was_typed() -> None:
    """Half a degree Fahrenheit is 0.28 C (by definition: nine to five), more is no rounding."""
    (least, most), kept = typed("Kitchen", "fridge_c"), of("Kitchen", "fridge_c")
    assert kept is not None
    assert 5 / 18 <= least - kept[0] < 0.5
    assert 5 / 18 <= kept[1] - most < 0.5


def test_a_name_that_ends_with_a_unit_has_its_range_and_one_with_none_has_none() -> None:
    """A kitchen's room is at 21 C by handbooks, iron melts at 1,538 C."""
    warmth = of("Whatever", "room_c")
    assert warmth is not None
    assert warmth[0] < 21 < warmth[1] < 1538
    assert of("Whatever", "name") is None
