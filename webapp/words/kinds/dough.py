"""What a dough is made of and how, as it is chosen in a form: yeasts, ingredients, preferments, breads, mixing."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import (
    BreadStyle,
    BulkVessel,
    IngredientKind,
    Mixing,
    PrefermentStyle,
    ToppingRisk,
    ToppingWhen,
    TypedUnit,
    YeastKind,
)


def yeast_word(kind: YeastKind) -> str:
    """Short, for a list of them."""
    match kind:
        case "instant":
            return "Instant"
        case "active-dry":
            return "Active dry"
        case "fresh":
            return "Fresh"
        case _:
            assert_never(kind)


def yeast_name(kind: YeastKind) -> str:
    """Its whole name, as in a weigh-out list."""
    match kind:
        case "instant":
            return "Instant yeast"
        case "active-dry":
            return "Active dry yeast"
        case "fresh":
            return "Fresh yeast"
        case _:
            assert_never(kind)


def ingredient_word(kind: IngredientKind) -> str:
    """What an ingredient is."""
    match kind:
        case "flour":
            return "Flour"
        case "water":
            return "Water"
        case "salt":
            return "Salt"
        case "sugar":
            return "Sugar"
        case "fat":
            return "Oil or fat"
        case "other":
            return "Other"
        case _:
            assert_never(kind)


def preferment_name(style: PrefermentStyle) -> str:
    """Dough made ahead, by its name alone."""
    match style:
        case "poolish":
            return "Poolish"
        case "biga":
            return "Biga"
        case "sponge":
            return "Sponge"
        case _:
            assert_never(style)


def preferment_word(style: PrefermentStyle) -> str:
    """The same with how it is to work with, as it is chosen."""
    how = {"poolish": "loose", "biga": "stiff"}.get(style)
    return f"{preferment_name(style)}, {how}" if how else preferment_name(style)


def style_word(style: BreadStyle) -> str:
    """What kind of bread it is."""
    match style:
        case "thin":
            return "Thin tray"
        case "round":
            return "Round"
        case "pan":
            return "Pan"
        case "tray":
            return "Deep tray"
        case "focaccia":
            return "Focaccia-like"
        case _:
            assert_never(style)


def baked_as(style: BreadStyle) -> str:
    """What is baked so, as an example."""
    match style:
        case "thin":
            return "Thin round"
        case "round":
            return "Round pizza"
        case "pan":
            return "Pan pizza"
        case "tray":
            return "Tray pizza"
        case "focaccia":
            return "Focaccia"
        case _:
            assert_never(style)


def typed_unit_word(unit: TypedUnit) -> str:
    """What the amounts of a formula are."""
    match unit:
        case "percent":
            return "Percent of the flour"
        case "grams":
            return "Grams"
        case "oz":
            return "Ounces"
        case _:
            assert_never(unit)


def when_word(when: ToppingWhen) -> str:
    """When a topping goes on."""
    match when:
        case "before":
            return "Before baking"
        case "after":
            return "After baking"
        case _:
            assert_never(when)


def mixing_word(mixing: Mixing) -> str:
    """How somebody mixes."""
    match mixing:
        case "hand":
            return "By hand"
        case "mixer":
            return "With a mixer"
        case "processor":
            return "In a food processor"
        case _:
            assert_never(mixing)


def vessel_word(vessel: BulkVessel) -> str:
    """What the dough rises in."""
    match vessel:
        case "bowl":
            return "A bowl"
        case "tub":
            return "A tub with a lid"
        case _:
            assert_never(vessel)


def risk_word(risk: ToppingRisk) -> str:
    """Of a topping."""
    match risk:
        case "":
            return "As its name tells"
        case "raw-egg":
            return "Raw egg in it"
        case "raw-meat":
            return "Raw meat or fish"
        case "avoid":
            return "Soft or blue cheese, cured or smoked"
        case _:
            assert_never(risk)
