"""An own method: rows of steps as typed, into a method and back, and rows added, moved and dropped.

Rows are fields PLACE-kind, PLACE-least, PLACE-best, PLACE-most (lengths of time), PLACE-hands (minutes), PLACE-place,
PLACE-optional and PLACE-alarm (minutes). A row of the kind "out" is left out, and so is one that is wholly empty.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any

from webapp.core.errors import PlanError, Problem
from webapp.core.formula.method import (
    CHAIN_STEPS,
    MOST_HANDS_MIN,
    MOST_STEPS,
    MOST_WAIT_MIN,
    PRESSED_LEAST,
    Method,
    method_from_dict,
)
from webapp.core.kinds import RESTING_PLACES
from webapp.core.kitchen import MOST_ALARM_MIN
from webapp.forms.typed import Answers
from webapp.words.problems import fields
from webapp.words.problems import typed as said
from webapp.words.problems.told import in_words
from webapp.words.times import span_words

OF_THE_WHOLE = ("name", "note", "through_night", "mixed_cool", "pressed_percent")
PARTS = ("kind", "least", "best", "most", "hands", "place", "optional", "alarm")
NO_STEP = "out"  # the kind of a row that is left out
_MOST_NOTE = 200
_SPAN = re.compile(
    r"(?:(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:h|hrs?|hours?))?\s*(?:(\d{1,5})\s*(?:m|mins?|minutes?)?)?", re.ASCII | re.I
)
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)", re.ASCII)
_PART_OF = {"wait": "least", "hands_min": "hands", "alarm_min": "alarm"}


def minutes_of(typed: str) -> int | None:
    """ "45", "45 min", "2 h 30 min", "2h30", "1.5 h", "2:30" as minutes; None when it is none of these."""
    typed = typed.strip()
    if clock := _CLOCK.fullmatch(typed):
        return int(clock[1]) * 60 + int(clock[2])
    match = _SPAN.fullmatch(typed)
    if not match or not (match[1] or match[2]):
        return None
    return round(float((match[1] or "0").replace(",", ".")) * 60) + int(match[2] or 0)


def read_method(answers: Answers, rows: int, key: str = "new", source: str = "") -> Method:
    """The method as typed in that many rows. Raises PlanError with every mistake, each at its field."""
    places = [place for place in range(rows) if _is_step(answers, place)]
    plain = {
        "key": key,
        "name": answers.name("name", what=fields.METHOD),
        "note": " ".join(answers.text("note").split())[:_MOST_NOTE],
        "through_night": answers.yes("through_night"),
        "mixed_cool": answers.yes("mixed_cool"),
        "pressed_percent": answers.whole("pressed_percent", PRESSED_LEAST, 100, empty=100),
        "source": source,
        "step": [_step(answers, place, first=place == places[0]) for place in places],
    }
    method, wrong = _made(plain, places)
    # What follows from a value that could not be read is no mistake of its own.
    doubtful = {problem.field.split("-")[0] for problem in answers.problems}
    for problem in wrong:
        at_a_row = problem.field[:1].isdigit()
        if not doubtful or (at_a_row and problem.field.split("-")[0] not in doubtful):
            answers.problems.append(problem)
    answers.done()
    assert method is not None, "nothing was wrong"
    return method


def _is_step(answers: Answers, place: int) -> bool:
    """Whether this row is a step: it says which, or anything else that a step has."""
    counts = ("kind", "least", "best", "most", "hands", "place", "alarm")
    return answers.text(f"{place}-kind") != NO_STEP and answers.any_of(*(f"{place}-{part}" for part in counts))


def _made(plain: Mapping[str, Any], places: list[int]) -> tuple[Method | None, list[Problem]]:
    """The method, or what is wrong with it at the fields of the form."""
    try:
        return method_from_dict(plain), []
    except PlanError as error:
        return None, [in_words(one, _field(one.field, places)) for one in error.problems]


def _field(field: str, places: list[int]) -> str:
    """Where the form shows a problem of "steps.3.wait" (the third step that is filled in)."""
    match = re.fullmatch(r"steps\.(\d+)(?:\.(\w+))?", field)
    if not match:
        return "name" if field == "method" else field
    part = match[2] or "kind"
    return f"{places[int(match[1]) - 1]}-{_PART_OF.get(part, part)}"


def _step(answers: Answers, place: int, *, first: bool) -> dict[str, Any]:
    at = f"{place}-"
    row: dict[str, Any] = {"kind": answers.choice(f"{at}kind", tuple(CHAIN_STEPS), what=fields.STEP)}
    if not first:
        row["wait"] = [_span(answers, f"{at}{name}") for name in ("least", "best", "most")]
    row |= {
        "hands_min": answers.whole(f"{at}hands", 0, MOST_HANDS_MIN, empty=0),
        "place": answers.choice(f"{at}place", RESTING_PLACES, empty=""),
        "optional": answers.yes(f"{at}optional"),
        "alarm_min": answers.whole(f"{at}alarm", 0, MOST_ALARM_MIN, empty=0),
    }
    return row


def _span(answers: Answers, field: str) -> int:
    typed = answers.text(field)
    found = minutes_of(typed)
    if found is None or found > MOST_WAIT_MIN:
        answers.wrong(field, *said.no_length_of_time(typed))
        return 0
    return found


def typed_method(method: Method) -> dict[str, str]:
    """What the form shows of a method."""
    typed = {
        "name": method.name,
        "note": method.note,
        "through_night": "1" if method.through_night else "",
        "mixed_cool": "1" if method.mixed_cool else "",
        "pressed_percent": str(method.pressed_percent) if method.pressed_percent < 100 else "",
    }
    for place, step in enumerate(method.steps):
        at = f"{place}-"
        typed |= {
            f"{at}kind": step.kind,
            f"{at}hands": str(step.hands),
            f"{at}place": step.place,
            f"{at}optional": "1" if step.optional else "",
            f"{at}alarm": str(step.alarm_min or ""),
        }
        if place:
            waits = (step.wait_least_min, step.wait_best_min, step.wait_most_min)
            typed |= {
                f"{at}{name}": span_words(60 * m) for name, m in zip(("least", "best", "most"), waits, strict=True)
            }
    return typed


def rows_posted(names: Collection[str]) -> int:
    """How many rows the form that was sent had."""
    return 1 + max((place for place in range(MOST_STEPS) if f"{place}-kind" in names), default=0)


def rearranged(answers: Answers, rows: int, wanted: str) -> tuple[dict[str, str], int]:
    """What was typed, with a row added ("add-3": it becomes row 3), dropped ("drop-3") or moved up ("up-3").

    What cannot be done (a thirteenth row, dropping the only one) changes nothing.
    """
    lines = [{part: answers.text(f"{place}-{part}") for part in PARTS} for place in range(rows)]
    match = re.fullmatch(r"(add|drop|up)-(\d{1,2})", wanted, re.ASCII)
    place = int(match[2]) if match else 0
    if match and match[1] == "add" and place <= rows < MOST_STEPS:
        lines.insert(place, dict.fromkeys(PARTS, ""))
    elif match and match[1] == "drop" and place < rows and rows > 1:
        del lines[place]
    elif match and match[1] == "up" and 0 < place < rows:
        lines[place - 1 : place + 1] = lines[place], lines[place - 1]
    out = {name: answers.text(name) for name in OF_THE_WHOLE}
    for number, line in enumerate(lines):
        out |= {f"{number}-{part}": value for part, value in line.items()}
    return out, len(lines)
