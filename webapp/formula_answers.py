"""An own formula typed in grams or in baker's percentages, and a formula back into text for the form.

Rows of ingredients are fields PLACE-name, PLACE-kind, PLACE-amount and, for what is unusual about one, PLACE-water
(% of its weight that is water), PLACE-whole (% whole grain) and PLACE-allergens (words with commas).
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace

from webapp.answers import Answers, number_text
from webapp.core.errors import PlanError, Problem
from webapp.core.formula import checked, percents_from_grams
from webapp.core.ingredients import INGREDIENT_KINDS, YEAST_KINDS, Formula, Ingredient, Preferment

STYLES = (
    ("tray", "Deep tray"), ("pan", "Pan"), ("focaccia", "Focaccia-like"), ("round", "Round"), ("thin", "Thin tray"),
)  # fmt: skip
LEAST_ROWS, SPARE_ROWS, MOST_ROWS = 6, 3, 16
NONE = "none"
_MOST_NOTE = 400


@dataclass(frozen=True)
class Typed:
    """A row of the form that holds an ingredient: where it stands, what it is, how much (grams or percent)."""

    place: int
    ingredient: Ingredient


def rows_for(formula: Formula | None) -> int:
    """How many rows of ingredients the form shows: those there are, and a few empty ones."""
    there = len(formula.ingredients) if formula else 0
    return min(MOST_ROWS, max(LEAST_ROWS, there + SPARE_ROWS))


def read_formula(answers: Answers, allergens: Collection[str], toppings: Collection[str], key: str = "new") -> Formula:
    """The formula as typed; PlanError with every mistake, each at its field."""
    grams = answers.choice("unit", ("percent", "grams"), empty="percent") == "grams"
    rows = [row for place in range(MOST_ROWS) if (row := _row(answers, place, grams, allergens)) is not None]
    if not any(row.ingredient.kind == "flour" for row in rows):
        answers.wrong("0-amount", "There is no flour.", "Give the flour first: everything else is a percent of it.")
    yeast = answers.number("yeast", 0.001, 2000 if grams else 10, "g" if grams else "%", what="The yeast")
    formula = Formula(
        key=key,
        name=answers.name("name", what="The formula"),
        style=answers.choice("style", [style for style, _ in STYLES]),
        ingredients=tuple(row.ingredient for row in rows),
        preferment=_read_preferment(answers),
        yeast_kind=answers.choice("yeast_kind", YEAST_KINDS),
        yeast_percent=yeast,
        loading_low=answers.number("loading_low", 0.1, 1.5, "g/cm²"),
        loading=answers.number("loading", 0.1, 1.5, "g/cm²"),
        loading_high=answers.number("loading_high", 0.1, 1.5, "g/cm²"),
        target_increase=answers.number("target_times", 1.2, 4.0, "times") - 1.0,
        past_increase=answers.number("past_times", 1.5, 6.0, "times") - 1.0,
        cold_only=answers.yes("cold_only"),
        toppings_key=answers.choice("toppings_key", toppings, empty="none"),
        note=" ".join(answers.text("note").split())[:_MOST_NOTE],
    )
    answers.done()
    if grams:
        formula = _in_percent(formula)
    return _checked(formula, rows)


def typed_formula(formula: Formula) -> dict[str, str]:
    """What the form shows of a formula, in percent."""
    typed = {
        "name": formula.name,
        "style": formula.style,
        "unit": "percent",
        "yeast_kind": formula.yeast_kind,
        "yeast": number_text(formula.yeast_percent, 3),
        "loading_low": number_text(formula.loading_low),
        "loading": number_text(formula.loading),
        "loading_high": number_text(formula.loading_high),
        "target_times": number_text(1.0 + formula.target_increase),
        "past_times": number_text(1.0 + formula.past_increase),
        "cold_only": "1" if formula.cold_only else "",
        "toppings_key": formula.toppings_key,
        "note": formula.note,
    }
    for place, one in enumerate(formula.ingredients):
        typed |= {
            f"{place}-name": one.name,
            f"{place}-kind": one.kind,
            f"{place}-amount": number_text(one.percent),
            f"{place}-water": number_text(100 * one.water_share, 1) if one.water_share else "",
            f"{place}-whole": number_text(100 * one.whole_share, 1) if one.whole_share else "",
            f"{place}-allergens": ", ".join(one.allergens) or NONE,
        }
    pre = formula.preferment
    if pre:
        typed |= {
            "pre_style": pre.style,
            "pre_flour": number_text(pre.flour_percent),
            "pre_water": number_text(pre.hydration_percent),
            "pre_yeast": number_text(pre.yeast_percent, 3),
        }
    return typed


def _row(answers: Answers, place: int, grams: bool, allergens: Collection[str]) -> Typed | None:
    if not answers.text(f"{place}-name") and not answers.text(f"{place}-amount"):
        return None
    kind = answers.choice(f"{place}-kind", INGREDIENT_KINDS, what="What it is")
    name = answers.name(f"{place}-name", what="The ingredient")
    amount = answers.number(f"{place}-amount", 0, 50_000 if grams else 200, "g" if grams else "%", what="It")
    water = answers.number(f"{place}-water", 0, 100, "%", empty=0.0)
    whole = answers.number(f"{place}-whole", 0, 100, "%", empty=0.0)
    found = _allergens(answers, f"{place}-allergens", kind, allergens)
    # The key only has to be the row's own within the formula; the name may be anything.
    word = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:24] or kind
    return Typed(place, Ingredient(f"{word}-{place}", name, kind, amount, water / 100, found, whole / 100))


def _allergens(answers: Answers, field: str, kind: str, known: Collection[str]) -> tuple[str, ...]:
    """Words with commas. Flour is taken to have gluten unless "none" is written: forgetting must not make it safe."""
    words = [word.strip().lower() for word in answers.text(field).split(",") if word.strip()]
    if not words:
        return ("gluten",) if kind == "flour" else ()
    if words == [NONE]:
        return ()
    strange = [word for word in words if word not in known]
    if strange:
        answers.wrong(field, f"“{strange[0]}” is not on the list of allergens.", f"Known: {', '.join(known)}, or none.")
    return tuple(word for word in words if word in known)


def _read_preferment(answers: Answers) -> Preferment | None:
    style = answers.choice("pre_style", ("poolish", "biga", "sponge"), empty="")
    if not style:
        return None
    return Preferment(
        key=style,
        name=style.capitalize(),
        style=style,
        flour_percent=answers.number("pre_flour", 5, 80, "%", what="Its flour"),
        hydration_percent=answers.number("pre_water", 40, 150, "%", what="Its water"),
        yeast_percent=answers.number("pre_yeast", 0.001, 5, "%", what="Its yeast"),
    )


def _in_percent(formula: Formula) -> Formula:
    """Amounts are grams: all flour together becomes 100."""
    grams = {one.key: one.percent for one in formula.ingredients}
    flours = [one.key for one in formula.ingredients if one.kind == "flour"]
    try:
        percents = percents_from_grams(grams | {"yeast": formula.yeast_percent}, flours)
    except PlanError as error:
        raise PlanError(*(Problem("0-amount", one.message, one.way_out) for one in error.problems)) from None
    return replace(
        formula,
        ingredients=tuple(replace(one, percent=percents[one.key]) for one in formula.ingredients),
        yeast_percent=percents["yeast"],
    )


def _checked(formula: Formula, rows: list[Typed]) -> Formula:
    """The formula when it is a dough; else what keeps it from being one, at the rows that are to blame."""
    try:
        return checked(formula)
    except PlanError as error:
        fields = {"yeast_percent": "yeast", "preferment": "pre_flour", "target_increase": "target_times"}
        for row in reversed(rows):
            fields |= {row.ingredient.kind: f"{row.place}-amount", row.ingredient.key: f"{row.place}-amount"}
        raise PlanError(
            *(Problem(fields.get(one.field, one.field), one.message, one.way_out) for one in error.problems)
        ) from None
