"""Another yeast at the bench: its amount follows, and nothing that may be weighed already moves."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given

from tests.core.scale.doughs import FINE, PLAIN
from tests.samples import sample_plan
from tests.strategies import between, formulas, kitchens
from webapp.core.formula.ingredients import Formula, Preferment
from webapp.core.kinds import YEAST_KINDS, YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import OtherYeast, WeighLine
from webapp.core.scale.weighing import weigh_out
from webapp.core.scale.yeasts import as_weighed, other_yeasts
from webapp.data import doughs
from webapp.words.plan.weights import named


def _lists(formula: Formula, dough_g: float, kitchen: Kitchen) -> dict[YeastKind, tuple[WeighLine, ...]]:
    own = weigh_out(formula, dough_g, kitchen, 24.0, doughs.measures())
    others = other_yeasts(formula, dough_g, kitchen, 24.0, doughs.measures())
    return {formula.yeast_kind: own, **{one.kind: one.lines for one in others}}


def _yeast(lines: tuple[WeighLine, ...]) -> float:
    return math.fsum(line.grams for line in lines if line.kind == "yeast")


# Hamelman, Bread: fresh x 0.33 is instant, fresh x 0.40 active dry; a baker's rule: 1 % instant = 1.2 % = 3 % fresh.
def test_the_kinds_stand_to_each_other_as_the_books_say() -> None:
    found = _lists(PLAIN, 1725.0, FINE)  # by hand: 1000 g of flour, 5 g of instant yeast
    assert _yeast(found["instant"]) == pytest.approx(5.0)
    assert _yeast(found["fresh"]) == pytest.approx(5.0 / 0.33)
    assert _yeast(found["active-dry"]) == pytest.approx(5.0 / 0.33 * 0.40)
    assert _yeast(found["fresh"]) / _yeast(found["instant"]) == pytest.approx(3.0, rel=0.02)
    assert _yeast(found["active-dry"]) / _yeast(found["instant"]) == pytest.approx(1.2, rel=0.02)
    listed = {kind: named(lines, kind) for kind, lines in found.items()}
    names = {kind: next(line.name for line in lines if line.kind == "yeast") for kind, lines in listed.items()}
    assert names == {"instant": "Instant yeast", "active-dry": "Active dry yeast", "fresh": "Fresh yeast"}


@given(formulas(), between(400, 3000), kitchens())
def test_what_the_yeast_does_not_move_weighs_what_it_did(formula: Formula, dough_g: float, kitchen: Kitchen) -> None:
    found = _lists(formula, dough_g, kitchen)
    assert set(found) == set(YEAST_KINDS)
    own = {(line.part, line.key): line for line in found[formula.yeast_kind]}
    for lines in found.values():
        for line in lines:
            if line.kind not in ("yeast", "water", "preferment"):
                assert line.weigh_g == own[line.part, line.key].weigh_g
        water = math.fsum(line.grams for line in lines if line.kind == "water")
        before = math.fsum(line.grams for line in own.values() if line.kind == "water")
        assert water == pytest.approx(before), "yeast water is the dough's own water"


def test_a_preferment_is_made_with_the_same_other_yeast() -> None:
    ahead = replace(PLAIN, preferment=Preferment("poolish", "Poolish", "poolish", 30, 100, 0.1))
    found = _lists(ahead, 1725.0, FINE)["fresh"]
    by_part = {line.part: line.grams for line in found if line.kind == "yeast"}
    assert by_part["poolish"] == pytest.approx(0.3 / 0.33)  # a tenth of a percent of 300 g
    assert by_part["dough"] == pytest.approx((5.0 - 0.3) / 0.33)


def test_a_plan_with_the_yeast_that_was_weighed_tells_its_percent_with_the_preferments_share() -> None:
    """A poolish with a tenth of a percent of its 300 g of flour; all yeast is half a percent of 1000 g (0.5 / 0.33)."""
    ahead = replace(PLAIN, preferment=Preferment("poolish", "Poolish", "poolish", 30, 100, 0.1))
    others = tuple(OtherYeast(kind, lines) for kind, lines in _lists(ahead, 1725.0, FINE).items() if kind != "instant")
    plan = replace(sample_plan("b"), other_yeasts=others)
    fresh = as_weighed(plan, "fresh")
    assert fresh.yeast_kind == "fresh"
    assert fresh.yeast_percent == pytest.approx(0.5 / 0.33)
    assert fresh.rise == plan.rise, "each kind is worth the same"
    assert as_weighed(plan, "") == as_weighed(plan, "a kind of a newer phone") == plan
