"""From a formula and a kitchen to what the planner asks of a dough, and to what a plan carries of it.

Two views of the same numbers: `planned_dough` makes functions and marks for the planner (`PlannedDough`), `rise_of`
makes a table for the phone (`plan.Rise`). Both come from core/rise/fermentation.py and core/rise/dough_heat.py.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from webapp.core.formula.formula import flour_g
from webapp.core.formula.ingredients import Formula, Preferment, instant_equivalent, percent_of_kind
from webapp.core.formula.method import Method
from webapp.core.kinds import HEATED_PLACES, VESSELS, HeatedPlace, Vessel
from webapp.core.kitchen import Kitchen
from webapp.core.plan.rise import Beyond, Rise, RoomSpan, Share
from webapp.core.plan.steps import RiseMark
from webapp.core.planner.offer import PlannedDough, Sponge
from webapp.core.rise import dough_heat, fermentation
from webapp.core.rise.certainty import Z80, band_sd
from webapp.core.rise.pace import DoughMake
from webapp.core.rise.response import REFERENCE_C
from webapp.core.scale.dosing import dosing
from webapp.data.doughs import measures
from webapp.words.kinds.dough import preferment_name

LEAST_DOSE_G, DOSE_STEP = 0.02, 1.12
DOSE_ERROR_PERCENT = 20.0  # moves the ripe time by about 12 %, well inside the band of any kitchen
MOST_INSTANT_PERCENT = 2.0
SPONGE_PAST = 1.35  # a poolish holds its top for a few hours, then sinks (common practice)
DOUGH_G_PER_CM3 = dough_heat.MIXED_DENSITY / 1000.0
# A poolish for a formula that has none of its own: three tenths of the flour, as wet as it is floury (common practice).
USUAL_PREFERMENT = Preferment("poolish", preferment_name("poolish"), "poolish", 30.0, 100.0, 0.1)


@dataclass(frozen=True)
class Batch:
    """This formula in this kitchen, so much of it."""

    formula: Formula
    kitchen: Kitchen
    dough_g: float
    loading: float  # g/cm2
    pressed: float = 1.0  # of the rise at which it is pressed out otherwise; of the method, as is `cool`
    cool: bool = False  # mixed with the tap's water as it comes

    def made(self, pressed_percent: int, mixed_cool: bool) -> Batch:
        """The same as a method makes it (`core/formula/method.py`)."""
        return replace(self, pressed=pressed_percent / 100.0, cool=mixed_cool)

    def asked_c(self, comes_c: float) -> float:
        """How warm it is wanted when it comes to `comes_c`, C: a cool dough is wanted as cool as it comes."""
        wanted = self.formula.wanted_dough_c
        return min(wanted, comes_c) if self.cool else wanted

    @property
    def marks(self) -> tuple[RiseMark, RiseMark]:
        """Early, best and past at pressing and at loading, before the kitchen's warmth has its say."""
        return fermentation.marks(self.formula, self.pressed)

    @property
    def flour_g(self) -> float:
        """All flour, grams."""
        return flour_g(self.formula, self.dough_g)

    @property
    def vigour(self) -> float:
        """This kitchen's learned rate over the model's."""
        return math.exp(self.kitchen.vigour_ln_mean)

    @property
    def make(self) -> DoughMake:
        """Pace-setting numbers with the formula's own yeast."""
        return fermentation.make_of(self.formula, self.vigour)

    def band(self, mean_c: float = REFERENCE_C) -> tuple[float, float]:
        """Factors on every rate at the slow and quick edge of the 80 % band, for a dough at `mean_c` on average.

        What this kitchen has not taught yet, and how sure the model is of this yeast, this rise and this cold.
        """
        sd = band_sd(self.make, self.formula.target_increase, mean_c, self.kitchen.vigour_ln_sd)
        spread = math.exp(Z80 * sd)
        return 1.0 / spread, spread


def with_preferment(formula: Formula) -> Formula:
    """The formula with a preferment: its own, or the usual one."""
    return formula if formula.preferment else replace(formula, preferment=USUAL_PREFERMENT)


def time_constants(batch: Batch) -> tuple[tuple[Vessel, HeatedPlace, float], ...]:
    """(vessel, place, seconds) for the bowl or tub of this kitchen and for the tray."""
    thickness = batch.loading / DOUGH_G_PER_CM3
    return tuple(
        (vessel, place, dough_heat.time_constant_s(batch.dough_g, vessel, place, thickness))
        for vessel in VESSELS
        for place in HEATED_PLACES
    )


def planned_dough(batch: Batch, methods_have_preferment: bool) -> PlannedDough:
    """What the planner has to know of this dough."""
    kitchen, press = batch.kitchen, batch.marks[0]
    instant, warm = _laws(batch.make, press.best)
    low, high = batch.band()
    proof_least, proof_best, proof_most = fermentation.proof_shares(batch.pressed)
    least_g = instant_equivalent(kitchen.yeast_kind, least_dose_g(batch))
    return PlannedDough(
        response=fermentation.response,
        press=press,
        mixed_c=batch.formula.wanted_dough_c,
        fridge_c=kitchen.fridge_c,
        warm_c=kitchen.warm_c if kitchen.has_warm_spot else None,
        tau_s=time_constants(batch),
        instant_percent=instant,
        warm_seconds=warm,
        least_percent=100.0 * least_g / batch.flour_g,
        most_percent=MOST_INSTANT_PERCENT,
        vessel=kitchen.vessel,
        band_low=low,
        band_high=high,
        proof_least=proof_least,
        proof_best=proof_best,
        proof_most=proof_most,
        cold_only=batch.formula.cold_only,
        sponge=_sponge(batch) if methods_have_preferment else None,
    )


def made_by(batch: Batch, known: PlannedDough, method: Method) -> PlannedDough:
    """What `planned_dough` says of this dough, as one method makes it; `known` may have other limits of its yeast."""
    one = batch.made(method.pressed_percent, method.mixed_cool)
    if one.pressed == batch.pressed:
        return known
    press = one.marks[0]
    instant, warm = _laws(one.make, press.best)
    least, best, most = fermentation.proof_shares(one.pressed)
    return replace(
        known, press=press, instant_percent=instant, warm_seconds=warm, proof_least=least, proof_best=best,
        proof_most=most,
    )  # fmt: skip


def least_dose_g(batch: Batch) -> float:
    """The least yeast (grams of this kitchen's kind) that its scales and spoons dose to within a fifth."""
    kitchen = batch.kitchen
    water_g = batch.flour_g * percent_of_kind(batch.formula, "water") / 100.0
    grams = LEAST_DOSE_G
    while dosing(grams, kitchen, kitchen.yeast_kind, water_g, measures()).error_percent > DOSE_ERROR_PERCENT:
        grams *= DOSE_STEP
    return grams


def _laws(make: DoughMake, progress: float) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """Yeast for so many warm seconds until `progress`, and the inverse."""

    def instant(warm_s: float) -> float:
        return fermentation.yeast_for(progress, warm_s, make)

    def warm(percent: float) -> float:
        return progress / fermentation.pace_per_s(replace(make, instant_percent=percent))

    return instant, warm


def sponge_make(formula: Formula, preferment: Preferment, vigour: float) -> DoughMake:
    """The preferment's pace: no salt, no fat, its own water; percent of its own flour."""
    return DoughMake(
        instant_equivalent(formula.yeast_kind, preferment.yeast_percent), salt_percent=0.0,
        hydration_percent=preferment.hydration_percent, vigour=vigour,
    )  # fmt: skip


def sponge_g(batch: Batch, preferment: Preferment) -> float:
    """The preferment's mass, grams (its little yeast left out)."""
    return batch.flour_g * preferment.flour_percent / 100.0 * (1.0 + preferment.hydration_percent / 100.0)


def _sponge(batch: Batch) -> Sponge:
    preferment = with_preferment(batch.formula).preferment
    assert preferment is not None, "with_preferment always gives one"
    ripe = fermentation.need(preferment.target_increase)
    instant, warm = _laws(sponge_make(batch.formula, preferment, batch.vigour), ripe)
    tau = dough_heat.time_constant_s(sponge_g(batch, preferment), batch.kitchen.vessel, "bench")
    past = SPONGE_PAST * ripe
    return Sponge(preferment.flour_percent, ripe, past, batch.formula.wanted_dough_c, tau, instant, warm)


def rise_of(
    batch: Batch, mixed_at: int, dough_c: float, mean_c: float, room: tuple[RoomSpan, ...], beyond: tuple[Beyond, ...]
) -> Rise:
    """What the phone is given to follow this dough, `batch.formula` holding the yeast it really has.

    `dough_c` as it leaves the bowl, `mean_c` on average until it is pressed out.
    """
    low, high = batch.band(mean_c)
    return Rise(
        table=fermentation.rate_table(batch.make),
        mixed_at=mixed_at,
        dough_c=dough_c,
        room=room,
        fridge_c=batch.kitchen.fridge_c,
        warm_c=batch.kitchen.warm_c,
        shares=tuple(
            Share(vessel, place, dough_heat.share_per_minute(tau)) for vessel, place, tau in time_constants(batch)
        ),
        band_low=low,
        band_high=high,
        glass=fermentation.glass_marks(),
        beyond=beyond,
        sd=math.log(high) / Z80,
        has_warm=batch.kitchen.has_warm_spot,
        warm_is_oven=batch.kitchen.warm_is_oven,
    )
