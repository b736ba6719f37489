"""A problem in a person's words: made of its kind and its figures where it is shown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain

from webapp.core.errors import Figures, PlanError, Problem
from webapp.core.kinds import ProblemKind
from webapp.words.problems.dough import OF_A_DOUGH
from webapp.words.problems.evening import OF_AN_EVENING

SENTENCES: Mapping[ProblemKind, tuple[str, str]] = dict(chain(OF_A_DOUGH.items(), OF_AN_EVENING.items()))

# Said in more than one place; LEFT_OUT after the names of what it is about.
BROKE = "Something broke on the server; nothing was changed."
LEFT_OUT = "cannot be read by this version of the program, so left out"


@dataclass(frozen=True)
class Told(Problem):
    """A problem with its sentences: `message` what is wrong, `way_out` what to do about it."""

    message: str = ""
    way_out: str = ""

    def __str__(self) -> str:
        return f"{self.field}: {self.message} {self.way_out}".strip()


def told(field: str, message: str, way_out: str = "", kind: ProblemKind = "told") -> Told:
    """A problem that the edge itself found: a page, a form, a file, a calendar."""
    return Told(field, kind, {}, message, way_out)


def refused(field: str, message: str, way_out: str = "", kind: ProblemKind = "told") -> PlanError:
    """The same as an error with this one problem."""
    return PlanError(told(field, message, way_out, kind))


def in_words(problem: Problem, field: str | None = None) -> Told:
    """The problem with its sentences, at another field when the form calls it otherwise."""
    at = problem.field if field is None else field
    if isinstance(problem, Told):
        return told(at, problem.message, problem.way_out, problem.kind)
    message, way_out = (text.format_map(_said(problem.figures)) for text in SENTENCES[problem.kind])
    return Told(at, problem.kind, problem.figures, message, way_out)


def all_in_words(problems: Iterable[Problem]) -> tuple[Told, ...]:
    """Each of them with its sentences."""
    return tuple(in_words(one) for one in problems)


def one_line(error: PlanError) -> str:
    """Everything that is wrong and what to do about it, as running text."""
    return " ".join(f"{one.message} {one.way_out}".strip() for one in all_in_words(error.problems))


def _said(figures: Figures) -> dict[str, str | float]:
    """The figures as a sentence takes them: minutes of a day as a clock, a date in full, which step it is."""
    said = {name: _clock(int(value)) if name.endswith("_min") else value for name, value in figures.items()}
    if "date" in figures:
        said["date"] = f"{date.fromisoformat(str(figures['date'])):%-d %B %Y}"
    if "number" in figures:
        said["where"] = f"step {figures['number']}" + (f" ({figures['step']})" if "step" in figures else "")
    if "wanted" in figures:
        said["wanted"] = {"str": "text", "int": "a whole number", "bool": "true or false"}[str(figures["wanted"])]
    return said


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}" if minute >= 0 else f"minute {minute}"
