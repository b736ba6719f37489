"""Are these hours a day? What is wrong with a week or an exception, in the person's words."""

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
    """What is wrong with the weeks of these people, in their words."""
    if not people:
        return [Problem("people", "there is nobody to do the baking.", "Add at least one person.")]
    problems = []
    for person in people:
        if len(person.week) != 7:
            problems.append(Problem("week", f"{person.name}'s week has {len(person.week)} days.", "Give all seven."))
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
            problems.append(Problem("away", f"{exception.date!r} is not a date.", "Write it like 2026-11-25."))
        if not 0 <= exception.person < people:
            problems.append(Problem("people", "those hours belong to nobody in this kitchen.", "Choose a person."))
    return problems


def _one_day_problems(hours: DayHours, whose: str) -> list[Problem]:
    problems = []
    if not 0 <= hours.wake_min < hours.sleep_min <= hours.wake_min + DAY_MIN:
        problems.append(
            Problem(
                "hours",
                f"{whose}: asleep from {_minutes(hours.sleep_min)} is not after awake from {_minutes(hours.wake_min)}.",
                "Give the hour of going to bed after that of getting up (past midnight counts on: 25:00).",
            )
        )
    problems += [
        Problem(
            "away",
            f"{whose}: home at {_minutes(span.to_min)} is not after leaving at {_minutes(span.from_min)}.",
            "Give the hour of coming home after that of leaving (past midnight counts on: 25:00).",
        )
        for span in hours.away
        if not 0 <= span.from_min < span.to_min <= span.from_min + 14 * DAY_MIN
    ]
    return problems


def _minutes(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}" if minute >= 0 else f"minute {minute}"
