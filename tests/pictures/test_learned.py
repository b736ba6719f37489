"""The picture of what a kitchen has taught."""

from __future__ import annotations

import math

import pytest
from defusedxml.ElementTree import fromstring

from webapp.pictures.learned import HEIGHT, WIDTH, learned_picture, place, words


def test_twice_and_half_are_equally_far_from_the_middle() -> None:
    assert place(2.0) - place(1.0) == pytest.approx(place(1.0) - place(0.5))
    assert place(1.0) == pytest.approx((place(0.5) + place(2.0)) / 2)


def test_what_lies_beyond_stays_in_the_picture() -> None:
    assert place(9.0) == place(2.0)
    assert place(0.01) == place(0.5)


def test_every_thing_seen_is_a_dot_and_the_band_is_as_wide_as_it_says() -> None:
    """Eight in ten of a normal distribution lie within 1.2816 standard deviations of its mean (normal table)."""
    tree = fromstring(learned_picture([0.9, 1.1, 1.2], 0.1, 0.12))
    assert len([n for n in tree.iter() if n.get("class") == "tide__dot"]) == 3
    band = next(n for n in tree.iter() if n.get("class") == "tide__band")
    octave = place(2.0) - place(1.0)
    assert float(band.get("width", "")) == pytest.approx(2 * 1.2816 * 0.12 / math.log(2) * octave, abs=0.11)


def test_a_kitchen_that_has_learned_has_a_narrower_band_than_all_kitchens() -> None:
    tree = fromstring(learned_picture([1.0], 0.0, 0.15))
    widths = {
        n.get("class"): float(n.get("width", "0"))
        for n in tree.iter()
        if n.get("class") in ("tide__band", "tide__early")
    }
    assert widths["tide__band"] < widths["tide__early"]


def test_nothing_sticks_out() -> None:
    tree = fromstring(learned_picture([0.1, 10.0] * 5, 0.5, 0.35))
    for node in tree.iter():
        assert -0.1 <= float(node.get("cx", "0")) <= WIDTH
        assert -0.1 <= float(node.get("cy", "0")) <= HEIGHT
        if node.get("text-anchor") == "middle":  # a letter of 18 units is little more than half as wide, at most
            half, x = len(node.text or "") * 9.6 / 2, float(node.get("x", "0"))
            assert half <= x <= WIDTH - half, node.text


def test_the_words_say_the_numbers() -> None:
    said = words([1.25], math.log(1.1), 0.1)
    assert "×1.10" in said
    assert "×0.97 and ×1.25" in said  # 1.1 * exp(-+0.12816)
    assert "Seen: ×1.25." in said
