"""Re-timing: planned times are kept while they can be kept; what pushes a step, and by how much, counted by hand.

Most tests use `steady_plan(0.15)`: mixed at 07:30, progress grows by 0.15 an hour. The sample plan presses at 16:45
(early at 14:18, past at 22:42), loads at 18:55 with the oven lit 45 min before, and eats at 19:30.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.now.saying import (
    clock,
    constant_room,
    done,
    hour,
    look,
    said,
    steady_plan,
    step,
)
from tests.made_up import made_up
from tests.profiles import examples
from tests.samples import sample_plan
from webapp.core.kinds import BAKE_KINDS
from webapp.core.now.journal import fold
from webapp.core.now.marked import out_by
from webapp.core.now.retime import retime
from webapp.core.now.walk import HORIZON_S
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, timed_steps
from webapp.core.plan.rise import GlassMark, RateTable
from webapp.core.plan.steps import PlanStep, RiseMark

STEADY = steady_plan(0.15)


def times(retimed: Retimed) -> dict[str, str]:
    """Start of every step as a clock shows it."""
    return {one.step_id: clock(one.start) for one in retimed.steps}


PLANNED = {"mix": "07:15", "press": "16:45", "preheat": "18:10", "top": "18:45", "load": "18:55", "turn-down": "18:56",
           "check": "19:10", "lift": "19:15", "serve": "19:30"}  # fmt: skip


def with_step(plan: Plan, step_id: str, **changes: object) -> Plan:
    """The plan with one step changed."""
    return replace(
        plan,
        steps=tuple(replace(s, **changes) if s.step_id == step_id else s for s in plan.steps),  # type: ignore[arg-type]
    )


def test_with_nothing_said_every_time_is_the_planned_one() -> None:
    here = look(STEADY, 7)
    assert times(here) == PLANNED
    assert (here.current, here.next, here.late_s, here.place) == ("mix", "press", 0, "")
    assert {one.flag for one in here.steps} == {""}


@pytest.mark.parametrize(
    ("ready", "shown"), [("19:25", "19:25"), ("19:26", "19:30"), ("19:27", "19:30"), ("19:30", "19:30")]
)
def test_what_is_ready_minutes_before_supper_is_eaten_at_supper_and_told_with_one_time(ready: str, shown: str) -> None:
    """Bread that is out at 19:27 for a supper of 19:30 was told as 19:30, 19:25 (to the five minutes) and 19:27."""
    start = hour(19) + int(ready[3:]) * 60
    here = look(with_step(STEADY, "serve", start=start, end=start), 7)
    assert (clock(step(here, "serve").start), clock(step(here, "serve").end)) == (shown, shown)
    assert (clock(here.ready_at), clock(here.eat_at), step(here, "serve").moved_s) == (ready, "19:30", 0)


def test_what_is_late_is_eaten_on_the_full_five_minutes_that_are_told_everywhere() -> None:
    """Pressed at 18:32 at the earliest it is ready half an hour and two minutes late, as worked out below."""
    here = look(STEADY, 18 + 32 / 60, done("mix", 7.5))
    assert (clock(here.ready_at), clock(here.eat_at), clock(step(here, "serve").start)) == ("20:02", "20:05", "20:05")
    served = look(STEADY, 20, *(done(name, 19.9) for name in PLANNED))
    assert clock(step(served, "serve").start) == "19:54", "what was done was done then"


OUT = tuple(done(name, 19.25) for name in PLANNED if name != "serve")


def test_what_is_out_of_the_oven_is_eaten_four_hours_later_though_nobody_says_so() -> None:
    """Out at 19:15 for 19:30: until 23:30 somebody may still say it; the next evening nothing of it is left to do."""
    waiting = look(STEADY, 23.4, *OUT)
    assert (waiting.current, step(waiting, "serve").status) == ("serve", "open")
    for at in (23.5, 24 + 15.3):
        eaten = look(STEADY, at, *OUT)
        assert (eaten.current, step(eaten, "serve").status) == ("", "passed")
        assert (clock(step(eaten, "serve").start), clock(eaten.eat_at), eaten.late_s) == ("19:30", "19:30", 0)


def test_what_nobody_took_out_of_the_oven_is_not_taken_as_eaten_nor_is_a_supper_that_was_put_off() -> None:
    not_out = tuple(done(name, 19.0) for name in PLANNED if name not in ("lift", "serve"))
    assert step(look(STEADY, 23.6, *not_out), "serve").status == "open"
    put_off = look(STEADY, 23.6, *OUT, said("later", 19.3, until=hour(24)))
    assert (step(put_off, "serve").status, clock(step(put_off, "serve").start)) == ("open", "24:00")
    alone = replace(STEADY, steps=(STEADY.steps[-1],))
    assert step(look(alone, 24), "serve").status == "open", "with nothing before it nothing is known"


def test_a_step_done_in_time_moves_nothing() -> None:
    here = look(STEADY, 9, done("mix", 7.5))
    assert times(here) == PLANNED
    assert (here.current, here.next, here.place) == ("press", "preheat", "bench")


def test_mixing_half_an_hour_late_is_swallowed_by_the_slack() -> None:
    here = look(STEADY, 9, done("mix", 8.0))
    assert step(here, "press").moved_s == 0
    assert step(here, "press").progress == pytest.approx(8.75 * 0.15)
    assert here.late_s == 0


def test_no_step_waits_for_a_young_dough_and_supper_stays() -> None:
    """Mixed at 12:00 the dough is at 0.71 at 16:45, early (1.02) only at 18:48."""
    here = look(STEADY, 12.5, done("mix", 12.0))
    press = step(here, "press")
    assert (press.flag, clock(press.start)) == ("young", "16:45")
    assert press.early_at == pytest.approx(hour(18.8), abs=1)
    assert (here.late_s, here.eat_at) == (0, STEADY.supper)


def test_an_overdue_step_starts_now_and_pushes_the_rest_by_the_least_wait() -> None:
    here = look(STEADY, 18.5, done("mix", 7.5))
    got = times(here)
    assert (got["press"], got["top"]) == ("18:30", "19:25")
    assert (got["preheat"], got["load"]) == ("18:48", "19:33"), "the oven follows the load"
    assert clock(here.ready_at) == "20:00"  # the bake takes its 19 minutes from 19:34, lifting 2, serving 5 after it


def test_a_dough_mixed_a_night_early_is_not_baked_until_supper() -> None:
    """Mixed at 15:30 the day before: what follows the loading follows it, and nothing says that it is on time."""
    here = look(STEADY, -8.5, done("mix", -8.5))
    load, dial, lift = (step(here, name).start for name in ("load", "turn-down", "lift"))
    planned = {one.step_id: one.start for one in STEADY.steps}
    assert (dial - load, lift - load) == (
        planned["turn-down"] - planned["load"], planned["lift"] - planned["load"])  # fmt: skip
    assert here.ready_at < here.supper - 8 * 3600


def test_later_puts_the_next_step_off_and_is_forgotten_once_it_is_done() -> None:
    late = said("later", 16, until=hour(18))
    assert times(look(STEADY, 16, done("mix", 7.5), late))["press"] == "18:00"
    after = look(STEADY, 18.2, done("mix", 7.5), late, done("press", 18.15))
    assert clock(step(after, "press").end) == "18:09"
    assert times(after)["top"] == "18:54"


def test_an_oven_not_lit_in_time_holds_the_load_and_topping_waits_with_it() -> None:
    """At 19:00 nobody has lit the oven: loading is at 19:45, and topping not more than 20 min before."""
    here = look(STEADY, 19, done("mix", 7.5), done("press", 16.9))
    got = times(here)
    assert (got["preheat"], got["load"], got["top"]) == ("19:00", "19:45", "19:17")


def test_an_oven_lit_late_holds_the_load_by_as_much() -> None:
    events = [done("mix", 7.5), done("press", 16.9), said("done", 18.5, step_id="preheat")]
    assert times(look(STEADY, 18.6, *events))["load"] == "19:14", "lit at 18:29, 45 min to heat"
    begun = [*events[:2], said("begun", 18.5, step_id="preheat")]
    assert times(look(STEADY, 18.6, *begun))["load"] == "19:15"


def test_a_wait_that_the_method_limits_is_not_stretched_to_keep_the_plan() -> None:
    """Loaded half an hour early: turn down at once, check 13 min after that, all with the planned waits."""
    events = [done("mix", 7.5), done("press", 16.9), done("preheat", 17.6), done("top", 18.3), done("load", 18.4)]
    got = times(look(STEADY, 18.41, *events))
    assert (got["turn-down"], got["check"], got["lift"]) == ("18:24", "18:38", "18:43")


@pytest.mark.parametrize(
    "ticked", [(), ("turn-down",), ("check",), ("turn-down", "check")], ids=["nothing", "dial", "base", "both"]
)
def test_the_oven_runs_from_the_loading_whatever_was_ticked_since(ticked: tuple[str, ...]) -> None:
    """Loaded at 18:55: the dial at once, the base 14 min after, out 19 min after (planned 18:56: 19:10 and 19:15)."""
    events = [
        done("mix", 7.5),
        done("press", 16.9),
        done("preheat", 18.2),
        done("top", 18.85),
        done("load", hours(18, 55)),
    ]
    later = [done(name, hours(19, 13)) for name in ticked]
    got = look(STEADY, hours(19, 13), *events, *later)
    want = {"turn-down": "19:13", "check": "19:13", "lift": "19:14"}  # overdue is now, and the lifting where it was
    assert {name: clock(step(got, name).start) for name in want if step(got, name).status == "open"} == {
        name: when for name, when in want.items() if step(got, name).status == "open"
    }
    assert step(got, "lift").status == "open"
    assert clock(step(look(STEADY, hours(19, 15), *events, *later), "lift").start) == "19:14", "due, and under way"


def hours(hour: int, minute: int) -> float:
    """A time of day in hours."""
    return hour + minute / 60


LOADED = [done("mix", 7.5), done("press", 16.9), done("preheat", 18.2), done("top", 18.85),
          done("load", hours(18, 55)), done("turn-down", hours(18, 56))]  # fmt: skip


@pytest.mark.parametrize("wished", [15, 60, 240])
def test_nothing_in_the_oven_can_be_put_off_by_saying_that_one_is_late(wished: int) -> None:
    late = said("later", hours(19, 5), until=hour(hours(19, 5)) + wished * 60)
    got = times(look(STEADY, hours(19, 5), *LOADED, late))
    assert (got["check"], got["lift"]) == ("19:09", "19:14")


@pytest.mark.parametrize(
    ("seen", "out"),
    [
        ((("more", 13),), "19:16"),  # due at 19:14, and two minutes
        ((("more", 15),), "19:17"),  # two minutes from the tap, which came after the due minute
        ((("more", 13), ("more", 15)), "19:18"),
        ((("base-pale", 13),), "19:17"),
        ((("top-dark", 2),), "19:12"),  # the low edge of the band, 17 min: the middle is not done before
        ((("top-dark", 10),), "19:12"),
        ((("top-dark", 13),), "19:14"),
        ((("top-dark", 10), ("base-pale", 11)), "19:15"),
        ((("top-dark", 2), ("base-pale", 3)), "19:12"),  # nine minutes off: it is looked at again before
        ((("more", 5),), "19:14"),  # so early it is no answer
        ((("more", 12), ("more", 12), ("more", 12)), "19:16"),  # three taps of one hand: four minutes from the look
        ((("base-pale", 12),) * 5, "19:18"),
        ((("a newer word", 13),), "19:14"),
    ],
)
def test_what_is_said_in_front_of_the_oven_times_the_lifting(seen: tuple[tuple[str, int], ...], out: str) -> None:
    """By hand: loaded at 18:55, out at 19:14; 2 min more, 3 min for a pale base, no look further off than twice that;
    under a dark top 2 min at least, and with foil on it to the low edge of the band (common practice)."""
    words = [said("baking", hours(19, minute), seen=word) for word, minute in seen]
    assert times(look(STEADY, hours(19, seen[-1][1]), *LOADED, *words))["lift"] == out


def test_two_minutes_more_again_and_again_end_a_third_over_the_top_of_the_band() -> None:
    """Loaded at 18:55, needs 20 min at most: out by 19:21:40, however often it is looked at and asked for."""
    plan = replace(STEADY, oven=replace(STEADY.oven, bake_high_min=20))
    words = [said("baking", hours(19, minute), seen="more") for minute in range(13, 22, 2)]
    got = look(plan, hours(19, 21), *LOADED, *words)
    assert step(got, "lift").start - hour(hours(18, 55)) == 20 * 60 * 4 / 3


def test_what_follows_the_lifting_follows_it() -> None:
    """By hand: out at 19:14 and nine times two minutes, 19:32; two minutes of hands and five of cooling: 19:39."""
    plan = replace(STEADY, oven=replace(STEADY.oven, bake_high_min=30))
    words = [said("baking", hours(19, minute), seen="more") for minute in range(13, 31, 2)]
    got = look(plan, hours(19, 29), *LOADED, *words)
    assert (times(got)["lift"], clock(got.ready_at)) == ("19:32", "19:39")


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_a_dough_is_early_before_it_is_best_and_best_before_it_is_past(n: int) -> None:
    """Of any bake; 0 is never, and what comes after never is never."""
    plan, events, now = made_up(n)
    for one in retime(plan, fold(plan, events), now).steps:
        marks = [one.early_at, one.best_at, one.past_at]
        there = [mark for mark in marks if mark != 0]
        assert there == sorted(there)
        assert marks == there + [0] * (3 - len(there))


def test_a_band_shorter_than_the_planned_bake_never_shortens_it() -> None:
    plan = replace(STEADY, oven=replace(STEADY.oven, bake_high_min=3))
    assert times(look(plan, hours(19, 13), *LOADED, said("baking", hours(19, 13), seen="more")))["lift"] == "19:14"


THICK = replace(STEADY, oven=replace(STEADY.oven, half_more_s=7 * 60, bake_high_min=24))


@pytest.mark.parametrize(
    ("times_more", "out", "by"),
    [(0.3, "19:09", 27), (0.5, "19:09", 27), (0.8, "19:12", 30), (1.0, "19:14", 32), (1.25, "19:17", 35),
     (1.73, "19:25", 43)],
)  # fmt: skip
def test_more_dough_on_the_tray_bakes_longer_and_less_not_so_long(times_more: float, out: str, by: int) -> None:
    """By hand: half as much again takes 7 min longer. By the square of the height (Fourier) that is 7 / 1.25 = 5.6 min
    for each whole by which the square is over one: a quarter more 5.6 x 0.5625 = 3:09, 1.73 times as much
    5.6 x 1.9929 = 11:09; four fifths 5.6 x 0.36 = 2:01 sooner, half 5.6 x 0.75 = 4:12, and no thinner dough sooner than
    that. Out in any case after a third over 24 min, 32, and as much later or sooner."""
    got = look(THICK, hours(19, 0), *LOADED, said("tray", 17, times=times_more))
    assert times(got)["lift"] == out
    state = fold(THICK, (*LOADED, said("tray", 17, times=times_more)))
    assert (out_by(THICK, state, 0)) // 60 == by
    plain = look(THICK, hours(19, 0), *LOADED)
    assert step(got, "check").start - step(plain, "check").start == step(got, "lift").start - step(plain, "lift").start
    assert step(got, "turn-down").start == step(plain, "turn-down").start


def test_a_thick_tray_is_loaded_when_a_thin_one_is_and_comes_out_later() -> None:
    """What is done in front of the oven waits longer than usual, and nothing before it is put off for that.

    By hand: half as much again takes 7 min longer, six tenths, by the square of the height, 5.6 x 1.56 = 8:44.
    """
    ready = [done("mix", 7.5), done("press", 16.9)]
    thin = look(THICK, hours(18, 0), *ready)
    thick = look(THICK, hours(18, 0), *ready, said("tray", 17, times=1.6))
    for one in ("top", "load", "turn-down"):
        assert step(thick, one).start == step(thin, one).start
    assert step(thick, "lift").start - step(thin, "lift").start == 8 * 60 + 44


def test_what_was_said_of_the_tray_before_is_not_said_of_this_one() -> None:
    early = said("baking", hours(18, 50), seen="base-pale")
    assert times(look(STEADY, hours(19, 5), *LOADED, early))["lift"] == "19:14"


def test_what_was_begun_in_the_oven_is_under_way_from_then_on() -> None:
    events = [done("mix", 7.5), done("press", 16.9), done("top", 18.85), done("load", hours(18, 55)),
              said("begun", hours(19, 8), step_id="check")]  # fmt: skip
    assert times(look(STEADY, hours(19, 9), *events))["check"] == "19:08"


def test_a_done_step_is_where_it_was_said_to_be_and_what_came_before_it_is_passed() -> None:
    here = look(STEADY, 17, done("press", 16.75))
    assert (step(here, "mix").status, step(here, "press").status) == ("passed", "done")
    assert clock(step(here, "mix").end) == "07:30"
    assert (clock(step(here, "press").start), clock(step(here, "press").end)) == ("16:35", "16:45")


def test_a_passed_step_is_not_put_after_the_one_that_proves_it() -> None:
    here = look(STEADY, 7.4, done("press", 7.25))
    assert step(here, "mix").end == hour(7.25)


def test_a_begun_step_goes_on_until_it_is_done() -> None:
    begun = said("begun", 16.5, step_id="press")
    at_start = look(STEADY, 16.52, done("mix", 7.5), begun)
    assert (clock(step(at_start, "press").start), clock(step(at_start, "press").end)) == ("16:30", "16:40")
    dragging = look(STEADY, 17, done("mix", 7.5), begun)
    assert step(dragging, "press").end == hour(17)
    finished = look(STEADY, 17, done("mix", 7.5), begun, done("press", 16.9))
    assert (clock(step(finished, "press").start), clock(step(finished, "press").end)) == ("16:30", "16:54")
    side = look(STEADY, 18.3, done("mix", 7.5), done("press", 16.9), said("begun", 18.2, step_id="preheat"))
    assert clock(step(side, "preheat").start) == "18:12"


def test_begun_after_done_is_a_slip_of_the_finger() -> None:
    events = [done("mix", 7.5), said("begun", 7.6, step_id="mix"), said("begun", 18.6, step_id="preheat"),
              done("preheat", 18.2)]  # fmt: skip
    here = look(STEADY, 18.7, *events)
    assert clock(step(here, "mix").start) == "07:15"
    assert clock(step(here, "preheat").end) == "18:12"


def test_a_dough_left_too_long_is_past_its_best_and_says_since_when() -> None:
    here = look(STEADY, 16, done("mix", 7.5), said("later", 16, until=hour(23)))
    press = step(here, "press")
    assert press.flag == "past"
    assert press.past_at == pytest.approx(hour(22.7), abs=1)
    assert clock(press.start) == "23:00", "said, not forbidden"


def test_a_dough_that_stands_still_never_gets_there_and_keeps_its_time() -> None:
    here = look(steady_plan(0.0), 9, done("mix", 7.5))
    assert (step(here, "press").flag, times(here)["press"]) == ("never", "16:45")


def test_a_wait_longer_than_the_method_allows_is_said() -> None:
    events = [done("mix", 7.5), done("press", 16.9), done("top", 18.8)]
    assert step(look(STEADY, 19.5, *events), "load").flag == "long"


@pytest.mark.parametrize(("per_hour", "flag"), [(0.05, ""), (0.15, "long")])
def test_a_dough_that_went_on_young_by_choice_is_not_told_that_it_waits_too_long(per_hour: float, flag: str) -> None:
    """Topped at 18:48, at 19:30 not loaded. After twelve hours it stands at 0.6 by 0.05 an hour, far from the 1.63 at
    which it is best loaded; by 0.15 at 1.8: that one is ready, and waits."""
    going_on = {"way": "as-planned", "press": 0, "load": hour(18.95), "supper": hour(19.5), "moves": [], "proof": ""}
    events = [done("mix", 7.5), said("way", 16.8, **going_on, asked=True, result="young", given_up=0.2),
              done("press", 16.9), done("top", 18.8)]  # fmt: skip
    plan = steady_plan(per_hour)
    mark = next(one.mark for one in plan.steps if one.step_id == "load")
    load = step(look(plan, 19.5, *events), "load")
    assert mark is not None
    assert (load.progress < mark.best, load.flag) == (flag == "", flag)


def test_moving_supper_moves_all_that_is_left() -> None:
    here = look(STEADY, 9, done("mix", 7.5), said("supper", 9, instant=hour(20.5)))
    got = times(here)
    assert (got["mix"], got["press"], got["load"], got["serve"]) == ("07:15", "17:45", "19:55", "20:30")
    assert (here.supper, here.late_s) == (hour(20.5), 0)


def test_a_sooner_supper_is_met_as_far_as_the_waits_allow() -> None:
    """Four hours sooner all is four hours sooner; the dough is young, and may be."""
    here = look(STEADY, 9, done("mix", 7.5), said("supper", 9, instant=hour(15.5)))
    assert (clock(step(here, "press").start), here.late_s) == ("12:45", 0)
    assert step(here, "press").flag == "young"
    assert look(STEADY, 13, done("mix", 7.5), said("supper", 13, instant=hour(13.5))).late_s > 0


def test_a_side_step_follows_its_anchor_and_is_passed_with_it() -> None:
    early_lift = [done("mix", 7.5), done("press", 16.9), done("top", 18.85), done("load", 18.95)]
    here = look(STEADY, 19, *early_lift)
    assert step(here, "preheat").status == "passed"
    assert here.current == "turn-down"


def test_a_side_step_after_its_anchor_stays_open_until_all_is_done() -> None:
    basil = PlanStep("basil", "top", hour(19.3), hour(19.32), "hands", chain=False, anchor="load",
                     offset_s=1500, title="Tear the basil")  # fmt: skip
    plan = replace(STEADY, steps=(*STEADY.steps, basil))
    events = [done("mix", 7.5), done("press", 16.9), done("preheat", 18.2), done("top", 18.85), done("load", 18.95)]
    assert step(look(plan, 19, *events), "basil").status == "open"
    assert clock(step(look(plan, 19, *events), "basil").start) == "19:21"
    assert step(look(plan, 20, *events, done("serve", 19.9)), "basil").status == "passed"


def test_a_side_step_without_its_anchor_keeps_its_own_time() -> None:
    plan = with_step(STEADY, "preheat", anchor="nowhere")
    assert times(look(plan, 9, done("mix", 7.5)))["preheat"] == "18:10"


def test_a_step_that_happens_by_itself_is_never_waited_for() -> None:
    rest = PlanStep("rest", "rest", hour(7.5), hour(8), "none", title="Rest")
    plan = replace(STEADY, steps=(STEADY.steps[0], rest, *STEADY.steps[1:]))
    during, after = look(plan, 7.75, done("mix", 7.5)), look(plan, 9, done("mix", 7.5))
    assert (step(during, "rest").status, step(after, "rest").status) == ("open", "passed")
    assert (after.current, times(after)["press"]) == ("press", "16:45")
    late = look(plan, 7.6, done("mix", 7.5), said("later", 7.6, until=hour(12)))
    assert clock(step(late, "rest").start) == "07:30", "nobody needs to be there"


def test_all_done_leaves_nothing_to_do() -> None:
    here = look(STEADY, 20, *(done(s.step_id, (s.end - hour(0)) / 3600) for s in STEADY.steps))
    assert (here.current, here.next, here.late_s) == ("", "", 0)


def test_a_room_reading_changes_what_follows_and_not_what_was() -> None:
    plan = sample_plan()
    cool, warm = look(plan, 12, done("mix", 7.5)), look(plan, 12, done("mix", 7.5), said("room", 12, temp_c=26))
    assert warm.progress == cool.progress
    assert step(warm, "press").progress > step(cool, "press").progress * 1.1


@examples(10)
@given(st.floats(10, 30), st.floats(0.5, 5))
def test_a_warmer_room_never_makes_a_mark_later(temp_c: float, warmer: float) -> None:
    plan = replace(sample_plan(), rise=replace(sample_plan().rise, warm_c=20.0))
    cool = step(look(constant_room(plan, temp_c), 9, done("mix", 7.5)), "press")
    hotter = min(temp_c + warmer, 32.0)
    warm = step(look(constant_room(plan, max(temp_c, hotter)), 9, done("mix", 7.5)), "press")
    assert cool.best_at == 0 or 0 < warm.best_at <= cool.best_at


def test_twice_the_rate_takes_half_the_time() -> None:
    slow, quick = step(look(steady_plan(0.1), 7), "press"), step(look(steady_plan(0.2), 7), "press")
    assert slow.best_at - hour(7.5) == pytest.approx(2 * (quick.best_at - hour(7.5)), abs=3)


def test_the_glass_corrects_all_of_it_and_narrows_the_band() -> None:
    """How much is in test_estimate.py: here that one factor holds from mixing to loading."""
    here = look(STEADY, 11.5, done("mix", 7.5), said("glass", 11.5, times=2.0))
    assert here.progress == pytest.approx(0.6 * here.factor)
    press = step(here, "press")
    assert press.progress == pytest.approx(9.25 * 0.15 * here.factor)
    unread = step(look(STEADY, 11.5, done("mix", 7.5)), "press")
    assert unread.progress_low == pytest.approx(unread.progress * STEADY.rise.band_low)
    assert press.progress_high / press.progress_low < unread.progress_high / unread.progress_low


def test_moving_the_dough_changes_its_heat_and_is_seen() -> None:
    plan = sample_plan()
    here = look(plan, 14, done("mix", 7.5), said("moved", 9, place="fridge"))
    assert (here.place, round(here.dough_c)) == ("fridge", 6)
    assert step(here, "press").flag == "young"


def test_the_next_step_puts_the_dough_where_the_plan_wants_it() -> None:
    here = look(sample_plan(), 17, done("mix", 7.5), said("moved", 9, place="fridge"), done("press", 16.9))
    assert here.place == "bench"


def test_the_curve_runs_by_quarter_hours_from_mixing_to_loading() -> None:
    curve = look(STEADY, 9, done("mix", 7.5)).curve
    assert [clock(p.at) for p in curve[:3]] == ["07:30", "07:45", "08:00"]
    assert clock(curve[-1].at) == "18:56"
    assert all(a.progress <= b.progress and a.low <= a.progress <= a.high for a, b in pairwise(curve))


def test_what_leaves_the_range_of_the_numbers_is_said() -> None:
    plan = sample_plan()
    narrow = replace(plan, rise=replace(plan.rise, table=RateTable(19.0, 1.0, plan.rise.table.rates[21:24])))
    events = [done("mix", 7.5), said("room", 8, temp_c=30), said("moved", 12, place="fridge"),
              said("glass", 7.7, times=9.0)]  # fmt: skip
    assert look(narrow, 13, *events).outside == ("colder", "warmer", "glass", "soon")
    sure = replace(plan, rise=replace(plan.rise, sd=0.1))
    assert look(sure, 13, done("mix", 7.5), said("glass", 13, times=4.0)).outside == ("again",)
    assert look(plan, 13, done("mix", 7.5)).outside == ()
    bare = replace(plan, rise=replace(plan.rise, glass=()))
    assert look(bare, 13, done("mix", 7.5), said("glass", 13, times=1.5)).outside == ("glass", "soon")
    one = replace(plan, rise=replace(plan.rise, glass=(GlassMark(2.0, 1.0),)))
    assert look(one, 13, done("mix", 7.5), said("glass", 13, times=1.7)).outside == ()


def test_a_rise_that_begins_before_the_first_step_has_no_mixing_to_wait_for() -> None:
    plan = replace(STEADY, rise=replace(STEADY.rise, mixed_at=hour(6)))
    here = look(plan, 12)
    assert here.progress == pytest.approx(6 * 0.15)
    assert here.place == "bench"


def test_a_plan_without_steps_is_a_supper_and_nothing_else() -> None:
    plan = replace(STEADY, steps=())
    here = look(plan, 9)
    assert (here.current, here.next, here.ready_at, here.steps) == ("", "", plan.ready_at, ())
    unmixed = replace(plan, steps=(PlanStep("look", "rest", hour(8), hour(8), "none", chain=False, title="Look"),))
    assert look(unmixed, 7).current == "look"


def test_before_mixing_there_is_no_rise_no_band_and_no_place() -> None:
    plan = replace(STEADY, steps=STEADY.steps[:1])
    here = look(plan, 7)
    assert (here.progress, here.progress_low, here.dough_c, here.place) == (0.0, 0.0, 0.0, "")


@examples(20)
@given(st.integers(0, 10**6), st.integers(0, 7200))
def test_the_chain_never_runs_backwards_and_nothing_open_starts_in_the_past(n: int, wait: int) -> None:
    plan, events, now = made_up(n)
    here = retime(plan, fold(plan, events), now + wait)
    chain = [(s, r) for s, r in zip(plan.steps, here.steps, strict=True) if s.chain and r.status == "open"]
    begun = {one.step_id for one in fold(plan, events).begun}
    for (_, a), (later, b) in pairwise(chain):
        if later.kind in BAKE_KINDS:
            continue  # in the oven each counts from the loading
        assert b.start >= a.end + later.wait_least_s or later.step_id in begun
    for s, r in chain:
        under_way = r.end > now + wait
        assert r.start >= now + wait or under_way or s.step_id in begun or s.presence == "none"
        assert r.start - now - wait < 10 * HORIZON_S


@examples(20)
@given(st.integers(0, 10**6))
def test_the_rise_only_grows_and_lies_inside_its_band(n: int) -> None:
    plan, events, now = made_up(n)
    curve = retime(plan, fold(plan, events), now).curve
    assert all(a.progress <= b.progress for a, b in pairwise(curve))
    assert all(p.low <= p.progress * (1 + 1e-12) and p.progress <= p.high * (1 + 1e-12) for p in curve)


def test_a_step_that_is_due_is_under_way_for_as_long_as_it_lasts_and_slides_only_then() -> None:
    """Pressing is due at 16:45 and lasts ten minutes."""
    for now_h in (16.75, 16.8, 16.9):
        here = look(STEADY, now_h, done("mix", 7.5))
        assert (clock(step(here, "press").start), here.current, here.late_s) == ("16:45", "press", 0)
    over = look(STEADY, 17, done("mix", 7.5))
    assert clock(step(over, "press").start) == "17:00"


def test_a_side_step_too_is_under_way_for_as_long_as_it_lasts() -> None:
    plan = with_step(STEADY, "preheat", end=hour(18.25))
    events = [done("mix", 7.5), done("press", 16.9)]
    assert times(look(plan, 18.2, *events))["preheat"] == "18:10"
    assert times(look(plan, 18.3, *events))["preheat"] == "18:18"


def test_topping_is_not_begun_before_the_oven_is_lit() -> None:
    """At 18:50, the oven forgotten: it comes first, and topping is not taken to be under way."""
    events = [done("mix", 7.5), done("press", 16.9)]
    here = look(STEADY, 18.8, *events)
    assert (here.current, here.next) == ("preheat", "top")
    assert step(here, "top").start >= hour(18.8)
    lit = look(STEADY, 18.8, *events, done("preheat", 18.2))
    assert (lit.current, times(lit)["top"]) == ("top", "18:45"), "with the oven lit it is under way"


def test_an_oven_that_heats_in_no_time_is_lit_before_topping_all_the_same() -> None:
    """Five minutes to heat, ten to top: lit when topping begins, not in the middle of it."""
    plan = with_step(STEADY, "preheat", offset_s=-300, start=hour(18.83), end=hour(18.84))
    here = look(plan, 17, done("mix", 7.5), done("press", 16.9))
    assert step(here, "preheat").start == step(here, "top").start
    assert look(plan, 18.75, done("mix", 7.5), done("press", 16.9)).current == "preheat"


def test_supper_moves_in_steps_of_five_minutes() -> None:
    events = [done("mix", 7.5), done("press", 16.9), done("preheat", 18.2), done("top", 18.85)]
    in_time = look(STEADY, 18.97, *events)
    assert (in_time.late_s, in_time.eat_at) == (0, STEADY.supper), "loading is under way"
    minutes = look(STEADY, 19.1, *events)
    assert (0 < minutes.late_s < 300, minutes.eat_at) == (True, STEADY.supper)
    late = look(STEADY, 19.25, *events)
    assert (late.eat_at % 300, late.eat_at - late.ready_at < 300) == (0, True)
    assert late.eat_at >= late.ready_at > STEADY.supper + 300


def test_the_warm_spot_is_left_when_the_oven_that_it_is_is_lit() -> None:
    plan = sample_plan()
    events = [done("mix", 7.5), done("press", 16.9), said("moved", 17, place="warm")]
    here = look(plan, 17.1, *events)
    elsewhere = look(replace(plan, rise=replace(plan.rise, warm_is_oven=False)), 17.1, *events)
    assert here.curve[-1].dough_c < elsewhere.curve[-1].dough_c - 1
    assert step(elsewhere, "load").progress > step(here, "load").progress
    no_oven = replace(plan, steps=tuple(s for s in plan.steps if s.step_id != "preheat"))
    assert look(no_oven, 17.1, *events).curve[-1].dough_c == elsewhere.curve[-1].dough_c


def test_a_dough_forgotten_for_a_year_is_walked_day_by_day_and_comes_to_the_same() -> None:
    """The steady dough gains 0.15 an hour: by hand, 8760 h make 1314."""
    year = 365 * 24
    found = look(STEADY, 7.5 + year, done("mix", 7.5))
    assert found.progress == pytest.approx(0.15 * year, rel=1e-9)
    assert len(found.curve) < 10 * 96 + 400, "by quarter hours for ten days, then by days"
    assert step(found, "press").flag == "past"


def test_a_mark_on_a_step_that_has_no_dough_yet_is_no_instant_and_a_mark_of_nothing_is_there_at_once() -> None:
    no_dough = with_step(STEADY, "mix", mark=RiseMark(0.5, 1.0, 2.0))
    assert step(look(no_dough, 7), "mix").best_at == 0
    at_once = with_step(STEADY, "press", mark=RiseMark(0.0, 1.0, 2.0))
    assert step(look(at_once, 12, done("mix", 7.5)), "press").early_at == hour(7.5)


def test_a_step_has_its_time_by_its_name_in_whatever_order_the_times_stand() -> None:
    plan = sample_plan()
    stands = retime(plan, fold(plan, ()), plan.made_at)
    turned = replace(stands, steps=stands.steps[::-1])
    assert timed_steps(plan, turned) == timed_steps(plan, stands)
    assert all(step.step_id == timed.step_id for step, timed in timed_steps(plan, turned))
    with pytest.raises(KeyError):
        timed_steps(plan, replace(stands, steps=stands.steps[1:]))
