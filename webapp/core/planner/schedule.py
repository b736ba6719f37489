"""Fits a method into a day: every step's start and the yeast, so that the dough waits for the person.

`search.py` finds the exact optimum of one method on the grid of five minutes, by the table in `cost.py`; here the
methods are set against each other, and `refusal.py` answers when none fits.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from webapp.core.day.day import half_days
from webapp.core.errors import PlanError
from webapp.core.formula.method import Method
from webapp.core.planner.asides import asides_of
from webapp.core.planner.candidates import Desk, desk_for, found_by_method
from webapp.core.planner.offer import Answer, Evening, Offer, Wanted
from webapp.core.planner.refusal import in_the_way, nearest
from webapp.core.planner.search import Found, Search
from webapp.core.planner.timing import Timing
from webapp.core.planner.warmth import SLOT_S
from webapp.core.planner.worse import worse

OFFERS = 3


def propose(wanted: Wanted, with_nearest: bool = True) -> Answer:
    """Up to three offers that differ in kind, best first; or what is in the way and the nearest plans that would work.

    PlanError when the wish itself is none: supper in the past or beyond the day laid out, no method to choose from.
    `with_nearest=False` leaves the nearest plans out (the week view asks many evenings).
    """
    check(wanted)
    desk = desk_for(wanted)
    found = found_by_method(desk)
    offers = _three(desk, found)
    fitting = [search.chain.method.key for search, _ in found]
    thorough = with_nearest and not offers
    hindered = tuple(in_the_way(wanted, fitting, desk, thorough))
    offers = tuple(replace(one, asides=asides_of(one, hindered)) for one in offers)
    return Answer(offers, hindered, tuple(nearest(wanted)) if thorough else ())


def check(wanted: Wanted) -> None:
    """PlanError unless there is something to plan."""
    if not wanted.methods:
        raise PlanError.at("method", "there is no method to choose from.", "Keep at least one.")
    if wanted.supper <= wanted.now:
        raise PlanError.at("supper", "supper is already past.", "Choose a later time or another day.")
    if wanted.supper > wanted.day.end:
        raise PlanError.at("supper", "supper is after the day that was laid out.", "Choose an earlier supper.")


def week(wanted: Wanted, suppers: Sequence[int]) -> tuple[Evening, ...]:
    """Which of these evenings could have bread, each with its best offers; `wanted.supper` is not used.

    The day has to reach past the last of them. Suppers already past come back without offers.
    """
    return tuple(
        Evening(supper, propose(replace(wanted, supper=supper, supper_from=None), with_nearest=False))
        for supper in suppers
        if wanted.now < supper <= wanted.day.end
    )


def _three(desk: Desk, found: list[tuple[Search, Found]]) -> tuple[Offer, ...]:
    """The best of each kind of method; where there are fewer than three kinds, also another half of the day."""
    halves = half_days(desk.wanted.day.zone, desk.wanted.day.start, desk.wanted.day.end)
    kinds: dict[object, tuple[Search, Found]] = {}
    for search, one in found:  # the best of them first
        kinds.setdefault((_kind(search.chain.method), _half(halves, one.starts[0])), (search, one))
    rows = list(kinds.values())[:OFFERS]
    searches = [search for search, _ in rows]
    while searches and len(rows) < OFFERS:
        others = []
        for search in searches:
            taken = {_half(halves, one.starts[0]) for other, one in rows if other is search}
            best = search.best(_outside(halves, taken))
            if best is not None:
                others.append((search, best))
        if not others:
            break
        rows.append(min(others, key=lambda row: (row[1].points, row[0].chain.method.key)))
    offers = [Timing(search, one).offer() for search, one in rows]
    return tuple(replace(offer, worse=worse(offer, offers[0])) for offer in offers)


def _kind(method: Method) -> tuple[object, ...]:
    """What makes a method another one for whoever chooses: where the dough goes in turn, and whether overnight."""
    return (method.through_night, *((step.kind, step.goes_to) for step in method.steps if step.moves))


def _half(halves: tuple[int, ...], slot: int) -> int:
    return sum(slot * SLOT_S >= h for h in halves)


def _outside(halves: tuple[int, ...], taken: set[int]) -> Callable[[int], bool]:
    return lambda slot: _half(halves, slot) not in taken
