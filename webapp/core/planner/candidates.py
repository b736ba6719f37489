"""What the methods of one wish share, and the best offer they come to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import TypeVar

from webapp.core.formula.method import GRID_MIN, Method
from webapp.core.planner.cost import unknown
from webapp.core.planner.effort import Effort
from webapp.core.planner.loads import Loads
from webapp.core.planner.offer import Hindrance, Offer, Wanted
from webapp.core.planner.rising import Rising
from webapp.core.planner.search import Found, Search
from webapp.core.planner.slots import Slots
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.timetable import Timetable
from webapp.core.planner.warmth import Warmth

T = TypeVar("T")


@dataclass(frozen=True)
class LaidOut:
    """A wish laid out: the day on the grid, the oven's loads, the dough's walks."""

    wanted: Wanted
    slots: Slots
    loads: Loads
    warmth: Warmth
    risings: dict[Method, Rising] = field(default_factory=dict)  # each method's way, for every supper of this laid_out

    def search(self, method: Method) -> Search:
        """The search for one method."""
        rising = self.risings.get(method)
        if rising is None:
            chain = Chain(method, self.wanted.dough.vessel, self.slots, unknown(self.wanted.dough.ln_sd))
            rising = self.risings[method] = Rising(self.wanted.dough, chain, self.warmth)
        return Search(rising.chain, rising, self.loads)

    def for_supper(self, supper: int, effort: Effort) -> LaidOut:
        """The same day and dough for another supper: hours, walks and chains are laid out once."""
        wanted = replace(self.wanted, supper=supper, supper_from=None, effort=effort)
        return replace(self, wanted=wanted, loads=Loads(wanted, self.slots))

    @cached_property
    def on_the_grid(self) -> LaidOut | None:
        """The same with loads that follow each other by full slots; None where they do, or where there is one.

        It takes longer, but every load then meets the oven as the first does: it may fit where the quickest does not.
        """
        if self.loads.baking.loads < 2:
            return None
        wanted = replace(self.wanted, load_every_min=GRID_MIN)
        loads = Loads(wanted, self.slots)
        if loads.cycle_min == self.loads.cycle_min:
            return None
        return replace(self, wanted=wanted, loads=loads)


def lay_out(wanted: Wanted) -> LaidOut:
    """Lay out a wish."""
    slots = Slots(wanted.day, wanted.now)
    return LaidOut(wanted, slots, Loads(wanted, slots), Warmth(wanted.dough, wanted.day.room, slots.first, slots.last))


def found_by_method(laid_out: LaidOut) -> list[tuple[Search, Found]]:
    """The best day of each method that suits and fits, best first."""
    looked = (_quickest(laid_out, search, Search.best) for search in searches(laid_out))
    rows = [(search, found) for search, found in looked if found]
    return sorted(rows, key=lambda row: (row[1].points, row[0].chain.method.key))


def methods_that_fit(laid_out: LaidOut) -> tuple[Method, ...]:
    """The methods that have a day at all; sooner known than their best days."""
    return tuple(one.chain.method for one in searches(laid_out) if _quickest(laid_out, one, Search.fits)[1])


def one_fits(laid_out: LaidOut) -> bool:
    """Has any method a day at all? Asked of one after the other until one has."""
    return any(_quickest(laid_out, one, Search.fits)[1] for one in searches(laid_out))


def _quickest(laid_out: LaidOut, search: Search, look: Callable[[Search], T]) -> tuple[Search, T]:
    """What is found with loads as soon after each other as can be; where that is nothing, on the grid."""
    found = look(search)
    if found or laid_out.on_the_grid is None:
        return search, found
    slower = laid_out.on_the_grid.search(search.chain.method)
    return slower, look(slower)


def searches(laid_out: LaidOut) -> Iterator[Search]:
    """One search for each method that suits this dough, each with an equal part of the effort that is left."""
    suited = [m for m in laid_out.wanted.methods if not_for_this_dough(m, laid_out.wanted) is None]
    for number, method in enumerate(suited):
        laid_out.wanted.effort.share(len(suited) - number)
        yield laid_out.search(method)


def best_offer(laid_out: LaidOut) -> Offer | None:
    """The best of all methods, or None; a method is looked at only as far as it could still be better."""
    best: tuple[Search, Found] | None = None
    for one in searches(laid_out):
        most = best[1].points if best else IMPOSSIBLE
        search, found = _quickest(laid_out, one, partial(Search.best, below=most))
        if found:
            best = search, found
    return Timetable(*best).offer() if best else None


def not_for_this_dough(method: Method, wanted: Wanted) -> Hindrance | None:
    """Why this method is not for this dough or this kitchen at all; None when it is."""
    dough = wanted.dough
    if method.has_preferment and dough.sponge is None:
        return Hindrance("no-preferment")
    if dough.cold_only and not method.stays_cold:
        return Hindrance("perishable")
    if "warm" in method.uses and dough.warm_c is None:
        return Hindrance("no-warm-spot")
    return None
