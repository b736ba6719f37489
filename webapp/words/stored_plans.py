"""Plans stored before there were facts, brought up to today: the one place that looks into what a plan once said.

Such a plan holds sentences where today's holds facts, and no `making`. It goes on saying what it said; what pages and
lessons ask of it as a fact is read off here, once, when it comes out of the store (`kitchens/kept.py`) or a file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from webapp.core.kinds import MIXING_KINDS
from webapp.core.plan.caution import Caution
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.weights import WeighLine
from webapp.core.scale.mending import YEAST_WATER
from webapp.words.cautions import AUTHORITY
from webapp.words.learned import FROM_PAST
from webapp.words.plan.weights import by_hand, named

OWN_METHOD = "this kitchen's own method"  # where a method was from that a kitchen wrote down
_BARE = "tray alone"  # the slab of an oven that has none
_OF_A_LOAD = ("press", "top", "load", "turn-down", "check", "turn", "lift")


def upgraded(plan: Plan) -> Plan:
    """The plan with facts for what it only said; a plan that has facts as it is."""
    plan = _unnamed(plan)
    if plan.making is not None and plan.oven.setting is not None:
        return plan
    return replace(
        plan,
        steps=tuple(_steps(plan)),
        notes=tuple(note.removeprefix(FROM_PAST) for note in plan.notes),
        oven=replace(plan.oven, bare=plan.oven.slab == _BARE),
        cautions=tuple(map(_caution, plan.cautions)),
    )


def _unnamed(plan: Plan) -> Plan:
    """Without the names that yeast and its water were stored with: their kinds say them."""
    every = (plan.lines, *(one.lines for one in plan.other_yeasts))
    if not any(line.name and _has_no_name(line) for lines in every for line in lines):
        return plan
    others = tuple(replace(one, lines=_without(one.lines)) for one in plan.other_yeasts)
    return replace(plan, lines=_without(plan.lines), other_yeasts=others)


def _without(lines: Sequence[WeighLine]) -> tuple[WeighLine, ...]:
    return tuple(replace(line, name="") if _has_no_name(line) else line for line in lines)


def _has_no_name(line: WeighLine) -> bool:
    return line.kind == "yeast" or line.key == YEAST_WATER


def _steps(plan: Plan) -> Iterator[PlanStep]:
    """Each with its load, counted from those of its kind; each sentence of its text has a line of its own."""
    seen: Counter[str] = Counter()
    for step in plan.steps:
        seen[step.kind] += 1
        load = seen[step.kind] if plan.oven.loads > 1 and step.kind in _OF_A_LOAD else step.load
        first, beside = step.text.partition("\n")[0], step.beside or _beside(plan, step)
        yield replace(step, load=load, beside=beside, first=first)


def _beside(plan: Plan, step: PlanStep) -> str:
    """A step less its amounts and how the yeast is weighed: the list beside it says those, as it did then."""
    listed = by_hand(named(plan.lines, plan.yeast_kind))
    rows = [line for line in listed if (line.part == "dough") == (step.kind == "mix")]
    if step.kind not in MIXING_KINDS or not rows:
        return step.text
    names = [line.name.lower() for line in rows if line.kind != "preferment"]
    notes = " ".join(line.note for line in rows)
    said = step.text.split("\n")
    rest = [one for one in said if one not in notes and not (names and all(name in one.lower() for name in names))]
    return "\n".join(rest) if len(rest) < len(said) else step.text


def _caution(caution: Caution) -> Caution:
    """Whose advice to follow was said with each; a page says it once for all."""
    return replace(caution, source=caution.source.removesuffix(AUTHORITY).rstrip(" ."))
