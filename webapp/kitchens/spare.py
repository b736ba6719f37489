"""Dough to spare: how much of a dough its pan does not take, when it can be cut off, where it stood until then."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from webapp.core.kinds import RESTING_PLACES, EventKind, StepKind
from webapp.core.now.journal import dough_of
from webapp.core.now.marked import place_after
from webapp.core.plan.event import Event
from webapp.core.plan.plan import KeptPart, Plan
from webapp.core.plan.retimed import timed_steps
from webapp.core.plan.rise import Felt
from webapp.core.plan.state import Moved, State
from webapp.core.plan.steps import GRID_S
from webapp.core.scale.as_made import cut_off_g
from webapp.core.scale.mending import mended
from webapp.core.scale.weighing import total_g
from webapp.kitchens.bakes import FollowedBake, add_to_journal
from webapp.records import to_plain
from webapp.store.store import Store

LEAST_OVER = 0.02  # of what a pan takes: nobody sees less on a tray
_SOON_S = 600  # a step this near is the one that is at hand: nothing is cut off twice in ten minutes


@dataclass(frozen=True)
class Cut:
    """When a piece can be cut off, at which step ("mix": now, on the bench), and where its dough stood until then."""

    at: int
    kind: StepKind
    stays: tuple[Moved, ...]  # from the end of mixing on, each place once
    mixing_s: int  # hands at the mixing

    @property
    def cold_since(self) -> int:
        """Since when the piece is in the fridge: with its dough already, or from the cutting on."""
        return self.stays[-1].at if self.stays[-1].place == "fridge" else self.at


def in_bowl(stands: FollowedBake) -> tuple[float, float]:
    """Grams of dough that were mixed, for whatever pan was said and after what was poured, and how many of them are
    more than that pan takes."""
    return _in_bowl(stands.plan, stands.state)


def over_the_pan_g(plan: Plan, state: State) -> float:
    """Grams that are to be cut off before this dough is pressed out; 0 where its pan takes all, where all is said to go
    in, and where a piece was cut off for another supper. As `drawPanNote` in static/js/step/weigh_list.js."""
    mixed_g, over_g = _in_bowl(plan, state)
    left_g = over_g - cut_off_g(plan)
    return left_g if not state.tray_times and left_g >= LEAST_OVER * (mixed_g - over_g) else 0.0


def _in_bowl(plan: Plan, state: State) -> tuple[float, float]:
    floor = sum(pan.area_cm2 * pan.count for pan in plan.pans)
    mixed, pan = (area / floor if area and floor else 1.0 for area in (state.mixed_cm2, state.area_cm2))
    other = next((one.lines for one in plan.other_yeasts if one.kind == state.yeast), plan.lines)
    wanted = [replace(line, grams=line.grams * mixed, weigh_g=line.weigh_g * mixed) for line in other]
    poured = {one.line: one.grams for one in state.poured}
    kept = [one.line for one in state.poured if one.kept]
    now = mended(wanted, poured, plan.scale_step_g or 1.0, kept)
    return now.dough_g, max(0.0, now.dough_g - total_g(wanted) * pan / mixed)


def cuts(stands: FollowedBake, now: int) -> tuple[Cut, ...]:
    """When a piece can still be cut off: now, or, of a dough outside the fridge, as it is next in hand; () before it is
    mixed and once a tray is in the oven."""
    if _is_loaded(stands) or not _mixed_at(stands):
        return ()
    soon = max(now, _mixed_at(stands))  # a phone's clock may be ahead of ours
    here = Cut(-(-soon // GRID_S) * GRID_S, "mix", _stays(stands, soon), _mixing_s(stands.plan))
    return (here,) if here.stays[-1].place == "fridge" else (here, *_in_hand(stands, here.at + _SOON_S))


def _in_hand(stands: FollowedBake, after: int) -> Iterator[Cut]:
    """The next step at which it goes into the fridge or is pressed out."""
    for step, timed in timed_steps(stands.plan, stands.retimed):
        if step.kind in ("chill", "press") and timed.status == "open" and timed.start >= after:
            at = -(-timed.start // GRID_S) * GRID_S
            yield Cut(at, step.kind, _stays(stands, at - 1), _mixing_s(stands.plan))
            return


def _is_loaded(stands: FollowedBake) -> bool:
    rows = timed_steps(stands.plan, stands.retimed)
    return any(step.kind == "load" and timed.status != "open" for step, timed in rows)


def _mixed_at(stands: FollowedBake) -> int:
    """When the dough was mixed, 0 when it is not: of a preferment alone nothing is cut off."""
    rows = timed_steps(stands.plan, stands.retimed)
    return max((timed.end for step, timed in rows if step.kind == "mix" and timed.status != "open"), default=0)


def _stays(stands: FollowedBake, until: int) -> tuple[Moved, ...]:
    """Where the dough stood since when, from the end of mixing: by its steps, and by what was said of it."""
    since = _mixed_at(stands)
    moves = [move for move in (*_by_steps(stands), *stands.state.moves) if since <= move.at <= until]
    out: list[Moved] = []
    for move in sorted(moves, key=lambda one: one.at):
        if not out or move.place != out[-1].place:
            out.append(move)
    return tuple(out)


def _by_steps(stands: FollowedBake) -> Iterator[Moved]:
    for step, timed in timed_steps(stands.plan, stands.retimed):
        place = place_after(step, stands.state.way, None if timed.status == "open" else timed.end)
        for resting in RESTING_PLACES:
            if step.chain and place == resting:
                yield Moved(timed.end, resting)


def _mixing_s(plan: Plan) -> int:
    return next((step.end - step.start for step in plan.steps if step.kind == "mix"), 0)


def told_of(store: Store, now: int, kitchen_id: str, stands: FollowedBake, kept: KeptPart) -> None:
    """The bake whose dough it is learns of it: its plan says where that is cut off, its tray holds what is left."""
    plan = stands.plan
    mixed_g, over_g = in_bowl(stands)
    tray = {"times": round((mixed_g - kept.grams) / (mixed_g - over_g), 3)}
    logged_at = max([now, *(event.logged_at + 1 for event in stands.events)])
    line = Event(_id(plan.bake_id, now, 0), plan.bake_id, now, logged_at, "server", "tray", dict(tray), dough_of(plan))
    again = replace(plan, revision=store.revision(plan.bake_id) + 1, dough_of=dough_of(plan), kept=kept)
    store.add_plan(kitchen_id, plan.bake_id, to_plain(again), now)
    add_to_journal(store, now, kitchen_id, plan.bake_id, [line])


def known_of(stands: FollowedBake, cut: Cut, bake_id: str, now: int) -> tuple[Event, ...]:
    """What the journal of the piece begins with: where its dough stood, how warm that and the kitchen were read."""
    state, first = stands.state, cut.stays[0]
    facts: list[tuple[int, EventKind, Mapping[str, object]]] = [
        *((one.at, "moved", {"place": one.place}) for one in cut.stays if one != first or one.place != "bench"),
        *_as_read("room", state.rooms),
        *_as_read("dough", state.doughs),
    ]
    return tuple(
        Event(_id(bake_id, now, n), bake_id, at, now, "server", kind, dict(data))
        for n, (at, kind, data) in enumerate(facts, 1)
    )


def _as_read(kind: EventKind, read: Sequence[Felt]) -> Iterator[tuple[int, EventKind, dict[str, object]]]:
    since = 0
    for one in read:
        if not one.held:
            yield one.start, kind, {"temp_c": one.temp_c, **({"since": since} if since else {})}
        since = one.start if one.held else 0


def _id(bake_id: str, now: int, number: int) -> str:
    # 128 bits in hex, as journal ids are wherever they are made.
    return hashlib.sha256(f"{bake_id} {now} {number}".encode()).hexdigest()[:32]
