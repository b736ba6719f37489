"""Nothing fits: what is in the way, and the nearest plans, each the smallest change that works."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.oracles.offer_rules import keeps_the_rules
from tests.wishes import a_dough, method, shipped_methods, wish
from webapp.core.day.day import clock_text, day_of, instant_of, with_away
from webapp.core.day.span import Span
from webapp.core.kinds import BUSY_KINDS
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Person
from webapp.core.planner.offer import Answer, Hindrance, Nearest, Wanted
from webapp.core.planner.propose import propose

LISBON = "Europe/Lisbon"


def nearest(answer: Answer, kind: str) -> Nearest:
    return next(n for n in answer.nearest if n.kind == kind)


def reason(answer: Answer, key: str) -> Hindrance:
    return next(i.why for i in answer.in_the_way if i.method == key)


def test_eating_later_names_the_least_delay_that_works() -> None:
    wanted = wish("2026-11-25T18:15")
    answer = propose(wanted)
    assert not answer.fits
    later = nearest(answer, "eat-later")
    assert later.supper - wanted.supper == 3600
    keeps_the_rules(replace(wanted, supper=later.supper, supper_from=wanted.supper), later.offer)
    assert propose(replace(wanted, supper=later.supper, supper_from=wanted.supper), False).fits
    sooner = replace(wanted, supper=later.supper - 300, supper_from=wanted.supper)
    assert not propose(sooner, False).fits


def test_coming_home_earlier_names_the_latest_time_that_works() -> None:
    wanted = wish("2026-11-25T18:15")
    home = nearest(propose(wanted), "home-earlier")
    assert home.person == 0
    kitchen = Kitchen(zone=LISBON)
    for shift, fits in ((0, True), (5, False)):
        by = int(clock_text(home.home_by, LISBON)[:2]) * 60 + int(clock_text(home.home_by, LISBON)[3:]) + shift
        today = with_away(kitchen, "2026-11-25", (AwaySpan(8 * 60, by),))
        day = day_of(kitchen, wanted.now, wanted.day.end, exceptions=[today])
        assert propose(replace(wanted, day=day), False).fits is fits
        if fits:
            keeps_the_rules(replace(wanted, day=day), home.offer)


def test_with_two_people_the_one_with_less_to_change_is_asked() -> None:
    early = Person("Bo", (DayHours(away=(AwaySpan(8 * 60, 17 * 60 + 15),)),) * 7)
    kitchen = Kitchen(zone=LISBON, people=(Person("Ann"), early))
    home = nearest(propose(wish("2026-11-25T17:50", kitchen=kitchen)), "home-earlier")
    assert home.person == 1


def test_another_method_is_named_when_one_was_asked_for() -> None:
    short = (AwaySpan(9 * 60, 17 * 60),)
    kitchen = Kitchen(zone=LISBON, people=(Person("Me", (DayHours(away=short),) * 7),))
    others = {"kitchen": kitchen, "other_methods": shipped_methods()}
    rushed = wish("2026-11-25T20:00", "2026-11-25T17:00", methods=(method("bench-day"),), **others)
    answer = propose(rushed)
    assert nearest(answer, "other-method").method == "express"


def test_the_fridge_is_named_when_it_would_do() -> None:
    wanted = wish("2026-11-26T20:30", "2026-11-25T18:00", methods=(method("express"),), other_methods=(method("cold"),),
                  dough=replace(a_dough(), most_percent=0.8))  # fmt: skip
    answer = propose(wanted)
    assert not answer.fits
    fridge = nearest(answer, "use-fridge")
    assert fridge.method == "cold"
    keeps_the_rules(replace(wanted, methods=wanted.other_methods), fridge.offer)


@pytest.mark.parametrize(("supper", "begin"), [("20:00", "17:00"), ("18:15", "07:00"), ("19:40", "16:50")])
def test_what_asks_least_of_the_person_stands_first(supper: str, begin: str) -> None:
    """Another dough that keeps their hours before a supper or a homecoming over half an hour off (our own rule)."""
    short = (AwaySpan(9 * 60, 17 * 60),)
    kitchen = Kitchen(zone=LISBON, people=(Person("Me", (DayHours(away=short),) * 7),))
    asked = wish(f"2026-11-25T{supper}", f"2026-11-25T{begin}", methods=(method("bench-day"),), kitchen=kitchen,
                 other_methods=shipped_methods())  # fmt: skip
    found = propose(asked).nearest
    gone = instant_of("2026-11-25T17:00", LISBON)
    off = [one.supper - asked.supper if one.supper else gone - one.home_by if one.home_by else 1800 for one in found]
    assert len(off) > 1
    assert off == sorted(off)


def test_the_same_time_tomorrow_is_named_when_nothing_nearer_works() -> None:
    gone = DayHours(away=(AwaySpan(8 * 60, 25 * 60),))
    home = DayHours(7 * 60, 23 * 60)
    kitchen = Kitchen(zone=LISBON, people=(Person("Me", (home, home, gone, home, home, home, home)),))
    begin, supper = instant_of("2026-11-25T09:00", LISBON), instant_of("2026-11-25T14:00", LISBON)
    day = day_of(kitchen, begin, supper + 2 * 86400)
    wanted = replace(wish(kitchen=kitchen), now=begin, supper=supper, day=day, methods=(method("bench-day"),))
    answer = propose(wanted)
    assert [(n.kind, n.supper) for n in answer.nearest] == [("another-day", supper + 86400)]
    window = propose(replace(wanted, supper_from=supper - 1800))
    assert window.nearest[0].supper == supper + 86400
    short_day = day_of(kitchen, begin, supper + 6 * 3600)
    assert propose(replace(wanted, day=short_day)).nearest == ()


def test_a_day_that_ends_with_supper_has_no_later() -> None:
    wanted = wish("2026-11-25T18:15")
    answer = propose(replace(wanted, day=replace(wanted.day, end=wanted.supper)))
    assert {n.kind for n in answer.nearest} == {"home-earlier"}


def test_tomorrow_is_not_named_when_it_does_not_work_either() -> None:
    wanted = wish("2026-11-25T14:00", methods=(method("bench-day"),))
    gone = Kitchen(zone=LISBON, people=(Person("Me", (DayHours(away=(AwaySpan(0, 1440),)),) * 7),))
    day = day_of(gone, wanted.now, wanted.supper + 2 * 86400)
    assert propose(replace(wanted, day=day)).nearest == ()


def test_nothing_is_promised_when_nothing_works() -> None:
    gone = Person("Me", (DayHours(away=(AwaySpan(0, 1440),)),) * 7)
    assert propose(wish(kitchen=Kitchen(zone=LISBON, people=(gone,)))).nearest == ()


# --- reasons ------------------------------------------------------------------------------------------------------


def test_too_little_time_for_the_oven_is_said_with_the_times() -> None:
    answer = propose(wish("2026-11-25T20:00", "2026-11-25T19:30"))
    assert reason(answer, "express") == Hindrance("oven-too-long", needs_s=67 * 60, left_s=30 * 60)


def test_an_empty_house_while_the_oven_is_on_is_said_with_the_times() -> None:
    answer = propose(wish("2026-11-25T18:15"))
    lit, out = (instant_of(f"2026-11-25T{clock}", LISBON) for clock in ("17:03", "18:10"))
    assert reason(answer, "bench-day") == Hindrance("oven-alone", start=lit, end=out)


def test_a_method_that_is_too_long_says_how_long_it_is() -> None:
    answer = propose(wish("2026-11-25T20:00", "2026-11-25T17:45"))
    assert reason(answer, "bench-day") == Hindrance("too-long", needs_s=277 * 60, left_s=135 * 60)


def hours(kinds: dict[str, DayHours], busy: tuple[Span, ...] = (), supper: str = "2026-11-26T20:30") -> Wanted:
    kitchen = Kitchen(zone=LISBON, people=(Person("Me", (kinds.get("all", DayHours()),) * 7),))
    begin, eat = instant_of("2026-11-26T06:30", LISBON), instant_of(supper, LISBON)
    day = day_of(kitchen, begin, eat + 86400, busy=(busy,))
    return replace(wish(kitchen=kitchen), now=begin, supper=eat, day=day, methods=(method("bench-day"),))


def test_the_hours_that_are_to_blame_are_named() -> None:
    away = hours({"all": DayHours(6 * 60, 1350, (AwaySpan(7 * 60, 19 * 60),))})
    assert reason(propose(away), "bench-day") == Hindrance("busy-hours", busy=("away",))
    asleep = hours({"all": DayHours(17 * 60, 23 * 60)})
    assert reason(propose(asleep), "bench-day") == Hindrance("busy-hours", busy=("asleep",))
    morning = instant_of("2026-11-26T06:30", LISBON)
    busy = hours({"all": DayHours(6 * 60, 1350)}, (Span(morning, morning + 11 * 3600),))
    assert reason(propose(busy), "bench-day") == Hindrance("busy-hours", busy=("busy",))
    both = hours({"all": DayHours(6 * 60, 1350, (AwaySpan(720, 1155),))}, (Span(morning, morning + 12 * 3600),))
    assert reason(propose(both), "bench-day") == Hindrance("busy-hours", busy=BUSY_KINDS)


def test_yeast_out_of_reach_is_said_with_its_limits() -> None:
    coarse = replace(
        hours({"all": DayHours(6 * 60, 1350, (AwaySpan(8 * 60, 17 * 60),))}), dough=a_dough(least_percent=1.5)
    )
    assert reason(propose(coarse), "bench-day") == Hindrance("yeast", least_percent=1.5, most_percent=2.0)


def test_waits_that_cannot_meet_are_said_plainly() -> None:
    proof = a_dough(proof_least=3.0, proof_best=3.1, proof_most=3.2)
    wanted = replace(hours({"all": DayHours(6 * 60, 1350)}, supper="2026-11-26T12:00"), dough=proof)
    assert reason(propose(wanted), "bench-day") == Hindrance("waits")


def test_methods_that_lost_beside_one_that_fits_say_why_too() -> None:
    answer = propose(wish("2026-11-25T20:30"))
    assert answer.fits
    assert answer.nearest == ()
    assert reason(answer, "two-stage") == Hindrance("hours")


@pytest.mark.parametrize("supper", ["2026-11-25T18:15", "2026-11-25T17:00", "2026-11-25T14:00"])
def test_every_nearest_plan_is_a_plan(supper: str) -> None:
    for near in propose(wish(supper)).nearest:
        assert near.method == near.offer.method
        assert near.offer.steps
