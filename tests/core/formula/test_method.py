"""Methods as data: the shipped ones, one's own, and what is wrong with one, all at once."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.wishes import method, shipped_methods
from webapp.core.errors import PlanError
from webapp.core.formula.cold_way import kept_short
from webapp.core.formula.method import (
    CHAIN_STEPS,
    Method,
    MethodStep,
    method_from_dict,
    method_to_dict,
    problems_of,
)


def plain(**changes: Any) -> dict[str, Any]:
    """A small method as a form would send it."""
    rows: list[Any] = [
        {"kind": "mix"},
        {"kind": "press", "wait": [60, 90, 120]},
        {"kind": "load", "wait": [30, 45, 60]},
    ]
    return {"key": "own", "name": "Our own", "step": rows, **changes}


def problems(given_plain: dict[str, Any]) -> list[str]:
    with pytest.raises(PlanError) as caught:
        method_from_dict(given_plain)
    assert all(p.field.split(".")[0] in ("method", "steps") for p in caught.value.problems)
    return [str(p) for p in caught.value.problems]


def test_the_house_ships_the_five_methods_of_the_trade() -> None:
    assert [m.key for m in shipped_methods()] == ["bench-day", "bench-night", "cold", "express", "two-stage"]
    assert all(m.source and m.note for m in shipped_methods())


def test_the_cold_method_waits_eight_hours_to_three_days_in_the_fridge() -> None:
    out = next(s for s in method("cold").steps if s.kind == "temper")
    assert (out.wait_least_min, out.wait_most_min) == (8 * 60, 72 * 60)


def test_every_fold_can_be_left_out() -> None:
    folds = [s for m in shipped_methods() for s in m.steps if s.kind == "fold"]
    assert folds
    assert all(s.optional for s in folds)


def test_only_a_dough_that_is_soon_in_the_fridge_stays_cold() -> None:
    assert [m.key for m in shipped_methods() if m.stays_cold] == ["cold"]
    slow = Method("s", "S", (MethodStep("mix"), MethodStep("chill", 5, 150, 180, 200), *method("cold").steps[3:]))
    assert not slow.stays_cold


def test_places_and_preferments_are_told_from_the_steps() -> None:
    assert "warm" in method("express").uses
    assert method("two-stage").has_preferment
    assert not method("cold").has_preferment
    assert MethodStep("mix").hands == 15
    assert MethodStep("mix", 30).hands == 30


@pytest.mark.parametrize("key", [m.key for m in shipped_methods()])
def test_a_method_survives_being_saved_and_read(key: str) -> None:
    one = method(key)
    assert method_from_dict(json.loads(json.dumps(method_to_dict(one)))) == one


steps = st.builds(
    MethodStep,
    st.sampled_from(["fold", "rest", "round-up"]),
    st.integers(0, 60), st.integers(0, 30), st.integers(30, 60), st.integers(60, 90),
    optional=st.booleans(), alarm_min=st.integers(0, 60), note=st.text(max_size=8),
)  # fmt: skip


@pytest.mark.many_cases
@given(st.lists(steps, max_size=5), st.text(max_size=10))
def test_any_own_method_survives_being_saved_and_read(passing: list[MethodStep], note: str) -> None:
    begin, press, load = (MethodStep("mix", 20), MethodStep("press", 10, 60, 90, 95), MethodStep("load", 5, 0, 0, 30))
    own = Method("own-1", "Our own", (begin, *passing, press, load), note)
    assert not problems_of(own)
    assert method_from_dict(method_to_dict(own)) == own


def test_a_method_without_a_source_is_the_kitchens_own() -> None:
    assert method_from_dict(plain()).source == ""
    assert "source" not in method_to_dict(method_from_dict(plain()))


def test_unknown_words_and_wrong_types_are_all_named_at_once() -> None:
    rows: list[Any] = [
        {"kind": "mix", "hands_min": "long", "colour": "red"},
        {"kind": "knead"},
        "press",
        {"kind": "load", "wait": [1, 2]},
    ]
    assert problems(plain(step=rows, name=5, author="me")) == [
        "method: not-of-a-method name author",
        "steps: not-of-a-step number 1, name colour",
        "steps: step-value number 1, name hands_min, wanted int",
        "steps: step-kind number 2, typed 'knead'",
        "steps: step-no-table number 3",
        "steps: step-wait-numbers number 4",
        "method: no-text name name",
    ]


@pytest.mark.parametrize("night", ["yes", 1, None])
def test_a_night_is_in_the_wait_or_not(night: Any) -> None:
    assert problems(plain(through_night=night)) == ["method: no-yes-no name through_night"]
    own = method_from_dict(plain(through_night=True))
    assert own.through_night
    assert method_from_dict(method_to_dict(own)) == own
    assert not method_from_dict(plain(through_night=False)).through_night


def test_a_method_says_when_it_presses_and_whether_it_mixes_cool() -> None:
    own = method_from_dict(plain(pressed_percent=75, mixed_cool=True))
    assert (own.pressed_percent, own.mixed_cool) == (75, True)
    assert method_from_dict(method_to_dict(own)) == own
    usual = method_from_dict(plain())
    assert (usual.pressed_percent, usual.mixed_cool) == (100, False)
    assert not {"pressed_percent", "mixed_cool"} & set(method_to_dict(usual)), "one of before is written as before"
    assert problems(plain(mixed_cool="no")) == ["method: no-yes-no name mixed_cool"]


@pytest.mark.parametrize("percent", [59, 101, 80.0, True, "80"])
def test_a_dough_is_not_pressed_before_it_has_strength_nor_past_all_of_its_rise(percent: Any) -> None:
    with pytest.raises(PlanError, match="pressed-percent") as caught:
        method_from_dict(plain(pressed_percent=percent))
    assert [one.field for one in caught.value.problems] == ["pressed_percent"]


def test_a_dough_that_must_stay_cold_is_pressed_at_all_of_its_rise_and_mixed_as_its_formula_says() -> None:
    """So short a while out of the fridge leaves the tray no more than any."""
    rich = kept_short(replace(method("cold"), pressed_percent=80, mixed_cool=True))
    assert (rich.pressed_percent, rich.mixed_cool) == (100, False)
    bench = replace(method("bench-day"), pressed_percent=80)
    assert kept_short(bench) == bench


@pytest.mark.parametrize("rows", [None, [], "mix", 7])
def test_a_method_without_steps_is_none(rows: Any) -> None:
    assert problems(plain(step=rows)) == ["steps: no-steps"]


@pytest.mark.parametrize("wait", [5, "5,6,7", [1, 2, 3.5], [True, 2, 3], None])
def test_a_wait_is_three_whole_numbers(wait: Any) -> None:
    rows = plain()["step"]
    rows[1]["wait"] = wait
    assert problems(plain(step=rows)) == ["steps: step-wait-numbers number 2"]


def test_a_wait_is_written_as_one_row_of_three() -> None:
    rows = plain()["step"]
    rows[1]["wait_least_min"] = 60
    assert problems(plain(step=rows)) == ["steps: not-of-a-step number 2, name wait_least_min"]


def wrong(*rows: MethodStep, key: str = "own", name: str = "Our own") -> list[str]:
    return [str(p) for p in problems_of(Method(key, name, rows))]


MIX, PRESS, LOAD = MethodStep("mix"), MethodStep("press", 10, 60, 90, 120), MethodStep("load", 5, 30, 45, 60)


def test_the_order_is_mix_press_load() -> None:
    assert wrong(PRESS, MIX, LOAD)[0] == "steps: steps-order"
    assert wrong(MIX, LOAD) == ["steps: step-times step press, times 0"]
    assert wrong(MIX, MIX, PRESS, LOAD) == ["steps: step-times step mix, times 2"]
    assert wrong(MIX, PRESS, LOAD, MethodStep("chill")) == ["steps: steps-order"]


def test_before_mixing_only_one_preferment_can_stand() -> None:
    assert wrong(MethodStep("fold"), MIX, PRESS, LOAD) == ["steps: before-mixing"]
    two = wrong(MethodStep("preferment"), MethodStep("preferment"), MIX, PRESS, LOAD)
    assert two == ["steps: before-mixing"]
    assert wrong(MIX, MethodStep("preferment"), PRESS, LOAD) == ["steps: before-mixing"]
    assert wrong(MethodStep("preferment"), MethodStep("mix", 15, 300, 400, 500), PRESS, LOAD) == []


def test_dough_is_not_folded_in_the_tray() -> None:
    assert wrong(MIX, PRESS, MethodStep("fold"), LOAD) == ["steps: after-pressing"]


def test_too_many_steps_are_too_many() -> None:
    assert wrong(MIX, *[MethodStep("fold")] * 10, PRESS, LOAD) == ["steps: many-steps steps 13, most 12"]
    moves = [MethodStep("chill"), MethodStep("temper"), MethodStep("warm"), MethodStep("chill"), MethodStep("temper")]
    assert wrong(MIX, *moves, PRESS, LOAD) == ["steps: many-moves"]


@pytest.mark.parametrize(
    ("step", "problem"),
    [
        (MethodStep("press", 10, 90, 60, 120), "wait: step-wait-order number 2, step press"),
        (MethodStep("press", 10, 60, 90, 20_000), "wait: step-wait-order number 2, step press"),
        (MethodStep("press", 7, 60, 90, 120), "hands_min: step-fives number 2, step press, minutes 7"),
        (MethodStep("press", 200, 60, 90, 120), "hands_min: step-minutes number 2, step press, most 180"),
        (MethodStep("press", 10, 60, 90, 120, alarm_min=-1), "hands_min: step-minutes number 2, step press, most 180"),
        (MethodStep("press", 10, 60, 92, 120), "wait: step-wait-fives number 2, step press"),
        (MethodStep("press", 10, 60, 90, 120, place="cellar"), "place: step-place number 2, step press, place cellar"),
        (MethodStep("press", 10, 60, 90, 120, optional=True), "optional: step-optional number 2, step press"),
    ],
)
def test_a_step_out_of_range_is_named_with_its_number(step: MethodStep, problem: str) -> None:
    assert wrong(MIX, step, LOAD) == [f"steps.2.{problem}"]


def test_beside_the_longest_wait_the_others_are_not_too_wide() -> None:
    problem = "steps: wide-waits"
    long = (MethodStep("temper", 5, 480, 1440, 4320), PRESS, LOAD)
    assert wrong(MIX, MethodStep("chill", 5, 0, 60, 120), *long) == []
    assert wrong(MIX, MethodStep("chill", 5, 0, 60, 600), *long) == [problem]
    stage = MethodStep("preferment")
    assert wrong(stage, MethodStep("mix", 15, 0, 600, 1000), MethodStep("chill", 5, 0, 60, 60), *long) == [problem]
    wide = (MethodStep("press", 10, 0, 60, 600), MethodStep("load", 5, 0, 60, 600))
    assert wrong(MIX, MethodStep("chill", 5, 0, 60, 60), MethodStep("temper", 5, 480, 1440, 4320), *wide) == [problem]


def test_the_first_step_has_nothing_to_wait_for() -> None:
    assert wrong(MethodStep("mix", 15, 0, 0, 30), PRESS, LOAD) == ["steps.1.wait: first-wait"]


def test_a_method_has_a_simple_key_and_a_name() -> None:
    assert wrong(MIX, PRESS, LOAD, key="Our Own!", name=" ") == [
        "method: method-key key Our Own!",
        "method: method-name",
    ]
    with pytest.raises(PlanError):
        method_from_dict(plain(key=""))


def test_every_kind_of_step_has_its_minutes() -> None:
    assert all(hands > 0 for _, _, hands in CHAIN_STEPS.values())
