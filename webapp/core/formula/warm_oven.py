"""The warm spot that is the oven with its light on: whatever stands in there comes out before the oven is lit.

A method does not know how long its oven heats, so it is made ready for one oven here: taking out is a step of its own,
and from there to the loading there is time to heat. The tray then waits at the warmth of the room, and the planner
reckons it so. That an oven which still holds a dough is not lit needs no source; the least stay is this project's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from webapp.core.formula.method import GRID_MIN, Method, MethodStep

LEAST_STAY_MIN = 10  # a tray is not carried into the warm spot for less
OUT_LATER_MIN = 15  # so much later than it must, a dough may come out
OUT = MethodStep("warm-out", alarm_min=5)


def out_before_lit(method: Method, preheat_min: int, loads: int = 1) -> Method:
    """The method for a warm spot that is the oven, which heats so many minutes before the first of so many loads.

    A tray stands in there until the oven is lit, where its proof at its best leaves time for both. Where it does not,
    and with several loads, of which the later ones are pressed when the oven is hot, the bowl comes out before pressing
    and every tray proofs on the bench. A method without a warm spot stays as it is.
    """
    if "warm" not in method.uses:
        return method
    heats = -(-preheat_min // GRID_MIN) * GRID_MIN
    both = method.steps[-1].wait_best_min >= LEAST_STAY_MIN + OUT.hands + heats
    steps = method.steps if both and loads < 2 else _on_the_bench(method.steps)
    return replace(method, steps=_heated(_taken_out(steps, heats), heats))


def _on_the_bench(steps: Sequence[MethodStep]) -> tuple[MethodStep, ...]:
    """The steps with every tray on the bench; what carried it into the warm spot falls away, its waits go on."""
    out: list[MethodStep] = []
    waits = (0, 0, 0)
    pressed = False
    for step in steps:
        pressed = pressed or step.kind == "press"
        if pressed and step.kind == "warm":
            waits = _longer(waits, step, step.hands)
            continue
        one = _waiting(step, _longer(waits, step, 0))
        waits = (0, 0, 0)
        out.append(replace(one, place="bench") if pressed and one.goes_to == "warm" else one)
    return tuple(out)


def _longer(waits: tuple[int, int, int], step: MethodStep, by_min: int) -> tuple[int, int, int]:
    least, best, most = waits
    return (
        least + step.wait_least_min + by_min, best + step.wait_best_min + by_min, most + step.wait_most_min + by_min,
    )  # fmt: skip


def _waiting(step: MethodStep, waits: tuple[int, int, int]) -> MethodStep:
    least, best, most = waits
    return replace(step, wait_least_min=least, wait_best_min=best, wait_most_min=most)


def _last_warm(steps: Sequence[MethodStep]) -> int:
    """The number of the last step that leaves the dough in the warm spot; -1 when none does."""
    return max((i for i, step in enumerate(steps) if step.goes_to == "warm"), default=-1)


def _taken_out(steps: Sequence[MethodStep], heats: int) -> tuple[MethodStep, ...]:
    """The steps with taking out as one of them, unless the dough goes from there into the fridge or rests once more."""
    last = _last_warm(steps)
    after = next(i for i in range(last + 1, len(steps)) if steps[i].moves) if last >= 0 else -1
    if after < 0 or steps[after].kind not in ("press", "load"):
        return tuple(steps)
    then = steps[after]
    if then.kind == "press":
        out, then = _waiting(OUT, _longer((0, 0, 0), then, 0)), _waiting(then, (0, 0, OUT_LATER_MIN))
    else:
        least, best, most = (max(LEAST_STAY_MIN, one - OUT.hands - heats) for one in _longer((0, 0, 0), then, 0))
        out, then = _waiting(OUT, (least, best, most)), _waiting(then, (heats, heats, heats + OUT_LATER_MIN))
    return (*steps[:after], out, then, *steps[after + 1 :])


def _heated(steps: Sequence[MethodStep], heats: int) -> tuple[MethodStep, ...]:
    """The steps with a loading that leaves time to heat from when the warm spot is empty, however short the waits."""
    last = _last_warm(steps)
    later = [step for step in steps[last + 1 :] if step.moves] if last >= 0 else []
    if not later:
        return tuple(steps)
    first, load = later[0], later[-1]
    least = sum(step.wait_least_min for step in later[1:]) + sum(step.hands for step in later[:-1])
    least -= first.hands if first.kind == "warm-out" else 0  # the others leave it empty as they begin
    short = max(0, heats - least)
    waits = (load.wait_least_min + short, load.wait_best_min, load.wait_most_min)
    return (*steps[:-1], _waiting(load, (waits[0], max(waits[:2]), max(waits))))
