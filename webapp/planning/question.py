"""From a wish and a kitchen to the planner's question, and from its refusal to wishes that would work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol, TypeVar

from webapp.core.day.day import clock_text, date_text, day_of, instant_of, minute_of_day, supper_instant
from webapp.core.day.free_time import Day
from webapp.core.day.span import Span
from webapp.core.formula import toppings
from webapp.core.formula.cold_way import kept_short
from webapp.core.formula.formula import is_enriched
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method, MethodStep, with_woken_yeast
from webapp.core.formula.warm_oven import out_before_lit
from webapp.core.kinds import PRESSING_KINDS, StepKind
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.learning import habits
from webapp.core.oven import oven
from webapp.core.plan.house import HouseHours
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Busy
from webapp.core.plan.tray import Topping
from webapp.core.planner.offer import Change, Nearest, PlannedDough, SideTask, Wanted, baking_of
from webapp.core.ranges import held
from webapp.core.scale import pans
from webapp.doughs.own import OWN
from webapp.planning import away
from webapp.planning.mixing import dough, water
from webapp.words.problems import typed as said
from webapp.words.problems.told import refused

TOP_MIN = 10  # hands for a tray (common practice)
AFTER_SUPPER_S = 6 * 3600  # the day goes on past supper, for the chart and for eating later
LATEST_SUPPER_S = 2 * 86400  # supper of a mixed dough moves no further: so long it is walked on

T = TypeVar("T")


@dataclass(frozen=True)
class Booked:
    """What is taken already, whatever is planned: calendars say so, or another bake of the kitchen does."""

    people: tuple[tuple[Span, ...], ...] = ()  # of each person, in the order of the kitchen's list
    oven: tuple[Span, ...] = ()  # it is lit, or a dough stands in it
    calendars: tuple[tuple[Span, ...], ...] = ()  # of `people`, what calendars alone say


NOTHING_BOOKED = Booked()


class Stock(Protocol):
    """What can be chosen in a kitchen, by key (`doughs.larder.Larder`)."""

    @property
    def formulas(self) -> Mapping[str, Formula]: ...
    @property
    def toppings(self) -> Mapping[str, toppings.ToppingSet]: ...
    @property
    def methods(self) -> Mapping[str, Method]: ...


@dataclass(frozen=True)
class WayOut:
    """A wish near the one that does not fit, which would."""

    change: Change
    wish: Wish
    needs: tuple[StepKind, int] | None = None  # home-earlier: what somebody has to be there for first, and when


@dataclass(frozen=True)
class Ask:
    """The wish with everything that is settled before the planner is asked."""

    wish: Wish
    kitchen: Kitchen
    now: int
    supper: int
    day: Day
    batch: dough.Batch
    topping_set: toppings.ToppingSet | None
    toppings: tuple[Topping, ...]
    oven: OvenPlan
    methods: tuple[Method, ...]
    other_methods: tuple[Method, ...] = ()  # those not asked for, to be named when the one asked for does not fit
    booked: Booked = NOTHING_BOOKED  # by other bakes, and people's calendars

    @property
    def oven_taken(self) -> tuple[Span, ...]:
        """By other bakes."""
        return self.booked.oven

    @property
    def house(self) -> HouseHours:
        """Everybody's hours, until supper could be put off no further; what another bake takes of them not counted."""
        whole = Span(self.now, self.supper + LATEST_SUPPER_S)
        return hours_of(self.wish, self.kitchen, whole, self.booked.calendars).house

    def marks(self) -> tuple[tuple[Busy, ...], tuple[Busy, ...]]:
        """When the first person, and when nobody, is free, of all that begins within the day.

        Each to its own end: a night that was cut off with the day would be one in which people eat from then on.
        """
        whole = Span(self.day.start, self.supper + LATEST_SUPPER_S)
        long = hours_of(self.wish, self.kitchen, whole, self.booked.people)
        first, nobody = (
            tuple(one for one in found if one.start < self.day.end)
            for found in (long.busy_marks(), long.nobody_marks())
        )
        return first, nobody


def ask_of(wish: Wish, kitchen: Kitchen, now: int, stock: Stock, busy: Booked = NOTHING_BOOKED) -> Ask:
    """Everything that is settled before the planner is asked; PlanError for what cannot be."""
    if not wish.pans:
        raise refused("pans", *said.NO_PAN_AT_ALL)
    kitchen = warmed(kitchen, wish, now)
    if wish.at_once:
        kitchen = replace(kitchen, oven=replace(kitchen.oven, trays_at_once=wish.at_once))
    formula = habits.formula_with(_chosen(stock.formulas, wish.formula_key, "formula_key", "formula"), kitchen.habits)
    supper = supper_instant(wish.supper_local, kitchen.zone, now, wish.supper_fold)
    # Of a time that comes twice the second: what must not be before it is before neither then.
    start = instant_of(wish.start_local, kitchen.zone, 1, "start_local") if wish.start_local else now
    # What a person asks for today stands; habits move only what is usual.
    loading = wish.loading_g_cm2 or formula.loading * habits.value(kitchen.habits, "loading_times")
    mass_g = pans.dough_g(wish.pans, loading, wish.loss_percent) * (2.0 if wish.kept_local else 1.0)
    batch = dough.Batch(formula, kitchen, mass_g, loading)
    topping_set = _chosen(stock.toppings, wish.toppings_key, "toppings_key", "topping") if wish.toppings_key else None
    area = pans.area_cm2(wish.pans)
    covered = area * habits.value(kitchen.habits, "topping_times")
    rim = pans.wall_cm(wish.pans) if topping_set and topping_set.rim_on else 0.0
    on_top = toppings.scale(topping_set, covered, formula.style, rim) if topping_set else ()
    day = _day(wish, kitchen, max(now, start), supper, busy)
    trays = sum(pan.count for pan in wish.pans)
    baked = oven.ToBake(
        kitchen.oven,
        loading,
        toppings.load_g_cm2(on_top, area),
        formula.style,
        habits.adjust_of(kitchen.habits),
        is_enriched(formula),
    )
    heat = oven.programme(baked, trays, day.room[-1].temp_c)
    at_once = min(trays, kitchen.oven.trays_at_once)
    methods, others = (
        _in_kitchen(_by_hand(_methods(stock.methods, key, formula), at_once), kitchen, heat)
        for key in (wish.method_key, "")
    )
    begin = max(now, start)
    return Ask(
        wish,
        kitchen,
        begin,
        supper,
        day,
        batch,
        topping_set,
        on_top,
        heat,
        methods,
        others if wish.method_key else (),
        busy,
    )


def _by_hand(methods: Sequence[Method], trays: int) -> tuple[Method, ...]:
    """The methods as long as it takes to press out so many trays, one after the other, before they go in together."""
    return tuple(
        replace(one, steps=tuple(_pressed(step, trays) if step.kind in PRESSING_KINDS else step for step in one.steps))
        for one in methods
    )


def _pressed(step: MethodStep, trays: int) -> MethodStep:
    return replace(step, hands_min=step.hands * max(1, trays))


def _in_kitchen(methods: Sequence[Method], kitchen: Kitchen, heat: OvenPlan) -> tuple[Method, ...]:
    """The methods where yeast may have to be woken, and the warm spot be the oven that is to be lit."""
    known = [with_woken_yeast(one) if kitchen.yeast_kind == "active-dry" else one for one in methods]
    is_oven = kitchen.has_warm_spot and kitchen.warm_is_oven
    return tuple(out_before_lit(one, heat.preheat_min, heat.loads) if is_oven else one for one in known)


def warmed(kitchen: Kitchen, wish: Wish, now: int) -> Kitchen:
    """The kitchen as warm as it was read: every part of the day is shifted by what that hour differs from its usual,
    for one reading does not say how they lie apart; no part of it beyond what a kitchen may be."""
    if wish.room_c is None:
        return kitchen
    minute = minute_of_day(now, kitchen.zone) if wish.room_min is None else wish.room_min
    apart = wish.room_c - kitchen.usual_c(minute)
    room = (replace(part, temp_c=held("PartOfDay", "temp_c", part.temp_c + apart)) for part in kitchen.room)
    return replace(kitchen, room=tuple(room))


def _chosen(stock: Mapping[str, T], key: str, field: str, what: str) -> T:
    if key not in stock:
        raise refused(field, *(said.put_away_since(what) if key.startswith(OWN) else said.not_in_larder(what, key)))
    return stock[key]


def _day(wish: Wish, kitchen: Kitchen, start: int, supper: int, busy: Booked) -> Day:
    return hours_of(wish, kitchen, Span(start, supper + AFTER_SUPPER_S), busy.people)


def hours_of(wish: Wish, kitchen: Kitchen, whole: Span, busy: Sequence[tuple[Span, ...]]) -> Day:
    """Who is there when, for a bake of this wish, with what is `busy` of each; PlanError where that makes no day."""
    exceptions, house = away.hours_that_differ(wish, kitchen), away.with_another(wish, kitchen)
    return day_of(house, whole.start, whole.end, exceptions=exceptions, busy=busy)


def _methods(stock: Mapping[str, Method], key: str, formula: Formula) -> tuple[Method, ...]:
    """The one asked for, or all that suit: a formula with a preferment of its own is made with it."""
    if key:
        chosen: tuple[Method, ...] = (_chosen(stock, key, "method_key", "method"),)
    else:
        chosen = tuple(m for m in stock.values() if m.has_preferment or formula.preferment is None)
    return tuple(kept_short(one) for one in chosen) if formula.cold_only else chosen


def wanted_of(ask: Ask) -> Wanted:
    """The planner's question."""
    trays = sum(pan.count for pan in ask.wish.pans)
    staged = any(m.has_preferment for m in (*ask.methods, *ask.other_methods))
    baking = baking_of(ask.oven, trays, ask.kitchen.oven.trays_at_once)
    return Wanted(
        supper=ask.supper,
        now=ask.now,
        day=ask.day,
        methods=ask.methods,
        dough=replace(dough.planned_dough(ask.batch, staged), mixed_in=partial(water.mixed_in, ask.batch)),
        baking=replace(baking, recover_min=max(baking.recover_min, ask.oven.recovery_min)),
        top_min=TOP_MIN * min(trays, ask.kitchen.oven.trays_at_once)
        if any(one.when == "before" for one in ask.toppings)
        else 0,
        sides=_sides(ask),
        other_methods=ask.other_methods,
        alarms=ask.kitchen.alarms,
        as_they_come=ask.wish.as_they_come,
        oven_taken=ask.oven_taken,
        made=partial(_made_by, ask.batch),
    )


def _made_by(batch: dough.Batch, known: PlannedDough, method: Method) -> PlannedDough:
    one = batch.made(method.pressed_percent, method.mixed_cool)
    return replace(dough.made_by(batch, known, method), mixed_in=partial(water.mixed_in, one))


def _sides(ask: Ask) -> tuple[SideTask, ...]:
    """Sauce, draining, and what leaves the fridge before loading; hands-on minutes are common practice."""
    tasks = []
    if any(one.key == "sauce" for one in ask.toppings):
        best = (
            60 if ask.oven.loads < 2 else 30
        )  # out of the fridge until the last load too: no sooner than it is needed
        tasks.append(SideTask("sauce", 5, 100, best, 20))
    if toppings.drained(ask.toppings):
        tasks.append(SideTask("drain", 5, 180, 60, 30))
    for out in toppings.fridge_outs(ask.toppings)[:1]:
        best = out.before_load_s // 60
        tasks.append(SideTask("cheese-out", 5, best, best, min(best, 15)))
    return tuple(tasks)


def way_out(ask: Ask, near: Nearest) -> tuple[WayOut, ...]:
    """The wish that would work, as one that can be sent again; () for a change that no answer expresses."""
    wish, zone = ask.wish, ask.kitchen.zone
    begins = next(step.start for step in near.offer.steps if step.presence == "hands")
    if near.supper:
        local = f"{date_text(near.supper, zone)}T{clock_text(near.supper, zone)}"
        change = Change(near.kind, ask.supper, near.supper, begins_at=begins)
        return (WayOut(change, replace(wish, supper_local=local, supper_fold=None)),)
    if near.home_by:
        minute = away.minute_on(away.day_of_supper(wish.supper_local), near.home_by, zone)
        if minute < 0:
            return ()
        if near.person >= len(ask.kitchen.people) or (wish.away_today is not None and near.person != wish.away_person):
            return ()  # one person's day can be told to differ: not another's, who is not asked, nor a second one's
        hours = away.home_by(wish, ask.kitchen, minute, near.person)
        needs = min(
            (one for one in near.offer.steps if one.presence != "none" and one.start >= near.home_by),
            key=lambda one: one.start,
        )
        change = Change(near.kind, ask.supper, near.home_by, _called(ask.kitchen, near.person), begins)
        sooner = replace(wish, away_today=hours, away_person=near.person)
        return (WayOut(change, sooner, (needs.kind, needs.start)),)
    change = Change(near.kind, ask.supper, name=near.offer.method_name, begins_at=begins)
    return (WayOut(change, replace(wish, method_key=near.method)),)


def _called(kitchen: Kitchen, person: int) -> str:
    """The name of one person among several; "" for whoever reads it."""
    one = kitchen.people[person]
    return "" if len(kitchen.people) == 1 or one.is_reader else one.name
