"""Fits a method into a day: every step's start and the yeast, so that the dough waits for the person.

`search.py` finds the exact optimum of one method on the grid of five minutes, by the table in `weights.py`; here the
methods are set against each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from webapp.core.day import half_days
from webapp.core.errors import PlanError
from webapp.core.loads import Loads
from webapp.core.method import Method
from webapp.core.offer import Answer, InTheWay, Offer, Wanted
from webapp.core.offer_words import sentence, why_not
from webapp.core.rising import Rising
from webapp.core.search import Found, Search
from webapp.core.slots import Slots
from webapp.core.stages import Chain
from webapp.core.timing import Timing
from webapp.core.warmth import SLOT_S, Warmth

OFFERS = 3


@dataclass(frozen=True)
class Desk:
    """What the methods of one wish share: the day on the grid, the oven's loads, the dough's walks."""

    wanted: Wanted
    slots: Slots
    loads: Loads
    warmth: Warmth

    def search(self, method: Method) -> Search:
        """The search for one method."""
        chain = Chain(method, self.wanted.dough.vessel, self.slots)
        return Search(chain, Rising(self.wanted.dough, chain, self.warmth), self.loads)


def desk_for(wanted: Wanted) -> Desk:
    """Lay out a wish."""
    slots = Slots(wanted.day, wanted.now)
    room = wanted.day.room
    return Desk(wanted, slots, Loads(wanted, slots), Warmth(wanted.dough, room, slots.first, slots.last))


def propose(wanted: Wanted) -> Answer:
    """Up to three offers that differ in kind, best first; or what is in the way and the nearest plans that would work.

    PlanError when the wish itself is none: supper in the past, no method to choose from.
    """
    check(wanted)
    desk = desk_for(wanted)
    suited = [m for m in wanted.methods if not_for_this_dough(m, wanted) is None]
    found = [(search, best) for search in map(desk.search, suited) if (best := search.best()) is not None]
    offers = _three(desk, found)
    fitting = {search.chain.method.key for search, _ in found}
    return Answer(offers, tuple(_in_the_way(wanted, fitting)))


def check(wanted: Wanted) -> None:
    """PlanError unless there is something to plan."""
    if not wanted.methods:
        raise PlanError.at("method", "there is no method to choose from.", "Keep at least one.")
    if wanted.supper <= wanted.now:
        raise PlanError.at("supper", "supper is already past.", "Choose a later time or another day.")
    if wanted.supper > wanted.day.end:
        raise PlanError.at("supper", "supper is after the day that was laid out.", "Choose an earlier supper.")


def not_for_this_dough(method: Method, wanted: Wanted) -> str | None:
    """Why this method is not for this dough or this kitchen at all; None when it is."""
    dough = wanted.dough
    if method.has_preferment and dough.sponge is None:
        return "This formula has no preferment."
    if dough.cold_only and not method.stays_cold:
        return "This dough has milk, egg or cheese in it and must not stand out of the fridge for hours."
    if "warm" in method.uses and dough.warm_c is None:
        return "This kitchen has no warm spot."
    return None


def _in_the_way(wanted: Wanted, fitting: set[str]) -> Iterator[InTheWay]:
    for method in wanted.methods:
        if method.key not in fitting:
            text = not_for_this_dough(method, wanted) or "Your hours leave no room for it before this supper."
            yield InTheWay(method.key, method.name, text)


def _three(desk: Desk, found: list[tuple[Search, Found]]) -> tuple[Offer, ...]:
    """The best of each method; where there are fewer than three methods, also another half of the day."""
    rows = sorted(found, key=lambda row: (row[1].points, row[0].chain.method.key))[:OFFERS]
    halves = half_days(desk.wanted.day.zone, desk.wanted.day.start, desk.wanted.day.end)
    searches = [search for search, _ in rows]
    while searches and len(rows) < OFFERS:
        others = []
        for search in searches:
            taken = {_half(halves, r.starts[0]) for s, r in rows if s is search}
            other = search.best(_outside(halves, taken))
            if other is not None:
                others.append((search, other))
        if not others:
            break
        rows.append(min(others, key=lambda row: (row[1].points, row[0].chain.method.key)))
    offers = [Timing(search, one).offer() for search, one in rows]
    offers = [replace(o, sentence=sentence(o), why_not=why_not(o, offers[0])) for o in offers]
    return tuple(offers)


def _half(halves: tuple[int, ...], slot: int) -> int:
    return sum(slot * SLOT_S >= h for h in halves)


def _outside(halves: tuple[int, ...], taken: set[int]) -> Callable[[int], bool]:
    return lambda slot: _half(halves, slot) not in taken
