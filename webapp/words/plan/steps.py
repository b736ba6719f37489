"""What the steps of a plan say: slots of `step_texts.py` filled from its own grams, places, dial and pans."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import groupby

from webapp.core.kinds import MIXING_KINDS, MassUnit, Mixing, Place
from webapp.core.oven.oven import pans_of_load
from webapp.core.plan.oven import OvenPlan, OvenSetting
from webapp.core.plan.plan import Making, Plan
from webapp.core.plan.retimed import RetimedStep
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.tray import Pan, Topping
from webapp.core.safety.cautions import is_bare
from webapp.core.units import heat_text, mass_text
from webapp.words.kinds.pans import pans_in_full
from webapp.words.kinds.places import place_word
from webapp.words.learned import noted_at
from webapp.words.lists import joined
from webapp.words.plan import slots
from webapp.words.plan.cold_tray import cold_words, temper_words, tip_words
from webapp.words.plan.kept_part import kept_words
from webapp.words.plan.oven import (
    action_words,
    dial_words,
    function_words,
    hot_asked,
    hot_words,
    latest_words,
    lift_words,
    load_here,
    shelf_words,
    slab_words,
)
from webapp.words.plan.rise import cold_in_words, water_words, yeast_water_words
from webapp.words.plan.step_texts import sentences, slots_of, step_texts
from webapp.words.plan.toppings import drain_words, fridge_words, sauce_words, shared_words, topping_words
from webapp.words.plan.warm_spot import carried_words, put_words
from webapp.words.plan.weights import by_hand, dosing_words, mass_of_line, pour_list, scales_of
from webapp.words.plan.whose import anothers_words
from webapp.words.times import duration_words

MIXING_WORDS: dict[Mixing, str] = {
    "hand": "Stir with a stiff spoon or a wet hand until no dry flour is left: two minutes, no kneading.",
    "mixer": "Mix on the lowest speed until it comes together, then three minutes on the next.",
    "processor": "Pulse until it comes together in clumps, then ten seconds more.",
}
# Common practice: a crisp base, and nothing is cooked any further.
REHEAT = "To eat all together: as the last comes out, the earlier go back into the hot oven, off, for three minutes."
OVEN_FIRST = "The tray in the oven goes first: put this down for the minute that it asks for."
LISTED = ("preferment_list", "dough_list", "dosing")  # said by the weigh-out list, where there is one beside the text
# Said by the clock beside the step, which knows when the tray really went in.
TIMED = ("check_words", "turn_words", "latest_words")
BY_DIAL = "load_words"  # says shelf and slab, which stand beside the dial there
HERE = "load_here"  # what is said there instead
CAUTIONED = ("stays_words", "leftovers_words")  # said by the caution beside the step, in full
BREAD_LEFT = "Wrap what is left once it is cool."
AS_LISTED = "Weigh out as listed."
UNTIL_FOLDED = ", until it is folded"  # whoever mixes and goes out must know that hands are wanted before the long wait


def place_words(place: Place, seconds: int) -> str:
    """ "about 9 hours 15 minutes on the bench"; empty when the dough is nowhere in particular or does not wait."""
    where = place_word(place)
    return f"about {duration_words(seconds)} {where}" if where and seconds >= 60 else ""


def plain_title(step: PlanStep) -> str:
    """The step's short imperative, whichever load it is of."""
    return step_texts()[step.kind].title


def title_of(plan: Plan, step: PlanStep, named: bool = True) -> str:
    """The step's short imperative, and that it is somebody else's; `named` as of `with_names`."""
    return f"{own_title(plan, step)}{anothers_words(step) if named else ''}"


def own_title(plan: Plan, step: PlanStep) -> str:
    """As whoever does it reads it, who is nobody else to themselves: the step's short imperative; where the dough goes
    with it when that is the warm spot, and which load it is of when there are several."""
    load = f" (load {step.load} of {plan.oven.loads})" if step.load and plan.oven.loads > 1 else ""
    return f"{plain_title(step)}{carried_words(plan.steps, step)}{load}"


class StepWords:
    """The texts of one plan's steps."""

    def __init__(self, plan: Plan, made: Making, setting: OvenSetting, other_pan: bool = False) -> None:
        """`other_pan`: with slots for what is another pan's (words/plan/slots.py)."""
        self.plan, self.made, self.setting, self.other_pan = plan, made, setting, other_pan
        self.unit: MassUnit = made.mass_unit
        self._ahead = [line for line in plan.lines if line.part != "dough"]
        self._dough = [line for line in plan.lines if line.part == "dough"]
        self._same = {**self._dough_slots(), **self._oven_slots(), **self._top_slots()}
        self._own = self._fillers()
        self._slots: dict[str, dict[str, str]] = {}  # by step

    def first_of(self, step: PlanStep) -> str:
        """The first thing to do."""
        return next(iter(self._said(step, (HERE,))), "")

    def text_of(self, step: PlanStep) -> str:
        """The step in full, each sentence on a line of its own."""
        return "\n".join(self._said(step, (HERE,)))

    def beside(self, step: PlanStep) -> str:
        """The step less what is said beside it: amounts and how the yeast is weighed, minutes, cautions."""
        if step.kind not in MIXING_KINDS:
            return "\n".join(self._said(step, (*TIMED, *CAUTIONED, BY_DIAL)))
        return "\n".join(self._said(step, LISTED))

    def _said(self, step: PlanStep, without: Sequence[str]) -> list[str]:
        said = sentences(step_texts()[step.kind], self._filled(step), without)
        noted = noted_at(self.plan.habits, step.kind)
        return [*said, noted] if noted else said

    def _filled(self, step: PlanStep) -> dict[str, str]:
        """The slots that this step's sentences ask for: each is worked out once, those of other kinds never."""
        known = self._slots.get(step.step_id)
        if known is None:
            asked = {name for sentence in step_texts()[step.kind].sentences for name in slots_of(sentence)}
            own = {name: fill(step) for name, fill in self._own.items() if name in asked}
            known = self._slots[step.step_id] = self._same | own
        return known

    def _fillers(self) -> dict[str, Callable[[PlanStep], str]]:
        """What fills the slots that differ from step to step."""
        plan, heat = self.plan, self.made.heat_unit
        return {
            "dosing": lambda one: dosing_words(
                self._ahead if one.kind == "preferment" else self._dough, scales_of(plan)
            ),
            "place_words": self._stands,
            "pans": lambda one: slots.PAN if self.other_pan else pans_in_full(self._pans_of(one)),
            "portions": self._portions,
            "out_words": self._out_words,
            "cold_words": self._cold,
            "tip_words": lambda one: tip_words(self._cold(one)),
            "temper_words": lambda one: temper_words(plan, one, self._stands(one)),
            "warm_words": lambda one: put_words(plan, one, heat),
            "topping_words": lambda one: topping_words(self._toppings_of(one), "before", self.unit, self.other_pan),
            "shared_words": lambda one: shared_words(self._pans_of(one)) if one.kind == "top" else "",
            "after_words": lambda one: topping_words(self._toppings_of(one), "after", self.unit, self.other_pan),
            "kept_words": lambda one: kept_words(plan, one, self.unit),
            "oven_first": lambda one: OVEN_FIRST if self._has_stops(one) else "",
            "lift_words": lambda one: lift_words(plan.oven, self.setting, one.load, heat),
        }

    def _stands(self, step: PlanStep) -> str:
        return self._waits(step, *fold_after(self.plan.steps, step))

    def _waits(self, step: PlanStep, fold: bool, seconds: int) -> str:
        """For how long the dough stands where this step leaves it; `fold`: until it is folded."""
        said = place_words(step.place, seconds)
        return f"{said}{self._until(step, fold)}" if said else ""

    def _until(self, step: PlanStep, fold: bool) -> str:
        if not fold:
            return ""
        return f"{UNTIL_FOLDED} again" if step.kind == "fold" else UNTIL_FOLDED

    def _cold(self, step: PlanStep) -> str:
        return cold_words(self.plan, self.made, step)

    def _out_words(self, step: PlanStep) -> str:
        """What comes out of the oven before it is lit: a dough that stands in there, as it is its warm spot."""
        stood = [one for one in self.plan.steps if one.chain and one.end <= step.start]
        if not (self.plan.rise.warm_is_oven and stood and stood[-1].place == "warm"):
            return ""
        return "First take the dough out of the oven, its warm spot, and stand it covered on the bench."

    def _has_stops(self, step: PlanStep) -> bool:
        """Does the tray in the oven ask for a minute while this one is topped?"""
        others = (one for one in self.plan.steps if one.chain and one.load < step.load)
        return step.kind == "top" and any(step.start <= one.start < step.end for one in others)

    def _turns_down(self) -> bool:
        """Has turning the dial down a minute of its own? Not where loads follow each other."""
        return any(step.kind == "turn-down" for step in self.plan.steps)

    def _all_together(self) -> bool:
        """Are there several loads that are eaten at once?"""
        return self.plan.oven.loads > 1 and [step.kind for step in self.plan.steps].count("serve") == 1

    def _dough_slots(self) -> dict[str, str]:
        heat, rise = self.made.heat_unit, self.plan.rise
        whole = next((line for line in self._dough if line.kind == "preferment"), None)
        poured = [line for line in by_hand(self._dough) if line.kind != "preferment"]
        return {
            "preferment_list": pour_list(by_hand(self._ahead), self.unit),
            "preferment_in": f"All of the preferment goes in: {mass_of_line(whole, self.unit)}." if whole else "",
            "dough_list": pour_list(poured, self.unit),
            "water": water_words(self.plan),
            "dough": heat_text(self.plan.wanted_dough_c, heat),
            "yeast_water_words": yeast_water_words(self.plan),
            "cold_in": cold_in_words(self.plan, self.made),
            "mixing": MIXING_WORDS[self.made.mixing],
            "vessel": self.made.vessel,
            "fridge": heat_text(rise.fridge_c, heat),
            "lit_next": "The oven is lit after this: look that nothing is left in it." if rise.warm_is_oven else "",
        }

    def _oven_slots(self) -> dict[str, str]:
        oven, setting = self.plan.oven, self.setting
        low = next((one.dial_c for one in oven.programme if one.action == "turn-down" and one.dial_c), None)
        slab, shelf = slab_words(setting), shelf_words(setting.shelves, setting.shelf)
        load = next((one for one in oven.programme if one.action == "load"), None)
        return {
            "dial": dial_words(setting.dial_unit, setting.dial_c),
            "dial_low": dial_words(setting.dial_unit, low) if low is not None else "",
            "dial_then": dial_words(setting.dial_unit, low) if low is not None and not self._turns_down() else "",
            "fan_words": function_words(oven.function),
            "slab_hot": f"The {slab} stays hot for an hour." if oven.has_slab else "",
            "slab_in": f"The {slab} goes in cold, shelf: {shelf}." if oven.has_slab else "",
            "preheat": f"{oven.preheat_min} minutes ({oven.preheat_low_min} to {oven.preheat_high_min})",
            "hot_words": hot_words(setting),
            "stays_words": "Somebody stays at home from now until it is off.",
            "leftovers_words": BREAD_LEFT if is_bare(self.plan) else "Leftovers into the fridge within two hours.",
            "hot_asked": hot_asked(setting, self.made.heat_unit),
            "load_words": action_words(oven, setting, load, self.made.heat_unit) if load else "",
            "load_here": load_here(setting),
            **{f"{one}_words": f"The tray has been in for {_minute(oven, one)} minutes." for one in ("check", "turn")},
            "latest_words": latest_words(oven),
            "heat_below": "lay foil loosely over it" if setting.shelf == "low" else "move it one shelf lower",
            "change_shelves": "Let the trays change shelves." if setting.trays_at_once > 1 else "",
        }

    def _top_slots(self) -> dict[str, str]:
        toppings = self.plan.toppings
        has_spoons = any(line.kind == "salt" and line.teaspoons > 0 for line in self.plan.lines)
        return {
            "reheat_words": REHEAT if self._all_together() else "",
            "sauce_words": sauce_words(toppings, self.unit, self.other_pan, has_spoons),
            "drain_words": drain_words(toppings),
            "cheese_words": fridge_words(toppings),
        }

    def _pans_of(self, step: PlanStep) -> Sequence[Pan]:
        """The trays of this step: those of its load, all of them otherwise, and where another pan was taken for all."""
        pans = self.plan.pans
        return (pans_of_load(pans, self.setting.trays_at_once, step.load) if step.load else ()) or pans

    def _toppings_of(self, step: PlanStep) -> Sequence[Topping]:
        """What goes on the trays of this step's load: the share of their area."""
        loads, trays = self.plan.oven.loads, sum(pan.count for pan in self.plan.pans)
        share = _area(self._pans_of(step)) / _area(self.plan.pans)
        if step.load and trays < loads:
            share = 1 / loads
        return [replace(topping, grams=topping.grams * share) for topping in self.plan.toppings]

    def _portions(self, step: PlanStep) -> str:
        """How much dough goes into each pan, when there is more than one."""
        pans, dough_g = self.plan.pans, self.plan.dough_g
        if sum(pan.count for pan in pans) < 2 or self.other_pan:
            return ""
        area = _area(pans)
        parts = (
            f"{mass_text(dough_g * pan.area_cm2 / area, self.unit)} into each {pan.name}" for pan in self._pans_of(step)
        )
        rest = " The rest stays covered where it is." if 0 < step.load < self.plan.oven.loads else ""
        return f"Divide the dough: {joined(parts)}.{rest}"


def _area(pans: Sequence[Pan]) -> float:
    return sum(pan.area_cm2 * pan.count for pan in pans)


def _minute(oven: OvenPlan, action: str) -> str:
    return next((str(one.minute) for one in oven.programme if one.action == action), "")


def fold_after(steps: Sequence[PlanStep], step: PlanStep) -> tuple[bool, int]:
    """Is it a fold that comes next, and the seconds from this step's end until then; where it is none, until the dough
    is moved or baked: a rest and pressing to the edge end no wait.

    Of one load among several: until that load is, whatever is done to the others meanwhile.
    """
    own = [one for one in steps if one.chain and one.start >= step.end and (not step.load or one.load == step.load)]
    ends = min((one for one in own if one.kind not in ("rest", "relax")), key=lambda one: one.start, default=None)
    return (ends.kind == "fold", ends.start - step.end) if ends else (False, 0)


Row = tuple[PlanStep, RetimedStep, int]  # a step, as it stands, and the seconds until the next of the chain


def by_load(rows: Sequence[Row]) -> list[tuple[int, list[Row]]]:
    """Runs of steps: those from topping one load until it is out with the number of that load, all others with 0."""
    return [(number, list(run)) for number, run in groupby(rows, lambda row: load_of(row[0]))]


def load_of(step: PlanStep) -> int:
    """The number of the load that is topped or baked at this step; 0 for any other."""
    return step.load if step.kind in ("top", "load", "turn-down", "check", "turn", "lift") else 0


def begins(plan: Plan) -> int:
    """When hands are first wanted."""
    return next(step.start for step in plan.steps if step.presence == "hands")
