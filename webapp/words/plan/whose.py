"""Whose step it is, in a house of several, in words."""

from __future__ import annotations

from webapp.core.plan.steps import PlanStep


def with_names(text: str, step: PlanStep) -> str:
    """The text of a step, and whom its time suits by the plan; the text alone where one person does all."""
    if not step.who:
        return text
    there = "Hands free then" if step.presence == "hands" else "At home then"
    return f"{text}\n{there}, by the plan: {', '.join(step.who)}."
