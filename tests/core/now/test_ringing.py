"""What rings: every due step of every bake, what matters most first, until it is hushed, done or forgotten.

Times are worked by hand from the sample day (tests/samples.py): press 16:45, light the oven 18:10, top 18:45, load
18:55, turn down 18:56, check 19:10. How often it rings is common sense, written out in core/now/ringing.py.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import at, sample_plan
from webapp.core.now import ringing
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ringing import BakeNow, Due, Ring, dues, heed, hushed, rang, rings_now
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep

SAUCE = PlanStep(
    "sauce", "sauce", at(17, 58), at(18, 3), "hands", "none", "", chain=False, anchor="load", offset_s=-57 * 60,
    title="Make the sauce", text="Crush the tomatoes.",
)  # fmt: skip


def with_sauce() -> Plan:
    """The sample day with a chore twelve minutes before the oven."""
    plan = sample_plan()
    return replace(plan, steps=(*plan.steps[:2], SAUCE, *plan.steps[2:]))


def said(plan: Plan, *steps: tuple[str, int]) -> list[Event]:
    """These steps, done at these instants."""
    rows = enumerate(steps)
    return [Event(f"{i:032x}", plan.bake_id, when, when, "one", "done", {"step_id": name}) for i, (name, when) in rows]


def bake(plan: Plan, now: int, *done: tuple[str, int], over: bool = False) -> BakeNow:
    """That bake as it stands."""
    state = fold(plan, said(plan, *done))
    return BakeNow(plan.bake_id, plan, retime(plan, state, now), retime(plan, state, 0), over)


MIXED, PRESSED = ("mix", at(7, 30)), ("press", at(16, 55))


def names(rings: list[Ring]) -> list[str]:
    """Their steps."""
    return [one.step_id for one in rings]


def test_nothing_rings_before_its_time() -> None:
    assert heed([], [bake(with_sauce(), at(17, 57), MIXED, PRESSED)], at(17, 57)) == []


def test_a_forgotten_chore_does_not_mute_the_oven_which_stands_first() -> None:
    now = at(18, 10)
    memory = heed([], [bake(with_sauce(), now, MIXED, PRESSED)], now)
    assert names(memory) == ["preheat", "sauce"]
    assert names(rings_now(memory, now)) == ["preheat", "sauce"]
    assert [one.since for one in memory] == [at(18, 10), at(17, 58)]


def test_what_is_in_the_oven_comes_before_the_oven_and_the_dough_before_chores() -> None:
    kinds = ("lift", "turn-down", "load", "press", "cheese-out", "serve")
    steps = [replace(SAUCE, kind=kind, chain=kind != "cheese-out") for kind in kinds]
    assert [ringing.rank_of(step) for step in steps] == [0, 1, 2, 3, 4, 4]


def test_a_dough_that_was_never_said_to_be_pressed_does_not_mute_the_oven_either() -> None:
    """At 18:10 the oven waits for a pressing that nobody ticked; it may well have been done."""
    plan, now = sample_plan(), at(18, 10)
    found = heed([], [bake(plan, now, MIXED)], now)
    perhaps = ringing.PERHAPS
    assert [(one.step_id, one.rank) for one in found] == [
        ("press", ringing.FALLS),
        ("preheat", perhaps + ringing.HEATS),
    ]
    later = now + ringing.PERHAPS_S
    then = heed(found, [bake(plan, later, MIXED)], later)  # topping 18:45, loading 18:57, turn-down 19:02, check 19:10
    assert [(one.step_id, one.rank) for one in then if one.stage == "due"] == [
        ("press", ringing.FALLS),
        ("turn-down", perhaps + ringing.BURNS),
        ("check", perhaps + ringing.BURNS),
        ("load", perhaps + ringing.HEATS),
        ("top", perhaps + ringing.FALLS),
    ]


@pytest.mark.many_cases
def test_a_mixing_that_was_never_said_mutes_nothing_behind_it() -> None:
    """Every step rings at its time by the plan, ten times and no more; the mixing that is truly due stands first."""
    plan = with_sauce()
    memory: list[Ring] = []
    rung: dict[str, list[int]] = {}
    for now in sorted({step.start + late for step in plan.steps for late in range(-30, 360, 30)}):
        memory = heed(memory, [bake(plan, now)], now)
        assert names(memory)[:1] in ([], ["mix"])
        for one in rings_now(memory, now):
            rung.setdefault(one.step_id, []).append(now)
        memory = rang(memory, now, heard=True)
    assert {name: times[0] for name, times in rung.items()} == {step.step_id: step.start for step in plan.steps}
    assert {len(times) for times in rung.values()} == {ringing.TIMES}


def test_a_mixing_that_is_said_after_all_makes_what_was_perhaps_due_truly_due() -> None:
    plan, now = with_sauce(), at(16, 46)
    found = heed([], [bake(plan, now)], now)
    assert [(one.step_id, one.rank) for one in found] == [
        ("mix", ringing.FALLS),
        ("press", ringing.PERHAPS + ringing.FALLS),
    ]
    then = heed(found, [bake(plan, now + 30, MIXED)], now + 30)
    assert [(one.step_id, one.stage, one.rank) for one in then] == [
        ("press", "due", ringing.FALLS),
        ("mix", "done", ringing.FALLS),
    ]


def test_a_step_that_was_put_off_is_not_perhaps_due_at_its_old_time() -> None:
    plan, now = with_sauce(), at(16, 46)
    put_off = [*said(plan, MIXED), Event("f" * 32, plan.bake_id, now, now, "one", "later", {"until": at(17, 30)})]
    state = fold(plan, put_off)
    waiting = BakeNow(plan.bake_id, plan, retime(plan, state, now), retime(plan, state, 0), False)
    assert heed([], [waiting], now) == []


def test_once_the_sound_has_come_what_is_due_need_not_wait_for_its_turn_and_what_was_heard_stays_quiet() -> None:
    plan, now = with_sauce(), at(18, 10)
    memory = rang(heed([], [bake(plan, now, MIXED, PRESSED)], now), now, heard=False)
    assert rings_now(memory, now + 3) == []
    assert names(rings_now(ringing.at_once(memory), now + 3)) == ["preheat", "sauce"]
    assert rings_now(ringing.at_once(hushed(memory)), now + 3) == []


def test_a_supper_that_slides_in_steps_of_five_minutes_is_due_all_the_while_and_stays_quiet() -> None:
    plan = sample_plan()
    kinds = ("mix", "press", "preheat", "top", "load", "turn-down", "check", "lift")
    said = tuple((step.step_id, step.start) for kind in kinds for step in plan.steps if step.kind == kind)
    serve = next(step for step in plan.steps if step.kind == "serve")
    memory: list[Ring] = []
    for minute in range(40, 60):
        now = serve.start + minute * 60
        memory = heed(memory, [bake(plan, now, *said)], now)
        assert names(memory) == [serve.step_id], minute
        memory = hushed(memory)
    assert [one.stage for one in memory] == ["hushed"]


def test_nothing_of_yesterday_rings_today_whatever_was_said_last() -> None:
    plan = sample_plan()
    for said in ((), (MIXED,), (MIXED, PRESSED)):
        now = plan.supper + 20 * 3600
        assert heed([], [bake(plan, now, *said)], now) == []


def test_what_was_perhaps_due_and_hushed_rings_when_it_truly_is() -> None:
    plan, now = sample_plan(), at(18, 10)
    quiet = hushed(heed([], [bake(plan, now, MIXED)], now))
    later = at(18, 12)
    found = heed(quiet, [bake(plan, later, MIXED, PRESSED)], later)
    assert [(one.step_id, one.stage) for one in found if one.stage == "due"] == [("preheat", "due")]


def test_what_was_in_the_oven_yesterday_does_not_ring_today() -> None:
    """It was loaded two minutes late, so its six hours end at two minutes past; supper's own end a little later."""
    plan = sample_plan()
    lift = next(step for step in plan.steps if step.kind == "lift")
    loaded = (MIXED, PRESSED, ("preheat", at(18, 11)), ("top", at(18, 53)), ("load", at(18, 57)))
    for later, rings in ((3600, True), (6 * 3600, True), (6 * 3600 + 120, False), (24 * 3600, False)):
        now = lift.start + later
        assert ("lift" in names(heed([], [bake(plan, now, *loaded)], now))) is rings


def test_a_tray_whose_loading_was_never_said_is_not_left_to_burn() -> None:
    """Loading is due at 18:57 and hushed; the tray may well be in: it is still to be lifted when the plan said."""
    plan = sample_plan()
    lift = next(step for step in plan.steps if step.kind == "lift")
    topped = (MIXED, PRESSED, ("preheat", at(18, 11)), ("top", at(18, 53)))
    quiet = hushed(heed([], [bake(plan, at(18, 57), *topped)], at(18, 57)))
    found = heed(quiet, [bake(plan, lift.start, *topped)], lift.start)
    assert ("lift", "due", ringing.PERHAPS) in [(one.step_id, one.stage, one.rank) for one in found]
    assert "lift" in names(rings_now(found, lift.start))


def test_a_dial_that_was_never_ticked_mutes_neither_the_check_nor_the_lifting() -> None:
    """Loaded at 18:55, the dial never ticked and made quiet: check 14 min after loading, out 19 min after."""
    plan = sample_plan()
    events = (MIXED, PRESSED, ("preheat", at(18, 11)), ("top", at(18, 53)), ("load", at(18, 55)))
    memory = hushed(heed([], [bake(plan, at(18, 57), *events)], at(18, 57)))
    rung: dict[str, int] = {}
    for now in range(at(18, 57), at(19, 20), 30):
        memory = heed(memory, [bake(plan, now, *events)], now)
        for one in rings_now(memory, now):
            rung.setdefault(one.step_id, now)
    assert rung == {"check": at(19, 9), "lift": at(19, 14)}
    assert names(memory) == [
        "lift",
        "turn-down",
        "check",
    ]  # what has to come out leads, the forgotten dial is still said


def test_a_step_that_happens_by_itself_rings_for_nobody() -> None:
    plan = sample_plan()
    alone = replace(plan, steps=tuple(replace(step, presence="none") for step in plan.steps))
    assert dues(alone, retime(alone, fold(alone, []), at(7, 16)), retime(alone, fold(alone, []), 0), at(7, 16)) == []


def test_it_rings_at_once_then_each_half_minute_ten_times_and_what_burns_goes_on_each_five_minutes() -> None:
    now = at(18, 10)
    memory = heed([], [bake(with_sauce(), now, MIXED, PRESSED)], now)
    heard: dict[str, list[int]] = {"preheat": [], "sauce": []}
    for second in range(3 * 3600):
        for one in rings_now(memory, now + second):
            heard[one.step_id].append(second)
        memory = rang(memory, now + second, heard=True)
    assert heard["sauce"] == [0, 30, 60, 90, 120, 150, 180, 210, 240, 270]
    assert heard["preheat"][:10] == heard["sauce"]
    assert heard["preheat"][10:] == [270 + 300 * n for n in range(1, 25)]


def test_a_ring_that_nobody_could_hear_is_tried_again_without_counting() -> None:
    now = at(18, 10)
    memory = heed([], [bake(sample_plan(), now, MIXED, PRESSED)], now)
    for turn in range(40):
        assert len(rings_now(memory, now + 30 * turn)) == 1
        memory = rang(memory, now + 30 * turn, heard=False)
    assert memory[0].rung == 0


def test_a_clock_that_was_set_back_does_not_hold_it_up() -> None:
    now = at(18, 10)
    memory = rang(heed([], [bake(sample_plan(), now, MIXED, PRESSED)], now), now, heard=True)
    assert rings_now(memory, now + 29) == []
    assert len(rings_now(memory, now - 3600)) == 1


def test_hushed_stays_hushed_while_other_bakes_come_and_go_until_its_time_moves() -> None:
    plan, now = sample_plan(), at(18, 10)
    other = replace(plan, bake_id="other")
    memory = hushed(heed([], [bake(plan, now, MIXED, PRESSED)], now))
    memory = heed(memory, [bake(plan, now + 60, MIXED, PRESSED), bake(other, now + 60, MIXED, PRESSED)], now + 60)
    assert [(one.bake_id, one.stage) for one in memory] == [(plan.bake_id, "hushed"), ("other", "due")]
    assert [one.bake_id for one in rings_now(memory, now + 60)] == ["other"]
    put_off = said(plan, MIXED, PRESSED)
    put_off.append(Event("f" * 32, plan.bake_id, now, now, "one", "later", {"until": now + 1800}))
    state = fold(plan, put_off)
    waiting = BakeNow(plan.bake_id, plan, retime(plan, state, now + 90), retime(plan, state, 0), False)
    memory = heed(memory, [waiting], now + 90)
    assert names(memory) == ["preheat"]
    assert memory[0].stage == "forgotten", "the other bake left the phone; this one only waits"
    again = BakeNow(plan.bake_id, plan, retime(plan, state, now + 1800), retime(plan, state, 0), False)
    assert [one.stage for one in heed(memory, [again], now + 1800)] == ["due"]


def test_done_is_said_once_and_taken_back_it_is_due_anew() -> None:
    plan, now = sample_plan(), at(18, 11)
    memory = rang(heed([], [bake(plan, now, MIXED, PRESSED)], now), now, heard=True)
    lit = bake(plan, now, MIXED, PRESSED, ("preheat", now))
    done = heed(memory, [lit], now)
    assert [(one.step_id, one.stage) for one in done] == [("preheat", "done")]
    assert rings_now(done, now + 60) == []
    assert heed(done, [lit], now + 1) == []
    back = heed(done, [bake(plan, now + 2, MIXED, PRESSED)], now + 2)
    assert [(one.stage, one.rung) for one in back] == [("due", 0)]


def test_a_bake_that_is_over_or_gone_is_forgotten_and_rings_no_more() -> None:
    plan, now = sample_plan(), at(18, 11)
    memory = heed([], [bake(plan, now, MIXED, PRESSED)], now)
    for standing in ([bake(plan, now, MIXED, PRESSED, over=True)], []):
        ended = heed(memory, standing, now)
        assert [one.stage for one in ended] == ["forgotten"]
        assert rings_now(ended, now) == []
        assert heed(ended, standing, now) == []


def test_of_two_that_matter_alike_the_one_that_waits_longer_stands_first() -> None:
    now = at(18, 40)
    one, other = replace(sample_plan(), bake_id="one"), replace(sample_plan(), bake_id="other")
    sooner = replace(other, steps=tuple(replace(s, start=s.start - 600, end=s.end - 600) for s in other.steps))
    memory = heed([], [bake(one, now, MIXED, PRESSED), bake(sooner, now, MIXED, PRESSED)], now)
    assert [(ring.bake_id, ring.step_id) for ring in memory][:2] == [("other", "preheat"), ("one", "preheat")]


@pytest.mark.parametrize("now", [at(7, 16), at(18, 57), at(20)])
def test_every_due_step_has_one_entry(now: int) -> None:
    plan = with_sauce()
    standing = bake(plan, now)
    found = dues(plan, standing.retimed, standing.untimed, now)
    assert all(isinstance(due, Due) for due in found)
    memory = heed([], [standing], now)
    assert sorted(names(memory)) == sorted(due.step_id for due in found)
    assert len(set(names(memory))) == len(memory)
