"""What a long page folds: the steps of one load, of the oven; the bowls of which only one is next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from webapp.core.kinds import OVEN_KINDS, PRESSING_KINDS
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, timed_steps
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.weights import WeighLine
from webapp.words.plan.steps import Row, load_of
from webapp.words.plan.weights import by_hand, spoons_words

Run = tuple[str, list[Row]]


def runs(rows: Sequence[Row]) -> list[Run]:
    """The steps in runs that a long list folds: ("load 1", its steps), ("press", of several loads), ("oven", ...).

    All others are in runs called "". What is done between two steps of a run comes after it.
    """
    found: list[Run] = []
    for row in rows:
        name = _run_of(row[0])
        held = [run for run in (found if name else found[-1:]) if run[0] == name]
        if held:
            held[0][1].append(row)
        else:
            found.append((name, [row]))
    return found


def _run_of(step: PlanStep) -> str:
    if load_of(step):
        return f"load {step.load}"
    if step.load and step.kind in PRESSING_KINDS:
        return "press"
    return "oven" if step.kind in OVEN_KINDS else ""


@dataclass(frozen=True)
class Bowl:
    """One bowl of the weigh-out list: what is made ahead, or the dough."""

    part: str  # "dough", or the key of what is made ahead
    lines: list[WeighLine]  # in pouring order
    begun: bool  # it is mixed, or its turn is over
    next: bool  # the one to weigh out next


def bowls(plan: Plan, retimed: Retimed) -> list[Bowl]:
    """The weigh-out list bowl by bowl, in the order of mixing; only one of them is next."""
    open_kinds = {s.kind for s, t in timed_steps(plan, retimed) if t.status == "open"}
    out: list[Bowl] = []
    for part in dict.fromkeys([*(line.part for line in plan.lines if line.part != "dough"), "dough"]):
        begun = ("mix" if part == "dough" else "preferment") not in open_kinds
        lines = [line for line in by_hand(plan.lines) if line.part == part]
        out.append(Bowl(part, lines, begun, not begun and all(one.begun for one in out)))
    return out


def spoons_of_line(line: WeighLine) -> str:
    """The spoons that a yeast is, or could be, measured out with: "1/2 tsp"; "" for none. How to says: level."""
    dose = line.dosing
    return spoons_words(dose.teaspoons) if line.kind == "yeast" and dose and dose.teaspoons else ""
