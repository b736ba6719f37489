"""What is weighed: the lines of the weigh-out list, and how a little yeast or salt is dosed."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import DoseKind, LineKind, WeighedBy, YeastKind


@dataclass(frozen=True)
class YeastWater:
    """The yeast water that could be taken where a spoon is the dose: its fields mean what those of `Dosing` do."""

    stock_yeast_g: float
    stock_water_g: float
    take_g: float
    take_water_g: float
    step_g: float
    stock_step_g: float
    part_g: float = 0.0
    more_water_g: float = 0.0


@dataclass(frozen=True)
class Dosing:
    """How to weigh a little yeast: by scale, fine scale or spoon, or by a yeast water.

    `error_percent` is the most the dose can be off by, `yeast_g` what scale or spoon will give. For a yeast water:
    `stock_yeast_g` in `stock_water_g`, of which `take_g` goes into the dough and brings `take_water_g` of the recipe's
    water along; for very little yeast `part_g` of it in `more_water_g`, of which `take_g` is the part used. Kind
    "none": nothing here can dose so little.
    """

    kind: DoseKind
    error_percent: float
    yeast_g: float
    stock_yeast_g: float = 0.0
    stock_water_g: float = 0.0
    take_g: float = 0.0
    take_water_g: float = 0.0
    step_g: float = 0.0  # of the scale it is weighed on
    stock_step_g: float = 0.0  # of the scale for the stock's yeast
    teaspoons: float = 0.0  # level: the dose of kind "spoon", or what could be taken instead
    spoon_error_percent: float = 0.0  # of the spoon that could be taken instead; 0 = none is named
    spoon_g: float = 0.0  # what a level teaspoon of it holds; 0 where no spoon is named, and in plans of before
    part_g: float = 0.0
    more_water_g: float = 0.0
    exact: YeastWater | None = None  # beside a spoon that is good enough, what would be more exact
    is_forgiven: bool = False  # supper holds, whichever way it is off
    forgiven_percent: float = 0.0  # so far it may be off for that: for who weighs it for another pan


@dataclass(frozen=True)
class Brine:
    """Salt by a brine: `salt_g` stirred into `water_g`; `take_g` of it brings the salt, and `take_water_g` of water."""

    salt_g: float
    water_g: float
    take_g: float
    take_water_g: float


@dataclass(frozen=True)
class WeighLine:
    """One line of the weigh-out list, in pouring order."""

    key: str  # "flour", "water", "salt", ...; unique within a part
    name: str  # "Strong white flour", as its formula has it; of yeast and of its own water: shown
    kind: LineKind
    part: str  # "dough", or the preferment's key when this line belongs to one
    percent: float  # baker's percent of all flour
    grams: float  # exact
    weigh_g: float  # rounded to this kitchen's scale, the total kept
    note: str = ""  # shown: how to weigh it, water temperature, spoons as a hint
    allergens: tuple[str, ...] = ()  # keys of tables/allergens.toml
    weighed_by: WeighedBy = "scale"
    dosing: Dosing | None = None  # of yeast
    teaspoons: float = 0.0  # level, as a hint; 0 = no hint
    at_c: float | None = None  # of the dough's water
    ice_g: float = 0.0  # so much of the water as ice
    times: float = 1.0  # grown by an over-pour: so many times what was planned
    off_percent: float = 0.0  # of salt: how far `weigh_g` is from what was asked for, where that is tasted
    brine: Brine | None = None  # of salt that the scale is too coarse for
    other_pan: str = ""  # shown: the note for another pan, its amounts as slots (words/plan/slots.py)


@dataclass(frozen=True)
class OtherYeast:
    """The weigh-out list with another kind of yeast than planned."""

    kind: YeastKind
    lines: tuple[WeighLine, ...]
