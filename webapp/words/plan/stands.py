"""What a pressing says of each place where its tray could stand, and a lifting of an oven that goes off before the next
load: as things stand, the phone shows the one that holds."""

from __future__ import annotations

from dataclasses import replace

from webapp.core.kinds import PRESSING_KINDS, RESTING_PLACES, HeatUnit
from webapp.core.kitchen import Kitchen
from webapp.core.plan.oven import OvenSetting
from webapp.core.plan.plan import Making, Plan
from webapp.core.plan.steps import PlanStep
from webapp.words.plan.oven import off_words
from webapp.words.plan.steps import StepWords, title_of
from webapp.words.plan.whose import with_names

STANDS = "{stands}"  # filled by static/js/state/stands.js: for how long as things stand, and where
Words = dict[str, str]
Said = dict[str, str | Words]


class _Anywhere(StepWords):
    """The same texts with that slot left open."""

    def _stands(self, step: PlanStep) -> str:
        return STANDS if step.vessel == "tray" else super()._stands(step)


class _GoesOff(StepWords):
    """The same of an oven that goes off after this tray, though more are to come."""

    def __init__(self, plan: Plan, made: Making, setting: OvenSetting) -> None:
        super().__init__(plan, made, setting)
        heat: HeatUnit = made.heat_unit
        self._own["lift_words"] = lambda _: off_words(plan.oven, heat)


def by_place(plan: Plan, kitchen: Kitchen) -> dict[str, dict[str, Said]]:
    """What each step that leaves the dough in its tray says, by step and place, in another pan too; and what a lifting
    says while the oven stays on, and when it goes off. {} of a plan stored before there were facts."""
    setting = plan.oven.setting
    if plan.making is None or setting is None:
        return {}
    made = replace(plan.making, mass_unit=kitchen.mass_unit, heat_unit=kitchen.heat_unit)
    plan = replace(plan, making=made)
    trays = [step for step in plan.steps if step.kind in PRESSING_KINDS and step.vessel == "tray"]
    out: dict[str, dict[str, Said]] = {step.step_id: {} for step in trays}
    for place in RESTING_PLACES:
        words = _Anywhere(plan, made, setting)  # it knows a step by its id, wherever that leaves the dough
        elsewhere = _Anywhere(plan, made, setting, other_pan=True)
        for step in trays:
            there = replace(step, place=place)
            other = {"other_pan": _words(elsewhere, there)} if step.kind == "press" else {}
            out[step.step_id][place] = {
                "title": title_of(plan, there, plan.house is None),
                **_words(words, there),
                **other,
            }
    lifts = [step for step in plan.steps if step.kind == "lift" and 0 < step.load < plan.oven.loads]
    for key, said in (("on", StepWords(plan, made, setting)), ("off", _GoesOff(plan, made, setting))):
        for step in lifts:
            out.setdefault(step.step_id, {})[key] = {
                "title": title_of(plan, step, plan.house is None),
                **_words(said, step),
            }
    return out


def _words(words: StepWords, step: PlanStep) -> Words:
    named = words.plan.house is None  # else the phone knows who is there
    return {
        "text": with_names(words.text_of(step), step, named),
        "beside": with_names(words.beside(step), step, named),
        "first": words.first_of(step),
    }
