"""Fits a method into a day: every step's start and the yeast, so that the dough waits for the person.

`search.py` finds the exact optimum of one method on the grid of five minutes, by the table in `cost.py`; here the
methods are set against each other, and `refusal.py` answers when none fits.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from webapp.core.day.day import half_days
from webapp.core.errors import PlanError
from webapp.core.formula.method import Method
from webapp.core.kinds import CostKey
from webapp.core.plan.steps import GRID_S
from webapp.core.plan.trade import Aside, Worse
from webapp.core.planner.candidates import LaidOut, Row, best_offer, found_by_method, lay_out, one_fits
from webapp.core.planner.effort import (
    ALONE_STEPS,
    COMPARED_STEPS,
    FITS_STEPS,
    OFFERS_STEPS,
    OTHERS_STEPS,
    WEEK_REASONS_MOST,
    Effort,
)
from webapp.core.planner.offer import Answer, InTheWay, Offer, Wanted
from webapp.core.planner.refusal import in_the_way, nearest
from webapp.core.planner.search import Search
from webapp.core.planner.stages import IMPOSSIBLE
from webapp.core.planner.timetable import Timetable

OFFERS = 3
MOST_TOLD = 3  # things in which one is worse
NEAR_BEST = 0.05  # loaded within a twentieth of its best needs no word
APART_SLOTS = 4 * 12  # two days of one kind begin so far apart: four hours


def propose(wanted: Wanted, with_nearest: bool = True) -> Answer:
    """Up to three offers that differ in kind, best first; or what is in the way and the nearest plans that would work.

    PlanError when the wish itself is none: supper in the past or beyond the day laid out, no method to choose from.
    `with_nearest=False` leaves the nearest plans out (the week view asks many evenings). What it cost is taken from the
    effort of `wanted`, however little is left of that.
    """
    check(wanted)
    purse, effort = wanted.effort, Effort(OFFERS_STEPS if len(wanted.methods) > 1 else ALONE_STEPS)
    wanted = replace(wanted, effort=effort)
    laid_out = lay_out(wanted)
    halves = half_days(wanted.day.zone, wanted.day.start, wanted.day.end)
    found, fitting = found_by_method(laid_out, partial(_still_of_interest, halves))
    effort.allow(OTHERS_STEPS)
    offers = _three(laid_out, halves, found)
    cut = effort.cut
    thorough = with_nearest and not offers
    hindered = tuple(in_the_way(wanted, fitting, laid_out, thorough))
    offers = tuple(replace(one, asides=asides_of(one, hindered, cut)) for one in offers)
    if offers and forgives_most(offers):
        first, *others = offers
        offers = (replace(first, asides=(Aside("unknown-kitchen"), *first.asides)), *others)
    near = tuple(nearest(laid_out)) if thorough else ()
    purse.spend(int(effort.spent))
    return Answer(offers, hindered, near)


def check(wanted: Wanted) -> None:
    """PlanError unless there is something to plan."""
    if not wanted.methods:
        raise PlanError.at("method", "no-methods")
    if wanted.supper <= wanted.now:
        raise PlanError.at("supper", "supper-past")
    if wanted.supper > wanted.day.end:
        raise PlanError.at("supper", "supper-after")


def best_alone(wanted: Wanted, likely: str = "") -> Offer | None:
    """The first offer of `propose` alone, for a small part of its effort; None when nothing fits. It says of itself
    where that is only the best so far.

    `likely`: the method that may win, by its key; it is looked at first. What it cost is taken from the effort of
    `wanted` too, however little is left of that. PlanError as `propose` raises it.
    """
    check(wanted)
    effort = Effort(COMPARED_STEPS)
    best = best_offer(lay_out(replace(wanted, effort=effort)), likely)
    wanted.effort.spend(min(COMPARED_STEPS, int(effort.spent)))
    return replace(best, asides=asides_of(best, (), effort.cut)) if best else None


@dataclass(frozen=True)
class Evening:
    """One evening of the week view: could there be bread?"""

    supper: int
    answer: Answer


def week(wanted: Wanted, suppers: Sequence[int]) -> tuple[Evening, ...]:
    """Which of these evenings could have bread, each with its best offer alone; `wanted.supper` is not used.

    The day has to reach past the last of them; suppers already past are left out. What the evenings share (hours, the
    dough's walks, the chains) is worked out once.
    """
    laid_out = lay_out(wanted)
    asked = [one for one in suppers if wanted.now < one <= wanted.day.end]
    evenings: list[Evening] = []
    for supper in asked:
        before = evenings[-1].answer.offers if evenings else ()
        likely = before[0].method if before else ""
        there = laid_out.for_supper(supper, Effort(OFFERS_STEPS / len(asked)))
        evenings.append(_evening(there, likely, WEEK_REASONS_MOST / len(asked)))
    return tuple(evenings)


def _evening(laid_out: LaidOut, likely: str, reasons_most: float) -> Evening:
    best = best_offer(laid_out, likely)
    cut = laid_out.wanted.effort.cut
    if best:
        return Evening(laid_out.wanted.supper, Answer((replace(best, asides=asides_of(best, (), cut)),)))
    hindered = in_the_way(laid_out.wanted, (), laid_out, thorough=False, most=reasons_most)
    return Evening(laid_out.wanted.supper, Answer((), tuple(hindered)))


def fits(wanted: Wanted, among: int = 1) -> bool:
    """Is there any day for this supper? Asked of so many in turn, each may cost only its part."""
    return one_fits(lay_out(replace(wanted, effort=Effort(FITS_STEPS / among))))


def suppers_that_fit(wanted: Wanted, suppers: Sequence[int]) -> Iterator[int]:
    """Of these suppers those that have any day, in their order; the day of `wanted` has to reach past all of them.

    All together cost no more than four asked alone, and share what `week` shares.
    """
    laid_out, each = lay_out(wanted), FITS_STEPS / max(1, len(suppers) / 4)
    yield from (one for one in suppers if one_fits(laid_out.for_supper(one, Effort(each))))


def _still_of_interest(halves: tuple[int, ...], found: list[Row]) -> int:
    """For less than how many points another method's day is among the offers: as good as the last of three."""
    rows = _that_differ(halves, found)
    return rows[-1][1].points + 1 if len(rows) == OFFERS else IMPOSSIBLE


def _that_differ(halves: tuple[int, ...], found: list[Row]) -> list[Row]:
    """The best of each kind of method, three at most."""
    rows: list[Row] = []
    for one in found:  # the best of them first
        if len(rows) < OFFERS and all(_differ(halves, one, other) for other in rows):
            rows.append(one)
    return rows


def _three(laid_out: LaidOut, halves: tuple[int, ...], found: list[Row]) -> tuple[Offer, ...]:
    """The best of each kind of method; where there are fewer than three kinds, also another half of the day."""
    rows = _that_differ(halves, found)
    tried = [search for search, _ in rows]
    while tried and len(rows) < OFFERS:
        others = []
        for number, search in enumerate(tried):
            laid_out.wanted.effort.share(len(tried) - number)
            best = search.best(_elsewhere(halves, _alike(search, rows)))
            if best is not None:
                others.append((search, best))
        if not others:
            break
        rows.append(min(others, key=lambda row: (row[1].points, row[0].chain.method.key)))
    offers = [Timetable(search, one).offer() for search, one in rows]
    return tuple(replace(offer, worse=worse(offer, offers[0])) for offer in offers)


def _alike(search: Search, rows: Sequence[Row]) -> list[Row]:
    """Those of the same kind of method."""
    kind = _kind(search.chain.method)
    return [row for row in rows if _kind(row[0].chain.method) == kind]


def _differ(halves: tuple[int, ...], one: Row, other: Row) -> bool:
    """Would a person call these two days different: another kind of method, or another part of the day?"""
    if _kind(one[0].chain.method) != _kind(other[0].chain.method):
        return True
    return _elsewhere(halves, [other])(one[1].starts[0])


def _elsewhere(halves: tuple[int, ...], rows: Sequence[Row]) -> Callable[[int], bool]:
    """Does a day that begins at a slot begin in another half of the day, and hours apart, from all of these?"""
    taken = [(one.starts[0], _half(halves, one.starts[0])) for _, one in rows]
    return lambda slot: all(abs(slot - at) >= APART_SLOTS and _half(halves, slot) != half for at, half in taken)


def _kind(method: Method) -> tuple[object, ...]:
    """What makes a method another one for whoever chooses: where the dough goes in turn, and whether overnight."""
    return (method.through_night, *((step.kind, step.goes_to) for step in method.steps if step.moves))


def _half(halves: tuple[int, ...], slot: int) -> int:
    return bisect_right(halves, slot * GRID_S)


# --- in what an offer lost against the first, and what it has to say of itself: facts, said in words/plan/offers.py ---


def worse(offer: Offer, first: Offer) -> tuple[Worse, ...]:
    """Up to three things in which `offer` costs more than `first`, the weightiest first."""
    more = _by_key(offer)
    more.subtract(_by_key(first))
    rows = sorted(((points, key) for key, points in more.items() if points > 0), reverse=True)
    return tuple(_told(key, offer, first) for _, key in rows[:MOST_TOLD])


def _told(key: CostKey, offer: Offer, first: Offer) -> Worse:
    """The row with its numbers, where there is something to count and it is worse too."""
    if key == "slack" and offer.slack_s < first.slack_s:
        return Worse(key, offer.slack_s, first.slack_s)
    if key == "visit" and offer.visits > first.visits:
        return Worse(key, offer.visits, first.visits)
    return Worse(key)


def _by_key(offer: Offer) -> Counter[CostKey]:
    points: Counter[CostKey] = Counter()
    for cost in offer.costs:
        points[cost.key] += cost.points
    return points


def asides_of(offer: Offer, hindered: Iterable[InTheWay], cut: bool) -> tuple[Aside, ...]:
    """All of them; `hindered` are the methods that did not fit, `cut`: the search was cut short."""
    return (*_warmth(hindered), *_loading(offer), *_arrival(offer), *((Aside("best-so-far"),) if cut else ()))


def forgives_most(offers: Sequence[Offer]) -> bool:
    """Does the first of them come first only because the kitchen is not known, and stands in the fridge?"""
    first, *others = offers
    rows = [(_by_key(one)["unseen"], one.score) for one in others]
    chilled = any(step.place == "fridge" for step in first.steps)
    return chilled and any(score - unseen < first.score - _by_key(first)["unseen"] for unseen, score in rows)


def _warmth(hindered: Iterable[InTheWay]) -> Iterator[Aside]:
    warm = [one.why for one in hindered if one.why.kind == "too-warm"]
    yield from (Aside("warm-kitchen", temp_c=why.temp_c, keeps_s=why.keeps_s) for why in warm[:1])


def _loading(offer: Offer) -> Iterator[Aside]:
    off, load = max((abs(math.log(share)), number) for number, share in enumerate(offer.loaded, 1))
    if off > NEAR_BEST:
        share = offer.loaded[load - 1]
        told = load if len(offer.loaded) > 1 else 0
        yield Aside("loaded-early" if share < 1.0 else "loaded-late", share=share, load=told)


def _arrival(offer: Offer) -> Iterator[Aside]:
    if any(cost.key == "coming" for cost in offer.costs):
        yield Aside("just-in")
