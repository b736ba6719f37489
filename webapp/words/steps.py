"""What the steps of a plan say: slots filled from its own grams, places, dial and pans.

The sentences are in tables/steps.toml; core/wording.py joins them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from webapp.core.formula.toppings import ToppingSet, drain_text, fridge_outs
from webapp.core.kinds import HeatUnit, MassUnit, Mixing
from webapp.core.kitchen import Kitchen
from webapp.core.oven.oven import lift_words, pans_of_load
from webapp.core.plan import OvenPlan, Pan, Topping, WeighLine
from webapp.core.planner.offer import Offer, TimedStep
from webapp.core.scale.weighing import as_poured
from webapp.core.units import heat_text, mass_text
from webapp.core.wording import (
    Template,
    action_words,
    duration_words,
    joined,
    mass_of_line,
    place_words,
    pour_list,
    say,
    template_from_dict,
    topping_words,
)
from webapp.data.read import table

MIXING_WORDS: dict[Mixing, str] = {
    "hand": "Stir with a stiff spoon or a wet hand until no dry flour is left: two minutes, no kneading.",
    "mixer": "Mix on the lowest speed until it comes together, then three minutes on the next.",
    "processor": "Pulse until it comes together in clumps, then ten seconds more.",
}


@dataclass(frozen=True)
class Told:
    """Everything the texts of one bake may mention."""

    kitchen: Kitchen
    offer: Offer
    lines: tuple[WeighLine, ...]
    water: str
    dough_c: float
    pans: tuple[Pan, ...]
    dough_g: float
    toppings: tuple[Topping, ...]
    topping_set: ToppingSet | None
    oven: OvenPlan


@cache
def templates() -> dict[str, Template]:
    """What each kind of step says, by kind."""
    return {kind: template_from_dict(kind, row) for kind, row in table("steps").items()}


def title_of(told: Told, step: TimedStep) -> str:
    """The step's short imperative; loads are numbered when there are several."""
    title = templates()[step.kind].title
    if step.load and told.oven.loads > 1:
        return f"{title} (load {step.load} of {told.oven.loads})"
    return title


def text_of(told: Told, step: TimedStep) -> str:
    """The step in full."""
    return say(templates()[step.kind], _slots(told, step))


def _slots(told: Told, step: TimedStep) -> dict[str, str]:
    unit, heat = told.kitchen.mass_unit, told.kitchen.heat_unit
    return {
        **_dough_slots(told, step.kind, unit, heat),
        **_oven_slots(told.oven, step.load),
        "place_words": place_words(step.place, _wait_after(told.offer.steps, step)),
        "vessel": told.kitchen.vessel,
        "fridge": heat_text(told.kitchen.fridge_c, heat),
        "warm": heat_text(told.kitchen.warm_c, heat),
        "pans": pans_words(_pans_of(told, step)),
        "portions": _portions(told, step, unit),
        "topping_words": topping_words(_toppings_of(told, step), "before", unit, _notes(told.topping_set)),
        "after_words": topping_words(told.toppings, "after", unit, _notes(told.topping_set)),
        "sauce_words": _sauce(told, unit),
        "drain_words": drain_text(told.topping_set) if told.topping_set else "",
        "cheese_words": " ".join(out.text for out in fridge_outs(told.toppings)),
    }


def _dough_slots(told: Told, kind: str, unit: MassUnit, heat: HeatUnit) -> dict[str, str]:
    ahead = [line for line in told.lines if line.part != "dough"]
    dough = [line for line in told.lines if line.part == "dough"]
    whole = [line for line in dough if line.kind == "preferment"]
    return {
        "preferment_list": pour_list(as_poured(ahead), unit),
        "preferment_in": f"All of the preferment goes in: {mass_of_line(whole[0], unit)}." if whole else "",
        "dough_list": pour_list([line for line in as_poured(dough) if line.kind != "preferment"], unit),
        "water": told.water,
        "dough": heat_text(told.dough_c, heat),
        "dosing": dosing_words(ahead if kind == "preferment" else dough),
        "mixing": MIXING_WORDS[told.kitchen.mixing],
    }


def dosing_words(lines: Sequence[WeighLine]) -> str:
    """How to weigh the yeast of these lines; of preferment and dough when both have some."""
    return " ".join(line.note for line in lines if line.kind == "yeast")


def _oven_slots(oven: OvenPlan, load: int) -> dict[str, str]:
    low = next((one.dial for one in oven.programme if one.action == "turn-down"), "")
    return {
        "dial": oven.dial,
        "dial_low": low,
        "fan_words": "The fan is on." if oven.fan else "",
        "slab_hot": "" if oven.slab == "tray alone" else f"The {oven.slab} stays hot for an hour.",
        "slab_in": "" if oven.slab == "tray alone" else f"The {oven.slab} goes in cold, shelf: {oven.shelf}.",
        "preheat": f"{oven.preheat_min} minutes ({oven.preheat_low_min} to {oven.preheat_high_min})",
        "load_words": action_words(oven.programme, "load"),
        "check_words": f"It has had {_minute(oven, 'check')} minutes.",
        "turn_words": f"It has had {_minute(oven, 'turn')} minutes.{_shelves_changed(oven)}",
        "lift_words": lift_words(oven, load),
    }


def _shelves_changed(oven: OvenPlan) -> str:
    """Trays that bake together change places half way."""
    return " Let the trays change shelves." if "change shelves" in action_words(oven.programme, "turn") else ""


def _pans_of(told: Told, step: TimedStep) -> Sequence[Pan]:
    """The trays of this step: those of its load, all of them otherwise."""
    return pans_of_load(told.pans, told.kitchen.oven.trays_at_once, step.load) if step.load else told.pans


def _toppings_of(told: Told, step: TimedStep) -> Sequence[Topping]:
    """What goes on the trays of this step's load: the share of their area."""
    share = _area(_pans_of(told, step)) / _area(told.pans)
    return [replace(topping, grams=topping.grams * share) for topping in told.toppings]


def _area(pans: Sequence[Pan]) -> float:
    return sum(pan.area_cm2 * pan.count for pan in pans)


def _minute(oven: OvenPlan, action: str) -> str:
    return next((str(one.minute) for one in oven.programme if one.action == action), "")


def _notes(chosen: ToppingSet | None) -> dict[str, str]:
    """What is done with each topping on the tray; salting and draining are over by then."""
    if chosen is None:
        return {}
    rim = {"rim": chosen.rim.note} if chosen.rim else {}
    return {item.key: item.note for item in chosen.items} | rim


def _sauce(told: Told, unit: MassUnit) -> str:
    """ "Stir 3.2 g of salt into 321 g of raw crushed tomatoes."; "" when nothing is stirred."""
    sauce = next((one for one in told.toppings if one.key == "sauce"), None)
    if sauce is None:
        return ""
    items = told.topping_set.items if told.topping_set else ()
    share = next((item.salt_share for item in items if item.key == "sauce"), 0.0)
    salt_g = sauce.grams * share / (1.0 + share)
    what = f"{mass_text(sauce.grams - salt_g, unit)} of {sauce.name.lower()}"
    return f"Stir {mass_text(salt_g, unit, 1)} of salt into {what}." if salt_g else f"Have {what} ready."


def _wait_after(steps: Sequence[TimedStep], step: TimedStep) -> int:
    """Seconds from this step's end until the dough is next moved or baked; folds on the way do not end the wait."""
    movers = (one.start for one in steps if one.chain and one.start >= step.end and one.kind not in ("fold", "rest"))
    return next(iter(sorted(movers)), step.end) - step.end


def pans_words(pans: Sequence[Pan]) -> str:
    """ "2 x Oven tray 40 x 30 cm and Round pan 28 cm"."""
    return joined(f"{pan.count} x {pan.name}" if pan.count > 1 else pan.name for pan in pans)


def _portions(told: Told, step: TimedStep, unit: MassUnit) -> str:
    """How much dough goes into each pan, when there is more than one."""
    if sum(pan.count for pan in told.pans) < 2:
        return ""
    mine, area = _pans_of(told, step), _area(told.pans)
    parts = (f"{mass_text(told.dough_g * pan.area_cm2 / area, unit)} into each {pan.name}" for pan in mine)
    rest = " The rest stays covered where it is." if 0 < step.load < told.oven.loads else ""
    return f"Divide the dough: {joined(parts)}.{rest}"


def yeast_reasons(
    told: Told, instant_percent: float, target_times: str, warmer: tuple[int, int] | None
) -> tuple[str, ...]:
    """Why this much yeast, in plain sentences with the numbers."""
    offer = told.offer
    press = next(step for step in offer.steps if step.mark == "press")
    said = [
        f"From mixing until it is pressed out the dough has {duration_words(press.start - offer.mixed_at)}, "
        f"worth {duration_words(offer.warm_s)} at {heat_text(24.0, told.kitchen.heat_unit)}.",
        f"{instant_percent:.2g} % instant yeast, of the flour's weight, brings it to {target_times} times its volume"
        " in that time.",
        "Half the yeast takes about half as long again, not twice as long: yeast multiplies while it waits.",
    ]
    if warmer is not None:
        hotter = heat_text(2.0, "C") if told.kitchen.heat_unit == "C" else "4 °F"
        said.append(
            f"If the kitchen is {hotter} warmer than you said, the dough is ready about"
            f" {duration_words(warmer[0])} sooner; {hotter} cooler, about {duration_words(warmer[1])} later."
        )
    return tuple(said)
