"""What a pressing says of each place where its tray could stand: by the way that is taken, the phone shows the one that
holds."""

from __future__ import annotations

from dataclasses import replace

from webapp.core.kinds import RESTING_PLACES
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.words.plan.steps import StepWords, title_of
from webapp.words.plan.whose import with_names

STANDS = "{stands}"  # filled by static/js/state/stands.js: for how long as things stand, and where
Said = dict[str, str]


class _Anywhere(StepWords):
    """The same texts with that slot left open."""

    def _stands(self, step: PlanStep) -> str:
        return STANDS if step.vessel == "tray" else super()._stands(step)


def by_place(plan: Plan, kitchen: Kitchen) -> dict[str, dict[str, Said]]:
    """Title, text and the text beside its list of each step that leaves the dough in its tray, by step and place;
    {} of a plan stored before there were facts."""
    setting = plan.oven.setting
    if plan.making is None or setting is None:
        return {}
    made = replace(plan.making, mass_unit=kitchen.mass_unit, heat_unit=kitchen.heat_unit)
    plan = replace(plan, making=made)
    trays = [step for step in plan.steps if step.kind in ("press", "relax") and step.vessel == "tray"]
    out: dict[str, dict[str, Said]] = {step.step_id: {} for step in trays}
    for place in RESTING_PLACES:
        words = _Anywhere(plan, made, setting)  # it knows a step by its id, wherever that leaves the dough
        for step in trays:
            out[step.step_id][place] = _said(plan, words, replace(step, place=place))
    return out


def _said(plan: Plan, words: StepWords, step: PlanStep) -> Said:
    return {
        "title": title_of(plan, step),
        "text": with_names(words.text_of(step), step),
        "beside": with_names(words.beside(step), step),
    }
