"""Several loads of one oven: how soon they follow each other, worked by hand from the minutes of the bake."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.planner.test_propose import ALWAYS_HOME, at, wish
from tests.core.planner.test_propose_brute_force import BENCH, NOW, a_day, compared
from tests.oracles.offer_rules import keeps_the_rules
from webapp.core.kitchen import Kitchen
from webapp.core.planner.candidates import best_offer, lay_out, searches
from webapp.core.planner.offer import BakeAction, Baking
from webapp.core.planner.propose import fits, propose

# A tray that bakes for a quarter of an hour: turned down, turned round, looked at, lifted in two minutes.
QUARTER = (BakeAction(1, "turn-down"), BakeAction(7, "turn"), BakeAction(13, "check"), BakeAction(15, "lift", 2))
THIN = (BakeAction(1, "turn-down"), BakeAction(10, "check"), BakeAction(12, "lift", 2))
SLOW_TURN = (BakeAction(1, "turn-down"), BakeAction(3, "turn", 3), BakeAction(15, "lift", 2))
LONG = (BakeAction(1, "turn-down"), BakeAction(15, "check"), BakeAction(20, "lift", 2))


@pytest.mark.parametrize(
    ("actions", "top_min", "cycle_min", "topped"),
    [
        # 17 + 5 min. From minute 3 on ten minutes of topping, one of turning and one of looking end as the tray comes
        # out at 15; it stands topped for seven minutes. From 4 on they would meet the lifting.
        (QUARTER, 10, 22, (3, 15)),
        # 14 + 5 min would be 19; but ten minutes and one of looking do not fit between minutes 2 and 12: from 14 on.
        (THIN, 10, 24, (14, 24)),
        # 22 + 5 min; between turning down and looking there is room for ten minutes undisturbed.
        (LONG, 10, 27, (5, 15)),
        # A turning of three minutes: nobody begins in its midst, at 5 or 4; from 3 on ten minutes and three end at
        # 16, too late. Begun at 2 they end as the tray comes out.
        (SLOW_TURN, 10, 22, (2, 15)),
        # Twenty minutes of topping fit beside no bake of a quarter of an hour: from 17 on, after the lifting.
        (QUARTER, 20, 37, (17, 37)),
        # So do fourteen: with its one minute of turning down and two later ones it would take from 1 to 18.
        (QUARTER, 14, 31, (17, 31)),
    ],
)
def test_the_next_tray_is_topped_while_the_one_before_bakes_where_it_can_be(
    actions: tuple[BakeAction, ...], top_min: int, cycle_min: int, topped: tuple[int, int]
) -> None:
    wanted = wish("2026-11-28T19:30", baking=Baking(45, actions, trays=2), top_min=top_min)
    loads = lay_out(wanted).loads
    assert loads.cycle_min == cycle_min
    assert tuple(s // 60 + cycle_min for s in loads.later_top) == topped


def test_three_trays_follow_each_other_every_twenty_two_minutes_with_the_cook_in_one_place() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    wanted = wish("2026-11-28T19:30", "2026-11-28T08:00", kitchen=kitchen, baking=Baking(45, QUARTER, trays=3))
    offers = propose(wanted).offers
    assert offers
    for offer in offers:
        keeps_the_rules(wanted, offer)
        assert at(offer, "load-3") - at(offer, "load-2") == at(offer, "load-2") - at(offer, "load-1") == 22 * 60
        pressed = [at(offer, f"press-{load}") for load in (1, 2, 3)]
        assert [(later - pressed[0]) // 60 for later in pressed] == [0, 20, 40], "on the grid before 22 and 44"
        assert at(offer, "top-2") < at(offer, "lift-1")


def test_a_party_that_fits_only_when_every_load_meets_the_oven_as_the_first_does_is_found_and_keeps_the_rules() -> None:
    """Heavy steel, four trays. By hand 15 min of baking and 24 until it is hot again make 39: pressing is 35, 75 and
    115 min behind, a few minutes off from what the oven asks for each time; every 40 min nothing is off."""
    heavy = (BakeAction(1, "turn-down"), BakeAction(6, "turn"), BakeAction(11, "check"), BakeAction(13, "lift", 2))
    baking = Baking(48, heavy, trays=4, recover_min=24)
    everything = wish("2026-11-26T21:40", "2026-11-25T08:00", baking=baking)
    wanted = replace(everything, methods=tuple(one for one in everything.methods if one.key == "bench-day"))
    laid_out = lay_out(wanted)
    (quickest,) = searches(laid_out)
    assert laid_out.loads.cycle_min == 39
    assert not quickest.fits()
    assert fits(wanted)
    for offer in (*propose(wanted).offers, best_offer(laid_out)):
        assert offer
        keeps_the_rules(wanted, offer)
        loads = [at(offer, f"load-{load}") for load in (1, 2, 3, 4)]
        assert [later - loads[0] for later in loads] == [0, 40 * 60, 80 * 60, 120 * 60]


@pytest.mark.parametrize(("trays", "recover_min", "on_the_grid"), [(4, 24, 40), (4, 25, None), (1, 24, None)])
def test_loads_are_moved_onto_the_grid_only_where_they_are_off_it(
    trays: int, recover_min: int, on_the_grid: int | None
) -> None:
    """By hand: 15 min of baking and 24 until it is hot again make 39, up to the next five 40; with 25 it is 40."""
    actions = (BakeAction(1, "turn-down"), BakeAction(6, "turn"), BakeAction(11, "check"), BakeAction(13, "lift", 2))
    baking = Baking(48, actions, trays=trays, recover_min=recover_min)
    moved = lay_out(wish("2026-11-26T21:40", "2026-11-25T08:00", baking=baking)).on_the_grid
    assert (moved and moved.loads.cycle_min) == on_the_grid


def test_no_day_with_topping_beside_the_bake_is_better_than_the_one_found() -> None:
    baking = replace(Baking(30, QUARTER, trays=2), preheat_min=30)
    wanted = replace(wish(), day=a_day(6.5, [(30, 60)], False, 24.0), now=NOW, supper=NOW + 23400, sides=())
    compared(replace(wanted, baking=baking), BENCH, 6.5)


@pytest.mark.many_cases
@pytest.mark.parametrize("trays", [1, 2, 3])
def test_eaten_as_they_come_supper_is_when_the_first_is_ready_and_the_others_follow_at_the_pace_of_the_oven(
    trays: int,
) -> None:
    wanted = wish("2026-11-28T19:30", "2026-11-28T08:00", baking=Baking(45, QUARTER, trays=trays))
    together, one_by_one = (propose(replace(wanted, as_they_come=each)).offers for each in (False, True))
    for offer in one_by_one:
        keeps_the_rules(replace(wanted, as_they_come=True), offer)
        first = at(offer, "load-1" if trays > 1 else "load")
        # By hand: 17 min from loading until it is out, 5 to 15 min until it is cut.
        assert 22 * 60 <= wanted.supper - first <= 32 * 60 + 600
    if trays > 1:
        last = at(together[0], f"load-{trays}")
        assert 22 * 60 <= wanted.supper - last <= 32 * 60 + 600


def test_no_day_of_trays_that_are_eaten_as_they_come_is_better_than_the_one_found() -> None:
    baking = Baking(30, QUARTER, trays=2)
    wanted = replace(wish(), day=a_day(6.5, [(30, 60)], False, 24.0), now=NOW, supper=NOW + 22500, sides=())
    compared(replace(wanted, baking=baking, as_they_come=True), BENCH, 6.5)
