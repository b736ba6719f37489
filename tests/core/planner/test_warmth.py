"""Warmth on the grid against the closed integral (itself checked with SciPy in tests/core/rise/test_response.py)."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.profiles import examples
from tests.wishes import a_dough
from webapp.core.plan.rise import RoomSpan
from webapp.core.planner.warmth import Warmth, tenths
from webapp.core.rise.fermentation import Leg, along, response, response_seconds, temp_after

FIRST = 5985216  # slot of 2026-11-25T00:00Z


def warmth(room_c: float = 21.0, *later: tuple[int, float], last: int = 1200, **changes: float) -> Warmth:
    """A kitchen at `room_c`, and from each (seconds, C) on at another temperature."""
    room = (RoomSpan(FIRST * 300, room_c), *(RoomSpan(FIRST * 300 + s, c) for s, c in later))
    return Warmth(replace(a_dough(), **changes), room, FIRST, FIRST + last)  # type: ignore[arg-type]


def tau(vessel: str, place: str) -> float:
    return next(t for v, p, t in a_dough().tau_s if (v, p) == (vessel, place))


@examples(20)
@given(st.floats(10, 35), st.floats(12, 33), st.sampled_from(["bowl", "tub", "tray"]), st.integers(6, 300))
def test_a_walk_on_the_bench_is_within_an_eighth_of_a_percent_of_the_closed_integral(
    begin_c: float, room_c: float, vessel: str, slots: int
) -> None:
    heat = tenths(begin_c)
    warm, temp = warmth(room_c).walk("bench", vessel, FIRST, heat).at(slots)
    leg = Leg(room_c, slots * 300.0, tau(vessel, "bench"))
    assert warm == pytest.approx(response_seconds(heat / 10, leg, slots * 300.0), rel=1.2e-3)
    assert temp == pytest.approx(temp_after(heat / 10, leg, slots * 300.0), abs=1e-6)


@examples(20)
@given(st.floats(15, 33), st.floats(2, 9), st.integers(12, 864))
def test_a_walk_in_the_fridge_is_within_a_third_of_a_percent_of_the_closed_integral(
    begin_c: float, fridge_c: float, slots: int
) -> None:
    heat = tenths(begin_c)
    warm, _ = warmth(fridge_c=fridge_c).walk("fridge", "bowl", FIRST + 5, heat).at(slots)
    leg = Leg(fridge_c, slots * 300.0, tau("bowl", "fridge"))
    # half a hundredth of a degree at 2 C, where the response goes as (T + 1.5) ^ 2: 2 x 0.005 / 3.5 = 0.29 %
    assert warm == pytest.approx(response_seconds(heat / 10, leg, slots * 300.0), rel=3e-3)


def test_a_kitchen_that_changes_through_the_day_is_followed_part_by_part() -> None:
    walk = warmth(24.0, (7200, 17.0), (30000, 22.5)).walk("bench", "bowl", FIRST, 230)
    legs = [
        Leg(24.0, 7200, tau("bowl", "bench")),
        Leg(17.0, 22800, tau("bowl", "bench")),
        Leg(22.5, 6000, tau("bowl", "bench")),
    ]
    assert walk.at(120)[0] == pytest.approx(along(23.0, legs)[0], rel=1e-3)


def test_a_change_inside_a_slot_counts_in_proportion() -> None:
    changing = warmth(20.0, (100, 26.0)).walk("bench", "bowl", FIRST, 200)
    mean = (100 * 20.0 + 200 * 26.0) / 300
    assert changing.at(1)[1] == pytest.approx(warmth(mean).walk("bench", "bowl", FIRST, 200).at(1)[1])


def test_scipy_agrees_on_one_hand_made_way() -> None:
    """Bench at 21 C for an hour, fridge at 5 C for a day: SciPy's quad over Newton's law."""
    bench, fridge = tau("bowl", "bench"), tau("bowl", "fridge")
    there = warmth(21.0).walk("bench", "bowl", FIRST, 230).at(12)
    first, _ = quad(lambda t: response(temp_after(23.0, Leg(21.0, None, bench), t)), 0, 3600)
    assert there[0] == pytest.approx(first, rel=1e-3)
    cold, _ = quad(lambda t: response(temp_after(there[1], Leg(5.0, None, fridge), t)), 0, 86400, limit=200)
    assert warmth().walk("fridge", "bowl", FIRST, tenths(there[1])).at(288)[0] == pytest.approx(cold, rel=1.5e-3)


def test_long_after_it_has_settled_every_slot_in_the_fridge_adds_the_same() -> None:
    walk = warmth().walk("fridge", "bowl", FIRST, 230)
    at = [walk.at(n)[0] for n in (700, 701, 702)]
    assert at[1] - at[0] == pytest.approx(at[2] - at[1])
    assert at[1] - at[0] == pytest.approx(300 * response(5.0), rel=1e-3)
    settled = walk.at(400)[1]
    assert settled == pytest.approx(5.0, abs=0.01)


def test_a_warm_spot_is_steady_whatever_the_room() -> None:
    one = warmth(15.0).walk("warm", "bowl", FIRST, 230).at(12)
    assert one == warmth(30.0).walk("warm", "bowl", FIRST + 99, 230).at(12)


def test_a_preferment_has_a_time_constant_of_its_own() -> None:
    small = warmth(15.0).walk("bench", "sponge", FIRST, 230).at(12)
    assert small[1] < warmth(15.0).walk("bench", "bowl", FIRST, 230).at(12)[1]


def test_a_walk_is_made_once_and_shared() -> None:
    kitchen = warmth()
    assert kitchen.walk("bench", "bowl", FIRST, 230) is kitchen.walk("bench", "bowl", FIRST, 230)
    assert kitchen.walk("fridge", "bowl", FIRST, 230) is kitchen.walk("fridge", "bowl", FIRST + 7, 230)
    assert kitchen.walk("bench", "bowl", FIRST, 230) is not kitchen.walk("bench", "bowl", FIRST + 7, 230)


def test_past_the_end_of_the_day_the_room_stays_as_it_was() -> None:
    walk = warmth(21.0, last=10).walk("bench", "bowl", FIRST, 210)
    assert walk.at(500)[0] == pytest.approx(500 * 300 * response(21.0), rel=1e-3)


@given(st.floats(0, 40000), st.integers(0, 200))
def test_slots_until_is_the_last_slot_not_past_the_warmth(warm_s: float, most: int) -> None:
    walk = warmth().walk("bench", "bowl", FIRST, 230)
    n = walk.slots_until(warm_s, most)
    assert 0 <= n <= most
    assert n == 0 or walk.at(n)[0] <= warm_s
    assert n == most or walk.at(n + 1)[0] > warm_s


@given(st.floats(10, 30), st.floats(0.1, 3), st.integers(60, 350))
def test_a_warmer_room_never_finishes_later(room_c: float, more: float, heat: int) -> None:
    cool = warmth(room_c).walk("bench", "bowl", FIRST, heat)
    warm = warmth(min(room_c + more, 32.0)).walk("bench", "bowl", FIRST, heat)
    if heat / 10 <= 32:
        assert all(warm.at(n)[0] >= cool.at(n)[0] - 1e-6 for n in (1, 12, 100))
    grown = [cool.at(n)[0] for n in range(50)]
    assert all(a <= b for a, b in pairwise(grown))


def test_tenths_round_halves_up() -> None:
    assert [tenths(c) for c in (23.04, 23.05, -0.05, 0.0)] == [230, 231, 0, 0]


def test_a_dough_ages_by_the_rooms_it_stands_in_and_not_in_the_fridge() -> None:
    """By hand: 1/8 of its life an hour at 28 C, 0.1625 at 30 C; past the end of the day as at its end."""
    kitchen = warmth(28.0, (7200, 30.0), last=47)
    assert kitchen.aged("bench", FIRST, FIRST + 24) == pytest.approx(250_000, abs=24)
    assert kitchen.aged("bench", FIRST + 12, FIRST + 36) == pytest.approx(125_000 + 162_500, abs=24)
    assert kitchen.aged("bench", FIRST + 48, FIRST + 60) == pytest.approx(162_500, abs=24)
    assert kitchen.aged("fridge", FIRST, FIRST + 1000) == 0
    assert kitchen.keeps_until("bench", FIRST, 250_100, 40) == 24
    assert kitchen.keeps_until("bench", FIRST, 250_100, 20) == 20
    assert kitchen.keeps_until("bench", FIRST, -1, 20) == 0
