"""Whose step it is, in a house of several or with somebody else there for a day, in words."""

from __future__ import annotations

from webapp.core.kitchen import Person
from webapp.core.plan.steps import ANOTHER, PlanStep, is_anothers

SOMEBODY_ELSE = "somebody else"


THERE = {
    "hands": "Hands free then, by the plan: {names}.",
    "home": "At home then, by the plan: {names}.",
    "no-hands": "By the plan nobody has their hands free then.",
    "no-home": "By the plan nobody is at home then.",
}


def with_names(text: str, step: PlanStep, named: bool = True) -> str:
    """The text of a step, and whom its time suits by the plan, or that it suits nobody; the text alone where one person
    does all, or can, and where it is not to be `named` here: a phone says it itself (static/js/state/whose.js)."""
    if not named:
        return text
    how = "hands" if step.presence == "hands" else "home"
    if step.nobody:
        return f"{text}\n{THERE[f'no-{how}']}"
    if not step.who or (ANOTHER in step.who and any(Person(name).is_reader for name in step.who)):
        return text
    return f"{text}\n{THERE[how].format(names=', '.join(name or SOMEBODY_ELSE for name in step.who))}"


def anothers_words(step: PlanStep) -> str:
    """Behind the title of a step that suits nobody of the house: " (somebody else)"; else ""."""
    return f" ({SOMEBODY_ELSE})" if is_anothers(step) else ""
