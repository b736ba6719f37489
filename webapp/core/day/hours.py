"""Are these hours a day? What is wrong with a week or an exception."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from webapp.core.errors import Problem
from webapp.core.kitchen import DayHours, Person

DAY_MIN = 24 * 60


@dataclass(frozen=True)
class DayException:
    """One date's hours of one person (index into `Kitchen.people`), over those of the week."""

    date: str  # "2026-11-25"
    hours: DayHours
    person: int = 0


def hours_problems(people: Sequence[Person]) -> list[Problem]:
    """What is wrong with the weeks of these people."""
    if not people:
        return [Problem("people", "nobody")]
    problems = []
    for person in people:
        if len(person.week) != 7:
            problems.append(Problem("week", "week-days", {"name": person.name, "days": len(person.week)}))
        for hours in dict.fromkeys(person.week):
            problems += _one_day_problems(hours, person.name)
    return problems


def exception_problems(exceptions: Sequence[DayException], people: int) -> list[Problem]:
    """What is wrong with today's exceptions."""
    problems = []
    for exception in exceptions:
        problems += _one_day_problems(exception.hours, exception.date)
        try:
            date.fromisoformat(exception.date)
        except ValueError:
            problems.append(Problem("away", "no-date", {"typed": exception.date}))
        if not 0 <= exception.person < people:
            problems.append(Problem("people", "hours-of-nobody"))
    return problems


def _one_day_problems(hours: DayHours, whose: str) -> list[Problem]:
    problems = []
    if not 0 <= hours.wake_min < hours.sleep_min <= hours.wake_min + DAY_MIN:
        problems.append(
            Problem(
                "hours",
                "asleep-before-awake",
                {"whose": whose, "sleep_min": hours.sleep_min, "wake_min": hours.wake_min},
            )
        )
    problems += [
        Problem("away", "home-before-leaving", {"whose": whose, "home_min": span.to_min, "leaving_min": span.from_min})
        for span in hours.away
        if not 0 <= span.from_min < span.to_min <= span.from_min + 14 * DAY_MIN
    ]
    return problems
