"""The oven in words: dial, shelf, slab, what is done minute by minute, and why a hot slab."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from webapp.core.kinds import DialUnit, HeatUnit, OvenFunction, ShelfHeight, SlabKind
from webapp.core.kitchen import Oven
from webapp.core.oven.dial import nearest_mark
from webapp.core.oven.slab import MATERIALS, Material
from webapp.core.plan.oven import OvenAction, OvenPlan, OvenSetting
from webapp.core.units import f_from_c, heat_text
from webapp.words.lists import joined
from webapp.words.shared import SAID

SLAB_WORDS: dict[SlabKind, str] = {"tray": "tray", "steel": "steel", "stone": "stone", "cast-iron": "cast iron"}
BARE = "tray alone"
OFF = "Turn the oven off."
_SHARED = "Trays that bake together often want a few minutes longer: go by the base of each."
_ORDINALS = {2: "second", 3: "third", 4: "fourth"}


def dial_words(unit: DialUnit, setting_c: float, highest_c: float = 1000.0) -> str:
    """A dial setting in this oven's own words: "250 °C", "480 °F", "gas 9"."""
    match unit:
        case "gas":
            return f"gas {nearest_mark(setting_c, highest_c)}"
        case "F":
            return f"{f_from_c(setting_c):.0f} °F"
        case "C":
            return f"{setting_c:.0f} °C"
        case _:
            assert_never(unit)


def dial_end(oven: Oven) -> str:
    """The hottest this dial reads."""
    return dial_words(oven.dial_unit, oven.highest_c, oven.highest_c)


def blown_word(function: OvenFunction) -> str:
    """What stands beside the dial; "" for top and bottom heat, which goes without saying."""
    match function:
        case "still":
            return ""
        case "fan":
            return "fan"
        case _:
            assert_never(function)


def function_words(function: OvenFunction) -> str:
    """The same as a sentence: "The fan is on."."""
    word = blown_word(function)
    return f"The {word} is on." if word else ""


def slab_words(setting: OvenSetting) -> str:
    """ "10 mm steel", "steel" when nobody knows how thick it is, or "tray alone"."""
    if setting.slab == "tray":
        return BARE
    return f"{setting.slab_mm:.0f} mm {SLAB_WORDS[setting.slab]}" if setting.slab_mm else SLAB_WORDS[setting.slab]


def _heated() -> Iterator[tuple[SlabKind, Material]]:
    return ((slab, MATERIALS[slab]) for slab in SLAB_WORDS if slab in MATERIALS)


def usual_thickness_words() -> str:
    """What is taken when nobody knows how thick a slab is."""
    usual = joined(f"{one.usual_mm:.0f} mm for {SLAB_WORDS[slab]}" for slab, one in _heated())
    return f"Left empty, a usual one is taken: {usual}."


def shelf_words(shelves: int, where: ShelfHeight) -> str:
    """low | middle | high as a person counts shelves, from below."""
    if shelves <= 1:
        return "the only one"
    if where == "low":
        return "lowest"
    if where == "high":
        return "highest" if shelves <= 3 else "second from the top"
    if shelves % 2:
        return "middle"
    return "upper" if shelves == 2 else f"{_ORDINALS.get(shelves // 2, str(shelves // 2))} from the bottom"


def action_words(plan: OvenPlan, setting: OvenSetting, action: OvenAction, heat: HeatUnit) -> str:
    """One line of the bake programme, enough by itself; what a thermometer reads in the household's unit."""
    match action.action:
        case "load":
            return _load(setting)
        case "turn-down":
            high, low = (dial_words(setting.dial_unit, c) for c in (setting.dial_c, action.dial_c or setting.dial_c))
            why = "the hot start is over" if setting.slab == "tray" else "the heat stored below browns the base"
            return f"Turn the dial down from {high} to {low} now: {why}."
        case "turn":
            if setting.trays_at_once > 1:
                return "Turn the trays front to back and let them change shelves. Quickly, door shut again."
            return "Turn it front to back. Quickly, door shut again."
        case "check":
            look = "Lift a corner: brown all over below? Pale: give it two minutes more."
            return f"{look} {_SHARED}" if setting.trays_at_once > 1 else look
        case "lift":
            return _lift_any(plan, setting, heat)
        case _:
            assert_never(action.action)


def _load(setting: OvenSetting) -> str:
    shelf = shelf_words(setting.shelves, setting.shelf)
    if setting.slab == "tray":
        return _loaded(setting, f"Tray in, shelf: {shelf}")
    return _loaded(setting, f"{_onto(setting, slab_words(setting))}, shelf: {shelf}")


def load_here(setting: OvenSetting) -> str:
    """The same beside the dial, where shelf and slab are told."""
    return _loaded(setting, "Tray in" if setting.slab == "tray" else _onto(setting, SLAB_WORDS[setting.slab]))


def _onto(setting: OvenSetting, slab: str) -> str:
    return f"{'Tray' if setting.on_tray else 'Slide it'} onto the hot {slab}"


def _loaded(setting: OvenSetting, how: str) -> str:
    others = " Any other tray a shelf or two above it." if setting.trays_at_once > 1 else ""
    return f"{how}.{others} Shut the door at once."


# A lean dough, and an enriched one: 185-195 °F in the middle (bread-bakers list 2008).
LEAN_C, ENRICHED_C = (94.0, 96.0), (85.0, 90.0)


def _out(plan: OvenPlan, heat: HeatUnit) -> str:
    middle = " to ".join(heat_text(heat_c, heat) for heat_c in (ENRICHED_C if plan.enriched else LEAN_C))
    return f"Out when the base is brown and the top has colour; the middle should read {middle}."


def _more(plan: OvenPlan, setting: OvenSetting) -> str:
    dial = dial_words(setting.dial_unit, setting.dial_c)
    return (
        f"More to come: dial back to {dial} at once and wait {plan.recovery_min} min before the next load, its tray"
        " in the coolest place meanwhile."
    )


def _lift_any(plan: OvenPlan, setting: OvenSetting, heat: HeatUnit) -> str:
    """What is done at the lifting of any load."""
    if plan.loads < 2:
        return f"{_out(plan, heat)} {OFF}"
    return f"{_out(plan, heat)} {_more(plan, setting)} After the last, turn the oven off."


def lift_words(plan: OvenPlan, setting: OvenSetting, load: int, heat: HeatUnit) -> str:
    """What is done at the lifting of load 1, 2, ... (0 = the only one): the dial back for the next, or off."""
    if plan.loads < 2 or not load:
        return _lift_any(plan, setting, heat)
    return off_words(plan, heat) if load == plan.loads else f"{_out(plan, heat)} {_more(plan, setting)}"


def off_words(plan: OvenPlan, heat: HeatUnit) -> str:
    """What is done at the lifting after which the oven goes off: of the last load, or of one before a long wait."""
    return f"{_out(plan, heat)} {OFF}"


def hot_words(setting: OvenSetting) -> str:
    """What tells that an oven is hot: no clock does."""
    slab = " and its slab for a while longer" if setting.slab != "tray" else ""
    return f"It is hot when its own lamp goes out, or a thermometer in it says so{slab}, not when the time is over."


def hot_asked(setting: OvenSetting, heat: HeatUnit) -> str:
    """What is looked at before a tray goes in."""
    return f"Is it hot? Lamp out, or {heat_text(setting.hot_c, heat)} on a thermometer in it. If not, wait."


def latest_words(plan: OvenPlan) -> str:
    """When a tray comes out whatever it looks like: the top of the band and a third over."""
    return f"Out after {plan.out_after_s // 60} minutes in any case: {SAID['burns'][:1].lower()}{SAID['burns'][1:]}"


def contact_words(setting: OvenSetting, heat: HeatUnit) -> str:
    """One plain sentence with numbers: what a hot slab does to the base that a cold tray cannot."""
    hot, tepid = (heat_text(c, heat) for c in (setting.hot_c, setting.cold_c))
    if setting.slab == "tray":
        return (
            f"On a cold tray in an oven at {hot} the base is only at about {tepid} after the first minute,"
            " so the shelf nearest the heat and a dark tray help it to brown."
        )
    name, touch = SLAB_WORDS[setting.slab], heat_text(setting.touch_c, heat)
    if setting.on_tray:
        begin = f"On {name} at {hot} the tray has its base at about {touch} after the first minute"
    else:
        begin = f"Dough that meets {name} at {hot} is at {touch} where they touch, at once"
    return f"{begin}; a cold tray in the same oven would have it at about {tepid} after a minute."
