"""The oven step of a plan: how long to heat, to what, what happens minute by minute, and how loads follow each other.

The physics lives in slab.py (heating, recovery) and bake_time.py (baking through); dial.py knows what the dial reads
and profile.py what a style wants of this oven.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from webapp.core.kinds import BreadStyle, OvenKind
from webapp.core.kitchen import Oven
from webapp.core.oven import bake_time, slab
from webapp.core.oven.dial import dial_c
from webapp.core.oven.function import FUNCTIONS
from webapp.core.oven.profile import (
    NO_ADJUST,
    Adjust,
    contact,
    heating_c,
    shelf_for,
    slab_of,
    style_named,
)
from webapp.core.plan.oven import OvenAction, OvenPlan, OvenSetting
from webapp.core.plan.tray import Pan

# How far under its oven a slab may be. Nobody has published what a base loses by each degree, so these are chosen:
# hot is a degree short of the 245 of 250 C to which the trade's table of preheats goes.
HOT_WITHIN_C = 6.0  # a slab this close counts as hot
# An oven with nothing heavy in it is hot when its walls are. A bare tray, as the trade's table has it, tells of air.
# Nobody has the figure of how far the walls lag, so the band is wide until the person has measured: as quick as the
# air, a quarter over, more than half over. Bakers heat half an hour for a tray pizza (common practice).
WITNESS = slab.Slab(slab.TRAY, 0.0015, 0.12)
WALLS_LAG = (1.6, 1.25, 1.0)  # slow edge, likely, quick edge
# A slab is ready for the next load when the bake on it takes no longer, at its likely and its slow edge: tried from the
# coolest. Within 15 K it is so whatever lies on it (chosen); over 40 K nobody is asked to bake on.
READY_WITHIN_C = (40.0, 35.0, 30.0, 25.0, 20.0, 15.0)
NO_LONGER_S = 30.0  # nobody sees half a minute
DOORS_C = (80.0, 50.0, 30.0)  # by so much the air falls while the door is open (common practice): slow, likely, quick
DOOR_C = DOORS_C[1]
TRAY_RECOVERY_MIN = 5  # and is back within 3-6 min (common practice)
MEASURED_SPREAD = 0.1
# Each tray more that bakes beside the first makes the bake so much longer: slow edge, likely, quick edge. Twice the
# cold mass is heated by the same power, and the upper tray shades the lower: "a few minutes longer" (common practice);
# nobody has published how many, so the band is wide.
TOGETHER = (0.4, 0.2, 0.1)
TURN_LEAST_MIN = 7  # a bake shorter than this is not turned


@dataclass(frozen=True)
class ToBake:
    """What is baked in which oven: g/cm2 of dough and of what lies on it before loading, in which style, what past
    bakes changed; `enriched` a dough with milk, egg or much sugar in it; `together` trays in the oven at once."""

    oven: Oven
    loading_g_cm2: float
    topping_g_cm2: float
    style: BreadStyle
    adjust: Adjust = NO_ADJUST
    enriched: bool = False
    together: int = 1

    @property
    def heats_c(self) -> tuple[float, float]:
        """Of the air to load into and to bake at."""
        return heating_c(self.oven, self.style, self.adjust, self.enriched)


@dataclass(frozen=True)
class Preheat:
    """Minutes from lighting the oven until it may be loaded, and the 80 % band; what its dial is set to, C."""

    minutes: int
    low: int
    high: int
    dial_c: float


def preheat(
    oven: Oven,
    style: BreadStyle = "tray",
    room_c: float = slab.COOL_KITCHEN_C,
    adjust: Adjust = NO_ADJUST,
    enriched: bool = False,
) -> Preheat:
    """Minutes to heat this oven and what lies in it; a measured time replaces the physics.

    With a slab the band is that of the trade's lumped table; of one whose thickness nobody said, from the quick edge of
    the thinnest to the slow edge of the thickest that are sold. With a tray alone the walls decide, and nobody has
    published how far they lag behind the air: from as quick as the air to more than half over (`WALLS_LAG`), wide until
    the person has measured. Hot is asked at the oven, by its lamp or a thermometer, and never taken from these minutes.
    """
    hot, _ = heating_c(oven, style, adjust, enriched)
    if oven.measured_preheat_min > 0:
        low, mid, high = _measured_band(oven.measured_preheat_min)
    else:
        low, mid, high = _heating_band(oven, hot, room_c)
    low, mid, high = (max(1, m + adjust.preheat_min) for m in (low, mid, high))
    return Preheat(mid, low, high, dial_c(oven, hot))


def _measured_band(minutes: int) -> tuple[int, int, int]:
    """A measured time and a tenth either way, two minutes at least."""
    spread = max(2, math.ceil(minutes * MEASURED_SPREAD))
    return max(1, minutes - spread), minutes, minutes + spread


@lru_cache(maxsize=128)
def _heating_band(oven: Oven, hot_c: float, room_c: float) -> tuple[int, int, int]:
    """Quick edge, likely, slow edge in whole minutes, by physics."""
    slow, likely, quick = (_heating_s(oven, hot_c, room_c, edge) / 60.0 for edge in range(3))
    return math.floor(quick), round(likely), math.ceil(slow)


def fire_of(oven: Oven, hot_c: float, room_c: float, edge: int = 1) -> slab.Fire:
    """The oven as a fire; `edge` 0 slow, 1 likely, 2 quick. A known power narrows the band."""
    power = oven.power_w or slab.POWER_W[edge]
    return slab.Fire(hot_c, power, FUNCTIONS[oven.function].slab_h[edge], room_c)


def _heating_s(oven: Oven, hot_c: float, room_c: float, edge: int) -> float:
    fire, lying = fire_of(oven, hot_c, room_c, edge), slab_of(oven, edge)
    if lying is None:
        heated = slab.heat_up_s(WITNESS, fire, hot_c - HOT_WITHIN_C) * WALLS_LAG[edge]
        return min(heated, float(slab.LONGEST_HEATING_S))
    return slab.heat_up_s(lying, fire, hot_c - HOT_WITHIN_C)


@lru_cache(maxsize=128)
def _half_more_s(asked: ToBake) -> int:
    """Seconds that half as much dough again bakes longer: less than by the square of its height (Fourier), for what
    lies on it and the browning beside it stay as they are."""
    thin = _baked(asked)[1]
    thick = bake_time.bake(_load_of(replace(asked, loading_g_cm2=asked.loading_g_cm2 * 1.5), 1), 1)
    return max(0, round((thick.done_s - thin.done_s) * _longer(asked)[1]))


def _longer(asked: ToBake) -> tuple[float, ...]:
    """By how many times the trays in there make each other's bake longer, at each edge."""
    return tuple(1.0 + share * (asked.together - 1) for share in TOGETHER)


def _load_of(asked: ToBake, edge: int) -> bake_time.OvenLoad:
    """What goes in and what it meets there, at that edge of what an open door lets out."""
    hot, bake_air = asked.heats_c
    lying, shape = slab_of(asked.oven), style_named(asked.style)
    return bake_time.OvenLoad(
        asked.loading_g_cm2, asked.topping_g_cm2, bake_air, asked.oven.function, lying, hot - HOT_WITHIN_C,
        shape.on_tray or lying is None,
        loaded_c=hot - DOORS_C[edge], golden=shape.golden, enriched=asked.enriched,
    )  # fmt: skip


@lru_cache(maxsize=128)
def _baked(asked: ToBake) -> tuple[bake_time.Baked, ...]:
    """The bake at its slow edge, likely, and quick edge."""
    return tuple(bake_time.bake(_load_of(asked, edge), edge) for edge in range(3))


def bake_minutes(asked: ToBake) -> tuple[int, int, int]:
    """Low, likely and high whole minutes in the oven, each at least a minute after the one before."""
    baked = zip(_baked(asked), _longer(asked), strict=True)
    slow, likely, quick = (b.done_s / 60.0 * times + asked.adjust.bake_min for b, times in baked)
    low = max(1, math.floor(quick))
    mid = max(low + 1, round(likely))
    return low, mid, max(mid + 1, math.ceil(slow))


def recovery_minutes(asked: ToBake) -> int:
    """Minutes from lifting one load until slab and air are ready for the next, with the dial set back at once: as it
    goes on load after load."""
    lying = slab_of(asked.oven)
    if lying is None:
        return TRAY_RECOVERY_MIN
    hot, bake_air = asked.heats_c
    ready_c, left_c = _ready(asked)
    fire = fire_of(asked.oven, hot, slab.COOL_KITCHEN_C)
    seconds = slab.heat_up_s(lying, fire, ready_c, left_c, bake_air - DOOR_C)
    return max(TRAY_RECOVERY_MIN, math.ceil(seconds / 60.0))


@lru_cache(maxsize=128)
def _ready(asked: ToBake) -> tuple[float, float]:
    """How hot the slab has to be for the next load, and how hot that load leaves it, C."""
    hot, usual = asked.heats_c[0], _baked(asked)

    def on(slab_c: float, edge: int) -> bake_time.Baked:
        return bake_time.bake(replace(_load_of(asked, edge), slab_c=slab_c), edge)

    def no_longer(slab_c: float) -> bool:
        return all(on(slab_c, edge).done_s <= usual[edge].done_s + NO_LONGER_S for edge in (0, 1))

    ready_c = next((hot - less for less in READY_WITHIN_C[:-1] if no_longer(hot - less)), hot - READY_WITHIN_C[-1])
    return ready_c, on(ready_c, 1).slab_c


def loads_needed(oven: Oven, trays: int) -> int:
    """How many times the oven is loaded for this many trays."""
    return math.ceil(max(1, trays) / max(1, oven.trays_at_once))


def pans_of_load(pans: Sequence[Pan], at_once: int, load: int) -> tuple[Pan, ...]:
    """The trays that go in with load 1, 2, ...: `at_once` of them in the order of the list, the last load the rest."""
    single = [replace(pan, count=1) for pan in pans for _ in range(pan.count)]
    at_once = max(1, at_once)
    mine = single[(load - 1) * at_once : load * at_once]
    return tuple(replace(pan, count=mine.count(pan)) for pan in dict.fromkeys(mine))


def programme(asked: ToBake, trays: int = 1, room_c: float = slab.COOL_KITCHEN_C) -> OvenPlan:
    """The oven plan of a bake: dial, shelf, slab, preheat with its band, minutes of one load, loads and recovery.

    `trays` all that is to be baked; `room_c` how warm the kitchen is. Raises PlanError at `style`.
    """
    oven, heats = asked.oven, asked.heats_c
    asked = replace(asked, together=max(1, min(oven.trays_at_once, trays)))
    heating = preheat(oven, asked.style, room_c, asked.adjust, asked.enriched)
    low, mid, high = bake_minutes(asked)
    loads = loads_needed(oven, trays)
    return OvenPlan(
        function=oven.function,
        preheat_min=heating.minutes,
        preheat_low_min=heating.low,
        preheat_high_min=heating.high,
        programme=_actions(oven, heats, (low, mid)),
        bake_low_min=low,
        bake_high_min=high,
        loads=loads,
        recovery_min=recovery_minutes(asked) if loads > 1 else 0,
        setting=_setting(oven, asked.style, asked.adjust, heats[0]),
        half_more_s=_half_more_s(asked),
        enriched=asked.enriched,
    )


def _setting(oven: Oven, style: BreadStyle, adjust: Adjust, hot: float) -> OvenSetting:
    lying = slab_of(oven)
    touch, cold = contact(oven, style, hot)
    return OvenSetting(
        dial_unit=oven.dial_unit,
        dial_c=dial_c(oven, hot),
        shelf=shelf_for(oven, style, adjust),
        shelves=oven.shelves,
        slab=oven.slab if lying else "tray",
        slab_mm=oven.slab_mm if lying else 0.0,
        on_tray=style_named(style).on_tray,
        trays_at_once=oven.trays_at_once,
        hot_c=hot,
        touch_c=touch,
        cold_c=cold,
    )


def _actions(oven: Oven, heats_c: tuple[float, float], minutes: tuple[int, int]) -> tuple[OvenAction, ...]:
    """Load, turn down, turn, check, lift: ascending minutes. `heats_c` of the air to load into and to bake at."""
    low, mid = minutes
    hot, bake = (dial_c(oven, c) for c in heats_c)
    lines: list[tuple[int, OvenKind, float | None]] = [(0, "load", hot)]
    if bake != hot:
        lines.append((1, "turn-down", bake))
    if mid >= TURN_LEAST_MIN and low > 3:
        lines.append(((low + 1) // 2, "turn", None))
    check = max(low, lines[-1][0] + 1)
    lines.append((check, "check", None))
    lines.append((max(mid, check + 1), "lift", None))
    return tuple(OvenAction(minute, action, dial) for minute, action, dial in lines)
