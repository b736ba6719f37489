"""More trays than the oven holds: what each load's steps say is true of that load alone."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from tests.planning.test_full_plan import KITCHEN, plans, wish
from webapp.core.day.day import instant_of
from webapp.core.kitchen import Oven
from webapp.core.plan.plan import Habit, Plan
from webapp.core.plan.tray import Pan
from webapp.planning.full_plan import NothingFits
from webapp.words.plan.toppings import shared_words
from webapp.words.problems.refusal import change_words

TRAY = Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0)
SMALL = Pan("small", "Small tray", "rectangle", 600.0, 1, 30.0, 20.0)
STEEL = Oven(slab="steel", slab_mm=6.0, trays_at_once=2)


@cache
def _party(pans: tuple[Pan, ...]) -> Plan:
    kitchen = replace(KITCHEN, oven=STEEL)
    return plans(wish(pans=pans, supper_local="2026-11-25T21:00", toppings_key="tomato-cheese"), kitchen)[0]


def _text(plan: Plan, kind: str, load: int) -> str:
    return [step.text for step in plan.steps if step.kind == kind][load - 1]


def _grams(text: str, word: str) -> int:
    return next(int(line.split()[0].replace("\u00a0", " ").split()[0]) for line in text.splitlines() if word in line)


def test_only_the_last_load_turns_the_oven_off_and_the_others_put_the_dial_back() -> None:
    plan = _party((replace(TRAY, count=3),))
    first, last = (_text(plan, "lift", load) for load in (1, 2))
    assert "More to come: dial back to" in first
    assert f"wait {plan.oven.recovery_min}" in first.replace("\u00a0", " ")
    assert "Turn the oven off" not in first
    assert "Turn the oven off." in last
    assert "More to come" not in last
    lifts = [step.step_id for step in plan.steps if step.kind == "lift"]
    off = next(caution for caution in plan.cautions if caution.key == "oven-off")
    assert off.step_id == lifts[-1] != lifts[0]


def test_at_a_party_the_dial_is_turned_by_the_hand_that_shuts_the_door() -> None:
    """Common practice: nobody comes back to the oven a minute after each tray, from topping the next."""
    party, alone = _party((replace(TRAY, count=3),)), plans(wish())[0]
    assert [step.kind for step in alone.steps].count("turn-down") == 1
    assert "Then turn the dial" not in _text(alone, "load", 1)
    assert not [step for step in party.steps if step.kind == "turn-down"]
    low = next(one.dial for one in party.oven.programme if one.action == "turn-down").replace("\u00a0", " ")
    for load in (1, 2):
        (step,) = (one for one in party.steps if one.kind == "load" and one.load == load)
        for said in (step.text, step.beside):
            assert f"Shut the door at once.\nThen turn the dial to {low}." in said.replace("\u00a0", " ")


def test_each_load_is_pressed_and_topped_with_its_own_share() -> None:
    # two trays of 1064 cm2, then one more and one of 600 cm2: 2128 and 1664 of 3792 cm2
    plan = _party((replace(TRAY, count=3), SMALL))
    assert "2 × Oven tray" in _text(plan, "press", 1).replace("\u00a0", " ")
    assert "Small tray" not in _text(plan, "press", 1)
    assert "Small tray" in _text(plan, "press", 2)
    assert "The rest stays covered" in _text(plan, "press", 1)
    assert "The rest stays covered" not in _text(plan, "press", 2)
    cheese = next(t.grams for t in plan.toppings if t.key == "cheese")
    said = [_grams(_text(plan, "top", load), "mozzarella") for load in (1, 2)]
    assert abs(said[0] - cheese * 2128 / 3792) <= 1
    assert abs(said[1] - cheese * 1664 / 3792) <= 1


def test_each_load_is_told_how_long_its_own_tray_proofs_and_not_until_the_next_is_pressed() -> None:
    plan = _party((replace(TRAY, count=3),))
    for load in (1, 2):
        press, top = (next(s for s in plan.steps if s.kind == kind and s.load == load) for kind in ("press", "top"))
        wait = (top.start - press.end) // 60
        hours, minutes = divmod(wait, 60)
        said = [f"{hours} hour{'s' if hours > 1 else ''}" if hours else "", f"{minutes} minutes" if minutes else ""]
        assert f"It proofs about {' '.join(one for one in said if one)} on the bench." in press.text


def test_who_eats_together_is_told_how_the_earlier_trays_are_crisp_again() -> None:
    serve = next(step for step in _party((replace(TRAY, count=3),)).steps if step.kind == "serve")
    assert "go back into the hot oven" in serve.text
    assert serve.text.index("hot oven") < serve.text.index("basil"), "a leaf that goes back into it is a black one"
    assert "go back into the hot oven" not in next(s for s in plans(wish())[0].steps if s.kind == "serve").text


def test_in_the_oven_the_clock_says_the_minute_and_the_text_beside_it_no_other() -> None:
    plan = plans(wish())[0]
    for kind in ("turn", "check"):
        step = next(one for one in plan.steps if one.kind == kind)
        minute = next(one.minute for one in plan.oven.programme if one.action == kind)
        assert f"The tray has been in for {minute} minutes." in step.text  # on paper and in the calendar
        assert "minutes" not in step.beside.split("\n")[0]
        assert step.beside


def test_two_trays_that_go_in_together_today_are_one_load() -> None:
    two = wish(pans=(replace(TRAY, count=2),), supper_local="2026-11-25T20:30")
    after, together = (plans(replace(two, at_once=many))[0] for many in (0, 2))
    assert (after.oven.loads, together.oven.loads) == (2, 1)
    assert together.oven.setting
    assert together.oven.setting.trays_at_once == 2
    # by hand, a working day home from a quarter to six: one load is ready a whole bake and its wait sooner
    assert plans(replace(two, at_once=2, supper_local="2026-11-26T19:30"))


def test_two_trays_that_go_in_together_take_twice_the_hands_before_the_oven_and_some_minutes_more_in_it() -> None:
    """By hand: pressing and topping take ten minutes a tray. A still oven holds two trays at the price of a few minutes
    and of not knowing how many (common practice: a tenth to nearly half as long again)."""
    two = wish(pans=(replace(TRAY, count=2),), toppings_key="tomato-cheese", supper_local="2026-11-26T20:30")
    one, both = plans(replace(two, pans=(TRAY,), at_once=2))[0], plans(replace(two, at_once=2))[0]

    def minutes(plan: Plan, kind: str) -> float:
        return sum(step.end - step.start for step in plan.steps if step.kind == kind) / 60

    for kind in ("press", "top"):
        assert (minutes(one, kind), minutes(both, kind)) == (10, 20)
    low, high = one.oven.bake_low_min, one.oven.bake_high_min
    assert 1.05 * low <= both.oven.bake_low_min <= 1.25 * low
    assert 1.3 * high <= both.oven.bake_high_min <= 1.5 * high
    lift = [next(a.minute for a in plan.oven.programme if a.action == "lift") for plan in (one, both)]
    assert 2 <= lift[1] - lift[0] <= 5
    assert "Half of that on each tray." in _text(both, "top", 0)
    assert "on each tray" not in _text(one, "top", 0)


def test_the_sauce_of_a_party_has_room_within_its_two_hours() -> None:
    """USDA: two hours out of the fridge. Half an hour to the first of three loads and two cycles of some 25 minutes
    leave more than half an hour for an evening that slips."""
    three = wish(pans=(replace(TRAY, count=3),), supper_local="2026-11-25T21:00", toppings_key="tomato-cheese")
    plan = plans(three, replace(KITCHEN, oven=Oven()))[0]
    made = next(step.start for step in plan.steps if step.kind == "sauce")
    last = max(step.start for step in plan.steps if step.kind == "load")
    assert plan.oven.loads == 3
    assert last - made <= 85 * 60


def test_what_lies_on_trays_of_two_sizes_is_not_halved() -> None:
    small = replace(TRAY, key="small", area_cm2=500.0)
    assert shared_words((TRAY, small)) == "That is for all 2 trays: more on the larger."
    assert shared_words((replace(TRAY, count=3),)) == "The same part of that on each of the 3 trays."


def test_trays_that_bake_together_change_shelves_and_are_looked_at_each() -> None:
    plan = _party((replace(TRAY, count=3),))
    assert "change shelves" in _text(plan, "turn", 1)
    assert "a shelf or two above" in _text(plan, "load", 1)
    assert "few minutes longer" in next(a.text for a in plan.oven.programme if a.action == "check")
    alone = plans(wish(toppings_key="tomato-cheese"))[0]
    assert "change shelves" not in _text(alone, "turn", 1)
    assert "above it" not in _text(alone, "load", 1)


def test_what_was_only_noted_after_a_bake_is_said_at_the_step_that_needs_it() -> None:
    note = Habit("note", 0.0, "Oil the tray with 5 g more, corners too.", "b", "press")
    plan = plans(wish(), replace(KITCHEN, habits=(note,)))[0]
    with_note = [step.kind for step in plan.steps if note.text in step.text]
    assert with_note == ["press"]
    assert note.text in plan.notes


def test_on_a_working_day_two_trays_are_there_together_at_half_past_seven() -> None:
    """Home at a quarter to six. By hand, back from supper: 5 min to cool, 17 of baking and lifting the second, 5 for
    the oven to come back and 17 of the first make 18:46; from 17:55, when it is pressed, that is 51 min in its tray."""
    two = wish(pans=(replace(TRAY, count=2),), method_key="", supper_local="2026-11-26T19:30")
    plan = plans(two)[0]
    at = {step.step_id: step.start for step in plan.steps}
    ends = {step.step_id: step.end for step in plan.steps}
    assert plan.ready_at <= plan.supper
    assert [step.kind for step in plan.steps].count("serve") == 1
    assert plan.supper - at["load-1"] <= (5 + 17 + 5 + 17 + 5) * 60
    for load in ("1", "2"):
        assert 45 * 60 <= at[f"load-{load}"] - ends[f"press-{load}"] <= 60 * 60
    assert at["load-2"] - ends["lift-1"] == 5 * 60
    home = instant_of("2026-11-26T17:45", plan.zone, None, "supper")
    assert not [step for step in plan.steps if step.presence == "hands" and home - 9 * 3600 < step.start < home]


@pytest.mark.many_cases
def test_on_a_working_day_two_trays_sooner_than_that_are_eaten_as_they_come_one_tap_away() -> None:
    """Five minutes sooner the first would be in its tray for 45 min after ten hours: less than a tenth of its rise."""
    two = wish(pans=(replace(TRAY, count=2),), method_key="", supper_local="2026-11-26T19:25")
    with pytest.raises(NothingFits) as caught:
        plans(two)
    way = caught.value.nearest[0]
    assert change_words(way.change, KITCHEN) == "Serve the trays as they come, the first at 19:25."
    plan = plans(way.wish)[0]
    assert way.wish == replace(two, as_they_come=True)
    serves = [step for step in plan.steps if step.kind == "serve"]
    assert [one.title for one in serves] == ["Cut and eat (load 1 of 2)", "Cut and eat (load 2 of 2)"]
    assert serves[0].start == plan.ready_at <= plan.supper
    assert not any("go back into the hot oven" in one.text for one in serves), "nothing waits for the others"
    lifts = [step.end for step in plan.steps if step.kind == "lift"]
    assert serves[1].start - lifts[1] == serves[0].start - lifts[0]


@pytest.mark.many_cases
def test_three_trays_that_do_not_fit_two_together_are_baked_one_after_the_other_one_tap_away() -> None:
    """Home at a quarter to six for eight. Two together are topped in a quarter of an hour that the oven must wait for,
    and are pressed later by as much; singly each is topped while another bakes, and all are there at eight."""
    two = replace(KITCHEN, oven=replace(KITCHEN.oven, trays_at_once=2))
    three = wish(pans=(replace(TRAY, count=3),), method_key="", supper_local="2026-11-26T20:00")
    with pytest.raises(NothingFits) as caught:
        plans(three, two)
    way = caught.value.nearest[0]
    assert change_words(way.change, two) == "Bake the trays one after the other."
    assert way.wish == replace(three, at_once=1)
    plan = plans(way.wish, two)[0]
    assert plan.ready_at <= plan.supper
    assert [step.kind for step in plan.steps].count("load") == 3


def test_a_tray_that_is_topped_beside_another_in_the_oven_says_which_goes_first() -> None:
    plan = plans(wish(pans=(replace(TRAY, count=2),), method_key="", supper_local="2026-11-26T20:00"))[0]
    assert "The tray in the oven goes first" in _text(plan, "top", 2)
    assert "The tray in the oven goes first" not in _text(plan, "top", 1)
    loads = [step.start for step in plan.steps if step.kind == "load"]
    assert loads[1] - loads[0] == 22 * 60, "17 min of baking and lifting, 5 for the oven to come back"
