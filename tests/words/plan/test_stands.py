"""What a pressing says of each place where its tray could stand."""

from __future__ import annotations

from dataclasses import replace

from tests.core.now.test_side_by_side import party
from tests.planning.test_full_plan import KITCHEN
from tests.planning.test_second_go import cold_plan, done_until
from tests.samples import sample_plan
from tests.words.plan.test_warm_spot import THERE, express, step_of
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.retimed import timed_steps
from webapp.reminders.moments import entries_for
from webapp.words.plan import slots
from webapp.words.plan.oven import OFF
from webapp.words.plan.stands import STANDS, by_place
from webapp.words.spoken import spoken


def test_each_place_has_its_own_words_with_the_time_left_open() -> None:
    plan = express(replace(KITCHEN, warm_is_oven=True))
    press = step_of(plan, "press")
    said = by_place(plan, KITCHEN)[press.step_id]
    assert list(said) == ["bench", "bench-cold", "fridge", "fridge-cold", "warm", "warm-cold"]
    for place, words in said.items():
        assert words["text"].count(STANDS) == words["beside"].count(STANDS) == 1
        assert (THERE in words["text"]) == place.startswith("warm")
        assert ("warm spot" in words["title"]) == place.startswith("warm")
    shown = step_of(spoken(plan, KITCHEN), "press")
    mine = said[shown.place]
    assert mine["title"] == shown.title
    before, after = mine["text"].split(STANDS)
    assert shown.text.startswith(before)
    assert shown.text.endswith(after)


def test_in_another_pan_too_it_names_the_place_that_the_way_took() -> None:
    press = step_of(express(replace(KITCHEN, warm_is_oven=True)), "press")
    said = by_place(express(replace(KITCHEN, warm_is_oven=True)), KITCHEN)[press.step_id]
    for place, words in said.items():
        other = words["other_pan"]
        assert not isinstance(other, str)
        assert other["text"].count(STANDS) == 1
        assert slots.PAN in other["text"]
        assert (THERE in other["text"]) == place.startswith("warm")


def test_a_lifting_before_a_long_wait_turns_the_oven_off_in_place_of_the_dial_back() -> None:
    plan = party(2)
    said = by_place(plan, KITCHEN)
    shown = next(one for one in spoken(plan, KITCHEN).steps if one.step_id == "lift-1")
    assert said["lift-1"]["on"]["text"] == shown.text
    assert "dial back" in shown.text
    assert "dial back" not in said["lift-1"]["off"]["text"]
    assert OFF in str(said["lift-1"]["off"]["text"])
    assert "lift-2" not in said, "after the last it goes off anyway"


def test_a_bowl_has_one_place_and_its_wait_is_left_open_for_the_phone_as_well() -> None:
    plan = cold_plan()
    temper = step_of(plan, "temper")
    assert list(said := by_place(plan, KITCHEN)[temper.step_id]) == [temper.place]
    assert str(said[temper.place]["text"]).count(STANDS) == 1  # type: ignore[index]
    assert "chill" not in by_place(plan, KITCHEN), "which says no time"


def test_page_and_calendar_say_the_waits_as_they_are_once_a_way_was_taken() -> None:
    """Out of the fridge 40 minutes late, pressed 20 minutes after that, the tray in the warm spot 45 minutes later."""
    plan = cold_plan()
    temper, press, relax, top = (step_of(plan, one) for one in ("temper", "press", "relax", "top"))
    out = temper.end + 2400
    before = done_until(plan, "chill")
    planned = retime(plan, fold(plan, before), temper.start - 60)
    moved = {"temper": (out - 60, out), "press": (out + 1200, out + 1800), "relax": (out + 3000, out + 3600)}
    later_s = out + 6300 - top.start
    steps = tuple(
        replace(at, start=moved[at.step_id][0], end=moved[at.step_id][1]) if at.step_id in moved
        else replace(at, start=at.start + later_s, end=at.end + later_s) if one.start >= top.start else at
        for one, at in timed_steps(plan, planned)
    )  # fmt: skip
    now = replace(planned, steps=steps)
    shown = spoken(plan, KITCHEN, retimed=now, proof="warm")
    assert "It waits about 20 minutes on the bench" in step_of(shown, "temper").text
    assert "It proofs about 1 hour 15 minutes in the warm spot" in step_of(shown, "press").text
    assert "It proofs about 45 minutes in the warm spot" in step_of(shown, "relax").text
    assert "into the warm spot" in step_of(shown, "press").title
    events = "\n".join(one.text for one in entries_for(plan, now, kitchen=KITCHEN, proof="warm"))
    for one in (temper, press, relax):
        assert step_of(shown, one.step_id).text in events
    as_planned = spoken(plan, KITCHEN)
    for one in (temper, press, relax):
        assert step_of(as_planned, one.step_id).text not in events
    assert step_of(spoken(plan, KITCHEN, retimed=planned), "temper").text == step_of(as_planned, "temper").text


def test_a_dough_that_by_now_has_not_to_wait_is_said_to_be_where_it_is_as_on_the_phone() -> None:
    """Out of the fridge late and pressed at once: the phone has a slot to fill, and says the place alone."""
    plan = cold_plan()
    temper, press = step_of(plan, "temper"), step_of(plan, "press")
    assert "It waits about" in step_of(spoken(plan, KITCHEN), "temper").text
    planned = retime(plan, fold(plan, done_until(plan, "chill")), temper.start - 60)
    steps = tuple(
        replace(at, start=press.start - 60, end=press.start) if at.step_id == temper.step_id else at
        for at in planned.steps
    )
    said = step_of(spoken(plan, KITCHEN, retimed=replace(planned, steps=steps)), "temper").text
    assert said == "Take it out, still covered. It waits on the bench and stays cold: it is pressed so, in two goes."


def test_a_plan_of_before_there_were_facts_keeps_its_own_words() -> None:
    assert by_place(sample_plan(), KITCHEN) == {}
