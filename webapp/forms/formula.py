"""An own formula typed in grams or in baker's percentages, and a formula back into text for the form.

Rows of ingredients are fields PLACE-name, PLACE-kind, PLACE-amount and, for what is unusual about one, PLACE-water
(% of its weight that is water), PLACE-whole (% whole grain) and PLACE-allergens (words with commas). Amounts, those of
a preferment too, are all in one unit. A formula remembers its unit and its flour, so that what was typed comes back.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.formula.check import checked
from webapp.core.formula.cold_way import perishables
from webapp.core.formula.formula import percents_from_grams
from webapp.core.formula.ingredients import Formula, Ingredient, Preferment
from webapp.core.kinds import BREAD_STYLES, INGREDIENT_KINDS, PREFERMENT_STYLES, TYPED_UNITS, YEAST_KINDS, TypedUnit
from webapp.core.kitchen import Kitchen
from webapp.core.units import G_PER_OZ, number_text
from webapp.forms.allergens import read_allergens, said_text
from webapp.forms.in_units import heat_text, loading_text, read_heat, read_loading
from webapp.forms.keeping import kept
from webapp.forms.typed import Answers, key_word
from webapp.words.kinds.dough import preferment_name
from webapp.words.problems import fields
from webapp.words.problems import typed as words
from webapp.words.problems.told import in_words

LEAST_ROWS, SPARE_ROWS, MOST_INGREDIENTS = 6, 3, 16
USUAL_FLOUR_G = 500.0  # what a formula in percent is shown for
_GRAMS_PER = {"grams": 1.0, "oz": G_PER_OZ}
_DECIMALS = 4  # of an amount: what a person types comes back as typed
_MOST_NOTE = 400
_METRIC = Kitchen()


@dataclass(frozen=True)
class Typed:
    """A row of the form that holds an ingredient: where it stands, what it is, how much (grams or percent)."""

    place: int
    ingredient: Ingredient


def rows_for(formula: Formula | None) -> int:
    """How many rows of ingredients the form shows: those there are, and a few empty ones."""
    there = len(formula.ingredients) if formula else 0
    return min(MOST_INGREDIENTS, max(LEAST_ROWS, there + SPARE_ROWS))


def read_formula(
    answers: Answers, allergens: Collection[str], toppings: Collection[str], key: str = "new",
    kitchen: Kitchen = _METRIC, before: Formula | None = None,
) -> Formula:  # fmt: skip
    """The formula as typed; PlanError with every mistake, each at its field.

    A row of the version `before` goes when its name and amount are emptied; of a new row all that is typed counts.
    """
    unit = answers.choice("unit", TYPED_UNITS, empty="percent")
    there = len(before.ingredients) if before else 0
    filled = [place for place in range(MOST_INGREDIENTS) if is_filled(answers, place, place < there)]
    rows = [_row(answers, place, unit, allergens) for place in filled]
    if not any(row.ingredient.kind == "flour" for row in rows):
        answers.wrong("0-amount", *words.NO_FLOUR)
    ingredients = tuple(row.ingredient for row in rows)
    flour = sum(one.percent for one in ingredients if one.kind == "flour")
    yeast = answers.number("yeast", 0.001, 10 if unit == "percent" else 2000, _sign(unit), what=fields.YEAST)
    formula = Formula(
        key=key,
        name=answers.name("name", what=fields.FORMULA),
        style=answers.choice("style", BREAD_STYLES),
        ingredients=ingredients,
        preferment=_read_preferment(answers, unit, flour, bool(before and before.preferment)),
        yeast_kind=answers.choice("yeast_kind", YEAST_KINDS),
        yeast_percent=yeast,
        loading_low=read_loading(answers, "loading_low", kitchen),
        loading=read_loading(answers, "loading", kitchen),
        loading_high=read_loading(answers, "loading_high", kitchen),
        target_increase=answers.number("target_times", 1.2, 4.0, "times") - 1.0,
        past_increase=answers.number("past_times", 1.5, 6.0, "times") - 1.0,
        cold_only=answers.yes("cold_only") or bool(perishables(ingredients)),
        toppings_key=answers.choice("toppings_key", toppings, empty="none"),
        note=" ".join(answers.text("note").split())[:_MOST_NOTE],
        wanted_dough_c=round(read_heat(answers, "wanted", kitchen, 10.0, 32.0), 3),
        typed_unit=unit,
        typed_flour_g=flour * _GRAMS_PER.get(unit, 0.0),
    )
    answers.done()
    if unit != "percent":
        formula = _in_percent(formula)
    return _checked(formula, rows)


def flour_shown_g(formula: Formula) -> float:
    """The flour for which grams are shown: what was typed, else the usual."""
    return formula.typed_flour_g or USUAL_FLOUR_G


def typed_formula(formula: Formula, kitchen: Kitchen = _METRIC) -> dict[str, str]:
    """What the form shows of a formula, in the unit it was written down in."""
    unit = formula.typed_unit if formula.typed_unit in _GRAMS_PER and formula.typed_flour_g > 0 else "percent"
    # What one percent of the flour is in that unit.
    per = 1.0 if unit == "percent" else formula.typed_flour_g / _GRAMS_PER[unit] / 100.0
    typed = {
        "name": formula.name,
        "style": formula.style,
        "unit": unit,
        "yeast_kind": formula.yeast_kind,
        "yeast": number_text(formula.yeast_percent * per, _DECIMALS),
        "loading_low": loading_text(formula.loading_low, kitchen),
        "loading": loading_text(formula.loading, kitchen),
        "loading_high": loading_text(formula.loading_high, kitchen),
        "target_times": number_text(1.0 + formula.target_increase),
        "past_times": number_text(1.0 + formula.past_increase),
        "cold_only": "1" if formula.cold_only else "",
        "toppings_key": formula.toppings_key,
        "note": formula.note,
        "wanted": heat_text(formula.wanted_dough_c, kitchen),
    }
    for place, one in enumerate(formula.ingredients):
        typed |= {
            f"{place}-name": one.name,
            f"{place}-kind": one.kind,
            f"{place}-amount": number_text(one.percent * per, _DECIMALS),
            f"{place}-water": number_text(100 * one.water_share, 1) if one.water_share else "",
            f"{place}-whole": number_text(100 * one.whole_share, 1) if one.whole_share else "",
            f"{place}-allergens": said_text(one),
        }
    return typed | _typed_preferment(formula.preferment, unit, per)


def _typed_preferment(pre: Preferment | None, unit: str, per: float) -> dict[str, str]:
    if pre is None:
        return {}
    share = 1.0 if unit == "percent" else pre.flour_percent * per / 100.0  # one percent of its own flour
    return {
        "pre_style": pre.style,
        "pre_flour": number_text(pre.flour_percent * per, _DECIMALS),
        "pre_water": number_text(pre.hydration_percent * share, _DECIMALS),
        "pre_yeast": number_text(pre.yeast_percent * share, _DECIMALS),
    }


def _sign(unit: str) -> str:
    return {"percent": "%", "grams": "g"}.get(unit, "oz")


def is_filled(answers: Answers, place: int, was_there: bool = False) -> bool:
    """Whether this row is an ingredient."""
    counts = ("name", "amount") if was_there else ("name", "amount", "water", "whole", "allergens")
    return answers.any_of(*(f"{place}-{part}" for part in counts))


def _row(answers: Answers, place: int, unit: str, allergens: Collection[str]) -> Typed:
    kind = answers.choice(f"{place}-kind", INGREDIENT_KINDS, what=fields.WHAT_IT_IS)
    name = answers.name(f"{place}-name", what=fields.INGREDIENT)
    amount = answers.number(f"{place}-amount", 0, 200 if unit == "percent" else 50_000, _sign(unit), what=fields.IT)
    water = answers.number(f"{place}-water", 0, 100, "%", empty=0.0)
    whole = answers.number(f"{place}-whole", 0, 100, "%", empty=0.0)
    # A flour is taken to have gluten unless "none" is written: forgetting must not make it safe.
    found = read_allergens(answers, f"{place}-allergens", allergens, ("gluten",) if kind == "flour" else ())
    # The key only has to be the row's own within the formula; the name may be anything.
    word = key_word(name, 24) or kind
    said = bool(answers.text(f"{place}-allergens")) or kind == "flour"
    one = Ingredient(f"{word}-{place}", name, kind, amount, water / 100, found, whole / 100, allergens_said=said)
    return Typed(place, kept(one))


_PRE_LIMITS = {  # percent: of all flour, of its own flour, of its own flour
    "pre_flour": (5, 80, fields.ITS_FLOUR),
    "pre_water": (40, 150, fields.ITS_WATER),
    "pre_yeast": (0.001, 5, fields.ITS_YEAST),
}


def _read_preferment(answers: Answers, unit: TypedUnit, flour: float, was_there: bool) -> Preferment | None:
    """In percent: flour of all flour, water and yeast of its own. In grams or ounces: as weighed.

    One that was there goes by its kind alone; figures typed where there was none are meant.
    """
    if not answers.text("pre_style"):
        if not was_there and answers.any_of(*_PRE_LIMITS):
            answers.wrong("pre_style", *words.NO_PREFERMENT_KIND)
        return None
    style = answers.choice("pre_style", PREFERMENT_STYLES)
    if unit == "percent":
        limits = _PRE_LIMITS.items()
        read = {name: answers.number(name, low, high, "%", what=what) for name, (low, high, what) in limits}
    else:
        read = _weighed_preferment(answers, unit, flour)
    return Preferment(
        key=style,
        name=preferment_name(style),
        style=style,
        flour_percent=read["pre_flour"],
        hydration_percent=read["pre_water"],
        yeast_percent=read["pre_yeast"],
    )


def _weighed_preferment(answers: Answers, unit: str, flour: float) -> dict[str, float]:
    """The same three as percentages, each within its limits or named."""
    before = len(answers.problems)
    weighed = {
        name: answers.number(name, 0.0001, 50_000, _sign(unit), what=what) for name, (_, _, what) in _PRE_LIMITS.items()
    }
    if len(answers.problems) > before:
        return weighed
    of = {"pre_flour": flour, "pre_water": weighed["pre_flour"], "pre_yeast": weighed["pre_flour"]}
    read = {name: 100.0 * value / of[name] if of[name] else 0.0 for name, value in weighed.items()}
    for name, (low, high, what) in _PRE_LIMITS.items():
        if not low <= read[name] <= high:
            answers.wrong(name, *words.preferment_share(what, read[name], name == "pre_flour", low, high))
    return read


def _in_percent(formula: Formula) -> Formula:
    """Amounts are weights: all flour together becomes 100. The preferment is in percent already."""
    grams = {one.key: one.percent for one in formula.ingredients}
    flours = [one.key for one in formula.ingredients if one.kind == "flour"]
    try:
        percents = percents_from_grams(grams | {"yeast": formula.yeast_percent}, flours)
    except PlanError as error:
        raise PlanError(*(in_words(one, "0-amount") for one in error.problems)) from None
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
        raise PlanError(*(in_words(one, fields.get(one.field, one.field)) for one in error.problems)) from None
