"""The day planner as a person meets it: ordinary days, odd days, parties, clock changes, weeks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.oracles.offer_rules import keeps_the_rules
from tests.profiles import examples
from tests.wishes import a_bake, a_dough, method, shipped_methods, wish
from webapp.core.day.day import clock_text, date_text, day_of, instant_of, minute_of_day, same_clock
from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.core.formula.method import Method, MethodStep
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person
from webapp.core.plan.oven import OvenAction, OvenPlan
from webapp.core.planner import beginnings
from webapp.core.planner.beginnings import MOST_BEGINNINGS
from webapp.core.planner.candidates import lay_out
from webapp.core.planner.effort import (
    NEAREST_STEPS,
    OFFERS_STEPS,
    ONE_OFFER_STEPS,
    OTHERS_STEPS,
    READY,
    REASONS_STEPS,
    Effort,
)
from webapp.core.planner.offer import (
    Answer,
    BakeAction,
    Baking,
    Offer,
    SideTask,
    Wanted,
    baking_of,
)
from webapp.core.planner.propose import propose, week

LISBON = "Europe/Lisbon"
AT_HOME = DayHours(7 * 60, 23 * 60)
ALWAYS_HOME = Person("Me", (AT_HOME,) * 7)


def one(answer: Answer, key: str) -> Offer:
    return next(o for o in answer.offers if o.method == key)


def at(offer: Offer, step_id: str) -> int:
    return next(s.start for s in offer.steps if s.step_id == step_id)


def local(wanted: Wanted, offer: Offer, step_id: str) -> str:
    return clock_text(at(offer, step_id), wanted.day.zone)


# --- ordinary days ------------------------------------------------------------------------------------------------


def test_a_working_day_is_mixed_in_the_morning_and_pressed_after_coming_home() -> None:
    wanted = wish("2026-11-25T20:30", dough=a_dough(band_low=0.74, band_high=1.35))  # a kitchen that has learned
    answer = propose(wanted)
    day = one(answer, "bench-day")
    assert answer.offers[0] is day
    assert "06:45" <= local(wanted, day, "mix") < "07:45"
    assert "17:45" <= local(wanted, day, "press") <= "18:30"
    assert day.ready_at == wanted.supper
    assert 0.05 < day.instant_percent < 0.3


@pytest.mark.many_cases
@pytest.mark.parametrize("supper", ["2026-11-25T19:30", "2026-11-25T20:30", "2026-11-28T13:00", "2026-11-29T19:00"])
@pytest.mark.parametrize("now", ["2026-11-24T20:00", "2026-11-25T06:45"])
def test_every_offer_keeps_the_rules(supper: str, now: str) -> None:
    wanted = wish(supper, now)
    answer = propose(wanted)
    assert answer.fits
    for offer in answer.offers:
        keeps_the_rules(wanted, offer)


def test_up_to_three_offers_differ_in_kind_and_the_first_is_the_best() -> None:
    answer = propose(wish("2026-11-28T19:30", "2026-11-25T06:00"))
    assert len(answer.offers) == 3
    assert len({o.method for o in answer.offers}) == 3
    assert answer.offers[0].score == min(o.score for o in answer.offers)
    assert answer.offers[0].worse == ()
    for other in answer.offers[1:]:
        assert 0 < len(other.worse) <= 3


def test_with_one_method_the_others_begin_in_another_half_of_a_day() -> None:
    wanted = wish("2026-11-28T19:30", "2026-11-25T06:00", methods=(method("cold"),))
    offers = propose(wanted).offers
    assert len(offers) == 3
    halves = {(date_text(o.steps[0].start, wanted.day.zone), o.steps[0].start // 43200) for o in offers}
    assert len(halves) == 3
    assert [o.score for o in offers] == sorted(o.score for o in offers)


def test_a_copy_of_a_method_is_no_other_kind_of_day() -> None:
    """Own copies with slightly other waits take no place from days that do differ."""
    plain = method("bench-day")
    copies = tuple(replace(plain, key=f"own-{n}", name=f"Ours {n}") for n in range(3))
    alone = propose(wish(supper="2026-11-26T19:30"))
    crowded = propose(wish(supper="2026-11-26T19:30", methods=(*copies, *shipped_methods())))
    assert len({o.method for o in alone.offers}) == 3
    assert [o.method for o in crowded.offers] == [o.method for o in alone.offers]


def test_a_second_half_of_the_day_is_not_invented_where_there_is_none() -> None:
    answer = propose(wish("2026-11-25T20:30", methods=(method("bench-day"),)))
    assert len(answer.offers) == 1  # mixed at noon it would be three hours of bench: nobody is home then


def test_slack_and_earliness_say_when_the_dough_is_past_and_when_it_is_usable() -> None:
    wanted = wish("2026-11-25T20:30")
    day = one(propose(wanted), "bench-day")
    weak = a_dough()
    weak = replace(weak, press=replace(weak.press, past=weak.press.best * 1.2))
    less = one(propose(replace(wanted, dough=weak)), "bench-day")
    assert 0 < less.slack_s < day.slack_s
    assert day.meet_step == "press"
    assert less.early_s > 0
    assert less.band_early < at(less, "press") < less.band_late


def test_a_dough_that_is_soon_past_its_best_leaves_little_room() -> None:
    strict = a_dough(band_low=1.0, band_high=1.0)  # surely known: the yeast is meant for the middle
    strict = replace(strict, press=replace(strict.press, past=strict.press.best * 1.03))
    assert one(propose(wish("2026-11-25T20:30", dough=strict)), "bench-day").slack_s < 1800
    loose = replace(strict, press=replace(strict.press, past=strict.press.best * 1.25))
    assert one(propose(wish("2026-11-25T20:30", dough=loose)), "bench-day").slack_s >= 1800


def test_a_dough_of_the_fridge_waits_for_a_day() -> None:
    cold = one(propose(wish("2026-11-28T19:30", "2026-11-25T06:00")), "cold")
    assert cold.meet_step == "temper"
    assert cold.slack_s == 86400


def test_the_alarms_of_the_kitchen_go_over_those_of_the_method() -> None:
    day = one(propose(wish("2026-11-25T20:30", alarms=(("mix", 30), ("preheat", 1)))), "bench-day")
    alarms = {s.kind: s.alarm_min for s in day.steps}
    assert (alarms["mix"], alarms["preheat"], alarms["press"]) == (30, 1, 5)


def test_side_tasks_are_tied_to_the_loading() -> None:
    sides = (
        SideTask("drain", 5, 180, 120, 60), SideTask("cheese-out", 2, 40, 30, 20),
        SideTask("sauce", 10, 90, 60, 25), SideTask("sauce", 5, 90, 60, 25),
    )  # fmt: skip
    wanted = wish("2026-11-25T20:30", sides=sides)
    day = one(propose(wanted), "bench-day")
    keeps_the_rules(wanted, day)
    load = at(day, "load")
    assert {s.step_id for s in day.steps if not s.chain} == {"preheat", "drain", "cheese-out", "sauce-1", "sauce-2"}
    assert 3600 <= load - at(day, "drain") <= 10800
    assert load - at(day, "preheat") == 45 * 60


# --- people and hours ---------------------------------------------------------------------------------------------


def test_somebody_else_at_home_makes_an_early_supper_possible() -> None:
    alone = Kitchen(zone="Europe/Lisbon")
    other = Person("Other", (DayHours(away=(AwaySpan(7 * 60, 15 * 60),)),) * 7)
    assert not propose(wish("2026-11-25T17:30", kitchen=alone)).fits
    wanted = wish("2026-11-25T17:30", kitchen=replace(alone, people=(*alone.people, other)))
    offer = propose(wanted).offers[0]
    keeps_the_rules(wanted, offer)
    assert next(s.person for s in offer.steps if s.kind == "press") == "Other"


def test_an_imported_meeting_moves_the_work_out_of_its_way() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon")
    wanted = wish("2026-11-25T20:30")
    begin, press = wanted.now, at(propose(wanted).offers[0], "press")
    meeting = Span(press - 300, press + 1200)
    busy = day_of(kitchen, begin, wanted.day.end, busy=([meeting],))
    offer = propose(replace(wanted, day=busy)).offers[0]
    keeps_the_rules(replace(wanted, day=busy), offer)
    assert not any(s.start < meeting.end and s.end > meeting.start for s in offer.steps if s.presence == "hands")


def test_work_keeps_away_from_leaving_and_from_coming_in_where_it_can() -> None:
    wanted = wish("2026-11-25T20:30")
    day = one(propose(wanted), "bench-day")
    assert not {"leaving", "coming"} & {c.key for c in day.costs}
    assert local(wanted, day, "mix") <= "07:15"
    tight = one(propose(wish("2026-11-25T19:30")), "bench-day")
    assert "coming" not in {c.key for c in tight.costs}, "the first ten minutes at home belong to the person"
    assert local(wanted, tight, "press") == "17:55"


def test_the_first_ten_minutes_at_home_are_taken_only_where_there_is_no_other_way() -> None:
    wanted = wish("2026-11-25T19:15")  # ten minutes later and the tray has no time to rise
    day = one(propose(wanted), "bench-day")
    assert local(wanted, day, "press") < "17:55"
    assert [c.points for c in day.costs if c.key == "coming"] == [150]


@pytest.mark.parametrize(
    ("call", "fits"), [(("18:20", "18:40"), True), (("18:55", "19:05"), False), (("19:10", "19:27"), False)]
)
def test_a_call_before_supper_needs_the_person_at_home_but_not_at_the_oven(call: tuple[str, str], fits: bool) -> None:
    """Lit before the call, loaded in it or not: only loading and lifting need free hands."""
    wanted = wish(
        "2026-11-25T19:30", methods=(method("bench-day"),), supper_from=instant_of("2026-11-25T19:30", LISBON)
    )
    begin, end = (instant_of(f"2026-11-25T{one}", LISBON) for one in call)
    day = day_of(Kitchen(zone=LISBON), wanted.now, wanted.day.end, busy=((Span(begin, end),),))
    answer = propose(replace(wanted, day=day), False)
    assert answer.fits is fits
    for offer in answer.offers:
        keeps_the_rules(replace(wanted, day=day), offer)
        assert at(offer, "preheat") < begin < at(offer, "load"), "the oven heats while the person talks"


def test_a_day_with_no_free_minute_is_answered_clearly() -> None:
    gone = Person("Me", (DayHours(away=(AwaySpan(0, 1440),)),) * 7)
    answer = propose(wish(kitchen=Kitchen(zone="Europe/Lisbon", people=(gone,))))
    assert not answer.fits
    assert len(answer.in_the_way) == 5
    assert {i.why.kind for i in answer.in_the_way} == {"oven-alone"}


@pytest.mark.many_cases
@examples(8)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(1, 24)), max_size=6),
    st.lists(st.tuples(st.integers(0, 160), st.integers(1, 8)), max_size=4),
    st.floats(15, 28), st.integers(0, 40), st.sampled_from([(1, 1), (2, 1), (4, 2)]),
)  # fmt: skip
def test_whatever_the_day_every_offer_keeps_the_rules(
    away: list[tuple[int, int]], busy: list[tuple[int, int]], room_c: float, later: int, trays: tuple[int, int]
) -> None:
    spans = tuple(AwaySpan(a * 20, min(1440, a * 20 + n * 20)) for a, n in away)
    kitchen = Kitchen(zone="Europe/Lisbon", people=(Person("Me", (DayHours(360, 1410, spans),) * 7),))
    wanted = wish("2026-11-26T18:00", "2026-11-25T07:00", kitchen=kitchen, baking=a_bake(*trays))
    taken = [Span(wanted.now + b * 600, wanted.now + (b + n) * 600) for b, n in busy]
    day = day_of(kitchen, wanted.now, wanted.day.end, busy=(taken,), room_c=room_c)
    wanted = replace(wanted, day=day, supper=wanted.supper + later * 300)
    answer = propose(wanted, with_nearest=False)
    assert len(answer.offers) + len(answer.in_the_way) >= 3
    for offer in answer.offers:
        keeps_the_rules(wanted, offer)


@pytest.mark.many_cases
@examples(5)
@given(st.lists(st.tuples(st.integers(0, 70), st.integers(2, 20)), min_size=1, max_size=5), st.floats(17, 26))
def test_more_free_time_never_makes_the_day_worse(away: list[tuple[int, int]], room_c: float) -> None:
    spans = tuple(AwaySpan(a * 15, min(1200, a * 15 + n * 15)) for a, n in away if a * 15 < 1200)
    busy_week = Kitchen(zone="Europe/Lisbon", people=(Person("Me", (DayHours(360, 1410, spans),) * 7),))
    free_week = replace(busy_week, people=(Person("Me", (DayHours(360, 1410),) * 7),))
    scores = []
    for kitchen in (busy_week, free_week):
        day = day_of(
            kitchen,
            instant_of("2026-11-25T06:00", kitchen.zone),
            instant_of("2026-11-27T06:00", kitchen.zone),
            room_c=room_c,
        )
        offers = propose(wish("2026-11-25T20:30", "2026-11-25T06:00", kitchen=kitchen, day=day), False).offers
        scores.append(min((o.score for o in offers), default=10**9))
    assert scores[1] <= scores[0]


@examples(6)
@given(st.floats(16, 27), st.floats(0.5, 4))
def test_a_warmer_kitchen_never_asks_for_more_yeast_for_the_same_hours(room_c: float, more: float) -> None:
    rigid = Method(
        "own", "Own", (MethodStep("mix", 15), MethodStep("press", 10, 480, 480, 480), MethodStep("load", 5, 60, 60, 90))
    )
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    yeast = []
    for c in (room_c, room_c + more):
        own = replace(kitchen, room=(PartOfDay(0, c),))
        offers = propose(wish("2026-11-25T20:00", "2026-11-25T07:00", kitchen=own, methods=(rigid,)), False).offers
        yeast.append(offers[0].instant_percent if offers else None)
    if None not in yeast:
        assert yeast[1] < yeast[0]  # type: ignore[operator]


# --- doughs and kitchens ------------------------------------------------------------------------------------------


def reasons(answer: Answer) -> dict[str, str]:
    return {i.method: i.why.kind for i in answer.in_the_way}


def test_a_dough_with_milk_only_goes_the_cold_way() -> None:
    answer = propose(wish("2026-11-28T19:30", "2026-11-25T06:00", dough=a_dough(cold_only=True)))
    assert {o.method for o in answer.offers} == {"cold"}
    assert reasons(answer)["bench-day"] == "perishable"


def test_without_a_warm_spot_or_a_preferment_those_methods_are_left_out() -> None:
    answer = propose(wish("2026-11-28T19:30", "2026-11-25T06:00", dough=a_dough(warm_c=None, sponge=None)))
    assert reasons(answer)["express"] == "no-warm-spot"
    assert reasons(answer)["two-stage"] == "no-preferment"


def test_the_yeast_keeps_between_what_can_be_dosed_and_two_percent() -> None:
    fine = propose(wish("2026-11-25T20:30")).offers[0]
    coarse = a_dough(least_percent=fine.instant_percent * 1.5)
    for offer in propose(wish("2026-11-25T20:30", dough=coarse)).offers:
        assert offer.instant_percent >= coarse.least_percent * 0.999


def test_a_preferments_yeast_is_part_of_the_whole() -> None:
    wanted = wish("2026-11-28T19:30", "2026-11-26T06:00", methods=(method("two-stage"),))
    for offer in propose(wanted).offers:
        assert wanted.dough.sponge is not None
        assert 0 < offer.sponge_percent * wanted.dough.sponge.flour_percent / 100 <= offer.instant_percent * 1.001


def test_express_goes_from_bowl_to_table_in_one_evening() -> None:
    wanted = wish("2026-11-25T21:00", "2026-11-25T17:45", methods=(method("express"),))
    (offer,) = propose(wanted).offers
    keeps_the_rules(wanted, offer)
    assert offer.ready_at - offer.steps[0].start < 4 * 3600
    assert 0.5 < offer.instant_percent <= 2.0


# --- parties ------------------------------------------------------------------------------------------------------


def test_a_party_of_four_trays_and_an_oven_for_two_is_staggered() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    wanted = wish("2026-11-28T19:30", "2026-11-28T08:00", kitchen=kitchen, baking=a_bake(4, 2))
    offers = propose(wanted).offers
    assert offers
    for offer in offers:
        keeps_the_rules(wanted, offer)
        ids = {s.step_id for s in offer.steps}
        assert {"press-1", "press-2", "top-1", "top-2", "load-1", "load-2", "lift-1", "lift-2"} <= ids
        cycle = at(offer, "load-2") - at(offer, "load-1")
        assert 0 <= cycle - (at(offer, "press-2") - at(offer, "press-1")) < 300, "pressed on the grid before"
        lifted = next(s.end for s in offer.steps if s.step_id == "lift-1")
        assert at(offer, "load-2") >= lifted + 5 * 60, "the oven comes back before the next load"
        assert at(offer, "load-1") <= at(offer, "top-2") < at(offer, "load-2")


def test_three_trays_one_at_a_time_keep_one_cook_busy_but_never_twice() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    wanted = wish("2026-11-28T19:30", "2026-11-28T08:00", kitchen=kitchen, baking=a_bake(3, 1))
    for offer in propose(wanted).offers:
        keeps_the_rules(wanted, offer)
        assert {s.load for s in offer.steps if s.kind == "load"} == {1, 2, 3}


def test_a_long_topping_stretches_the_cycle_until_it_fits_between_the_oven_moments() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    busy_oven = Baking(45, tuple(BakeAction(m, "turn" if m < 20 else "lift") for m in (4, 8, 12, 16, 20)), 1, 2, 1)
    wanted = wish("2026-11-28T19:30", "2026-11-28T08:00", kitchen=kitchen, baking=busy_oven, top_min=20)
    offers = propose(wanted).offers
    assert offers
    for offer in offers:
        keeps_the_rules(wanted, offer)
        assert at(offer, "load-2") - at(offer, "load-1") >= (21 + 20) * 60


def test_a_bake_programme_is_read_from_the_ovens_plan() -> None:
    rows = (
        OvenAction(0, "load", dial="250 C", shelf="lowest"), OvenAction(1, "turn-down", dial="220 C"),
        OvenAction(18, "lift"),
    )  # fmt: skip
    oven = OvenPlan("still", 50, 40, 60, rows, 15, 21, dial="250 C", shelf="lowest", slab="steel")
    baking = baking_of(oven, 3, 0)
    assert (baking.preheat_min, baking.lift_min, baking.loads, baking.trays_at_once) == (50, 20, 3, 1)


# --- clocks and zones ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "evening", "hours"),
    [
        ("Europe/Berlin", "2026-10-24", 12), ("Europe/Berlin", "2027-03-27", 12), ("America/New_York", "2026-10-31", 9),
        ("Australia/Lord_Howe", "2027-04-03", 10), ("Australia/Lord_Howe", "2026-10-03", 10),
    ],
)  # fmt: skip
def test_hours_in_the_fridge_over_a_clock_change_are_elapsed_hours(zone: str, evening: str, hours: int) -> None:
    wait = hours * 60
    rigid = Method(
        "own", "Own",
        (MethodStep("mix", 15), MethodStep("chill", 5, 30, 30, 30), MethodStep("temper", 5, wait, wait, wait),
         MethodStep("press", 10, 30, 60, 90), MethodStep("load", 5, 60, 90, 150)),
    )  # fmt: skip
    kitchen = Kitchen(zone=zone, people=(Person("Me", (DayHours(7 * 60, 23 * 60),) * 7),))
    morning = date.fromisoformat(evening) + timedelta(days=1)
    wanted = wish(f"{morning}T{hours + 2}:00", f"{evening}T18:00", kitchen=kitchen, methods=(rigid,))
    for offer in propose(wanted).offers:
        keeps_the_rules(wanted, offer)
        chilled = next(s.end for s in offer.steps if s.kind == "chill")
        assert at(offer, "temper") - chilled == hours * 3600
    assert propose(wanted).fits


@pytest.mark.parametrize("zone", ["Pacific/Apia", "Pacific/Marquesas", "Asia/Kathmandu", "America/St_Johns"])
def test_a_day_is_planned_alike_on_every_side_of_the_world(zone: str) -> None:
    here, there = wish("2026-11-25T20:30"), wish("2026-11-25T20:30", kitchen=Kitchen(zone=zone))
    ours, theirs = propose(here).offers, propose(there).offers
    assert [(o.method, o.score, o.warm_s) for o in ours] == [(o.method, o.score, o.warm_s) for o in theirs]
    for a, b in zip(ours, theirs, strict=True):
        assert [minute_of_day(s.start, here.day.zone) for s in a.steps] == [
            minute_of_day(s.start, zone) for s in b.steps
        ]


# --- several days, a week -----------------------------------------------------------------------------------------


def test_supper_can_be_six_days_ahead_and_still_starts_in_time() -> None:
    wanted = wish("2026-12-01T20:30", "2026-11-25T18:00")
    offers = propose(wanted).offers
    assert len(offers) == 3
    for offer in offers:
        keeps_the_rules(wanted, offer)
        assert offer.steps[0].start > wanted.supper - 4 * 86400


def test_the_week_says_which_evenings_could_have_bread() -> None:
    late = DayHours(away=(AwaySpan(8 * 60, 22 * 60),))
    usual = DayHours(away=(AwaySpan(8 * 60, 17 * 60 + 45),))
    person = Person("Me", (usual, late, usual, late, usual, AT_HOME, AT_HOME))
    kitchen = Kitchen(zone="Europe/Lisbon", people=(person,))
    wanted = wish("2026-12-01T20:30", "2026-11-25T06:00", kitchen=kitchen)
    first = instant_of("2026-11-25T20:30", kitchen.zone)
    evenings = week(wanted, [same_clock(kitchen.zone, first, n) for n in range(-1, 7)])
    assert [e.answer.fits for e in evenings] == [True, False, True, True, True, True, False]
    assert all(e.answer.nearest == () for e in evenings)
    assert [e.supper for e in evenings] == [first + n * 86400 for n in range(7)]


# --- never a hang -------------------------------------------------------------------------------------------------

WIDE = Method(
    "wide", "Wide",
    (MethodStep("preferment"), MethodStep("mix", 15, 60, 600, 600), MethodStep("chill", 5, 0, 100, 120),
     MethodStep("temper", 5, 0, 2000, 3000), MethodStep("press", 10, 0, 60, 200), MethodStep("load", 5, 0, 60, 200)),
)  # fmt: skip
AWAKE = Kitchen(zone="Europe/Lisbon", people=(Person("Me", (DayHours(0, 1440),) * 7),))


def test_no_shipped_method_runs_out_of_steps_in_a_fortnight_at_home() -> None:
    wanted = wish("2026-12-02T20:30", "2026-11-25T06:00", kitchen=AWAKE)
    for offer in propose(wanted, False).offers:
        assert "best-so-far" not in {one.kind for one in offer.asides}


def test_a_method_of_ones_own_with_wide_waits_is_answered_with_the_best_so_far_and_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wanted = wish("2026-11-28T20:30", "2026-11-27T06:00", kitchen=AWAKE, methods=(WIDE,))
    full = lay_out(wanted).search(WIDE).best()
    assert full
    monkeypatch.setattr(beginnings, "MOST_BEGINNINGS", 3000)
    monkeypatch.setattr("webapp.core.planner.propose.OFFERS_STEPS", 30_000)
    hurried = propose(wanted, False).offers[0]
    keeps_the_rules(wanted, hurried)
    assert full.points <= hurried.score < full.points + 200
    assert "best-so-far" in {one.kind for one in hurried.asides}


@pytest.mark.many_cases
@pytest.mark.parametrize("room_c", [-5.0, 0.0000001, 3.0, 45.0])
def test_a_kitchen_in_which_hardly_anything_rises_is_answered_within_its_steps(
    room_c: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Thirteen days ahead and always at home: every part of the answer keeps to the steps that it is allowed."""
    spent: list[float] = []
    spend = Effort.spend

    def counted(self: Effort, steps: int) -> bool:
        spent.append(steps)
        return spend(self, steps)

    monkeypatch.setattr(Effort, "spend", counted)
    kitchen = replace(AWAKE, room=(PartOfDay(0, room_c),))
    propose(wish("2026-12-08T20:30", "2026-11-25T20:30", kitchen=kitchen))
    allowed = (
        OFFERS_STEPS + OTHERS_STEPS + 5 * (REASONS_STEPS + ONE_OFFER_STEPS) + 3 * (NEAREST_STEPS + 2 * ONE_OFFER_STEPS)
    )
    over = 2 * MOST_BEGINNINGS * 20  # listing the beginnings of a method is never cut off half way
    assert sum(spent) <= allowed + over


# --- wishes that are none -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"supper": 1795500000}, "supper"), ({"methods": ()}, "method"), ({"supper": 1797000000}, "supper")],
)
def test_a_wish_that_is_none_is_said_at_its_field(changes: dict[str, object], field: str) -> None:
    with pytest.raises(PlanError) as caught:
        propose(replace(wish(), **changes))  # type: ignore[arg-type]
    assert caught.value.problems[0].field == field


def test_the_same_wish_has_the_same_answer() -> None:
    assert [o.steps for o in propose(wish("2026-11-25T20:30")).offers] == [
        o.steps for o in propose(wish("2026-11-25T20:30")).offers
    ]


def test_what_an_answer_cost_is_taken_from_whoever_asked_and_changes_nothing_of_it() -> None:
    """A search of five methods costs a purse of each at most; the ready-making of each costs something at any rate."""
    rich, poor = Effort(10**9), Effort(1)
    asked = wish("2026-11-25T20:30")
    assert [propose(replace(asked, effort=one)) for one in (rich, poor)] == [propose(asked)] * 2
    assert rich.spent == poor.spent
    assert len(asked.methods) * READY <= rich.spent <= OFFERS_STEPS + OTHERS_STEPS + len(asked.methods) * REASONS_STEPS


@pytest.mark.many_cases
def test_every_shipped_method_finds_its_day() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", people=(ALWAYS_HOME,))
    for own in shipped_methods():
        wanted = wish("2026-11-28T19:30", "2026-11-25T06:00", kitchen=kitchen, methods=(own,))
        assert propose(wanted).fits, own.key


def test_what_is_called_overnight_waits_through_a_night() -> None:
    morning = wish("2026-11-25T19:30", "2026-11-25T06:45")
    assert "bench-night" not in {o.method for o in propose(morning).offers}
    assert "bench-night" in {i.method for i in propose(morning).in_the_way}
    evening = wish("2026-11-25T19:30", "2026-11-24T18:00", methods=(method("bench-night"),))
    for offer in propose(evening).offers:
        mixed = next(s.end for s in offer.steps if s.kind == "mix")
        assert mixed <= instant_of("2026-11-25T03:00", evening.day.zone) <= at(offer, "press")
