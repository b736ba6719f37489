"""How long what is perishable is out of the fridge, by the times things really had. Twin of
static/js/now/fridge_clock.js: change both or neither.

Limits: 2 h, or 1 h above 32 C (USDA FSIS, "danger zone" of 40-140 F). A dough with milk or egg keeps to the same, all
its time out of the fridge together (common practice). What lies on a topped tray is where the tray is: it cannot go
back into the fridge without it, as what is still in its bowl can.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from webapp.core.kinds import Status, StepKind
from webapp.core.now.along import in_plan_order
from webapp.core.now.chain import Timed, time_chain
from webapp.core.now.marked import place_after
from webapp.core.plan.caution import HOT_LIMIT_S, HOT_ROOM_C, OUT_LIMIT_S
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.rise import RoomSpan, room_path
from webapp.core.plan.state import State
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.tray import Topping


@dataclass(frozen=True)
class TimeOut:
    """How long something perishable is out of the fridge, against its limit."""

    seconds: int
    limit_s: int
    use_by: int  # the instant at which the limit is reached

    @property
    def over(self) -> bool:
        """Longer than the limit."""
        return self.seconds > self.limit_s


def time_out(out_at: int, until: int, room: Sequence[RoomSpan]) -> TimeOut:
    """Time out of the fridge from `out_at` until `until`, and its limit: an hour if the room gets above 32 C meanwhile.

    Where it gets hot later, the hour is counted from `out_at` all the same, but never ends before the heat.
    """
    limit_at = out_at + OUT_LIMIT_S
    hot_at = _first_hot(out_at, min(until, limit_at), room)
    use_by = limit_at if hot_at is None else max(hot_at, out_at + HOT_LIMIT_S)
    return TimeOut(max(0, until - out_at), use_by - out_at, use_by)


def _first_hot(start: int, end: int, room: Sequence[RoomSpan]) -> int | None:
    """The first instant in [start, end) at which the room is above 32 C, or None."""
    for i, span in enumerate(room):
        begins = span.start if i else min(start, span.start)
        ends = room[i + 1].start if i + 1 < len(room) else max(end, span.start)
        if span.temp_c > HOT_ROOM_C and begins < end and ends > start:
            return max(start, begins)
    return None


@dataclass(frozen=True)
class Perishing:
    """One perishable topping of a plan, or its dough, and the time it spends out of the fridge before the oven."""

    key: str  # of the topping; `DOUGH` for the dough
    name: str  # "" for the dough
    out_at: int  # of what was in the fridge between: as if all of it were spent in one go before the oven
    until: int
    out: TimeOut
    had_s: int  # spent out of the fridge by now; 0 when none is asked for
    on_tray: bool = False  # it lies on a tray that waits for the oven
    load: int = 0  # of several: it went into the oven with this one, out too long by then


DOUGH = ""  # no topping has this key


def perishing(
    plan: Plan,
    at: Mapping[str, int] | None = None,
    now: int | None = None,
    room: Sequence[RoomSpan] | None = None,
    state: State | None = None,
    settled: Collection[str] = (),
) -> tuple[Perishing, ...]:
    """The dough where it perishes and every perishable topping that goes into the oven, by the steps' real starts.

    `at` maps step ids to instants that differ from the plan's (done early or late, re-timed); what left the fridge
    stays out, however often the plan changes afterwards. `now` counts up to now when loading is not yet due. `room` is
    the kitchen as it really was, the plan's when nothing was read; `state` knows where the dough was moved to;
    `settled` are the steps that are over.
    """
    moved = at or {}
    starts = {step.step_id: moved.get(step.step_id, step.start) for step in plan.steps}
    load = _start_of(plan.steps, starts, "load")
    if load is None:
        return ()
    until = load if now is None else max(load, now)
    rooms = plan.rise.room if room is None else room
    trays = _trays(plan, settled)
    in_bowl = any(step.kind == "top" and step.step_id not in settled for step in plan.steps) or len(trays) == 0
    out = list(_dough(plan, starts, state, until, now, rooms))
    first, first_out = None, 0  # a tray is as old as what was out first before it was topped
    for topping in plan.toppings:
        if topping.perishable and topping.when == "before":
            out_at = _left_fridge(plan, starts, topping, load)
            if in_bowl:
                had_s = max(0, (now or out_at) - out_at)
                clock = time_out(out_at, until, rooms)
                out.append(Perishing(topping.key, topping.name, out_at, until, clock, had_s))
            if first is None or out_at < first_out:
                first, first_out = topping, out_at
    if first is not None and len(trays) > 0:
        out.append(_on_tray(first, first_out, trays, starts, state, now, rooms))
    if first is not None:
        out += _too_late_in(first, first_out, _trays(plan, settled, loaded=True), starts, state, rooms)
    return tuple(out)


def _trays(plan: Plan, settled: Collection[str], loaded: bool = False) -> list[tuple[PlanStep, PlanStep]]:
    """(topping, loading) of each tray that is topped and waits for the oven, or went into it."""
    return [
        (top, load)
        for top in plan.steps
        for load in plan.steps
        if top.kind == "top" and load.kind == "load" and top.load == load.load
        if top.step_id in settled and (load.step_id in settled) == loaded
    ]


def _too_late_in(
    topping: Topping, out_at: int, trays: Sequence[tuple[PlanStep, PlanStep]], starts: Mapping[str, int],
    state: State | None, room: Sequence[RoomSpan],
) -> list[Perishing]:  # fmt: skip
    """What went into the oven after its limit, each tray by itself: baking does not make it good again."""
    found = [(tray[1], _on_tray(topping, out_at, [tray], starts, state, None, room)) for tray in trays]
    return [replace(one, had_s=one.out.seconds, load=load.load) for load, one in found if one.out.over]


def _on_tray(
    topping: Topping, out_at: int, trays: Sequence[tuple[PlanStep, PlanStep]], starts: Mapping[str, int],
    state: State | None, now: int | None, room: Sequence[RoomSpan],
) -> Perishing:  # fmt: skip
    """What lies on trays that wait: out since it left the fridge, but for the time that the tray is in there."""
    topped = max(starts[top.step_id] + top.end - top.start for top, _ in trays)
    until = max(now or 0, *(starts[load.step_id] for _, load in trays))
    marks = [(out_at, False)]
    for move in state.moves if state is not None else ():
        if move.at >= topped:
            _put_in(marks, (move.at, move.place == "fridge"))
    return _counted(topping.key, topping.name, _spans_out(marks, until), until, now, room, True)


def _dough(
    plan: Plan, starts: Mapping[str, int], state: State | None, until: int, now: int | None, room: Sequence[RoomSpan]
) -> tuple[Perishing, ...]:
    """The dough, when it has milk or egg in it; nothing for any other."""
    if not plan.dough_perishes:
        return ()
    return (_counted(DOUGH, "", _spans_out(_marks(plan, starts, state), until), until, now, room, False),)


def _counted(
    key: str, name: str, spans: Sequence[tuple[int, int]], until: int, now: int | None, room: Sequence[RoomSpan],
    on_tray: bool,
) -> Perishing:  # fmt: skip
    """All these stretches together, against the limit: an hour when it is above 32 C in any of them."""
    out_s, had_s, hot = 0, 0, False
    for start, end in spans:
        out_s += end - start
        had_s += max(0, min(end, now) - start) if now is not None else 0
        hot = hot or _first_hot(start, end, room) is not None
    limit_s = HOT_LIMIT_S if hot else OUT_LIMIT_S
    out_at = until - out_s
    return Perishing(key, name, out_at, until, TimeOut(out_s, limit_s, out_at + limit_s), had_s, on_tray)


def _marks(plan: Plan, starts: Mapping[str, int], state: State | None) -> list[tuple[int, bool]]:
    """(instant, is it cold from then on), by time: every hand on the dough takes it out, from mixing on.

    Pressing it to the edge, a few minutes where it stands, takes it nowhere.
    """
    marks: list[tuple[int, bool]] = []
    for step in plan.steps:
        if step.kind == "mix" or (step.chain and marks and step.kind != "relax"):
            ends = starts[step.step_id] + step.end - step.start
            marks.append((starts[step.step_id], False))
            marks.append((ends, place_after(step, state.way if state is not None else None, ends) == "fridge"))
    moves = state.moves if state is not None else ()
    for move in moves:
        if marks and move.at > marks[0][0]:
            _put_in(marks, (move.at, move.place == "fridge"))
    return marks


def _put_in(marks: list[tuple[int, bool]], mark: tuple[int, bool]) -> None:
    """Where it belongs by its time, after what was there at the same instant."""
    i = len(marks)
    while marks[i - 1][0] > mark[0]:
        i -= 1
    marks.insert(i, mark)


def _spans_out(marks: Sequence[tuple[int, bool]], until: int) -> list[tuple[int, int]]:
    """Stretches in which it is not cold, the last cut at `until`."""
    spans: list[tuple[int, int]] = []
    for i, (at, cold) in enumerate(marks):
        ends = marks[i + 1][0] if i + 1 < len(marks) else until
        ends = min(ends, until)
        if not cold and ends > at:
            spans.append((at, ends))
    return spans


def perishing_now(plan: Plan, retimed: Retimed, state: State, now: int) -> tuple[Perishing, ...]:
    """The same as things stand: the steps' real times, the room as it was read, up to now until the last load is in.

    What was due to come out of the fridge beside the dough has come out, ticked or not.
    """
    due = in_plan_order(plan, state, 0, time_chain(plan, state, 0))
    rows = list(zip(retimed.steps, due, strict=True))
    waits = [planned.step.start for one, planned in rows if planned.step.chain and one.status == "open"]
    steps = [(one.step_id, _out_since(one, planned, waits, now), one.status) for one, planned in rows]
    return _perishing_at(plan, steps, state, now)


def _out_since(one: RetimedStep, due: Timed, waits: Sequence[int], now: int) -> int:
    """When it begins, or began: of a step beside the dough when it was due, unless the dough is not so far (`waits`:
    when each step of it that is open was planned)."""
    so_far = not any(start < due.step.start for start in waits)
    return due.start if one.status == "open" and not due.step.chain and so_far and due.start <= now else one.start


def spoilt_s(plan: Plan, timed: Sequence[Timed], state: State, now: int) -> int:
    """How long the dough, or what lies on a topped tray, is out of the fridge by the time these steps bring it into the
    oven, where that is longer than it may be, seconds; 0 when it is in time. What is in its bowl can go back."""
    out = 0
    for one in _perishing_at(plan, [(one.step.step_id, one.start, one.status) for one in timed], state, now):
        if one.out.over and is_eaten(one) and not one.load and one.out.seconds > out:
            out = one.out.seconds
    return out


def is_eaten(one: Perishing) -> bool:
    """Dough, or what lies on it: it cannot be taken fresh."""
    return one.key == DOUGH or one.on_tray


def _perishing_at(
    plan: Plan, steps: Sequence[tuple[str, int, Status]], state: State, now: int
) -> tuple[Perishing, ...]:
    """By (step id, start, status) of every step."""
    starts = {step_id: start for step_id, start, _ in steps}
    settled = [step_id for step_id, _, status in steps if status != "open"]
    waiting = any(step.kind == "load" and step.step_id not in settled for step in plan.steps)
    rooms = room_path(plan.rise.room, state.rooms)
    return perishing(plan, starts, now if waiting else None, rooms, state, settled)


def _start_of(steps: Iterable[PlanStep], starts: Mapping[str, int], kind: StepKind) -> int | None:
    """The latest start of a kind: with several loads the toppings of the last wait longest."""
    return max((starts[step.step_id] for step in steps if step.kind == kind), default=None)


def _left_fridge(plan: Plan, starts: Mapping[str, int], topping: Topping, load: int) -> int:
    """When it left the fridge: at the step that says so, else so long before loading as planned, at topping at last."""
    says = "sauce" if topping.key == "sauce" else "cheese-out" if topping.fridge_out_s else "top"
    said = [starts[step.step_id] for step in plan.steps if step.kind == says] or [load - topping.fridge_out_s]
    topped = [starts[step.step_id] for step in plan.steps if step.kind == "top"]
    return min(said + topped)
