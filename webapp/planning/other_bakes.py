"""What the kitchen's other bakes take of the day: hands, oven, fridge.

Two doughs in one kitchen have one cook, one oven and one fridge between them. The hands and the oven of a bake that is
on, as it stands, are no more to be had for the next; of the fridge it is said that another dough stands in it, because
how much room there is nobody has measured.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from webapp.core.day.span import Span
from webapp.core.kinds import Place, PlaceNow
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep, timed_steps
from webapp.core.plan.steps import PlanStep, is_anothers
from webapp.core.plan.whose import who
from webapp.core.planner.effort import Effort
from webapp.core.planner.offer import Answer, Offer
from webapp.core.planner.propose import best_alone, propose
from webapp.kitchens.bakes import FollowedBake, coming, followed_bakes
from webapp.kitchens.unbegun import LATE_S, is_past
from webapp.planning.question import Ask, Booked, Stock, ask_of, wanted_of
from webapp.store.store import Store

_OPEN = "open"
MEAL_S = 1800  # at the table nobody presses out another dough (common sense; nobody has the figure)


@dataclass(frozen=True)
class InFridge:
    """Another bake's dough stands in the fridge."""

    plan: Plan
    span: Span


def others(store: Store, now: int, kitchen_id: str, but: Collection[str] = ()) -> tuple[FollowedBake, ...]:
    """The bakes that are on or to come, as they stand at `now`, less those of these ids."""
    ids = [row.bake_id for row in coming(store, kitchen_id, now - LATE_S) if row.bake_id not in but]
    standing = followed_bakes(store, now, kitchen_id, ids)
    return tuple(one for one in standing if not is_past(one.plan, one.state, now))


def with_others(busy: Booked, kitchen: Kitchen, bakes: Collection[FollowedBake]) -> Booked:
    """What is taken, with what these bakes take: hands, the oven, and at supper everybody's hands."""
    people = [list(spans) for spans in busy.people]
    people += [[] for _ in range(len(kitchen.people) - len(people))]
    for one in bakes:
        for step, now in _open(one):
            if step.kind == "serve":
                for spans in people:
                    spans.append(Span(now.start, now.start + MEAL_S))
            elif step.presence == "hands" and now.end > now.start and not is_anothers(step):
                people[_whose(one.plan, step, now, kitchen)].append(Span(now.start, now.end))
    oven = [span for one in bakes for span in _oven(one, kitchen.has_warm_spot and kitchen.warm_is_oven)]
    return Booked(tuple(map(tuple, people)), (*busy.oven, *oven), busy.calendars)


def in_fridge(plan: Plan, bakes: Collection[FollowedBake]) -> tuple[InFridge, ...]:
    """The doughs of these bakes that stand in the fridge while this plan's does, and when both do."""
    own = [Span(step.end, after.start) for step, after in _stays(plan, "fridge")]
    return tuple(
        InFridge(one.plan, Span(max(span.start, mine.start), min(span.end, mine.end)))
        for one in bakes
        for span in _stands_in(one, "fridge")
        for mine in own
        if span.meets(mine)
    )


def proposed(ask: Ask, stock: Stock, busy: Booked, purse: Effort) -> tuple[Ask, Answer]:
    """What the planner proposes; where a dough would be warm in an oven that another bake has lit, without that.

    What it cost is taken from the purse, however little is left in it.
    """
    answer = propose(replace(wanted_of(ask), effort=purse))
    clear = tuple(offer for offer in answer.offers if not _warm_in_lit_oven(ask, offer))
    if len(clear) == len(answer.offers):
        return ask, answer
    cooler = ask_of(ask.wish, replace(ask.kitchen, has_warm_spot=False), ask.now, stock, busy)
    found = propose(replace(wanted_of(cooler), effort=purse))
    return (ask, replace(answer, offers=clear)) if clear and not found.fits else (cooler, found)


def proposed_first(ask: Ask, stock: Stock, busy: Booked, likely: str, purse: Effort) -> tuple[Ask, Offer | None]:
    """The first of what is `proposed`, as `best_alone` finds it; what that cost is taken from the purse."""
    best = best_alone(replace(wanted_of(ask), effort=purse), likely)
    if best is None or not _warm_in_lit_oven(ask, best):
        return ask, best
    cooler = ask_of(ask.wish, replace(ask.kitchen, has_warm_spot=False), ask.now, stock, busy)
    return cooler, best_alone(replace(wanted_of(cooler), effort=purse), likely)


def _warm_in_lit_oven(ask: Ask, offer: Offer) -> bool:
    """Would the dough stand in the warm oven while another bake has it?"""
    chain = [step for step in offer.steps if step.chain]
    warm = [Span(step.end, after.start) for step, after in pairwise(chain) if step.place == "warm"]
    taken = ask.oven_taken if ask.kitchen.warm_is_oven else ()
    return any(span.meets(one) for span in warm for one in taken)


def _open(one: FollowedBake) -> Iterator[tuple[PlanStep, RetimedStep]]:
    rows = timed_steps(one.plan, one.retimed)
    return ((step, now) for step, now in rows if now.status == _OPEN)


def _whose(plan: Plan, step: PlanStep, now: RetimedStep, kitchen: Kitchen) -> int:
    """Whose hands: of the first who is there as it stands; the first on the list where that is nobody who is here."""
    names = [person.name for person in kitchen.people]
    named = who(plan, step, now)
    return next((names.index(name) for name in named if name in names), 0)


def _oven(one: FollowedBake, warms: bool) -> Iterator[Span]:
    """From when the oven is lit, or from now, until the last load is out; and while a dough stands in it to be warm."""
    heat = [now for step, now in _open(one) if step.kind in ("preheat", "load", "lift")]
    if heat:
        begun = any(step.kind == "preheat" and now.status != _OPEN
                    for step, now in timed_steps(one.plan, one.retimed))  # fmt: skip
        yield Span(0 if begun else min(now.start for now in heat), max(now.end for now in heat))
    if warms:
        yield from _stands_in(one, "warm")


def _stands_in(one: FollowedBake, place: PlaceNow) -> Iterator[Span]:
    """When its dough is there, from now on."""
    timed = {now.step_id: now for now in one.retimed.steps}
    for step, after in _stays(one.plan, place):
        came, leaves = timed[step.step_id], timed[after.step_id]
        if leaves.status == _OPEN:
            yield Span(came.end if came.status == _OPEN else 0, leaves.start)


def _stays(plan: Plan, place: Place | PlaceNow) -> Iterator[tuple[PlanStep, PlanStep]]:
    chain = [step for step in plan.steps if step.chain]
    return ((step, after) for step, after in pairwise(chain) if step.place == place)
