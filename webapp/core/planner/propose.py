"""Fits a method into a day: every step's start and the yeast, so that the dough waits for the person.

`search.py` finds the exact optimum of one method on the grid of five minutes, by the table in `cost.py`; here the
methods are set against each other, and `refusal.py` answers when none fits.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from webapp.core.day.day import half_days
from webapp.core.errors import PlanError
from webapp.core.formula.method import Method
from webapp.core.plan.steps import GRID_S
from webapp.core.plan.trade import Aside
from webapp.core.planner.candidates import LaidOut, Row, best_offer, found_by_method, lay_out, one_fits
from webapp.core.planner.effort import FITS_STEPS, OFFERS_STEPS, OTHERS_STEPS, Effort
from webapp.core.planner.offer import Answer, Evening, Offer, Wanted
from webapp.core.planner.refusal import in_the_way, nearest
from webapp.core.planner.search import Search
from webapp.core.planner.stages import IMPOSSIBLE
from webapp.core.planner.timetable import Timetable
from webapp.core.planner.worse import asides_of, forgives_most, worse

OFFERS = 3
APART_SLOTS = 4 * 12  # two days of one kind begin so far apart: four hours


def propose(wanted: Wanted, with_nearest: bool = True) -> Answer:
    """Up to three offers that differ in kind, best first; or what is in the way and the nearest plans that would work.

    PlanError when the wish itself is none: supper in the past or beyond the day laid out, no method to choose from.
    `with_nearest=False` leaves the nearest plans out (the week view asks many evenings).
    """
    check(wanted)
    effort = Effort(OFFERS_STEPS)
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
    return Answer(offers, hindered, tuple(nearest(wanted)) if thorough else ())


def check(wanted: Wanted) -> None:
    """PlanError unless there is something to plan."""
    if not wanted.methods:
        raise PlanError.at("method", "no-methods")
    if wanted.supper <= wanted.now:
        raise PlanError.at("supper", "supper-past")
    if wanted.supper > wanted.day.end:
        raise PlanError.at("supper", "supper-after")


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
        evenings.append(_evening(laid_out.for_supper(supper, Effort(OFFERS_STEPS / len(asked))), likely))
    return tuple(evenings)


def _evening(laid_out: LaidOut, likely: str) -> Evening:
    best = best_offer(laid_out, likely)
    cut = laid_out.wanted.effort.cut
    if best:
        return Evening(laid_out.wanted.supper, Answer((replace(best, asides=asides_of(best, (), cut)),)))
    return Evening(laid_out.wanted.supper, Answer((), tuple(in_the_way(laid_out.wanted, (), laid_out, thorough=False))))


def fits(wanted: Wanted) -> bool:
    """Is there any day for this supper?"""
    return one_fits(lay_out(replace(wanted, effort=Effort(FITS_STEPS))))


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
