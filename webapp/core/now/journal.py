"""Plan and journal folded into what has happened. Twin of static/js/now/journal.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Events may come in
any order, doubled, from several phones: the same set of events always gives the same State.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from webapp.core.kinds import BAKE_KINDS
from webapp.core.now.marked import said_at
from webapp.core.now.taken import moves_said, number_of, oven_said, pace_said, supper_said, text_of, way_said
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import Felt
from webapp.core.plan.state import Done, Glass, Poured, Seen, State
from webapp.core.plan.undone import undone_ids


def fold(plan: Plan, events: Sequence[Event]) -> State:
    """The State that these events leave; unknown kinds (a newer phone's) and unknown steps are passed over."""
    said = of_this_dough(plan, still_said(events))
    happened = in_order(said, happened_before)
    fire = oven_said(plan, said)
    done = steps_said(plan, [e for e in said if e not in fire.gone], "done")
    return State(
        done=done,
        begun=steps_said(plan, said, "begun"),
        later=later_said(plan, said),
        supper=supper_said(said, plan.supper, "all"),
        glasses=tuple(Glass(e.at, number_of(e, "times")) for e in happened if e.kind == "glass"),
        rooms=tuple(readings(happened, "room")),
        moves=moves_said(plan, said, happened, done),
        weighed=lines_weighed(plan, said),
        poured=lines_poured(plan, said),
        area_cm2=last_number(said, "pan", "area_cm2", 0.0),
        notes=tuple(text_of(e, "text") for e in said if e.kind == "note"),
        outcome=outcome_said(said),
        doughs=tuple(readings(happened, "dough")),
        looks=tuple(Seen(e.at, text_of(e, "seen")) for e in happened if e.kind == "looked"),
        pokes=tuple(Seen(e.at, text_of(e, "springs")) for e in happened if e.kind == "poked"),
        way=way_said(said),
        agreed=supper_said(said, plan.supper, "asked"),
        wanted=supper_said(said, plan.supper, "wanted"),
        baking=tuple(Seen(e.at, text_of(e, "seen")) for e in happened if e.kind == "baking"),
        yeast=last_text(said, "yeast", "yeast"),
        tray_times=tray_said(said),
        pan=last_text(said, "pan", "name"),
        mixed_cm2=last_number(before_mixed(plan, said, done), "pan", "area_cm2", 0.0),
        pace=pace_said(plan, said),
        left_out=steps_said(plan, said, "left-out"),
        cold_again=fire.off,
        lit_for=fire.load,
    )


def dough_of(plan: Plan) -> int:
    """The revision whose dough this plan is: its own, or that of the one it goes on with."""
    return plan.dough_of if plan.dough_of > 0 else plan.revision


def of_this_dough(plan: Plan, said: list[Event]) -> list[Event]:
    """Without what was said of another plan's dough: its amounts, its times and its mixing are not this one's.

    Notes and the room are of the household; what does not say its revision (an older phone) counts.
    """
    dough = dough_of(plan)
    return [e for e in said if e.revision in (0, dough) or e.kind in ("note", "room")]


def still_said(events: Sequence[Event]) -> list[Event]:
    """In the order they were written down, without doubles, without what was taken back."""
    undone = undone_ids(events)
    out: list[Event] = []
    for event in in_order(events, said_before):
        doubled = len(out) > 0 and out[len(out) - 1].event_id == event.event_id
        if not doubled and event.event_id not in undone and event.kind != "undo":
            out.append(event)
    return out


def said_before(a: Event, b: Event) -> bool:
    """Total order of the journal: when written down, when it happened, id."""
    if a.logged_at != b.logged_at:
        return a.logged_at < b.logged_at
    if a.at != b.at:
        return a.at < b.at
    return a.event_id < b.event_id


def happened_before(a: Event, b: Event) -> bool:
    """Order in which things happened; ties keep the order of writing."""
    return a.at < b.at


def in_order(events: Sequence[Event], before: Callable[[Event, Event], bool]) -> list[Event]:
    """Sorted by insertion from the end: nearly sorted in practice, stable, equal in both languages."""
    out: list[Event] = []
    for event in events:
        i = len(out)
        while i > 0 and before(event, out[i - 1]):
            i -= 1
        out.insert(i, event)
    return out


def readings(happened: list[Event], kind: str) -> list[Felt]:
    """What a thermometer said, ascending; what it is said to have been since an earlier hour stands from then on."""
    out: list[Felt] = []
    for event in happened:
        if event.kind == kind:
            temp_c = number_of(event, "temp_c")
            since = int(number_of(event, "since"))
            if 0 < since < event.at:
                out = [*(one for one in out if one.start < since), Felt(since, temp_c, held=True)]
            out.append(Felt(event.at, temp_c))
    return out


def last_number(said: list[Event], kind: str, key: str, otherwise: float) -> float:
    """The number said last."""
    out = otherwise
    for event in said:
        if event.kind == kind:
            out = number_of(event, key)
    return out


def last_text(said: list[Event], kind: str, key: str) -> str:
    """The word said last, "" when none was."""
    out = ""
    for event in said:
        if event.kind == kind:
            out = text_of(event, key)
    return out


def tray_said(said: list[Event]) -> float:
    """How much lies on the tray, 0 when nobody said: what was said of another pan does not count."""
    out = 0.0
    for event in said:
        if event.kind == "tray":
            out = number_of(event, "times")
        elif event.kind == "pan":
            out = 0.0
    return out


def before_mixed(plan: Plan, said: list[Event], done: Sequence[Done]) -> list[Event]:
    """What happened until the dough was mixed: all while it is not, nothing of a dough that was there already."""
    mixed_at = mixing_said(plan, done)
    return [e for e in said if mixed_at < 0 or e.at <= mixed_at]


def mixing_said(plan: Plan, done: Sequence[Done]) -> int:
    """When the dough was mixed, by that or by what comes after it; -1 = not yet, 0 = before this plan."""
    out = 0
    for step in plan.steps:
        out = -1 if step.kind == "mix" else out
        at = said_at(done, step.step_id)
        if out != 0 and step.chain and at != 0 and (out < 0 or at < out):
            out = at
    return out


def steps_said(plan: Plan, said: list[Event], kind: str) -> tuple[Done, ...]:
    """In plan order, each step once, with the earliest instant that was said for it."""
    out: list[Done] = []
    for step in plan.steps:
        ats = [e.at for e in said if e.kind == kind and text_of(e, "step_id") == step.step_id]
        if len(ats) > 0:
            out.append(Done(step.step_id, earliest(ats)))
    return tuple(out)


def earliest(ats: list[int]) -> int:
    """The smallest of at least one instant."""
    out = ats[0]
    for at in ats:
        if at < out:
            out = at
    return out


def later_said(plan: Plan, said: list[Event]) -> int:
    """Until when the next step must wait; a chain step done after it was said uses it up.

    One that was done before, and only ticked since, does not; nor does what is done with a tray in the oven, which
    nobody could put off, while the next one waits.
    """
    chain = [s.step_id for s in plan.steps if s.chain and s.kind not in BAKE_KINDS]
    until = 0
    wished_at = 0
    for event in said:
        if event.kind == "later":
            until = int(number_of(event, "until"))
            wished_at = event.at
        elif event.kind == "done" and event.at > wished_at and text_of(event, "step_id") in chain:
            until = 0
    return until


def lines_weighed(plan: Plan, said: list[Event]) -> tuple[str, ...]:
    """Ticked lines, in pouring order."""
    ticked = [text_of(e, "line") for e in said if e.kind == "weighed"]
    names = [f"{line.part}/{line.key}" for line in plan.lines]
    return tuple(name for name in names if name in ticked)


def lines_poured(plan: Plan, said: list[Event]) -> tuple[Poured, ...]:
    """What went in where it was not what was asked, in pouring order, the last word of each line."""
    out: list[Poured] = []
    for line in plan.lines:
        name = f"{line.part}/{line.key}"
        poured = [e for e in said if e.kind == "poured" and text_of(e, "line") == name]
        if len(poured) > 0:
            last = poured[len(poured) - 1]
            out.append(Poured(name, number_of(last, "grams"), last.data.get("kept") is True))
    return tuple(out)


def outcome_said(said: list[Event]) -> tuple[tuple[str, str], ...]:
    """How it came out: of each question the last answer."""
    out: list[tuple[str, str]] = []
    for key in ("base", "top", "crumb", "timing", "verdict"):
        answers = [text_of(e, key) for e in said if e.kind == "outcome" and text_of(e, key) != ""]
        if len(answers) > 0:
            out.append((key, answers[len(answers) - 1]))
    return tuple(out)
