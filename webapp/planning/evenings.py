"""From the five answers to offers: one evening, or every evening of the week.

The planner is handed in (`full_plan.plans_for` in the app); the kitchen it is given is the one that past bakes have
taught (`kitchens.book.taught`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

from webapp.core.day.day import PLANS_S, clock_text, date_text, instant_of
from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.core.kitchen import USUAL_SUPPER, Kitchen, Wish
from webapp.core.plan.plan import LastLesson, Plan
from webapp.core.plan.steps import line_ahead
from webapp.core.planner import propose
from webapp.core.planner.offer import InTheWay, Offer
from webapp.doughs import larder
from webapp.forms.wish import for_another_day
from webapp.kitchens.bakes import MOST_COMING, bake, coming, kitchen_of, last_wish
from webapp.kitchens.book import taught
from webapp.kitchens.kept import is_zone
from webapp.kitchens.mixed import other_half
from webapp.kitchens.unbegun import LATE_S
from webapp.planning import away
from webapp.planning.other_bakes import others, with_others
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock, ask_of, wanted_of
from webapp.records import to_plain
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.problems import typed as said
from webapp.words.problems.kept import no_more_to_come
from webapp.words.problems.told import refused

_DAY_S = 86400
_MOST_SUPPERS = 60  # one a day
_USUAL_S = 60 * _DAY_S  # suppers of so long ago say nothing of when a kitchen eats now
WEEK = 8  # evenings: whoever plans on a Friday means the next one too
_TOO_SOON_S = 3600  # an evening this close is no evening to plan for


class Planner(Protocol):
    """`full_plan.plans_for`, or what stands in for it in a test."""

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
    ) -> tuple[Plan, ...]:
        """Up to three plans, the best first; PlanError when the wish cannot be met as asked."""


class FirstPlanner(Protocol):
    """`kept_part.first_with_kept`, or what stands in for it."""

    def __call__(self, wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
        """The best plan alone, by the method `likely` if that wins; None when none fits, PlanError for a wish that
        cannot be."""


class WeekPlanner(Protocol):
    """`plan_week`, or what stands in for it."""

    def __call__(
        self, wish: Wish, kitchen: Kitchen, now: int, suppers: tuple[int, ...], stock: Stock, busy: Booked
    ) -> tuple[propose.Evening, ...]:
        """Each of these suppers with its best way; that of the wish is the last. PlanError as `ask_of` raises it."""


def plan_week(
    wish: Wish, kitchen: Kitchen, now: int, suppers: tuple[int, ...], stock: Stock, busy: Booked
) -> tuple[propose.Evening, ...]:
    """Each of these suppers with its best way; that of the wish is the last. PlanError as `ask_of` raises it."""
    return propose.week(wanted_of(ask_of(wish, kitchen, now, stock, busy)), suppers)


def set_plan(
    store: Store, now: int, new_id: NewId, kitchen_id: str, wish: Wish, planner: Planner, bake_id: str = ""
) -> str:
    """Plan the wish and keep the offers under a new bake (or as new offers of `bake_id`); the bake's id.

    Raises PlanError when nothing fits, or no more bakes do (nothing is written then), NotHere when `bake_id` is not of
    this kitchen.
    """
    if bake_id:
        bake(store, kitchen_id, bake_id)
    else:
        check_room(store, now, kitchen_id, made_by(wish))
        bake_id = new_id()
    # Planned outside of the transaction: a slow search must not keep other phones from writing.
    offers = offers_for(store, now, kitchen_id, wish, planner, bake_id)
    store.put_offers(kitchen_id, bake_id, to_plain(wish), [to_plain(plan) for plan in offers], now)
    return bake_id


def made_by(wish: Wish) -> int:
    """How many bakes: half of a dough for another evening is one too."""
    return 2 if wish.kept_local else 1


def check_room(store: Store, now: int, kitchen_id: str, more: int, bake_id: str = "") -> None:
    """PlanError when with so many more the kitchen had more bakes to come than its pages look at; `bake_id`, the first
    of them, may be one of those already."""
    row = store.bake(kitchen_id, bake_id) if bake_id else None
    is_one = row is not None and row.plan is not None and row.dropped_at is None
    if not is_one and len(coming(store, kitchen_id, now - LATE_S)) + more > MOST_COMING:
        raise refused("bakes", *no_more_to_come(MOST_COMING))


def offers_for(store: Store, now: int, kitchen_id: str, wish: Wish, planner: Planner, bake_id: str) -> tuple[Plan, ...]:
    """What the planner proposes for the wish beside all bakes but `bake_id`; nothing is written."""
    known = taught(store, now, kitchen_id)
    kitchen, last = known.kitchen, next((LastLesson(one.seen, one.times) for one in known.lessons), None)
    stock, busy = busy_of(store, now, kitchen_id, bake_id)
    plans = planner(wish, kitchen, now, bake_id, stock, busy)
    return tuple(replace(plan, vigour_ln_mean=kitchen.vigour_ln_mean, lesson=last) for plan in plans)


def first_for(store: Store, now: int, kitchen_id: str, wish: Wish, likely: str, planner: FirstPlanner) -> Plan | None:
    """The first of what `offers_for` has, by a planner of that alone."""
    kitchen = taught(store, now, kitchen_id).kitchen
    return planner(wish, kitchen, now, likely, *busy_of(store, now, kitchen_id))


def busy_of(store: Store, now: int, kitchen_id: str, bake_id: str = "") -> tuple[Stock, Booked]:
    """What can be chosen in this kitchen, and when its people and its oven are taken, by bakes other than this one (and
    the other half of its dough) too."""
    kitchen = kitchen_of(store, kitchen_id)
    found = others(store, now, kitchen_id, (bake_id, other_half(bake_id)))
    return larder.of_kitchen(store, kitchen_id), with_others(booked(store, now, kitchen_id), kitchen, found)


def usual_hour(store: Store, now: int, kitchen_id: str, zone: str) -> str:
    """When this kitchen eats, as wall clock ("19:30"): the hour that its last suppers came back to.

    One that was asked for once is for that evening alone; the hour that a kitchen begins with counts as one of them.
    """
    rows = store.picked(kitchen_id, since=now - _USUAL_S, newest_first=True, held=True, most=_MOST_SUPPERS)
    hours = [clock_text(row.supper, row.zone if is_zone(row.zone) else zone) for row in rows]
    seen: set[str] = set()
    for hour in (*hours, USUAL_SUPPER):
        if hour in seen:
            return hour
        seen.add(hour)
    return hours[0] if len(hours) > 1 else USUAL_SUPPER


def usual_wish(store: Store, kitchen_id: str, kitchen: Kitchen) -> Wish:
    """What was asked for last, else the first pan and the first dough with what it usually has on top.

    For other evenings: what was for one day alone, and toppings that were put away since, are not asked for any more.
    """
    last, stock = last_wish(store, kitchen_id), larder.of_kitchen(store, kitchen_id)
    if last is not None and last.formula_key in stock.formulas:
        return replace(
            away.at_usual_hours(for_another_day(last, kitchen)), room_c=None, room_min=None, start_local="",
            supper_fold=None,
            toppings_key=last.toppings_key if last.toppings_key in stock.toppings else "",
        )  # fmt: skip
    first = next(iter(stock.formulas.values()))
    usual = first.toppings_key if first.toppings_key in stock.toppings else ""
    return Wish(supper_local="", pans=kitchen.pans[:1], formula_key=first.key, toppings_key=usual)


@dataclass(frozen=True)
class EveningView:
    """One evening of the week: the wish that asks for it, and the best way when there is one."""

    supper: int
    wish: Wish
    best: Offer | None
    in_the_way: tuple[InTheWay, ...]


def week(
    store: Store, now: int, kitchen_id: str, supper_time: str, planner: WeekPlanner, first: int = 0
) -> tuple[EveningView, ...]:
    """Which of the coming evenings could have bread at that time of day ("19:30"), with the usual wish.

    A week from the evening `first` on, to the same day of the next one, as far as can be planned. The evenings are
    those ahead of `now`; the rest is asked as of the next line of the grid, as the home page asks.
    """
    line = line_ahead(now)
    kitchen = taught(store, line, kitchen_id).kitchen
    wish = usual_wish(store, kitchen_id, kitchen)
    ahead = [one for one in suppers(kitchen, now, supper_time, first + WEEK) if one[0] - now <= PLANS_S][first:]
    if not ahead:
        raise no_evenings()
    last = replace(wish, supper_local=ahead[-1][1])
    evenings = planner(last, kitchen, line, tuple(at for at, _ in ahead), *busy_of(store, line, kitchen_id))
    return tuple(
        EveningView(
            evening.supper,
            replace(wish, supper_local=local),
            evening.answer.offers[0] if evening.answer.offers else None,
            evening.answer.in_the_way,
        )
        for evening, (_, local) in zip(evenings, ahead, strict=True)
    )


def first_evening(store: Store, now: int, kitchen_id: str, supper_time: str, days: int = 4) -> str:
    """The first coming evening that could have bread at that time of day and has none planned yet, as wall clock.

    "" when none of the next `days` can: the form then proposes the next one, and the planner says what is in the way.
    """
    kitchen = kitchen_of(store, kitchen_id)
    wish = usual_wish(store, kitchen_id, kitchen)
    taken = {date_text(row.supper, kitchen.zone) for row in coming(store, kitchen_id, now)}
    ahead = [one for one in suppers(kitchen, now, supper_time, days) if one[1][:10] not in taken]
    if not ahead:
        return ""
    last = replace(wish, supper_local=ahead[-1][1])
    wanted = wanted_of(ask_of(last, kitchen, now, *busy_of(store, now, kitchen_id)))
    # One at a time: most days the first one asked fits, and the rest need not be looked at.
    fits = (local for instant, local in ahead if propose.fits(replace(wanted, supper=instant, supper_from=None)))
    return next(fits, "")


def first_that_fits(
    store: Store, now: int, kitchen_id: str, wish: Wish, those: Sequence[tuple[int, str]]
) -> tuple[int, str] | None:
    """Of suppers as (instant, wall clock), in this order, the first for which the wish has any day; None: none has.

    Sooner known than its best day, and than why the others have none. People's hours are the wish's on each.
    """
    kitchen, beside = taught(store, now, kitchen_id).kitchen, busy_of(store, now, kitchen_id)
    last = replace(wish, supper_local=max(those)[1], supper_fold=None)
    wanted = wanted_of(ask_of(last, kitchen, now, *beside))
    found = next(propose.suppers_that_fit(wanted, [at for at, _ in those]), None)
    return next((one for one in those if one[0] == found), None)


def suppers(kitchen: Kitchen, now: int, supper_time: str, days: int) -> list[tuple[int, str]]:
    """(instant, wall clock) of supper on the coming days: the first of a time that comes twice, no skipped one."""
    today = date.fromisoformat(date_text(now, kitchen.zone))
    found = []
    for further in range(days + 1):
        local = f"{today + timedelta(days=further)}T{supper_time}"
        try:
            instant = instant_of(local, kitchen.zone, 0)
        except PlanError:
            continue
        if instant > now + _TOO_SOON_S:
            found.append((instant, local))
    return found[:days]


def no_evenings() -> PlanError:
    """No evening is ahead of this clock: a small machine without a battery wakes up in 1970."""
    return refused("when", *said.SERVER_CLOCK)


def booked(store: Store, now: int, kitchen_id: str) -> Booked:
    """What calendars have of each person."""
    people = len(kitchen_of(store, kitchen_id).people)
    told = tuple(
        tuple(Span(start, end) for start, end in store.busy(kitchen_id, since=now - _DAY_S, person=one))
        for one in range(people)
    )
    return Booked(told, calendars=told)
