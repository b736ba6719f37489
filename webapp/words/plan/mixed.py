"""Two plans of one bake, and what was mixed by which: what is said of it, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.plan.plan import Plan
from webapp.words.lists import joined
from webapp.words.plan.weights import yeast_words

GO_ON = "Go on with that dough"
NOT_THAT = "No, that dough is not used"


def mixed_words(who: str, mixed: Plan, newest: Plan) -> str:
    """ "Sam mixed the earlier plan, with 2.45 g of yeast." and what that means; `who` "" = nobody knows."""
    first = f"{who or 'Another phone'} mixed the earlier plan, with {yeast_words(mixed)}."
    return f"{first} The newer plan ({yeast_words(newest)}) was not there yet. What was mixed is what you see here."


def two_doughs_words(names: Sequence[str]) -> str:
    """Two doughs were mixed, by two plans."""
    said = joined([name or "another phone" for name in names])
    return f"Two doughs were mixed by two plans: {said}. Which of them goes on?"


def its_dough_words(who: str) -> str:
    """The answer to that."""
    return f"{who or 'The other phone'}: that dough"
