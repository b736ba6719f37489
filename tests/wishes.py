"""Wishes for tests of the planner: an invented kitchen, its days and its doughs."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

from webapp.core.day.day import day_of, instant_of
from webapp.core.formula.method import Method, method_from_dict
from webapp.core.kitchen import Kitchen
from webapp.core.plan.steps import RiseMark
from webapp.core.planner.offer import (
    BakeAction,
    Baking,
    PlannedDough,
    SideTask,
    Sponge,
    Wanted,
)
from webapp.core.rise.dough_heat import time_constant_s
from webapp.core.rise.fermentation import DoughMake, need, rate_per_s, response, yeast_for

ROOT = Path(__file__).resolve().parent.parent


def shipped_methods() -> tuple[Method, ...]:
    """The methods of tables/methods.toml."""
    rows = tomllib.loads((ROOT / "webapp" / "data" / "tables" / "methods.toml").read_text(encoding="utf-8"))["method"]
    return tuple(method_from_dict(row) for row in rows)


def method(key: str) -> Method:
    """One of them."""
    return next(m for m in shipped_methods() if m.key == key)


def a_dough(mass_g: float = 745.0, salt: float = 2.2, target: float = 1.2, **changes: object) -> PlannedDough:
    """A plain dough with a preferment to hand, in a bowl."""
    make = DoughMake(0.5, salt, 0.0)
    best = need(target)
    vessels = ("bowl", "tub", "tray")
    taus = tuple((v, p, time_constant_s(mass_g, v, p)) for v in vessels for p in ("bench", "fridge", "warm"))
    sponge = Sponge(
        30.0, need(1.5), need(3.0), 22.0, time_constant_s(mass_g * 0.35, "bowl", "bench"),
        lambda warm: yeast_for(need(1.5), warm, DoughMake(0.5, 0.0, 0.0)),
        lambda percent: need(1.5) / rate_per_s(DoughMake(percent, 0.0, 0.0), 24.0),
    )  # fmt: skip
    planned = PlannedDough(
        response, RiseMark(0.75 * best, best, need(3.0)), 23.0, 5.0, 28.0, taus,
        lambda warm: yeast_for(best, warm, make),
        lambda percent: best / rate_per_s(replace(make, instant_percent=percent), 24.0), sponge=sponge,
    )  # fmt: skip
    return replace(planned, **changes)  # type: ignore[arg-type]


def a_bake(trays: int = 1, at_once: int = 1) -> Baking:
    """Twenty minutes on a slab that heats for 45."""
    actions = (BakeAction(1, "turn-down"), BakeAction(15, "check"), BakeAction(20, "lift", 2))
    return Baking(45, actions, 1, trays, at_once)


SAUCE = SideTask("sauce", 10, 180, 60, 25)
CHEESE = SideTask("cheese-out", 2, 45, 30, 20)


def wish(
    supper: str = "2026-11-25T19:30",
    now: str = "2026-11-25T06:45",
    kitchen: Kitchen | None = None,
    **changes: object,
) -> Wanted:
    """A wish in that kitchen; local times."""
    kitchen = kitchen or Kitchen(zone="Europe/Lisbon")
    begin, eat = instant_of(now, kitchen.zone), instant_of(supper, kitchen.zone)
    wanted = Wanted(
        eat, begin, day_of(kitchen, begin, eat + 86400), shipped_methods(), a_dough(), a_bake(), 10, (SAUCE, CHEESE)
    )
    return replace(wanted, **changes)  # type: ignore[arg-type]
