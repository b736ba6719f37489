"""How long the dough must stay in the oven: a 1-D column from slab to topping, until the middle is baked.

From below: slab (or nothing), tray (or none), crust, dough, topping, oven air. Wet dough does not pass 100 C: heat
beyond that drives off water. What the base loses leaves a dry crust behind, which thickens, resists the heat and
browns at its face. Baked when the coolest dough is at 95 C and the base has browned.

Sources: end heat of lean breads 93-98 C (bread-bakers list 2008; focaccia 93-98 C, common practice): 95 C, with 94 and
96 C at the band's edges. Dough k 0.2-0.3 W/mK and 550-600 kg/m3 when risen (from memory), 2.8 kJ/kgK at 65 %
hydration (calculated from water 4.18 and solids 1.6); lighter in the band, as it still grows in the oven. Dry crust
0.1 W/mK, browns above 140-150 C; convection 5-10 W/m2K in still air, 15-25 with a fan; latent heat of water
2.26 MJ/kg (all from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.heat_flow import in_series, radiation_h, steady_step_s, step
from webapp.core.slab import TRAY, Slab

DOUGH_K, DOUGH_C = 0.25, 2800.0
DOUGH_DENSITY = (420.0, 500.0, 580.0)  # slow edge, likely, quick edge
TOP_K, TOP_DENSITY, TOP_C = 0.5, 1000.0, 3600.0
DOUGH_CELLS, TOP_CELLS = 6, 2
FILM_KG_M2 = 0.7
LATENT_J_KG = 2.26e6
BOIL_C = 100.0
DONE_C = (96.0, 95.0, 94.0)  # slow edge, likely, quick edge
BROWN_C = (142.0, 140.0, 136.0)
WATER_SHARE = 0.39  # of dough at 65 % hydration
CRUST_K = 0.1
STILL_H = (5.0, 8.0, 10.0)
FAN_H = (12.0, 17.0, 22.0)
TOUCH_H = (120.0, 150.0, 200.0)  # W/m2K between a hot metal face and an oiled or floured base, crust included
OILED_H = 1000.0  # oiled dough lies close on its tray
DOUGH_EMISSIVITY, TRAY_EMISSIVITY = 0.9, 0.8
LONGEST_S = 3600.0


@dataclass(frozen=True)
class Baking:
    """What goes in and what it meets. SI units but for the loadings; without a slab there is always a tray."""

    loading_g_cm2: float
    topping_g_cm2: float
    air_c: float
    fan: bool
    slab: Slab | None
    slab_c: float
    on_tray: bool
    start_c: float = 24.0
    topping_c: float = 12.0


@dataclass(frozen=True)
class Baked:
    """Seconds until the middle is done and until the base has browned; then the slab's heat and the weight lost."""

    middle_s: float
    brown_s: float
    slab_c: float
    lost_share: float  # of dough and topping together

    @property
    def done_s(self) -> float:
        """Both done."""
        return max(self.middle_s, self.brown_s)


@dataclass
class _Column:
    """Cells from below upwards, one square metre."""

    temps: list[float]
    heat: list[float]
    link: list[float]
    first_wet: int  # index of the first dough cell
    last_dough: int


def _set_under(
    col: _Column, cells: int, thick_m: float, k: float, heat_j: float, start_c: float, touch: float
) -> float:
    """Stack metal or stone, cells with their middles as nodes; returns W/m2K from its top face to its last node."""
    inner = k * cells / thick_m
    if col.temps:
        col.link.append(in_series(touch, 2.0 * inner))
    col.link.extend([inner] * (cells - 1))
    col.heat.extend([heat_j / cells] * cells)
    col.temps.extend([start_c] * cells)
    return 2.0 * inner


def _grow(col: _Column, cells: int, thick_m: float, k: float, heat_j: float, start_c: float) -> None:
    """Lay `cells` of dough or topping on the last node, nodes at the cells' borders: the faces are what boils dry."""
    each = heat_j / cells
    shared = col.heat[-1] + each / 2.0
    col.temps[-1] += (start_c - col.temps[-1]) * (each / 2.0) / shared
    col.heat[-1] = shared
    col.link.extend([k * cells / thick_m] * cells)
    col.heat.extend([each] * (cells - 1) + [each / 2.0])
    col.temps.extend([start_c] * cells)


def _stack(b: Baking, edge: int) -> _Column:
    """The column of this baking, from below."""
    col, touch = _Column([], [], [], 0, 0), TOUCH_H[edge]
    if b.slab:
        m = b.slab.material
        upward = _set_under(col, m.cells, b.slab.thick_m, m.k, sum(b.slab.heat), b.slab_c, 0.0)
        touch = in_series(touch, upward)
    if b.on_tray or b.slab is None:
        held = TRAY.density * TRAY.specific_heat * TRAY.usual_mm / 1000.0
        _set_under(col, 1, TRAY.usual_mm / 1000.0, TRAY.k, held, b.start_c, touch)
        touch = OILED_H
    dough = b.loading_g_cm2 * 10.0  # kg/m2
    col.first_wet = len(col.temps)
    col.link.append(touch)
    col.heat.append(0.0)
    col.temps.append(b.start_c)
    _grow(col, DOUGH_CELLS, dough / DOUGH_DENSITY[edge], DOUGH_K, dough * DOUGH_C, b.start_c)
    col.last_dough = len(col.temps) - 1
    top = b.topping_g_cm2 * 10.0
    if top > FILM_KG_M2:
        _grow(col, TOP_CELLS, top / TOP_DENSITY, TOP_K, top * TOP_C, b.topping_c)
    else:
        col.heat[-1] += top * TOP_C  # a film of oil or brine has no inside
    return col


def _boil(col: _Column) -> tuple[float, float]:
    """Hold wet cells at 100 C; returns kg/m2 of water driven off by the base cell, and by all of them."""
    base = spent = 0.0
    for i in range(col.first_wet, len(col.temps)):
        over = (col.temps[i] - BOIL_C) * col.heat[i]
        if over > 0.0:
            spent += over
            base += over if i == col.first_wet else 0.0
            col.temps[i] = BOIL_C
    return base / LATENT_J_KG, spent / LATENT_J_KG


def bake(b: Baking, edge: int = 1) -> Baked:
    """Carry the column on until the middle and the base are done (or an hour has passed).

    `edge` picks the slow (0), likely (1) or quick (2) edge of all that is not known exactly.
    """
    air_h = (FAN_H if b.fan else STILL_H)[edge]
    col = _stack(b, edge)
    below = b.slab.material.emissivity if b.slab else TRAY_EMISSIVITY
    hang = air_h + radiation_h(b.air_c, b.air_c, 1.0)
    dt = min(4.0, steady_step_s(col.heat, col.link, hang, hang))
    base, upper = col.first_wet, col.last_dough + 1
    moist, touch = DOUGH_DENSITY[edge] * WATER_SHARE, col.link[base - 1]
    dried = lost = elapsed = 0.0
    middle = brown = LONGEST_S
    while elapsed < LONGEST_S and LONGEST_S in (middle, brown):
        low_c, high_c = col.temps[0], col.temps[-1]
        low = (air_h + radiation_h(b.air_c, low_c, below)) * (b.air_c - low_c)
        high = (air_h + radiation_h(b.air_c, high_c, DOUGH_EMISSIVITY)) * (b.air_c - high_c)
        step(col.temps, col.heat, col.link, low, high, dt)
        base_loss, all_loss = _boil(col)
        dried, lost, elapsed = dried + base_loss, lost + all_loss, elapsed + dt
        crust = dried / moist / CRUST_K  # m2K/W
        col.link[base - 1] = 1.0 / (1.0 / touch + crust)
        face_c = col.temps[base] + crust * col.link[base - 1] * (col.temps[base - 1] - col.temps[base])
        if middle == LONGEST_S and min(col.temps[base:upper]) >= DONE_C[edge]:
            middle = elapsed
        if brown == LONGEST_S and face_c >= BROWN_C[edge]:
            brown = elapsed
    slab_cells = b.slab.material.cells if b.slab else 1
    share = lost / (10.0 * (b.loading_g_cm2 + b.topping_g_cm2))
    return Baked(middle, brown, sum(col.temps[:slab_cells]) / slab_cells, share)
