"""A lit oven is not left hot and empty: who is late, moves supper or takes a way that loads later by more than some
twenty minutes turns it off, and its step comes back in time (common practice: a lit oven is not left alone; that it is
twenty minutes is this project's own judgement).

Of the sample plan, by hand: lit 18:11, hot 45 minutes later at 18:56, topped 18:53, loaded 18:55, supper 19:30.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from tests.core.now.saying import clock, constant_room, done, from_here, hour, look, said, step
from tests.core.now.test_side_by_side import party
from tests.samples import sample_plan
from webapp.core.now.along import in_plan_order
from webapp.core.now.chain import time_chain
from webapp.core.now.journal import fold
from webapp.core.now.loss import relit_at
from webapp.core.now.retime import retime
from webapp.core.now.ringing import PERHAPS, dues
from webapp.core.now.taken import event_data, lifted_after
from webapp.core.plan.event import Event
from webapp.core.plan.retimed import Retimed
from webapp.words.kinds.flags import flag_words

PLAN = constant_room(sample_plan(), 21.0)
LIT = (done("mix", 7.5), done("press", 16.9), done("preheat", 18 + 11 / 60))
TOPPED = (*LIT, done("top", 18 + 53 / 60))
NOW = 18.95  # 18:57


def late(minutes: int) -> Event:
    """The person can that much later than 18:57."""
    return said("later", NOW, until=hour(NOW + minutes / 60))


def loading(h: float, load: float) -> Event:
    """At that hour a way is taken that loads at the other; pressed already."""
    return said("way", h, way="later", press=0, load=hour(load), supper=hour(load + 0.6), asked=True, result="best")


def after(minutes: int) -> Retimed:
    """The bake once that was said."""
    return look(PLAN, NOW, *TOPPED, late(minutes))


@pytest.mark.parametrize("minutes", [5, 15, 20])
def test_who_is_a_little_late_finds_the_oven_hot(minutes: int) -> None:
    here = after(minutes)
    assert step(here, "preheat").status == "done"
    assert step(here, "load").start == hour(NOW + minutes / 60)
    assert not fold(PLAN, [*TOPPED, late(minutes)]).cold_again


@pytest.mark.parametrize("minutes", [21, 30, 60])
def test_who_is_later_than_that_turns_it_off_now_and_lights_it_when_they_come(minutes: int) -> None:
    """Nobody is there to light it sooner; 45 minutes after that the tray goes in."""
    here = after(minutes)
    oven, load = step(here, "preheat"), step(here, "load")
    assert (oven.status, oven.flag, oven.start) == ("open", "off", hour(NOW + minutes / 60))
    assert load.start == oven.start + 45 * 60
    assert here.current == "preheat"
    told = flag_words(oven.flag, "preheat", False, clock(oven.start))
    assert told == f"it is on, and would stand hot and empty: turn it off now, and on again at {clock(oven.start)}."


def later_at(h: float, minutes: float, **more: object) -> Event:
    """At that hour: so many minutes later."""
    return said("later", h, until=hour(h + minutes / 60), **more)


def test_a_quarter_of_an_hour_said_again_and_again_is_one_delay() -> None:
    """Hot at 18:56 and put off at 18:57 by 15 minutes it stands; when they are over the same again makes it 30."""
    once, twice = later_at(NOW, 15), later_at(NOW + 0.25, 15)
    assert step(look(PLAN, NOW + 0.2, *TOPPED, once), "preheat").status == "done"
    here = look(PLAN, NOW + 0.26, *TOPPED, once, twice)
    assert (step(here, "preheat").status, step(here, "preheat").flag) == ("open", "off")
    assert step(here, "preheat").start == hour(NOW + 0.5), "it is lit again when they come"
    assert step(here, "load").start == hour(NOW + 0.5) + 45 * 60


def test_a_tick_between_two_delays_does_not_make_the_oven_less_empty() -> None:
    between = (*LIT, later_at(NOW, 15), done("top", NOW + 0.2), later_at(NOW + 0.3, 5))
    assert step(look(PLAN, NOW + 0.31, *between), "preheat").flag == "off", "23 minutes: 18:57 to 19:20"


def test_once_it_was_lit_again_its_delays_are_counted_anew() -> None:
    off = (*TOPPED, later_at(NOW, 30), done("preheat", NOW + 0.5))
    hot = NOW + 0.5 + 0.75
    assert step(look(PLAN, hot + 0.2, *off, later_at(hot + 0.1, 20)), "preheat").status == "done"
    assert step(look(PLAN, hot + 0.2, *off, later_at(hot + 0.1, 21)), "preheat").flag == "off"


def test_an_oven_that_is_not_hot_yet_does_not_stand_hot_however_often_that_is_said() -> None:
    said_so = [later_at(NOW + i / 12, 5, heats=True) for i in range(6)]
    here = look(PLAN, NOW + 0.45, *TOPPED, *said_so)
    assert step(here, "preheat").status == "done"
    assert step(here, "load").start == hour(NOW + 0.5)
    late_then = later_at(NOW + 0.5, 15)
    assert step(look(PLAN, NOW + 0.51, *TOPPED, *said_so, late_then), "preheat").status == "done", "hot at 19:27 only"


def test_when_its_time_has_come_again_nothing_is_said_of_turning_it_off() -> None:
    here = look(PLAN, NOW + 31 / 60, *TOPPED, late(30))
    assert (step(here, "preheat").status, step(here, "preheat").flag) == ("open", "")


def test_the_wait_counts_from_when_the_oven_is_hot_not_from_when_it_was_lit() -> None:
    """Lit at 18:11 it is hot at 18:56: who says at 18:12 that they come at 19:10 has it stand for 14 minutes."""
    soon = said("later", 18.2, until=hour(19 + 10 / 60))
    assert step(look(PLAN, 18.25, *LIT, soon), "preheat").status == "done"
    late_on = said("later", 18.2, until=hour(19 + 20 / 60))
    assert step(look(PLAN, 18.25, *LIT, late_on), "preheat").status == "open"


def test_lit_again_it_is_lit_and_a_tray_that_went_in_was_in_a_hot_oven() -> None:
    again = look(PLAN, 20.0, *TOPPED, late(60), done("preheat", 19.97))
    assert step(again, "preheat").status == "done"
    assert clock(step(again, "preheat").end) == "19:58"
    loaded = look(PLAN, 20.0, *TOPPED, late(60), done("load", 19.97))
    assert clock(step(loaded, "preheat").end) == "18:11", "nobody said that it was turned off"


def test_a_tick_that_is_given_twice_is_one_lighting() -> None:
    twice = [*TOPPED, done("preheat", 18.3), late(60)]
    assert fold(PLAN, twice).cold_again
    assert "preheat" not in [one.step_id for one in fold(PLAN, twice).done]


def test_a_plan_that_lights_no_oven_has_none_to_turn_off() -> None:
    bare = replace(PLAN, steps=tuple(one for one in PLAN.steps if one.kind != "preheat"))
    state = fold(bare, [*TOPPED, late(60)])
    assert not state.cold_again
    assert from_here(bare, NOW, *TOPPED, late(60))


@pytest.mark.parametrize(("load", "on_again"), [(19 + 55 / 60, "19:10"), (21 + 55 / 60, "21:10")])
def test_a_way_that_loads_later_turns_a_lit_oven_off_until_its_time(load: float, on_again: str) -> None:
    """Lit 45 minutes before its own loading."""
    here = look(PLAN, 18.25, *LIT, loading(18.25, load))
    assert (step(here, "preheat").status, step(here, "preheat").flag) == ("open", "off")
    assert clock(step(here, "preheat").start) == on_again


def test_a_loading_a_little_later_finds_it_hot() -> None:
    """Hot at 18:56 and loaded at 19:15 it stands for 19 minutes."""
    here = look(PLAN, 18.25, *LIT, loading(18.25, 19.25))
    assert (step(here, "preheat").status, step(here, "preheat").flag) == ("done", "")


def test_an_oven_that_must_be_lit_again_at_once_is_left_on() -> None:
    """It is 19:30, hot since 18:56, and loading moves to 20:10: it would be lit again at 19:25, which is over."""
    here = look(PLAN, 19.5, *LIT, loading(19.5, 20 + 10 / 60))
    assert step(here, "preheat").status == "done"


@pytest.mark.parametrize("lit", [16.0, 18 + 11 / 60])
@pytest.mark.parametrize("times", [1.1, 1.3, 2.9])
def test_a_way_that_loads_later_turns_it_off_and_says_so_before_it_is_taken(lit: float, times: float) -> None:
    """Of every way: the oven stands empty for twenty minutes at most, or is off until the way's own minute."""
    events = [done("mix", 7.5), done("press", 15.9), done("preheat", lit), said("glass", 15.8, times=times)]
    now = max(lit, 16.0) + 0.1
    found = from_here(PLAN, now, *events)
    for way in found:
        here = look(PLAN, now, *events, said("way", now, **event_data(way, True)))
        oven, load = step(here, "preheat"), step(here, "load")
        assert (load.start, here.eat_at) == (way.load_at, way.supper), "what it promised"
        if way.relit_at:
            assert (oven.status, oven.flag, oven.start) == ("open", "off", way.relit_at)
            assert oven.start + 45 * 60 == load.start
        else:
            hot = max(hour(now), oven.end + 44 * 60)
            assert oven.status == "done"
            assert load.start - hot <= 20 * 60 or load.start - 45 * 60 <= hour(now)
    assert times > 2 or any(way.relit_at for way in found)


def test_into_the_fridge_until_tomorrow_the_oven_goes_off() -> None:
    """Loaded at 18:55 the day after, it is lit at 18:10."""
    moves = [{"at": hour(18.25), "place": "fridge"}]
    way = {"way": "fridge", "press": 0, "load": hour(24 + 18 + 55 / 60), "supper": hour(24 + 19.5), "moves": moves}
    here = look(PLAN, 18.25, *LIT, said("way", 18.25, **way))
    assert (step(here, "preheat").status, step(here, "preheat").flag) == ("open", "off")
    assert clock(step(here, "preheat").start) == "42:10"


def test_an_oven_has_a_time_to_be_lit_until_it_is() -> None:
    def lit_at(*events: Event) -> int:
        state = fold(PLAN, events)
        return relit_at(in_plan_order(PLAN, state, hour(NOW), time_chain(PLAN, state, hour(NOW))))

    assert lit_at(*TOPPED) == 0
    assert lit_at(*TOPPED, late(30)) == hour(NOW + 0.5)


# Two trays that bake one after the other: the first is in, and its evening goes on by the plan's own minutes.
PARTY = party(2)
AT = {one.step_id: one for one in PARTY.steps}
IN = AT["load-1"].end
PREHEAT_S = PARTY.oven.preheat_min * 60
_numbers = itertools.count(1)


def ticked(step_id: str, at: int) -> Event:
    """That step was done at that instant."""
    return Event(f"{next(_numbers):032x}", PARTY.bake_id, at, at, "p", "done", {"step_id": step_id})


def put_off(at: int, until: int) -> Event:
    """The person can go on then."""
    return Event(f"{next(_numbers):032x}", PARTY.bake_id, at, at, "p", "later", {"until": until})


FIRST_IN = tuple(ticked(one.step_id, one.end) for one in PARTY.steps if one.end <= IN)


def evening(now: int, *events: Event) -> Retimed:
    return retime(PARTY, fold(PARTY, events), now)


def test_between_two_loads_the_oven_goes_off_once_the_tray_is_out_and_its_lighting_is_a_step_again() -> None:
    """Said four minutes after the first loading: the second tray comes two hours later. Nobody is there sooner."""
    said_at, until = IN + 240, IN + 7200
    here = evening(said_at, *FIRST_IN, put_off(said_at, until))
    oven, load = step(here, "preheat"), step(here, "load-2")
    assert (oven.status, oven.flag, oven.start) == ("open", "off-then", until)
    assert load.start >= until + PREHEAT_S, "hot before the tray goes in"
    assert step(here, "lift-1").start == AT["lift-1"].start, "what is in the oven waits for nobody"
    assert "once the tray is out" in flag_words(oven.flag, "preheat", False, clock(oven.start))


def test_lifting_the_tray_does_not_bring_the_next_one_back_to_its_old_time() -> None:
    said_at, until, out = IN + 240, IN + 7200, AT["lift-1"].end
    events = (*FIRST_IN, put_off(said_at, until), ticked("lift-1", out))
    here = evening(out + 60, *events)
    assert (step(here, "preheat").flag, step(here, "preheat").start) == ("off", until)
    rings = dues(PARTY, evening(until, *events), evening(0, *events), until)
    assert "preheat" in [one.step_id for one in rings], "it rings when its time has come"
    assert "load-2" not in [one.step_id for one in rings if one.rank < PERHAPS]


def test_lit_again_between_two_loads_the_next_tray_waits_until_it_is_hot() -> None:
    said_at, until, out = IN + 240, IN + 7200, AT["lift-1"].end
    events = [*FIRST_IN, put_off(said_at, until), ticked("lift-1", out), ticked("preheat", until + 60)]
    here = evening(until + 120, *events)
    assert (step(here, "preheat").status, step(here, "preheat").end) == ("done", until + 60)
    assert step(here, "load-2").start >= until + PREHEAT_S
    loaded = evening(until + 5000, *events, ticked("load-2", until + 60 + PREHEAT_S))
    assert step(loaded, "preheat").status == "done"


def test_a_little_later_between_two_loads_it_stays_on() -> None:
    """Twenty minutes empty from when the first tray is out, not from when it is said."""
    said_at, out = IN + 240, AT["lift-1"].end
    short = evening(said_at, *FIRST_IN, put_off(said_at, out + 1200))
    assert (step(short, "preheat").status, step(short, "preheat").flag) == ("done", "")
    long = evening(said_at, *FIRST_IN, put_off(said_at, out + 1201))
    assert step(long, "preheat").status == "open"


def test_an_oven_that_nobody_said_was_lit_is_lit_once_a_tray_is_in() -> None:
    said_at = IN + 240
    unsaid = [one for one in FIRST_IN if one.data["step_id"] != "preheat"]
    assert step(evening(said_at, *unsaid, put_off(said_at, IN + 7200)), "preheat").flag == "off-then"


def test_a_tray_that_went_in_all_the_same_was_put_into_a_hot_oven() -> None:
    said_at, until = IN + 240, IN + 7200
    here = evening(until, *FIRST_IN, put_off(said_at, until), ticked("load-2", until - 60))
    assert (step(here, "preheat").status, step(here, "preheat").end) == ("done", AT["preheat"].end)


def test_a_supper_moved_far_with_the_first_tray_in_lights_it_again_for_the_second() -> None:
    """As far as its tray may wait, two hours and three quarters later: so is the second loading, and the lighting so
    long before it as planned."""
    said_at = IN + 240
    moved = Event("f" * 32, PARTY.bake_id, said_at, said_at, "p", "supper", {"instant": PARTY.supper + 9900})
    here = evening(said_at, *FIRST_IN, moved)
    assert step(here, "preheat").flag == "off-then"
    assert step(here, "preheat").start == step(here, "load-2").start + AT["preheat"].offset_s


def test_a_tray_is_out_when_it_is_lifted_and_one_that_never_is_keeps_no_oven() -> None:
    """Of the sample plan, by hand: loaded at 18:55, out of the oven before supper at 19:30."""
    load, lift = (next(one for one in PLAN.steps if one.kind == kind) for kind in ("load", "lift"))
    assert lifted_after(PLAN, load) == lift.end - load.end > 0
    none = replace(PLAN, steps=tuple(one for one in PLAN.steps if one.kind != "lift"))
    assert lifted_after(none, load) == 0
