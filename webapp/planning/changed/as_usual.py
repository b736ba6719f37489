"""The day that would be planned if one answer were as usual: what a page compares the day it shows with.

Its best way alone is worked out, with the effort of a comparison; where that is not enough, nothing is compared.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Protocol

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import line_ahead
from webapp.kitchens.book import taught
from webapp.planning.evenings import Planner, busy_of
from webapp.planning.full_plan import plan_of, too_long_out
from webapp.planning.other_bakes import proposed_first
from webapp.planning.question import Booked, Stock, ask_of
from webapp.store.store import Store


class FirstPlanner(Protocol):
    """`first_plan`, or what stands in for it."""

    def __call__(self, wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
        """The best plan alone; None when none fits or it is not known. PlanError for a wish that cannot be."""


def first_plan(wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
    """The first that `plans_for` has; None when none fits, or when that is more than a comparison may cost.

    `likely`: the method that may win, by its key. PlanError for an answer that cannot be.
    """
    ask, offer = proposed_first(ask_of(wish, kitchen, now, stock, busy), stock, busy, likely)
    return plan_of(ask, offer, "") if offer and too_long_out(ask, offer) is None else None


def first_of(planner: Planner) -> FirstPlanner:
    """The first of what another planner answers."""

    def first(wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
        del likely
        return next(iter(planner(wish, kitchen, now, "", stock, busy)), None)

    return first


def at_usual_warmth(
    store: Store, now: int, kitchen_id: str, wish: Wish, shown: Plan, is_first: bool, planner: FirstPlanner
) -> Plan | None:
    """The best day of the same wish in a kitchen as warm as usual, of a way that is not the first one the same way's;
    None when that was asked, or when none fits then."""
    if wish.room_c is None:
        return None
    usual = replace(wish, room_c=None, room_min=None)
    usual = usual if is_first else replace(usual, method_key=shown.trade.method)
    return _first(store, now, kitchen_id, usual, shown, planner)


def at_usual_hour(
    store: Store, now: int, kitchen_id: str, wish: Wish, usual: Wish, shown: Plan, planner: FirstPlanner
) -> Plan | None:
    """The day of the same wish with supper at the usual hour, where it is wished for later that evening; else None."""
    local = wish.supper_local[:10] + usual.supper_local[10:]
    if wish.supper_local <= local:
        return None
    return _first(store, now, kitchen_id, replace(wish, supper_local=local, supper_fold=None), shown, planner)


def _first(store: Store, now: int, kitchen_id: str, wish: Wish, shown: Plan, planner: FirstPlanner) -> Plan | None:
    """Asked as of the next line of the grid, as the day that is shown. Of a dough for two evenings nothing is compared:
    both are weighed against each other, and that is a search of its own."""
    if wish.kept_local:
        return None
    line = line_ahead(now)
    with suppress(PlanError):
        kitchen = taught(store, line, kitchen_id).kitchen
        return planner(wish, kitchen, line, shown.trade.method, *busy_of(store, line, kitchen_id))
    return None
