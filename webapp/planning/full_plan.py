"""From a wish and a kitchen to plans: asks the core its questions in order and writes the answers into one record.

    wish, kitchen -> pans, dough mass, toppings, oven -> planner -> for each offer: yeast, weigh-out, texts, rise,
    cautions -> Plan

Nothing here computes; it carries. `plans_for` is what `kitchens.bakes.set_plan` calls.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import pairwise

from webapp.core.day.day import clock_text, date_text, instant_of, same_clock
from webapp.core.errors import PlanError, Problem
from webapp.core.formula.cold_way import comes_cold
from webapp.core.formula.formula import with_yeast
from webapp.core.formula.ingredients import from_instant
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import KeptPart, Making, Plan
from webapp.core.plan.rise import Beyond, RoomSpan, room_at
from webapp.core.plan.steps import PlanStep, RiseMark
from webapp.core.plan.trade import Trade
from webapp.core.plan.whose import with_house
from webapp.core.planner.effort import ENDLESS, Effort
from webapp.core.planner.offer import Change, InTheWay, Offer, TimedStep
from webapp.core.planner.propose import fits
from webapp.core.rise import certainty, fermentation
from webapp.core.rise.bench_life import marks_in_room
from webapp.core.safety import allergens, cautions
from webapp.data import safety as safety_data
from webapp.planning import second_go
from webapp.planning.away import at_usual_hours
from webapp.planning.mixing import dough, water
from webapp.planning.other_bakes import proposed
from webapp.planning.question import NOTHING_BOOKED, Ask, Booked, Stock, WayOut, ask_of, wanted_of, way_out
from webapp.planning.sureness import forgiven_percent, if_warmer, legs_of, sure_slack_s
from webapp.words.problems import refusal

EVENINGS_ASKED = 3  # when nothing fits: one of so many coming evenings is proposed


class NothingFits(PlanError):  # noqa: N818 - a plain statement, like NotHere
    """No method fits this day; `nearest` are wishes that would work, each one change away."""

    def __init__(
        self, problems: Iterable[Problem], nearest: tuple[WayOut, ...], in_the_way: tuple[InTheWay, ...] = ()
    ) -> None:
        super().__init__(*problems)
        self.nearest = nearest
        self.in_the_way = in_the_way  # what keeps out each method, where that is known


def plans_for(
    wish: Wish,
    kitchen: Kitchen,
    now: int,
    bake_id: str,
    stock: Stock,
    busy: Booked = NOTHING_BOOKED,
    purse: Effort = ENDLESS,
) -> tuple[Plan, ...]:
    """Up to three plans, the best first; what they cost is taken from the purse.

    Raises PlanError naming the field for an answer that cannot be, NothingFits when the day has no room for it.
    """
    ask = ask_of(wish, kitchen, now, stock, busy)
    ask, answer = proposed(ask, stock, busy, purse)
    if not answer.fits:
        evening = _another_evening(ask, stock, busy)
        trays = (*_fewer_together(ask, stock, busy), *_as_they_come(ask, stock, busy))
        ways = (*trays, *(way for one in answer.nearest for way in way_out(ask, one)))
        raise NothingFits(
            refusal.problems(answer.in_the_way, kitchen, bool(ways or evening)),
            (*ways, *evening),
            answer.in_the_way,
        )
    refused = [(offer, too_long_out(ask, offer)) for offer in answer.offers]
    safe = [offer for offer, found in refused if found is None]
    if not safe:
        first = next(found for _, found in refused if found is not None)
        raise NothingFits([refusal.long_bench(first)], _nothing_rich(ask, stock, busy))
    return tuple(plan_of(ask, offer, bake_id) for offer in safe)


def _nothing_rich(ask: Ask, stock: Stock, busy: Booked) -> tuple[WayOut, ...]:
    """The same supper from a dough that nothing perishes in, of the same style if there is one; () when none fits."""
    style = stock.formulas[ask.wish.formula_key].style
    plain = [one for one in stock.formulas.values() if not one.cold_only]
    for one in sorted(plain, key=lambda other: other.style != style):
        wish = replace(ask.wish, formula_key=one.key, method_key="", loading_g_cm2=None)
        with suppress(PlanError):
            if fits(wanted_of(ask_of(wish, ask.kitchen, ask.now, stock, busy)), 2):
                return (WayOut(Change("other-dough", ask.supper, name=one.name), wish),)
    return ()


def _fewer_together(ask: Ask, stock: Stock, busy: Booked) -> tuple[WayOut, ...]:
    """The same supper, all at once, in as few loads as fit, as even as can be; () where they go in singly anyway."""
    trays = sum(pan.count for pan in ask.wish.pans)
    together = min(ask.kitchen.oven.trays_at_once, trays)
    for at_once in sorted({-(-trays // loads) for loads in range(2, trays + 1)}, reverse=True):
        if at_once >= together:
            continue
        wish = replace(ask.wish, at_once=at_once)
        if fits(wanted_of(ask_of(wish, ask.kitchen, ask.now, stock, busy))):
            return (WayOut(Change("fewer-together", ask.supper, name=str(at_once)), wish),)
    return ()


def _as_they_come(ask: Ask, stock: Stock, busy: Booked) -> tuple[WayOut, ...]:
    """The same supper with each load eaten when it is out; () where there is one load, or that does not fit either."""
    if ask.oven.loads < 2 or ask.wish.as_they_come:
        return ()
    wish = replace(ask.wish, as_they_come=True)
    if not fits(wanted_of(ask_of(wish, ask.kitchen, ask.now, stock, busy))):
        return ()
    return (WayOut(Change("as-they-come", ask.supper), wish),)


def _another_evening(ask: Ask, stock: Stock, busy: Booked) -> tuple[WayOut, ...]:
    """The next evening on which the same wish works at the same time; () when none of the coming ones does."""
    zone = ask.kitchen.zone
    for days in range(1, EVENINGS_ASKED + 1):
        supper = same_clock(zone, ask.supper, days)
        local = f"{date_text(supper, zone)}T{clock_text(supper, zone)}"
        wish = replace(at_usual_hours(ask.wish), supper_local=local, supper_fold=None)
        with suppress(PlanError):
            there = ask_of(wish, ask.kitchen, ask.now, stock, busy)
            if fits(wanted_of(there), EVENINGS_ASKED):
                return (WayOut(Change("another-day", ask.supper, supper), wish),)
    return ()


def too_long_out(ask: Ask, offer: Offer) -> cautions.LongBench | None:
    """Why a dough with milk, egg or cheese must not follow this offer: too long out of the fridge in all; else None."""
    chain = [step for step in offer.steps if step.chain and step.end >= offer.mixed_at]
    loaded = max(step.start for step in chain if step.kind == "load")
    pairs = [(step, after) for step, after in pairwise(chain) if after.start <= loaded]
    out = sum((after.start if step.place != "fridge" else step.end) - step.start for step, after in pairs)
    warmest = max(span.temp_c for span in ask.day.room)
    cold = any(step.place == "fridge" for step in chain)
    return cautions.long_bench(ask.batch.formula.cold_only, out, warmest, cold)


def plan_of(ask: Ask, offer: Offer, bake_id: str) -> Plan:
    """One offer as a plan in full."""
    kitchen, made = ask.kitchen, ask.batch.made(offer.pressed_percent, offer.mixed_cool)
    batch = _batch_with_yeast(made, offer)
    formula = batch.formula
    mixing = next(step for step in offer.steps if step.kind == "mix")
    room_c = room_at(ask.day.room, mixing.start)
    water_c, dough_c = water.water_and_dough_c(batch, room_c)
    lines, others = water.weighed(batch, water_c, forgiven_percent(batch, offer))
    kept = _kept_of(ask)
    busy, nobody = ask.marks()
    legs = legs_of(batch, offer, ask.day.room)
    beyond = beyond_of(batch, dough_c, legs)
    rise = dough.rise_of(batch, offer.mixed_at, dough_c, certainty.mean_temp(dough_c, legs), ask.day.room, beyond)
    plan = Plan(
        bake_id=bake_id,
        revision=1,
        made_at=ask.now,
        zone=kitchen.zone,
        formula_key=formula.key,
        formula_name=formula.name,
        supper=ask.supper,
        ready_at=offer.ready_at,
        dough_g=batch.dough_g - (kept.grams if kept else 0.0),
        loading_g_cm2=batch.loading,
        yeast_kind=formula.yeast_kind,
        yeast_percent=formula.yeast_percent,
        water_c=water_c,
        wanted_dough_c=dough_c,
        pans=ask.wish.pans,
        lines=lines,
        toppings=ask.toppings,
        steps=steps_of(offer, _marks(batch, offer, ask.day.room)),
        rise=rise,
        oven=ask.oven,
        trade=_trade(offer, sure_slack_s(batch, offer, ask.day.room, rise.band_high)),
        busy=busy,
        nobody=nobody if len(ask.day.people) > 1 else None,
        scale_step_g=kitchen.scale_step_g,
        allergens=allergens.allergens_of(lines, ask.toppings, safety_data.allergens()),
        allergens_by_name=allergens.told_by_name((*formula.ingredients, *ask.toppings)),
        allergens_unsaid=allergens.not_stated(formula.ingredients, ask.toppings),
        making=_making(ask, batch, offer, room_c, dough_c),
        habits=kitchen.habits,
        other_yeasts=others,
        dough_perishes=formula.cold_only,
        kept=kept,
    )
    plan = replace(with_house(second_go.in_two_goes(plan, ask.day), ask.day.house), house=ask.house)
    return replace(plan, cautions=cautions.for_plan(plan, safety_data.caution_rules()))


def _kept_of(ask: Ask) -> KeptPart | None:
    """The half that is for another evening, of a dough that is made for two."""
    if not ask.wish.kept_local:
        return None
    other = instant_of(ask.wish.kept_local, ask.kitchen.zone, None, "kept_for")
    return KeptPart(ask.batch.dough_g / 2.0, other, mixed_here=True)


def _marks(batch: dough.Batch, offer: Offer, room: Sequence[RoomSpan]) -> tuple[RiseMark, RiseMark]:
    """The marks of this dough at pressing and loading, as long as the kitchen's warmth lets it keep."""
    press = next(step for step in offer.steps if step.mark == "press")
    return marks_in_room(*batch.marks, fermentation.pace_per_s(batch.make), room_at(room, press.start))


def _risen(batch: dough.Batch, offer: Offer) -> float:
    """The volume increase that the plan means to have at pressing."""
    return fermentation.increase_for(offer.pressed * batch.marks[0].best)


def _making(ask: Ask, batch: dough.Batch, offer: Offer, room_c: float, dough_c: float) -> Making:
    kitchen = ask.kitchen
    sooner, later = if_warmer(batch, offer, ask.day.room) or (0, 0)
    return Making(
        mass_unit=kitchen.mass_unit,
        heat_unit=kitchen.heat_unit,
        micro_step_g=kitchen.micro_step_g,
        mixing=kitchen.mixing,
        mixing_rise_c=kitchen.mixing_rise_c,
        vessel=kitchen.vessel,
        tap_c=kitchen.tap_c,
        room_c=room_c,
        asked_dough_c=batch.asked_c(dough_c),
        instant_percent=offer.instant_percent,
        warm_s=offer.warm_s,
        risen_times=1.0 + _risen(batch, offer),
        from_fridge=tuple(dict.fromkeys(one.name for one in batch.formula.ingredients if comes_cold(one))),
        sooner_s=sooner,
        later_s=later,
    )


def beyond_of(batch: dough.Batch, dough_c: float, legs: Sequence[fermentation.Leg]) -> tuple[Beyond, ...]:
    """Where this dough, or what is made ahead of it, lies outside the model's range."""
    found = certainty.outside_range(batch.make, dough_c, legs)
    ahead = batch.formula.preferment
    if ahead is None:
        return found
    make = dough.sponge_make(batch.formula, ahead, batch.vigour)
    return (*found, *(replace(one, part=ahead.name) for one in certainty.outside_range(make, dough_c)))


def _batch_with_yeast(batch: dough.Batch, offer: Offer) -> dough.Batch:
    """The batch with the yeast the planner found, in this kitchen's kind; with its preferment when it has one."""
    kind = batch.kitchen.yeast_kind
    formula = replace(batch.formula, preferment=None)
    if offer.sponge_percent:
        preferment = dough.with_preferment(batch.formula).preferment
        assert preferment is not None, "with_preferment always gives one"
        own = from_instant(kind, offer.sponge_percent)
        formula = replace(batch.formula, preferment=replace(preferment, yeast_percent=own))
    # with_yeast would scale the preferment's yeast too, so the total is set beside it.
    total = from_instant(kind, offer.instant_percent)
    if formula.preferment is not None:
        return replace(batch, formula=replace(formula, yeast_kind=kind, yeast_percent=total))
    return replace(batch, formula=with_yeast(formula, kind, total))


def steps_of(offer: Offer, marks: tuple[RiseMark, RiseMark]) -> tuple[PlanStep, ...]:
    """The offer's timed steps with their marks."""
    by_name = dict(zip(("press", "load"), marks, strict=True))
    return tuple(_step(step, by_name.get(step.mark)) for step in offer.steps)


def _step(step: TimedStep, mark: RiseMark | None) -> PlanStep:
    return PlanStep(
        step_id=step.step_id,
        kind=step.kind,
        start=step.start,
        end=step.end,
        presence=step.presence,
        place=step.place,
        vessel=step.vessel,
        chain=step.chain,
        anchor=step.anchor,
        offset_s=step.offset_s,
        wait_least_s=step.wait_least_s,
        wait_most_s=step.wait_most_s,
        mark=mark,
        alarm_min=step.alarm_min,
        rings=step.rings,
        load=step.load,
    )


def _trade(offer: Offer, sure_s: int) -> Trade:
    return Trade(
        offer.method, offer.method_name, offer.slack_s, offer.early_s, offer.hands_on_s, offer.score, sure_s,
        offer.visits, offer.worse, offer.asides,
    )  # fmt: skip
