"""One person's week as it is typed, and the people of a kitchen."""

from __future__ import annotations

from dataclasses import replace

from webapp.core.day.hours import DAY_MIN, hours_problems
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Person
from webapp.forms.typed import Answers, clock_text, spans_text
from webapp.words.problems import fields
from webapp.words.problems import typed as said
from webapp.words.problems.told import in_words, refused

MOST_PEOPLE = 6


def typed_person(person: Person) -> dict[str, str]:
    """One person's week."""
    typed = {"name": person.name}
    for day, hours in enumerate(person.week):
        typed |= {
            f"{day}-wake": clock_text(hours.wake_min),
            f"{day}-sleep": clock_text(hours.sleep_min),
            f"{day}-away": spans_text([(span.from_min, span.to_min) for span in hours.away]),
        }
    return typed


def read_person(answers: Answers) -> Person:
    """One person's week. Going to bed after midnight is written as it is: 00:30."""
    week = []
    for day in range(7):
        wake, sleep = answers.clock(f"{day}-wake"), answers.clock(f"{day}-sleep")
        away = tuple(AwaySpan(start, end) for start, end in answers.spans(f"{day}-away"))
        week.append(DayHours(wake, sleep if sleep > wake else sleep + DAY_MIN, away))
    person = Person(answers.name("name", 30, what=fields.PERSON), tuple(week))
    answers.done()
    for day, hours in enumerate(week):
        for problem in hours_problems([replace(person, week=(hours,) * 7)]):
            answers.problems.append(in_words(problem, f"{day}-{'away' if problem.field == 'away' else 'sleep'}"))
    answers.done()
    return person


def with_person(kitchen: Kitchen, place: int, person: Person | None) -> Kitchen:
    """The person at that place replaced, added (place past the end) or taken away (None). Somebody must stay."""
    people = list(kitchen.people)
    if person is None:
        if len(people) == 1:
            raise refused("name", *said.LAST_PERSON)
        del people[place]
    elif place < len(people):
        people[place] = person
    elif len(people) >= MOST_PEOPLE:
        raise refused("name", *said.many_people(MOST_PEOPLE))
    else:
        people.append(person)
    return replace(kitchen, people=tuple(people))
