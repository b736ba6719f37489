"""Supper of a bake that is not mixed yet, moved: the same wish planned for it, by the same method where it fits."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

from webapp.core.day.day import clock_text, date_text
from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.forms.wish import at_another_supper
from webapp.kitchens import bakes
from webapp.kitchens.bakes import FollowedBake
from webapp.kitchens.book import carry_on
from webapp.planning import evenings, kept_part
from webapp.planning.asked import wish_followed
from webapp.planning.evenings import Planner
from webapp.store.ids import NewId
from webapp.store.store import Store


def move(
    store: Store,
    now: int,
    new_id: NewId,
    kitchen_id: str,
    bake_id: str,
    supper_local: str,
    planner: Planner,
    any_way: bool = False,
) -> bool:
    """Take the day of that supper ("2026-11-25T20:30") made in the same way; False when only other ways meet it.

    These are the offers of the bake then, and what is followed stays until one of them is picked; with `any_way` the
    best one is. The pan and the yeast that were chosen at the bench stay; so does what was put off, where it can.

    Raises PlanError when nothing fits (nothing is written then), DoughMixed when it was mixed meanwhile.
    """
    held, before = bakes.bake(store, kitchen_id, bake_id), bakes.followed_bake(store, now, kitchen_id, bake_id)
    assert held.plan is not None, "a bake that is followed"
    asked_for = wish_followed(store, kitchen_id, held, bakes.kitchen_of(store, kitchen_id))
    method, wish = held.plan.trade.method, at_another_supper(asked_for, supper_local)
    waiting = _put_off(before, wish, now)
    for asked in (one for first in (*waiting, wish) for one in (first, replace(first, method_key=method))):
        place = _place_of(store, now, kitchen_id, asked, planner, bake_id, method)
        if place is not None:
            _take(store, now, new_id, kitchen_id, asked, planner, before, place)
            return True
    if any_way:
        _take(store, now, new_id, kitchen_id, wish, planner, before, 0)
    else:
        evenings.set_plan(store, now, new_id, kitchen_id, wish, planner, bake_id)
    return any_way


def _put_off(before: FollowedBake, wish: Wish, now: int) -> tuple[Wish, ...]:
    """The wish that begins when somebody has said that they can; () where nothing of this day was put off."""
    zone, until = before.plan.zone, before.state.later
    if until <= now or wish.supper_local[:10] != date_text(before.state.supper, zone):
        return ()
    local = f"{date_text(until, zone)}T{clock_text(until, zone)}"
    return (replace(wish, start_local=max(local, wish.start_local)),)


def _take(
    store: Store,
    now: int,
    new_id: NewId,
    kitchen_id: str,
    wish: Wish,
    planner: Planner,
    before: FollowedBake,
    place: int,
) -> None:
    bake_id = before.plan.bake_id
    evenings.set_plan(store, now, new_id, kitchen_id, wish, planner, bake_id)
    carry_on(store, now, new_id, kitchen_id, before, bakes.pick(store, now, kitchen_id, bake_id, place))
    kept_part.keep(store, now, kitchen_id, bake_id)


def _place_of(
    store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner, bake_id: str, method: str
) -> int | None:
    """Where among the offers of this wish the best one by that method stands; None when it is none of them."""
    with suppress(PlanError):
        offers = evenings.offers_for(store, now, kitchen_id, wish, planner, bake_id)
        return next((place for place, one in enumerate(offers) if one.trade.method == method), None)
    return None
