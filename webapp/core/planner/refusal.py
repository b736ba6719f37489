"""Nothing fits: the wish that is in the way, and the nearest plans that would work; said in words/problems/refusal.py.

Every question is put to the same search with one wish changed, so no answer is a guess. Giving more room (a later
supper, an earlier homecoming) never makes a possible day impossible; so the smallest change is found by doubling it
until there is a day, and halving from there.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace

from webapp.core.day.day import same_clock
from webapp.core.day.free_time import Day
from webapp.core.day.span import Span, minus, union
from webapp.core.formula.method import Method
from webapp.core.kinds import BUSY_KINDS, BusyKind, HindranceKind
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.candidates import LaidOut, best_offer, lay_out, methods_that_fit, not_for_this_dough
from webapp.core.planner.effort import NEARER_STEPS, NEAREST_STEPS, ONE_OFFER_STEPS, REASONS_MOST, REASONS_STEPS
from webapp.core.planner.loads import COOL_LEAST_S
from webapp.core.planner.offer import Hindrance, InTheWay, Nearest, Offer, Wanted

MOST_LATER_S = 6 * 3600
MOST_EARLIER_S = 8 * 3600
OTHER_METHOD_S = 1800  # taking another method asks as much of a person as eating or being home so much off their hours
_NO_LIMIT = 1e-9, 1e3


def in_the_way(
    wanted: Wanted, fitting: Iterable[str], laid_out: LaidOut, thorough: bool, most: float = REASONS_MOST
) -> Iterator[InTheWay]:
    """Why each method that does not fit does not; `thorough` also finds out which hours are to blame.

    All that it looks for costs `most` steps, a second look at the yeast aside.
    """
    fits = set(fitting)
    hindered = [method for method in wanted.methods if method.key not in fits]
    each = min(REASONS_STEPS, most / max(1, len(hindered)))
    otherwise = _Otherwise(wanted)
    for method in hindered:
        wanted.effort.allow(each)
        why = (
            not_for_this_dough(method, wanted)
            or _oven_in_the_way(laid_out)
            or _too_soon(method, wanted)
            or _too_warm(method, otherwise)
            or (_hours_in_the_way(method, otherwise, each) if thorough else Hindrance("hours"))
        )
        yield InTheWay(method.key, method.name, why)


class _Otherwise:
    """The same wish, were one thing of it otherwise: laid out once for all methods that do not fit."""

    def __init__(self, wanted: Wanted) -> None:
        self.wanted = wanted
        self._laid_out: dict[str, LaidOut] = {}

    def fits(self, method: Method, what: str, changed: Callable[[], Wanted]) -> bool:
        """Would the method fit, were `what` as it is in `changed`?"""
        if what not in self._laid_out:
            self._laid_out[what] = lay_out(changed())
        return bool(methods_that_fit(self._laid_out[what].of((method,))))


def _oven_in_the_way(laid_out: LaidOut) -> Hindrance | None:
    wanted, loads = laid_out.wanted, laid_out.loads
    if loads.times:
        return None
    oven_s = wanted.baking.preheat_min * 60 + loads.served_s
    left = wanted.supper - wanted.now
    if left < oven_s + COOL_LEAST_S:
        return Hindrance("oven-too-long", needs_s=oven_s, left_s=left)
    until = wanted.supper - COOL_LEAST_S
    lit, out = until - oven_s, until + loads.bake_s - loads.served_s
    taken = any(span.meets(Span(lit, out)) for span in wanted.oven_taken)
    kind: HindranceKind = "oven-taken" if taken else "oven-alone"
    return Hindrance(kind, start=lit, end=out)


def _too_soon(method: Method, wanted: Wanted) -> Hindrance | None:
    least = shortest_s(method, wanted)
    left = wanted.supper - wanted.now
    if least <= left:
        return None
    return Hindrance("too-long", needs_s=least, left_s=left)


def _too_warm(method: Method, otherwise: _Otherwise) -> Hindrance | None:
    """Would it fit if a dough never aged?"""
    wanted = otherwise.wanted
    warmest = max(span.temp_c for span in wanted.day.room)
    share = wanted.dough.ageing(warmest)
    if not share:
        return None
    ageless = replace(wanted.dough, ageing=lambda _: 0.0)
    if not otherwise.fits(method, "ageing", lambda: replace(wanted, dough=ageless)):
        return None
    return Hindrance("too-warm", temp_c=warmest, keeps_s=int(1.0 / share))


def shortest_s(method: Method, wanted: Wanted) -> int:
    """Seconds from the first step to supper with every wait at its least."""
    moves = [s for s in method.steps if s.moves]
    chain = sum(s.wait_least_min for s in moves) + sum(s.hands for s in moves[:-1])
    return chain * 60 + wanted.baking.lift_min * 60 + GRID_S


def _hours_in_the_way(method: Method, otherwise: _Otherwise, most: float) -> Hindrance:
    wanted = otherwise.wanted

    def fits_without(kinds: tuple[BusyKind, ...]) -> bool:
        day = _day_without(wanted.day, kinds)
        return otherwise.fits(method, " ".join(kinds), lambda: replace(wanted, day=day))

    if _day_without(wanted.day, BUSY_KINDS) != wanted.day and fits_without(BUSY_KINDS):
        for kind in BUSY_KINDS:
            if fits_without((kind,)):
                return Hindrance("busy-hours", busy=(kind,))
        return Hindrance("busy-hours", busy=BUSY_KINDS)
    wanted.effort.allow(min(ONE_OFFER_STEPS, most))
    dough = replace(wanted.dough, least_percent=_NO_LIMIT[0], most_percent=_NO_LIMIT[1])
    if otherwise.fits(method, "yeast", lambda: replace(wanted, dough=dough)):
        limits = wanted.dough.least_percent, wanted.dough.most_percent
        return Hindrance("yeast", least_percent=limits[0], most_percent=limits[1])
    return Hindrance("waits")


def _day_without(day: Day, kinds: Collection[BusyKind]) -> Day:
    """The same day, were nobody ever one of these."""
    return replace(day, people=tuple(p.without(kinds, Span(day.start, day.end)) for p in day.people))


# --- the nearest plans --------------------------------------------------------------------------------------------


def nearest(laid_out: LaidOut) -> Iterator[Nearest]:
    """Plans that would work with one wish changed: later, home earlier, another method; the same time tomorrow.

    What asks least of the person comes first: a day that keeps their hours stands before a supper hours later.
    """
    wanted = laid_out.wanted
    found: list[Nearest] = []
    for kind in (_eat_later, _home_earlier, _other_methods):
        wanted.effort.allow(NEAREST_STEPS)
        found += kind(laid_out)
    if not found:
        wanted.effort.allow(ONE_OFFER_STEPS)
        found += _another_day(laid_out)
    yield from sorted(found, key=lambda one: _asks_s(wanted, one))


def _asks_s(wanted: Wanted, one: Nearest) -> int:
    """How far from the wish it is, in seconds of the person's day."""
    if one.kind == "home-earlier":
        last = [span.end for span in wanted.day.people[one.person].away if span.start < wanted.supper]
        return max(last) - one.home_by
    return one.supper - wanted.supper if one.supper else OTHER_METHOD_S


def _eat_later(laid_out: LaidOut) -> Iterator[Nearest]:
    wanted = laid_out.wanted

    def at(steps: int) -> LaidOut:
        return laid_out.for_supper(wanted.supper + steps * GRID_S, wanted.effort, wanted.supper)

    most = min(MOST_LATER_S, wanted.day.end - wanted.supper) // GRID_S
    found = _smallest(at, most)
    if found:
        steps, offer = found
        later = steps * GRID_S
        yield Nearest("eat-later", offer, supper=wanted.supper + later, method=offer.method)


def _home_earlier(laid_out: LaidOut) -> Iterator[Nearest]:
    wanted = laid_out.wanted
    day, people = wanted.day, wanted.day.people
    best: tuple[int, Offer, int, int] | None = None
    for number, person in enumerate(people):
        spans = [s for s in person.away if wanted.now < s.end and s.start < wanted.supper]
        if not spans:
            continue
        last = spans[-1]

        def at(steps: int, number: int = number, last: Span = last) -> LaidOut:
            return lay_out(replace(wanted, day=_home_by(day, number, last, last.end - steps * GRID_S)))

        most = min(MOST_EARLIER_S, last.end - max(last.start, wanted.now)) // GRID_S
        if best:
            most = min(most, best[0] - 1)
        found = _smallest(at, most)
        if found:
            best = (*found, last.end - found[0] * GRID_S, number)
    if best:
        _, offer, by, number = best
        yield Nearest("home-earlier", offer, home_by=by, method=offer.method, person=number)


def _home_by(day: Day, number: int, last: Span, by: int) -> Day:
    whole = Span(day.start, day.end)
    person = day.people[number]
    away = tuple(Span(s.start, by) if s == last else s for s in person.away if s != last or by > s.start)
    gained = minus([Span(by, last.end)], union((*person.asleep, *person.busy), whole))
    free = tuple(union((*person.free, *gained), whole))
    changed = replace(person, free=free, away=away)
    return replace(day, people=(*day.people[:number], changed, *day.people[number + 1 :]))


def _other_methods(laid_out: LaidOut) -> Iterator[Nearest]:
    wanted = laid_out.wanted
    asked = {m.key for m in wanted.methods}
    others = tuple(m for m in wanted.other_methods if m.key not in asked)
    offer = best_offer(laid_out.of(others)) if others else None
    if offer:
        method = next(m for m in others if m.key == offer.method)
        fridge = "fridge" in method.uses
        yield Nearest("use-fridge" if fridge else "other-method", offer, method=method.key)


def _another_day(laid_out: LaidOut) -> Iterator[Nearest]:
    wanted, day = laid_out.wanted, laid_out.wanted.day
    supper = same_clock(day.zone, wanted.supper, 1)
    window = wanted.supper - wanted.supper_from if wanted.supper_from is not None else None
    if supper + 3600 > day.end:
        return
    moved = laid_out.for_supper(supper, wanted.effort, None if window is None else supper - window)
    offer = best_offer(moved)
    if offer:
        yield Nearest("another-day", offer, supper=supper, method=offer.method)


def _smallest(changed: Callable[[int], LaidOut], most: int) -> tuple[int, Offer] | None:
    """The smallest change, 1..most steps, with a day in it; what fits with less of a change fits with more too.

    Looked for from the smallest change on, doubled until there is a day, and halved from there: the room of hours
    would cost the effort that the next five minutes need.
    """
    methods: tuple[Method, ...] = ()
    low, high = 0, 0
    while not methods and high < most:
        low, high = high, min(max(1, 2 * high), most)
        methods = _with_a_day(changed(high))
    if not methods:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        found = _with_a_day(changed(middle).of(methods))
        if found:
            high, methods = middle, found
        else:
            low = middle
    there = changed(high).of(methods)
    there.wanted.effort.allow(ONE_OFFER_STEPS)
    offer = best_offer(there)
    return (high, offer) if offer else None


def _with_a_day(laid_out: LaidOut) -> tuple[Method, ...]:
    laid_out.wanted.effort.allow(NEARER_STEPS)
    return methods_that_fit(laid_out)
