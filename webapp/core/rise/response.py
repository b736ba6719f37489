"""How the pace of a dough depends on its temperature, and that pace added up along a path of temperatures.

`response` is the cardinal temperature model of Rosso, Lobry and Flandrois 1993 (J Theor Biol 162:447-463), relative
to 24 C, with the optimum and maximum of S. cerevisiae from Salvadó et al. 2011 (doi 10.1128/AEM.01861-10) and an
effective minimum for gas (glycolysis goes on below the limit of growth) fitted to published doughs.

Along a path, dough relaxes towards its surroundings (Newton): T = A + (T0 - A) exp(-t / tau). The model is a cubic
over a straight line in T, and dt = -tau dT / (T - A), so the integral of the response over time has a closed form:
a quadratic and two logarithms. No stepping, no tolerance; `tests/oracles` compares it with SciPy's `solve_ivp`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

T_MIN, T_OPT, T_MAX = -1.5, 32.3, 45.4  # C
REFERENCE_C = 24.0
NEVER_AFTER_S = 60 * 86400.0  # a rise that takes longer than this is called never

# Denominator of the model: _D (_A T + _B); its zero lies at 90.6 C, far above T_MAX.
_D = T_OPT - T_MIN
_A = (T_OPT - T_MIN) + 2.0 * (T_OPT - T_MAX)
_B = -T_OPT * (T_OPT - T_MIN) - (T_OPT - T_MAX) * (T_OPT + T_MIN)


def _cardinal(temp_c: float) -> float:
    offset = temp_c - T_MIN
    return (temp_c - T_MAX) * offset * offset / (_D * (_A * temp_c + _B))


_SCALE = 1.0 / _cardinal(REFERENCE_C)


def response(temp_c: float) -> float:
    """Rate at this dough temperature relative to 24 C: 1 at 24 C, 0 at -1.5 C and below, at 45.4 C and above."""
    if not T_MIN < temp_c < T_MAX:
        return 0.0
    return _cardinal(temp_c) * _SCALE


@dataclass(frozen=True)
class Leg:
    """A stretch of the dough's way: surroundings at `ambient_c`, lag `tau_s`; `seconds` None is the open one."""

    ambient_c: float
    seconds: float | None
    tau_s: float


def temp_after(start_c: float, leg: Leg, seconds: float) -> float:
    """Dough temperature, C, this long into a leg (Newton's law of cooling)."""
    return leg.ambient_c + (start_c - leg.ambient_c) * math.exp(-seconds / leg.tau_s)


def response_seconds(start_c: float, leg: Leg, seconds: float) -> float:
    """Integral of `response` over the first `seconds` of a leg entered at `start_c`: seconds at 24 C doing the same."""
    return follow(start_c, leg)(seconds)[0]


Warming = Callable[[float], tuple[float, float]]


def follow(start_c: float, leg: Leg) -> Warming:
    """What a leg entered at `start_c` does: a function of seconds into it, giving response seconds and temperature."""
    if T_MIN < start_c < T_MAX and T_MIN < leg.ambient_c < T_MAX:
        return _closed_form(start_c, leg)
    return _clipped(start_c, leg)


def _closed_form(start_c: float, leg: Leg) -> Warming:
    """The warming while T stays inside (T_MIN, T_MAX).

    With u = T - ambient: (u + p)(u + q)^2 / (u (a u + c)) = u / a + beta + A / u + B / (a u + c), and du = -u dt / tau.
    """
    ambient, tau, gap = leg.ambient_c, leg.tau_s, start_c - leg.ambient_c
    p, q, c = ambient - T_MAX, ambient - T_MIN, _A * ambient + _B
    beta = (p + 2.0 * q - c / _A) / _A
    over_u = p * q * q / c
    over_line = (2.0 * p + q) * q - beta * c - over_u * _A
    unit = _SCALE / _D
    steady, tau_unit = over_u * unit, tau * unit
    square, straight, log_of_line = tau_unit / (2.0 * _A), beta * tau_unit, over_line * tau_unit / _A
    expm1, log1p = math.expm1, math.log1p

    def warming(seconds: float) -> tuple[float, float]:
        fallen = -gap * expm1(-seconds / tau)  # how far the gap has closed
        last = gap - fallen
        line = log1p(_A * fallen / (_A * last + c))
        done = fallen * (square * (gap + last) + straight) + log_of_line * line + steady * seconds
        return done, ambient + last

    return warming


def _clipped(start_c: float, leg: Leg) -> Warming:
    """The warming of dough that starts or ends too cold or too warm for any rise: only the part between counts."""

    def warming(seconds: float) -> tuple[float, float]:
        last = temp_after(start_c, leg, seconds)
        begin, end = _in_range(start_c, leg, seconds)
        if end <= begin:
            return 0.0, last
        return _closed_form(temp_after(start_c, leg, begin), leg)(end - begin)[0], last

    return warming


def _in_range(start_c: float, leg: Leg, seconds: float) -> tuple[float, float]:
    """The part of the time in which the dough is warm enough and not too warm for any rise."""
    begin, end, ambient_c = 0.0, seconds, leg.ambient_c
    for limit, inwards in ((T_MIN, 1.0), (T_MAX, -1.0)):
        starts_inside = inwards * (start_c - limit) > 0
        ends_inside = inwards * (ambient_c - limit) >= 0
        if starts_inside and ends_inside:
            continue
        if not starts_inside and (not ends_inside or ambient_c == limit):
            return 0.0, 0.0
        crossing = leg.tau_s * math.log((start_c - ambient_c) / (limit - ambient_c))
        begin, end = (begin, min(end, crossing)) if starts_inside else (max(begin, crossing), end)
    return begin, end


def seconds_for(wanted: float, start_c: float, leg: Leg) -> float:
    """Seconds into a leg after which `response_seconds` has grown to `wanted`; infinite when it never does.

    Newton's method on a function that only rises, kept inside its bracket, from the straight line that the warming
    becomes once the dough has taken the temperature of its surroundings.
    """
    if wanted <= 0:
        return 0.0
    warming = follow(start_c, leg)
    missing = wanted - warming(NEVER_AFTER_S)[0]
    if missing > 0:
        return math.inf
    low, high = 0.0, NEVER_AFTER_S
    steady = response(leg.ambient_c)
    at = NEVER_AFTER_S + missing / steady if steady > 0 else 0.0
    if not 0.0 < at < NEVER_AFTER_S:
        at = min(wanted / max(response(start_c), 1e-6), NEVER_AFTER_S / 2.0)
    for _ in range(80):  # pragma: no branch - it converges in a handful of steps; the cap is a promise to end
        done, temp_c = warming(at)
        missing = wanted - done
        low, high = (at, high) if missing > 0 else (low, at)
        slope = response(temp_c)
        step = missing / slope if slope > 0 else math.inf
        if abs(step) < 1e-6 or high - low < 1e-6:
            break
        at = at + step if low < at + step < high else (low + high) / 2.0
    return at


def along(start_c: float, legs: Iterable[Leg]) -> tuple[float, float]:
    """Response seconds over closed legs one after the other, and the dough temperature at their end."""
    total, temp = 0.0, start_c
    for leg in legs:
        done, temp = follow(temp, leg)(leg.seconds or 0.0)
        total += done
    return total, temp


def open_length(wanted: float, start_c: float, legs: Iterable[Leg]) -> float:
    """How long the one open leg (its `seconds` None) must last for `wanted` response seconds at the end of all legs.

    0 when the other legs alone do it; infinite when no length does. A longer cold leg can first cost more than it
    brings, by sending colder dough into what follows; the least length past that dip is the answer.
    """
    rows = tuple(legs)
    middle = next(i for i, leg in enumerate(rows) if leg.seconds is None)
    before, opened, after = rows[:middle], rows[middle], rows[middle + 1 :]
    done, entry_c = along(start_c, before)
    if not after:
        return seconds_for(wanted - done, entry_c, opened)

    warming = follow(entry_c, opened)

    def excess(length: float) -> float:
        during, temp_c = warming(length)
        return during + along(temp_c, after)[0] - (wanted - done)

    high = min(NEVER_AFTER_S, seconds_for(wanted - done, entry_c, opened) + 1e-3)  # surely on the far side
    if excess(0.0) >= 0:
        return 0.0
    return _root(excess, high) if excess(high) >= 0 else math.inf


def _root(excess: Callable[[float], float], high: float) -> float:
    """The crossing of a function below 0 at 0 and not below 0 at `high`: false position, by the Illinois rule."""
    low, f_low, f_high, side = 0.0, excess(0.0), excess(high), 0
    for _ in range(100):  # pragma: no branch - as above
        if high - low < 1e-6 or f_high == 0:
            break
        at = high - f_high * (high - low) / (f_high - f_low)
        value = excess(at)
        if value < 0:
            low, f_low, f_high, side = at, value, f_high / (2.0 if side < 0 else 1.0), -1
        else:
            high, f_high, f_low, side = at, value, f_low / (2.0 if side > 0 else 1.0), 1
    return high
