"""A dough with milk or egg: all its time out of the fridge together, 2 h, or 1 h above 32 C (USDA FSIS; of dough by
common practice). Every span is worked by hand beside its check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tests.samples import at, sample_plan
from webapp.core.now.fridge_clock import DOUGH, Perishing, perishing, perishing_now
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.steps import PlanStep
from webapp.core.safety.cautions import is_for_the_bin, out_too_long, perishable_cautions
from webapp.words.cautions import out_now, out_words

M = 60


def _step(kind: str, start: int, end: int, place: str, vessel: str = "bowl") -> PlanStep:
    base = next(one for one in sample_plan().steps if one.kind == "mix")
    return replace(base, step_id=kind, kind=kind, start=start, end=end, place=place, vessel=vessel,
                   wait_least_s=0, wait_most_s=0)  # fmt: skip


def _milk(*more: PlanStep) -> Plan:
    """Mixed at 7:00, in the fridge at 7:20, out at 18:00, pressed at 18:15, in the oven at 19:00: 20 + 60 min out."""
    base = sample_plan()
    steps = (
        replace(_step("preheat", at(6), at(6, 1), "bench"), chain=False),  # a side step says nothing of the dough
        _step("mix", at(7), at(7, 15), "bench"),
        _step("chill", at(7, 18), at(7, 20), "fridge"),
        _step("temper", at(18), at(18, 1), "bench"),
        _step("press", at(18, 15), at(18, 25), "bench", "tray"),
        _step("load", at(19), at(19, 1), "oven", "tray"),
        *more,
    )
    rise = replace(base.rise, room=(RoomSpan(at(0), 21.0),), mixed_at=at(7, 15))
    return replace(base, steps=steps, rise=rise, toppings=(), dough_perishes=True, supper=at(19, 30))


def _event(kind: str, when: int, **data: object) -> Event:
    return Event(f"{when:032x}", "b", when, when, "phone-1", kind, data)


def _now(plan: Plan, events: Sequence[Event], now: int) -> Perishing:
    state = fold(plan, list(events))
    (one,) = perishing_now(plan, retime(plan, state, now), state, now)
    return one


def test_mixing_and_the_last_hour_count_together_and_the_fridge_does_not() -> None:
    (one,) = perishing(_milk())
    assert (one.key, one.out.seconds, one.out.limit_s, one.out.over) == (DOUGH, 80 * M, 120 * M, False)
    (said,) = perishable_cautions(_milk())
    assert said.step_id == "temper"  # where it leaves the fridge for the last time
    assert out_words(said).startswith("The dough is out of the fridge for 1 hour 20 minutes in all before the oven")


def test_a_dough_with_nothing_that_perishes_is_not_counted() -> None:
    assert perishing(replace(_milk(), dough_perishes=False)) == ()


def test_an_hour_is_all_when_the_kitchen_gets_above_32_degrees_while_it_is_out() -> None:
    plan = _milk()
    for hot_from, over in ((at(18, 30), True), (at(6), True), (at(19, 30), False)):
        rooms = (RoomSpan(at(0), 21.0), RoomSpan(hot_from, 33.0))
        (one,) = perishing(plan, room=rooms)
        assert one.out.over is over, hot_from
    cool_again = (RoomSpan(at(0), 21.0), RoomSpan(at(10), 35.0), RoomSpan(at(16), 21.0))
    assert not perishing(plan, room=cool_again)[0].out.over  # it was in the fridge through the heat


def test_taken_out_in_between_counts_and_put_back_stops_the_clock() -> None:
    done = [_event("done", at(7, 15), step_id="mix"), _event("done", at(7, 20), step_id="chill")]
    before = _event("moved", at(6), place="fridge")  # the bowl of the day before
    moves = [before, _event("moved", at(12), place="bench"), _event("moved", at(12, 30), place="fridge")]
    one = _now(_milk(), [*done, *moves], at(13))
    assert one.out.seconds == (20 + 30 + 60) * M
    assert one.had_s == (20 + 30) * M
    assert not one.out.over


def test_a_dough_forgotten_on_the_bench_is_said_to_be_too_long_out_and_then_not_to_be_eaten() -> None:
    plan = _milk()
    done = [_event("done", at(7, 15), step_id="mix")]
    soon = _now(plan, done, at(8, 30))  # 90 min so far, and 60 more to come in the evening
    assert soon.out.over
    assert soon.had_s == 90 * M
    state = fold(plan, done)
    (said,) = out_too_long(plan, retime(plan, state, at(8, 30)), state, at(8, 30))
    assert said.out == "over"
    (told, _), *none = out_now(plan, retime(plan, state, at(8, 30)), state, at(8, 30))
    assert not none
    assert "would be out of the fridge" in told
    late = at(9, 30)  # 150 min
    ((gone, _),) = out_now(plan, retime(plan, state, late), state, late)
    assert gone.endswith("2 hours. Throw it away.")
    assert "2 hours 30 minutes" in gone


def test_a_tray_that_proofs_in_the_fridge_by_a_way_that_was_taken_is_not_out() -> None:
    mark = next(one.mark for one in sample_plan().steps if one.kind == "press")
    plan = _milk()
    plan = replace(plan, steps=tuple(replace(one, mark=mark if one.kind == "press" else None) for one in plan.steps))
    done = [_event("done", at(7, 15), step_id="mix"), _event("done", at(7, 20), step_id="chill")]
    way = _event("way", at(17), way="cold-tray", press=at(18, 15), load=at(19), supper=at(19, 30), moves=[],
                 proof="fridge", asked=True, result="best", given_up=0.0)  # fmt: skip
    one = _now(plan, [*done, way], at(17, 1))
    # 20 min in the morning; 18:00 out, 18:25 pressed and back into the fridge until it is loaded
    assert one.out.seconds == (20 + 25) * M


def test_dough_and_toppings_are_told_apart_though_they_are_out_equally_long() -> None:
    cheese = replace(
        sample_plan().toppings[-1], key="cheese", name="cheese", perishable=True, when="before", fridge_out_s=4800
    )
    plan = replace(_milk(), toppings=(cheese,))
    said = perishable_cautions(plan)
    assert sorted(one.key for one in said) == ["out-", "out-cheese"]
    assert {one.out_s for one in said} == {80 * M}


def test_baking_does_not_make_it_good_again() -> None:
    """Into the fridge at 11:00 only: 4 h of the morning and an hour of the evening, 300 min of at most 120 (USDA FSIS:
    over 2 h at room temperature is thrown away). What it had is said while it bakes and when it is cut, too."""
    plan = _milk(replace(_step("lift", at(19, 20), at(19, 21), "none", "tray"), chain=False))
    done = [_event("done", at(7, 15), step_id="mix"), _event("done", at(11), step_id="chill"),
            _event("done", at(18), step_id="temper"), _event("done", at(18, 25), step_id="press")]  # fmt: skip
    loaded = [*done, _event("done", at(19), step_id="load")]
    for events, now, spent in (
        (done, at(18, 30), "4 hours 31 minutes"),  # taken out in the minute before 18:00
        (loaded, at(19, 5), "5 hours"),
        ([*loaded, _event("done", at(19, 21), step_id="lift")], at(19, 30), "5 hours"),
    ):
        state = fold(plan, events)
        here = retime(plan, state, now)
        assert is_for_the_bin(plan, here, state, now)
        ((said, _),) = out_now(plan, here, state, now)
        assert said == (
            f"The dough has been out of the fridge for {spent} in all; the limit is 2 hours. Throw it away."
        )
    early = fold(plan, [_event("done", at(7, 15), step_id="mix"), _event("done", at(7, 20), step_id="chill")])
    assert not is_for_the_bin(plan, retime(plan, early, at(12)), early, at(12))
