"""What the plan that is followed was asked for by, where other answers were given since and none of their days taken.

A bake keeps the wish that was asked last, and the offers made for it: the plan of before goes on meanwhile, and one
that another phone mixed may be older than both.
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.day.day import clock_text, date_text
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.doughs import larder
from webapp.kitchens.bakes import Bake
from webapp.kitchens.kept import wish_of
from webapp.planning.question import Stock, ask_of
from webapp.store.store import Store


def is_wish_of(plan: Plan, wish: Wish) -> bool:
    """Whether the plan is of this dish; not where others were tried and not taken, or an earlier plan was mixed."""
    return (wish.formula_key, wish.pans) == (plan.formula_key, plan.pans)


def wish_followed(store: Store, kitchen_id: str, held: Bake, kitchen: Kitchen) -> Wish:
    """The wish of the plan that is followed; without one, the wish that was asked last."""
    plan, last = held.plan, held.wish
    if plan is None or _is_of(plan, held):
        return last
    told = replace(wish_of(plan), loading_g_cm2=plan.loading_g_cm2, kept_local=_kept(plan))
    told = replace(told, toppings_key=_on_top(plan, told, kitchen, larder.of_kitchen(store, kitchen_id)))
    alike = [(one.supper_local, one.toppings_key, one.kept_local) for one in (last, told)]
    same = is_wish_of(plan, last) and alike[0] == alike[1] and last.loading_g_cm2 in (None, plan.loading_g_cm2)
    return last if same else told


def _is_of(plan: Plan, held: Bake) -> bool:
    """Whether the plan is one of the days that were offered last."""
    return any(_seen(one) == _seen(plan) for one in held.offers)


def _seen(plan: Plan) -> object:
    """What no other setting of the household changes in a plan that goes on: the dough, its tray, its supper."""
    return plan.formula_key, plan.pans, plan.supper, plan.lines, plan.toppings, plan.trade.method


def _kept(plan: Plan) -> str:
    if plan.kept is None or plan.kept.spare or not plan.kept.mixed_here:
        return ""
    return f"{date_text(plan.kept.supper, plan.zone)}T{clock_text(plan.kept.supper, plan.zone)}"


def _on_top(plan: Plan, told: Wish, kitchen: Kitchen, stock: Stock) -> str:
    """The key of what lies on it; "" when nothing does, or it was put away since."""
    lies, found = [one.key for one in plan.toppings], ""
    for key in stock.toppings if lies else ():
        try:
            on_top = ask_of(replace(told, toppings_key=key, kept_local=""), kitchen, plan.made_at, stock).toppings
        except PlanError:
            continue
        if on_top == plan.toppings:
            return key
        if [one.key for one in on_top] == lies:
            found = found or key  # more or less of it, as habits have changed
    return found
