"""A plan's facts with its words: every field marked "shown" in core/plan is filled, in today's English.

What is stored holds none of them, so that a sentence can be changed without touching a plan. A plan stored before there
were facts has no `making`: it is shown with what it said then, as `stored_plans.py` has read it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from webapp.core.kinds import HeatUnit, ProofPlace, StepKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.caution import Caution
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import OtherPan, PlanStep
from webapp.core.plan.weights import WeighLine
from webapp.words.cautions import caution_words
from webapp.words.kinds.people import busy_word, need_word
from webapp.words.learned import habit_words
from webapp.words.plan import offers, toppings, weights
from webapp.words.plan.oven import action_words, blown_word, contact_words, dial_words, shelf_words, slab_words
from webapp.words.plan.rise import beyond_words, water_reasons, yeast_reasons
from webapp.words.plan.stands import AsTimed, put
from webapp.words.plan.steps import StepWords, title_of
from webapp.words.plan.warm_spot import where_words
from webapp.words.plan.whose import with_names
from webapp.words.shared import BAKE_TITLE
from webapp.words.times import weekday

# What these say names the pan, or amounts that go with it.
OF_THE_PAN: tuple[StepKind, ...] = ("press", "sauce", "top", "serve")


class Planned(Protocol):
    """A plan, or a line about one in a list."""

    @property
    def title(self) -> str: ...
    @property
    def formula_name(self) -> str: ...
    @property
    def supper(self) -> int: ...
    @property
    def zone(self) -> str: ...


def bake_title(one: Planned, supper: int = 0) -> str:
    """ "Tray pizza for Wednesday"; as it was stored, when it was. `supper`: when it is by now, 0 as planned."""
    return one.title or BAKE_TITLE.format(formula=one.formula_name, day=weekday(supper or one.supper, one.zone))


def spoken(
    plan: Plan,
    kitchen: Kitchen | None = None,
    named: bool = True,
    retimed: Retimed | None = None,
    proof: ProofPlace = "",
) -> Plan:
    """The plan as it is shown, in the units that `kitchen` reads today; without it in those it was planned in. `named`:
    with whom each step suits. `retimed`: how long the dough waits is said by these times, as planned without; `proof`:
    where the way that was taken puts the tray.
    """
    made, setting = plan.making, plan.oven.setting
    if made is None or setting is None:
        return _as_stored(plan, kitchen.heat_unit if kitchen else "C")
    if kitchen:
        made = replace(made, mass_unit=kitchen.mass_unit, heat_unit=kitchen.heat_unit)
        plan = replace(plan, making=made)
    plan = replace(plan, lines=weights.named(plan.lines, plan.yeast_kind))
    words, elsewhere = (AsTimed(plan, made, setting, retimed, other_pan) for other_pan in (False, True))
    scales = weights.scales_of(plan)
    return replace(
        plan,
        title=bake_title(plan),
        busy=_busy(plan),
        lines=_noted(plan.lines, scales),
        other_yeasts=tuple(
            replace(one, lines=_noted(weights.named(one.lines, one.kind), replace(scales, yeast_kind=one.kind)))
            for one in plan.other_yeasts
        ),
        toppings=tuple(
            replace(one, grams=toppings.whole(one.grams), note=toppings.note(one, made.mass_unit))
            for one in plan.toppings
        ),
        steps=tuple(
            replace(
                step,
                title=title_of(plan, at, named),
                text=with_names(words.text_of(at), step, named),
                beside=with_names(words.beside(at), step, named),
                first=words.first_of(at),
                needs=need_word(step.presence),
                other_pan=_other_pan(elsewhere, at, named),
            )
            for step, at in ((one, put(plan, one, retimed, proof)) for one in plan.steps)
        ),
        rise=replace(plan.rise, outside_range=tuple(beyond_words(one, made.heat_unit) for one in plan.rise.beyond)),
        oven=spoken_oven(plan.oven, made.heat_unit),
        trade=replace(
            plan.trade,
            sentence=offers.sentence(plan.steps, plan.ready_at, plan.trade, made.heat_unit, where_words(plan.rise)),
            why_not=offers.why_not(plan.trade.worse),
        ),
        cautions=_cautions(plan),
        yeast_dosing=weights.dosing_words(plan.lines, scales),
        yeast_why=yeast_reasons(plan, made),
        water_why=water_reasons(plan, made),
        notes=tuple(habit_words(habit) for habit in plan.habits),
    )


def _noted(lines: Sequence[WeighLine], scales: weights.Scales) -> tuple[WeighLine, ...]:
    return tuple(
        replace(line, note=weights.note(line, scales), other_pan=weights.other_pan_note(line, scales)) for line in lines
    )


def _other_pan(words: StepWords, step: PlanStep, named: bool) -> OtherPan | None:
    if step.kind not in OF_THE_PAN:
        return None
    text, beside = (with_names(said, step, named) for said in (words.text_of(step), words.beside(step)))
    return OtherPan(text, beside, words.first_of(step))


def _busy(plan: Plan) -> tuple[Busy, ...]:
    return tuple(replace(one, word=busy_word(one.kind)) for one in plan.busy)


def _cautions(plan: Plan) -> tuple[Caution, ...]:
    said = []
    for caution in plan.cautions:
        text, source = caution_words(caution, plan)
        said.append(replace(caution, text=text, source=source))
    return tuple(said)


def spoken_oven(oven: OvenPlan, heat: HeatUnit) -> OvenPlan:
    """The oven's part of it: the dial in its own words, what a thermometer reads in the household's."""
    oven = replace(oven, blown=blown_word(oven.function))
    setting = oven.setting
    if setting is None:
        return oven
    unit, shelf = setting.dial_unit, shelf_words(setting.shelves, setting.shelf)
    return replace(
        oven,
        dial=dial_words(unit, setting.dial_c),
        shelf=shelf,
        slab=slab_words(setting),
        why=contact_words(setting, heat),
        programme=tuple(
            replace(
                one,
                dial="" if one.dial_c is None else dial_words(unit, one.dial_c),
                shelf="" if one.action == "lift" else shelf,
                text=action_words(oven, setting, one, heat),
            )
            for one in oven.programme
        ),
    )


def _as_stored(plan: Plan, heat: HeatUnit) -> Plan:
    """A plan from before there were facts: its own sentences, and what has come to be said since."""
    steps = tuple(replace(step, needs=need_word(step.presence)) for step in plan.steps)
    lines = weights.named(plan.lines, plan.yeast_kind)
    others = tuple(replace(one, lines=weights.named(one.lines, one.kind)) for one in plan.other_yeasts)
    oven = spoken_oven(plan.oven, heat)
    return replace(
        plan, title=bake_title(plan), steps=steps, busy=_busy(plan), oven=oven, lines=lines, other_yeasts=others
    )
