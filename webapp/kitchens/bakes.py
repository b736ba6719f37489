"""What a kitchen does with its bakes: pick an offer, carry it to the phone, write its journal, list what is coming.

The world is handed in: `store`, `now` (UTC seconds), `new_id`. Each function is one transaction. A bake
of another kitchen and a bake that never was are the same `NotHere`.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from webapp.core.kitchen import Kitchen, Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import State
from webapp.data.trouble import signs
from webapp.kitchens import kept, mixed
from webapp.kitchens.mixed import half_follows
from webapp.kitchens.unbegun import until
from webapp.machine.local_zone import zone_here
from webapp.records import ShapeError, bundle, from_plain, to_plain
from webapp.store.bakes import BakeRow, PickedRow
from webapp.store.ids import NotHere
from webapp.store.store import Store
from webapp.words.problems.kept import JOURNAL_FULL
from webapp.words.problems.told import refused
from webapp.words.screen.bundle import phone_words
from webapp.words.spoken import spoken
from webapp.words.stored_plans import upgraded

SHOWN_OF_KITCHEN = ("clock", "mass_unit", "heat_unit", "scale_step_g", "avoid", "pans")  # goes with every bake
NOBODYS = ""  # the id of a kitchen of which nothing is saved yet
_MOST_STANDING = 128  # bakes remembered as they stand
MOST_COMING = 40  # bakes on or to come: nearly three a day for the fortnight in which anything can be planned
MOST_EVENTS = 2000  # per bake: a long evening with three phones writes about 60


@dataclass(frozen=True)
class Bake:
    """One bake as pages see it. `plan` is None until an offer is picked."""

    bake_id: str
    made_at: int
    changed_at: int
    dropped_at: int | None
    wish: Wish
    offers: tuple[Plan, ...]
    plan: Plan | None
    picked_at: int


@dataclass(frozen=True)
class FollowedBake:
    """A picked plan, what has happened, and how things stand now."""

    plan: Plan
    events: tuple[Event, ...]
    state: State
    retimed: Retimed

    @property
    def is_mixed(self) -> bool:
        """There is a dough of it: from then on it is changed from where it stands."""
        return bool(self.plan.kept and self.plan.kept.spare) or mixed.is_begun(self.plan, self.events)

    @property
    def is_fixed(self) -> bool:
        """Its dough is mixed, or is that of another bake: no other plan takes its place."""
        return self.is_mixed or mixed.is_half(self.plan)


def newcomers_kitchen() -> Kitchen:
    """What somebody new begins with: the settings of most homes, in the time zone of this machine."""
    return Kitchen(zone=zone_here() or Kitchen().zone)


def kitchen_of(store: Store, kitchen_id: str) -> Kitchen:
    """The kitchen record; of nobody's kitchen, a newcomer's."""
    if kitchen_id == NOBODYS:
        return newcomers_kitchen()
    plain = store.settings_of(kitchen_id)
    if plain is None:
        raise NotHere(kitchen_id)
    return kept.settings_in(plain)[0]


class OffersChanged(Exception):  # noqa: N818  # an answer, not a fault: the page shows what is offered now
    """The offer that was seen is not among the offers any more."""


class DoughMixed(OffersChanged):
    """The dough is mixed: what is in the bowl is not changed by picking another plan."""


def pick(store: Store, now: int, kitchen_id: str, bake_id: str, place: int, seen: str | None = None) -> Plan:
    """Make an offer the plan, as the next revision. Picking what is picked already changes nothing.

    With `seen` (see `seen_as`) it is the offer that was seen, wherever it stands now. OffersChanged when it is none of
    them any more: the wish was changed meanwhile, in another window or on another phone, and nothing is picked for it.
    DoughMixed when the plan that is held has its dough in the bowl, given up or not.
    """
    with store.transaction():
        row = _row(store, kitchen_id, bake_id)
        if not 0 <= place < len(_offers(row)):
            raise NotHere(bake_id)
        held = kept.plan_in(row.plan) if row.plan and row.dropped_at is None else None
        if held and seen == seen_as(held):
            return held
        offer = _offer(row, place, seen)
        if held and replace(offer, revision=held.revision, dough_of=held.dough_of) == held:
            return held
        if mixed.was_begun(store, kitchen_id, bake_id) or (held and mixed.is_half(held)):
            raise DoughMixed(bake_id)
        plan = replace(offer, revision=store.revision(bake_id) + 1)
        store.add_plan(kitchen_id, bake_id, to_plain(plan), now)
        half_follows(store, now, kitchen_id, bake_id, plan)
    return plan


def _offer(row: BakeRow, place: int, seen: str | None) -> Plan:
    offers = _offers(row)
    if seen is None:
        return offers[place]
    for one in offers:
        if seen_as(one) == seen:
            return one
    raise OffersChanged(row.bake_id)


def seen_as(offer: Plan, shown: Plan | None = None) -> str:
    """SHA-256 (hex) of all that it shows but when it was worked out; `shown`: it with its words, where known."""
    whole = upgraded(offer)
    plain = to_plain(replace(shown if shown and whole is offer else spoken(whole), made_at=0, revision=0))
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


def asked_once(kitchen_id: str, once: str, wish: Wish) -> str:
    """The id of the bake that this form asks for with this wish: sent twice, a minute later too, it is the same."""
    said = json.dumps([kitchen_id, once, to_plain(replace(wish, room_min=None))], sort_keys=True)
    return base64.urlsafe_b64encode(hashlib.sha256(said.encode()).digest())[:22].decode()


def is_here(store: Store, kitchen_id: str, bake_id: str) -> bool:
    """Whether this kitchen has such a bake."""
    return store.bake(kitchen_id, bake_id) is not None


def bake(store: Store, kitchen_id: str, bake_id: str) -> Bake:
    """One bake with its offers and its plan."""
    return _bake(_row(store, kitchen_id, bake_id))


def picked(store: Store, kitchen_id: str, bake_id: str) -> Plan:
    """The plan being followed; NotHere while nothing is picked, ShapeError when this program cannot read it."""
    row = _row(store, kitchen_id, bake_id)
    if row.plan is None:
        raise NotHere(bake_id)
    return kept.plan_in(row.plan)


def readable(store: Store, kitchen_id: str, bake_ids: Iterable[str]) -> Iterator[tuple[Plan, tuple[Event, ...]]]:
    """Plan and journal of each of these bakes, those left out that this program cannot read (see `unreadable`)."""
    for bake_id in bake_ids:
        with suppress(ShapeError):
            yield _one_view(store, kitchen_id, bake_id)


def unreadable(rows: Iterable[PickedRow], read: Iterable[Plan]) -> tuple[PickedRow, ...]:
    """Which rows are not among what was read: a later version wrote them, or they were damaged. They can be deleted."""
    known = {plan.bake_id for plan in read}
    return tuple(row for row in rows if row.bake_id not in known)


def followed_bake(store: Store, now: int, kitchen_id: str, bake_id: str) -> FollowedBake:
    """The picked plan as it stands at `now`."""
    return stands_at(*_one_view(store, kitchen_id, bake_id), now)


def _one_view(store: Store, kitchen_id: str, bake_id: str) -> tuple[Plan, tuple[Event, ...]]:
    with store.reading():
        plan = picked(store, kitchen_id, bake_id)
        return plan, tuple(kept.near_its_bake(plan, kept.journal(store, kitchen_id, bake_id)))


def followed_bakes(store: Store, now: int, kitchen_id: str, bake_ids: Iterable[str]) -> Iterator[FollowedBake]:
    """Each of these as it stands at `now`, those left out that cannot be read."""
    return (stands_at(plan, events, now) for plan, events in readable(store, kitchen_id, bake_ids))


def as_planned(plan: Plan) -> FollowedBake:
    """A plan as it stands before anything has happened."""
    return stands_at(plan, (), plan.made_at)


def drop(store: Store, now: int, kitchen_id: str, bake_id: str) -> None:
    """Give the bake up, and the half of a dough that is not mixed: calendars call it off, the book keeps it."""
    with store.transaction():
        _row(store, kitchen_id, bake_id)
        mixed.half_goes_too(store, now, kitchen_id, bake_id)
        store.drop_bake(kitchen_id, bake_id, now)


def forget(store: Store, now: int, kitchen_id: str, bake_id: str) -> None:
    """Delete the bake and its journal for good; the half of a dough that nobody mixed is given up."""
    with store.transaction():
        mixed.half_goes_too(store, now, kitchen_id, bake_id)
        if not store.delete_bake(kitchen_id, bake_id):
            raise NotHere(bake_id)


def coming(store: Store, kitchen_id: str, since: int) -> tuple[PickedRow, ...]:
    """Picked bakes with supper at or after `since` that were not given up: the next MOST_COMING, in order."""
    # Every page that plans looks at how each of these stands: so they are few, whatever a file brings in.
    return store.picked(kitchen_id, since=since, held=True, most=MOST_COMING)


def last_wish(store: Store, kitchen_id: str) -> Wish | None:
    """What was asked for last, for filling in the form."""
    return kept.wish_in(plain) if (plain := store.last_wish(kitchen_id)) else None


def bundle_for(store: Store, now: int, kitchen_id: str, bake_id: str) -> dict[str, Any]:
    """All that a phone needs for this bake: plan, journal, the server's clock, how this kitchen reads numbers."""
    with store.reading():
        plan, events = _one_view(store, kitchen_id, bake_id)
        kitchen, plans = kitchen_of(store, kitchen_id), kept.every_plan(store, bake_id)
        asked = mixed.question(plans, events, store.names_in_journals(kitchen_id), kitchen.clock) if plans else None
    shown = {name: getattr(kitchen, name) for name in SHOWN_OF_KITCHEN}
    more = {"kitchen": to_plain(shown), "question": asked, "signs": to_plain(signs()), "words": phone_words()}
    return bundle(spoken(plan, kitchen, named=plan.house is None), events, now) | more


def add_to_journal(store: Store, now: int, kitchen_id: str, bake_id: str, events: Sequence[Event]) -> int:
    """Join events to the journal; how many were new. Repeating a call changes nothing.

    Raises NotHere for a bake without a plan; PlanError when the journal would grow past MOST_EVENTS, or, at
    "events.N.at", for an instant so far from the bake that only a wrong clock can have written it.
    """
    with store.transaction():
        kept.check_instants(picked(store, kitchen_id, bake_id), events)
        new = store.add_events(kitchen_id, bake_id, [to_plain(event) for event in events], now)
        if new and store.count_events(bake_id) > MOST_EVENTS:
            raise refused("events", *JOURNAL_FULL)  # inside the transaction: it takes the additions back
        if new:
            mixed.follow_the_bowl(store, now, kitchen_id, bake_id, kept.journal(store, kitchen_id, bake_id))
    return new


def stands_at(plan: Plan, events: tuple[Event, ...], now: int) -> FollowedBake:
    """A plan as it stands at `now`, after these events."""
    return _stood(plan, events, until(plan, _folded(plan, events), now))


# A page asks several times how the same bakes stand at the same instant; all of it follows from plan and journal.
@lru_cache(_MOST_STANDING)
def _stood(plan: Plan, events: tuple[Event, ...], at: int) -> FollowedBake:
    state = _folded(plan, events)
    return FollowedBake(plan, events, state, retime(plan, state, at))


@lru_cache(_MOST_STANDING)
def _folded(plan: Plan, events: tuple[Event, ...]) -> State:
    return fold(plan, events)


def _row(store: Store, kitchen_id: str, bake_id: str) -> BakeRow:
    row = store.bake(kitchen_id, bake_id)
    if row is None:
        raise NotHere(bake_id)
    return row


def _offers(row: BakeRow) -> tuple[Plan, ...]:
    return kept.plans_in(row.offers)


def _bake(row: BakeRow) -> Bake:
    plan = kept.plan_in(row.plan) if row.plan is not None else None
    offers = _offers(row)
    told = plan or next(iter(offers), None)  # of a wish that cannot be read; ShapeError when nothing tells it
    return Bake(
        bake_id=row.bake_id,
        made_at=row.made_at,
        changed_at=row.changed_at,
        dropped_at=row.dropped_at,
        wish=kept.wish_in(row.wish) or (kept.wish_of(told) if told else from_plain(Wish, row.wish)),
        offers=offers,
        plan=plan,
        picked_at=row.picked_at,
    )
