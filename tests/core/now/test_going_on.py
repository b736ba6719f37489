"""What the person agreed to is not asked about or warned of again; going on is a choice, and so is a missed fold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.now.saying import clock, constant_room, done, from_here, hour, look, said, steady_plan, step
from tests.samples import sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.taken import event_data
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import RiseMark
from webapp.core.plan.way import Way

PLAN = constant_room(sample_plan(), 21.0)
MIXED = done("mix", 7.5)
SLOW = said("glass", 16.5, times=1.4)


def taken(way: Way, h: float, asked: bool = True) -> Event:
    """The event that takes it at that hour."""
    return said("way", h, **event_data(way, asked))


def going_on(found: tuple[Way, ...]) -> Way:
    """The way that changes nothing."""
    return next(way for way in found if way.kind == "as-planned")


def test_a_slow_glass_is_asked_about_once_and_going_on_settles_it() -> None:
    found = from_here(PLAN, 16.6, MIXED, SLOW)
    plain = going_on(found)
    assert found[0].kind != "as-planned"
    assert plain.result == "young"
    assert plain.given_up == pytest.approx(plain.loss - found[0].loss)
    events = [MIXED, SLOW, taken(plain, 16.6)]
    for again in ([], [said("glass", 16.75, times=1.4)], [said("looked", 16.7, seen="hardly")]):
        assert from_here(PLAN, 16.8, *events, *again)[0].kind == "as-planned"
    here = look(PLAN, 16.8, *events)
    assert (here.way, here.eat_at) == ("as-planned", PLAN.supper)
    assert [one.start for one in here.steps] == [one.start for one in look(PLAN, 16.8, MIXED, SLOW).steps]


def test_what_makes_the_dough_much_worse_than_was_agreed_is_asked_about_anew() -> None:
    plain = going_on(from_here(PLAN, 14.6, MIXED))
    worse = from_here(PLAN, 16.6, MIXED, taken(plain, 14.6), said("glass", 16.5, times=1.3))
    assert worse[0].kind != "as-planned"


def test_who_goes_on_twice_gives_up_both() -> None:
    plain = going_on(from_here(PLAN, 16.6, MIXED, SLOW))
    again = going_on(from_here(PLAN, 16.7, MIXED, SLOW, taken(plain, 16.6)))
    assert again.given_up == pytest.approx(plain.given_up), "nothing is better now by more than was given up"
    first, then = from_here(PLAN, 16.6, MIXED, SLOW)[0], from_here(PLAN, 16.6, MIXED, SLOW, taken(plain, 16.6))
    same = next(way for way in then if way.kind == first.kind and way.supper == first.supper)
    assert same.loss - first.loss == pytest.approx(plain.given_up + 0.03), (
        "dearer by what was given up, and the row of the table"
    )


@pytest.mark.parametrize("asked", [True, False])
def test_a_young_dough_that_was_agreed_to_is_not_warned_of(asked: bool) -> None:
    """Ticked off by the person it is known; taken unasked it still has to be said."""
    before = look(PLAN, 16.6, MIXED, SLOW)
    assert (step(before, "press").flag, step(before, "load").flag) == ("young", "young")
    plain = going_on(from_here(PLAN, 16.6, MIXED, SLOW))
    then = look(PLAN, 16.7, MIXED, SLOW, taken(plain, 16.6, asked))
    expected = "" if asked else "young"
    assert (step(then, "press").flag, step(then, "load").flag) == (expected, expected)


def test_who_agreed_to_a_good_dough_is_told_when_it_will_be_young_after_all() -> None:
    plain = going_on(from_here(PLAN, 16.6, MIXED))
    assert plain.result == "best"
    events = [MIXED, taken(plain, 16.6), said("glass", 16.7, times=1.2)]
    assert step(look(PLAN, 16.75, *events), "load").flag == "young"


def test_a_dough_past_its_best_that_was_agreed_to_is_not_warned_of() -> None:
    weak = replace(PLAN, steps=tuple(replace(one, mark=sooner_past(one.mark)) for one in PLAN.steps))
    events = [MIXED, said("glass", 16.5, times=4.0)]
    plain = going_on(from_here(weak, 16.6, *events))
    assert plain.result in ("bit-past", "past")
    assert step(look(weak, 16.65, *events), "load").flag == "past"
    assert step(look(weak, 16.65, *events, taken(plain, 16.6)), "load").flag == ""


def sooner_past(mark: RiseMark | None) -> RiseMark | None:
    """Of a weak flour."""
    return replace(mark, past=1.15 * mark.best) if mark else None


def test_going_on_keeps_what_the_way_before_still_has_to_carry() -> None:
    """The bowl comes out of the fridge tomorrow: who then says "go on" has not forgotten it there."""
    out_at = hour(40)
    moves = [{"at": hour(16.6), "place": "fridge"}, {"at": out_at, "place": "bench"}]
    fridge = said("way", 16.6, way="fridge", press=hour(42), load=hour(43), supper=hour(43.5), moves=moves, asked=True)
    found = from_here(PLAN, 17, MIXED, fridge)
    plain = going_on(found)
    assert [(move.at, move.place) for move in plain.moves] == [(out_at, "bench")]
    after = fold(PLAN, [MIXED, fridge, taken(plain, 17)])
    assert [(move.at, move.place) for move in after.moves] == [(hour(16.6), "fridge"), (out_at, "bench")]


def test_a_way_of_a_phone_of_before_says_nothing_of_the_dough() -> None:
    old = said("way", 16.6, way="on-time", press=hour(16.75), load=hour(18.9), supper=PLAN.supper, moves=[], asked=True)
    way = fold(PLAN, [MIXED, old]).way
    assert way is not None
    assert (way.result, way.given_up) == ("", 0)
    assert step(look(PLAN, 16.7, MIXED, SLOW, old), "load").flag == "young"


def folded() -> Plan:
    """The sample plan with two folds, at 07:55 and 08:25, each 45 min after the step before at most."""
    mix, *others = steady_plan(0.15).steps
    folds = [
        replace(mix, step_id=f"fold-{n}", kind="fold", start=hour(at), end=hour(at) + 300, alarm_min=0, mark=None,
                wait_least_s=900, wait_most_s=2700)
        for n, at in ((1, 7 + 55 / 60), (2, 8 + 25 / 60))
    ]  # fmt: skip
    return replace(steady_plan(0.15), steps=(mix, *folds, *others))


def test_a_fold_that_was_missed_is_left_out_and_moves_no_supper() -> None:
    """Common practice: folds strengthen a dough that rises without them too. Mixed, gone out, home at a quarter to
    five: the dough is pressed out and eaten as planned."""
    plan, mixed = folded(), done("mix", 7.5)
    for now in (8.5, 9.5, 12, 16.75):
        here = look(plan, now, mixed)
        assert clock(step(here, "press").start) == "16:45"
        assert here.late_s == 0
    assert (here.current, step(here, "fold-1").status, step(here, "fold-2").status) == ("press", "passed", "passed")
    assert look(plan, 17, done("press", 17), mixed).current == "preheat"


def test_a_fold_waits_as_long_as_its_method_has_it_and_whoever_is_back_folds_once() -> None:
    plan, mixed = folded(), done("mix", 7.5)
    assert look(plan, 8 + 20 / 60, mixed).current == "fold-1"  # until 08:15, and under way for five minutes more
    back = look(plan, 8 + 40 / 60, mixed)
    assert (back.current, step(back, "fold-1").status) == ("fold-2", "passed")
    assert clock(step(back, "fold-2").start) == "08:40"
    once = look(plan, 9, mixed, done("fold-2", 8.75))
    assert (once.current, step(once, "fold-2").status) == ("press", "done")
    late = look(plan, 12, mixed, done("fold-1", 11))  # folded after all, and said so
    assert step(late, "fold-1").status == "done"


def test_a_fold_that_is_said_to_be_left_out_is_asked_for_no_more_and_what_comes_after_it_stays_where_it_was() -> None:
    """Common practice, as above. Who goes out at twenty to eight says so of both; done after all, it counts as done."""
    plan, mixed = folded(), done("mix", 7.5)
    first, both = said("left-out", 7.6, step_id="fold-1"), said("left-out", 7.6, step_id="fold-2")
    here = look(plan, 7.7, mixed, first)
    assert (here.current, clock(step(here, "fold-2").start)) == ("fold-2", "08:25")
    here = look(plan, 7.7, mixed, first, both)
    assert (here.current, clock(step(here, "press").start), here.late_s) == ("press", "16:45", 0)
    assert {step(here, one).status for one in ("fold-1", "fold-2")} == {"passed"}
    after_all = look(plan, 8, mixed, first, done("fold-1", 7.95))
    assert step(after_all, "fold-1").status == "done"
    back = said("undo", 7.65, event_id=first.event_id)
    assert look(plan, 7.7, mixed, first, back).current == "fold-1"


def test_nothing_but_a_fold_can_be_left_out() -> None:
    """A tray that is not pressed out is no supper, whatever a journal says."""
    here = look(folded(), 16.8, done("mix", 7.5), said("left-out", 16.8, step_id="press"))
    assert (here.current, step(here, "press").status) == ("press", "open")


def test_a_step_that_the_dough_needs_is_never_left_out() -> None:
    plan = folded()
    plan = replace(
        plan, steps=tuple(replace(one, kind="round-up") if one.step_id == "fold-1" else one for one in plan.steps)
    )
    here = look(plan, 12, done("mix", 7.5))
    assert (here.current, step(here, "fold-1").status) == ("fold-1", "open")
