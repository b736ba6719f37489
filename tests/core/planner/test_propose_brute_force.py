"""The search against trying every day, on cases small enough for that, and its offers against the plain model."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.oracles.plain_day import Model, Whole, cheapest_day
from tests.profiles import examples, thorough
from tests.wishes import CHEESE, a_bake, a_dough, shipped_methods, wish
from webapp.core.day.free_time import Day, PersonDay
from webapp.core.day.span import Span
from webapp.core.formula.method import Method, MethodStep
from webapp.core.plan.rise import RoomSpan
from webapp.core.planner.candidates import lay_out
from webapp.core.planner.offer import SideTask, Wanted
from webapp.core.planner.search import Found
from webapp.core.planner.timetable import Timetable

NOW = 1795564800
SOON = replace(CHEESE, first_min=30, best_min=20, last_min=15)
SAUCE_SOON = SideTask("sauce", 10, 45, 35, 25)


def short(*steps: MethodStep) -> Method:
    return Method("own", "Own", steps)


BENCH = short(
    MethodStep("mix", 15), MethodStep("fold", 5, 15, 20, 25, optional=True),
    MethodStep("press", 10, 90, 95, 105), MethodStep("load", 5, 20, 25, 35),
)  # fmt: skip
SLOW_TRAYS = short(
    MethodStep("mix", 15), MethodStep("press", 10, 200, 205, 215), MethodStep("load", 5, 60, 70, 95),
)  # fmt: skip
COLD = short(
    MethodStep("mix", 15), MethodStep("chill", 5, 15, 20, 25), MethodStep("temper", 5, 480, 490, 500),
    MethodStep("press", 10, 55, 60, 70), MethodStep("load", 5, 90, 100, 105),
)  # fmt: skip
STAGES = short(
    MethodStep("preferment", 10), MethodStep("mix", 15, 300, 310, 320), MethodStep("fold", 5, 15, 20, 20),
    MethodStep("press", 10, 90, 100, 110), MethodStep("load", 5, 25, 30, 45),
)  # fmt: skip
QUICK_STAGE = short(  # the preferment is not the long wait
    MethodStep("preferment", 10), MethodStep("mix", 15, 300, 310, 320), MethodStep("press", 10, 320, 330, 340),
    MethodStep("load", 5, 50, 60, 80),
)  # fmt: skip
RESTED = short(  # a rest that must be
    MethodStep("mix", 15), MethodStep("rest", 5, 5, 10, 15), MethodStep("chill", 5, 25, 30, 40),
    MethodStep("temper", 5, 480, 490, 495), MethodStep("press", 10, 55, 60, 65), MethodStep("load", 5, 90, 100, 105),
)  # fmt: skip
LATE_COLD = short(  # into the fridge once more, in the tray
    MethodStep("mix", 10), MethodStep("press", 10, 300, 310, 320), MethodStep("chill", 5, 20, 25, 30),
    MethodStep("temper", 5, 30, 35, 40), MethodStep("load", 5, 50, 55, 60),
)  # fmt: skip
WARM = short(
    MethodStep("mix", 15), MethodStep("warm", 5, 10, 15, 20), MethodStep("round-up", 10, 10, 15, 20),
    MethodStep("press", 10, 60, 65, 75), MethodStep("load", 5, 20, 25, 35),
)  # fmt: skip


def a_day(hours: float, gaps: list[tuple[int, int]], second: bool, room_c: float) -> Day:
    """One person at home but for `gaps` (from minute, minutes), perhaps a second one away in the middle."""
    end = NOW + int(hours * 3600)
    free, away, at = [], [], NOW
    for start_min, minutes in sorted(gaps):
        gone = Span(NOW + start_min * 60, NOW + (start_min + minutes) * 60)
        if gone.start > at:
            free.append(Span(at, gone.start))
            away.append(gone)
            at = gone.end
    free.append(Span(at, end + 86400))
    people = [PersonDay("Ann", tuple(free), tuple(away))]
    if second:
        middle = NOW + int(hours * 1800)
        people.append(PersonDay("Bo", (Span(NOW, middle - 3600), Span(middle, end)), (Span(middle - 3600, middle),)))
    room = (RoomSpan(NOW, room_c), RoomSpan(NOW + 7000, room_c + 2.5))
    return Day("UTC", NOW, end + 86400, tuple(people), room)


def compared(wanted: Wanted, method: Method, hours: float) -> None:
    laid_out = lay_out(wanted)
    search = laid_out.search(method)
    found = search.best()
    model = Model(wanted, method, laid_out.loads.cycle_min, laid_out.loads.later_top)
    slots = range(-(-NOW // 300), (NOW + int(hours * 3600)) // 300)
    tried = cheapest_day(model, slots)
    assert (found and found.points) == (tried and tried[0])
    if found:
        told(model, Timetable(search, found), found)


def told(model: Model, timing: Timetable, found: Found) -> None:
    """The offer's own steps, read back as a day, cost what the search says."""
    offer = timing.offer()
    at = {s.step_id: s.start // 300 for s in offer.steps}
    passing = tuple(
        timing.chain.kept(n, found.starts[n] + timing.chain.moves[n].slots, found.starts[n + 1]).starts
        for n in range(timing.chain.load)
    )
    sides = tuple(at[s.kind] for s in model.wanted.sides)
    day = Whole(found.starts, passing, at.get("top", at.get("top-1", 0)), sides)
    assert model.score(day) == offer.score == sum(c.points for c in offer.costs)


gap = st.tuples(st.integers(0, 40).map(lambda n: n * 10), st.integers(1, 12).map(lambda n: n * 10))


@pytest.mark.many_cases
@examples(6)
@given(st.sampled_from([BENCH, WARM]), st.lists(gap, max_size=3), st.booleans(), st.floats(16, 27), st.booleans())
def test_no_short_day_is_better_than_the_one_found(
    method: Method, gaps: list[tuple[int, int]], second: bool, room_c: float, sides: bool
) -> None:
    day = a_day(4.5, gaps, second, room_c)
    wanted = wish(now="2026-11-25T00:00", supper="2026-11-25T04:30")
    wanted = replace(wanted, day=day, now=NOW, supper=NOW + 16200, baking=replace(a_bake(), preheat_min=20),
                     sides=(SOON,) if sides else ())  # fmt: skip
    compared(wanted, method, 4.5)


def every_pair(ones: list[Any], others: list[Any]) -> list[tuple[Any, Any]]:
    """All pairs with `--thorough`; else each of `ones` with another of `others`."""
    return [
        (one, other)
        for n, one in enumerate(ones)
        for m, other in enumerate(others)
        if thorough() or m == (n + 3) % len(others)  # so that the rested dough meets the day of many holes
    ]


LONG_WAITS = [(COLD, 14.0), (STAGES, 9.5), (LATE_COLD, 9.5), (QUICK_STAGE, 14.0), (RESTED, 13.0)]
HOLES = [[], [(0, 90)], [(60, 300)], [(15, 10), (40, 10), (70, 5), (90, 10), (500, 40)]]


@pytest.mark.many_cases
@pytest.mark.parametrize(("waiting", "gaps"), every_pair(LONG_WAITS, HOLES))
def test_no_day_with_a_long_wait_is_better_than_the_one_found(
    waiting: tuple[Method, float], gaps: list[tuple[int, int]]
) -> None:
    method, hours = waiting
    day = a_day(hours, gaps, False, 21.0)
    wanted = replace(wish(), day=day, now=NOW, supper=NOW + int(hours * 3600), sides=())
    compared(wanted, method, hours)


def test_a_fold_that_must_be_done_while_nobody_is_there_is_no_way() -> None:
    folded = short(
        MethodStep("mix", 15), MethodStep("fold", 5, 15, 20, 25), MethodStep("chill", 5, 25, 30, 40), *COLD.steps[2:]
    )  # fmt: skip
    wanted = replace(wish(), day=a_day(12.0, [(60, 30)], False, 21.0), now=NOW, supper=NOW + 12 * 3600, sides=())
    compared(wanted, folded, 12.0)


@pytest.mark.many_cases
@pytest.mark.parametrize(("trays", "gaps"), every_pair([(2, 1), (4, 2), (3, 1)], [[], [(30, 60)], [(10, 200)]]))
def test_no_day_with_several_loads_is_better_than_the_one_found(
    trays: tuple[int, int], gaps: list[tuple[int, int]]
) -> None:
    count, at_once = trays
    day = a_day(6.5, gaps, False, 24.0)
    baking = replace(a_bake(count, at_once), preheat_min=30)
    wanted = replace(wish(), day=day, now=NOW, supper=NOW + 23400, sides=(SAUCE_SOON,), baking=baking)
    compared(wanted, SLOW_TRAYS if count == 3 else BENCH, 6.5)


def test_a_kitchen_with_little_room_to_dose_yeast_is_searched_exactly_too() -> None:
    day = a_day(4.5, [], False, 21.0)
    for least, most in ((1.2, 1.9), (1.5, 1.6), (0.02, 0.6)):
        dough = a_dough(least_percent=least, most_percent=most)
        wanted = replace(wish(), day=day, now=NOW, supper=NOW + 16200, sides=(), dough=dough)
        compared(wanted, BENCH, 4.5)


def test_a_preferment_that_no_yeast_makes_ripe_in_time_is_no_way() -> None:
    day = a_day(14.0, [], False, 24.0)
    for least, most in ((0.02, 0.05), (0.6, 2.0)):
        dough = a_dough(least_percent=least, most_percent=most)
        for method, hours in ((STAGES, 9.5), (QUICK_STAGE, 14.0)):
            wanted = replace(wish(), day=day, now=NOW, supper=NOW + int(hours * 3600), sides=(), dough=dough)
            compared(wanted, method, hours)


@pytest.mark.parametrize("past", [1.02, 1.1, 1.5])
def test_later_trays_of_a_weak_flour_are_not_pressed_past_their_best(past: float) -> None:
    dough = a_dough()
    dough = replace(dough, press=replace(dough.press, past=dough.press.best * past))
    day = a_day(6.5, [], False, 24.0)
    wanted = replace(wish(), day=day, now=NOW, supper=NOW + 23400, sides=(), baking=a_bake(2, 1), dough=dough)
    compared(wanted, SLOW_TRAYS, 6.5)


@pytest.mark.many_cases
def test_two_stretches_of_an_evening_with_a_gap_between_them_are_both_searched() -> None:
    day = a_day(6.5, [(260, 70)], False, 24.0)
    for earliest in (7200, 9000):
        supper = NOW + 23400
        wanted = replace(wish(), day=day, now=NOW, supper=supper, supper_from=supper - earliest, sides=(),
                         baking=replace(a_bake(), preheat_min=10))  # fmt: skip
        compared(wanted, BENCH, 6.5)


def test_every_offer_of_an_ordinary_week_costs_what_its_steps_cost() -> None:
    for supper, now in (("2026-11-25T20:30", "2026-11-23T06:00"), ("2026-11-28T19:30", "2026-11-25T18:00")):
        for baking in (a_bake(), a_bake(4, 2)):
            wanted = wish(supper, now, baking=baking)
            laid_out = lay_out(wanted)
            for method in shipped_methods():
                search = laid_out.search(method)
                found = search.best()
                if found:
                    model = Model(wanted, method, laid_out.loads.cycle_min, laid_out.loads.later_top)
                    told(model, Timetable(search, found), found)


@pytest.mark.many_cases
def test_a_wait_through_the_night_is_searched_to_the_end() -> None:
    # the grid begins at midnight UTC: left alone, this dough is best mixed after 03:00
    steps = (MethodStep("mix", 15), MethodStep("press", 10, 180, 200, 330), MethodStep("load", 5, 60, 65, 70))
    day, supper = a_day(9, [], False, 24.0), NOW + 9 * 3600
    wanted = replace(wish(), day=day, now=NOW, supper=supper, sides=(), baking=replace(a_bake(), preheat_min=10))
    mixed = []
    for night in (True, False):
        method = Method("own", "Own", steps, through_night=night)
        compared(wanted, method, 9)
        found = lay_out(wanted).search(method).best()
        mixed.append(found.starts[0] * 300 + 900 if found else 0)
    assert 0 < mixed[0] <= NOW + 3 * 3600 < mixed[1]
