"""What goes on top, in words; and with what the dough takes, what is to be bought."""

from __future__ import annotations

import math
from collections.abc import Sequence

from webapp.core.formula.toppings import drained, fridge_outs
from webapp.core.kinds import LineKind, MassUnit, ToppingWhen
from webapp.core.plan.plan import Plan
from webapp.core.plan.tray import Pan, Topping
from webapp.core.scale.measures import in_spoons
from webapp.core.units import mass_beside, mass_text
from webapp.data.doughs import measures
from webapp.data.toppings import bought_names
from webapp.words.plan import slots
from webapp.words.plan.weights import spoons_words, yeast_dose_words

AT_HAND = ("brine",)  # toppings that are stirred of salt and water
_IN_DOUGH: tuple[LineKind, ...] = ("flour", "other", "fat", "sugar", "salt", "yeast")
_UNWEIGHED: tuple[LineKind, ...] = ("salt",)  # every kitchen has a packet of it


def note(topping: Topping, unit: MassUnit) -> str:
    """What is to be done with it, in full: salting and draining too."""
    said = []
    if topping.salt_g > 0:
        said.append(f"{mass_beside(topping.salt_g, unit, 1)} of it is salt")
    if topping.undrained_g > 0:
        said.append(f"weighed drained; begin with {mass_beside(topping.undrained_g, unit)}")
    return "; ".join([*said, *([topping.remark] if topping.remark else [])])


def whole(grams: float) -> float:
    """What goes on top to the gram: nobody lays out tenths of it."""
    return float(max(1, math.floor(grams + 0.5)))


def _amount(grams: float, unit: MassUnit, slotted: bool) -> str:
    return slots.grams(whole(grams)) if slotted else mass_beside(whole(grams), unit, 0)


def _salt(grams: float, unit: MassUnit, slotted: bool) -> str:
    return slots.grams(grams) if slotted else mass_beside(grams, unit, 1)


def topping_words(toppings: Sequence[Topping], when: ToppingWhen, unit: MassUnit = "g", slotted: bool = False) -> str:
    """ "216 g tomato sauce: thin, to the edge." in the order they go on, a line each; empty when there are none.

    What is said of each is what is done with it on the tray; salting and draining are over by then. `slotted`: for
    another pan, with slots for amounts.
    """
    said = []
    for topping in toppings:
        if topping.when == when:
            remark = topping.remark.rstrip(".")
            name = f"{topping.name[:1].lower()}{topping.name[1:]}"
            said.append(f"{_amount(topping.grams, unit, slotted)} {name}{': ' if remark else ''}{remark}.")
    return "\n".join(said)


def shared_words(pans: Sequence[Pan]) -> str:
    """How that is shared out among trays that go in together; "" for one."""
    areas = [pan.area_cm2 for pan in pans for _ in range(pan.count)]
    if len(areas) < 2:
        return ""
    if min(areas) < max(areas):
        return f"That is for all {len(areas)} trays: more on the larger."
    return (
        "Half of that on each tray." if len(areas) == 2 else f"The same part of that on each of the {len(areas)} trays."
    )


def sauce_words(toppings: Sequence[Topping], unit: MassUnit, slotted: bool = False, has_spoons: bool = False) -> str:
    """ "Stir 3.2 g (1/2 tsp, level) of salt into 321 g of raw crushed tomatoes."; "" when nothing is stirred.

    `has_spoons`: so little salt is more than most scales can tell, and there are spoons.
    """
    sauce = next((one for one in toppings if one.key == "sauce"), None)
    if sauce is None:
        return ""
    what = f"{_amount(sauce.grams - sauce.salt_g, unit, slotted)} of {sauce.name.lower()}"
    if not sauce.salt_g:
        return f"Have {what} ready."
    spoons = spoons_words(float(in_spoons(sauce.salt_g, measures()["salt"]).teaspoons)) if has_spoons else ""
    level = f" ({spoons}, level)" if spoons and not slotted else ""
    return f"Stir {_salt(sauce.salt_g, unit, slotted)}{level} of salt into {what}."


def drain_words(toppings: Sequence[Topping]) -> str:
    """What must be set to drain in good time; "" when nothing."""
    dry = drained(topping for topping in toppings if not topping.perishable)
    cold = drained(topping for topping in toppings if topping.perishable)  # the fridge clock does not count its hours
    there = (("", dry), (" in the fridge", cold))
    return " ".join(f"Set to drain{where}: {', '.join(names)}." for where, names in there if names)


def fridge_words(toppings: Sequence[Topping]) -> str:
    """What leaves the fridge, a sentence for each time."""
    return " ".join(f"Take out of the fridge: {', '.join(out.names)}." for out in fridge_outs(toppings))


def to_have(plan: Plan, unit: MassUnit) -> list[str]:
    """ "284 g raw crushed tomatoes", "61 g olive oil", "1.55 g (1/2 tsp) instant yeast": toppings first.

    What lies on the tray drained is bought with its water.
    """
    grams: dict[str, float] = {}
    for topping in plan.toppings:
        if topping.key not in AT_HAND:
            name = _bought(topping.name)
            grams[name] = grams.get(name, 0.0) + _bought_g(topping)
    said: dict[str, str] = {}
    for kind in _IN_DOUGH:
        for line in plan.lines:
            if line.kind != kind:
                continue
            name = _bought(line.name)
            if kind == "yeast":
                said[name] = f"{yeast_dose_words(plan, unit)} {name}"
            elif kind in _UNWEIGHED:
                said[name] = name
            else:
                grams[name] = grams.get(name, 0.0) + line.weigh_g
    if any(topping.salt_g > 0 for topping in plan.toppings) and not any(line.kind == "salt" for line in plan.lines):
        said["salt"] = "salt"
    return [*(f"{mass_text(much, unit)} {name}" for name, much in grams.items()), *said.values()]


def _bought_g(topping: Topping) -> float:
    """Before draining, and less the salt that is stirred in: that is of the kitchen's own packet."""
    return (topping.undrained_g or topping.grams) * (1 - topping.salt_g / topping.grams if topping.grams > 0 else 1)


def on_top(plan: Plan, unit: MassUnit) -> list[str]:
    """What goes on top, as it is bought: "284 g raw crushed tomatoes"."""
    return [
        f"{mass_text(one.undrained_g or one.grams if one.key in AT_HAND else _bought_g(one), unit)} {_bought(one.name)}"
        for one in plan.toppings
    ]


def _bought(name: str) -> str:
    """ "Olive oil, in a thread" -> "olive oil": of what the tables know; own things are bought by their whole name."""
    bought = bought_names().get(name, name)
    return f"{bought[:1].lower()}{bought[1:]}"
