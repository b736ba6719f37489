"""Mending an over-pour: what cannot be taken out is kept, everything else rises in proportion."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.plan import WeighLine
from webapp.core.units import number_text


@dataclass(frozen=True)
class Mended:
    """The new list, and how much bigger the dough got."""

    lines: tuple[WeighLine, ...]
    factor: float  # 1.0 = nothing was over
    dough_g: float
    added_g: float


def mended(lines: Sequence[WeighLine], poured: Mapping[str, float], step_g: float = 1.0) -> Mended:
    """The list after these grams of lines "part/key" are in the bowl, whatever the order they went in.

    Always from the list as first weighed out, so that saying the same twice changes nothing. The factor is the
    largest over-pour's; less than asked for is no over-pour, the rest simply follows. A preferment whose final dough
    has begun is finished: it stays as it is, and the final dough's lines rise to keep the overall formula.
    PlanError for an unknown line or a weight that is none.
    """
    _check(lines, poured)
    by_part: dict[str, dict[str, WeighLine]] = {}
    for line in lines:
        by_part.setdefault(line.part, {})[line.key] = line
    final = by_part.pop("dough", {})
    ahead = {key: line.grams for part in by_part.values() for key, line in part.items()}
    made = max([1.0, *(_over(line, poured) for part in by_part.values() for line in part.values())])
    factor = max([made, *(_final_over(line, poured, ahead, made) for line in final.values())])
    grown = [
        _poured_line(line, made if line.part != "dough" else _grown(line, ahead, made, factor), poured, step_g)
        for line in lines
    ]
    before = math.fsum(line.weigh_g for line in lines if line.part == "dough")
    after = math.fsum(line.weigh_g for line in grown if line.part == "dough")
    return Mended(tuple(grown), factor, after, after - before)


def mend(lines: Sequence[WeighLine], line_id: str, poured_g: float, step_g: float = 1.0) -> tuple[WeighLine, ...]:
    """The list after `poured_g` of one line went in; the new list may be mended again, to the same end."""
    return mended(lines, {line_id: poured_g}, step_g).lines


def _check(lines: Sequence[WeighLine], poured: Mapping[str, float]) -> None:
    known = {f"{line.part}/{line.key}" for line in lines}
    for name, grams in poured.items():
        if name not in known:
            raise PlanError.at("line", f"There is no line “{name}” on this list.", "Pick one of the list.")
        if not 0 <= grams < 1e6:
            raise PlanError.at("grams", f"{grams:.4g} g were not poured.", "Give what the scale shows, 0 or more.")


def _over(line: WeighLine, poured: Mapping[str, float]) -> float:
    """How many times its weight as first weighed out went in; up to that weight is no over-pour."""
    grams = poured.get(f"{line.part}/{line.key}", 0.0)
    return grams / line.weigh_g if grams > line.weigh_g else 1.0


def _final_over(line: WeighLine, poured: Mapping[str, float], ahead: Mapping[str, float], made: float) -> float:
    """The same for the overall formula, when what the preferment holds of this ingredient stays as it is."""
    over = _over(line, poured)
    if over == 1.0 or line.kind == "preferment":
        return 1.0
    held = ahead.get(line.key, 0.0)
    return (line.grams * over + held * made) / (line.grams + held)


def _grown(line: WeighLine, ahead: Mapping[str, float], made: float, factor: float) -> float:
    """What the final dough's line is multiplied by."""
    if line.kind == "preferment":
        return made
    held = ahead.get(line.key, 0.0)
    return (factor * (line.grams + held) - made * held) / line.grams


def _poured_line(line: WeighLine, times: float, poured: Mapping[str, float], step_g: float) -> WeighLine:
    if times == 1.0:
        return line
    in_bowl = poured.get(f"{line.part}/{line.key}", 0.0)
    shown = line.weigh_g * times
    weigh_g = max(in_bowl, _as_before(shown, line.weigh_g, step_g))
    note = f"{line.note} Now {number_text(times, 2)} times as much." if line.note else ""
    return replace(line, grams=line.grams * times, weigh_g=weigh_g, note=note)


def _as_before(grams: float, before_g: float, step_g: float) -> float:
    """Rounded to the scale's step if the line was, else to a hundredth of a gram."""
    whole = abs(before_g / step_g - math.floor(before_g / step_g + 0.5)) < 1e-6
    step = step_g if whole else 0.01
    return math.floor(grams / step + 0.5) * step
