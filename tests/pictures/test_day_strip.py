"""The day as one line."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from defusedxml.ElementTree import fromstring

from tests.samples import at, sample_plan
from webapp.pictures.day_strip import STRIP, day_strip, strip_words
from webapp.pictures.svg import draw
from webapp.web import filters

UTC = filters.local("UTC")


def test_hands_stand_where_the_clock_says() -> None:
    """By hand: 07:15 to 19:30 is 44,100 s, with 1,182 s to either side, over 308 units from 6 on."""
    plan = sample_plan()
    shapes = day_strip(plan.steps, plan.supper, UTC)
    begins = at(7, 15) - 1182
    wanted = [6 + 308 * (s.start - begins) / 46464 for s in plan.steps if s.presence == "hands"]
    assert [hand.x for hand in shapes.hands] == pytest.approx(wanted)
    assert shapes.flag.x == pytest.approx(6 + 308 * (at(19, 30) - begins) / 46464)


def test_a_night_in_the_fridge_is_shown_from_going_in_to_coming_out() -> None:
    mix, press, *rest = sample_plan().steps
    steps = (replace(mix, place="fridge"), press, *rest)
    cold = [c for c in day_strip(steps, at(19, 30), UTC).columns if c.kind == "fridge"]
    assert len(cold) == 1
    assert cold[0].width == pytest.approx(308 * (press.start - mix.end) / 46464)


def test_the_oven_is_hot_between_loading_and_lifting_alone() -> None:
    plan = sample_plan()
    shapes = day_strip(plan.steps, plan.supper, UTC)
    hot = [c for c in shapes.columns if c.kind == "oven"]
    begins, per_second = at(7, 15) - 1182, 308 / 46464
    assert hot[0].x >= 6 + (at(18, 56) - begins) * per_second - 1e-9
    assert hot[-1].x + hot[-1].width == pytest.approx(6 + (at(19, 15) - begins) * per_second)


def test_the_strip_is_a_picture_with_words() -> None:
    plan = sample_plan()
    words = strip_words(plan.steps, plan.supper, UTC)
    tree = fromstring(draw(day_strip(plan.steps, plan.supper, UTC), "s", "The day", words))
    assert tree[1].text == words
    assert "Wednesday 25 November 07:15" in words
    assert words.endswith("Supper at Wednesday 25 November 19:30.")
    assert float(tree.get("viewBox", "").split()[3]) == STRIP.height


def test_supper_after_the_last_step_is_still_in_the_picture() -> None:
    plan = sample_plan()
    shapes = day_strip(plan.steps, at(21), UTC)
    assert shapes.flag.x < STRIP.width - STRIP.right


def test_hours_are_an_hour_of_real_time_apart_on_the_night_the_clocks_go_back() -> None:
    """EU summer time ends on the last Sunday of October at 01:00 UTC (Directive 2000/84/EC): 1 o'clock comes twice."""
    change = 1792890000  # 2026-10-25T01:00:00Z
    by = change - at(12)
    steps = tuple(replace(s, start=s.start + by, end=s.end + by) for s in sample_plan().steps)
    ticks = day_strip(steps, at(19, 30) + by, filters.local("Europe/London")).hours
    gaps = [b.at - a.at for a, b in pairwise(ticks)]
    assert max(gaps) - min(gaps) < 25, "one of two hours may be an hour of real time longer"
    assert [t.label for t in ticks if t.label in ("Sun", "Sat")] == ["Sun"]


def test_in_a_zone_of_half_hours_the_hours_are_the_kitchens_own() -> None:
    ticks = day_strip(sample_plan().steps, at(19, 30), filters.local("Asia/Kolkata")).hours  # UTC+5:30
    begins = at(7, 15) - 1182
    noon = next(t for t in ticks if t.label == "14")  # 14:00 there is 08:30 UTC
    assert noon.at == pytest.approx(6 + 308 * (at(8, 30) - begins) / 46464)


def test_twelve_hour_clocks_say_am_and_pm_along_the_top() -> None:
    ticks = day_strip(sample_plan().steps, at(19, 30), filters.local("UTC", "12")).hours
    assert any(t.label.endswith("pm") for t in ticks)
