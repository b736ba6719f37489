"""From the five answers to offers: one evening, or every evening of the week.

The planner is handed in (`assemble.plans_for` in the app); the kitchen it is given is the one that past bakes have
taught (`usecases_book.taught`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from webapp.asking import Choice
from webapp.bundle import to_plain
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan import Plan
from webapp.core.span import Span
from webapp.store import Store
from webapp.usecases import NewId, bake
from webapp.usecases_book import taught
from webapp.usecases_larder import shelf


class Planner(Protocol):
    """`assemble.plans_for`, or what stands in for it in a test."""

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, bake_id: str, shelf: Choice, busy: Sequence[Span] = ()
    ) -> tuple[Plan, ...]:
        """Up to three plans, the best first; PlanError when the wish cannot be met as asked."""


def set_plan(
    store: Store, now: int, new_id: NewId, kitchen_id: str, wish: Wish, planner: Planner, bake_id: str = ""
) -> str:
    """Plan the wish and keep the offers under a new bake (or as new offers of `bake_id`); the bake's id.

    Raises PlanError when nothing fits (nothing is written then), NotHere when `bake_id` is not of this kitchen.
    """
    if bake_id:
        bake(store, kitchen_id, bake_id)
    else:
        bake_id = new_id()
    # Planned outside of the transaction: a slow search must not keep other phones from writing.
    offers = offers_for(store, now, kitchen_id, wish, planner, bake_id)
    store.put_offers(kitchen_id, bake_id, to_plain(wish), [to_plain(plan) for plan in offers], now)
    return bake_id


def offers_for(
    store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner, bake_id: str
) -> tuple[Plan, ...]:
    """What the planner proposes for the wish; nothing is written."""
    busy = tuple(Span(start, end) for start, end in store.busy(kitchen_id, since=now - 86400))
    kitchen = taught(store, now, kitchen_id).kitchen
    plans = planner(wish, kitchen, now, bake_id, shelf(store, kitchen_id), busy)
    return tuple(replace(plan, vigour_ln_mean=kitchen.vigour_ln_mean) for plan in plans)
