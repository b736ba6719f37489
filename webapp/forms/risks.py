"""What a topping of somebody's own can do to who eats it, told by what it is called.

A form asks for names, not for dangers; forgetting must not make a raw egg safe. Nothing looks at a name again.
"""

from __future__ import annotations

import re
from dataclasses import replace

from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.kinds import ToppingRisk

_EGG = {"egg", "eggs", "yolk", "yolks"}
_MEAT = {
    "meat", "mince", "minced", "sausage", "sausages", "bacon", "beef", "pork", "veal", "lamb", "chicken", "turkey",
    "duck", "liver",
}  # fmt: skip
_COOKED = {"cooked", "boiled", "roast", "roasted", "fried", "baked", "braised", "pulled", "grilled", "tinned", "canned"}
_AVOID = {"brie", "camembert", "blue", "gorgonzola", "roquefort", "taleggio", "goat", "ham", "salami", "prosciutto"}
_NOT_COOKED = {"cured", "smoked"}


def with_risks(chosen: ToppingSet) -> ToppingSet:
    """The set with what nobody has said of its items told by their names."""
    return replace(chosen, items=tuple(one if one.risk else replace(one, risk=risk_of(one)) for one in chosen.items))


def risk_of(item: ToppingItem) -> ToppingRisk:
    """By its name: raw unless it says that it is cooked; what is soft, blue, cured or smoked is for some to avoid."""
    words = set(re.findall(r"[^\W\d_]+", item.name.lower()))
    cooked = bool(words & _COOKED) and not words & {"and", "with"}  # of two things one may be raw
    if words & _MEAT and not cooked:
        return "raw-meat"
    if words & (_AVOID | _NOT_COOKED) or {"soft", "cheese"} <= words:
        return "avoid"
    return "raw-egg" if words & _EGG and not cooked else ""
