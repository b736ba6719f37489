"""A dough as warm as it is, in a kitchen as warm as it is: how long it may stand, and what the offer says of it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.oracles.offer_rules import keeps_the_rules
from tests.wishes import a_bake, a_dough, method, wish
from webapp.core.kitchen import Kitchen, PartOfDay
from webapp.core.plan.trade import Aside
from webapp.core.planner.offer import Offer
from webapp.core.planner.propose import propose

LISBON = "Europe/Lisbon"


def kitchen(room_c: float) -> Kitchen:
    return Kitchen(zone=LISBON, room=(PartOfDay(0, room_c),))


def on_the_bench(offer: Offer) -> float:
    """Hours from the end of mixing until loading that the dough is neither in the fridge nor in the oven."""
    chain = [s for s in offer.steps if s.chain and s.end >= offer.mixed_at]
    loaded = next(s.start for s in chain if s.kind == "load")
    return sum(b.start - a.end for a, b in pairwise(chain) if a.place == "bench" and a.end <= loaded) / 3600


@pytest.mark.many_cases
@pytest.mark.parametrize(("room_c", "hours"), [(28.0, 8.0), (30.0, 6.2), (32.0, 5.0), (34.0, 4.3)])
@pytest.mark.parametrize("now", ["2026-11-25T06:45", "2026-11-24T18:00"])
def test_no_offer_leaves_a_lean_dough_on_a_warm_bench_for_longer_than_it_keeps(
    room_c: float, hours: float, now: str
) -> None:
    wanted = wish("2026-11-25T20:30", now, kitchen(room_c))
    answer = propose(wanted)
    for offer in answer.offers:
        keeps_the_rules(wanted, offer)
        if offer.method != "two-stage":
            assert on_the_bench(offer) <= hours
    assert {i.method for i in answer.in_the_way if i.why.kind == "too-warm"} >= {"bench-day"}


def test_in_a_warm_kitchen_the_fridge_comes_first_and_says_why() -> None:
    wanted = wish("2026-11-25T20:30", "2026-11-24T18:00", kitchen(32.0))
    first = propose(wanted).offers[0]
    assert first.method == "cold"
    (said,) = [one for one in first.asides if one.kind == "warm-kitchen"]
    assert (said.temp_c, round(said.keeps_s / 3600, 1)) == (32.0, 5.0)


def test_a_cool_kitchen_sets_no_limit_and_needs_no_word() -> None:
    wanted = wish("2026-11-25T20:30", "2026-11-24T18:00", kitchen(20.0))
    for offer in propose(wanted).offers:
        assert {one.kind for one in offer.asides} <= {"unknown-kitchen"}


def test_a_preferment_ages_with_the_dough_that_it_goes_into() -> None:
    """At 30 C a dough keeps 6 h 9 min; three tenths of its flour stood for hours before."""
    wanted = wish("2026-11-28T19:30", "2026-11-27T20:00", kitchen(30.0), methods=(method("two-stage"),))
    for offer in propose(wanted, False).offers:
        ahead = next(s for s in offer.steps if s.kind == "preferment").end
        mix = next(s for s in offer.steps if s.kind == "mix")
        load = next(s for s in offer.steps if s.kind == "load")
        assert (mix.start - ahead) / 3600 <= 6.16
        assert 0.3 * (mix.end - ahead) / 3600 + (load.start - mix.end) / 3600 <= 6.17


def test_a_dough_that_no_water_cools_is_planned_as_warm_as_it_comes_out() -> None:
    """Twenty-nine degrees instead of twenty-three: the same hours ask for less yeast."""
    asked = {"methods": (method("bench-day"),)}
    (cool,) = propose(wish("2026-11-25T20:30", **asked), False).offers
    (warm,) = propose(wish("2026-11-25T20:30", dough=a_dough(mixed_in=lambda *_: 29.0), **asked), False).offers
    assert (cool.mixed_c, warm.mixed_c) == (23.0, 29.0)
    assert warm.instant_percent < cool.instant_percent * 0.97
    keeps_the_rules(wish("2026-11-25T20:30", dough=a_dough(mixed_in=lambda *_: 29.0), **asked), warm)


def test_with_several_loads_the_yeast_is_chosen_for_all_of_them_and_the_offer_says_which_is_furthest_off() -> None:
    """Four trays one after the other: the first is loaded a little young, the last a little past its best."""
    wanted = wish("2026-11-28T20:00", "2026-11-28T08:30", kitchen(24.0), baking=a_bake(4, 1), sides=())
    wanted = replace(wanted, methods=(method("bench-day"),))
    offer = propose(wanted, False).offers[0]
    keeps_the_rules(wanted, offer)
    assert list(offer.loaded) == sorted(offer.loaded)
    assert offer.loaded[0] < 1.0 < offer.loaded[-1]
    far = [(abs(math.log(share)), number, share) for number, share in enumerate(offer.loaded, 1)]
    off, number, share = max(far)
    asides = [one for one in offer.asides if one.kind in ("loaded-early", "loaded-late")]
    expected = [Aside("loaded-early" if share < 1 else "loaded-late", share=share, load=number)]
    assert asides == (expected if off > 0.05 else [])
    assert off > 0.05, "four loads in two hours are too far apart for one yeast"
