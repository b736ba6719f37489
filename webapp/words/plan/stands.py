"""Where and for how long the dough stands after a step, as things stand: from its times and the way that was taken.

On pages and in calendars it is told; the phone, which knows both itself, gets it with that left open, and for each
place where a tray could be. So with a lifting of an oven that goes off before the next load.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from webapp.core.kinds import PRESSING_KINDS, RESTING_PLACES, HeatUnit, ProofPlace
from webapp.core.kitchen import Kitchen
from webapp.core.plan.oven import OvenSetting
from webapp.core.plan.plan import Making, Plan
from webapp.core.plan.retimed import Retimed, timed_steps
from webapp.core.plan.steps import GRID_S, PlanStep
from webapp.core.rise.pressing import GIVES_C, cold_when_pressed
from webapp.words.kinds.places import place_word
from webapp.words.plan.cold_tray import cold_words
from webapp.words.plan.oven import off_words
from webapp.words.plan.steps import StepWords, fold_after, title_of
from webapp.words.plan.whose import with_names

STANDS = "{stands}"  # filled by static/js/state/stands.js: for how long as things stand, and where
GIVES, COLD = "-gives", "-cold"  # behind the place: of a dough that was to be cold and is not, and of the other kind
NEAR_C = 1.0  # so near to what gives, it is as planned (static/js/state/stands.js has both edges)
_SAID_S = 60  # a move sooner than this is the step's own
Words = dict[str, str]
Said = dict[str, str | Words]


class AsTimed(StepWords):
    """The same texts with the waits as long as they are by now."""

    def __init__(
        self, plan: Plan, made: Making, setting: OvenSetting, retimed: Retimed | None, other_pan: bool = False
    ) -> None:
        super().__init__(plan, made, setting, other_pan)
        timed = [] if retimed is None else timed_steps(plan, retimed)
        self._timed = [replace(step, start=at.start, end=at.end) for step, at in timed]
        self._moves = () if retimed is None else retimed.moves
        self._dough_c = {} if retimed is None else {one.step_id: one.dough_c for one in retimed.steps}

    def _cold(self, step: PlanStep) -> str:
        """As cold as it is by then: it may have stayed out of the fridge, or gone into it."""
        return cold_as_it_is(self.plan, self.made, step, self._dough_c.get(step.step_id, 0.0))

    def _stands(self, step: PlanStep) -> str:
        at = next((i for i, one in enumerate(self._timed) if one.step_id == step.step_id), -1)
        if at < 0:
            return super()._stands(step)
        own = self._timed[at]
        later = [replace(one, start=max(one.start, own.end)) for one in self._timed[at + 1 :]]
        fold, seconds = fold_after(later, own)
        carried = [move.at - own.end for move in self._moves if move.at > own.end + _SAID_S]
        said = self._waits(step, fold, (min([seconds, *carried]) + GRID_S // 2) // GRID_S * GRID_S)
        return said or self._where(step)

    def _where(self, step: PlanStep) -> str:
        """ "on the bench", as the kitchen screen says it of a dough that by now has not long to wait there."""
        is_said = step.vessel == "tray" or super()._stands(step)
        return place_word(step.place) if is_said else ""


def put(plan: Plan, step: PlanStep, retimed: Retimed | None, proof: ProofPlace) -> PlanStep:
    """The step with its tray where the way that was taken puts it: at `proof`, "" = as planned.

    A tray that is pressed to the edge stays where it is; until it is pressed out, it is a bowl that is somewhere.
    """
    if retimed is None or step.kind not in PRESSING_KINDS or step.vessel != "tray":
        return step
    pressed = any(
        one.kind == "press" and one.load == step.load and at.status == "done" for one, at in timed_steps(plan, retimed)
    )
    stays = step.kind == "relax" and pressed
    here = next((place for place in RESTING_PLACES if stays and place == retimed.place), None)
    return replace(step, place=here or proof or step.place)


def cold_as_it_is(plan: Plan, made: Making, step: PlanStep, dough_c: float) -> str:
    """What a pressing says of a dough of `dough_c` (0 = not known, as planned)."""
    if dough_c > GIVES_C + NEAR_C:
        return ""
    is_cold = 0.0 < dough_c < GIVES_C - NEAR_C and step.kind == "press" and cold_when_pressed(plan, step) is None
    return cold_words(plan, made, step, dough_c if is_cold else None)


class _Anywhere(StepWords):
    """The same texts with that slot left open."""

    def _stands(self, step: PlanStep) -> str:
        if step.vessel == "tray":
            return STANDS
        fold, _ = fold_after(self.plan.steps, step)
        return f"{STANDS}{self._until(step, fold)}" if super()._stands(step) else ""


class _Gives(_Anywhere):
    """The same of a dough that was to be cold when it is pressed, and is not."""

    def _cold(self, _: PlanStep) -> str:
        return ""


class _Cold(_Anywhere):
    """The same of one that was not to be cold, and comes from the fridge."""

    def _cold(self, step: PlanStep) -> str:
        return cold_words(self.plan, self.made, step, self.plan.rise.fridge_c)


class _GoesOff(StepWords):
    """The same of an oven that goes off after this tray, though more are to come."""

    def __init__(self, plan: Plan, made: Making, setting: OvenSetting) -> None:
        super().__init__(plan, made, setting)
        heat: HeatUnit = made.heat_unit
        self._own["lift_words"] = lambda _: off_words(plan.oven, heat)


def by_place(plan: Plan, kitchen: Kitchen) -> dict[str, dict[str, Said]]:
    """What each step that leaves the dough in its tray says, by step and place, in another pan too; what each other one
    says that leaves the dough to wait; and what a lifting says while the oven stays on, and when it goes off. {} of a
    plan stored before there were facts."""
    setting = plan.oven.setting
    if plan.making is None or setting is None:
        return {}
    made = replace(plan.making, mass_unit=kitchen.mass_unit, heat_unit=kitchen.heat_unit)
    plan = replace(plan, making=made)
    trays = [step for step in plan.steps if step.kind in PRESSING_KINDS and step.vessel == "tray"]
    out: dict[str, dict[str, Said]] = {step.step_id: {} for step in trays}
    ways: tuple[tuple[str, type[_Anywhere]], ...] = (("", _Anywhere), (GIVES, _Gives), (COLD, _Cold))
    for place, (felt, kind) in product(RESTING_PLACES, ways):
        words = kind(plan, made, setting)  # it knows a step by its id, wherever that leaves the dough
        elsewhere = kind(plan, made, setting, other_pan=True)
        for step in trays:
            if felt and (step.kind != "press" or (felt == COLD) != (cold_when_pressed(plan, step) is None)):
                continue
            there = replace(step, place=place)
            other = {"other_pan": _words(elsewhere, there)} if step.kind == "press" else {}
            out[step.step_id][f"{place}{felt}"] = {
                "title": title_of(plan, there, plan.house is None),
                **_words(words, there),
                **other,
            }
    words = _Anywhere(plan, made, setting)
    for step in plan.steps:
        if step.step_id not in out and STANDS in words.text_of(step):
            out[step.step_id] = {step.place: {"title": title_of(plan, step, plan.house is None), **_words(words, step)}}
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
