"""What was mixed is the dough: which of a bake's plans is followed, when one was mixed by another phone's older one.

A phone that was out of reach mixes by the plan it held. When the household planned anew meanwhile, the bowl holds the
older plan's dough all the same: it is gone on with, as a further revision of its own (`Plan.dough_of`), so that every
list, calendar and phone follows; and the other phones are asked. An answer is a line of the journal: that this dough
goes on, or, its mixing taken back, that it does not count.

The half of a dough that is kept for another evening is a bake too: it stands for as long as that is kept.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from webapp.core.kinds import MIXING_KINDS, ClockStyle
from webapp.core.now.journal import dough_of, fold, of_this_dough, still_said
from webapp.core.now.taken import text_of
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.scale.as_made import as_made
from webapp.kitchens.kept import every_plan, journal, plan_in, plans_in
from webapp.records import to_plain
from webapp.store.store import Store
from webapp.words.plan.mixed import GO_ON, NOT_THAT, its_dough_words, mixed_words, told_apart, two_doughs_words
from webapp.words.shared import UNCALLED_PAN


@dataclass(frozen=True)
class Mixing:
    """A dough that was mixed: by which revision, on which phone."""

    revision: int
    phone: str


def is_half(plan: Plan) -> bool:
    """Whether its dough is mixed for another supper: the half that is kept, or a piece cut off."""
    return plan.kept is not None and not plan.kept.mixed_here


def mixing_steps(plan: Plan) -> tuple[str, ...]:
    """Ids of the steps after which there is a dough: of a half any step, for it begins in the fridge."""
    return tuple(step.step_id for step in plan.steps if step.kind in MIXING_KINDS or is_half(plan))


def is_begun(plan: Plan, events: Sequence[Event]) -> bool:
    """Whether this plan's dough has been mixed, its preferment at least."""
    return any(_mixes(plan, event) for event in of_this_dough(plan, still_said(events)))


def _mixes(plan: Plan, event: Event) -> bool:
    return event.kind == "done" and text_of(event, "step_id") in mixing_steps(plan)


def mixings(plans: Iterable[Plan], events: Sequence[Event]) -> tuple[Mixing, ...]:
    """The doughs that were mixed and say by which plan, in the order in which that was said, each once."""
    known = {dough_of(plan): plan for plan in plans}
    found: dict[int, Mixing] = {}
    for event in still_said(events):
        plan = known.get(event.revision)
        if plan is not None and _mixes(plan, event):
            found.setdefault(event.revision, Mixing(event.revision, event.phone))
    return tuple(found.values())


def dough_that_counts(plans: Sequence[Plan], events: Sequence[Event]) -> int:
    """Whose dough is followed: the one that is gone on with by an answer, else the one mixed first, else the last
    picked. Of a mixing that does not say by which plan, the present one."""
    mixed = [one.revision for one in mixings(plans, events)]
    if not mixed:
        return dough_of(plans[-1]) if is_begun(plans[-1], events) else _last_picked(plans)
    answers = (event.data.get("revision") for event in still_said(events) if event.kind == "settled")
    return [mixed[0], *(said for said in answers if isinstance(said, int) and said in mixed)][-1]


def _last_picked(plans: Sequence[Plan]) -> int:
    """That of the present one where the plan it came from cannot be read any more."""
    return next((plan.revision for plan in reversed(plans) if plan.dough_of == 0), dough_of(plans[-1]))


def next_revision(plans: Sequence[Plan], events: Sequence[Event]) -> Plan | None:
    """The revision that makes the present plan that of the dough that counts; None when it is that already.

    `plans` every revision in order, at least one.
    """
    counts, last = dough_that_counts(plans, events), plans[-1]
    if dough_of(last) == counts:
        return None
    source = [plan for plan in plans if dough_of(plan) == counts][-1]
    return replace(source, revision=last.revision + 1, dough_of=counts)


def follow_the_bowl(store: Store, now: int, kitchen_id: str, bake_id: str, events: Sequence[Event]) -> None:
    """When an earlier plan's dough was mixed it is gone on with; a bake that was given up stays so."""
    plans, row = every_plan(store, bake_id), store.bake(kitchen_id, bake_id)
    plan = next_revision(plans, events) if plans else None
    if plan is not None and row is not None and row.dropped_at is None:
        store.add_plan(kitchen_id, bake_id, to_plain(plan), now)
        half_follows(store, now, kitchen_id, bake_id, plan)


def was_begun(store: Store, kitchen_id: str, bake_id: str) -> bool:
    """The same of the plan that is kept of a bake, given up or not; not of one that cannot be read."""
    row = store.bake(kitchen_id, bake_id)
    plans = plans_in([row.plan] if row and row.plan else [])
    return any(is_begun(plan, journal(store, kitchen_id, bake_id)) for plan in plans)


def half_goes_too(store: Store, now: int, kitchen_id: str, bake_id: str) -> None:
    """Around giving a bake up: the half of a dough that nobody has mixed is kept for no evening."""
    if not was_begun(store, kitchen_id, bake_id):
        half_follows(store, now, kitchen_id, bake_id, None)


def go_on_as(store: Store, now: int, kitchen_id: str, held: Plan, plan: Plan) -> None:
    """Make `plan`, with the dough of `held`, a further revision; nothing where another one was picked meanwhile."""
    with store.transaction():
        row = store.bake(kitchen_id, plan.bake_id)
        if row is not None and row.plan is not None and plan_in(row.plan) == held:
            following = replace(plan, revision=store.revision(plan.bake_id) + 1, dough_of=dough_of(held))
            store.add_plan(kitchen_id, plan.bake_id, to_plain(following), now)


@dataclass(frozen=True)
class DoughAsked:
    """What the household is asked of the dough it goes on with: see `asked`."""

    mixed: tuple[Mixing, ...]  # the one that is gone on with first
    newest: int  # the revision that was picked last

    @property
    def two(self) -> bool:
        """Two doughs were mixed."""
        return len(self.mixed) > 1


def asked(plans: Sequence[Plan], events: Sequence[Event]) -> DoughAsked | None:
    """What there is to ask: a dough was mixed by another plan than the newest, or two were; None when nothing, or when
    it was answered."""
    mixed = mixings(plans, events)
    counts, newest = dough_of(plans[-1]), _last_picked(plans)
    answered = any(e.kind == "settled" and e.data.get("revision") == counts for e in still_said(events))
    if answered or counts not in [one.revision for one in mixed] or (counts == newest and len(mixed) == 1):
        return None
    first = sorted(mixed, key=lambda one: one.revision != counts)
    return DoughAsked(tuple(first), newest)


def question(
    plans: Sequence[Plan], events: Sequence[Event], phones: Mapping[str, str], style: ClockStyle = "24"
) -> dict[str, Any] | None:
    """What `asked` finds, as the kitchen screen asks it; `phones` names each by the name under which it writes.

    `by` the phones that need not be asked; `answers` words, each with the revision that is gone on with, or 0: the
    mixing is taken back, which is a `done` of one of `steps`.
    """
    found = asked(plans, events)
    if found is None:
        return None
    held = {plan.revision: plan for plan in plans}
    names = [phones.get(one.phone, "") for one in found.mixed]
    doughs = [as_made(held[one.revision], fold(held[one.revision], events), UNCALLED_PAN) for one in found.mixed]
    here = doughs[0]
    if found.two:
        known = zip(names, told_apart(doughs, style), found.mixed, strict=True)
        answers = [[its_dough_words(name, what), one.revision] for name, what, one in known]
        return {"by": [], "words": two_doughs_words(names), "answers": answers, "steps": list(mixing_steps(here))}
    words = mixed_words(names[0], here, held[found.newest], style)
    answers = [[GO_ON, here.revision], [NOT_THAT, 0]]
    return {"by": [found.mixed[0].phone], "words": words, "answers": answers, "steps": list(mixing_steps(here))}


def other_half(bake_id: str) -> str:
    """The id of the bake that the kept half of this one's dough becomes: always the same (22 letters)."""
    return base64.urlsafe_b64encode(hashlib.sha256(f"{bake_id} kept".encode()).digest())[:22].decode()


def half_follows(store: Store, now: int, kitchen_id: str, bake_id: str, plan: Plan | None) -> None:
    """After another plan is followed, or none: without a half to keep, the bake made of it is given up too.

    One that left so comes back with a plan that keeps it again; one that a person gave up stays so. A piece that was
    cut off a mixed dough is there, whatever is planned.
    """
    row = store.bake(kitchen_id, other_half(bake_id))
    if row is None or row.plan is None:
        return
    half = plan_in(row.plan)
    if half.kept is None or half.kept.mixed_here or half.kept.spare:
        return
    keeps = plan is not None and plan.kept is not None and plan.kept.mixed_here and plan.kept.supper == half.supper
    if not keeps and row.dropped_at is None:
        store.drop_bake(kitchen_id, row.bake_id, now)
    elif keeps and row.dropped_at in [one["picked_at"] for one in store.revisions(bake_id)]:
        store.add_plan(kitchen_id, row.bake_id, to_plain(half) | {"revision": store.revision(row.bake_id) + 1}, now)
