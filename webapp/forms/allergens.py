"""Allergens that nobody stated, told by what a thing is called: they are proposed, and marked as such.

A form asks for them, and forgetting must not make a walnut safe. What is said stays said; what a name tells beside it
is added; where neither says anything it is not stated, and that is shown, unless it is plain: one thing and nothing
else, that is on neither list. Nothing looks at a name again.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace
from typing import TypeVar

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.safety.allergens import Allergen
from webapp.data.safety import allergens, plain_names
from webapp.forms.typed import Answers
from webapp.words.problems import typed as said

NONE = "none"

One = TypeVar("One", Ingredient, ToppingItem)


def by_name(name: str) -> tuple[str, ...]:
    """Keys of the allergens that this name tells, in the table's order."""
    said = _words(name)
    return tuple(one.key for one in allergens() if _tells(said, one))


def is_plain(name: str) -> bool:
    """Whether it is called one thing that has none, and nothing beside it: olive oil is, garlic oil is not."""
    said, (plain, beside) = _words(name), plain_names()
    rest = re.sub(rf"\b({'|'.join(map(re.escape, plain))})\b", " ", said)
    return rest != said and beside.issuperset(rest.split()) and not by_name(name)


def _words(name: str) -> str:
    return " ".join(re.findall(r"[^\W\d_]+", name.lower()))


def _tells(said: str, one: Allergen) -> bool:
    """A word of another food's name tells nothing: oyster mushrooms are no molluscs, cocoa butter is no butter."""
    for other in sorted(one.but, key=len, reverse=True):
        said = re.sub(rf"\b{re.escape(other)}\b", " ", said)
    words = set(said.split())
    return any(words.issuperset(known.split()) for known in one.names)


def read_allergens(
    answers: Answers, field: str, known: Collection[str], unsaid: tuple[str, ...] = ()
) -> tuple[str, ...]:
    """Words with commas; "none" says that there is none, and nothing says `unsaid`."""
    words = [word.strip().lower() for word in answers.text(field).split(",") if word.strip()]
    if words == [NONE]:
        return ()
    strange = [word for word in words if word not in known]
    if strange:
        answers.wrong(field, *said.strange_allergen(strange[0], ", ".join(known)))
    return tuple(word for word in words if word in known) if words else unsaid


def proposed(one: One) -> One:
    """With what its name tells and nobody said; who said "none" is believed."""
    said: tuple[str, ...] = tuple(key for key in one.allergens if key not in one.allergens_by_name)
    is_none = one.allergens_said and not said
    more: tuple[str, ...] = () if is_none else tuple(key for key in by_name(one.name) if key not in said)
    # Things of before the question say it by what they name.
    is_said = one.allergens_said or bool(said) or is_plain(one.name)
    return replace(one, allergens=(*said, *more), allergens_said=is_said, allergens_by_name=more)


def in_formula(formula: Formula) -> Formula:
    """An own formula with what its ingredients' names tell; of a flour it was said what it has, or that it has none."""
    asked = (replace(one, allergens_said=one.allergens_said or one.kind == "flour") for one in formula.ingredients)
    return replace(formula, ingredients=tuple(map(proposed, asked)))


def in_set(chosen: ToppingSet) -> ToppingSet:
    """An own set with what the names of its toppings tell."""
    return replace(chosen, items=tuple(map(proposed, chosen.items)))


def said_text(one: Ingredient | ToppingItem) -> str:
    """What was said, as it is typed; "" when nothing was, or nothing had to be: another name is asked about again."""
    said = [key for key in one.allergens if key not in one.allergens_by_name]
    return ", ".join(said) or (NONE if one.allergens_said and not is_plain(one.name) else "")
