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

from webapp.core.now.journal import fold
from webapp.core.plan.plan import Plan
from webapp.core.ranges import EPOCH, FAR
from webapp.doughs.own_kinds import OWN_KINDS
from webapp.forms.brought_in import check_nesting, group, list_of
from webapp.forms.brought_in import wrong as _wrong
from webapp.forms.person import MOST_PEOPLE
from webapp.kitchens.bakes import MOST_COMING, coming, kitchen_of
from webapp.kitchens.busy import times as busy_times
from webapp.kitchens.incoming import (
    BroughtBake,
    LeftOut,
    bring_larder_item,
    kitchen_of_file,
    read_bakes,
    read_larder,
)
from webapp.kitchens.unbegun import LATE_S, never_begun
from webapp.records import SCHEMA, to_plain
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.problems import files as said
from webapp.words.problems.told import refused

KIND = "suppertide kitchen"
MOST_BAKES = 5000
_MOST_WALKED_S = 10_000 * 86400  # in all plans together: two days for each of MOST_BAKES
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
    were looked at and never taken are no bakes. Then what this program cannot read, by name."""

    bakes: int
    unmade: int
    left_out: tuple[str, ...]


def bring_in(store: Store, now: int, new_id: NewId, kitchen_id: str, data: object) -> Brought:
    """Put an exported kitchen into this one.

    The kitchen's settings are replaced, everything else is added. Raises ShapeError naming the path when the document
    is not one of ours; nothing is changed then. To be called within `one_at_a_time`.
    """
    # Read and checked outside of the transaction: that takes the most time, and phones go on writing meanwhile.
    document, out = _document(data), LeftOut()
    kitchen = kitchen_of_file(document.get("kitchen"), out)
    if len(list_of(document, "larder")) > _MOST_IN_LARDER or len(list_of(document, "busy")) > _MOST_BUSY:
        raise _wrong("larder", said.FEWER_DOUGHS)
    shelved = read_larder(list_of(document, "larder"), out)
    busy = _busy_times(list_of(document, "busy"), out)
    bakes = _read_bakes(list_of(document, "bakes"), out)
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
        new = [one for one in bakes if _bring_bake(store, now, new_id, kitchen_id, one) and one.plan]
    unmade = sum(_is_unmade(one, now) for one in new)
    return Brought(len(new) - unmade, unmade, out.told())


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


def _read_bakes(data: list[Any], out: LeftOut) -> list[BroughtBake]:
    if len(data) > MOST_BAKES:
        raise _wrong("bakes", said.at_most(MOST_BAKES))
    bakes = read_bakes(data, out)
    plans = [plan for bake in bakes for plan in (*bake.offers, *bake.plans.values())]
    if sum(plan.supper - min(step.start for step in plan.steps) for plan in plans) > _MOST_WALKED_S:
        raise _wrong("bakes", said.SHORT_BAKES)
    return bakes


def _check_room(store: Store, now: int, kitchen_id: str, read: list[BroughtBake]) -> None:
    """ShapeError when the kitchen would have more bakes than it may, or more on and to come than its pages look at.

    Those of long ago are only counted; what is on or to come is asked of every page that plans.
    """
    here = set(store.bake_ids(kitchen_id))
    new = [one for one in read if one.bake_id not in here]
    if len(here) + len(new) > MOST_BAKES:
        raise _wrong("bakes", said.at_most(MOST_BAKES))
    held = [one.plan for one in new if one.plan is not None and not one.dropped]
    to_come = sum(plan.supper > now - LATE_S for plan in held)
    if to_come and len(coming(store, kitchen_id, now - LATE_S)) + to_come > MOST_COMING:
        raise refused("bakes", *said.many_to_come(to_come, MOST_COMING))


def _is_unmade(one: BroughtBake, now: int) -> bool:
    """Given up, or its supper over and never begun."""
    plan = one.plan
    assert plan is not None, "asked of bakes with a plan"
    return one.dropped or (plan.supper <= now and never_begun(fold(plan, one.events)))


def _bring_bake(store: Store, now: int, new_id: NewId, kitchen_id: str, one: BroughtBake) -> bool:
    """Whether the bake is new here. A bake id taken by another kitchen of this server gets a new one."""
    bake_id = store.free_or_own(kitchen_id, one.bake_id) or new_id()
    new = store.bake(kitchen_id, bake_id) is None
    if new:
        offers = [to_plain(_of(bake_id, plan)) for plan in one.offers]
        store.put_offers(kitchen_id, bake_id, to_plain(one.wish), offers, now)
        for number, plan in one.plans.items():
            store.add_plan(kitchen_id, bake_id, to_plain(_of(bake_id, plan)) | {"revision": number}, now)
        if one.dropped:
            store.drop_bake(kitchen_id, bake_id, now)
    store.add_events(kitchen_id, bake_id, [to_plain(event) | {"bake_id": bake_id} for event in one.events], now)
    return new


def _of(bake_id: str, plan: Plan) -> Plan:
    return replace(plan, bake_id=bake_id)


def _document(data: object) -> Mapping[str, Any]:
    document = group(data, "file")
    check_nesting(document)
    if document.get("kind") != KIND:
        raise _wrong("file", said.TAKEN_ALONG)
    if document.get("schema") != SCHEMA:
        raise _wrong("schema", said.other_version(SCHEMA))
    return document


def _busy_times(data: list[Any], out: LeftOut) -> list[tuple[int, int, int]]:
    """Start, end, whose; files of former versions leave out whose."""
    read = [_busy(one) for one in data]
    out.few["busy"] += read.count(None)
    return [one for one in read if one is not None]


def _busy(value: object) -> tuple[int, int, int] | None:
    if isinstance(value, list) and len(value) in (2, 3) and all(type(one) is int for one in value):
        start, end, person = (*value, 0)[:3]
        if EPOCH <= start < end < FAR and 0 <= person < MOST_PEOPLE:
            return start, end, person
    return None
