"""A bake as it was when it was last heard of: calendars keep those times until something is said."""

from __future__ import annotations

from collections.abc import Collection

from webapp.core.kitchen import Kitchen, Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import State
from webapp.core.plan.steps import in_and_out_of_fridge
from webapp.forms.wish import is_other_pan
from webapp.kitchens.kept import journal
from webapp.kitchens.spare import over_the_pan_g
from webapp.store.store import Store
from webapp.words.calendar import of_a_changed_oven, of_a_changed_pan, of_a_full_pan, of_another_pan
from webapp.words.problems.misfits import fridge_changed_words


def as_heard(store: Store, now: int, kitchen_id: str, plan: Plan) -> tuple[State, Retimed, int]:
    """What happened, and the bake's times as they were when it was last heard of, and when that was: so calendars
    have them."""
    events = journal(store, kitchen_id, plan.bake_id)
    state = fold(plan, events)
    heard = last_heard(plan, events, now)
    return state, retime(plan, state, heard), heard


def last_heard(plan: Plan, events: tuple[Event, ...], now: int) -> int:
    """When the journal was last written, by the phones' clocks but never in the future; else when the plan was made."""
    return min(now, max([plan.made_at, *(e.logged_at for e in events)]))


def told_beside(plan: Plan, state: State, wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    """By kind of step what is said of its pan, of an oven that was changed since and is still to be lit, and of a
    fridge that was changed and that the dough is still to come out of."""
    done = {one.step_id for one in state.done}
    to_light = any(step.kind == "preheat" and step.step_id not in done for step in plan.steps)
    oven = of_a_changed_oven(plan.oven_now) if plan.oven_now and to_light else {}
    found: dict[str, list[str]] = {}
    for told in (oven, _fridge_told(plan, done, kitchen), _pan_told(plan, state, wish, kitchen)):
        for kind, said in told.items():
            found.setdefault(kind, []).append(said)
    return {kind: " ".join(said) for kind, said in found.items()}


def _fridge_told(plan: Plan, done: Collection[str], kitchen: Kitchen) -> dict[str, str]:
    """Said where the dough goes into the fridge and where it comes out."""
    to_come = [both for both in in_and_out_of_fridge(plan.steps) if both[1].step_id not in done]
    was_c = plan.rise.reckoned_fridge_c
    if not kitchen.has_other_fridge(was_c):
        return {}
    said = fridge_changed_words(was_c, kitchen.fridge_c, kitchen.heat_unit)
    return {step.kind: said for both in to_come for step in both}


def _pan_told(plan: Plan, state: State, wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    """By kind of step what is said of its pan: how much more dough there is than it takes, that another was chosen at
    the bench, or that the household's is another one than that of a dough which is still to be mixed."""
    over_g = over_the_pan_g(plan, state)
    over = of_a_full_pan(plan, over_g, kitchen.mass_unit) if over_g else {}
    if state.area_cm2 > 0:
        told = of_another_pan()
        return told | {kind: f"{told[kind]} {said}" for kind, said in over.items()}
    if over:
        return over
    done = {one.step_id for one in state.done}
    to_mix = any(step.kind == "mix" and step.step_id not in done for step in plan.steps)
    return of_a_changed_pan(plan) if to_mix and is_other_pan(plan.pans, wish, kitchen) else {}
