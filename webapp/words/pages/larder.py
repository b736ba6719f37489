"""What the larder's forms ask, and what they answer to a tap."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from webapp.words.lists import joined

LARDER_SAVED = "Saved: it can be chosen on the plan form."
PUT_AWAY = "Put away. Bakes planned with it keep it."
FORMULA_PUT_AWAY = "Put away. Bakes made with it keep it."


def formula_saved(cold: Iterable[str]) -> str:
    """`cold`: what in it keeps it from standing warm."""
    said = joined(cold)
    return f"Saved.{f' With {said} in it it rises in the fridge, not for hours at room temperature.' if said else ''}"


# Labels by the names of fields; those of a row without its number.
OF_FORMULA: Mapping[str, str] = {
    "name": "Name",
    "style": "Kind of bread",
    "unit": "Amounts are",
    "yeast_kind": "Yeast",
    "yeast": "How much of it",
    "loading_low": "At least",
    "loading": "Usually",
    "loading_high": "At most",
    "target_times": "Press it out when it has grown to",
    "past_times": "It is past its best at",
    "wanted": "How warm it is when it is mixed",
    "cold_only": "Milk, egg, cheese or garlic in oil in the dough: not for hours at room temperature",
    "toppings_key": "Usually on top",
    "note": "Note",
    "pre_style": "Preferment",
    "pre_flour": "Its flour",
    "pre_water": "Its water",
    "pre_yeast": "Its yeast",
}
NO_PREFERMENT = "None"
OF_INGREDIENT: Mapping[str, str] = {
    "name": "Ingredient",
    "kind": "It is",
    "amount": "Amount",
    "water": "Water in it, %",
    "whole": "Whole grain, %",
    "allergens": "Allergens",
}
OF_METHOD: Mapping[str, str] = {
    "name": "Name",
    "note": "Note",
    "through_night": "The longest wait has a night in it",
    "mixed_cool": "Mix it with cold tap water",
    "pressed_percent": "Press it out at",
}
CHOOSE, NO_STEP, ITS_PLACE = "– (choose)", "Leave this row out", "Where this step puts it"
WAIT_COUNTS = (
    "A wait counts from the step that last moved the dough; that of a rest, a fold or rounding up from the step just "
    "before it."
)
OPTIONAL = "May be left out when the day has no room for it"
_OF_STEP: Mapping[str, str] = {
    "kind": "kind of step",
    "least": "wait, at least",
    "best": "wait, best",
    "most": "wait, at most",
    "hands": "work",
    "place": "place",
    "alarm": "ringing",
}


def of_step(place: int, part: str) -> str:
    """A field of the step in this row (counted from 0)."""
    return f"Step {place + 1}: {_OF_STEP[part]}"


OF_TOPPINGS: Mapping[str, str] = {"name": "Name", "rim": "With a crisp cheese rim", "note": "Note"}
OF_TOPPING: Mapping[str, str] = {
    "name": "What",
    "when": "It goes on",
    "keep": "It is kept",
    "risk": "Raw, or for some to avoid",
    "drained": "Left once drained, %",
    "allergens": "Allergens",
    "note": "How",
}
KEPT: Mapping[str, str] = {
    "told": "As its name tells",
    "shelf": "On the shelf",
    "cold": "Fridge, until it goes on",
    "half": "Fridge, out half an hour before",
    "hour": "Fridge, out an hour before",
}


def grams_for(unit: str) -> str:
    """For which pan the amounts of a set are; `unit` as a word."""
    return f"The {unit.lower()} below are for"


def ready(unit: str) -> str:
    """How much of a topping, as it goes on."""
    return f"{unit}, ready to use"
