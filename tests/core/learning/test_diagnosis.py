"""Causes of what came out wrong: order by this bake's own numbers, and one change to try."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.kinds import BakeNumber
from webapp.core.learning import diagnosis
from webapp.core.learning.diagnosis import CauseRule, Evidence, Suggestion
from webapp.core.learning.habits import FACTORS, FIELDS
from webapp.data import trouble

RULES = trouble.cause_rules()
SIGNS = tuple(sign.key for sign in trouble.signs())
HOTTER = Suggestion("preheat_min", 10.0, "Longer.")
LESS = Suggestion("topping_times", 0.8, "Less.")


def _first(*ticks: str, **numbers: float) -> str:
    return diagnosis.causes(ticks, numbers, RULES).causes[0].key


# What bakers look at first (common practice), given numbers that speak for it.
@pytest.mark.parametrize(
    ("ticks", "numbers", "cause"),
    [
        (("pale-base",), {"heat_short_min": 20.0, "slab": 1.0}, "oven-not-hot"),
        (("pale-base",), {"slab": 0.0, "heat_short_min": -15.0, "measured": 1.0}, "heat-from-below-missing"),
        (
            ("pale-base",),
            {"slab": 0.0, "heat_short_min": -15.0, "measured": 1.0, "lowest": 0.0},
            "heat-from-below-missing",
        ),
        (("pale-base",), {"bake_short_min": 4.0}, "out-too-early"),
        (("pale-base", "pale-top"), {"dial_off_c": 20.0}, "oven-cooler-than-dial"),
        (("dark-cheese",), {"turn_down_late_min": 6.0}, "turned-down-late"),
        (("dark-cheese",), {"bake_long_min": 5.0}, "in-too-long"),
        (("dense",), {"load_ratio": 0.7}, "under-risen"),
        (("dense",), {"load_ratio": 1.3, "proof_min": 20.0}, "proof-too-short"),
        (("dense",), {"dough_c": 9.0, "load_ratio": 1.25, "proof_min": 95.0}, "dough-cold"),
        (("collapsed",), {"load_past_ratio": 1.1, "load_ratio": 1.6}, "over-risen"),
        (("stuck",), {}, "tray-not-oiled"),
        (("dry",), {"bake_long_min": 6.0}, "in-too-long"),
        (("dry", "dense"), {"hydration_percent": 56.0, "load_ratio": 1.25, "bake_short_min": 0.0}, "too-dry-dough"),
        (("wet-top",), {"topping_g_cm2": 0.7}, "topping-too-heavy"),
        (("dark-base",), {"slab": 1.0, "loading_g_cm2": 0.35}, "slab-too-hot"),
    ],
)
def test_the_bakes_own_numbers_choose_among_the_causes(
    ticks: tuple[str, ...], numbers: dict[str, float], cause: str
) -> None:
    assert _first(*ticks, **numbers) == cause


@pytest.mark.parametrize("sign", SIGNS)
def test_nobody_who_bakes_on_the_lowest_shelf_is_told_to(sign: str) -> None:
    found = diagnosis.causes([sign], {"slab": 0.0, "lowest": 1.0}, RULES)
    assert found.suggestion
    assert "shelf_low" not in {cause.change.field for cause in found.causes}


@pytest.mark.parametrize("sign", SIGNS)
def test_everything_that_can_be_ticked_has_causes_and_a_suggestion(sign: str) -> None:
    found = diagnosis.causes([sign], {}, RULES)
    assert len(found.causes) >= 2
    assert found.suggestion == found.causes[0].change


def test_nothing_ticked_finds_nothing() -> None:
    assert diagnosis.causes([], {"heat_short_min": 20.0}, RULES) == diagnosis.Diagnosis((), None)
    assert diagnosis.causes(["no-such-sign"], {}, RULES).suggestion is None


numbers = st.dictionaries(st.sampled_from(list(get_args(BakeNumber))), st.floats(-50, 200), max_size=8)


@given(st.sets(st.sampled_from(SIGNS), min_size=1), numbers)
def test_shares_add_up_to_one_and_fall(ticks: set[str], known: dict[str, float]) -> None:
    shares = [cause.share for cause in diagnosis.causes(ticks, known, RULES).causes]
    assert sum(shares) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)


@given(st.sets(st.sampled_from(SIGNS)), numbers)
def test_the_order_of_ticks_does_not_matter(ticks: set[str], known: dict[str, float]) -> None:
    assert diagnosis.causes(sorted(ticks), known, RULES) == diagnosis.causes(sorted(ticks, reverse=True), known, RULES)


def test_odds_multiply_and_only_what_speaks_for_it_is_named() -> None:
    rules = (
        CauseRule(
            "a",
            "A",
            "x",
            (("s", 1.0), ("t", 2.0)),
            HOTTER,
            (Evidence("n", 3.0, at_least=5.0), Evidence("m", 0.5, at_most=1.0)),
        ),
        CauseRule("b", "B", "x", (("s", 1.0),), LESS),
    )
    found = diagnosis.causes(["s", "t"], {"n": 5.0, "m": 1.0}, rules).causes
    assert [c.share for c in found] == pytest.approx([4.5 / 5.5, 1 / 5.5])  # (1+2) x 3 x 0.5 against 1, by hand
    assert found[0].because == ("n",)


@pytest.mark.parametrize(("value", "holds"), [(None, False), (4.9, False), (5.0, True), (9.0, True), (9.1, False)])
def test_evidence_holds_within_its_bounds_and_never_when_unknown(value: float | None, holds: bool) -> None:
    known = {} if value is None else {"n": value}
    assert Evidence("n", 2.0, at_least=5.0, at_most=9.0).holds(known) is holds


def test_a_tie_keeps_the_order_of_the_file() -> None:
    rules = tuple(CauseRule(key, key, "x", (("s", 1.0),), HOTTER) for key in "zab")
    assert [c.key for c in diagnosis.causes(["s"], {}, rules).causes] == ["z", "a", "b"]


def test_every_rule_names_known_signs_numbers_and_fields_and_a_source() -> None:
    for rule in RULES:
        assert {sign for sign, _ in rule.signs} <= set(SIGNS)
        assert {e.number for e in rule.evidence} <= set(get_args(BakeNumber))
        assert rule.change.field in FIELDS
        assert rule.source
        low, high = FIELDS[rule.change.field]
        assert low <= rule.change.amount <= high
        assert rule.change.text.endswith(".")
        assert rule.change.amount != 1.0 or rule.change.field not in FACTORS
