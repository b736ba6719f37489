"""What the methods of one wish share, and the best offer they come to."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from webapp.core.formula.method import GRID_MIN, Method
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import unknown
from webapp.core.planner.effort import ONE_OFFER_STEPS, READY, Effort
from webapp.core.planner.loads import Loads
from webapp.core.planner.offer import Hindrance, Offer, PlannedDough, Wanted
from webapp.core.planner.rising import Rising
from webapp.core.planner.search import Found, Search
from webapp.core.planner.slots import Slots
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.timetable import Timetable
from webapp.core.planner.warmth import Warmth

# The yeast is settled: first hours are looked for that it fits to a twentieth, then those that it fits less and less.
OFF_TIMES = (1.05, 1.3, 1.7, 2.4)
# At last whatever its yeast and its rise in the tray: what counts is how far it has come at the oven.
THOROUGH = (*((times, False) for times in OFF_TIMES), (OFF_TIMES[-1], True), (1000.0, True))
ANY_PROOF = (0.01, 1.0)  # least and most of the rise in the tray, as a share of that before
ANY_PROOF = (0.01, 1.0)  # least and most of the rise in the tray, as a share of that before


@dataclass(frozen=True)
class LaidOut:
    """A wish laid out: the day on the grid, the oven's loads, the dough's walks."""

    wanted: Wanted
    slots: Slots
    loads: Loads
    warmth: Warmth
    risings: dict[Method, Rising] = field(default_factory=dict)  # each method's way, for every supper of this laid_out
    chains: dict[Method, Chain] = field(default_factory=dict)  # its moves, for all bounds of the dough too

    def search(self, method: Method) -> Search:
        """The search for one method."""
        rising = self.risings.get(method)
        if rising is None:
            rising = self.risings[method] = Rising(self.wanted.dough_by(method), self._chain(method), self.warmth)
        return Search(rising.chain, rising, self.loads)

    def _chain(self, method: Method) -> Chain:
        chain = self.chains.get(method)
        if chain is None:
            dough = self.wanted.dough
            chain = self.chains[method] = Chain(method, dough.vessel, self.slots, unknown(dough.ln_sd))
        return chain

    def for_supper(self, supper: int, effort: Effort, supper_from: int | None = None) -> LaidOut:
        """The same day and dough for another supper: hours, walks and chains are laid out once."""
        wanted = replace(self.wanted, supper=supper, supper_from=supper_from, effort=effort)
        return replace(self, wanted=wanted, loads=Loads(wanted, self.slots))

    def for_bounds(self, dough: PlannedDough, effort: Effort) -> LaidOut:
        """The same day for a dough that warms and ages as this one does, with other bounds of its yeast or of its rise
        in the tray: hours, walks and chains are laid out once."""
        wanted = replace(self.wanted, dough=dough, effort=effort)
        return replace(self, wanted=wanted, loads=self.loads.asked_by(wanted), risings={})

    def of(self, methods: tuple[Method, ...]) -> LaidOut:
        """The same for these methods alone."""
        return replace(self, wanted=replace(self.wanted, methods=methods))

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


Row = tuple[Search, Found]


def found_by_method(laid_out: LaidOut, enough: Callable[[list[Row]], int]) -> tuple[list[Row], frozenset[str]]:
    """The best days of the methods that suit and fit, best first, and the keys of all of these.

    `enough` says of what was found so far for less than how many points another method's day is still of interest:
    those that have none so cheap are left out of the days.
    """
    rows: list[Row] = []
    fitting = set()
    for search in _shared(laid_out, searches(laid_out)):
        below = enough(rows)
        found = _quickest(laid_out, search, below)
        if found[1]:
            rows = sorted([*rows, (found[0], found[1])], key=_order)
        if found[1] or (below < IMPOSSIBLE and _fits(laid_out, search)):
            fitting.add(search.chain.method.key)
    return rows, frozenset(fitting)


def _order(row: Row) -> tuple[int, str]:
    return row[1].points, row[0].chain.method.key


def methods_that_fit(laid_out: LaidOut) -> tuple[Method, ...]:
    """The methods that have a day at all; sooner known than their best days."""
    rows = _shared(laid_out, searches(laid_out))
    fitting = {one.chain.method.key for one in rows if _fits(laid_out, one)}
    return tuple(one for one in laid_out.wanted.methods if one.key in fitting)


def one_fits(laid_out: LaidOut) -> bool:
    """Has any method a day at all? Asked of one after the other until one has."""
    return any(_fits(laid_out, one) for one in _shared(laid_out, searches(laid_out)))


def _fits(laid_out: LaidOut, search: Search) -> bool:
    if search.fits():
        return True
    return laid_out.on_the_grid is not None and laid_out.on_the_grid.search(search.chain.method).fits()


def _quickest(laid_out: LaidOut, search: Search, below: int) -> tuple[Search, Found | None]:
    """The best day with loads as soon after each other as can be; where there is none, on the grid."""
    found = search.best(below=below)
    if found or laid_out.on_the_grid is None or (below < IMPOSSIBLE and search.fits()):
        return search, found
    slower = laid_out.on_the_grid.search(search.chain.method)
    return slower, slower.best(below=below)


def searches(laid_out: LaidOut) -> list[Search]:
    """One search for each method that suits this dough; which may cost least, first."""
    suited = (m for m in laid_out.wanted.methods if not_for_this_dough(m, laid_out.wanted) is None)
    return sorted(map(laid_out.search, suited), key=lambda one: one.floor)


def _shared(laid_out: LaidOut, rows: Sequence[Search], first: int = 1) -> Iterator[Search]:
    """One after the other, each with an equal part of the effort that is left; the first of them with `first` parts."""
    for number, search in enumerate(rows):
        laid_out.wanted.effort.share(max(1, len(rows) - number if number else len(rows) // first))
        yield search


def best_offer(laid_out: LaidOut, first: str = "") -> Offer | None:
    """The best of all methods, or None; a method is looked at only as far as it could still be better.

    Best looked at first is a method that is likely to win, by its key; of equal ones the first of the wish wins.
    """
    asked = [one.key for one in laid_out.wanted.methods]
    best: Row | None = None
    rows = sorted(searches(laid_out), key=lambda one: one.chain.method.key != first)
    for one in _shared(laid_out, rows, 2):  # the others need only be worse
        most = IMPOSSIBLE
        if best:
            keys = (row.chain.method.key for row in (one, best[0]))
            most = best[1].points + (asked.index(next(keys)) < asked.index(next(keys)))
        search, found = _quickest(laid_out, one, most)
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


@dataclass(frozen=True)
class Settled:
    """One evening of a dough whose yeast is in it, in percent: only hours are left to choose, and asked for often."""

    wanted: Wanted  # its effort is what looking for hours may cost
    instant_percent: float

    @cached_property
    def _laid_out(self) -> LaidOut:
        return lay_out(self.wanted)

    def first_fitting(self, method: Method, looked: Sequence[tuple[float, bool]] = THOROUGH) -> int:
        """From which of these on the evening has hours for that dough, each one holding all before it; their number
        when none has."""

        def fits(one: tuple[float, bool]) -> bool:
            return self._begun_now(method, *one, any_will_do=True) is not None

        return bisect_left(looked, True, key=fits)

    def fitting(self, method: Method, times: float, short_proof: bool = False) -> Offer | None:
        """The best hours for a dough whose yeast is by so many times more or less than would suit them best.

        With `short_proof` its rise in the tray may be any part of the whole: where it is loaded is what counts.
        """
        found = self._begun_now(method, times, short_proof)
        return self._with_its_yeast(Timetable(*found).offer()) if found else None

    def _begun_now(self, method: Method, times: float, short_proof: bool, any_will_do: bool = False) -> Row | None:
        """None too when less is left in the purse than one may cost: what is found is found by any purse."""
        purse, effort = self.wanted.effort, Effort(ONE_OFFER_STEPS)
        if purse.left < ONE_OFFER_STEPS:
            purse.cut = True
            return None
        percent = self.instant_percent
        near = replace(self.wanted.dough, least_percent=percent / times, most_percent=percent * times)
        if short_proof:
            near = replace(near, proof_least=ANY_PROOF[0], proof_most=ANY_PROOF[1])
        search = self._laid_out.for_bounds(near, effort).search(method)
        begin = self.wanted.now // GRID_S
        found = search.best(lambda slot: slot == begin, any_will_do)
        purse.spend(READY + int(ONE_OFFER_STEPS - effort.left))
        return (search, found) if found else None

    def _with_its_yeast(self, offer: Offer) -> Offer:
        """The offer with the yeast that is in the dough: how far it then comes."""
        dough, percent = self.wanted.dough, self.instant_percent
        further = dough.warm_seconds(offer.instant_percent) / dough.warm_seconds(percent)
        return replace(
            offer, instant_percent=percent, pressed=offer.pressed * further,
            loaded=tuple(one * further for one in offer.loaded),
        )  # fmt: skip
