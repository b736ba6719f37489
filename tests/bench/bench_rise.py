"""How fast a rise is solved, as a ratio to SciPy's `solve_ivp` at equal accuracy (0.1 %), in the same run.

    python -m tests.bench.bench_rise

Three jobs: one ready time, one yeast for a schedule, and 1,000 drawn doughs of each. The closed
form is exact; `solve_ivp` gets a tolerance with which it stays within 0.1 % on these doughs (printed), by its default
method (RK45) and by LSODA, compiled Fortran and its quickest here; it stops at the event of being ready.
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

from scipy.integrate import solve_ivp

from webapp.core.rise.fermentation import (
    DoughMake,
    Leg,
    need,
    pace_per_s,
    rise,
    yeast_for,
    yeast_for_legs,
)
from webapp.core.rise.response import open_length, response

RTOL = 1e-4
METHODS = ("RK45", "LSODA")


@dataclass(frozen=True)
class Case:
    """A drawn dough on a bench, then in another place."""

    make: DoughMake
    start_c: float
    legs: tuple[Leg, ...]
    increase: float


def drawn(count: int, seed: int = 1) -> list[Case]:
    """Doughs of home baking."""
    rng = random.Random(seed)
    return [
        Case(
            DoughMake(rng.uniform(0.05, 1.0), rng.uniform(1.8, 2.8)), rng.uniform(18, 28),
            (Leg(rng.uniform(17, 27), 7200.0, 7200.0), Leg(rng.uniform(8, 27), None, 7200.0)), rng.uniform(0.8, 2.0),
        )
        for _ in range(count)
    ]  # fmt: skip


def ivp_ready(case: Case, method: str) -> float:
    """Seconds of the open leg by `solve_ivp`, stopping when ready."""
    pace, wanted = pace_per_s(case.make), need(case.increase)
    first, opened = case.legs
    start = solve_ivp(_slope(pace, first), (0, first.seconds or 0.0), [case.start_c, 0.0], method=method, rtol=RTOL)

    def ready(_t: float, y: list[float]) -> float:
        return y[1] - wanted

    ready.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(_slope(pace, opened), (0, 30 * 86400), start.y[:, -1], method=method, rtol=RTOL, events=ready)
    return float(found.t_events[0][0]) if len(found.t_events[0]) else 0.0


def _slope(pace: float, leg: Leg) -> Callable[[float, list[float]], list[float]]:
    def slope(_t: float, y: list[float]) -> list[float]:
        return [(leg.ambient_c - y[0]) / leg.tau_s, pace * response(y[0])]

    return slope


def ivp_integral(case: Case, seconds: float, method: str) -> float:
    """Response seconds along both legs by `solve_ivp`."""
    temp, done = case.start_c, 0.0
    for leg, length in zip(case.legs, (case.legs[0].seconds or 0.0, seconds), strict=True):
        found = solve_ivp(_slope(1.0, leg), (0, length), [temp, done], method=method, rtol=RTOL, atol=1e-3)
        temp, done = found.y[:, -1]
    return float(done)


def ready_s(case: Case) -> float:
    """The same as `ivp_ready` by the closed form."""
    return open_length(need(case.increase) / pace_per_s(case.make), case.start_c, case.legs)


def per_call(job: Callable[[], object], at_least_s: float = 0.4) -> float:
    """Seconds per call, the median of five batches."""
    count, begun = 0, time.perf_counter()
    while time.perf_counter() - begun < at_least_s / 5:
        job()
        count += 1
    batches = []
    for _ in range(5):
        begun = time.perf_counter()
        for _ in range(count):
            job()
        batches.append((time.perf_counter() - begun) / count)
    return statistics.median(batches)


def row(name: str, ours: float, default: float, quickest: float) -> None:
    """One line of the table."""
    ratios = f"{default / ours:>9.0f} x{quickest / ours:>9.0f} x"
    print(f"{name:<40}{ours * 1e6:>11.1f} us{default * 1e6:>11.1f} us{quickest * 1e6:>11.1f} us{ratios}")


def closed_at(case: Case, seconds: float) -> tuple[Leg, ...]:
    """The same way with its open leg this long."""
    return case.legs[0], Leg(case.legs[1].ambient_c, seconds, case.legs[1].tau_s)


def ivp_yeast(case: Case, seconds: float, method: str) -> float:
    """Yeast for a schedule by `solve_ivp`."""
    return yeast_for(need(case.increase), ivp_integral(case, seconds, method), case.make)


def main() -> None:
    """Print accuracy and ratios."""
    cases = [c for c in drawn(1000) if 60 < ready_s(c) < 20 * 86400]
    for method in METHODS:
        errors = sorted(abs(ivp_ready(c, method) / ready_s(c) - 1) for c in cases[:200])
        print(f"solve_ivp {method} against the closed form: median {errors[100]:.1e}, worst {errors[-1]:.1e} of 200")
    print(f"{'':<40}{'closed form':>14}{'RK45':>14}{'LSODA':>14}{'ratios':>22}")
    one = cases[0]
    s = ready_s(one)
    ready = [per_call(lambda m=m: ivp_ready(one, m)) for m in METHODS]  # type: ignore[misc]
    row("one ready time", per_call(lambda: ready_s(one)), *ready)
    all_five = per_call(lambda: rise(one.make, one.start_c, one.legs, one.increase))
    row("one rise: ready, band, marks (5 solves)", all_five, 5 * ready[0], 5 * ready[1])
    way = closed_at(one, s)
    row(
        "one yeast for a schedule",
        per_call(lambda: yeast_for_legs(one.make, one.start_c, way, one.increase)),
        *(per_call(lambda m=m: ivp_yeast(one, s, m)) for m in METHODS),
    )  # type: ignore[misc]
    many = [(c, ready_s(c), closed_at(c, ready_s(c))) for c in cases]
    each = len(many)
    row(
        "1,000 ready times, each",
        once(lambda: [ready_s(c) for c, _, _ in many]) / each,
        *(once(lambda m=m: [ivp_ready(c, m) for c, _, _ in many]) / each for m in METHODS),
    )  # type: ignore[misc]
    row(
        "1,000 yeasts, each",
        once(lambda: [yeast_for_legs(c.make, c.start_c, w, c.increase) for c, _, w in many]) / each,
        *(once(lambda m=m: [ivp_yeast(c, s, m) for c, s, _ in many]) / each for m in METHODS),
    )  # type: ignore[misc]


def once(job: Callable[[], object]) -> float:
    """Seconds of one run."""
    begun = time.perf_counter()
    job()
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
