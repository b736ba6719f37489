"""What goes on top, scaled to the tray: grams per square centimetre by style, drained weights, fridge times, the rim.

Loads by style come from published pizzas of known size (see tables/toppings.toml); salt in a sauce is a share of the
tomatoes. A crisp cheese rim needs a metal pan: cheese laid against its hot wall fries crisp in its own fat.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.kinds import BreadStyle, ToppingRisk, ToppingWhen
from webapp.core.plan.tray import Topping

RIM_STYLES: tuple[BreadStyle, ...] = ("pan", "tray")


@dataclass(frozen=True)
class ToppingItem:
    """One thing of a set. `g_cm2` by style, ready to use (drained); a style not listed takes `g_cm2_else`."""

    key: str
    name: str
    g_cm2_else: float
    g_cm2: tuple[tuple[BreadStyle, float], ...] = ()
    when: ToppingWhen = "before"
    perishable: bool = False
    fridge_out_s: int = 0  # seconds before loading that it may leave the fridge
    drained_share: float = 1.0  # what is left of its weight once drained
    salt_share: float = 0.0  # salt as a share of the rest of it
    allergens: tuple[str, ...] = ()  # with those that its name alone tells
    note: str = ""
    source: str = ""
    risk: ToppingRisk = ""
    allergens_said: bool = False  # somebody said which there are, or that there are none
    allergens_by_name: tuple[str, ...] = ()  # those that its name alone tells

    def load(self, style: BreadStyle) -> float:
        """g/cm2 for this style."""
        return dict(self.g_cm2).get(style, self.g_cm2_else)


@dataclass(frozen=True)
class Rim:
    """A crisp cheese rim: grams per centimetre of the pan's wall."""

    name: str
    g_cm: float
    allergens: tuple[str, ...]
    note: str
    fridge_out_s: int = 0
    source: str = ""


@dataclass(frozen=True)
class ToppingSet:
    """A set of toppings that goes together."""

    key: str
    name: str
    items: tuple[ToppingItem, ...] = ()
    rim: Rim | None = None
    note: str = ""
    rim_on: bool = False  # the rim is part of it: for a metal pan


def scale(chosen: ToppingSet, area_cm2: float, style: BreadStyle = "tray", rim_cm: float = 0.0) -> tuple[Topping, ...]:
    """The set on `area_cm2` of this style. `rim_cm` of metal wall gets the crisp rim, 0 none.

    Raises PlanError at `toppings` when the set or the style has none.
    """
    toppings = tuple(_scaled(item, area_cm2 * item.load(style)) for item in chosen.items)
    return (*toppings, _rim(chosen, style, rim_cm)) if rim_cm > 0 else toppings


def _scaled(item: ToppingItem, grams: float) -> Topping:
    return Topping(
        item.key, item.name, grams, item.when, item.perishable, item.fridge_out_s, allergens=item.allergens,
        remark=item.note, salt_g=grams * item.salt_share / (1.0 + item.salt_share),
        undrained_g=grams / item.drained_share if item.drained_share < 1 else 0.0, risk=item.risk,
        allergens_said=item.allergens_said, allergens_by_name=item.allergens_by_name,
    )  # fmt: skip


def _rim(chosen: ToppingSet, style: BreadStyle, rim_cm: float) -> Topping:
    if chosen.rim is None:
        raise PlanError.at("toppings", "no-rim-cheese", name=chosen.name)
    if style not in RIM_STYLES:
        raise PlanError.at("toppings", "rim-wall")
    rim = chosen.rim
    return Topping("rim", rim.name, rim.g_cm * rim_cm, "before", True, rim.fridge_out_s, allergens=rim.allergens,
                   remark=rim.note, allergens_said=True)  # fmt: skip


def load_g_cm2(toppings: Iterable[Topping], area_cm2: float) -> float:
    """What lies on the dough when it is loaded, g/cm2 (the rim lies beside it, on the wall)."""
    on_it = sum(t.grams for t in toppings if t.when == "before" and t.key != "rim")
    return on_it / area_cm2 if area_cm2 > 0 else 0.0


@dataclass(frozen=True)
class FridgeOut:
    """Things that leave the fridge together, `before_load_s` seconds before loading."""

    before_load_s: int
    names: tuple[str, ...]


def fridge_outs(toppings: Iterable[Topping]) -> tuple[FridgeOut, ...]:
    """When what leaves the fridge: earliest first. Things used straight from the fridge are not listed."""
    by_time: dict[int, list[str]] = {}
    for topping in toppings:
        if topping.fridge_out_s > 0:
            by_time.setdefault(topping.fridge_out_s, []).append(topping.name)
    return tuple(FridgeOut(seconds, tuple(names)) for seconds, names in sorted(by_time.items(), reverse=True))


def drained(toppings: Iterable[Topping]) -> tuple[str, ...]:
    """Names of what must be set to drain in good time."""
    return tuple(topping.name for topping in toppings if topping.undrained_g > 0)
