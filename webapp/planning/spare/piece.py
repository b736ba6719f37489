"""A piece of a dough that is mixed already, for another evening: a second supper, planned while the first is on.

It is the same dough: its yeast is in it and has worked since the mixing, wherever the bowl stood. It goes into the
fridge, and that other evening is planned backwards from its supper: out of the fridge, pressed out, proofed, baked.
What is settled is the past and the yeast, so only hours are chosen, and what comes of them is walked with the real past
by the same arithmetic as on the phone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import log
from typing import assert_never

from webapp.core.day.day import clock_text, date_text, instant_of, same_clock
from webapp.core.day.free_time import Day, PersonDay
from webapp.core.day.span import Span, minus, union
from webapp.core.formula.kept_way import ways_out
from webapp.core.formula.method import GRID_MIN, Method, MethodStep
from webapp.core.kinds import ChainKind, RestingPlace
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import KeptPart, Plan
from webapp.core.plan.retimed import timed_steps
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.candidates import OFF_TIMES, THOROUGH, Settled
from webapp.core.planner.effort import Effort
from webapp.core.planner.offer import Offer
from webapp.core.safety.cautions import LongBench
from webapp.kitchens.bakes import FollowedBake, stands_at
from webapp.kitchens.spare import Cut, cuts, known_of
from webapp.planning.full_plan import plan_of, too_long_out
from webapp.planning.kept_part import (
    LEAST_RISEN,
    LEAST_S,
    MOST_RISEN,
    MOST_S,
    fitting,
    from_the_fridge_on,
)
from webapp.planning.question import Ask, Booked, Stock, ask_of, wanted_of
from webapp.words.plan.kept_part import KEPT_METHOD

ROUGH = ((1.3, False), (OFF_TIMES[-1], True))  # of suppers that nobody asked for
LATER_S, MOST_DAYS = 3600, 5  # than the hour asked for; around it and around the first supper


@dataclass(frozen=True)
class Piece:
    """What is planned: of which bake, how it was asked for, what can be chosen and who has time."""

    stands: FollowedBake
    wish: Wish  # of the other evening
    kitchen: Kitchen
    stock: Stock
    busy: Booked
    now: int
    bake_id: str
    grams: float
    purse: Effort = field(default_factory=Effort)  # what looking for its hours may cost


@dataclass(frozen=True)
class PlannedPiece:
    """The plan of the piece, and what its journal begins with."""

    plan: Plan
    events: tuple[Event, ...]
    off: float  # how far it is from its best, in ln, when it is pressed and at every loading, in all


@dataclass(frozen=True)
class Unfit:
    """Why a piece does not fit an evening: its rise then, or how long it would be out of the fridge; else the hours."""

    flag: str = ""  # "young", "past" or "never"
    out: LongBench | None = None


def planned(piece: Piece, looked: Sequence[tuple[float, bool]] = THOROUGH) -> PlannedPiece | Unfit:
    """The best hours of that evening for the piece, cut off when that brings it nearest to its best; else why not.

    `looked`: within what factor of the yeast that suits it hours are looked for, one after the other, and whether its
    rise in the tray may be any part of the whole.
    """
    rows = [(way, way.other.first_fitting(way.method, looked)) for way in _ways(piece)]
    why = Unfit()
    for number, off in enumerate(looked):
        fit = [way for way, first in rows if number >= first]
        met = [(way, offer) for way in fit if (offer := fitting(way.other, way.method, *off))]
        judged = [_judged(piece, way, offer) for way, offer in met]
        good = [one for one in judged if isinstance(one, PlannedPiece)]
        if good:
            return min(good, key=lambda one: one.off)
        rows = [(way, first) for way, first in rows if way not in [one for one, _ in met]]
        why = next((one for one in (why, *judged) if isinstance(one, Unfit) and (one.flag or one.out)), why)
    return why


def within(piece: Piece) -> bool:
    """Is that supper one that the fridge keeps a piece for?"""
    supper = instant_of(piece.wish.supper_local, piece.kitchen.zone, piece.wish.supper_fold, "supper")
    cold = min((cut.cold_since for cut in cuts(piece.stands, piece.now)), default=piece.now)
    return supper - piece.now >= LEAST_S and supper - cold <= MOST_S


def nearest(piece: Piece) -> str:
    """The supper nearest to the one asked for at which it fits, as wall clock; "" when none of those tried does."""
    zone = piece.kitchen.zone
    asked = instant_of(piece.wish.supper_local, zone, piece.wish.supper_fold, "supper")
    for supper in sorted(_suppers(piece, asked), key=lambda one: abs(one - asked)):
        local = f"{date_text(supper, zone)}T{clock_text(supper, zone)}"
        other = replace(piece, wish=replace(piece.wish, supper_local=local, supper_fold=0))
        if within(other) and isinstance(planned(other, ROUGH), PlannedPiece):
            return local
    return ""


def _suppers(piece: Piece, asked: int) -> set[int]:
    """Those of the coming days at the hour asked for, somewhat later, and at the hour of the first supper."""
    zone, first = piece.kitchen.zone, piece.stands.plan.supper
    at = [(same_clock(zone, asked, n), same_clock(zone, first, n)) for n in range(-MOST_DAYS, MOST_DAYS + 1)]
    return {one for same, usual in at for one in (same, same + LATER_S, usual) if one != asked}


@dataclass(frozen=True)
class _Way:
    """One way to keep the piece: when it is cut off, what is done to it from then on."""

    cut: Cut
    ask: Ask
    other: Settled  # its evening, with the past behind it
    method: Method


def _ways(piece: Piece) -> Iterator[_Way]:
    making = piece.stands.plan.making
    for cut in cuts(piece.stands, piece.now) if making else ():
        rows, begin = _so_far(cut)
        ask = ask_of(piece.wish, piece.kitchen, begin * GRID_S, piece.stock, piece.busy)
        free = replace(ask, day=_free_until(ask.day, cut.at + 2 * GRID_S if cut.kind == "mix" else piece.now))
        wanted = replace(wanted_of(free), effort=piece.purse)
        other = Settled(wanted, making.instant_percent if making else 0.0)
        for then in ways_out(ask.batch.formula):
            cool = making is not None and making.asked_dough_c < ask.batch.formula.wanted_dough_c
            method = Method("kept", KEPT_METHOD, (*rows, *then), mixed_cool=cool)
            yield _Way(cut, ask, other, method)


def _judged(piece: Piece, way: _Way, offer: Offer) -> PlannedPiece | Unfit:
    if out := too_long_out(way.ask, offer):
        return Unfit(out=out)
    return _as_it_is(piece, way.cut, plan_of(replace(way.ask, now=piece.now), offer, piece.bake_id))


def _so_far(cut: Cut) -> tuple[tuple[MethodStep, ...], int]:
    """What happened to the dough until its piece is in the fridge, on the planner's grid, and the slot it begins at."""
    hands = max(1, round(cut.mixing_s / GRID_S))
    ended = round(cut.stays[0].at / GRID_S)
    begin = ended - hands
    rows = [MethodStep("mix", hands * GRID_MIN, place=cut.stays[0].place)]
    for kind, at in _went(cut):
        wait = max(0, at - ended)
        rows.append(MethodStep(kind, GRID_MIN, *(wait * GRID_MIN,) * 3))
        ended += wait + 1
    return tuple(rows), begin


def _went(cut: Cut) -> Iterator[tuple[ChainKind, int]]:
    """How it was moved, and at which slot somebody began to; the last is the piece alone, into the fridge."""
    for before, after in pairwise(cut.stays):
        yield _moved(before.place, after.place), round(after.at / GRID_S) - 1
    yield "chill", cut.at // GRID_S


def _moved(before: RestingPlace, after: RestingPlace) -> ChainKind:
    """What brings a dough from one place to the other."""
    match after:
        case "fridge":
            return "chill"
        case "warm":
            return "warm"
        case "bench":
            return "warm-out" if before == "warm" else "temper"
        case _:
            assert_never(after)


def _free_until(day: Day, until: int) -> Day:
    """The same day with free hands until then: what was done was done, and whoever asks is there."""
    past = Span(day.start, until)
    return replace(day, people=tuple(_free_in(one, past, day.end) for one in day.people))


def _free_in(one: PersonDay, past: Span, end: int) -> PersonDay:
    left = {kind: tuple(minus(spans, [past])) for kind, spans in one.taken.items()}
    return PersonDay(one.name, tuple(union([past, *one.free], Span(past.start, end))), **left)


def _as_it_is(piece: Piece, cut: Cut, made: Plan) -> PlannedPiece | Unfit:
    """The plan with the past that this dough really had; Unfit when it is young or past its best then."""
    first = piece.stands.plan
    kept = KeptPart(piece.grams, first.supper, mixed_here=False, at=cut.kind, spare=True)
    rise = replace(made.rise, mixed_at=cut.stays[0].at, dough_c=first.rise.dough_c)
    plan = replace(
        made, steps=from_the_fridge_on(made), rise=rise, kept=kept, vigour_ln_mean=piece.kitchen.vigour_ln_mean
    )
    events = known_of(piece.stands, cut, piece.bake_id, piece.now)
    told = stands_at(plan, events, piece.now).retimed
    marked = [(step.mark, timed) for step, timed in timed_steps(plan, told) if step.mark]
    flags = [timed.flag for _, timed in marked if timed.flag in ("young", "past", "never")]
    for mark, timed in marked[1:]:  # at the oven
        if not LEAST_RISEN <= timed.progress / mark.best <= MOST_RISEN:
            flags.append("past" if timed.progress > mark.best else "young")
    if flags:
        return Unfit(flags[0])
    return PlannedPiece(plan, events, sum(abs(log(timed.progress / mark.best)) for mark, timed in marked))
