"""Another clock in the kitchen: which planned bakes read otherwise by it, and moving one to the same hour by it.

A bake keeps the zone that it was planned in: a new clock of the household moves none of its instants. Whether supper
stays where it is or moves to the hour that was meant is asked, bake by bake.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core.day.day import clock_text, date_text
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.kitchens.book import carry_on
from webapp.planning import kept_part
from webapp.planning.asked import wish_followed
from webapp.planning.evenings import Planner, set_plan
from webapp.store.ids import NewId
from webapp.store.store import Store


@dataclass(frozen=True)
class OtherClock:
    """A bake to come whose supper reads otherwise by another clock."""

    plan: Plan
    supper: int
    is_fixed: bool  # its dough is mixed, or is the kept half of another: no other plan takes its place

    @property
    def bake_id(self) -> str:
        """Of the bake."""
        return self.plan.bake_id


def behind(store: Store, now: int, kitchen_id: str, zone: str) -> tuple[OtherClock, ...]:
    """The bakes to come whose supper reads otherwise on the clock of `zone` than on their own, the next first."""
    ids = [row.bake_id for row in bakes.coming(store, kitchen_id, now)]
    standing = bakes.followed_bakes(store, now, kitchen_id, ids)
    return tuple(
        OtherClock(one.plan, one.state.supper, one.is_fixed)
        for one in standing
        if _shown(one.state.supper, one.plan.zone) != _shown(one.state.supper, zone)
    )


def move(store: Store, now: int, new_id: NewId, kitchen_id: str, bake_id: str, planner: Planner) -> Plan:
    """Plan the bake anew for the same wall time by the kitchen's clock of today, made the same way where that fits.

    PlanError when nothing fits there, NotHere for no such bake; in both cases nothing is changed. A bake that is
    fixed (see `OtherClock`) stays as it is.
    """
    stands = bakes.followed_bake(store, now, kitchen_id, bake_id)
    if stands.is_fixed:
        return stands.plan
    local = _shown(stands.plan.supper, stands.plan.zone)
    held = bakes.bake(store, kitchen_id, bake_id)
    asked = wish_followed(store, kitchen_id, held, bakes.kitchen_of(store, kitchen_id))
    wish = replace(asked, supper_local=local, supper_fold=None, start_local="")
    set_plan(store, now, new_id, kitchen_id, wish, planner, bake_id)
    ways = [one.trade.method for one in bakes.bake(store, kitchen_id, bake_id).offers]
    method = stands.plan.trade.method
    plan = bakes.pick(store, now, kitchen_id, bake_id, ways.index(method) if method in ways else 0)
    carry_on(store, now, new_id, kitchen_id, stands, plan)
    kept_part.keep(store, now, kitchen_id, bake_id)
    return plan


def _shown(instant: int, zone: str) -> str:
    return f"{date_text(instant, zone)}T{clock_text(instant, zone)}"
