"""From a bake to the bake of a piece of its dough: what can be asked, and both bakes written down together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from webapp.core.day.day import instant_of
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import KeptPart
from webapp.core.plan.tray import Pan
from webapp.core.planner.effort import HALVES_STEPS, NEAR_HALVES_STEPS, Effort
from webapp.core.safety.cautions import is_for_the_bin
from webapp.core.scale import pans
from webapp.core.units import mass_text
from webapp.forms.pans import pan_size
from webapp.kitchens import bakes, spare
from webapp.kitchens.bakes import FollowedBake
from webapp.kitchens.mixed import other_half
from webapp.planning.asked import wish_followed
from webapp.planning.evenings import busy_of
from webapp.planning.spare.piece import Piece, PlannedPiece, Unfit, nearest, planned, within
from webapp.records import to_plain
from webapp.store.store import Store
from webapp.words.kinds.pans import ON_TRAY, on_tray
from webapp.words.problems import kept as said
from webapp.words.problems.refusal import long_bench
from webapp.words.problems.told import Told, in_words, refused, told
from webapp.words.times import day_clock

LEAST_G, MOST_SHARE = 80.0, 0.75  # a piece that is worth an oven; what is left is still a supper (common sense)
# A pan takes a piece that lies in it not much thinner or thicker than this dough usually does.
LEAST_LOADING, MOST_LOADING = 0.75, 1.35
LEAST_ACROSS_CM = 10.0

_WHY = {
    "": said.NO_ROOM,
    "young": said.HARDLY_RISEN,
    "never": said.HARDLY_RISEN,
    "past": said.PAST_ITS_BEST,
    "far": said.OUT_OF_REACH,
}


@dataclass(frozen=True)
class PieceAsked:
    """How much is cut off, for which supper (wall clock), baked in what."""

    grams: float
    supper_local: str
    pan: Pan


class NoEvening(PlanError):  # noqa: N818 - a plain statement, like NotHere
    """The piece does not fit the evening asked for; `nearest` is one that it does, "" when there is none."""

    def __init__(self, problem: Told, near: str) -> None:
        super().__init__(problem)
        self.nearest = near


def cut_off(store: Store, now: int, kitchen_id: str, bake_id: str, asked: PieceAsked) -> str:
    """Make a bake of the piece, and tell the one whose dough it is; the id of the new bake, the same when asked twice.

    Raises PlanError at "grams" or "supper", with the nearest evening that would do.
    """
    other_id = other_half(bake_id)
    stands = bakes.followed_bake(store, now, kitchen_id, bake_id)
    if stands.plan.kept is not None and other_is_on(store, kitchen_id, bake_id):
        return other_id
    piece = _piece(store, now, kitchen_id, stands, asked)
    found = _fits(piece)
    kept = replace(found.plan.kept or KeptPart(asked.grams, 0, True), supper=found.plan.supper, mixed_here=True)
    with store.transaction():
        # Wished for before the bake that it comes of: the next one is asked for as that was.
        wished_at = bakes.bake(store, kitchen_id, bake_id).made_at - 1
        store.put_offers(kitchen_id, other_id, to_plain(piece.wish), [], wished_at)
        store.add_plan(kitchen_id, other_id, to_plain(replace(found.plan, revision=store.revision(other_id) + 1)), now)
        bakes.add_to_journal(store, now, kitchen_id, other_id, found.events)
        spare.told_of(store, now, kitchen_id, stands, kept)
    return other_id


def other_is_on(store: Store, kitchen_id: str, bake_id: str) -> bool:
    """Is there a bake of the other part of this dough that was not given up?"""
    row = store.bake(kitchen_id, other_half(bake_id))
    return row is not None and row.dropped_at is None


def _piece(store: Store, now: int, kitchen_id: str, stands: FollowedBake, asked: PieceAsked) -> Piece:
    plan = stands.plan
    _check(stands, now, asked.grams, other_is_on(store, kitchen_id, plan.bake_id))
    stock, busy = busy_of(store, now, kitchen_id, plan.bake_id)
    kitchen = bakes.kitchen_of(store, kitchen_id)
    seen = replace(
        kitchen,
        vigour_ln_mean=plan.vigour_ln_mean + stands.retimed.ln_mean,
        vigour_ln_sd=min(kitchen.vigour_ln_sd, stands.retimed.ln_sd),
    )
    wish = wish_followed(store, kitchen_id, bakes.bake(store, kitchen_id, plan.bake_id), kitchen)
    other = replace(
        wish, supper_local=asked.supper_local, supper_fold=None, pans=(asked.pan,), method_key="", start_local="",
        loading_g_cm2=asked.grams / asked.pan.area_cm2, loss_percent=0.0, away_today=None, away_person=0, at_once=0,
        else_from_min=None, as_they_come=False, kept_local="",
    )  # fmt: skip
    return Piece(stands, other, seen, stock, busy, now, other_half(plan.bake_id), asked.grams, Effort(HALVES_STEPS))


def _check(stands: FollowedBake, now: int, grams: float, parted: bool) -> None:
    """PlanError for a dough of which nothing can be cut off, or not so much."""
    if why := why_not(stands, now, parted):
        raise PlanError(told("grams", why, said.DO_PLAN_ANOTHER))
    unit = stands.plan.making.mass_unit if stands.plan.making else "g"
    most = MOST_SHARE * spare.in_bowl(stands)[0]
    if not LEAST_G <= grams <= most:
        raise refused("grams", *said.no_piece(mass_text(LEAST_G, unit), mass_text(most, unit)))


def why_not(stands: FollowedBake, now: int, parted: bool) -> str:
    """Why nothing of this dough can be planned for another evening, as a sentence; "" when something can.

    `parted`: there is a bake of the other part of it.
    """
    plan = stands.plan
    if plan.kept is not None and (parted or not plan.kept.spare or not plan.kept.mixed_here):
        return said.TWO_SUPPERS
    if plan.making is None:
        return said.OLD_PLAN
    if is_for_the_bin(plan, stands.retimed, stands.state, now):
        return said.FOR_THE_BIN
    return "" if spare.cuts(stands, now) else said.NOT_IN_HAND


def _fits(piece: Piece) -> PlannedPiece:
    """Where it fits; PlanError saying why it does not, and which evening is nearest."""
    found = planned(piece) if within(piece) else Unfit("far")
    if isinstance(found, PlannedPiece):
        return found
    piece.purse.allow(NEAR_HALVES_STEPS)
    near = nearest(piece)
    zone, clock = piece.kitchen.zone, piece.kitchen.clock
    other = day_clock(instant_of(near, zone, 0), zone, clock, piece.now) if near else ""
    raise NoEvening(told("supper", _why(found), said.would_do(other) if near else said.DO_BAKE_WITH_REST), near)


def _why(found: Unfit) -> str:
    if found.out:
        return in_words(long_bench(found.out)).message
    return _WHY[found.flag]


def chosen_pan(key: str, grams: float, loading: float, kitchen: Kitchen) -> Pan:
    """What the piece is baked in, by its key; where none is named, what it fits best.

    PlanError at "pan" for a pan of the kitchen that so much does not fit: nothing else is taken in its place unasked.
    """
    fit = pans_for(grams, loading, kitchen)
    other = next((pan for pan in kitchen.pans if pan.key == key and key not in [one.key for one in fit]), None)
    if other is not None:
        least, most = (
            mass_text(step(share * loading * other.area_cm2), kitchen.mass_unit)
            for share, step in ((LEAST_LOADING, math.ceil), (MOST_LOADING, math.floor))
        )
        raise refused("pan", *said.not_in_that_pan(other.name, least, most, fit[-1].name))
    return next((pan for pan in fit if pan.key == key), fit[0])


def pans_for(grams: float, loading: float, kitchen: Kitchen) -> tuple[Pan, ...]:
    """What a piece can be baked in: pans of the kitchen that it fills about as usual, and none, shaped by hand.

    The one that it fills most nearly as usual (`loading`, g/cm2) stands first.
    """
    fits = [one for one in kitchen.pans if LEAST_LOADING <= grams / one.area_cm2 / loading <= MOST_LOADING]
    by_fit = sorted(fits, key=lambda one: abs(grams / one.area_cm2 / loading - 1.0))
    across = max(LEAST_ACROSS_CM, round(2.0 * (grams / loading / math.pi) ** 0.5))
    hand = pans.pan("by-hand", "", "round", across)
    shaped = replace(hand, name=on_tray(pan_size(hand, kitchen)), called=ON_TRAY)
    return (*(replace(one, count=1) for one in by_fit), shaped)
