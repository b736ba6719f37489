"""Take everything along: a kitchen as one JSON document, brought into a kitchen on another server, or back.

No keys and no codes are in it. Bringing in adds: bakes and journal lines that are there already are left as they are,
so that bringing the same file in twice changes nothing.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any, TextIO

from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.ranges import EPOCH, FAR
from webapp.doughs.own_kinds import OWN_KINDS
from webapp.forms.person import MOST_PEOPLE
from webapp.kitchens.bakes import MOST_COMING, MOST_EVENTS, coming, kitchen_of
from webapp.kitchens.busy import times as busy_times
from webapp.kitchens.incoming import (
    bring_larder_item,
    check_document,
    group,
    kitchen_of_file,
    list_of,
    read_larder_item,
    text,
)
from webapp.kitchens.incoming import wrong as _wrong
from webapp.kitchens.kept import can_be_followed, check_instants
from webapp.kitchens.unbegun import LATE_S, never_begun
from webapp.records import SCHEMA, ShapeError, from_plain, to_plain
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.problems import files as said
from webapp.words.problems.told import in_words, refused

KIND = "suppertide kitchen"
MOST_BAKES = 5000
_MOST_WALKED_S = 10_000 * 86400  # in all plans together: two days for each of MOST_BAKES
_MOST_OFFERS, _MOST_REVISIONS = 10, 200
_MOST_IN_LARDER, _MOST_BUSY = 1000, 20_000
_ONE_AT_A_TIME = threading.Lock()


def everything(store: Store, now: int, kitchen_id: str, out: TextIO) -> None:
    """Write, as JSON: the kitchen, its larder with all versions, its busy stretches, its bakes with plans and journals.

    Each bake is read, written as a line and let go: years of them are never in memory.
    """
    with store.reading():
        out.write(json.dumps(_all_but_bakes(store, now, kitchen_id)).removesuffix("}") + ', "bakes": [\n')
        between = ""
        for bake_id in store.bake_ids(kitchen_id):
            out.write(between + json.dumps(_bake(store, kitchen_id, bake_id)))
            between = ",\n"
        out.write("\n]}\n")


def _all_but_bakes(store: Store, now: int, kitchen_id: str) -> dict[str, Any]:
    return {
        "kind": KIND,
        "schema": SCHEMA,
        "written_at": now,
        "kitchen": to_plain(kitchen_of(store, kitchen_id)),
        "larder": [
            {
                "shelf": kind,
                "key": key,
                "put_away": key not in {row.key for row in store.in_larder(kitchen_id, kind)},
                "versions": [row.body for row in reversed(versions)],
            }
            for kind in OWN_KINDS
            for key in store.larder_keys(kitchen_id, kind)
            if (versions := store.versions(kitchen_id, kind, key))
        ],
        "busy": [
            [start, end, person]
            for person in range(len(kitchen_of(store, kitchen_id).people))
            for start, end in store.busy(kitchen_id, person=person)
        ],
    }


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Around reading a file and bringing it in: years of bakes take hundreds of megabytes and much work.

    Raises PlanError at "file" at once while another kitchen is being brought in: nobody waits in line for it.
    """
    if not _ONE_AT_A_TIME.acquire(blocking=False):
        raise refused("file", *said.ONE_AT_A_TIME)
    try:
        yield
    finally:
        _ONE_AT_A_TIME.release()


@dataclass(frozen=True)
class Brought:
    """What came of a file: how many bakes were new, made or to come, and how many more that nobody made; evenings that
    were looked at and never taken are no bakes. Then the names of own things that this program cannot read."""

    bakes: int
    unmade: int
    left_out: tuple[str, ...]


def bring_in(store: Store, now: int, new_id: NewId, kitchen_id: str, data: object) -> Brought:
    """Put an exported kitchen into this one.

    The kitchen's settings are replaced, everything else is added. Raises ShapeError naming the path when the document
    is not one of ours; nothing is changed then. To be called within `one_at_a_time`.
    """
    # Read and checked outside of the transaction: that takes the most time, and phones go on writing meanwhile.
    document = _document(data)
    kitchen = kitchen_of_file(document.get("kitchen"))
    found = [read_larder_item(one, f"larder.{i}") for i, one in enumerate(list_of(document, "larder"))]
    shelved = [one for one in found if one.readable]
    busy = [_busy(one) for one in list_of(document, "busy")]
    if len(found) > _MOST_IN_LARDER or len(busy) > _MOST_BUSY:
        raise _wrong("larder", said.FEWER_DOUGHS)
    bakes = _read_bakes(list_of(document, "bakes"))
    with store.transaction():
        _check_room(store, now, kitchen_id, bakes)
        store.save_settings(kitchen_id, to_plain(kitchen))
        for row in store.busy_calendars(kitchen_id):
            if row.person >= len(kitchen.people):  # nobody's any more: an address is not fetched for nobody
                store.forget_busy(kitchen_id, row.person)
        for one in shelved:
            bring_larder_item(store, now, kitchen_id, one)
        for person in {one[2] for one in busy}:
            more = [(start, end) for start, end, whose in busy if whose == person]
            store.set_busy(kitchen_id, (*store.busy(kitchen_id, person=person), *more), person)
            busy_times.came_along(store, kitchen_id, person)
        new = [one for one in bakes if _bring_bake(store, now, new_id, kitchen_id, one) and one.plans]
    unmade = sum(_is_unmade(one, now) for one in new)
    return Brought(len(new) - unmade, unmade, tuple(one.name for one in found if not one.readable))


def _bake(store: Store, kitchen_id: str, bake_id: str) -> dict[str, Any]:
    row = store.bake(kitchen_id, bake_id)
    assert row is not None, "listed in the same view"
    return {
        "bake_id": bake_id,
        "made_at": row.made_at,
        "dropped_at": row.dropped_at,
        "wish": row.wish,
        "offers": [dict(one) for one in row.offers] if row.plan is None else [],
        "plans": [{**one, "plan": dict(one["plan"])} for one in store.revisions(bake_id)],
        "events": [dict(one) for one in store.events(kitchen_id, bake_id)],
    }


@dataclass(frozen=True)
class _Baked:
    """A bake of the file, read and checked."""

    bake_id: str
    wish: Wish
    offers: tuple[Plan, ...]
    plans: tuple[Plan, ...]
    events: tuple[Event, ...]
    dropped: bool


def _read_bakes(data: list[Any]) -> list[_Baked]:
    if len(data) > MOST_BAKES:
        raise _wrong("bakes", said.at_most(MOST_BAKES))
    bakes = [_read_bake(one, f"bakes.{place}") for place, one in enumerate(data)]
    walked = sum(plan.supper - min(step.start for step in plan.steps) for bake in bakes for plan in bake.plans)
    if walked > _MOST_WALKED_S:
        raise _wrong("bakes", said.SHORT_BAKES)
    for place, bake in enumerate(bakes):
        for plan in (*bake.offers, *bake.plans):
            _check_walk(plan, bake.events if plan in bake.plans else (), f"bakes.{place}")
    return bakes


def _read_bake(data: object, path: str) -> _Baked:
    one = group(data, path)
    revisions = [group(revision, f"{path}.plans") for revision in list_of(one, "plans", path)]
    read = _Baked(
        text(one.get("bake_id"), f"{path}.bake_id"),
        from_plain(Wish, one.get("wish"), f"{path}.wish"),
        tuple(from_plain(Plan, plan, f"{path}.offers") for plan in list_of(one, "offers", path)),
        tuple(from_plain(Plan, revision.get("plan"), f"{path}.plans") for revision in revisions),
        tuple(from_plain(Event, event, f"{path}.events") for event in list_of(one, "events", path)),
        one.get("dropped_at") is not None,
    )
    if len(read.events) > MOST_EVENTS or len(read.offers) > _MOST_OFFERS or len(read.plans) > _MOST_REVISIONS:
        raise _wrong(path, said.events_at_most(MOST_EVENTS))
    for plan in (*read.offers, *read.plans):
        _check_plan(plan, path)
    return read


def _check_room(store: Store, now: int, kitchen_id: str, read: list[_Baked]) -> None:
    """ShapeError when the kitchen would have more bakes than it may, or more on and to come than its pages look at.

    Those of long ago are only counted; what is on or to come is asked of every page that plans.
    """
    here = set(store.bake_ids(kitchen_id))
    new = [one for one in read if one.bake_id not in here]
    if len(here) + len(new) > MOST_BAKES:
        raise _wrong("bakes", said.at_most(MOST_BAKES))
    to_come = sum(not one.dropped and bool(one.plans) and one.plans[-1].supper > now - LATE_S for one in new)
    if to_come and len(coming(store, kitchen_id, now - LATE_S)) + to_come > MOST_COMING:
        raise refused("bakes", *said.many_to_come(to_come, MOST_COMING))


def _is_unmade(one: _Baked, now: int) -> bool:
    """Given up, or its supper over and never begun."""
    plan = one.plans[-1]
    return one.dropped or (plan.supper <= now and never_begun(fold(plan, one.events)))


def _bring_bake(store: Store, now: int, new_id: NewId, kitchen_id: str, one: _Baked) -> bool:
    """Whether the bake is new here. A bake id taken by another kitchen of this server gets a new one."""
    bake_id = store.free_or_own(kitchen_id, one.bake_id) or new_id()
    new = store.bake(kitchen_id, bake_id) is None
    if new:
        offers = [to_plain(_of(bake_id, plan)) for plan in one.offers]
        store.put_offers(kitchen_id, bake_id, to_plain(one.wish), offers, now)
        for number, plan in enumerate(one.plans, 1):
            store.add_plan(kitchen_id, bake_id, to_plain(_of(bake_id, plan)) | {"revision": number}, now)
        if one.dropped:
            store.drop_bake(kitchen_id, bake_id, now)
    store.add_events(kitchen_id, bake_id, [to_plain(event) | {"bake_id": bake_id} for event in one.events], now)
    return new


def _check_plan(plan: Plan, path: str) -> None:
    if not can_be_followed(plan):
        raise _wrong(f"{path}.plans", said.NEAR_SUPPER)


def _check_walk(plan: Plan, events: tuple[Event, ...], path: str) -> None:
    """ShapeError unless its journal lies near it and its dough can be walked to supper."""
    try:
        check_instants(plan, events)
        retime(plan, fold(plan, events), plan.supper)
    except PlanError as error:
        raise ShapeError(*(in_words(p, f"{path}.{p.field}") for p in error.problems)) from None
    except (ArithmeticError, LookupError, ValueError, TypeError):
        raise _wrong(f"{path}.plans", said.FOLLOWED) from None


def _of(bake_id: str, plan: Plan) -> Plan:
    return replace(plan, bake_id=bake_id)


def _document(data: object) -> Mapping[str, Any]:
    document = group(data, "file")
    check_document(document)
    if document.get("kind") != KIND:
        raise _wrong("file", said.TAKEN_ALONG)
    if document.get("schema") != SCHEMA:
        raise _wrong("schema", said.other_version(SCHEMA))
    return document


def _busy(value: object) -> tuple[int, int, int]:
    """Start, end, whose; files of former versions leave out whose."""
    if isinstance(value, list) and len(value) in (2, 3) and all(type(one) is int for one in value):
        start, end, person = (*value, 0)[:3]
        if EPOCH <= start < end < FAR and 0 <= person < MOST_PEOPLE:
            return start, end, person
    raise _wrong("busy", said.PAIRS)
