"""What rings: the evening of the sample plan and others, worked by hand on paper from the rule in `moments`.

The sample evening (all UTC): away until 16:30, press 16:45, light the oven 18:10, topping 18:45, in 18:55, turn down
18:56, out and supper after that.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import select, update

from tests.home import Home
from tests.planning.test_full_plan import plans, wish
from tests.reminders.test_ics import retimed
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kitchen import NO_ALARM, Kitchen
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.reminders.events import entries, set_alarms
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.moments import entries_for
from webapp.store.schema.tables import calendar_entries

KITCHEN = sample_kitchen()
# 17:50, by hand: the topping is at 18:45, the rise before it needs 45 min, the pressing 10 (see kitchens/test_lateness)
BY = "Home by 17:50 at the latest: press into the oiled tray"
HOME = f"{BY} (planned 16:45)"


def rung(shown: tuple[Entry, ...]) -> list[tuple[int, str]]:
    return [(e.start - 60 * e.alarm_min, e.title) for e in shown if e.alarm_min != NO_ALARM]


def with_step(plan: Plan, step_id: str, **changes: object) -> Plan:
    return replace(plan, steps=tuple(replace(s, **changes) if s.step_id == step_id else s for s in plan.steps))  # type: ignore[arg-type]


def lift_start() -> int:
    return next(s.start for s in sample_plan().steps if s.step_id == "lift")


def test_a_plain_evening_rings_six_times() -> None:
    assert rung(entries_for(sample_plan(), kitchen=KITCHEN)) == [
        (at(7, 5), "Mix the dough"),
        (at(16, 0), HOME),
        (at(16, 40), "Press into the oiled tray"),
        (at(18, 5), "Light the oven"),
        (at(18, 45), "Put the topping on, then load the tray"),
        (lift_start(), "Out of the oven"),
    ]


def test_every_step_is_told_of_in_exactly_one_event_and_in_full() -> None:
    shown = entries_for(sample_plan(), kitchen=KITCHEN)
    told = [one for e in shown if "home" not in e.step_id for one in (e.step_id, *e.also)]
    assert sorted(told) == sorted(s.step_id for s in sample_plan().steps)
    for step in sample_plan().steps:
        (event,) = [e for e in shown if step.step_id in (e.step_id, *e.also)]
        assert step.text in event.text


def test_the_turn_down_is_named_with_its_minute_where_the_tray_goes_in() -> None:
    (load,) = [e for e in entries_for(sample_plan(), kitchen=KITCHEN) if "load" in e.also]
    assert "18:56 Turn the oven down\nDial to 220 C as soon as the door is shut." in load.text


def test_a_turn_down_some_minutes_after_loading_rings_by_itself_and_is_named_all_the_same() -> None:
    plan = with_step(sample_plan(), "turn-down", start=at(19, 3), end=at(19, 4))
    shown = entries_for(plan, kitchen=KITCHEN)
    assert (at(19, 3), "Turn the oven down") in rung(shown)
    (load,) = [e for e in shown if "load" in e.also]
    assert "19:03 Turn the oven down" in load.text


def test_every_step_is_a_choice_and_then_each_has_its_own_event() -> None:
    shown = entries_for(sample_plan(), kitchen=replace(KITCHEN, every_step=True))
    assert [e.step_id for e in shown if "home" not in e.step_id] == [s.step_id for s in sample_plan().steps]
    assert len(rung(shown)) == len(sample_plan().steps) + 1


def test_who_wants_every_step_is_called_home_in_time_too_by_the_minutes_that_were_chosen() -> None:
    for minutes, ring in ((None, at(16)), (60, at(15, 30)), (NO_ALARM, 0)):
        own = () if minutes is None else (("home", minutes),)
        shown = entries_for(sample_plan(), kitchen=replace(KITCHEN, every_step=True, alarms=own))
        assert [when for when, title in rung(shown) if title == HOME] == ([ring] if ring else [])


def test_rings_of_every_step_come_in_order_whatever_minutes_were_chosen() -> None:
    """The topping an hour before its start rings at 17:45: the oven, whose step comes before it, rings no later."""
    own = replace(KITCHEN, every_step=True, alarms=(("top", 60),))
    rings = rung(entries_for(sample_plan(), kitchen=own))
    assert (at(17, 45), "Put the topping on") in rings
    assert (at(17, 45), "Light the oven") in rings
    assert [when for when, _ in rings] == sorted(when for when, _ in rings)


def at_the_door(minute: int = 30) -> Plan:
    """Home at 16:30, and the dough waits from some minute of that hour on."""
    return with_step(sample_plan(), "press", start=at(16, minute), end=at(16, minute + 10))


@pytest.mark.parametrize("minute", [30, 35, 40, 59])
def test_it_rings_in_time_to_leave_and_again_when_the_hand_is_needed_however_soon_after_coming_home(
    minute: int,
) -> None:
    """Half an hour before 16:30, and five minutes before the dough is pressed out."""
    shown = entries_for(at_the_door(minute), kitchen=KITCHEN)
    rings = rung(shown)
    assert (at(16), f"{BY} (planned 16:{minute})") in rings
    assert (at(16, minute - 5), "Press into the oiled tray") in rings
    assert len(rings) == 6
    (home,) = [e for e in shown if "home" in e.step_id]
    assert home.start == at(16, 30)
    assert f"Planned for 16:{minute}: press into the oiled tray. By 17:50 at the latest" in home.text


def test_what_somebody_is_called_home_for_rings_by_itself_on_a_crowded_evening_too() -> None:
    """A fridge and a late turn-down make eight: what can wait is told with what rings within the hour before it, and
    the press-out, half an hour after the dough left the fridge, cannot, because somebody hurried home for it."""
    out = PlanStep("temper", "temper", at(16), at(16, 5), "hands", alarm_min=5, title="Dough out of the fridge")
    press = at_the_door()
    crowded = replace(press, steps=(press.steps[0], out, *press.steps[1:]))
    crowded = with_step(crowded, "turn-down", start=at(19, 3), end=at(19, 4))
    rings = rung(entries_for(crowded, kitchen=KITCHEN))
    assert (at(16), "Home by 16:30: press into the oiled tray") in rings, "another took it out: the hour of the plan"
    assert (at(16, 25), "Press into the oiled tray") in rings


def test_minutes_of_ones_own_for_the_step_or_none_for_coming_home_are_kept() -> None:
    own = replace(KITCHEN, alarms=(("press", 2),))
    rings = rung(entries_for(at_the_door(), kitchen=own))
    assert (at(16, 28), "Press into the oiled tray") in rings
    assert (at(16), f"{BY} (planned 16:30)") in rings
    silent = replace(KITCHEN, alarms=(("home", NO_ALARM),))
    rings = rung(entries_for(at_the_door(), kitchen=silent))
    assert (at(16, 25), "Press into the oiled tray") in rings
    assert not [title for _, title in rings if "home" in title]


def test_once_the_step_is_done_nobody_is_called_home_for_it() -> None:
    done = retimed(at_the_door(), press=(at(16, 20), at(16, 30), "done"))
    assert not [title for _, title in rung(entries_for(at_the_door(), done, kitchen=KITCHEN)) if "ress" in title]


def test_a_file_rings_in_time_to_leave_and_at_the_step_with_one_alarm_an_event() -> None:
    written = vobject.readOne(write_calendar(entries_for(at_the_door(40), kitchen=KITCHEN)).decode())
    alarms = {e.summary.value: [e.dtstart.value + one.trigger.value for one in e.valarm_list]
              for e in written.vevent_list if "ress" in e.summary.value}  # fmt: skip
    assert {title: [int(when.timestamp()) for when in rings] for title, rings in alarms.items()} == {
        f"{BY} (planned 16:40)": [at(16)],
        "Press into the oiled tray": [at(16, 35)],
    }


def with_fridge(minutes_after: int) -> Plan:
    chill = PlanStep("chill", "chill", at(7, 30 + minutes_after), at(7, 35 + minutes_after), "hands", "fridge",
                     alarm_min=5, title="Dough into the fridge", text="Lid on, coldest shelf.")  # fmt: skip
    return replace(sample_plan(), steps=(sample_plan().steps[0], chill, *sample_plan().steps[1:]))


def test_a_dough_that_goes_into_the_fridge_within_ten_minutes_of_mixing_is_told_with_the_mixing() -> None:
    """Mixing is from 7:15 to 7:30. What is told there stands with its minute, and the event ends when mixing does."""
    mixing = entries_for(with_fridge(10), kitchen=KITCHEN)[0]
    assert mixing.title == "Mix the dough, then dough into the fridge"
    assert "07:40 Dough into the fridge\nLid on, coldest shelf." in mixing.text
    assert mixing.end == at(7, 30)
    own = replace(KITCHEN, alarms=(("chill", 5),))
    assert (at(7, 35), "Dough into the fridge") in rung(entries_for(with_fridge(10), kitchen=own))
    mixed = retimed(with_fridge(10), mix=(at(7, 15), at(7, 30), "done"))
    assert "Dough into the fridge" not in [
        title for _, title in rung(entries_for(with_fridge(10), mixed, kitchen=KITCHEN))
    ]


@pytest.mark.parametrize("minutes", [11, 30, 55])
def test_a_dough_that_goes_into_the_fridge_later_rings_for_it_while_its_day_has_room(minutes: int) -> None:
    """Six rings a day: the sample day has six, seven with the fridge. Mixed the day before, it has five and two."""
    rings = rung(entries_for(the_day_before(with_fridge(minutes)), kitchen=KITCHEN))
    assert (at(7, 30 + minutes - 5) - 86400, "Dough into the fridge") in rings
    assert len(rings) == 7
    full = rung(entries_for(with_fridge(minutes), kitchen=KITCHEN))
    assert len(full) == (6 if minutes < 46 else 7), "told with the mixing, but not an hour and more after it rang"


def test_a_second_tray_pressed_out_half_an_hour_after_the_first_rings_by_itself() -> None:
    """On a day at home: mixing, two trays pressed out, the oven, two topped, two out of it, eight rings of eight."""
    second = [
        replace(s, step_id=f"{s.step_id}-2", start=s.start + 1800, end=s.end + 1800)
        for s in sample_plan().steps
        if s.kind in ("press", "top", "load", "lift")
    ]
    steps = tuple(sorted((*sample_plan().steps, *second), key=lambda s: s.start))
    rings = rung(entries_for(replace(sample_plan(), steps=steps, busy=()), kitchen=KITCHEN))
    pressed = [when for when, title in rings if title == "Press into the oiled tray"]
    assert pressed == [at(16, 40), at(17, 10)]
    assert len(rings) <= 8


def the_day_before(plan: Plan) -> Plan:
    """Mixed, and put into the fridge, a day earlier."""
    early = [replace(s, start=s.start - 86400, end=s.end - 86400) for s in plan.steps[:2]]
    return replace(plan, steps=(*early, *plan.steps[2:]))


def test_coming_home_rings_only_when_a_step_waits_for_it() -> None:
    later = with_step(sample_plan(), "press", start=at(17, 15), end=at(17, 25))
    assert not [title for _, title in rung(entries_for(later, kitchen=KITCHEN)) if title.startswith("Home by")]
    done = retimed(sample_plan(), press=(at(16, 20), at(16, 30), "done"))
    assert not [title for _, title in rung(entries_for(sample_plan(), done, kitchen=KITCHEN)) if "home" in title]
    for minutes, ring in ((60, at(15, 30)), (NO_ALARM, 0)):
        own = replace(KITCHEN, alarms=(("home", minutes),))
        rings = [when for when, title in rung(entries_for(sample_plan(), kitchen=own)) if title.startswith("Home by")]
        assert rings == ([ring] if ring else [])


def test_coming_home_the_day_before_rings_only_for_a_dough_that_waits_already() -> None:
    """Supper is at 19:30: nobody hurries home the evening before to weigh flour, but for a dough that rises they do."""
    early = tuple(replace(s, start=s.start - 86400, end=s.end - 86400) for s in sample_plan().steps[:2])
    away = replace(sample_plan().busy[0], start=at(8) - 86400, end=at(16, 30) - 86400)
    first = replace(early[0], start=away.end + 600, end=away.end + 1500)
    fresh = replace(sample_plan(), busy=(away,), steps=(first, *sample_plan().steps[1:]))
    assert "Home by" not in " ".join(title for _, title in rung(entries_for(fresh, kitchen=KITCHEN)))
    rising = replace(fresh, steps=(*early, *sample_plan().steps[2:]))
    assert (at(16) - 86400, "Home by 16:45: press into the oiled tray") in rung(entries_for(rising, kitchen=KITCHEN))


def test_minutes_chosen_for_a_kind_give_it_a_ring_of_its_own_and_silence_takes_it_away() -> None:
    own = replace(KITCHEN, alarms=(("load", 2), ("check", 1), ("press", NO_ALARM)))
    rings = {title: when for when, title in rung(entries_for(sample_plan(), kitchen=own))}
    check = next(s.start for s in sample_plan().steps if s.step_id == "check")
    assert rings["Load the tray"] == at(18, 53)
    assert rings["Check the base"] == check - 60
    assert "Put the topping on" in rings
    assert "Press into the oiled tray" not in rings


def test_a_moment_that_moved_away_from_the_one_before_it_rings_by_itself() -> None:
    """The topping is on, then the dough needs half an hour more: going into the oven is no part of a past event."""
    later = {
        s.step_id.replace("-", "_"): (s.start + 1800, s.end + 1800, "open")
        for s in sample_plan().steps
        if s.start >= at(18, 55)
    }
    now = retimed(sample_plan(), top=(at(18, 45), at(18, 53), "done"), **later)
    shown = entries_for(sample_plan(), now, kitchen=KITCHEN)
    assert (at(19, 20), "Load the tray") in rung(shown)
    together = retimed(sample_plan(), top=(at(18, 45), at(18, 53), "done"))
    shown = entries_for(sample_plan(), together, kitchen=KITCHEN)
    assert not [title for _, title in rung(shown) if "topping" in title.lower()]


def test_light_the_oven_never_rings_after_put_the_topping_on() -> None:
    plan = with_step(with_step(sample_plan(), "preheat", alarm_min=0), "top", alarm_min=60)
    rings = {title: when for when, title in rung(entries_for(plan, kitchen=KITCHEN))}
    assert rings["Light the oven"] <= rings["Put the topping on, then load the tray"] == at(17, 45)


_kinds = st.sampled_from(
    ["mix", "fold", "chill", "press", "preheat", "sauce", "top", "load", "turn-down", "check", "lift"]
)


@given(st.lists(st.tuples(_kinds, st.integers(0, 900), st.integers(0, 60)), min_size=1, max_size=14))
def test_whatever_the_day_rings_come_in_the_order_of_the_steps_and_nothing_is_lost(
    days: list[tuple[str, int, int]],
) -> None:
    steps = tuple(
        PlanStep(f"s{n}", kind, at(6) + 60 * minute, at(6) + 60 * minute + 120, "hands",
                 alarm_min=alarm, title=f"T{n}", text=f"Text {n}.")
        for n, (kind, minute, alarm) in enumerate(days)
    )  # fmt: skip
    plan = replace(sample_plan(), steps=tuple(sorted(steps, key=lambda s: s.start)), cautions=())
    shown = entries_for(plan, kitchen=KITCHEN)
    rings = [when for when, _ in rung(shown)]
    assert rings == sorted(rings)
    told = [one for e in shown if "home" not in e.step_id for one in (e.step_id, *e.also)]
    assert sorted(told) == sorted(s.step_id for s in steps)
    starts = [e.start for e in shown if e.step_id.startswith("s")]
    kinds = {s.step_id: s.kind for s in steps}
    for before, after in pairwise(shown):
        waits = kinds.get(after.step_id) in ("lift", "turn-down") or "home" in before.step_id + after.step_id
        assert waits or after.start - before.start > 600, "within ten minutes it is one event"
    assert starts == sorted(starts)


def with_days_away(*days: int) -> Plan:
    """Away from 8:00 to 16:30 on these days before the bake's (0: the day itself)."""
    away = sample_plan().busy[0]
    spans = tuple(replace(away, start=at(8) - 86400 * day, end=at(16, 30) - 86400 * day) for day in days)
    return replace(sample_plan(), busy=spans)


def test_a_coming_home_keeps_its_name_when_a_new_plan_no_longer_knows_of_days_gone_by() -> None:
    (before,) = [e for e in entries_for(with_days_away(1, 0), kitchen=KITCHEN) if "home" in e.uid]
    (after,) = [e for e in entries_for(with_days_away(0), kitchen=KITCHEN) if "home" in e.uid]
    assert before.uid == after.uid == f"{sample_plan().bake_id}-home-20261125@suppertide"


def test_two_comings_home_of_one_day_have_names_of_their_own_and_the_later_keeps_its() -> None:
    """Home for half an hour at noon; once the morning is over a new plan knows of the afternoon alone."""
    away = sample_plan().busy[0]
    noon = replace(away, start=at(6), end=at(12))
    fold = replace(sample_plan().steps[2], step_id="press-1", kind="press", start=at(12, 10), end=at(12, 20))
    both = replace(sample_plan(), busy=(noon, replace(away, start=at(12, 30))))
    both = replace(both, steps=(*both.steps[:2], fold, *both.steps[2:]))
    own = replace(KITCHEN, alarms=(("press", 5),))  # so that coming home is an event of its own
    names = [e.step_id for e in entries_for(both, kitchen=own) if "home" in e.uid]
    assert names == ["home-20261125-2", "home-20261125"]
    later = replace(both, busy=both.busy[1:])
    assert [e.step_id for e in entries_for(later, kitchen=own) if "home" in e.uid] == ["home-20261125"]


def test_a_coming_home_that_calendars_know_by_its_number_keeps_that_name(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.change(every_step=False, alarms=())
    plan = home.plan(with_days_away(1, 0))
    by_day = next(e for e in entries(home.store, home.now, home.kitchen_id) if "home" in e.uid)
    uid = by_day.uid.replace("home-20261125", "home-2")
    with home.store.transaction() as db:
        this = calendar_entries.c.step_id == by_day.step_id
        said = db.execute(select(calendar_entries.c.entry).where(this)).scalar_one()
        known = said.replace("home-20261125", "home-2")
        db.execute(update(calendar_entries).where(this).values(step_id="home-2", entry=known))
    home.moved(plan, 300)
    shown = [e for e in entries(home.store, home.now, home.kitchen_id) if "home" in e.uid]
    assert [(e.uid, e.cancelled, e.also) for e in shown] == [(uid, False, ("home-20261125",))]
    assert shown[0].sequence == 1


# -- two bakes


def test_titles_tell_two_bakes_apart_while_there_are_two(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.change(every_step=False)
    first = home.plan()
    assert titles(home, first) >= {"Light the oven"}
    second = home.plan(replace(sample_plan("c" * 22), title="Focaccia for Wednesday"))
    assert titles(home, first) >= {"Light the oven (Tray pizza for Wednesday)"}
    assert titles(home, second) >= {"Light the oven (Focaccia for Wednesday)"}
    home.drop(second)
    assert titles(home, first) >= {"Light the oven"}


def test_two_bakes_of_one_name_are_told_apart_by_their_suppers(tmp_path: Path) -> None:
    home = Home(tmp_path)
    first = home.plan()
    later = replace(sample_plan("c" * 22), supper=at(20, 30))
    home.plan(later)
    assert "Light the oven (Tray pizza for Wednesday, 19:30)" in titles(home, first)
    assert "Light the oven (Tray pizza for Wednesday, 20:30)" in titles(home, later)


def test_two_bakes_are_named_by_the_day_on_which_they_are_eaten_by_now(tmp_path: Path) -> None:
    home = Home(tmp_path)
    first = home.plan()
    second = home.plan(replace(sample_plan("c" * 22), title="", formula_name="Focaccia"))
    assert titles(home, first) >= {"Light the oven (Tray pizza for Wednesday)"}
    assert titles(home, second) >= {"Light the oven (Focaccia for Wednesday)"}
    home.did(second, "supper", at(8), instant=second.supper + 86400)
    assert titles(home, second) >= {"Light the oven (Focaccia for Thursday)"}


def test_two_bakes_of_one_name_for_one_hour_are_told_apart_by_which_begins_first(tmp_path: Path) -> None:
    home = Home(tmp_path)
    first = home.plan()
    steps = tuple(replace(s, start=s.start + 600, end=s.end + 600) for s in sample_plan().steps[:1])
    second = home.plan(replace(sample_plan("c" * 22), steps=(*steps, *sample_plan().steps[1:])))
    assert "Light the oven (Tray pizza for Wednesday, 19:30, no. 1)" in titles(home, first)
    assert "Light the oven (Tray pizza for Wednesday, 19:30, no. 2)" in titles(home, second)


def titles(home: Home, plan: Plan) -> set[str]:
    shown = entries(home.store, home.now, home.kitchen_id)
    return {e.title for e in shown if e.uid.startswith(plan.bake_id) and not e.cancelled}


def test_a_kitchen_that_goes_over_to_fewer_rings_calls_the_others_off(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.plan()
    assert len(entries(home.store, home.now, home.kitchen_id)) == len(sample_plan().steps)
    set_alarms(home.store, home.kitchen_id, {"press": 15, "home": None}, every_step=False)
    shown = {e.step_id: e for e in entries(home.store, home.now, home.kitchen_id)}
    assert {s for s, e in shown.items() if e.cancelled} == {"load", "turn-down", "check", "serve"}
    assert shown["press"].alarm_min == 15
    assert len(rung(tuple(e for e in shown.values() if not e.cancelled))) == 6


@pytest.mark.parametrize("every", [False, True])
def test_a_kept_kitchen_without_the_choice_rings_for_the_moments(every: bool) -> None:
    from webapp.records import from_plain, to_plain

    plain = to_plain(replace(Kitchen(), every_step=every))
    assert from_plain(Kitchen, plain).every_step is every
    del plain["every_step"]
    assert from_plain(Kitchen, plain).every_step is False


def test_a_dough_that_leaves_the_oven_before_it_is_lit_calls_somebody_with_what_is_done_next() -> None:
    plan = plans(wish(method_key="express", supper_local="2026-11-28T21:00"))[0]
    out, lit = (next(step for step in plan.steps if step.kind == kind) for kind in ("warm-out", "preheat"))
    called = next(one for one in entries_for(plan, kitchen=KITCHEN) if one.step_id == "warm-out")
    assert called.title == "Dough out of the warm spot, then press out into the pan"
    assert called.start == out.start < lit.start
    assert called.alarm_min >= 0, "it rings"


def test_a_sauce_to_be_made_long_after_anything_else_rings_by_itself() -> None:
    """An express evening: mixed at half past five, nothing to be done for an hour and a half, then the sauce."""
    plan = plans(wish(method_key="express", supper_local="2026-11-25T21:00"))[0]
    sauce, mix = (next(step for step in plan.steps if step.kind == kind) for kind in ("sauce", "mix"))
    assert sauce.start - mix.start > 3600
    shown = {one.step_id: one for one in entries_for(plan, kitchen=KITCHEN)}
    assert shown["sauce"].alarm_min >= 0
    assert not [one for one in shown.values() if "sauce" in one.also], "rung, and told nowhere else"
    silent = replace(KITCHEN, alarms=(("sauce", NO_ALARM),))
    assert "sauce" not in {one.step_id for one in entries_for(plan, kitchen=silent)}


def test_a_dough_that_is_out_of_the_fridge_by_the_way_that_was_taken_is_taken_out_by_no_event() -> None:
    (plan, *_) = plans(wish(method_key="cold", supper_local="2026-11-26T19:30"))
    steps = {one.step_id: one for one in plan.steps}
    chill, out, press, load = (steps[one] for one in ("chill", "temper", "press", "load"))
    then = chill.end + 3600
    done = [
        Event(f"{n:032x}", plan.bake_id, steps[one].end, steps[one].end, "p", "done", {"step_id": one}, 1)
        for n, one in enumerate(("mix", "chill"))
    ]
    moved = {"way": "bench", "press": press.start, "load": load.start, "supper": plan.supper,
             "moves": [{"at": then, "place": "bench"}], "proof": "", "asked": True, "result": "best"}  # fmt: skip
    way = Event("f" * 32, plan.bake_id, then, then, "p", "way", moved, 1)
    for events, is_told in ((done, True), ([*done, way], False)):
        told = entries_for(plan, retime(plan, fold(plan, events), then), kitchen=Kitchen(zone=plan.zone))
        said = " ".join(f"{one.title} {one.text}" for one in told)
        assert (out.title in said) is is_told
        assert press.title in said
