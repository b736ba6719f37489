"""ln, exp and the root against the standard library's, to 1e-9 and far better."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.now.ln_exp import LEAST, MOST_EXP, exp, ln, root


@given(st.floats(1e-9, 1e9))
def test_the_logarithm_is_that_of_the_standard_library(x: float) -> None:
    assert ln(x) == pytest.approx(math.log(x), abs=1e-11)


@given(st.floats(-20, 20))
def test_the_power_of_e_is_that_of_the_standard_library(x: float) -> None:
    assert exp(x) == pytest.approx(math.exp(x), rel=1e-11)


@given(st.floats(1e-9, 1e9))
def test_the_square_root_is_that_of_the_standard_library(x: float) -> None:
    assert root(x) == pytest.approx(math.sqrt(x), rel=1e-11)


def test_past_their_ends_they_stand_still() -> None:
    assert ln(0.0) == ln(-3.0) == ln(LEAST)
    assert (exp(1e6), exp(-1e6)) == (exp(MOST_EXP), exp(-MOST_EXP))
    assert root(0.0) == root(-1.0) == 0.0
