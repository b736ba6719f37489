"""Hours away that are told for one day only: which day that is, and what of it lies on the days beside it.

The day asked about is the day of supper; a supper in the small hours belongs to the evening before it. A stretch over
midnight ("22:00-6:00") is a night of that day: nobody says whether the one it begins with or the one it ends with, so
the person is taken to be away in both, before supper and after it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from webapp.core.day.day import date_text, minute_of_day, with_away
from webapp.core.day.hours import DAY_MIN, DayException
from webapp.core.kitchen import AwaySpan, Kitchen, Person, Wish
from webapp.core.plan.steps import ANOTHER

SMALL_HOURS_MIN = 5 * 60  # a supper before five in the morning ends the day before


def day_of_supper(supper_local: str) -> date:
    """The day whose evening this supper ("2026-11-26T00:30") is."""
    return (datetime.fromisoformat(supper_local) - timedelta(minutes=SMALL_HOURS_MIN)).date()


def usual_away(kitchen: Kitchen, day: date, person: int) -> tuple[AwaySpan, ...]:
    """That person's hours away on such a day of the week."""
    return kitchen.people[person].week[day.weekday()].away


def with_another(wish: Wish, kitchen: Kitchen) -> Kitchen:
    """The kitchen with one more in it who is home on the day of supper alone, and up as long as its first person."""
    if wish.else_from_min is None:
        return kitchen
    week = tuple(replace(hours, away=(AwaySpan(0, DAY_MIN),)) for hours in kitchen.people[0].week)
    return replace(kitchen, people=(*kitchen.people, Person(ANOTHER, week)))


def at_usual_hours(wish: Wish) -> Wish:
    """The same with everybody's hours as in the week: those that differ on one day say nothing of another."""
    return replace(wish, away_today=None, away_person=0, else_from_min=None)


def hours_that_differ(wish: Wish, kitchen: Kitchen) -> tuple[DayException, ...]:
    """Of a kitchen of its own people: their days as told, and from when another is there; () when all is as usual."""
    return (*_told(wish, kitchen), *_of_another(wish, kitchen))


def _of_another(wish: Wish, kitchen: Kitchen) -> tuple[DayException, ...]:
    if wish.else_from_min is None:
        return ()
    away = (AwaySpan(0, wish.else_from_min),) if wish.else_from_min else ()
    day = day_of_supper(wish.supper_local).isoformat()
    return (with_away(with_another(wish, kitchen), day, away, len(kitchen.people)),)


def _told(wish: Wish, kitchen: Kitchen) -> tuple[DayException, ...]:
    """The day of supper as told, and the day before it with the night that reaches over."""
    if wish.away_today is None or wish.away_person >= len(kitchen.people):
        return ()
    person, day = wish.away_person, day_of_supper(wish.supper_local)
    that_day = with_away(kitchen, day.isoformat(), wish.away_today, person)
    nights = tuple(one for one in wish.away_today if one.to_min > DAY_MIN)
    eve = day - timedelta(days=1)
    # What is told for the day stands from its first minute: a usual night away ends where the day begins.
    usual = (AwaySpan(a.from_min, min(a.to_min, DAY_MIN)) for a in usual_away(kitchen, eve, person))
    return with_away(kitchen, eve.isoformat(), (*usual, *nights), person), that_day


def minute_on(day: date, instant: int, zone: str) -> int:
    """The local clock at that instant, minutes after midnight of `day`: past 1440 a day later, below 0 a day before."""
    on = date.fromisoformat(date_text(instant, zone))
    return minute_of_day(instant, zone) + DAY_MIN * (on - day).days


def home_by(wish: Wish, kitchen: Kitchen, minute: int, person: int) -> tuple[AwaySpan, ...]:
    """That person's hours away on the day of supper, cut off at that minute of it."""
    usual = usual_away(kitchen, day_of_supper(wish.supper_local), person)
    away = usual if wish.away_today is None else wish.away_today
    return tuple(AwaySpan(one.from_min, min(one.to_min, minute)) for one in away if one.from_min < minute)


def home_by_now(wish: Wish, kitchen: Kitchen, now: int) -> Wish | None:
    """The same wish of a reader who is home from now on, though the week has them away; None where it has not.

    Nor where their hours that day were told, or supper is on another day.
    """
    day = day_of_supper(wish.supper_local)
    reader = next((i for i, one in enumerate(kitchen.people) if one.is_reader or len(kitchen.people) == 1), None)
    if reader is None or wish.away_today is not None or date_text(now, kitchen.zone) != day.isoformat():
        return None
    minute = minute_of_day(now, kitchen.zone) // 5 * 5
    if not any(one.from_min <= minute < one.to_min for one in usual_away(kitchen, day, reader)):
        return None
    return replace(wish, away_today=home_by(wish, kitchen, minute, reader), away_person=reader)
