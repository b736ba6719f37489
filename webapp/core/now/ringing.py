"""What rings, of all bakes on this phone. Twin of static/js/now/ringing.js: change both or neither.
The server rings nothing: nothing of the product imports this one. It is what the phone's is compared with.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

Each step of each bake that is due has one entry, in one of four stages:

    due        its time has come and nobody has said anything: it rings
    hushed     somebody heard it: it rings no more, and goes on being due, until it is done or its time moves
    done       it was done since the last look (one look long, so that notices can be taken away)
    forgotten  its bake is over, or left the phone (one look long, too)

A step that is put off leaves the list and rings anew at its new time. What matters most stands first: what must come
out of the oven, then what else burns (it is in the oven), then the oven and what waits for it, then what falls (the
dough), then chores. So a dial that nobody turned down is still said, but never over a tray that has to come out.

One tick forgotten must mute nothing: when a step of the dough was never said to be done, everything behind it waits
for it (the pressing for the mixing, the sauce and the oven for the pressing), and a tray whose loading was never said
burns. So whatever is kept waiting by the clock alone is due *perhaps* at its planned time, for an hour: behind all that
is truly due, and among themselves in the same order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from webapp.core.kinds import BAKE_KINDS, RingEnd, RingStage
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, step_now
from webapp.core.plan.steps import GRID_S, PlanStep

AT_OVEN = ("load", "preheat")
OUT, BURNS, HEATS, FALLS, CHORE = 0, 1, 2, 3, 4
PERHAPS = 5  # is added to them
PERHAPS_S = 3600
BURNT_S = 6 * 3600  # nothing is in the oven any more so long after: it was taken out and never said (common sense)
EVERY_S = 30  # at first it rings so often (nobody has the figure: long enough to wash one's hands)
TIMES = 10  # ... that many times, five minutes in all
SELDOM_S = 300  # then, for what can burn only, so often
BURNING_TIMES = 34  # ... for two hours more


@dataclass(frozen=True)
class Due:
    """A step whose time has come: since when (UTC seconds), and how much it matters (0 = most)."""

    step_id: str
    since: int
    rank: int


@dataclass(frozen=True)
class BakeNow:
    """A bake as it stands: `untimed` is `retime` at 0 (no regard to the clock); `over` = eaten or forgotten."""

    bake_id: str
    plan: Plan
    retimed: Retimed
    untimed: Retimed
    over: bool


@dataclass(frozen=True)
class Ring:
    """One step in the memory of what rings; `rung` times it was heard, tried last at `rung_at` (0 = never)."""

    bake_id: str
    step_id: str
    stage: RingStage
    since: int
    rank: int
    rung: int
    rung_at: int


def dues(plan: Plan, retimed: Retimed, untimed: Retimed, now: int) -> list[Due]:
    """Every step that waits for a person at `now`, in plan order; none so long after supper."""
    out: list[Due] = []
    if now >= untimed.eat_at + BURNT_S:
        return out
    for step in plan.steps:
        timed = step_now(retimed, step)
        planned = step_now(untimed, step).start
        if timed.status != "open" or step.presence == "none":
            continue
        # What is eaten at the next full five minutes is due all the while.
        eats = step.kind == "serve" and planned <= now and timed.start - now < GRID_S
        if timed.start <= now or eats:
            since = planned if planned < timed.start else timed.start
            if step.kind not in BAKE_KINDS or now - since < BURNT_S:
                out.append(Due(step.step_id, since, rank_of(step)))
        elif planned <= now < planned + PERHAPS_S:
            out.append(Due(step.step_id, planned, PERHAPS + rank_of(step)))
    return out


def rank_of(step: PlanStep) -> int:
    """What must come out, what burns, then the oven, then what falls, then chores."""
    if step.kind == "lift":
        return OUT
    if step.kind in BAKE_KINDS:
        return BURNS
    if step.kind in AT_OVEN:
        return HEATS
    return FALLS if step.chain and step.kind != "serve" else CHORE


def heed(memory: Sequence[Ring], bakes: Sequence[BakeNow], now: int) -> list[Ring]:
    """The memory as it is after looking at these bakes; what matters most stands first, what has ended last."""
    out: list[Ring] = []
    for bake in bakes:
        if bake.over:
            continue
        for due in dues(bake.plan, bake.retimed, bake.untimed, now):
            insert(out, goes_on(entry_of(memory, bake.bake_id, due.step_id), bake.bake_id, due))
    for one in memory:
        rang_once = one.stage in ("due", "hushed")
        if rang_once and entry_of(out, one.bake_id, one.step_id) is None:
            stage = end_of(bakes, one)
            if stage != "":
                out.append(replace(one, stage=stage))
    return out


def goes_on(before: Ring | None, bake_id: str, due: Due) -> Ring:
    """A hushed step stays hushed; one that was taken back, or was perhaps due and truly is now, is due anew."""
    if before is not None and (before.rank < PERHAPS or due.rank >= PERHAPS) and before.stage in ("due", "hushed"):
        return Ring(bake_id, due.step_id, before.stage, due.since, due.rank, before.rung, before.rung_at)
    return Ring(bake_id, due.step_id, "due", due.since, due.rank, 0, 0)


def end_of(bakes: Sequence[BakeNow], one: Ring) -> RingEnd:
    """Why a step rings no more: done, forgotten with its bake, or "" when it was only put off."""
    for bake in bakes:
        if bake.bake_id != one.bake_id:
            continue
        for timed in bake.retimed.steps:
            if timed.step_id == one.step_id and timed.status != "open":
                return "done"
        return "forgotten" if bake.over else ""
    return "forgotten"


def insert(out: list[Ring], entry: Ring) -> None:
    """Put in where it belongs; of two that matter alike the one found first stays first."""
    i = len(out)
    while i > 0 and matters_more(entry, out[i - 1]):
        i -= 1
    out.insert(i, entry)


def matters_more(a: Ring, b: Ring) -> bool:
    """By rank, then by how long it has waited."""
    if a.rank != b.rank:
        return a.rank < b.rank
    return a.since < b.since


def entry_of(memory: Sequence[Ring], bake_id: str, step_id: str) -> Ring | None:
    """The entry of that step of that bake, None when there is none."""
    for one in memory:
        if one.bake_id == bake_id and one.step_id == step_id:
            return one
    return None


def rings_now(memory: Sequence[Ring], now: int) -> list[Ring]:
    """Those that ring at this moment."""
    return [one for one in memory if one.stage == "due" and is_its_turn(one, now)]


def is_its_turn(one: Ring, now: int) -> bool:
    """At once, then at its pace, so many times; a clock that was set back does not hold it up."""
    if one.rung_at == 0 or now < one.rung_at:
        return True
    burns = one.rank in (OUT, BURNS, HEATS)
    most = BURNING_TIMES if burns else TIMES
    pause = EVERY_S if one.rung < TIMES else SELDOM_S
    return one.rung < most and now - one.rung_at >= pause


def rang(memory: Sequence[Ring], now: int, heard: bool) -> list[Ring]:
    """They rang at `now`; a ring that nobody could hear (no sound yet) is tried again without counting."""
    turn = rings_now(memory, now)
    return [replace(one, rung=one.rung + (1 if heard else 0), rung_at=now) if one in turn else one for one in memory]


def hushed(memory: Sequence[Ring]) -> list[Ring]:
    """Somebody said that they heard it: all that is due now is quiet."""
    return [replace(one, stage="hushed") if one.stage == "due" else one for one in memory]


def at_once(memory: Sequence[Ring]) -> list[Ring]:
    """The sound has come (back): what is due need not wait for its turn."""
    return [replace(one, rung_at=0) if one.stage == "due" else one for one in memory]
