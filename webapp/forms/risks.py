"""What a topping of somebody's own can do to who eats it, told by what it is called.

A form asks for names, not for dangers; forgetting must not make a raw egg safe. Nothing looks at a name again.
"""

from __future__ import annotations

import re
from dataclasses import replace

from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.kinds import ToppingRisk

_EGG = {"egg", "eggs", "yolk", "yolks", "carbonara", "mayonnaise", "mayo", "aioli"}
_MEAT = {
    "meat", "meats", "mince", "minced", "meatball", "meatballs", "burger", "burgers", "hamburger", "hamburgers",
    "sausage", "sausages", "bacon", "beef", "pork", "veal", "lamb", "mutton", "chicken", "turkey", "duck", "goose",
    "venison", "rabbit", "hare", "boar", "game", "liver", "kidney", "kidneys",
}  # fmt: skip
_FISH = {
    "fish", "tuna", "salmon", "trout", "cod", "haddock", "mackerel", "sardine", "sardines", "prawn", "prawns", "shrimp",
    "shrimps", "crab", "lobster", "mussel", "mussels", "clam", "clams", "oyster", "oysters", "scallop", "scallops",
    "squid", "octopus", "seafood",
}  # fmt: skip
_COOKED = {"cooked", "boiled", "roast", "roasted", "fried", "baked", "braised", "pulled", "grilled", "tinned", "canned"}
_CHEESE = {
    "brie", "camembert", "blue", "gorgonzola", "roquefort", "stilton", "taleggio", "goat", "ricotta", "feta", "burrata",
    "mascarpone", "mould", "mold",
}  # fmt: skip
_HAM = {
    "ham", "salami", "prosciutto", "pancetta", "speck", "chorizo", "guanciale", "coppa", "bresaola", "serrano",
    "pepperoni", "nduja", "pate", "pâté",
}  # fmt: skip
_NOT_COOKED = {"cured", "smoked"}


def with_risks(chosen: ToppingSet) -> ToppingSet:
    """The set with what nobody has said of its items told by their names; what is a danger is kept in the fridge."""
    return replace(chosen, items=tuple(map(_told, chosen.items)))


def _told(one: ToppingItem) -> ToppingItem:
    risk = one.risk or risk_of(one)
    return replace(one, risk=risk, perishable=one.perishable or bool(risk))


def risk_of(item: ToppingItem) -> ToppingRisk:
    """By its name: raw unless it says that it is cooked; what is soft, blue, cured or smoked is for some to avoid."""
    words = set(re.findall(r"[^\W\d_]+", item.name.lower()))
    cooked = bool(words & _COOKED) and not words & {"and", "with"}  # of two things one may be raw
    if words & _FISH and words & _NOT_COOKED:
        return "avoid"
    if words & (_MEAT | _FISH) and not cooked:
        return "raw-meat"
    if words & (_CHEESE | _HAM | _NOT_COOKED) or {"soft", "cheese"} <= words or {"cream", "cheese"} <= words:
        return "avoid"
    return "raw-egg" if words & _EGG and not cooked else ""
