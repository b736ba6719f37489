"""What the dough is baked in and what lies on it."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import PanShape, ToppingRisk, ToppingWhen


@dataclass(frozen=True)
class Topping:
    """Something on the tray, already scaled to its area."""

    key: str
    name: str
    grams: float
    when: ToppingWhen
    perishable: bool
    fridge_out_s: int  # seconds before loading that it may leave the fridge; 0 = straight from the fridge
    note: str = ""  # shown: what is to be done with it, in full
    allergens: tuple[str, ...] = ()
    remark: str = ""  # what the set says of it
    salt_g: float = 0.0  # so much of it is salt
    undrained_g: float = 0.0  # before draining; 0 = not drained
    risk: ToppingRisk = ""
    allergens_said: bool = True  # somebody said which there are, or none; in plans of before nobody knows
    allergens_by_name: tuple[str, ...] = ()  # those that its name alone tells


@dataclass(frozen=True)
class Pan:
    """What is baked in. `area_cm2` is the floor; `count` pans of this kind; `called` is the name less its size."""

    key: str
    name: str
    shape: PanShape
    area_cm2: float
    count: int = 1
    length_cm: float = 0.0
    width_cm: float = 0.0
    called: str = ""  # "Oven tray"; "" = as `name` says, which somebody chose or an older version wrote
