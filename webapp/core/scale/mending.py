"""Mending an over-pour: what cannot be taken out stays in, everything else rises in proportion.

A little too much salt or fat may be lived with: such a line is kept as it is and asks nothing of the others. Dry salt
or flour that was spooned off again was never poured.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.plan.weights import WeighLine
from webapp.core.scale.rounding import is_whole

YEAST_WATER = "yeast-water"  # key of the line of water that yeast is stirred into
# Percent of flour up to which it is lived with. Salt that people still bake with: 2.8-3.2 % in the protected style's
# rule book and in a book's pizza dough (Lahey, My Pizza). Fat over 10 % slows the yeast (common practice).
LIVED: dict[str, float] = {"salt": 3.2, "fat": 10.0}
LEAST_OF_THE_WATER = 0.3  # that must not come with the yeast, for the formula to be kept exactly


@dataclass(frozen=True)
class Mended:
    """The new list, and how much bigger the dough got."""

    lines: tuple[WeighLine, ...]
    factor: float  # 1.0 = nothing was over
    dough_g: float
    added_g: float


def line_id(line: WeighLine) -> str:
    """What a journal calls a line: "part/key"."""
    return f"{line.part}/{line.key}"


def mended(
    lines: Sequence[WeighLine], poured: Mapping[str, float], step_g: float = 1.0, kept: Collection[str] = ()
) -> Mended:
    """The list after these grams of lines "part/key" are in the bowl, whatever the order they went in.

    Always from the list as first weighed out, so that saying the same twice changes nothing, and from what the formula
    wants of a line, not from what its scale made of that: a rounding is not grown. The factor is the
    largest over-pour's; less than asked for is no over-pour, the rest simply follows. A preferment whose final dough
    has begun is finished: it stays as it is, and the final dough's lines rise to keep the overall formula. The water
    that yeast comes in is water of that formula wherever it is, and grows with its yeast: both are one figure to weigh.
    Of the lines `kept` what is in the bowl stays, and no other grows for it. PlanError for an unknown line or a weight
    that is none.
    """
    _check(lines, poured)
    asks = {name: grams for name, grams in poured.items() if name not in kept}
    final = [line for line in lines if line.part == "dough"]
    ahead = [line for line in lines if line.part != "dough"]
    made = max([1.0, *(_over(line, asks) for line in ahead)])
    bowl = _Bowl(final, _held(ahead, final), made)
    factor = max([made, *(bowl.asked_by(line, _over(line, asks)) for line in final)])
    grown = [
        _poured_line(line, made if line.part != "dough" else bowl.grown_by(line, factor), poured, step_g)
        for line in lines
    ]
    before = math.fsum(line.weigh_g for line in final)
    after = math.fsum(line.weigh_g for line in grown if line.part == "dough")
    return Mended(tuple(grown), factor, after, after - before)


def _held(ahead: Sequence[WeighLine], final: Sequence[WeighLine]) -> dict[str, float]:
    """Grams of each ingredient in the preferment, its yeast water counted as the water that it is."""
    water = next((line.key for line in (*final, *ahead) if _is_water(line)), YEAST_WATER)
    held: dict[str, float] = {}
    for line in ahead:
        key = water if line.key == YEAST_WATER else line.key
        held[key] = held.get(key, 0.0) + line.grams
    return held


def _is_water(line: WeighLine) -> bool:
    return line.kind == "water" and line.key != YEAST_WATER


class _Bowl:
    """The final dough, what its preferment holds of each ingredient, and how many times as much that was made."""

    def __init__(self, final: Sequence[WeighLine], held: Mapping[str, float], made: float) -> None:
        """`held` in grams by key."""
        self.held, self.made = held, made
        self.yeast = next((line for line in final if line.kind == "yeast" and line.grams), None)
        water = next((line for line in final if _is_water(line)), None)
        self.water_key = water.key if water else ""
        self.with_yeast_g = math.fsum(line.grams for line in final if line.key == YEAST_WATER)

    def asked_by(self, line: WeighLine, over: float) -> float:
        """How many times the overall formula must grow when `over` times this line went in."""
        if over == 1.0 or line.kind == "preferment" or (line.key == YEAST_WATER and self.yeast is None):
            return 1.0
        if line.key == YEAST_WATER:
            return self.asked_by(self._its_yeast(), over)
        inside, beside_g = self._inside(line), self._beside_g(line)
        fixed, by_factor = self._yeast_water(beside_g)
        whole = line.grams + beside_g + inside
        if whole - by_factor < LEAST_OF_THE_WATER * whole:  # the yeast water alone would ask for many times the dough
            fixed, by_factor = beside_g, 0.0
        return (line.grams * over + inside * self.made + fixed) / (whole - by_factor)

    def grown_by(self, line: WeighLine, factor: float) -> float:
        """What this line is multiplied by when the overall formula grows by `factor`."""
        if line.kind == "preferment":
            return self.made
        if line.key == YEAST_WATER:
            return self.grown_by(self._its_yeast(), factor) if self.yeast else factor
        inside, beside_g = self._inside(line), self._beside_g(line)
        fixed, by_factor = self._yeast_water(beside_g)
        grams = factor * (line.grams + beside_g + inside) - (factor * by_factor + fixed) - self.made * inside
        return max(0.0, grams) / line.grams if line.grams else 1.0  # of an ingredient that no dough wants

    def _its_yeast(self) -> WeighLine:
        assert self.yeast is not None  # asked for only where there is one
        return self.yeast

    def _inside(self, line: WeighLine) -> float:
        return self.held.get(line.key, 0.0)

    def _beside_g(self, line: WeighLine) -> float:
        """Water of this line that comes with the yeast."""
        return self.with_yeast_g if line.key == self.water_key else 0.0

    def _yeast_water(self, grams: float) -> tuple[float, float]:
        """So much yeast water becomes `by_factor` x factor + `fixed`: it grows as its yeast does, not as the dough."""
        if not grams or self.yeast is None:
            return 0.0, grams
        inside, yeast_g = self._inside(self.yeast), self.yeast.grams
        return -grams * self.made * inside / yeast_g, grams * (yeast_g + inside) / yeast_g


def percent_of(kind: str, lines: Sequence[WeighLine], poured: Mapping[str, float] | None = None) -> float:
    """What is of this kind in percent of the flour, a preferment's counted, with these grams of some lines in the bowl.

    0 without flour. The phone alone asks it, of its own copy in static/js/scale/mending.js: this one is what tests hold
    that to.
    """
    told = poured or {}
    some = math.fsum(told.get(line_id(line), line.grams) for line in lines if line.kind == kind)
    flour = math.fsum(line.grams for line in lines if line.kind == "flour")
    return 100.0 * some / flour if flour > 0 else 0.0


def _check(lines: Sequence[WeighLine], poured: Mapping[str, float]) -> None:
    known = {line_id(line) for line in lines}
    for name, grams in poured.items():
        if name not in known:
            raise PlanError.at("line", "no-line", name=name)
        if not 0 <= grams < 1e6:
            raise PlanError.at("grams", "not-poured", grams=grams)


def _over(line: WeighLine, poured: Mapping[str, float]) -> float:
    """How many times what the formula wants of it went in; up to the weight first weighed out is no over-pour."""
    grams = poured.get(line_id(line), 0.0)
    return max(1.0, grams / line.grams) if line.grams and grams > line.weigh_g else 1.0


def _due_g(line: WeighLine) -> float:
    """What the formula wants of this line, g; of a preferment all there is."""
    return line.weigh_g if line.kind == "preferment" else line.grams


def _poured_line(line: WeighLine, times: float, poured: Mapping[str, float], step_g: float) -> WeighLine:
    in_bowl = poured.get(line_id(line), 0.0)
    if times == 1.0:
        return replace(line, weigh_g=in_bowl) if in_bowl > line.weigh_g else line
    weigh_g = max(in_bowl, _as_before(_due_g(line) * times, line.weigh_g, step_g))
    return replace(line, grams=line.grams * times, weigh_g=weigh_g, times=line.times * times)


def _as_before(grams: float, before_g: float, step_g: float) -> float:
    """Rounded to the scale's step if the line was, else to a hundredth of a gram."""
    step = step_g if is_whole(before_g, step_g) else 0.01
    return math.floor(grams / step + 0.5) * step
