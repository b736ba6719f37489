"""What the journal says of ways that were taken, and of supper. Twin of static/js/now/taken.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. A way stands until
the next one, or until supper is moved; what it had carried by then was carried. A lit oven is not left alone: who is
late, or takes a way that loads later, by more than some twenty minutes turns it off, and lights it again in time
(common practice; nobody has the figure).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core.kinds import RESTING_PLACES, ProofPlace, SupperSaid
from webapp.core.now.marked import kind_now, latest, said_at
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import Done, Moved, State, Taken
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.way import Way

EMPTY_S = 1200  # so long an oven may stand hot with nothing in it


def text_of(event: Event, key: str) -> str:
    """A text of the event's data, "" when it is missing or no text."""
    value = event.data.get(key)
    return value if isinstance(value, str) else ""


def number_of(event: Event, key: str) -> float:
    """A number of the event's data, 0 when it is missing or no number."""
    value = event.data.get(key)
    return value if isinstance(value, (int, float)) and not isinstance(value, bool) else 0.0


def place_said(value: object) -> ProofPlace:
    """One of the resting places, "" for what is none: a newer phone may know others."""
    for place in RESTING_PLACES:
        if value == place:
            return place
    return ""


def supper_said(said: list[Event], planned: int, which: SupperSaid) -> int:
    """When supper is: with "all" ways as they stand now, with "asked" as last agreed to, with "wanted" as last wished.

    A way that was taken unasked was not agreed to, and one that was tapped is not what was wished for.
    """
    out = planned
    for event in said:
        if event.kind == "supper":
            out = int(number_of(event, "instant"))
        if event.kind == "way" and (which == "all" or (which == "asked" and event.data.get("asked") is True)):
            out = int(number_of(event, "supper"))
    return out


def way_said(said: list[Event]) -> Taken | None:
    """The way that stands: the last one taken, unless supper was moved afterwards."""
    out: Taken | None = None
    for event in said:
        if event.kind == "supper":
            out = None
        if event.kind == "way":
            press_at, load_at = int(number_of(event, "press")), int(number_of(event, "load"))
            result = text_of(event, "result") if event.data.get("asked") is True else ""
            proof, given_up = place_said(event.data.get("proof")), number_of(event, "given_up")
            kind = kind_now(out, text_of(event, "way"))
            out = Taken(event.at, kind, press_at, load_at, proof, result, given_up)
    return out


def moves_said(plan: Plan, said: list[Event], happened: list[Event], done: tuple[Done, ...]) -> tuple[Moved, ...]:
    """Where the dough was put and where ways put it, ascending; a way's moves count until the next one or supper."""
    out: list[Moved] = []
    for event in happened:
        place = place_said(event.data.get("place")) if event.kind == "moved" else ""
        if place != "":
            out.append(Moved(event.at, place))
    for i in range(len(said)):
        if said[i].kind == "way":
            for move in [*moves_of(said[i]), *tray_moves(plan, said[i], done)]:
                if not called_off(said, i, move.at):
                    put_in(out, move)
    return tuple(out)


def tray_moves(plan: Plan, event: Event, done: tuple[Done, ...]) -> list[Moved]:
    """Where a way had the tray put that was pressed after it was taken: the second after, for pressing comes first."""
    proof = place_said(event.data.get("proof"))
    pressings = [step.step_id for step in plan.steps if step.mark is not None and step.kind != "load"]
    pressed = [one for one in done if one.step_id in pressings and one.at >= event.at]
    return [Moved(one.at + 1, proof) for one in pressed if proof != ""]


def called_off(said: list[Event], i: int, at: int) -> bool:
    """Was way number `i` replaced before that instant?"""
    return any(event.kind in ("way", "supper") and event.at <= at for event in said[i + 1 :])


def put_in(moves: list[Moved], move: Moved) -> None:
    """Into an ascending list, after those of the same instant."""
    i = len(moves)
    while i > 0 and move.at < moves[i - 1].at:
        i -= 1
    moves.insert(i, move)


def moves_of(event: Event) -> list[Moved]:
    """The moves that a way asks for; what is not one is passed over."""
    rows = event.data.get("moves")
    out: list[Moved] = []
    for row in rows if isinstance(rows, list) else []:
        at = row.get("at") if isinstance(row, dict) else None
        place = place_said(row.get("place")) if isinstance(row, dict) else ""
        if isinstance(at, int) and not isinstance(at, bool) and place != "":
            out.append(Moved(at, place))
    return out


def oven_of(plan: Plan) -> PlanStep | None:
    """The lighting of the oven; None in a plan that has none."""
    for step in plan.steps:
        if step.kind == "preheat":
            return step
    return None


def step_of(plan: Plan, step_id: str) -> PlanStep | None:
    """The step of that id, None when there is none."""
    for step in plan.steps:
        if step.step_id == step_id:
            return step
    return None


def left_empty(hot_at: int, now: int, until: int) -> bool:
    """Would an oven that is hot and empty from `hot_at` on stand so for long, from now until that instant?"""
    return until - latest(hot_at, now) > EMPTY_S


def off_till_then(oven: PlanStep, hot_at: int, now: int, load_at: int) -> bool:
    """The same for a loading at that instant; one that is to be lit again at once is left on."""
    return left_empty(hot_at, now, load_at) and load_at + oven.offset_s > now


def goes_cold(plan: Plan, oven: PlanStep, load: PlanStep, hot_at: int, since: int, event: Event) -> bool:
    """Is an oven that is hot and empty from `hot_at` on turned off again, by what this says of the next step or of that
    loading?

    A quarter of an hour said again and again is one delay, from when the first was said (`since`). A supper that is
    moved says nothing of the first loading: the way that is taken with it does. Later ones follow it.
    """
    if event.kind == "later":
        return left_empty(hot_at, since, int(number_of(event, "until")))
    if event.kind == "supper" and load.step_id != oven.anchor:
        return off_till_then(oven, hot_at, event.at, load.start + int(number_of(event, "instant")) - plan.supper)
    first = step_of(plan, oven.anchor)
    after_s = load.start - first.start if first is not None else 0
    return event.kind == "way" and off_till_then(oven, hot_at, event.at, int(number_of(event, "load")) + after_s)


def cooled(plan: Plan, state: State, now: int, load_at: int) -> State:
    """The state with the oven off until it is lit again, where a loading at that instant asks for it; else the same."""
    oven = oven_of(plan)
    lit_at = said_at(state.done, oven.step_id) if oven is not None else 0
    if oven is None or lit_at == 0 or not off_till_then(oven, lit_at - oven.offset_s, now, load_at):
        return state
    return replace(state, done=tuple(one for one in state.done if one.step_id != oven.step_id), cold_again=True)


def put_off_since(since: int, hot_at: int, event: Event) -> int:
    """From when on a hot oven waits for somebody who says that they come later: since they first said so."""
    until = int(number_of(event, "until")) if event.kind == "later" else 0
    return latest(hot_at, event.at) if since < hot_at and until > hot_at else since


@dataclass(frozen=True)
class OvenSaid:
    """What was said of the oven."""

    gone: list[Event]  # lightings of an oven that was turned off again since, by what was said next
    off: bool  # it was lit, and is to be off until it is lit again
    load: str  # the loading that it is lit for once it was off, "" = as planned


def oven_said(plan: Plan, said: list[Event]) -> OvenSaid:
    """An oven that is left empty for long is turned off: before the first tray goes in, or between two of them.

    A tray that is in was put into a hot oven, whatever was said; one that is not hot yet does not stand hot.
    """
    oven = oven_of(plan)
    loads = [step for step in plan.steps if step.kind == "load"]
    fire = OvenSaid([], False, "")
    before: list[Event] = []
    lit: list[Event] = []
    hot_at = 0
    since = 0  # from then on it waits hot for somebody who comes later; before `hot_at` = for nobody
    for event in said if oven is not None else []:
        assert oven is not None
        step = step_of(plan, text_of(event, "step_id")) if event.kind == "done" else None
        since = put_off_since(since, hot_at, event)
        if step is not None and step.kind == "load":
            loads = [one for one in loads if one.step_id != step.step_id]
            fire = OvenSaid(before, False, fire.load) if fire.off else fire
            hot_at = event.at + lifted_after(plan, step)
        elif step is not None and step.kind == "lift":
            hot_at = event.at
        elif step is not None and step.step_id == oven.step_id:
            hot_at = event.at - oven.offset_s if fire.off or hot_at == 0 else hot_at
            lit = [*lit, event]
            fire = OvenSaid(fire.gone, False, fire.load)
        elif event.kind == "later" and event.data.get("heats") is True:
            hot_at = int(number_of(event, "until")) if hot_at != 0 else 0
        elif hot_at != 0 and not fire.off and len(loads) > 0 and goes_cold(plan, oven, loads[0], hot_at, since, event):
            before = fire.gone
            fire = OvenSaid(lit, True, loads[0].step_id)
    return fire


def lifted_after(plan: Plan, load: PlanStep) -> int:
    """Seconds from that loading until its tray is lifted as planned; 0 when it never is."""
    for step in plan.steps:
        if step.kind == "lift" and step.load == load.load:
            return step.end - load.end
    return 0


def pace_said(plan: Plan, said: list[Event]) -> float:
    """How many times as quick the dough is for what went in and stays: of each line its last word counts."""
    out = 1.0
    for line in plan.lines:
        pace = 1.0
        for event in said:
            if event.kind == "poured" and text_of(event, "line") == f"{line.part}/{line.key}":
                told = number_of(event, "pace")
                pace = told if event.data.get("kept") is True and told > 0 else 1.0
        out = out * pace
    return out


def event_data(way: Way, asked: bool) -> dict[str, object]:
    """What the journal's `way` says when this one is taken; `asked` false = taken unasked."""
    return {
        "way": way.kind,
        "press": way.press_at,
        "load": way.load_at,
        "supper": way.supper,
        "moves": [{"at": move.at, "place": move.place} for move in way.carried],
        "proof": way.proof,
        "asked": asked,
        "result": way.result,
        "given_up": way.given_up,
    }
