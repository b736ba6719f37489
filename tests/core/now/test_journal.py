"""The journal: the same set of events gives the same state, whatever order, however often, from whichever phone."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.now.saying import done, hour, said
from tests.made_up import made_up
from tests.samples import sample_plan
from webapp.core.now.journal import fold, still_said
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.rise import Felt
from webapp.core.plan.state import Done, Glass, Moved, Poured
from webapp.core.plan.undone import undone_ids

PLAN = sample_plan()


@given(st.integers(0, 10**6), st.randoms(use_true_random=False))
def test_order_and_repetition_change_nothing(n: int, chance: random.Random) -> None:
    plan, events, _ = made_up(n)
    again = [*events, *chance.sample(events, len(events) // 2)]
    chance.shuffle(again)
    assert fold(plan, again) == fold(plan, events)


@given(st.integers(0, 10**6), st.integers(0, 40))
def test_two_phones_that_joined_their_journals_agree(n: int, cut: int) -> None:
    plan, events, _ = made_up(n)
    one, other = events[:cut], events[cut // 2 :]
    assert fold(plan, one + other) == fold(plan, other + one)


def test_at_the_bench_the_last_word_on_yeast_salt_and_tray_counts() -> None:
    state = fold(PLAN, [
        said("yeast", 7.1, yeast="fresh"), said("yeast", 7.2, yeast="active-dry"),
        said("poured", 7.3, line="dough/salt", grams=14.0),
        said("poured", 7.4, line="dough/salt", grams=14.0, kept=True),
        said("tray", 16.9, times=1.2),
    ])  # fmt: skip
    assert state.yeast == "active-dry"
    assert state.poured == (Poured("dough/salt", 14.0, kept=True),)
    assert state.tray_times == 1.2
    nothing = fold(PLAN, [])
    assert (nothing.yeast, nothing.poured, nothing.tray_times) == ("", (), 0.0)


def test_a_dough_is_mixed_for_the_pan_that_was_said_by_then_and_lies_in_the_one_said_last() -> None:
    small = said("pan", 7, area_cm2=616.0, name="Round pan 28 cm")
    large = said("pan", 16, area_cm2=900.0, name="30 x 30 cm pan")
    before = fold(PLAN, [small])
    assert (before.area_cm2, before.mixed_cm2, before.pan) == (616.0, 616.0, "Round pan 28 cm")
    later = fold(PLAN, [small, done("mix", 7.5), large])
    assert (later.area_cm2, later.mixed_cm2, later.pan) == (900.0, 616.0, "30 x 30 cm pan")
    assert fold(PLAN, [done("mix", 7.5), large]).mixed_cm2 == 0.0, "for the planned one"
    assert fold(PLAN, [done("press", 16.5), said("pan", 16.6, area_cm2=616.0)]).mixed_cm2 == 0.0, "pressed is mixed"
    unmixed = replace(PLAN, steps=tuple(step for step in PLAN.steps if step.kind != "mix"))
    assert fold(unmixed, [small]).mixed_cm2 == 0.0, "a dough that was there already"


def test_what_lies_on_the_tray_is_not_said_of_the_next_one() -> None:
    all_in, other = said("tray", 16.5, times=1.7), said("pan", 16.6, area_cm2=616.0)
    assert fold(PLAN, [all_in, other]).tray_times == 0.0
    assert fold(PLAN, [other, said("tray", 16.7, times=1.7)]).tray_times == 1.7


def test_an_empty_journal_is_the_plan_as_made() -> None:
    state = fold(PLAN, [])
    assert (state.done, state.later, state.supper, state.area_cm2) == ((), 0, PLAN.supper, 0.0)


def test_a_step_said_twice_was_done_when_it_was_first_said() -> None:
    state = fold(PLAN, [done("mix", 7.6), said("done", 7.5, logged=8, step_id="mix")])
    assert state.done == (Done("mix", hour(7.5)),)


def test_steps_stand_in_plan_order_and_strange_ones_are_passed_over() -> None:
    state = fold(PLAN, [done("press", 16.8), done("mix", 7.5), done("no-such-step", 8)])
    assert [one.step_id for one in state.done] == ["mix", "press"]


def test_what_is_taken_back_was_never_said() -> None:
    wrong = done("load", 18.9)
    assert fold(PLAN, [wrong, said("undo", 18.95, event_id=wrong.event_id)]) == fold(PLAN, [])


def test_taking_back_works_even_when_the_undo_arrives_first_or_its_clock_is_behind() -> None:
    wrong = done("load", 18.9)
    assert fold(PLAN, [said("undo", 3, event_id=wrong.event_id), wrong]).done == ()


def test_an_undo_taken_back_brings_the_step_back_whichever_arrives_first() -> None:
    wrong = done("mix", 7.5)
    back = said("undo", 7.6, event_id=wrong.event_id)
    again = said("undo", 7.7, event_id=back.event_id)
    for events in itertools.permutations([wrong, back, again]):
        assert fold(PLAN, [*events, back]).done == (Done("mix", hour(7.5)),)


def test_an_undo_taken_back_by_both_phones_brings_the_step_back_once() -> None:
    wrong = done("mix", 7.5)
    back = said("undo", 7.6, event_id=wrong.event_id)
    both = [said("undo", 7.7, event_id=back.event_id) for _ in range(2)]
    assert fold(PLAN, [wrong, back, *both]).done == (Done("mix", hour(7.5)),)
    assert fold(PLAN, [wrong, back, *both, said("undo", 7.8, event_id=both[0].event_id)]).done != ()


def test_one_of_two_undos_taken_back_leaves_the_other() -> None:
    wrong = done("mix", 7.5)
    mine, theirs = said("undo", 7.6, event_id=wrong.event_id), said("undo", 7.6, event_id=wrong.event_id)
    assert fold(PLAN, [wrong, mine, theirs, said("undo", 7.7, event_id=mine.event_id)]).done == ()


@given(st.integers(1, 30))
def test_a_row_of_undos_of_each_other_leaves_what_an_even_number_leaves(n: int) -> None:
    events = [done("mix", 7.5)]
    for i in range(n):
        events.append(said("undo", 8 + i / 100, event_id=events[-1].event_id))
    assert bool(fold(PLAN, events).done) == (n % 2 == 0)


def test_a_ring_of_undos_which_no_phone_writes_ends_and_keeps_its_force() -> None:
    one = said("undo", 8, event_id="b" * 32)
    ring = [replace(one, event_id="a" * 32), replace(one, event_id="b" * 32, data={"event_id": "a" * 32})]
    assert fold(PLAN, [done("mix", 7.5), *ring, said("undo", 8.1, event_id=7)]).done == (Done("mix", hour(7.5)),)
    assert sorted(undone_ids(ring)) == ["a" * 32, "b" * 32]


def test_taking_back_one_word_leaves_the_other_phones_word() -> None:
    mine, theirs = done("mix", 7.5), done("mix", 7.55)
    state = fold(PLAN, [mine, theirs, said("undo", 7.6, event_id=mine.event_id)])
    assert state.done == (Done("mix", hour(7.55)),)


def test_being_late_counts_until_the_next_chain_step_is_done() -> None:
    late = said("later", 16, until=hour(18))
    assert fold(PLAN, [late]).later == hour(18)
    assert fold(PLAN, [late, done("preheat", 17.9)]).later == hour(18), "a side step is not what was waited for"
    assert fold(PLAN, [late, done("press", 18.1)]).later == 0


def test_a_step_done_before_and_only_ticked_afterwards_leaves_the_wish_for_later() -> None:
    late = said("later", 16, until=hour(18))
    ticked_late = said("done", 7.5, logged=16.2, step_id="mix")
    assert fold(PLAN, [late, ticked_late]).later == hour(18)
    assert fold(PLAN, [done("press", 15), late]).later == hour(18)


def test_the_last_word_about_being_late_and_about_supper_wins() -> None:
    events = [said("later", 16, until=hour(20)), said("later", 16.1, until=hour(18)),
              said("supper", 10, instant=hour(21)), said("supper", 9, logged=11, instant=hour(20))]  # fmt: skip
    state = fold(PLAN, events)
    assert (state.later, state.supper) == (hour(18), hour(20))


def test_what_happened_is_in_the_order_of_happening_not_of_writing() -> None:
    events = [said("room", 12, temp_c=24), said("room", 9, logged=13, temp_c=19), said("moved", 11, place="fridge"),
              said("moved", 10, logged=12, place="warm"), said("glass", 12, times=1.5),
              said("glass", 11, logged=14, times=1.3)]  # fmt: skip
    state = fold(PLAN, events)
    assert state.rooms == (Felt(hour(9), 19), Felt(hour(12), 24))
    assert state.moves == (Moved(hour(10), "warm"), Moved(hour(11), "fridge"))
    assert state.glasses == (Glass(hour(11), 1.3), Glass(hour(12), 1.5))


def test_the_weigh_out_list_keeps_its_order_and_the_last_pour() -> None:
    events = [said("weighed", 7.3, line="dough/flour"), said("weighed", 7.2, line="dough/water"),
              said("poured", 7.3, line="dough/flour", grams=500), said("poured", 7.35, line="dough/flour", grams=510.5),
              said("poured", 7.3, line="dough/cement", grams=1), said("pan", 7, area_cm2=900),
              said("pan", 7.1, area_cm2=600)]  # fmt: skip
    state = fold(PLAN, events)
    assert state.weighed == ("dough/water", "dough/flour")
    assert state.poured == (Poured("dough/flour", 510.5),)
    assert state.area_cm2 == 600


def test_notes_and_outcome_are_kept_for_the_book() -> None:
    events = [said("note", 20, text="good"), said("outcome", 20, base="pale", top="brown"),
              said("outcome", 20.1, base="crisp", crumb="")]  # fmt: skip
    state = fold(PLAN, events)
    assert state.notes == ("good",)
    assert state.outcome == (("base", "crisp"), ("top", "brown"))


@pytest.mark.parametrize(
    ("kind", "data"),
    [("later", {"until": "soon"}), ("later", {"until": True}), ("done", {"step_id": 7}), ("glass", {}),
     ("room", {"temp_c": None}), ("from-a-newer-phone", {"x": [1, 2]}), ("undo", {}), ("outcome", {"base": 3})],
)  # fmt: skip
def test_a_strange_event_never_breaks_the_screen(kind: str, data: dict[str, Any]) -> None:
    state = fold(PLAN, [done("mix", 7.5), said(kind, 8, **data)])
    assert state.done == (Done("mix", hour(7.5)),)
    assert state.later == 0


def test_written_down_in_the_same_second_the_id_decides() -> None:
    one, two = (Event(letter * 32, "b", hour(9), hour(9), "p", "note", {"text": letter}) for letter in "ab")
    assert [event.event_id for event in still_said([two, one])] == ["a" * 32, "b" * 32]


def way(h: float, *moves: tuple[float, str], asked: bool = True, proof: str = "") -> Event:
    """A way taken at that hour: supper at 20:00."""
    carried = [{"at": hour(at), "place": place} for at, place in moves]
    return said("way", h, way="warm", press=hour(17), load=hour(19), supper=hour(20), moves=carried, proof=proof,
                asked=asked)  # fmt: skip


def test_a_way_stands_with_its_times_and_its_moves_are_made_at_theirs() -> None:
    state = fold(PLAN, [way(16, (16, "warm"), (18, "bench"))])
    assert state.way is not None
    assert (state.way.kind, state.way.press_at, state.way.load_at) == ("warm", hour(17), hour(19))
    assert [(m.at, m.place) for m in state.moves] == [(hour(16), "warm"), (hour(18), "bench")]
    assert (state.supper, state.agreed, state.wanted) == (hour(20), hour(20), PLAN.supper)


def test_a_way_taken_unasked_is_not_agreed_to() -> None:
    assert fold(PLAN, [way(16, asked=False)]).agreed == PLAN.supper


def test_the_next_way_calls_off_what_the_one_before_had_not_had_carried_yet() -> None:
    state = fold(PLAN, [way(16, (16, "warm"), (18, "bench")), way(17, (17, "fridge"))])
    assert [(m.at, m.place) for m in state.moves] == [(hour(16), "warm"), (hour(17), "fridge")]


def test_a_tray_pressed_after_a_way_went_where_the_way_said_and_stays_there_whatever_is_chosen_next() -> None:
    events = [way(16, proof="warm"), done("press", 17), way(18)]
    assert [(m.at, m.place) for m in fold(PLAN, events).moves] == [(hour(17) + 1, "warm")]
    assert [fold(PLAN, events[:n]).proof for n in (0, 1, 3)] == ["", "warm", ""]
    assert fold(PLAN, [way(16, proof="moon"), done("press", 17)]).moves == ()


def test_supper_said_by_hand_ends_a_way_and_undo_brings_it_back() -> None:
    by_hand = said("supper", 17, instant=hour(21))
    ended = fold(PLAN, [way(16), by_hand])
    assert (ended.way, ended.supper, ended.agreed, ended.wanted) == (None, hour(21), hour(21), hour(21))
    assert fold(PLAN, [way(16), by_hand, said("undo", 17.1, event_id=by_hand.event_id)]).way is not None


def test_moves_that_are_none_are_passed_over() -> None:
    bad = [{"at": 1.5, "place": "warm"}, {"at": True, "place": "warm"}, {"at": hour(17), "place": "moon"}, 3]
    for moves in (bad, "none", None):
        assert fold(PLAN, [said("way", 16, way="warm", load=hour(19), supper=hour(20), moves=moves)]).moves == ()


def test_what_eye_and_finger_said_is_kept_in_the_order_it_happened() -> None:
    events = [
        said("poked", 18, springs="slowly"),
        said("looked", 17, seen="doubled"),
        said("looked", 16, seen="hardly"),
    ]
    state = fold(PLAN, events)
    assert [one.said for one in state.looks] == ["hardly", "doubled"]
    assert [one.said for one in state.pokes] == ["slowly"]


def test_what_is_said_of_another_plans_dough_is_not_this_ones() -> None:
    plan = replace(sample_plan(), revision=2)
    mixed = replace(done("mix", 7.5), revision=1)
    room = replace(said("room", 8, temp_c=24.0), revision=1)
    state = fold(plan, [mixed, room])
    assert state.done == ()
    assert [one.temp_c for one in state.rooms] == [24.0], "the room is the household's"
    assert [one.step_id for one in fold(replace(plan, revision=3, dough_of=1), [mixed]).done] == ["mix"]
    assert [one.step_id for one in fold(plan, [replace(mixed, revision=0)]).done] == ["mix"], "an older phone's"


def test_too_much_yeast_that_stays_makes_the_dough_quicker_at_once_and_its_last_word_counts() -> None:
    """A quarter more yeast: 1.25^0.6 = 1.143 times the rate (core/rise/pace.py), so progress by a given time is that
    many times as much (the same walk, counted by hand)."""
    plan = sample_plan()
    line = next(f"{one.part}/{one.key}" for one in plan.lines if one.kind == "yeast")

    def poured(at: int, **more: object) -> Event:
        return Event(f"{at:032x}", plan.bake_id, at, at, "p", "poured", {"line": line, "grams": 2.5, **more})

    mixed = Event("a" * 32, plan.bake_id, plan.rise.mixed_at, plan.rise.mixed_at, "p", "done", {"step_id": "mix"})
    more = poured(plan.rise.mixed_at - 60, kept=True, pace=1.143)
    now = plan.rise.mixed_at + 5 * 3600
    plain, quick = (retime(plan, fold(plan, events), now) for events in ([mixed], [mixed, more]))
    assert quick.progress == pytest.approx(1.143 * plain.progress, rel=1e-9)
    assert quick.steps[1].best_at < plain.steps[1].best_at
    taken_up = poured(plan.rise.mixed_at - 30)
    assert fold(plan, [mixed, more, taken_up]).pace == 1.0
