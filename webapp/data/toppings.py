"""Reads the shipped sets of toppings into core records. Read once and kept."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from webapp.core.errors import PlanError
from webapp.core.formula.toppings import Rim, ToppingItem, ToppingSet
from webapp.data.read import table, without


@cache
def topping_sets() -> dict[str, ToppingSet]:
    """The shipped sets by key, in the order of the file. `like` takes items and rim of a set before it."""
    rows = {row["key"]: row for row in table("toppings")["set"]}
    return {key: _set({**rows.get(row.get("like", ""), {}), **row}) for key, row in rows.items()}


def topping_set(key: str) -> ToppingSet:
    """A shipped set ("" = nothing on top). Raises PlanError at "toppings_key"."""
    sets = topping_sets()
    if (key or "none") not in sets:
        raise PlanError.at("toppings_key", "no-toppings", typed=key)
    return sets[key or "none"]


@cache
def bought_names() -> dict[str, str]:
    """What a shipped topping that is named as it goes on is called in a shop: "Leek, in fine rings" -> "Leek"."""
    rows = [one for row in table("toppings")["set"] for one in (*row.get("item", ()), row.get("rim", {}))]
    return {one["name"]: one["bought"] for one in rows if "bought" in one}


def _set(row: Mapping[str, Any]) -> ToppingSet:
    rim = row.get("rim")
    return ToppingSet(
        row["key"],
        row["name"],
        tuple(_item(item) for item in row.get("item", ())),
        Rim(**{**without(rim, "bought"), "allergens": tuple(rim["allergens"])}) if rim else None,
        row["note"],
        row.get("rim_on", False),
    )


def _item(row: Mapping[str, Any]) -> ToppingItem:
    loads = dict(row["g_cm2"])
    rest = without(row, "g_cm2", "allergens", "bought")
    return ToppingItem(
        g_cm2_else=loads.pop("else"),
        g_cm2=tuple(loads.items()),
        allergens=tuple(row.get("allergens", ())),
        allergens_said=True,
        **rest,
    )
