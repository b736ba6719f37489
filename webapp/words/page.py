"""How the plan's own texts are shown on a page: not what stands beside them already, numbers held to their units."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from webapp.core.plan import Plan, PlanStep, RetimedStep
from webapp.core.scale.weighing import as_poured

Row = tuple[PlanStep, RetimedStep, int]  # a step, as it stands, and the seconds until the next of the chain
HELD = "\u00a0"  # a number and its unit stay on one line
_UNIT = re.compile(r"(?<=\d) (?=(?:%|g|kg|oz|h|min|mm|cm|tsp|tbsp|°C|°F)(?!\w))")


def held(text: str) -> str:
    """The text with every number held to its unit."""
    return _UNIT.sub(HELD, text)


def by_load(rows: Sequence[Row]) -> list[tuple[int, list[Row]]]:
    """Runs of steps: those from topping one load until it is out with the number of that load, all others with 0."""
    return [(number, list(run)) for number, run in groupby(rows, lambda row: _load_of(row[0]))]


def _load_of(step: PlanStep) -> int:
    found = re.search(r" \(load (\d+) of \d+\)$", step.title)  # as telling.title_of has it
    return int(found[1]) if found and step.kind in ("top", "load", "turn-down", "check", "turn", "lift") else 0


def beside_the_list(step: PlanStep, plan: Plan) -> str:
    """What a step says, without its amounts and how the yeast is weighed: the list on the same page says those."""
    rows = [line for line in as_poured(plan.lines) if (line.part == "dough") == (step.kind == "mix")]
    if step.kind not in ("mix", "preferment") or not rows:
        return step.text
    listed = [line.name.lower() for line in rows if line.kind != "preferment"]
    notes = " ".join(line.note for line in rows)
    said = step.text.split("\n")
    rest = [one for one in said if one not in notes and not (listed and all(n in one.lower() for n in listed))]
    return "\n".join(["Weigh out as listed.", *rest] if len(rest) < len(said) else rest)
