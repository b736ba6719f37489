"""The steps of a plan, and the rise that a step waits for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from webapp.core.kinds import Place, Presence, StepKind, StepVessel

GRID_S = 300  # plans, waits and suppers stand on five minutes
ANOTHER = ""  # in `who`: somebody of no name who is home on that day alone; nobody of a house goes by it


@dataclass(frozen=True)
class RiseMark:
    """Progress at which a rise is early but usable, at its best, and past its best (early <= best <= past)."""

    early: float
    best: float
    past: float
    full: float = 0.0  # what a look at the dough is told by, where that is more than `best`; 0 = `best` itself


@dataclass(frozen=True)
class OtherPan:
    """What a step says in another pan than planned, its amounts and the pan's name as slots (words/plan/slots.py)."""

    text: str
    beside: str
    first: str


@dataclass(frozen=True)
class PlanStep:
    """One step. Chain steps follow each other; a side step is tied to a chain step by `anchor` and `offset_s`."""

    step_id: str  # stable within the plan, [a-z0-9-]+: "mix", "fold-1", "press", "load-2"
    kind: StepKind
    start: int  # planned instant the action begins
    end: int  # planned instant the hands (or the oven) are done; the wait until the next chain step follows
    presence: Presence
    place: Place = "bench"  # where the dough is from `end` on
    vessel: StepVessel = "bowl"  # which thermal share applies from `end` on
    chain: bool = True
    anchor: str = ""  # side step: step_id it is tied to
    offset_s: int = 0  # side step: start = anchor's start + offset_s (negative: before it)
    wait_least_s: int = 0  # chain: least wait from the previous chain step's end to this start
    wait_most_s: int = 0  # chain: most of the same
    who: tuple[str, ...] = ()  # in a house of several: whom this time suits, by name, whoever it is first
    nobody: bool = False  # as it stands (core/plan/whose.py): moved since to where nobody is there
    mark: RiseMark | None = None  # the rise that should be reached when this step starts (press, load)
    alarm_min: int = 0  # calendar alarm, minutes before start
    rings: bool = True  # worth a calendar event of its own
    load: int = 0  # 1, 2, ... for steps of one of several oven loads; 0 = of the whole dough, or of the only load
    title: str = ""  # shown: short imperative, "Mix the dough"
    text: str = ""  # shown: what to do, in full, plain text with numbers; enough with no app at hand
    beside: str = ""  # shown: the text less what a list of weights beside it says
    first: str = ""  # shown: the first thing to do, in a line
    needs: str = ""  # shown: who is needed
    other_pan: OtherPan | None = None  # shown: of a step whose pan or amounts are another pan's


def is_anothers(step: PlanStep) -> bool:
    """Does its time suit nobody but somebody who is home on that day alone?"""
    return step.presence != "none" and step.who == (ANOTHER,)


def in_and_out_of_fridge(steps: Sequence[PlanStep]) -> list[tuple[PlanStep, PlanStep]]:
    """Each step after which the dough is in the fridge, with the one that comes next."""
    return [(one, after) for one, after in pairwise(step for step in steps if step.chain) if one.place == "fridge"]


def line_ahead(now: int) -> int:
    """The next line of the grid, `now` itself when it is one."""
    return -(-now // GRID_S) * GRID_S
