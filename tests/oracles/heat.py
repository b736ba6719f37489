"""Heat from outside: textbook closed forms and SciPy's integrators, to hold core's plain stepping against.

Closed forms from Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5 (from memory): lumped capacitance
(5.6), lumped with radiation alone (5.18), plane wall with convection as a series (5.42), semi-infinite solid (5.58,
5.63). Nothing here imports the program.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import erf, erfcx

SIGMA = 5.670374419e-8


def lumped_s(heat: float, h: float, start: float, far: float, target: float) -> float:
    """Seconds for a lumped body (J/m2K, both faces counted in `h` W/m2K) to reach `target`."""
    return heat / h * math.log((far - start) / (far - target))


def radiating_s(heat: float, emissivity: float, start_c: float, far_c: float, target_c: float) -> float:
    """Seconds for a lumped body heated by radiation alone to reach `target` (Incropera 5.18)."""
    t0, t, s = (c + 273.15 for c in (start_c, target_c, far_c))
    logs = math.log((s + t) / (s - t)) - math.log((s + t0) / (s - t0))
    return heat / (4 * emissivity * SIGMA * s**3) * (logs + 2 * (math.atan(t / s) - math.atan(t0 / s)))


def wall_middle(fourier: float, biot: float, terms: int = 60) -> float:
    """(T_middle - T_far)/(T_start - T_far) of a plane wall convected on both faces; lengths are the half thickness."""
    total = 0.0
    for n in range(terms):
        low, high = n * math.pi + 1e-9, n * math.pi + math.pi / 2 - 1e-9
        zeta = brentq(lambda z: z * math.tan(z) - biot, low, high, xtol=1e-13)
        weight = 4 * math.sin(zeta) / (2 * zeta + math.sin(2 * zeta))
        total += weight * math.exp(-(zeta**2) * fourier)
    return total


def wall_middle_s(half_m: float, diffusivity: float, biot: float, left: float) -> float:
    """Seconds until `left` of the first gap is left in the middle of a plane wall."""
    fourier = brentq(lambda fo: wall_middle(fo, biot) - left, 1e-3, 50.0)
    return fourier * half_m**2 / diffusivity


def deep_step_c(depth_m: float, seconds: float, start: float, face: float, diffusivity: float) -> float:
    """Semi-infinite solid whose face jumps to `face` at once."""
    return float(face + (start - face) * erf(depth_m / (2 * math.sqrt(diffusivity * seconds))))


def convected_face_c(seconds: float, start: float, far: float, h: float, k: float, diffusivity: float) -> float:
    """Face of a semi-infinite solid under convection, by SciPy's own scaled complementary error function."""
    return float(far + (start - far) * erfcx(h * math.sqrt(diffusivity * seconds) / k))


def reach_s(
    rhs: Callable[[float, np.ndarray], np.ndarray],
    start: np.ndarray,
    target: float,
    first: int,
    last: int,
    most_s: float = 3 * 3600.0,
) -> float:
    """Seconds until the coolest of cells first..last-1 reaches `target`, by a stiff integrator with an event."""

    def there(_: float, y: np.ndarray) -> float:
        return float(np.min(y[first:last]) - target)

    there.terminal = True  # type: ignore[attr-defined]
    there.direction = 1  # type: ignore[attr-defined]
    answer = solve_ivp(rhs, (0, most_s), start, method="BDF", events=there, rtol=1e-8, atol=1e-6)
    assert answer.t_events[0].size, "never reached"
    return float(answer.t_events[0][0])


def slab_in_oven_s(
    cells: int,
    thick: float,
    k: float,
    rho: float,
    c: float,
    eps: float,
    h: float,
    air_c: float,
    tau_s: float,
    start_c: float,
    target_c: float,
) -> float:
    """A slab in an oven whose air rises exponentially: method of lines, convection + radiation."""
    dx = thick / cells

    def face_flux(air: float, cell: float) -> float:
        # the face's own temperature, between air and the outer cell's middle
        def balance(face: float) -> float:
            given = h * (air - face) + eps * SIGMA * ((air + 273.15) ** 4 - (face + 273.15) ** 4)
            return given - (face - cell) * 2 * k / dx

        low, high = min(air, cell) - 1, max(air, cell) + 1
        return (brentq(balance, low, high) - cell) * 2 * k / dx

    def rhs(t: float, y: np.ndarray) -> np.ndarray:
        air = air_c - (air_c - start_c) * math.exp(-t / tau_s)
        flux = np.zeros(cells + 1)
        flux[0] = face_flux(air, y[0])
        flux[-1] = -face_flux(air, y[-1])
        flux[1:-1] = k / dx * (y[:-1] - y[1:])
        return (flux[:-1] - flux[1:]) / (rho * c * dx)

    return reach_s(rhs, np.full(cells, start_c), target_c, 0, cells)


def dough_in_cool_oven_s(
    layers: list[tuple[int, float, float, float]],
    touches: list[float],
    eps: tuple[float, float],
    h: float,
    air_c: float,
    starts: list[float],
    target_c: float,
    watched: int,
) -> float:
    """Layers (cells, thickness, k, rho c) between two faces in air under 100 C: nothing boils, nothing dries.

    `touches[i]` W/m2K between layer i and i + 1 (0 = perfect); seconds until all of layer `watched` is at `target_c`.
    """
    caps: list[float] = []
    links: list[float] = []
    skins: list[float] = []
    first = last = 0
    for i, (cells, thick, k, rho_c) in enumerate(layers):
        inner = k * cells / thick
        if caps:
            resist = 1 / (2 * inner) + 1 / skins[-1] + (1 / touches[i - 1] if touches[i - 1] else 0)
            links.append(1 / resist)
        if i == watched:
            first, last = len(caps), len(caps) + cells
        links += [inner] * (cells - 1)
        caps += [rho_c * thick / cells] * cells
        skins.append(2 * inner)
    cap, link = np.array(caps), np.array(links)
    top_skin = skins[-1]

    def rhs(_: float, y: np.ndarray) -> np.ndarray:
        low_h = h + eps[0] * SIGMA * ((air_c + 273.15) ** 2 + (y[0] + 273.15) ** 2) * (air_c + y[0] + 546.3)
        high_h = h + eps[1] * SIGMA * ((air_c + 273.15) ** 2 + (y[-1] + 273.15) ** 2) * (air_c + y[-1] + 546.3)
        flux = np.zeros(len(cap) + 1)
        flux[0] = low_h * (air_c - y[0])
        flux[-1] = -(air_c - y[-1]) / (1 / high_h + 1 / top_skin)
        flux[1:-1] = link * (y[:-1] - y[1:])
        return (flux[:-1] - flux[1:]) / cap

    start = np.concatenate([np.full(layer[0], c) for layer, c in zip(layers, starts, strict=True)])
    return reach_s(rhs, start, target_c, first, last, 24 * 3600.0)
