"""The dough on its way, minute by minute. Twin of static/js/now/walk.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Instants are whole
UTC seconds, heat is in degrees Celsius. Each minute the dough closes a share of the gap to its surroundings, and its
progress grows by the rate that the plan's table gives for its temperature; in the oven and after it stands still. A
dough that is as warm as its surroundings is walked in strides of ten minutes, so that three days take no time. The
progress here is by the plan's own rates, with the yeast that is really in it; how much quicker this dough is,
`estimate.py` says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from webapp.core.kinds import BAKED_PLACES, Place, StepVessel
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan, rate_at, room_at, room_path, share_of
from webapp.core.plan.state import State

MINUTE_S = 60
STRIDE_S = 600  # of a dough at rest
FORGOTTEN_S = 10 * 86400  # after mixing: no bake takes so long, and a dough forgotten for a year is walked day by day
DAY_S = 86400
REST_C = 0.05  # as warm as its surroundings: the rate is right to 0.5 %
HORIZON_S = 2 * 86400  # a rise that is not there two days after its time is never there
FRESH_S = 3600  # a thermometer read so long before the mixing counts as done was in this dough already
SHORT_S = 1800  # so far it is quicker to walk than to look for a path


@dataclass
class Dough:
    """Where the dough is and what it has done so far."""

    plan: Plan
    state: State
    room: Sequence[RoomSpan]
    at: int
    temp_c: float
    place: Place = "bench"
    vessel: StepVessel = "bowl"
    share: float = 0.0  # of the gap to its surroundings, per minute
    base: float = 0.0  # progress by the plan's own rates
    mixed_at: int = 0
    lit_at: int = 0  # the oven is lit then, and no warm spot any more; 0 = never, or the warm spot is none of its
    move: int = 0  # next entry of state.moves
    felt: int = 0  # next entry of state.doughs
    held: bool = False  # as warm as it was felt until it is felt again, or put elsewhere


def mixed_dough(plan: Plan, state: State, at: int, lit_at: int) -> Dough:
    """The dough as it leaves the mixing; what happened to the bowl before that counts no more."""
    room = room_path(plan.rise.room, state.rooms)
    dough = Dough(plan, state, room, at, plan.rise.dough_c, mixed_at=at, lit_at=lit_at)
    while dough.move < len(state.moves) and state.moves[dough.move].at < at:
        dough.move += 1
    while dough.felt < len(state.doughs) and state.doughs[dough.felt].start <= at:
        if state.doughs[dough.felt].start >= at - FRESH_S:
            dough.temp_c = state.doughs[dough.felt].temp_c
            dough.held = state.doughs[dough.felt].held
        dough.felt += 1
    put(dough, "bench", "bowl")
    return dough


def put(dough: Dough, place: Place, vessel: StepVessel) -> None:
    """Into this place in this vessel, from now on; a lit oven is no warm spot."""
    dough.held = dough.held and place == dough.place
    dough.place = "bench" if place == "warm" and too_hot(dough) else place
    dough.vessel = vessel
    dough.share = share_of(dough.plan.rise, vessel, dough.place)


def too_hot(dough: Dough) -> bool:
    """Is the warm spot an oven that is lit by now?"""
    return dough.lit_at != 0 and dough.at >= dough.lit_at


def baked(dough: Dough) -> bool:
    """In the oven or out of it: nothing rises any more."""
    return dough.place in BAKED_PLACES


def surroundings_c(dough: Dough) -> float:
    """What the dough stands in."""
    if dough.place == "fridge":
        return dough.plan.rise.fridge_c
    if dough.place == "warm":
        return dough.plan.rise.warm_c
    return room_at(dough.room, dough.at)


def follow_journal(dough: Dough) -> None:
    """Take in the moves and the readings of the thermometer that have happened by now."""
    moves = dough.state.moves
    while dough.move < len(moves) and moves[dough.move].at <= dough.at:
        put(dough, moves[dough.move].place, dough.vessel)
        dough.move += 1
    doughs = dough.state.doughs
    while dough.felt < len(doughs) and doughs[dough.felt].start <= dough.at:
        dough.temp_c = doughs[dough.felt].temp_c
        dough.held = doughs[dough.felt].held
        dough.felt += 1


def stride(dough: Dough) -> int:
    """How far a dough at rest goes at once, in seconds."""
    return STRIDE_S if dough.at - dough.mixed_at < FORGOTTEN_S else DAY_S


def next_stop(dough: Dough, gap_c: float, until: int) -> int:
    """A minute on, at rest a stride; less when a move, a reading, another room or `until` comes first."""
    stop = dough.at + (stride(dough) if -REST_C < gap_c < REST_C else MINUTE_S)
    if until < stop:
        stop = until
    if dough.move < len(dough.state.moves) and dough.state.moves[dough.move].at < stop:
        stop = dough.state.moves[dough.move].at
    if dough.place == "warm" and dough.at < dough.lit_at < stop:
        stop = dough.lit_at
    if dough.felt < len(dough.state.doughs) and dough.state.doughs[dough.felt].start < stop:
        stop = dough.state.doughs[dough.felt].start
    for span in dough.room:
        if dough.at < span.start < stop:
            stop = span.start
    return stop


def go_on(dough: Dough, until: int) -> None:
    """One minute or stride on, or less, out of an oven that is lit; a dough that is baked only gets older."""
    if baked(dough):
        dough.at = until
        return
    if dough.place == "warm" and too_hot(dough):
        put(dough, "bench", dough.vessel)
    gap_c = 0.0 if dough.held else surroundings_c(dough) - dough.temp_c
    stop = next_stop(dough, gap_c, until)
    span = stop - dough.at
    dough.base += rate_at(dough.plan.rise.table, dough.temp_c) * dough.state.pace * span
    dough.temp_c += gap_c if span > MINUTE_S else gap_c * dough.share * (span / MINUTE_S)
    dough.at = stop
    follow_journal(dough)


def go_along(paths: list[list[Dough]] | None, dough: Dough, until: int) -> None:
    """As `go_on`, and as far as nothing from outside changes the dough.

    Many futures begin alike: of ground that was walked before it takes what was found there, to the last bit. `paths`
    keeps those walks, each from where it began, of one journal's room and readings; None keeps none.
    """
    if paths is None or until - dough.at <= SHORT_S or baked(dough):
        go_on(dough, until)
        return
    if dough.place == "warm" and too_hot(dough):
        put(dough, "bench", dough.vessel)
    end = next_change(dough, until)
    path = path_of(paths, dough, end)
    i = len(path) - 1
    while path[i].at > end:
        i -= 1
    dough.at = path[i].at
    dough.temp_c = path[i].temp_c
    dough.base = path[i].base
    dough.felt = path[i].felt
    dough.held = path[i].held
    if dough.at < end:
        go_on(dough, end)
    follow_journal(dough)


def next_change(dough: Dough, until: int) -> int:
    """When it is moved next, or its warm spot is lit; `until` when nothing comes before that."""
    moves = dough.state.moves
    out = moves[dough.move].at if dough.move < len(moves) and moves[dough.move].at < until else until
    if dough.place == "warm" and dough.at < dough.lit_at < out:
        out = dough.lit_at
    return out


def path_of(paths: list[list[Dough]], dough: Dough, end: int) -> list[Dough]:
    """The dough at each of its stops, were it left where it is for good: as far as `end`, or further."""
    path = None
    for one in paths:
        if same_dough(one[0], dough):
            path = one
    if path is None:
        path = [replace(dough, state=replace(dough.state, moves=()), move=0, lit_at=0)]
        paths.append(path)
    while path[-1].at < end:
        following = replace(path[-1])
        go_on(following, following.at + DAY_S)
        path.append(following)
    return path


def same_dough(a: Dough, b: Dough) -> bool:
    """Do these two go on alike, left alone?"""
    here = a.at == b.at and a.place == b.place and a.vessel == b.vessel and a.held == b.held
    return here and a.temp_c == b.temp_c and a.base == b.base


def reach(probe: Dough, base: float, last: int) -> int:
    """Walk on to so much progress by the plan's rates: the second in which it is there, 0 when not by `last`."""
    while probe.base < base:
        if baked(probe) or probe.at > last:
            return 0
        begun_at = probe.at
        before = probe.base
        go_on(probe, probe.at + stride(probe))
        if probe.base >= base:
            return begun_at + int((base - before) / (probe.base - before) * (probe.at - begun_at))
    return probe.at
