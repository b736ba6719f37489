"""Records to plain values and back, without loss, and strict about what is wrong."""

from __future__ import annotations

import contextlib
import dataclasses
import json
import math
import typing
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.samples import sample_kitchen, sample_plan
from webapp.core import ranges
from webapp.core.formula.toppings import ToppingSet
from webapp.core.kitchen import AwaySpan, Kitchen, Wish
from webapp.core.learning.sample_glass import GlassRecipe, SampleGlass
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.tray import Pan
from webapp.core.ranges import EPOCH, FAR
from webapp.records import SCHEMA, ShapeError, bundle, from_plain, to_plain
from webapp.reminders.ics import Entry

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(-1e300, 1e300) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
)


GLASS = SampleGlass(
    GlassRecipe("instant", 300.0, 9.0, 3.0, 34.0, 50.0, 1.0, 1.0), EPOCH + 1, (RoomSpan(EPOCH + 1, 21.0),)
)


def through_json(record: Any) -> Any:
    return json.loads(json.dumps(to_plain(record), allow_nan=False))


def test_a_plan_survives_json() -> None:
    plan = sample_plan()
    assert from_plain(Plan, through_json(plan)) == plan


def test_a_kitchen_with_nested_and_fixed_tuples_survives_json() -> None:
    kitchen = replace(sample_kitchen(), alarms=(("mix", 10), ("load", 5)), avoid=("milk",))
    assert from_plain(Kitchen, through_json(kitchen)) == kitchen


@pytest.mark.parametrize("away", [None, (), (AwaySpan(480, 1065),)])
def test_no_answer_and_an_empty_answer_stay_different(away: tuple[AwaySpan, ...] | None) -> None:
    wish = Wish("2026-11-25T19:30", (Pan("a", "A", "round", 600.0),), "bench-tray", away_today=away, room_c=None)
    assert from_plain(Wish, through_json(wish)) == wish


@given(data=st.dictionaries(st.text(), JSON, max_size=4), at=st.integers(EPOCH, FAR))
def test_whatever_data_an_event_carries_comes_back(data: dict[str, object], at: int) -> None:
    event = Event("e" * 32, "b", at, at, "phone", "unheard-of", data)
    assert from_plain(Event, through_json(event)) == event


def test_a_value_missing_from_an_older_file_takes_its_default() -> None:
    plain = through_json(sample_kitchen())
    del plain["avoid"], plain["oven"]["trays_at_once"]
    kitchen = from_plain(Kitchen, plain)
    assert kitchen.avoid == ()
    assert kitchen.oven.trays_at_once == 1


def test_an_unknown_value_from_a_newer_file_is_left_out() -> None:
    assert from_plain(Kitchen, through_json(sample_kitchen()) | {"from_the_future": 1}) == sample_kitchen()


def test_whole_numbers_do_for_floats() -> None:
    assert from_plain(Pan, {"key": "a", "name": "A", "shape": "round", "area_cm2": 600}).area_cm2 == 600.0


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("supper", "soon"), ("supper", 1.5), ("supper", True), ("dough_g", math.nan), ("dough_g", math.inf),
        ("dough_g", "840"), ("title", 7), ("pans", {}), ("pans", [1]), ("rise", None), ("rise", []),
        ("allergens", [1]), ("oven", {"dial": "250 C"}),
    ],
)  # fmt: skip
def test_a_wrong_value_is_refused_by_its_path(path: str, value: object) -> None:
    with pytest.raises(ShapeError) as caught:
        from_plain(Plan, through_json(sample_plan()) | {path: value})
    assert caught.value.problems[0].field.split(".")[0] == path


# Each is of the right type; what nobody can reckon with lies outside of its range, wherever it is read from.
@pytest.mark.parametrize(
    ("record", "path", "value"),
    [
        (Kitchen, "fridge_c", 1.7e308), (Kitchen, "mixing_rise_c", 99.9), (Kitchen, "scale_step_g", 1e-300),
        (Kitchen, "room.0.temp_c", 300.0), (Kitchen, "oven.measured_preheat_min", 10**400),
        (Kitchen, "pans.0.length_cm", 1e9), (Kitchen, "oven.highest_c", -math.inf), (Kitchen, "zone", "a" * 600_000),
        (Plan, "dough_g", 0.0), (Plan, "supper", 2**50), (Plan, "pans.0.count", 0), (Plan, "rise.table.step_c", 1e-200),
        (Plan, "steps.0.start", 10**400), (Plan, "oven.bake_high_min", -(2**63)), (Plan, "loading_g_cm2", 5e-324),
        (SampleGlass, "recipe.take_g", 1e-300), (SampleGlass, "started_at", 0),
    ],
)  # fmt: skip
def test_a_number_outside_of_its_range_is_refused_by_its_path(record: type[Any], path: str, value: object) -> None:
    plain = through_json({Kitchen: sample_kitchen(), Plan: sample_plan(), SampleGlass: GLASS}[record])
    *inner, last = path.split(".")
    there = plain
    for step in inner:
        there = there[int(step) if step.isdigit() else step]
    there[last] = value
    with pytest.raises(ShapeError) as caught:
        from_plain(record, plain)
    assert caught.value.problems[0].field == path


@pytest.mark.parametrize("record", [Kitchen, Wish, Plan, Event, SampleGlass, ToppingSet, Entry])
def test_every_figure_that_is_kept_has_a_range_of_its_own_or_its_units(record: type[Any]) -> None:
    """What has none is bounded all the same, by what a phone counts exactly and 1e9: those are named here."""
    free = {f"{one}.{field}" for one, field in _figures(record) if ranges.of(one, field) is None}
    assert free <= {
        "Plan.revision", "Plan.dough_of", "Event.revision", "Trade.score", "Trade.visits", "Worse.this", "Worse.first",
    }  # fmt: skip


def _figures(record: Any) -> Iterator[tuple[str, str]]:
    """Record and field of each number in it, and in what is in it."""
    if not dataclasses.is_dataclass(record):
        for inner in typing.get_args(record):
            yield from _figures(inner)
        return
    hints = typing.get_type_hints(record)
    for one in dataclasses.fields(record):
        if {int, float} & set(_leaves(hints[one.name])):
            yield record.__name__, one.name  # type: ignore[union-attr]  # a class
        yield from _figures(hints[one.name])


def _leaves(hint: Any) -> Iterator[Any]:
    yield hint
    for inner in typing.get_args(hint):
        yield from _leaves(inner)


def test_the_path_leads_to_the_very_value() -> None:
    plain = through_json(sample_plan())
    plain["steps"][3]["start"] = "late"
    with pytest.raises(ShapeError) as caught:
        from_plain(Plan, plain)
    assert caught.value.problems[0].field == "steps.3.start"


def test_a_tuple_of_fixed_length_is_read_by_its_length() -> None:
    with pytest.raises(ShapeError, match="list of 2 values"):
        from_plain(Kitchen, {"alarms": [["mix", 10, 3]]})


def test_true_is_no_number_and_one_is_no_truth() -> None:
    with pytest.raises(ShapeError, match="true or false"):
        from_plain(Kitchen, {"has_spoons": 1})


@given(JSON)
def test_anything_at_all_is_read_or_refused_but_never_breaks(data: Any) -> None:
    with contextlib.suppress(ShapeError):
        assert isinstance(from_plain(Kitchen, data), Kitchen)


def test_a_dataclass_with_a_free_dictionary_is_refused_when_it_is_a_list() -> None:
    plain = to_plain(Event("e", "b", 1, 1, "p", "k"))
    with pytest.raises(ShapeError):
        from_plain(Event, plain | {"data": []})


def test_a_bundle_carries_the_plan_its_events_and_the_clock() -> None:
    event = Event("e" * 32, "b", 5, 5, "p", "note", {"text": "x"})
    carried = bundle(sample_plan(), [event], 99)
    assert carried["schema"] == SCHEMA
    assert carried["served_at"] == 99
    assert from_plain(Plan, json.loads(json.dumps(carried["plan"]))) == sample_plan()
    assert carried["events"] == [to_plain(event)]


@dataclass(frozen=True)
class Anything:
    value: Any


def test_a_field_for_anything_takes_anything() -> None:
    assert from_plain(Anything, {"value": [1, {"a": None}]}).value == [1, {"a": None}]
