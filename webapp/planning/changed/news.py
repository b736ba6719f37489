"""After other settings, or another reading of a calendar: planned bakes follow in what they can, and every phone hears.

The dial and the time to heat follow an oven that was measured or set down anew, as a further revision of the plan that
goes on with the same dough. Such a revision is made too where only words change (units, a clock of twelve hours, what
no longer fits): a phone fetches what is newer than what it has.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.house import there
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import timed_steps
from webapp.core.plan.whose import with_house
from webapp.doughs import larder
from webapp.kitchens import bakes, kept, mixed
from webapp.kitchens.bakes import FollowedBake, kitchen_of
from webapp.kitchens.unbegun import LATE_S
from webapp.planning.asked import is_wish_of
from webapp.planning.changed.clashes import Rows, as_said, clashes, day_of_bake, meeting
from webapp.planning.changed.misfits import misfits, oven_is_to_come, oven_of_today, with_fridge, without_hands
from webapp.planning.changed.oven import with_oven
from webapp.store.store import Store
from webapp.words.spoken import spoken

STILL_SHOWN_S = 36 * 3600  # a bake stays on the phones' list until a day and a half after its supper


def settings_changed(store: Store, now: int, kitchen_id: str, before: Kitchen) -> None:
    """Let the bakes to come, and those just eaten, follow the kitchen's settings, which were `before` until now."""
    after = kitchen_of(store, kitchen_id)
    if after == before:
        return
    ids = [row.bake_id for row in bakes.coming(store, kitchen_id, now - STILL_SHOWN_S)]
    for stands in bakes.followed_bakes(store, now, kitchen_id, ids):
        cold = replace(stands, plan=with_fridge(stands, after))
        plan = _followed(store, now, kitchen_id, cold, (before, after))
        plan = _with_hours_of_now(store, now, kitchen_id, replace(stands, plan=plan), after)
        heard = [_heard(store, now, kitchen_id, stands, kitchen) for kitchen in (before, after)]
        if plan != stands.plan or heard[0] != heard[1]:
            mixed.go_on_as(store, now, kitchen_id, stands.plan, plan)


@contextmanager
def calendars_read(store: Store, now: int, kitchen_id: str) -> Iterator[None]:
    """Around what may change busy times: the phones hear of bakes that lose hands by it, or get them back."""
    with _heard_of(store, now, kitchen_id, lambda rows: list(rows)):
        yield


@contextmanager
def beside_others(store: Store, now: int, kitchen_id: str, bake_id: str) -> Iterator[None]:
    """Around what becomes of one bake: the phones hear of its steps that come to stand where nobody is there, and of
    bakes that want by it what another has; or no longer do."""
    with _heard_of(store, now, kitchen_id, lambda rows: meeting(rows, bake_id) or [bake_id] * (bake_id in rows)):
        yield


@contextmanager
def _heard_of(store: Store, now: int, kitchen_id: str, which: Callable[[Rows], list[str]]) -> Iterator[None]:
    """A further revision of each of these bakes of which something else is to be said afterwards."""
    rows = _coming(store, now, kitchen_id)
    ids = which(rows)
    before = {plan.bake_id: told for plan, told, _ in _missed(store, now, kitchen_id, ids)}
    yield
    after = _coming(store, now, kitchen_id)
    still = [one for one in {*ids, *which(after)} if one in after]
    for plan, told, following in _missed(store, now, kitchen_id, still):
        was = rows.get(plan.bake_id)
        is_news = told != before.get(plan.bake_id, ((), ())) or following != plan
        if was and was.revision == plan.revision and is_news:
            mixed.go_on_as(store, now, kitchen_id, plan, following)


def _coming(store: Store, now: int, kitchen_id: str) -> Rows:
    return {row.bake_id: row for row in bakes.coming(store, kitchen_id, now - LATE_S)}


Missed = tuple[Plan, tuple[object, object], Plan]


def _missed(store: Store, now: int, kitchen_id: str, ids: Sequence[str]) -> list[Missed]:
    """Each of these bakes, with the steps that nobody has hands for, with what another bake has then, and with the
    hours of now."""
    kitchen = kitchen_of(store, kitchen_id)
    standing = list(bakes.followed_bakes(store, now, kitchen_id, ids))
    missing = [without_hands(store, now, kitchen_id, one, kitchen) for one in standing]
    met = [clashes(store, now, kitchen_id, one, kitchen) for one in standing]
    return [
        (
            one.plan,
            (tuple((step.step_id, step.start // 60) for step in steps), tuple(same.told for same in twice)),
            _with_hours_of_now(store, now, kitchen_id, one, kitchen),
        )
        for one, steps, twice in zip(standing, missing, met, strict=True)
    ]


def _heard(store: Store, now: int, kitchen_id: str, stands: FollowedBake, kitchen: Kitchen) -> object:
    shown = (kitchen.clock, kitchen.mass_unit, kitchen.heat_unit, kitchen.scale_step_g, kitchen.avoid, kitchen.pans)
    twice = tuple(one.told for one in clashes(store, now, kitchen_id, stands, kitchen))
    return shown, spoken(stands.plan, kitchen), misfits(store, now, kitchen_id, stands, kitchen), twice


def _with_hours_of_now(store: Store, now: int, kitchen_id: str, stands: FollowedBake, kitchen: Kitchen) -> Plan:
    """The plan with the house's hours as they are now, where by those others are there for a step to come."""
    plan, said = stands.plan, as_said(stands, now)
    day = day_of_bake(store, now, kitchen_id, plan, kitchen) if stands.retimed.current else None
    if day is None:
        return plan
    for step, timed in timed_steps(plan, said.retimed):
        at = (timed.start, timed.end, step.presence)
        if timed.status == "open" and timed.start >= now and step.presence != "none":
            known = there(plan.house, *at) if plan.house else step.who or there(day.house, *at)
            if known != there(day.house, *at):
                return with_house(plan, day.house)
    return plan


def _followed(store: Store, now: int, kitchen_id: str, stands: FollowedBake, settings: tuple[Kitchen, Kitchen]) -> Plan:
    """The plan with the oven of today where its hours can stay; else as it is, with what is right beside it."""
    (before, kitchen), plan = settings, stands.plan
    if not oven_is_to_come(stands):
        return plan
    wish = _wish_of(store, kitchen_id, plan, before)
    found = oven_of_today(store, kitchen_id, plan, wish, kitchen) if wish else None
    if found is None:
        return plan
    if found == plan.oven:
        return replace(plan, oven_now=None)
    beside, moved = replace(plan, oven_now=found), with_oven(replace(plan, oven_now=None), found)
    if moved is None:
        return beside
    then = bakes.stands_at(moved, stands.events, now)
    as_is, as_moved = (
        {step.step_id for step in without_hands(store, now, kitchen_id, each, kitchen)} for each in (stands, then)
    )
    return moved if _is_lit_at(then) >= now and as_moved <= as_is else beside


def _is_lit_at(stands: FollowedBake) -> int:
    """When the oven is to be lit, however late it is."""
    untimed = bakes.stands_at(stands.plan, stands.events, 0)
    return next(now.start for step, now in timed_steps(stands.plan, untimed.retimed) if step.kind == "preheat")


def _wish_of(store: Store, kitchen_id: str, plan: Plan, before: Kitchen) -> Wish | None:
    """What this plan was asked for by. Where another dish was asked for since, or an earlier plan was mixed: what gives
    the oven that the plan has in the kitchen that it was made in; None where nothing does."""
    wish = bakes.bake(store, kitchen_id, plan.bake_id).wish
    if is_wish_of(plan, wish):
        return wish
    told = replace(kept.wish_of(plan), loading_g_cm2=plan.loading_g_cm2)
    every = (replace(told, toppings_key=key) for key in ("", *larder.of_kitchen(store, kitchen_id).toppings))
    return next((one for one in every if oven_of_today(store, kitchen_id, plan, one, before) == plan.oven), None)
