"""How long the oven step takes to work out, against SciPy's stiff integrator on the same slab in the same run.

Run by hand: `python -m tests.bench.bench_oven`. Prints milliseconds and the ratio; asserts nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.oracles import heat
from webapp.core.kitchen import Oven
from webapp.core.oven import oven as core
from webapp.core.oven.slab import MATERIALS, RAMP_S, Fire, Slab, heat_up_s


def best_of(work: Callable[[], object], times: int = 5) -> float:
    """Least milliseconds of several runs."""
    taken = []
    for _ in range(times):
        begun = perf_counter()
        work()
        taken.append((perf_counter() - begun) * 1000.0)
    return min(taken)


def whole_step(profile: Oven) -> None:
    """A programme with nothing remembered from before."""
    core._heating_band.cache_clear()
    core._baked.cache_clear()
    core.programme(core.ToBake(profile, 0.7, 0.4, "tray"), trays=2)


def main() -> None:
    """Print the table."""
    stone = MATERIALS["stone"]
    ours = best_of(lambda: heat_up_s(Slab(stone, 0.015, 0.13), Fire(250, 1e9, 8.0), 240))
    theirs = best_of(
        lambda: heat.slab_in_oven_s(
            stone.cells, 0.015, stone.k, stone.density, stone.specific_heat, stone.emissivity, 8.0, 250, RAMP_S, 20, 240
        ),
        2,
    )
    print(f"stone to 240 C: ours {ours:.1f} ms, scipy BDF {theirs:.0f} ms, ratio {theirs / ours:.0f}")
    for name, profile in {"steel": Oven(slab="steel", slab_mm=10), "stone": Oven(slab="stone"), "bare": Oven()}.items():
        print(f"whole oven step, {name}: {best_of(lambda p=profile: whole_step(p)):.1f} ms")


if __name__ == "__main__":
    main()
