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
from webapp.core.oven import bake_time, heat_flow, slab
from webapp.core.oven.dial import as_read, dial_c
from webapp.core.oven.profile import (
    NO_ADJUST,
    Adjust,
    contact_words,
    heat_words,
    heating_c,
    shelf_for,
    slab_of,
    slab_words,
    style_named,
)
from webapp.core.plan import OvenAction, OvenPlan, Pan

# How far under its oven a slab may be. Nobody has published what a base loses by each degree, so these are chosen:
# hot is a degree short of the 245 of 250 C to which the trade's table of preheats goes.
HOT_WITHIN_C = 6.0  # a slab this close counts as hot
AIR_WITHIN_C = 15.0  # an oven with nothing heavy in it
READY_WITHIN_C = 15.0  # a slab this close is ready for the next load
DOORS_C = (80.0, 50.0, 30.0)  # by so much the air falls while the door is open (common practice): slow, likely, quick
DOOR_C = DOORS_C[1]
TRAY_RECOVERY_MIN = 5  # and is back within 3-6 min (common practice)
MEASURED_SPREAD = 0.1
TURN_LEAST_MIN = 7  # a bake shorter than this is not turned


@dataclass(frozen=True)
class Preheat:
    """Minutes from lighting the oven until it may be loaded, the 80 % band, and the sentence that says so."""

    minutes: int
    low: int
    high: int
    text: str
    dial: str = ""
    measured: bool = False


def preheat(
    oven: Oven, style: BreadStyle = "tray", room_c: float = slab.COOL_KITCHEN_C, adjust: Adjust = NO_ADJUST
) -> Preheat:
    """Minutes to heat this oven and what lies in it; a measured time replaces the physics."""
    hot, _ = heating_c(oven, style, adjust)
    dial = as_read(oven, dial_c(oven, hot))
    if oven.measured_preheat_min > 0:
        low, mid, high = _measured_band(oven.measured_preheat_min)
        how = "as measured in this kitchen"
    else:
        low, mid, high = _heating_band(oven, hot, room_c)
        how = f"worked out, {low + adjust.preheat_min}-{high + adjust.preheat_min} min; measure yours once"
    low, mid, high = (max(1, m + adjust.preheat_min) for m in (low, mid, high))
    lying = slab_of(oven)
    what = f"with the {slab_words(oven)} inside" if lying else "with nothing heavy inside"
    text = f"Heat the oven at {dial} {what} for {mid} min ({how})."
    return Preheat(mid, low, high, text, dial, oven.measured_preheat_min > 0)


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
    return slab.Fire(hot_c, power, (slab.FAN_ON_SLAB_H if oven.fan else heat_flow.STILL_AIR_H)[edge], room_c)


def _heating_s(oven: Oven, hot_c: float, room_c: float, edge: int) -> float:
    fire, lying = fire_of(oven, hot_c, room_c, edge), slab_of(oven)
    if lying is None:
        return slab.air_up_s(fire, hot_c - AIR_WITHIN_C)
    return slab.heat_up_s(lying, fire, hot_c - HOT_WITHIN_C)


@lru_cache(maxsize=128)
def _baked(
    oven: Oven, loading: float, topping: float, style: BreadStyle, adjust: Adjust
) -> tuple[bake_time.Baked, ...]:
    """The bake at its slow edge, likely, and quick edge."""
    hot, bake_air = heating_c(oven, style, adjust)
    lying, shape = slab_of(oven), style_named(style)
    on_tray = shape.on_tray or lying is None
    baking = bake_time.Baking(
        loading, topping, bake_air, oven.fan, lying, hot - HOT_WITHIN_C, on_tray, golden=shape.golden
    )
    return tuple(bake_time.bake(replace(baking, loaded_c=hot - door), edge) for edge, door in enumerate(DOORS_C))


def bake_minutes(
    oven: Oven, loading_g_cm2: float, topping_g_cm2: float, style: BreadStyle, adjust: Adjust = NO_ADJUST
) -> tuple[int, int, int]:
    """Low, likely and high whole minutes in the oven, each at least a minute after the one before."""
    slow, likely, quick = (
        b.done_s / 60.0 + adjust.bake_min for b in _baked(oven, loading_g_cm2, topping_g_cm2, style, adjust)
    )
    low = max(1, math.floor(quick))
    mid = max(low + 1, round(likely))
    return low, mid, max(mid + 1, math.ceil(slow))


def recovery_minutes(
    oven: Oven, loading_g_cm2: float, topping_g_cm2: float, style: BreadStyle, adjust: Adjust = NO_ADJUST
) -> int:
    """Minutes from lifting one load until slab and air are ready for the next, with the dial set back at once."""
    lying = slab_of(oven)
    if lying is None:
        return TRAY_RECOVERY_MIN
    hot, bake_air = heating_c(oven, style, adjust)
    after = _baked(oven, loading_g_cm2, topping_g_cm2, style, adjust)[1]
    fire = fire_of(oven, hot, slab.COOL_KITCHEN_C)
    seconds = slab.heat_up_s(lying, fire, hot - READY_WITHIN_C, after.slab_c, bake_air - DOOR_C)
    return max(TRAY_RECOVERY_MIN, math.ceil(seconds / 60.0))


def loads_needed(oven: Oven, trays: int) -> int:
    """How many times the oven is loaded for this many trays."""
    return math.ceil(max(1, trays) / max(1, oven.trays_at_once))


def pans_of_load(pans: Sequence[Pan], at_once: int, load: int) -> tuple[Pan, ...]:
    """The trays that go in with load 1, 2, ...: `at_once` of them in the order of the list, the last load the rest."""
    single = [replace(pan, count=1) for pan in pans for _ in range(pan.count)]
    at_once = max(1, at_once)
    mine = single[(load - 1) * at_once : load * at_once]
    return tuple(replace(pan, count=mine.count(pan)) for pan in dict.fromkeys(mine))


def programme(
    oven: Oven,
    loading_g_cm2: float,
    topping_g_cm2: float,
    style: BreadStyle,
    trays: int = 1,
    room_c: float = slab.COOL_KITCHEN_C,
    adjust: Adjust = NO_ADJUST,
) -> OvenPlan:
    """The oven plan of a bake: dial, shelf, slab, preheat with its band, minutes of one load, loads and recovery.

    `loading_g_cm2` dough and `topping_g_cm2` what lies on it before loading; `trays` all that is to be baked.
    Raises PlanError at `style`.
    """
    heating = preheat(oven, style, room_c, adjust)
    low, mid, high = bake_minutes(oven, loading_g_cm2, topping_g_cm2, style, adjust)
    hot, _ = heating_c(oven, style, adjust)
    loads = loads_needed(oven, trays)
    recovery = recovery_minutes(oven, loading_g_cm2, topping_g_cm2, style, adjust) if loads > 1 else 0
    shelf = shelf_for(oven, style, adjust)
    return OvenPlan(
        dial=heating.dial,
        shelf=shelf,
        slab=slab_words(oven),
        fan=oven.fan,
        preheat_min=heating.minutes,
        preheat_low_min=heating.low,
        preheat_high_min=heating.high,
        programme=_actions(oven, style, adjust, (low, mid), loads, recovery),
        bake_low_min=low,
        bake_high_min=high,
        why=contact_words(oven, style, hot),
        loads=loads,
        recovery_min=recovery,
    )


def _actions(
    oven: Oven, style: BreadStyle, adjust: Adjust, minutes: tuple[int, int], loads: int, recovery: int
) -> tuple[OvenAction, ...]:
    """Load, turn down, turn, check, lift: ascending minutes, each line enough by itself."""
    low, mid = minutes
    hot, bake = (dial_c(oven, c) for c in heating_c(oven, style, adjust))
    heat_dial, bake_dial, shelf = as_read(oven, hot), as_read(oven, bake), shelf_for(oven, style, adjust)
    lines: list[tuple[int, OvenKind, str, str, str]] = [(0, "load", heat_dial, shelf, _load_text(oven, style, shelf))]
    if bake_dial != heat_dial:
        why = "the heat stored below browns the base" if slab_of(oven) else "the hot start is over"
        down = f"Turn the dial down from {heat_dial} to {bake_dial} now: {why}."
        lines.append((1, "turn-down", bake_dial, shelf, down))
    if mid >= TURN_LEAST_MIN and low > 3:
        lines.append(((low + 1) // 2, "turn", "", shelf, _turn_text(oven)))
    check = max(low, lines[-1][0] + 1)
    look = "Lift a corner: brown all over below? Pale: give it two minutes more."
    lines.append((check, "check", "", shelf, f"{look} {_SHARED}" if oven.trays_at_once > 1 else look))
    lines.append((max(mid, check + 1), "lift", "", "", _lift_text(oven, heat_dial, loads, recovery)))
    return tuple(OvenAction(minute, action, dial, at, oven.fan, text) for minute, action, dial, at, text in lines)


_SHARED = "Trays that bake together often want a few minutes longer: go by the base of each."


def _load_text(oven: Oven, style: BreadStyle, shelf: str) -> str:
    what = "Tray" if style_named(style).on_tray else "Slide it"
    if slab_of(oven) is None:
        return f"Tray in, shelf: {shelf}.{_others(oven)} Shut the door at once."
    return f"{what} onto the hot {slab_words(oven)}, shelf: {shelf}.{_others(oven)} Shut the door at once."


def _others(oven: Oven) -> str:
    """Where the trays beside the first go; they share the heat (common practice: a few minutes more)."""
    return " Any other tray a shelf or two above it." if oven.trays_at_once > 1 else ""


def _turn_text(oven: Oven) -> str:
    if oven.trays_at_once > 1:
        return "Turn the trays front to back and let them change shelves. Quickly, door shut again."
    return "Turn it front to back. Quickly, door shut again."


def _lift_text(oven: Oven, heat_dial: str, loads: int, recovery: int) -> str:
    middle = f"{heat_words(oven, 94)} to {heat_words(oven, 96)}"
    out = f"Out when the base is brown and the top has colour; the middle should read {middle}."
    if loads < 2:
        return f"{out} {OFF}"
    return f"{out} {_more_words(heat_dial, recovery)} After the last, turn the oven off."


OFF = "Turn the oven off."


def _more_words(heat_dial: str, recovery: int) -> str:
    return (
        f"More to come: dial back to {heat_dial} at once and wait {recovery} min before the next load, its tray"
        " in the coolest place meanwhile."
    )


def lift_words(plan: OvenPlan, load: int) -> str:
    """What is done at the lifting of load 1, 2, ... (0 = the only one): the dial back for the next, or off."""
    text = plan.programme[-1].text
    if plan.loads < 2 or not load:
        return text
    out = text.partition(" More to come:")[0]
    return f"{out} {OFF if load == plan.loads else _more_words(plan.dial, plan.recovery_min)}"
