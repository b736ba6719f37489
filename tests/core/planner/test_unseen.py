"""In a kitchen that is not known the way that forgives most comes first, and says why; a known one has its best day."""

from __future__ import annotations

import math

import pytest

from tests.oracles.offer_rules import keeps_the_rules
from tests.wishes import a_dough, method, wish
from webapp.core.day.day import instant_of
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Person
from webapp.core.planner.cost import unknown, unseen_points
from webapp.core.planner.offer import Answer, Offer
from webapp.core.planner.propose import propose
from webapp.core.planner.slots import Slots

OFFICE = Person("Me", (DayHours(6 * 60, 23 * 60, (AwaySpan(8 * 60, 18 * 60),)),) * 7)
AT_HOME = Person("Me", (DayHours(6 * 60, 23 * 60),) * 7)


def offers(sd: float, person: Person = OFFICE, methods: tuple[str, ...] = ("bench-day", "cold")) -> Answer:
    """An evening whose dough is mixed in the morning, in a kitchen known to so much (sd of ln rate)."""
    spread = math.exp(1.2815515655 * sd)
    wanted = wish(
        "2026-11-25T20:30", "2026-11-25T06:00", Kitchen(zone="Europe/Lisbon", people=(person,)),
        methods=tuple(method(key) for key in methods), dough=a_dough(band_low=1 / spread, band_high=spread),
    )  # fmt: skip
    answer = propose(wanted, False)
    for offer in answer.offers:
        keeps_the_rules(wanted, offer)
    return answer


def unseen(offer: Offer) -> int:
    """Points of its hours out of sight."""
    return sum(cost.points for cost in offer.costs if cost.key == "unseen")


def test_a_new_household_away_all_day_is_offered_the_fridge_first_and_told_why() -> None:
    first, second = offers(0.37).offers
    assert (first.method, second.method) == ("cold", "bench-day")
    assert [one.kind for one in first.asides][:1] == ["unknown-kitchen"]
    assert "unknown-kitchen" not in [one.kind for one in second.asides]
    assert "unseen" in [one.key for one in second.worse]


def test_once_the_kitchen_is_known_the_bench_comes_first_again_and_nothing_is_said() -> None:
    answer = offers(0.24)
    assert answer.offers[0].method == "bench-day"
    assert all(unseen(one) == 0 for one in answer.offers)
    assert "unknown-kitchen" not in [one.kind for one in answer.offers[0].asides]


def test_without_a_fridge_way_the_bench_is_offered_as_before() -> None:
    (only,) = offers(0.37, methods=("bench-day",)).offers
    (known,) = offers(0.2, methods=("bench-day",)).offers
    assert [step.start for step in only.steps] == [step.start for step in known.steps]
    assert "unknown-kitchen" not in [one.kind for one in only.asides]


def test_who_is_at_home_all_day_sees_the_dough_and_nothing_is_counted() -> None:
    bench = next(one for one in offers(0.37, AT_HOME).offers if one.method == "bench-day")
    assert unseen(bench) == 0


def test_a_dough_in_the_fridge_is_not_counted() -> None:
    assert unseen(next(one for one in offers(0.37).offers if one.method == "cold")) == 0


def test_worked_by_hand_ten_hours_of_office_cost_a_hundred_and_sixty_points() -> None:
    """Away 8:00 to 18:00: 120 slots, 16 points an hour while nothing is known; half of it at an sd of 0.31."""
    bench = next(one for one in offers(0.37).offers if one.method == "bench-day")
    assert unseen(bench) == 160 == unseen_points(120, 1000)
    assert unseen_points(120, unknown(0.31)) == 80


@pytest.mark.parametrize(("sd", "share"), [(0.0, 0), (0.27, 0), (0.29, 250), (0.35, 1000), (0.6, 1000)])
def test_how_little_is_known_goes_in_proportion_from_a_learned_kitchen_to_none(sd: float, share: int) -> None:
    assert unknown(sd) == share


def test_slots_in_which_nobody_is_awake_at_home_are_counted() -> None:
    """Two nights and an office day: asleep until 6:00, away 8:00 to 18:00, asleep from 23:00."""
    wanted = wish("2026-11-25T20:30", "2026-11-25T04:00", Kitchen(zone="Europe/Lisbon", people=(OFFICE,)))
    slots = Slots(wanted.day, wanted.now)
    four = instant_of("2026-11-25T04:00", "Europe/Lisbon") // 300
    assert slots.empty(four, four + 24) == 24
    assert slots.empty(four, four + 48) == 24
    assert slots.empty(four, four + 24 * 12) == 24 + 120 + 60
