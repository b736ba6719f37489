"""What lies in the oven and holds the heat: how long it takes to get hot, what a touch of it does, how it recovers.

Model: one square metre of slab as a column of cells (steel and iron one cell, stone six), both faces meeting the air
by convection and grey radiation; the air follows the dial with a time constant of 5 min, unless the oven's power,
after its own walls, its losses and the slab have taken their share, cannot.

Sources: slab properties and the 5 min ramp as in the lumped table of the trade (from memory, checked by calculation);
convection 5-10 W/m2K in still air, 15-25 with a fan (from memory). Heat lost through the walls is that of a bare oven
that holds 250 C with 0.7 kW (common practice). Nobody has the figure of what the walls hold: it shows in ovens weaker
than 2 kW alone, for in others the ramp is slower.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from webapp.core.kinds import SlabKind
from webapp.core.oven.heat_flow import effusivity, in_series, radiation_h, steady_step_s, step

WALLS_J_K = 4500.0  # heat held by the oven's own inner walls and air
LOSS_W_K = 3.0  # lost through door and walls
RAMP_S = 300.0  # an oven's air follows its dial with this time constant, power allowing
POWER_W = (1800.0, 2400.0, 3200.0)  # an oven of unknown power: slow edge, likely, quick edge
LONGEST_HEATING_S = 3 * 3600
COOL_KITCHEN_C = 20.0


@dataclass(frozen=True)
class Material:
    """What a slab is made of: SI units throughout. `cells` = 1 where it is lumped (Biot far under 0.1)."""

    k: float  # W/mK
    density: float  # kg/m3
    specific_heat: float  # J/kgK
    emissivity: float
    cells: int
    usual_mm: float
    made_mm: tuple[float, float] = (0.0, 0.0)  # the thinnest and the thickest that are sold (common practice)

    def thick_mm(self, edge: int) -> float:
        """What is taken of one that nobody measured; `edge` 0 slow to heat, 1 likely, 2 quick."""
        return (self.made_mm[1], self.usual_mm, self.made_mm[0])[edge] or self.usual_mm

    @cached_property
    def effusivity(self) -> float:
        """W s^0.5/m2K."""
        return effusivity(self.k, self.density, self.specific_heat)


MATERIALS: dict[SlabKind, Material] = {
    "steel": Material(47.0, 7850.0, 490.0, 0.8, 1, 6.0, (5.0, 10.0)),
    "stone": Material(2.0, 2000.0, 900.0, 0.9, 6, 15.0, (12.0, 20.0)),
    "cast-iron": Material(50.0, 7200.0, 460.0, 0.8, 1, 5.0, (4.0, 6.0)),
}
TRAY = Material(200.0, 2700.0, 900.0, 0.3, 1, 1.0)  # an aluminium baking tray


@dataclass(frozen=True)
class Slab:
    """A slab of this oven: material, thickness in metres, one face's area in m2."""

    material: Material
    thick_m: float
    area_m2: float

    @property
    def heat(self) -> tuple[float, ...]:
        """J/m2K of each cell."""
        m = self.material
        return (m.density * m.specific_heat * self.thick_m / m.cells,) * m.cells

    @property
    def link(self) -> tuple[float, ...]:
        """W/m2K from each cell's middle to the next."""
        return (self.material.k * self.material.cells / self.thick_m,) * (self.material.cells - 1)

    @property
    def skin(self) -> float:
        """W/m2K from a face to the middle of the first cell."""
        return 2.0 * self.material.k * self.material.cells / self.thick_m


@dataclass(frozen=True)
class Fire:
    """How the oven heats: power in W, W/m2K of its air, the dial's real heat, where it starts."""

    air_c: float
    power_w: float
    air_h: float
    start_c: float = COOL_KITCHEN_C
    ramp_s: float = RAMP_S

    def air_rise(self, now_c: float, slab_w: float) -> float:
        """K/s by which the air climbs while the slab draws `slab_w` watts: the ramp, or what the power leaves."""
        ramp = (self.air_c - now_c) / self.ramp_s
        spare = self.power_w - LOSS_W_K * (now_c - self.start_c) - slab_w
        return min(ramp, spare / WALLS_J_K)


def drawn_w_m2(air_c: float, slab: Slab, cell_c: float, air_h: float) -> float:
    """W/m2 that one face takes from air and walls at `air_c` when its outer cell is at `cell_c`."""
    outside = air_h + radiation_h(air_c, cell_c, slab.material.emissivity)
    return in_series(outside, slab.skin) * (air_c - cell_c)


def heat_up_s(
    slab: Slab, fire: Fire, target_c: float, slab_c: float | None = None, air_now_c: float | None = None
) -> float:
    """Seconds until the coolest part of the slab reaches `target_c`, or LONGEST_HEATING_S when it never does.

    `slab_c` and `air_now_c` start from there instead of a cold oven (recovery between loads).
    """
    heat, link = slab.heat, slab.link
    temps = [fire.start_c if slab_c is None else slab_c] * len(heat)
    air = fire.start_c if air_now_c is None else air_now_c
    hanging = fire.air_h + radiation_h(fire.air_c, fire.air_c, slab.material.emissivity)
    dt = min(4.0, steady_step_s(heat, link, hanging, hanging))
    elapsed = 0.0
    while min(temps) < target_c and elapsed < LONGEST_HEATING_S:
        low = drawn_w_m2(air, slab, temps[0], fire.air_h)
        high = drawn_w_m2(air, slab, temps[-1], fire.air_h)
        step(temps, heat, link, low, high, dt)
        air += fire.air_rise(air, (low + high) * slab.area_m2) * dt
        elapsed += dt
    return min(elapsed, float(LONGEST_HEATING_S))
