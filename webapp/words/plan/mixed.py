"""Two plans of one bake, and what was mixed by which: what is said of it, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.kinds import ClockStyle
from webapp.core.plan.plan import Plan
from webapp.core.units import mass_text
from webapp.words.kinds.pans import counted
from webapp.words.lists import joined
from webapp.words.plan.weights import yeast_words
from webapp.words.times import clock, weekday

GO_ON = "Go on with that dough"
NOT_THAT = "No, that dough is not used"


def mixed_words(who: str, mixed: Plan, newest: Plan, style: ClockStyle = "24") -> str:
    """ "Sam mixed the earlier plan, with 2.45 g of yeast." and what that means; `who` "" = nobody knows."""
    earlier, newer = told_apart((mixed, newest), style)
    first = f"{who or 'Another phone'} mixed the earlier plan, with {earlier}."
    return f"{first} The newer plan ({newer}) was not there yet. What was mixed is what you see here."


def two_doughs_words(names: Sequence[str]) -> str:
    """Two doughs were mixed, by two plans."""
    said = joined([name or "another phone" for name in names])
    return f"Two doughs were mixed by two plans: {said}. Which of them goes on?"


def its_dough_words(who: str, what: str) -> str:
    """The answer to that: whose dough, and by what it is known (`told_apart`)."""
    return f"{who or 'The other phone'}: that dough, {what}"


def told_apart(plans: Sequence[Plan], style: ClockStyle = "24") -> tuple[str, ...]:
    """Of each its yeast, and all else in which one is not as another: what it is, how much, in what, when it is eaten,
    or else when it was to be mixed."""
    rows = [_known_by(plan, style) for plan in plans]
    *seen, begins = zip(*rows, strict=True)
    differ = [column for column in seen if len(set(column)) > 1]
    also = differ if differ else [begins]
    yeast = tuple(map(yeast_words, plans))
    shown = [yeast, *(column for column in also if column != yeast)]
    return tuple(", ".join(parts) for parts in zip(*shown, strict=True))


def _known_by(plan: Plan, style: ClockStyle) -> tuple[str, ...]:
    unit = plan.making.mass_unit if plan.making else "g"
    pans = counted((pan.called or pan.name, pan.count) for pan in plan.pans)
    eaten, begins = (
        f"{weekday(when, plan.zone)} {clock(when, plan.zone, style)}"
        for when in (plan.supper, min(step.start for step in plan.steps))
    )
    return (
        yeast_words(plan),
        plan.formula_name,
        f"{mass_text(plan.dough_g, unit)} of dough",
        pans,
        f"supper {eaten}",
        f"begun {begins}",
    )
