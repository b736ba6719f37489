"""A curve of fewer points that looks the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.pictures.test_chart import drawn
from tests.samples import sample_plan
from webapp.pictures.shapes import SIZES
from webapp.pictures.thinned import UNSEEN, on_the_page, thinned

heights = st.lists(st.floats(min_value=0, max_value=96), min_size=2, max_size=97)


@given(heights=heights, back=st.booleans())
def test_no_point_is_further_from_the_thinned_curve_than_the_eye_can_tell(heights: list[float], back: bool) -> None:
    """Checked against numpy's own piecewise linear interpolation."""
    curve = tuple((3.0 * i, y) for i, y in enumerate(heights))
    left = thinned(curve[::-1] if back else curve)
    assert set(left) <= set(curve)
    assert left[0][0] == (curve[-1] if back else curve[0])[0]
    xs, ys = zip(*(left[::-1] if back else left), strict=True)
    assert np.max(np.abs(np.interp([x for x, _ in curve], xs, ys) - np.array(heights))) <= UNSEEN + 1e-9


def test_a_straight_line_is_its_two_ends_and_a_corner_stays() -> None:
    assert thinned(tuple((float(i), 2.0 * i) for i in range(50))) == ((0.0, 0.0), (49.0, 98.0))
    assert thinned(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 9.0))) == ((0.0, 0.0), (2.0, 0.0), (3.0, 9.0))
    assert thinned(((0.0, 0.0), (0.0, 8.0))) == ((0.0, 0.0), (0.0, 8.0)), "straight up"
    assert thinned(()) == ()


def test_a_chart_on_a_page_is_the_same_with_fewer_points() -> None:
    for size in SIZES.values():
        whole = drawn(sample_plan(), size)
        page = on_the_page(whole)
        assert set(page.line) < set(whole.line)
        assert set(page.band) < set(whole.band)
        assert {page.line[0], page.line[-1]} == {whole.line[0], whole.line[-1]}
        assert replace(page, line=whole.line, band=whole.band) == whole, "nothing else"
        across = [x for x, _ in page.band]
        right = across.index(max(across)) + 1
        assert across[:right] == sorted(across[:right]), "there above"
        assert across[right:] == sorted(across[right:], reverse=True), "and back below"
