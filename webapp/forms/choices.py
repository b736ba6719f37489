"""What can be chosen in a form: each closed set of core/kinds.py with the words it is offered in, written once.

Each function is total over its set, so that mypy names the one that a new kind still lacks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar, assert_never

from webapp.core.kinds import (
    BreadStyle,
    BulkVessel,
    ClockStyle,
    DialUnit,
    HeatUnit,
    IngredientKind,
    MassUnit,
    Mixing,
    OvenFunction,
    PanShape,
    PrefermentStyle,
    SlabKind,
    ToppingWhen,
    TypedUnit,
    YeastKind,
)

Kind = TypeVar("Kind", bound=str)


def choices(kinds: Iterable[Kind], word: Callable[[Kind], str], none: str = "") -> tuple[tuple[str, str], ...]:
    """(kind, its word) of each, as a form offers them; `none` is what choosing none of them is called."""
    offered = tuple((kind, word(kind)) for kind in kinds)
    return (("", none), *offered) if none else offered


def yeast_word(kind: YeastKind) -> str:
    """Short, for a list of them; in a weigh-out list it has its whole name (core/formula/ingredients.py)."""
    match kind:
        case "instant":
            return "Instant"
        case "active-dry":
            return "Active dry"
        case "fresh":
            return "Fresh"
        case _:
            assert_never(kind)


def shape_word(shape: PanShape) -> str:
    """Of a pan."""
    match shape:
        case "rectangle":
            return "Rectangle"
        case "round":
            return "Round"
        case "oval":
            return "Oval"
        case "measured":
            return "Any shape"
        case _:
            assert_never(shape)


def pan_word(shape: PanShape) -> str:
    """What a pan of this shape without a name of its own is called; its size follows."""
    match shape:
        case "rectangle":
            return "Rectangle"
        case "round":
            return "Round pan"
        case "oval":
            return "Oval"
        case "measured":
            return "Measured pan"
        case _:
            assert_never(shape)


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


def preferment_word(style: PrefermentStyle) -> str:
    """Dough made ahead."""
    match style:
        case "poolish":
            return "Poolish, loose"
        case "biga":
            return "Biga, stiff"
        case "sponge":
            return "Sponge"
        case _:
            assert_never(style)


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


def slab_word(slab: SlabKind) -> str:
    """What the tray stands on."""
    match slab:
        case "tray":
            return "The baking tray alone"
        case "steel":
            return "A steel"
        case "stone":
            return "A stone"
        case "cast-iron":
            return "Cast iron"
        case _:
            assert_never(slab)


def function_word(function: OvenFunction) -> str:
    """How the oven heats."""
    match function:
        case "still":
            return "Top and bottom heat"
        case "fan":
            return "The fan"
        case _:
            assert_never(function)


def dial_word(unit: DialUnit) -> str:
    """What the oven's dial shows."""
    match unit:
        case "C":
            return "°C"
        case "F":
            return "°F"
        case "gas":
            return "Gas marks"
        case _:
            assert_never(unit)


def unit_word(unit: HeatUnit | MassUnit | ClockStyle) -> str:
    """How weights, temperatures and the clock are read."""
    match unit:
        case "g":
            return "Grams"
        case "oz":
            return "Ounces"
        case "C":
            return "Celsius"
        case "F":
            return "Fahrenheit"
        case "24":
            return "19:30"
        case "12":
            return "7:30 pm"
        case _:
            assert_never(unit)


# Every part of a kitchen's settings, as it is called where it cannot be read.
SETTINGS: Mapping[str, str] = {
    "zone": "time zone",
    "room": "how warm the kitchen is",
    "fridge_c": "how cold the fridge is",
    "warm_c": "how warm the warm spot is",
    "has_warm_spot": "warm spot",
    "warm_is_oven": "the oven as warm spot",
    "tap_c": "how cold the tap is",
    "mixing": "mixing",
    "mixing_rise_c": "what mixing warms",
    "vessel": "bowl or tub",
    "scale_step_g": "kitchen scale",
    "micro_step_g": "fine scale",
    "has_spoons": "measuring spoons",
    "yeast_kind": "yeast",
    "vigour_ln_mean": "how quick the dough is",
    "vigour_ln_sd": "how sure that is",
    "pans": "pans",
    "oven": "oven",
    "people": "people and their hours",
    "mass_unit": "grams or ounces",
    "heat_unit": "Celsius or Fahrenheit",
    "clock": "clock",
    "alarms": "alarms",
    "every_step": "which steps ring",
    "avoid": "allergens",
    "habits": "changes taken along",
}


def setting_word(name: str) -> str:
    """A setting by its name in the record, as a person calls it."""
    return SETTINGS.get(name, name)
