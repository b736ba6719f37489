"""Wall clock and zone in, intervals out: ordinary days, and the nights the clocks change."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.day.day import (
    DayException,
    clock_text,
    date_text,
    day_of,
    half_days,
    instant_of,
    minute_of_day,
    nights,
    same_clock,
    supper_instant,
    with_away,
    zone_of,
)
from webapp.core.day.free_time import PersonDay
from webapp.core.day.span import Span, minus, union
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person

ZONES = [
    "Europe/Lisbon", "Europe/Berlin", "America/New_York", "America/St_Johns", "Australia/Lord_Howe",
    "Pacific/Apia", "Pacific/Marquesas", "Pacific/Chatham", "Asia/Kathmandu", "Africa/Casablanca",
]  # fmt: skip


def utc(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp())


def said(text: str, zone: str, fold: int | None = None) -> PlanError:
    with pytest.raises(PlanError) as caught:
        instant_of(text, zone, fold)
    return caught.value


# --- typed times --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "zone", "instant"),
    [
        # Offsets from the IANA tz database: Berlin +1 in winter, +2 in summer; Apia +13; Marquesas -9:30.
        ("2026-11-25T19:30", "Europe/Berlin", "2026-11-25T18:30"),
        ("2026-07-25T19:30", "Europe/Berlin", "2026-07-25T17:30"),
        ("2026-11-25T19:30", "Pacific/Apia", "2026-11-25T06:30"),
        ("2026-11-25T19:30", "Pacific/Marquesas", "2026-11-26T05:00"),
        ("2026-11-25T19:30:45", "Europe/Lisbon", "2026-11-25T19:30"),
    ],
)
def test_a_typed_time_is_the_instant_the_kitchen_clock_shows_it(text: str, zone: str, instant: str) -> None:
    assert instant_of(text, zone) == utc(instant)


@pytest.mark.parametrize(
    ("text", "zone", "choices"),
    [
        ("2027-03-28T01:30", "Europe/Lisbon", ("00:30", "02:30")),
        ("2027-03-28T02:30", "Europe/Berlin", ("01:30", "03:30")),
        ("2027-03-14T02:15", "America/New_York", ("01:15", "03:15")),
        ("2026-10-04T02:10", "Australia/Lord_Howe", ("01:40", "02:40")),  # half an hour only
    ],
)
def test_a_time_that_the_clocks_skip_is_asked_about_with_two_choices(
    text: str, zone: str, choices: tuple[str, str]
) -> None:
    problem = said(text, zone).problems[0]
    assert problem.field == "supper"
    assert problem.kind == "skipped"
    assert (problem.figures["earlier"], problem.figures["later"]) == choices
    for choice in choices:
        assert instant_of(text[:11] + choice, zone)


def test_a_time_that_comes_twice_is_asked_about_and_the_answer_is_kept() -> None:
    problem = said("2026-10-25T02:30", "Europe/Berlin").problems[0]
    assert problem.kind == "twice"
    assert (problem.figures["first"], problem.figures["second"]) == ("CEST", "CET")
    first = instant_of("2026-10-25T02:30", "Europe/Berlin", 0)
    assert instant_of("2026-10-25T02:30", "Europe/Berlin", 1) - first == 3600
    assert first == utc("2026-10-25T00:30")


def test_saying_which_does_no_harm_to_a_time_that_exists_once() -> None:
    assert instant_of("2026-11-25T19:30", "Europe/Lisbon", 1) == utc("2026-11-25T19:30")


@pytest.mark.parametrize(
    "text", ["", "tonight", "2026-13-01T10:00", "2026-11-25T25:00", "2026-11-25T19:30+01:00", "1066-10-14T09:00"]
)
def test_what_is_no_time_is_said_at_its_field(text: str) -> None:
    problem = said(text, "Europe/Lisbon").problems[0]
    assert problem.field == "supper"
    assert (problem.kind, problem.figures) == ("no-date-time", {"typed": text})


NO_ZONES = ["Mars/Olympus", "", "../../etc/passwd", "Europe/Lisbon\x00", "Europe", "localtime", "posixrules", "Factory",
            "right/Europe/Lisbon", "posix/Europe/Lisbon"]  # fmt: skip


@pytest.mark.parametrize("zone", NO_ZONES)
def test_an_unknown_zone_is_said_at_its_field(zone: str) -> None:
    with pytest.raises(PlanError) as caught:
        zone_of(zone)
    assert caught.value.problems[0].field == "zone"


def test_supper_in_the_past_or_far_ahead_is_said_at_supper() -> None:
    now = utc("2026-11-25T19:31")
    for text, word in (("2026-11-25T19:30", "time-past"), ("2026-12-25T19:30", "weeks-away")):
        with pytest.raises(PlanError) as caught:
            supper_instant(text, "Europe/Lisbon", now)
        assert caught.value.problems[0].field == "supper"
        assert caught.value.problems[0].kind == word
    assert supper_instant("2026-12-01T19:30", "Europe/Lisbon", now) == utc("2026-12-01T19:30")


@given(st.sampled_from(ZONES), st.integers(1767225600, 1830297600).map(lambda n: n // 60 * 60))
def test_what_the_clock_shows_leads_back_to_the_instant(zone: str, instant: int) -> None:
    text = f"{date_text(instant, zone)}T{clock_text(instant, zone)}"
    found = {instant_of(text, zone, fold) for fold in (0, 1)}
    assert instant in found


def test_the_same_clock_on_another_day_passes_over_a_clock_change() -> None:
    saturday = instant_of("2026-10-24T19:30", "Europe/Berlin")
    assert same_clock("Europe/Berlin", saturday, 1) - saturday == 25 * 3600
    night = instant_of("2027-03-27T02:30", "Europe/Berlin")
    assert clock_text(same_clock("Europe/Berlin", night, 1), "Europe/Berlin") == "03:30"  # 02:30 is skipped


def test_times_are_written_as_this_kitchen_writes_them() -> None:
    evening = utc("2026-11-25T18:05")
    assert clock_text(evening, "Europe/Lisbon") == "18:05"
    assert minute_of_day(evening, "Europe/Berlin") == 19 * 60 + 5


def test_half_days_begin_at_local_midnight_and_noon() -> None:
    start = instant_of("2026-10-24T15:00", "Europe/Berlin")
    found = half_days("Europe/Berlin", start, start + 86400)
    assert [clock_text(h, "Europe/Berlin") for h in found] == ["00:00", "12:00"] * 2
    assert found[3] - found[2] == 13 * 3600  # the night of the change has an hour more


# --- hours of the week --------------------------------------------------------------------------------------------


def kitchen(*people: Person, zone: str = "Europe/Lisbon") -> Kitchen:
    return Kitchen(zone=zone, people=people or (Person(),))


def test_an_ordinary_working_day_is_free_in_the_morning_and_the_evening() -> None:
    start = utc("2026-11-25T00:00")
    (me,) = day_of(kitchen(), start, start + 86400).people
    assert me.free == (
        Span(start + int(6.5 * 3600), start + 8 * 3600),
        Span(start + int(17.75 * 3600), start + int(22.5 * 3600)),
    )
    assert me.away == (Span(start + 8 * 3600, start + int(17.75 * 3600)),)
    assert [s.end - s.start for s in me.asleep] == [int(6.5 * 3600), int(1.5 * 3600)]


def test_todays_exception_replaces_that_date_alone() -> None:
    start = utc("2026-11-25T00:00")
    mine = with_away(kitchen(), "2026-11-25", (AwaySpan(600, 700),))
    (me,) = day_of(kitchen(), start, start + 2 * 86400, exceptions=[mine]).people
    assert [((s.start - start) // 60, (s.end - start) // 60) for s in me.away] == [
        (600, 700),
        (1440 + 480, 1440 + 1065),
    ]
    assert mine.hours.wake_min == 390


def test_hours_past_midnight_reach_into_the_next_day() -> None:
    late = DayHours(12 * 60, 27 * 60, (AwaySpan(14 * 60, 25 * 60),))
    start = utc("2026-11-25T00:00")
    (me,) = day_of(kitchen(Person("Night", (late,) * 7)), start, start + 86400).people
    assert me.free == (Span(start + 3600, start + 3 * 3600), Span(start + 12 * 3600, start + 14 * 3600))


def test_a_journey_of_days_takes_every_hour_of_them() -> None:
    gone = DayException("2026-11-25", DayHours(away=(AwaySpan(8 * 60, 3 * 1440 + 600),)))
    start = utc("2026-11-25T00:00")
    (me,) = day_of(kitchen(), start, start + 4 * 86400, exceptions=[gone]).people
    assert me.away == (Span(start + 8 * 3600, start + 3 * 86400 + 10 * 3600),)  # the Saturday after has no work


def test_busy_times_are_taken_out_of_the_free_hours_of_their_person() -> None:
    start = utc("2026-11-25T00:00")
    dentist = Span(start + 18 * 3600, start + 19 * 3600)
    both = kitchen(Person("A"), Person("B"))
    day = day_of(both, start, start + 86400, busy=((), (dentist, Span(start + 9 * 3600, start + 10 * 3600))))
    a, b = day.people
    assert a.busy == ()
    assert b.busy == (Span(start + 9 * 3600, start + 10 * 3600), dentist)
    assert Span(start + 19 * 3600, start + int(22.5 * 3600)) in b.free


def test_the_marks_for_the_chart_are_the_first_persons_by_start() -> None:
    start = utc("2026-11-25T00:00")
    taken = [Span(start + 7 * 3600, start + 7 * 3600 + 600), Span(start + 9 * 3600, start + 10 * 3600)]
    day = day_of(kitchen(), start, start + 86400, busy=(taken,))  # the second falls into the hours away: no news
    assert [b.kind for b in day.busy_marks()] == ["asleep", "busy", "away", "asleep"]


def test_nobody_is_free_while_all_are_taken_up_and_somebody_is_in_while_one_of_them_is_at_home() -> None:
    """By hand: A is out 9 to 17 and asleep from 22:30, B never out and asleep from 21:00, both awake from 7:00.

    In a call are A from 18:00 to 20:00 and B from 12:00 to 13:00 and 19:00 to 21:00.
    """
    a = Person("A", (DayHours(7 * 60, 22 * 60 + 30, (AwaySpan(9 * 60, 17 * 60),)),) * 7)
    b = Person("B", (DayHours(7 * 60, 21 * 60),) * 7)
    start = utc("2026-11-25T00:00")

    def span(first: float, last: float) -> Span:
        return Span(start + int(first * 3600), start + int(last * 3600))

    day = day_of(kitchen(a, b), start, start + 86400, busy=((span(18, 20),), (span(12, 13), span(19, 21))))
    told = [((one.start - start) / 3600, (one.end - start) / 3600, one.kind) for one in day.nobody_marks()]
    assert told == [(0, 7, "asleep"), (12, 13, "busy"), (19, 20, "busy"), (22.5, 24, "asleep")]
    alone = day_of(kitchen(a), start, start + 86400, busy=((span(18, 20),),))
    assert alone.nobody_marks() == alone.busy_marks()


def test_the_night_the_clocks_go_back_is_an_hour_longer_asleep() -> None:
    berlin = kitchen(Person("Me", (DayHours(7 * 60, 23 * 60),) * 7), zone="Europe/Berlin")
    start = instant_of("2026-10-24T12:00", "Europe/Berlin")
    (me,) = day_of(berlin, start, start + 86400).people
    assert [s.end - s.start for s in me.asleep] == [9 * 3600]
    start = instant_of("2027-03-27T12:00", "Europe/Berlin")
    (me,) = day_of(berlin, start, start + 86400).people
    assert [s.end - s.start for s in me.asleep] == [7 * 3600]


def test_hours_that_begin_in_a_doubtful_hour_leave_less_free_time_not_more() -> None:
    early = DayHours(2 * 60 + 30, 23 * 60, (AwaySpan(2 * 60 + 30, 4 * 60),))
    for night, doubtful in (("2026-10-25", 3600), ("2027-03-28", 0)):
        start = instant_of(f"{night}T00:00", "Europe/Berlin")
        up_only = DayHours(2 * 60 + 30, 23 * 60)
        (me,) = day_of(kitchen(Person("E", (up_only,) * 7), zone="Europe/Berlin"), start, start + 7200 * 5).people
        (out,) = day_of(kitchen(Person("E", (early,) * 7), zone="Europe/Berlin"), start, start + 7200 * 5).people
        two_thirty = instant_of(f"{night}T01:59", "Europe/Berlin") + 60 + 1800
        assert me.free[0].start >= two_thirty + doubtful
        assert out.away[0].start <= two_thirty


@given(st.sampled_from(ZONES), st.integers(1767225600, 1830297600), st.integers(1, 10))
def test_free_away_and_asleep_never_overlap_and_fill_the_day(zone: str, start: int, days: int) -> None:
    end = start + days * 86400
    day = day_of(kitchen(zone=zone), start, end, busy=([Span(start + 5000, start + 30000)],))
    whole = [Span(start, end)]
    every = [*day.people[0].free, *(Span(b.start, b.end) for b in day.busy_marks())]
    assert sum(s.end - s.start for s in every) == end - start
    assert union(every, whole[0]) == whole
    assert minus(whole, sorted(every, key=lambda s: s.start)) == []


def test_the_room_follows_the_parts_of_the_day_and_todays_warmth_goes_over_them() -> None:
    start = utc("2026-11-25T06:00")
    day = day_of(kitchen(), start, start + 86400)
    assert [(s.temp_c, clock_text(s.start, day.zone)) for s in day.room] == [
        (18.0, "00:00"), (20.0, "07:00"), (21.0, "17:00"), (18.0, "00:00"),
    ]  # fmt: skip
    assert day.room[0].start <= start
    warm = day_of(kitchen(), start, start + 86400, room_c=26.0)
    assert {s.temp_c for s in warm.room} == {26.0}


def test_a_room_part_that_begins_in_the_evening_covers_the_morning_after() -> None:
    start = utc("2026-11-25T06:00")
    own = replace(kitchen(), room=(PartOfDay(20 * 60, 17.0),))
    assert [s.temp_c for s in day_of(own, start, start + 3600).room] == [17.0]


# --- wrong hours --------------------------------------------------------------------------------------------------


def problems(own: Kitchen, **more: object) -> list[str]:
    start = utc("2026-11-25T00:00")
    with pytest.raises(PlanError) as caught:
        day_of(own, start, start + 86400, **more)  # type: ignore[arg-type]
    return [str(p) for p in caught.value.problems]


def test_every_wrong_hour_is_named_at_once() -> None:
    wrong = DayHours(23 * 60, 7 * 60, (AwaySpan(17 * 60, 8 * 60), AwaySpan(-5, 60)))
    found = problems(kitchen(Person("Ann", (wrong,) * 7), Person("Bo", (DayHours(),) * 6)))
    assert found == [
        f"hours: asleep-before-awake whose Ann, sleep_min {7 * 60}, wake_min {23 * 60}",
        f"away: home-before-leaving whose Ann, home_min {8 * 60}, leaving_min {17 * 60}",
        "away: home-before-leaving whose Ann, home_min 60, leaving_min -5",
        "week: week-days name Bo, days 6",
    ]


def test_overlapping_hours_away_are_one_absence() -> None:
    both = DayHours(away=(AwaySpan(8 * 60, 12 * 60), AwaySpan(11 * 60, 17 * 60)))
    start = utc("2026-11-25T00:00")
    (me,) = day_of(kitchen(Person("A", (both,) * 7)), start, start + 86400).people
    assert me.away == (Span(start + 8 * 3600, start + 17 * 3600),)


def test_a_wrong_exception_is_named() -> None:
    wrong = [DayException("25 November", DayHours()), DayException("2026-11-25", DayHours(), 3)]
    assert problems(kitchen(), exceptions=wrong) == [
        "away: no-date typed 25 November", "people: hours-of-nobody",
    ]  # fmt: skip


def test_nobody_no_warmth_and_no_end_are_named_at_once() -> None:
    start = utc("2026-11-25T00:00")
    with pytest.raises(PlanError) as caught:
        day_of(replace(kitchen(), people=(), room=()), start, start + 90 * 86400)
    assert [p.field for p in caught.value.problems] == ["people", "room", "supper"]


def test_an_unknown_zone_stops_before_the_hours() -> None:
    assert problems(kitchen(zone="Nowhere/Land")) == ["zone: no-zone name Nowhere/Land"]


# --- intervals ----------------------------------------------------------------------------------------------------

spans = st.lists(st.tuples(st.integers(0, 60), st.integers(1, 15)).map(lambda t: Span(t[0], t[0] + t[1])), max_size=8)


@given(spans, spans)
def test_taking_away_leaves_exactly_what_was_not_taken(some: list[Span], taken: list[Span]) -> None:
    whole = Span(5, 60)
    left = minus(union(some, whole), union(taken, whole))
    inside = {t for s in some for t in range(s.start, s.end) if 5 <= t < 60}
    gone = {t for s in taken for t in range(s.start, s.end)}
    assert {t for s in left for t in range(s.start, s.end)} == inside - gone
    assert all(a.end < b.start for a, b in pairwise(left))


def test_a_night_is_three_in_the_morning_by_the_local_clock() -> None:
    back = 1792890000  # 2026-10-25T01:00:00Z
    # the clocks of Berlin go back at 03:00 summer time, so 03:00 comes once, at 02:00 UTC
    assert nights("Europe/Berlin", back - 3600, back + 86400) == (back + 3600, back + 90000)


def test_a_person_who_is_busy_is_at_home_unless_away_or_asleep() -> None:
    busy = (Span(50, 150), Span(200, 300), Span(390, 500))
    person = PersonDay("Ann", (Span(150, 200), Span(300, 390)), (Span(0, 100),), (Span(400, 600),), busy)
    assert person.home == (Span(100, 400),)
    assert PersonDay("Bo", ()).home == ()
