"""How long the dough must stay in the oven: a 1-D column from slab to topping, until the middle is baked.

From below: slab (or nothing), tray (or none), crust, dough, topping, oven air. Wet dough does not pass 100 C: heat
beyond that drives off water. What the base loses leaves a dry crust behind, which thickens, resists the heat and
browns at its face. The top does the same once the film of brine on it has boiled away; under sauce and cheese it is
the bare rim that must brown. Baked when the coolest dough is at 95 C and base and top have browned: a wet focaccia
waits for its top long after its middle is done (common practice: 20-28 min at 220 C; thin on a hot slab 6-8 min).

Sources: end heat of lean breads 93-98 C (bread-bakers list 2008; focaccia 93-98 C, common practice): 95 C, with 94 and
96 C at the band's edges. Dough k 0.2-0.3 W/mK and 550-600 kg/m3 when risen (from memory), 2.8 kJ/kgK at 65 %
hydration (calculated from water 4.18 and solids 1.6); lighter in the band, as it still grows in the oven. A dough with
milk or egg is done at 85-90 C (185-195 F, bread-bakers list 2008). Dry crust 0.1 W/mK, browns above 140-150 C (a dough
with milk, egg or much sugar sooner; nobody has the figure, these are chosen so that a soft pan bread takes the 12-20
min at 190 C that bakers know); convection 5-10 W/m2K in still air, 15-25 with a fan; latent heat of water
2.26 MJ/kg (all from memory). The air is back 3-6 min after the door was open (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core.kinds import OvenFunction
from webapp.core.oven.function import FUNCTIONS
from webapp.core.oven.heat_flow import in_series, radiation_h, steady_step_s, step
from webapp.core.oven.slab import TRAY, Slab

DOUGH_K, DOUGH_C = 0.25, 2800.0
DOUGH_DENSITY = (420.0, 500.0, 580.0)  # slow edge, likely, quick edge
TOP_K, TOP_DENSITY, TOP_C = 0.5, 1000.0, 3600.0
DOUGH_CELLS, TOP_CELLS = 6, 2
FILM_KG_M2 = 0.7
LATENT_J_KG = 2.26e6
BOIL_C = 100.0
DONE_C = (96.0, 95.0, 94.0)  # slow edge, likely, quick edge
BROWN_C = (142.0, 140.0, 136.0)
GOLDEN_C = (152.0, 150.0, 146.0)  # what is looked at, top or rim, is wanted darker than the first brown
ENRICHED_DONE_C, ENRICHED_BROWN_C, ENRICHED_GOLDEN_C = (90.0, 88.0, 85.0), (128.0, 125.0, 122.0), (134.0, 130.0, 126.0)
DOOR_S = 100.0  # the air comes back with this time constant
WATER_SHARE = 0.39  # of dough at 65 % hydration
CRUST_K = 0.1
TOUCH_H = (120.0, 150.0, 200.0)  # W/m2K between a hot metal face and an oiled or floured base, crust included
OILED_H = 1000.0  # oiled dough lies close on its tray
# Dough of 0.9 under a lid of oven walls of 0.9 close above: 1 / (1/0.9 + 1/0.9 - 1). The tray hangs in the open oven.
DOUGH_EMISSIVITY, TRAY_EMISSIVITY = 0.82, 0.8
LONGEST_BAKE_S = 3600.0
LEAN, ENRICHED = (DONE_C, BROWN_C, GOLDEN_C), (ENRICHED_DONE_C, ENRICHED_BROWN_C, ENRICHED_GOLDEN_C)


@dataclass(frozen=True)
class OvenLoad:
    """What goes in and what it meets. SI units but for the loadings; without a slab there is always a tray."""

    loading_g_cm2: float
    topping_g_cm2: float
    air_c: float
    function: OvenFunction
    slab: Slab | None
    slab_c: float
    on_tray: bool
    start_c: float = 24.0
    topping_c: float = 12.0
    loaded_c: float | None = None  # the air as the door shuts again, on its way to `air_c`; None = at once there
    golden: bool = False  # the top itself has to brown, whatever lies on it; else the bare rim beside the topping
    enriched: bool = False  # milk, egg or much sugar in the dough: done and brown at lower heats


@dataclass(frozen=True)
class Baked:
    """Seconds until the middle is done, base and top have browned; then the slab's heat and the weight lost."""

    middle_s: float
    brown_s: float
    top_s: float
    slab_c: float
    lost_share: float  # of dough and topping together; no page shows it: tests hold it against what bakers weigh

    @property
    def done_s(self) -> float:
        """All three done."""
        return max(self.middle_s, self.brown_s, self.top_s)


@dataclass
class _Crust:
    """A face that dries: what lies on it goes first, then the dough's own water, which leaves a crust."""

    moist: float  # kg/m3 of water in the dough
    film: float = 0.0  # kg/m2 still to boil away
    resists: float = 0.0  # m2K/W

    def loses(self, water: float) -> None:
        """kg/m2 driven off."""
        first = min(water, self.film)
        self.film -= first
        self.resists += (water - first) / self.moist / CRUST_K


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


def _stack(b: OvenLoad, edge: int) -> _Column:
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


def _boil(col: _Column) -> tuple[float, float, float]:
    """Hold wet cells at 100 C; returns kg/m2 of water driven off by the base cell, by the top cell, and by all."""
    base = top = spent = 0.0
    last = len(col.temps) - 1
    for i in range(col.first_wet, last + 1):
        over = (col.temps[i] - BOIL_C) * col.heat[i]
        if over > 0.0:
            spent += over
            base += over if i == col.first_wet else 0.0
            top += over if i == last else 0.0
            col.temps[i] = BOIL_C
    return base / LATENT_J_KG, top / LATENT_J_KG, spent / LATENT_J_KG


def bake(b: OvenLoad, edge: int = 1) -> Baked:
    """Carry the column on until middle, base and top are done (or an hour has passed).

    `edge` picks the slow (0), likely (1) or quick (2) edge of all that is not known exactly.
    """
    topped = not b.golden and b.topping_g_cm2 * 10.0 > FILM_KG_M2
    rim = _Bake(replace(b, topping_g_cm2=0.0), edge) if topped else None
    while rim and rim.top_s == LONGEST_BAKE_S and rim.elapsed < LONGEST_BAKE_S:
        rim.on()
    main = _Bake(b, edge)
    while main.elapsed < LONGEST_BAKE_S and not main.done(rim.top_s if rim else None):
        main.on()
    slab_cells = b.slab.material.cells if b.slab else 1
    slab_c = sum(main.col.temps[:slab_cells]) / slab_cells
    share = main.lost / (10.0 * (b.loading_g_cm2 + b.topping_g_cm2))
    return Baked(main.middle_s, main.brown_s, rim.top_s if rim else main.top_s, slab_c, share)


class _Bake:
    """A column in the oven, carried on step by step."""

    def __init__(self, b: OvenLoad, edge: int) -> None:
        self.b, self.col = b, _stack(b, edge)
        self.air_h = FUNCTIONS[b.function].crust_h[edge]
        self.done_c, self.brown_c, self.golden_c = (heats[edge] for heats in (ENRICHED if b.enriched else LEAN))
        self.short_c = 0.0 if b.loaded_c is None else b.air_c - b.loaded_c
        self.below = b.slab.material.emissivity if b.slab else TRAY_EMISSIVITY
        hang = self.air_h + radiation_h(b.air_c, b.air_c, 1.0)
        self.dt = min(4.0, steady_step_s(self.col.heat, self.col.link, hang, hang))
        self.touch = self.col.link[self.col.first_wet - 1]
        moist = DOUGH_DENSITY[edge] * WATER_SHARE
        self.under, self.over = _Crust(moist), _Crust(moist, min(b.topping_g_cm2 * 10.0, FILM_KG_M2))
        self.top_c = self.col.temps[-1]
        self.elapsed = self.lost = 0.0
        self.middle_s = self.brown_s = self.top_s = LONGEST_BAKE_S

    def done(self, rim_s: float | None) -> bool:
        """Middle and base, and the top, or as long as the rim beside it takes."""
        top = self.top_s < LONGEST_BAKE_S if rim_s is None else self.elapsed >= rim_s
        return top and LONGEST_BAKE_S not in (self.middle_s, self.brown_s)

    def on(self) -> None:
        """One step: heat in from both sides, water out at the faces, crusts thicker."""
        col, low_c, base = self.col, self.col.temps[0], self.col.first_wet
        air = self.b.air_c - self.short_c
        self.short_c -= self.short_c * self.dt / DOOR_S
        low = (self.air_h + radiation_h(air, low_c, self.below)) * (air - low_c)
        high_h = self.air_h + radiation_h(air, self.top_c, DOUGH_EMISSIVITY)
        high = (air - col.temps[-1]) / (1.0 / high_h + self.over.resists)
        step(col.temps, col.heat, col.link, low, high, self.dt)
        base_loss, top_loss, all_loss = _boil(col)
        self.under.loses(base_loss)
        self.over.loses(top_loss)
        self.lost, self.elapsed = self.lost + all_loss, self.elapsed + self.dt
        col.link[base - 1] = 1.0 / (1.0 / self.touch + self.under.resists)
        face_c = col.temps[base] + self.under.resists * col.link[base - 1] * (col.temps[base - 1] - col.temps[base])
        self.top_c = col.temps[-1] + self.over.resists * high
        self._note(face_c)

    def _note(self, face_c: float) -> None:
        """Write down what is done for the first time."""
        col = self.col
        if self.middle_s == LONGEST_BAKE_S and min(col.temps[col.first_wet : col.last_dough + 1]) >= self.done_c:
            self.middle_s = self.elapsed
        if self.brown_s == LONGEST_BAKE_S and face_c >= self.brown_c:
            self.brown_s = self.elapsed
        if self.top_s == LONGEST_BAKE_S and self.top_c >= self.golden_c:
            self.top_s = self.elapsed
