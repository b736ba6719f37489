"""Whose step it is, in a house of several or with somebody else there for a day, in words."""

from __future__ import annotations

from webapp.core.kitchen import Person
from webapp.core.plan.steps import ANOTHER, PlanStep, is_anothers

SOMEBODY_ELSE = "somebody else"


def with_names(text: str, step: PlanStep) -> str:
    """The text of a step, and whom its time suits by the plan; the text alone where one person does all, or can."""
    if not step.who or (ANOTHER in step.who and any(Person(name).is_reader for name in step.who)):
        return text
    there = "Hands free then" if step.presence == "hands" else "At home then"
    return f"{text}\n{there}, by the plan: {', '.join(name or SOMEBODY_ELSE for name in step.who)}."


def anothers_words(step: PlanStep) -> str:
    """Behind the title of a step that suits nobody of the house: " (somebody else)"; else ""."""
    return f" ({SOMEBODY_ELSE})" if is_anothers(step) else ""
