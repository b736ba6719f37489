"""Tonight's answer: the wish that nobody has to type, the days that meet it, and the one that is taken.

Looking writes nothing. A day is worked out from the wish and the instant at which it was asked, so that the page can
say both, and what is taken is worked out again from the same two: exactly the day that was seen, or none.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache

from webapp.core.day.day import date_text, instant_of, minute_of_day, supper_instant
from webapp.core.errors import PlanError
from webapp.core.kinds import StepKind
from webapp.core.kitchen import USUAL_SUPPER, Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import line_ahead
from webapp.core.plan.whose import as_it_stands
from webapp.core.safety.cautions import is_for_the_bin
from webapp.kitchens import bakes, kept, lateness
from webapp.kitchens.bakes import as_planned, coming, seen_as
from webapp.kitchens.room_read import room_read
from webapp.kitchens.unbegun import is_past
from webapp.planning.away import at_usual_hours, day_of_supper
from webapp.planning.evenings import (
    FirstPlanner,
    Planner,
    first_for,
    first_that_fits,
    offers_for,
    suppers,
    usual_hour,
    usual_wish,
)
from webapp.planning.full_plan import NothingFits
from webapp.records import to_plain
from webapp.store.bakes import PickedRow
from webapp.store.store import Store
from webapp.words.spoken import spoken

EVENINGS = 8  # to the same day of the next week
A_LITTLE_S = 2 * 3600  # a supper so much later is still the one that was asked for
_STALE_S = 86400  # a page is not taken from a day later
_BEGUN_S = 1800  # nor when its first step was due so long ago
_ONE_MEAL_S = 4 * 3600  # suppers nearer than that are one and the same: a dinner is further from its lunch
_LONG_EATEN_S = 3 * 3600  # a bake whose last steps nobody ticked off leaves the home page then


@dataclass(frozen=True)
class ShownDay:
    """One way to spend the day, as the home page shows it."""

    plan: Plan
    seen: str  # see `bakes.seen_as`
    retimed: Retimed
    home_by: int
    from_away: bool  # somebody comes home to it
    met: StepKind  # the step that has to begin by then
    between: tuple[int, int] | None = None  # when somebody may come to it; see `lateness`
    proofs: tuple[int, int] | None = None


# Bakes on the go, as they stand, and as they are come home to; whether one was out of the fridge for too long.
Going = Sequence[tuple[Plan, Retimed, ShownDay | None, bool]]


def usual_tonight(store: Store, now: int, kitchen_id: str, kitchen: Kitchen) -> Wish:
    """The kitchen's usual pan and last dough, its own week, the room as usual or as it was read last.

    Supper is at its usual hour, on the first evening that still has it ahead and has no bake yet.
    """
    wish = usual_wish(store, kitchen_id, kitchen)
    found = room_read(store, now, kitchen_id) if kitchen_id != bakes.NOBODYS else None
    local = _free_evening(store, now, kitchen_id, kitchen, usual_hour(store, now, kitchen_id, kitchen.zone))
    return replace(
        wish,
        supper_local=local,
        supper_fold=_fold_of(local, kitchen.zone),
        room_c=found.temp_c if found else None,
        room_min=minute_of_day(found.start, kitchen.zone) if found else None,
    )


def _fold_of(local: str, zone: str) -> int | None:
    """The first of a time that comes twice, as `suppers` has it; None for any other."""
    try:
        instant_of(local, zone)
    except PlanError:
        return 0
    return None


def _free_evening(store: Store, now: int, kitchen_id: str, kitchen: Kitchen, at: str) -> str:
    ahead = suppers(kitchen, now, at, EVENINGS)
    taken = {date_text(row.supper, kitchen.zone) for row in coming(store, kitchen_id, now - _LONG_EATEN_S)}
    free = [local for _, local in ahead if local[:10] not in taken]
    return next(iter(free or [local for _, local in ahead]), "")


def days(store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner) -> tuple[ShownDay, ...]:
    """The ways to meet the wish, the best first; PlanError as the planner raises it. Nothing is written.

    Asked as of the next line of the grid, what the kitchen has taught included: `take` asks as of that instant again.
    """
    return tuple(map(day_of, offers_for(store, line_ahead(now), kitchen_id, wish, planner, "")))


@lru_cache(maxsize=64)  # of a page that is looked at again and again; all of it follows from the plan
def day_of(plan: Plan) -> ShownDay:
    """An offer as pages show it."""
    shown = spoken(plan)
    stands = as_planned(shown).retimed
    latest = lateness.home_by(plan)
    day = ShownDay(shown, seen_as(plan, shown), stands, latest, lateness.from_away(plan), lateness.meeting(plan).kind)
    return _come_to(day, stands, latest)


def _come_to(day: ShownDay, stands: Retimed, latest: int) -> ShownDay:
    between = lateness.comes_between(day.plan, stands, latest)
    left = lateness.proofs(day.plan, stands, latest)
    return replace(day, retimed=stands, home_by=latest, between=between, proofs=left)


def awaited(plan: Plan, stands: Retimed, now: int) -> ShownDay | None:
    """The day as it was taken and stands, while somebody is still to come home to it."""
    latest = lateness.awaited(plan, stands, now)
    return None if latest is None else _come_to(day_of(plan), stands, latest)


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
    """Asked as of the next line of the grid, as the day that is shown. Half of a dough for another evening settles more
    than is compared: None then."""
    if wish.kept_local:
        return None
    with suppress(PlanError):
        found = first_for(store, line_ahead(now), kitchen_id, wish, shown.trade.method, planner)
        return found if found and all(one.kind != "best-so-far" for one in found.trade.asides) else None
    return None


def a_little_later(found: PlanError, wish: Wish) -> Wish | None:
    """Of a supper that is not to be had: the same wish a little later that evening, where that is all that it takes."""
    evening = day_of_supper(wish.supper_local)
    for one in found.nearest if isinstance(found, NothingFits) else ():
        later = one.change.kind == "eat-later" and one.change.at - one.change.supper <= A_LITTLE_S
        if later and day_of_supper(one.wish.supper_local) == evening:
            return one.wish
    return None


def evening_that_works(
    store: Store, now: int, kitchen_id: str, kitchen: Kitchen, wish: Wish, usual: Wish, planner: FirstPlanner
) -> Wish | None:
    """The same wish for supper at the usual hour, on the evening nearest to the one asked for that works; None: none.

    Which one has any day is asked first, and it alone is planned: why others do not work, nobody reads.
    """
    asked, there = supper_of(wish, kitchen, now), at_usual_hours(wish)
    ahead = suppers(kitchen, now, usual.supper_local[11:16] or USUAL_SUPPER, EVENINGS)
    nearest = sorted(ahead, key=lambda one: (abs(one[0] - asked), one[0]))
    own = [one for one in nearest if one[1][:10] == wish.supper_local[:10]]  # hours that are told of a day hold on it
    rounds = [(wish, own), (there, [one for one in nearest if one not in own])] if there != wish else [(wish, nearest)]
    for as_it_is, those in rounds:
        with suppress(PlanError):  # what keeps a dough from it, as how long it keeps, may be known only when planned
            found = first_that_fits(store, line_ahead(now), kitchen_id, as_it_is, those) if those else None
            works = replace(as_it_is, supper_local=found[1], supper_fold=None) if found else None
            if works and first_for(store, line_ahead(now), kitchen_id, works, "", planner):
                return works
    return None


def take(
    store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner, seen: str, asked_at: int, bake_id: str
) -> bool:
    """Make the day that was seen, asked for at `asked_at`, the bake `bake_id`; False when it is not to be had.

    Taken twice it is one bake; another of its ways is another revision of it.
    """
    if not now - _STALE_S <= asked_at <= line_ahead(now):
        return False
    offers = [replace(one, bake_id="") for one in offers_for(store, asked_at, kitchen_id, wish, planner, bake_id)]
    wanted = next((plan for plan in offers if seen_as(plan) == seen), None)
    if wanted is None or _long_begun(wanted, now):
        return False
    if not bakes.is_here(store, kitchen_id, bake_id):
        offered = [to_plain(replace(plan, bake_id=bake_id, made_at=now)) for plan in offers]
        store.put_offers(kitchen_id, bake_id, to_plain(wish), offered, now)
    read_back = kept.plan_in(to_plain(replace(wanted, bake_id=bake_id)))  # as the offers are, to find it among them
    try:
        bakes.pick(store, now, kitchen_id, bake_id, 0, seen_as(read_back))
    except bakes.OffersChanged:  # it was made a bake before, and its ways were changed there
        return False
    return True


def _long_begun(plan: Plan, now: int) -> bool:
    return plan.steps[0].start < now - _BEGUN_S


def on_the_go(store: Store, now: int, kitchen_id: str) -> tuple[Going, tuple[PickedRow, ...]]:
    """Bakes that were taken and are not eaten yet, as they stand, the next one first; and those that cannot be read."""
    rows = coming(store, kitchen_id, now - _LONG_EATEN_S)
    standing = list(bakes.followed_bakes(store, now, kitchen_id, (row.bake_id for row in rows)))
    kitchen = bakes.kitchen_of(store, kitchen_id)
    going = [
        (
            spoken(
                as_it_stands(one.plan, one.state, one.retimed, now), kitchen, retimed=one.retimed, proof=one.state.proof
            ),
            one.retimed,
            awaited(one.plan, one.retimed, now),
            is_for_the_bin(one.plan, one.retimed, one.state, now),
        )
        for one in standing
        if not (_eaten(one) or is_past(one.plan, one.state, now))
    ]
    return going, bakes.unreadable(rows, (one.plan for one in standing))


def taken_by(going: Going, supper: int) -> tuple[Plan, Retimed] | None:
    """The bake on the go, as it stands, that is eaten at that supper; None while the evening is free."""
    return next(((plan, stands) for plan, stands, *_ in going if abs(stands.supper - supper) < _ONE_MEAL_S), None)


def _eaten(one: bakes.FollowedBake) -> bool:
    return not any(step.status == "open" for step in one.retimed.steps)


def evenings_ahead(kitchen: Kitchen, now: int, at: str) -> Sequence[tuple[int, str]]:
    """(instant, wall clock) of supper at that time on each of the next evenings."""
    return suppers(kitchen, now, at, EVENINGS)


def supper_of(wish: Wish, kitchen: Kitchen, now: int) -> int:
    """The instant of supper of a wish that was read; PlanError as reading it raised."""
    return supper_instant(wish.supper_local, kitchen.zone, now, wish.supper_fold)
