"""One dough, two suppers: half of it is kept in the fridge for another evening, and both evenings are planned.

It is mixed once, with the yeast of the first evening. The other half goes into the fridge soon after mixing, with the
first one, or is cut off as that is pressed out; it comes out again shortly before it is pressed out itself, or for
hours on the bench; whichever brings it nearer to its best. The yeast is settled then, so the planner chooses only
hours; an evening at which that dough would be too young or past its best is refused.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import islice

from webapp.core.day.day import clock_text, date_text, instant_of, same_clock
from webapp.core.errors import PlanError
from webapp.core.formula.kept_way import kept_ways
from webapp.core.formula.method import Method
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import KeptPart, Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.planner.candidates import THOROUGH, Settled
from webapp.core.planner.effort import ANSWER_STEPS, COMPARED_STEPS, HALVES_STEPS, NEAR_HALVES_STEPS, Effort
from webapp.core.planner.offer import Change, Offer
from webapp.core.planner.propose import asides_of
from webapp.kitchens import bakes
from webapp.kitchens.mixed import other_half
from webapp.planning.evenings import busy_of
from webapp.planning.full_plan import NothingFits, plan_of, plans_for, too_long_out
from webapp.planning.other_bakes import proposed_first
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock, WayOut, ask_of, wanted_of
from webapp.records import to_plain
from webapp.store.store import Store
from webapp.words.plan.kept_part import KEPT_METHOD
from webapp.words.problems import kept as said
from webapp.words.problems.told import refused, told

# Retarded doughs keep for up to 72 h (common practice, as the cold method has it); an hour more when the
# clock is put back. Less than half a day is no fridge.
LEAST_S, MOST_S = 12 * 3600, 73 * 3600
# Of best at the oven: short of it a dough is young on the plate, beyond it past its best (as core/now/loss.py says).
LEAST_RISEN, MOST_RISEN = 0.7, 1.4
HOURS_OFF_S = (3600, -3600, 7200)  # other hours tried for both suppers
MOST_NEAR = 3  # of them, and of other evenings, named
EVENINGS_AFTER = (1, 2, 3)  # after the first one: as far as the fridge keeps it


@dataclass(frozen=True)
class _Asked:
    """What the halves of one question have in common; `purse` is what looking for hours of all of them may cost."""

    kitchen: Kitchen
    stock: Stock
    busy: Booked
    purse: Effort


def plans_with_kept(
    wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
) -> tuple[Plan, ...]:
    """`full_plan.plans_for`; where half the dough is for another evening, the plans after which that evening fits too.

    Raises PlanError at "kept_for" for an evening that is none; NothingFits at it, with the nearest that would do, for
    one that fits after none of the plans.
    """
    if wish.kept_local:
        _check(wish, kitchen)
    whole = Effort(ANSWER_STEPS)
    plans = plans_for(wish, kitchen, now, bake_id, stock, busy, whole)
    if not wish.kept_local:
        return plans
    asked = _Asked(kitchen, stock, busy, Effort(min(HALVES_STEPS, whole.left)))
    both = _both(plans, wish, asked)
    if not both:
        asked.purse.allow(min(NEAR_HALVES_STEPS, whole.left - asked.purse.spent))
        ways = tuple(islice(_nearest(plans, wish, now, asked), MOST_NEAR))
        why = next((one for plan in plans if (one := _why_not(plan, wish, asked))), said.NO_ROOM)
        raise NothingFits([told("kept_for", *said.half_does_not_fit(why, bool(ways)), "refused")], ways)
    return both


def first_with_kept(wish: Wish, kitchen: Kitchen, now: int, likely: str, stock: Stock, busy: Booked) -> Plan | None:
    """The first that `plans_with_kept` has, or the best so far where that is more than a comparison may cost; None when
    none fits, or when that one keeps no half that fits.

    `likely`: the method that may win, by its key. PlanError for an answer that cannot be.
    """
    if wish.kept_local:
        _check(wish, kitchen)
    return _first(wish, now, likely, _Asked(kitchen, stock, busy, Effort(HALVES_STEPS)))


def _first(wish: Wish, now: int, likely: str, asked: _Asked) -> Plan | None:
    there = ask_of(wish, asked.kitchen, now, asked.stock, asked.busy)
    ask, offer = proposed_first(there, asked.stock, asked.busy, likely, asked.purse)
    plan = plan_of(ask, offer, "") if offer and too_long_out(ask, offer) is None else None
    return _parted(plan, wish, asked) if plan and wish.kept_local else plan


def _both(plans: Sequence[Plan], wish: Wish, asked: _Asked) -> tuple[Plan, ...]:
    return tuple(found for plan in plans if (found := _parted(plan, wish, asked)))


def _nearest(plans: Sequence[Plan], wish: Wish, now: int, asked: _Asked) -> Iterator[WayOut]:
    """Wishes near this one after which both evenings fit: the other half another evening, then both at another hour."""
    kitchen = asked.kitchen
    first = instant_of(wish.supper_local, kitchen.zone, wish.supper_fold, "supper")
    evenings = [_local(same_clock(kitchen.zone, first, days), kitchen.zone) for days in EVENINGS_AFTER]
    for local in evenings:
        other = instant_of(local, kitchen.zone, None, "kept_for")
        if local == wish.kept_local or not LEAST_S <= other - first <= MOST_S:
            continue
        other_day = replace(wish, kept_local=local)
        kept = [replace(plan, kept=replace(plan.kept, supper=other)) for plan in plans if plan.kept]
        if any(_parted(one, other_day, asked) for one in kept):
            yield WayOut(Change("half-then", first, other), other_day)
    for by_s in HOURS_OFF_S:
        supper, kept_for = first + by_s, instant_of(wish.kept_local, kitchen.zone, None, "kept_for") + by_s
        moved = replace(wish, supper_local=_local(supper, kitchen.zone), kept_local=_local(kept_for, kitchen.zone))
        with suppress(PlanError):
            if asked.purse.left > COMPARED_STEPS and _first(moved, now, plans[0].trade.method, asked):
                yield WayOut(Change("eat-later" if by_s > 0 else "another-day", first, supper), moved)


def _local(at: int, zone: str) -> str:
    return f"{date_text(at, zone)}T{clock_text(at, zone)}"


def _why_not(plan: Plan, wish: Wish, asked: _Asked) -> str:
    """Why the half of this plan does not fit its evening, as a sentence; "" when that is not found."""
    if plan.making is None:
        return ""
    with suppress(PlanError):
        ask = ask_of(_of_other(wish), asked.kitchen, plan.steps[0].start, asked.stock, asked.busy)
        methods = [method for _, method in kept_ways(plan, ask.batch.formula, KEPT_METHOD)]
        if not methods:
            return said.NOT_FROM_WARMTH
        known = plan.making.instant_percent
        other = Settled(wanted_of(ask), known)
        met = [offer for one in methods if (offer := fitting(other, one, *THOROUGH[-1]))]
        if not met:
            far = plan.kept is not None and plan.kept.supper - plan.rise.mixed_at > MOST_S
            return said.OUT_OF_REACH if far else said.NO_ROOM
        return said.HARDLY_RISEN if min(max(one.loaded) for one in met) < 1.0 else said.PAST_ITS_BEST
    return ""


def _parted(plan: Plan, wish: Wish, asked: _Asked) -> Plan | None:
    """The plan saying when its other half is parted; None when that half fits no hours of its evening."""
    other = kept_plan(plan, wish, asked.kitchen, "", asked.stock, asked.busy, asked.purse)
    if other is None or other.kept is None or plan.kept is None:
        return None
    return replace(plan, kept=replace(plan.kept, at=other.kept.at))


def _check(wish: Wish, kitchen: Kitchen) -> None:
    first = instant_of(wish.supper_local, kitchen.zone, wish.supper_fold, "supper")
    other = instant_of(wish.kept_local, kitchen.zone, None, "kept_for")
    if not LEAST_S <= other - first <= MOST_S:
        raise refused("kept_for", *said.HALF_OUT_OF_REACH)


def keep(store: Store, now: int, kitchen_id: str, bake_id: str) -> None:
    """After a day was taken: make the other evening of its dough a bake too, or the next revision of it."""
    held = bakes.bake(store, kitchen_id, bake_id)
    if held.plan is None or held.plan.kept is None or not held.plan.kept.mixed_here or held.plan.kept.spare:
        return
    stock, busy = busy_of(store, now, kitchen_id, bake_id)
    other_id = other_half(bake_id)
    kitchen = bakes.kitchen_of(store, kitchen_id)
    made = kept_plan(
        held.plan, held.wish, replace(kitchen, vigour_ln_mean=held.plan.vigour_ln_mean), other_id, stock, busy
    )
    if made is None:
        return  # its hours were taken by something else since it was asked for
    made = replace(made, vigour_ln_mean=held.plan.vigour_ln_mean)
    with store.transaction():
        before = store.bake(kitchen_id, other_id)
        if before is None:
            store.put_offers(kitchen_id, other_id, to_plain(_of_other(held.wish)), [], now)
        elif before.dropped_at is None and before.plan == to_plain(
            replace(made, revision=before.plan.get("revision", 0) if before.plan else 0)
        ):
            return
        store.add_plan(kitchen_id, other_id, to_plain(replace(made, revision=store.revision(other_id) + 1)), now)


def _of_other(wish: Wish) -> Wish:
    """The same wish for the other evening, with nothing that was said of the first one's day."""
    return replace(
        wish, supper_local=wish.kept_local, kept_local="", supper_fold=None, away_today=None, away_person=0,
        else_from_min=None, method_key="", start_local="",
    )  # fmt: skip


def kept_plan(
    plan: Plan, wish: Wish, kitchen: Kitchen, bake_id: str, stock: Stock, busy: Booked, purse: Effort | None = None
) -> Plan | None:
    """The plan of the half that `plan` keeps, from when it goes into the fridge on; None when no hours suit it, or the
    `purse` is too light for finding them."""
    if plan.making is None or plan.kept is None:
        return None
    try:
        ask = ask_of(_of_other(wish), kitchen, plan.steps[0].start, stock, busy)
    except PlanError:
        return None
    other = Settled(replace(wanted_of(ask), effort=purse or Effort()), plan.making.instant_percent)
    ways = kept_ways(plan, ask.batch.formula, KEPT_METHOD)
    methods = [(at, method, other.first_fitting(method)) for at, method in ways]
    for number, within in enumerate(THOROUGH):
        for at, method, first in methods:
            offer = fitting(other, method, *within) if number >= first else None
            if offer is None or too_long_out(ask, offer):
                continue
            whole = plan_of(replace(ask, now=plan.made_at), offer, bake_id)
            if _good_to_eat(whole, offer):
                kept = KeptPart(whole.dough_g, plan.supper, mixed_here=False, at=at)
                return replace(whole, steps=from_the_fridge_on(whole), kept=kept)
    return None


def from_the_fridge_on(plan: Plan) -> tuple[PlanStep, ...]:
    """What is done to the part that is kept, from when it goes into the fridge."""
    chilled = max(i for i, step in enumerate(plan.steps) if step.kind == "chill")
    return plan.steps[chilled:]


def _good_to_eat(plan: Plan, offer: Offer) -> bool:
    """Is it neither young nor past its best, by the marks of its steps, when it is pressed and at every loading?"""
    marks = {step.kind: step.mark for step in plan.steps if step.mark}
    risen = [(marks["press"], offer.pressed), *((marks["load"], one) for one in offer.loaded)]
    at_the_oven = all(LEAST_RISEN <= one <= MOST_RISEN for one in offer.loaded)
    return at_the_oven and all(mark.early <= times * mark.best <= mark.past for mark, times in risen)


def fitting(other: Settled, method: Method, times: float, short_proof: bool) -> Offer | None:
    """What `Settled.fitting` finds, with what there is to say of it."""
    offer = other.fitting(method, times, short_proof)
    return replace(offer, asides=asides_of(offer, (), cut=False)) if offer else None
