"""What no longer fits of a planned bake, since hours, busy times, the fridge or the oven were changed: facts alone.

A plan is told what it was made for; what is compared is only what was right then and is not now, so that nothing is
said of a day that was short from the beginning.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.kinds import MisfitKind
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep, timed_steps
from webapp.core.plan.steps import PlanStep, in_and_out_of_fridge
from webapp.core.plan.whose import is_unseen
from webapp.doughs import larder
from webapp.forms.wish import is_other_pan
from webapp.kitchens import bakes
from webapp.kitchens.bakes import FollowedBake
from webapp.kitchens.unbegun import is_past
from webapp.planning.asked import is_wish_of
from webapp.planning.changed.clashes import as_said, by_other, clashes, day_of_bake
from webapp.planning.question import ask_of
from webapp.store.store import Store
from webapp.words.problems.misfits import clash_words, misfit_words


@dataclass(frozen=True)
class Misfit:
    """One thing that does not fit any more: of hands the step, of a fridge what it was and is."""

    kind: MisfitKind
    step: PlanStep | None = (
        None  # of hands whose, of a fridge what takes the dough out, of an oven what lights it, of a pan the mixing
    )
    was_c: float = 0.0
    is_c: float = 0.0
    oven: OvenPlan | None = None  # as it would be heated and baked in now


@dataclass(frozen=True)
class SaidUnfit:
    """One of them in words, and while it is worth saying: until that instant, and that step is still to come."""

    words: str
    step_id: str
    until: int
    of: str = ""  # of lines alike in this the first that holds is said


def misfits(store: Store, now: int, kitchen_id: str, stands: FollowedBake, kitchen: Kitchen) -> tuple[Misfit, ...]:
    """What of this bake, as it stands at `now`, fits no longer in `kitchen`; () of one that is over or given up."""
    held = bakes.bake(store, kitchen_id, stands.plan.bake_id)
    is_over = stands.retimed.current is None or is_past(stands.plan, stands.state, now)
    if held.dropped_at is not None or is_over or stands.plan.making is None:
        return ()
    hands = [Misfit("hands", step) for step in without_hands(store, now, kitchen_id, stands, kitchen)]
    found = oven_of_today(store, kitchen_id, stands.plan, held.wish, kitchen)
    oven = [replace(one, oven=found) for one in _oven(stands) if found is not None and found != stands.plan.oven]
    others = (*_fridge(stands, kitchen), *oven, *_pan(stands, held.wish, kitchen))
    return (*hands, *(one for one in others if now <= stands.plan.supper))


def misfit_lines(store: Store, now: int, kitchen_id: str, stands: FollowedBake) -> list[SaidUnfit]:
    """The same by the kitchen's settings of now, in words, each for as long as it holds: of several steps that miss
    the same hands all, then all but the first, and so on. What is true at a moment is the first of each `of`."""
    kitchen, plan = bakes.kitchen_of(store, kitchen_id), stands.plan
    found = misfits(store, now, kitchen_id, stands, kitchen)
    hands = [one for one in found if one.kind == "hands"]
    lines = [_said(hands[i:], plan, kitchen, hands[i]) for i in range(len(hands))]
    lines += [_said([one], plan, kitchen, one) for one in found if one.kind != "hands"]
    for same in by_other(clashes(store, now, kitchen_id, stands, kitchen)):
        for i, one in enumerate(same):
            of = f"{one.other.bake_id} {one.who}"
            lines.append(SaidUnfit(clash_words(same[i:], plan, kitchen), one.step.step_id, one.start, of))
    return lines


def true_now(lines: Iterable[SaidUnfit]) -> list[SaidUnfit]:
    """Those of `misfit_lines` that hold at the moment at which they were asked for."""
    first: dict[str, SaidUnfit] = {}
    for line in lines:
        first.setdefault(line.of, line)
    return list(first.values())


def _said(same: Sequence[Misfit], plan: Plan, kitchen: Kitchen, first: Misfit) -> SaidUnfit:
    (words,) = misfit_words(same, plan, kitchen.clock, kitchen.heat_unit)
    step = first.step
    until = step.start if step and first.kind == "hands" else plan.supper
    return SaidUnfit(words, step.step_id if step else "", until, first.kind)


def oven_of_today(store: Store, kitchen_id: str, plan: Plan, wish: Wish, kitchen: Kitchen) -> OvenPlan | None:
    """How this plan would be baked in the oven as it is set down now; None where that cannot be told."""
    if not is_wish_of(plan, wish):
        return None  # other answers were tried and not taken
    same = replace(kitchen, habits=plan.habits, zone=plan.zone)
    try:
        stock = larder.with_put_away(store, kitchen_id, wish.formula_key, wish.toppings_key, wish.method_key)
        return ask_of(wish, same, plan.made_at, stock).oven
    except PlanError:  # nothing is left of what it was made of, or this program cannot read it
        return None


def oven_is_to_come(stands: FollowedBake) -> bool:
    """Whether the oven is still to be lit."""
    return bool(_oven(stands))


def _pan(stands: FollowedBake, wish: Wish, kitchen: Kitchen) -> tuple[Misfit, ...]:
    """Until the dough is mixed: a pan of the kitchen that has another size now, or is the kitchen's no more."""
    mix = next((step for step, now in _steps(stands) if step.kind == "mix" and now.status == "open"), None)
    return (Misfit("pan", mix),) if mix and is_other_pan(stands.plan.pans, wish, kitchen) else ()


def _oven(stands: FollowedBake) -> tuple[Misfit, ...]:
    lit = [step for step, now in _steps(stands) if step.kind == "preheat" and now.status == "open"]
    return tuple(Misfit("oven", step) for step in lit[:1])


def without_hands(
    store: Store, now: int, kitchen_id: str, stands: FollowedBake, kitchen: Kitchen
) -> tuple[PlanStep, ...]:
    """Steps still to come that had somebody when they were planned, and have nobody now where they stood when something
    was last said of the bake: at the times at which they stand. A step that nobody ticks moves none by the minute."""
    said, plan = as_said(stands, now), stands.plan
    day = day_of_bake(store, now, kitchen_id, plan, kitchen)
    return tuple(
        replace(step, start=timed.start, end=timed.end)
        for step, timed in timed_steps(plan, said.retimed)
        if day and timed.status == "open" and is_unseen(day.house, plan, said.state, step, timed, now - 1)
    )


def _fridge(stands: FollowedBake, kitchen: Kitchen) -> Iterator[Misfit]:
    was, taken_out = stands.plan.rise.reckoned_fridge_c, _comes_out(stands)
    if taken_out and kitchen.has_other_fridge(was):
        yield Misfit("fridge", taken_out[-1], was, kitchen.fridge_c)


def with_fridge(stands: FollowedBake, kitchen: Kitchen) -> Plan:
    """The plan with its dough in the fridge of now, where it is still to come out of one: how far it is follows at
    once, while its times stay."""
    plan, rise = stands.plan, stands.plan.rise
    if not _comes_out(stands):
        return plan
    other = rise.reckoned_fridge_c if kitchen.has_other_fridge(rise.reckoned_fridge_c) else None
    fridge_c = rise.reckoned_fridge_c if other is None else kitchen.fridge_c
    return replace(plan, rise=replace(rise, fridge_c=fridge_c, planned_fridge_c=other))


def _comes_out(stands: FollowedBake) -> list[PlanStep]:
    """The steps to come that take the dough out of the fridge."""
    is_open = {step.step_id for step, now in _steps(stands) if now.status == "open"}
    return [after for _, after in in_and_out_of_fridge(stands.plan.steps) if after.step_id in is_open]


def _steps(stands: FollowedBake) -> list[tuple[PlanStep, RetimedStep]]:
    return timed_steps(stands.plan, stands.retimed)
