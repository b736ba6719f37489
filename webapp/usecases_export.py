"""Take everything along: a kitchen as one JSON document, brought into a kitchen on another server, or back.

No keys and no codes are in it. Bringing in adds: bakes and journal lines that are there already are left as they are,
so that bringing the same file in twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from webapp import kitchen_answers
from webapp.answers import Answers
from webapp.bundle import SCHEMA, ShapeError, from_plain, to_plain
from webapp.core.day import zone_of
from webapp.core.errors import PlanError, Problem
from webapp.core.formula import formula_from_dict
from webapp.core.hours import hours_problems
from webapp.core.journal import fold
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan import Event, Plan
from webapp.core.retime import retime
from webapp.core.toppings import ToppingSet
from webapp.store import Store
from webapp.usecases import MOST_EVENTS, NewId, check_instants, kitchen_of

KIND = "suppertide kitchen"
MOST_BAKES = 5000
OWN = "own-"  # keys of what a kitchen made itself begin so
_NEAR_S = 30 * 86400
_EPOCH, _FAR = 946_684_800, 7_258_118_400  # the years 2000 to 2200: any other supper is a mistake
_MOST_PARTS = 2000  # steps, rates, lines: a plan of ours has some dozens of each
_SHELVES: dict[str, Callable[[Mapping[str, Any]], object]] = {
    "formula": formula_from_dict,
    "toppings": lambda body: from_plain(ToppingSet, body),
}


def everything(store: Store, now: int, kitchen_id: str) -> dict[str, Any]:
    """The kitchen, its larder with all versions, its busy stretches, its bakes with plans and journals."""
    with store.reading():
        return {
            "kind": KIND,
            "schema": SCHEMA,
            "written_at": now,
            "kitchen": to_plain(kitchen_of(store, kitchen_id)),
            "larder": [
                {
                    "shelf": shelf,
                    "key": key,
                    "put_away": key not in {row.key for row in store.on_shelf(kitchen_id, shelf)},
                    "versions": [row.body for row in reversed(versions)],
                }
                for shelf in _SHELVES
                for key in store.shelf_keys(kitchen_id, shelf)
                if (versions := store.versions(kitchen_id, shelf, key))
            ],
            "busy": [list(span) for span in store.busy(kitchen_id)],
            "bakes": [_bake(store, kitchen_id, bake_id) for bake_id in store.bake_ids(kitchen_id)],
        }


def bring_in(store: Store, now: int, new_id: NewId, kitchen_id: str, data: object) -> int:
    """Put an exported kitchen into this one; how many bakes were new.

    The kitchen's settings are replaced, everything else is added. Raises ShapeError naming the path when the document
    is not one of ours; nothing is changed then.
    """
    document = _document(data)
    kitchen = _kitchen(document.get("kitchen"))
    with store.transaction():
        store.save_settings(kitchen_id, to_plain(kitchen))
        for place, shelved in enumerate(_list(document, "larder")):
            _bring_shelved(store, now, kitchen_id, shelved, f"larder.{place}")
        store.set_busy(kitchen_id, (*store.busy(kitchen_id), *map(_span, _list(document, "busy"))))
        bakes = _list(document, "bakes")
        if len(bakes) > MOST_BAKES:
            raise _wrong("bakes", f"{MOST_BAKES} at most")
        return sum(
            _bring_bake(store, now, new_id, kitchen_id, one, f"bakes.{place}") for place, one in enumerate(bakes)
        )


def _bake(store: Store, kitchen_id: str, bake_id: str) -> dict[str, Any]:
    row = store.bake(kitchen_id, bake_id)
    assert row is not None, "listed in the same view"
    return {
        "bake_id": bake_id,
        "made_at": row.made_at,
        "dropped_at": row.dropped_at,
        "wish": row.wish,
        "offers": list(row.offers) if row.plan is None else [],
        "plans": list(store.revisions(bake_id)),
        "events": list(store.events(kitchen_id, bake_id)),
    }


def _bring_bake(store: Store, now: int, new_id: NewId, kitchen_id: str, data: object, path: str) -> int:
    """1 when the bake is new here. A bake id taken by another kitchen of this server gets a new one."""
    one = _group(data, path)
    wish = from_plain(Wish, one.get("wish"), f"{path}.wish")
    offers = [from_plain(Plan, plan, f"{path}.offers") for plan in _list(one, "offers", path)]
    revisions = [_group(revision, f"{path}.plans") for revision in _list(one, "plans", path)]
    plans = [from_plain(Plan, revision.get("plan"), f"{path}.plans") for revision in revisions]
    events = [from_plain(Event, event, f"{path}.events") for event in _list(one, "events", path)]
    if len(events) > MOST_EVENTS:
        raise _wrong(f"{path}.events", f"{MOST_EVENTS} at most")
    for plan in (*offers, *plans):
        _check_plan(plan, events if plan in plans else [], path)
    bake_id = store.free_or_own(kitchen_id, _text(one.get("bake_id"), f"{path}.bake_id")) or new_id()
    new = store.bake(kitchen_id, bake_id) is None
    if new:
        store.put_offers(kitchen_id, bake_id, to_plain(wish), [to_plain(_of(bake_id, plan)) for plan in offers], now)
        for number, plan in enumerate(plans, 1):
            store.add_plan(kitchen_id, bake_id, to_plain(_of(bake_id, plan)) | {"revision": number}, now)
        if one.get("dropped_at") is not None:
            store.drop_bake(kitchen_id, bake_id, now)
    store.add_events(kitchen_id, bake_id, [to_plain(event) | {"bake_id": bake_id} for event in events], now)
    return int(new)


def _bring_shelved(store: Store, now: int, kitchen_id: str, data: object, path: str) -> None:
    one = _group(data, path)
    shelf, key = _text(one.get("shelf"), f"{path}.shelf"), _text(one.get("key"), f"{path}.key")
    if shelf not in _SHELVES or not key.startswith(OWN):
        raise _wrong(f"{path}.key", "something that a kitchen made itself")
    bodies = [_group(body, f"{path}.versions") for body in _list(one, "versions", path)]
    for body in bodies:
        try:
            _SHELVES[shelf](body)
        except PlanError as error:
            raise ShapeError(*(Problem(f"{path}.{p.field}", p.message, p.way_out) for p in error.problems)) from None
    if key in store.shelf_keys(kitchen_id, shelf):
        return
    for body in bodies:
        store.put_on_shelf(kitchen_id, shelf, key, {**body, "key": key}, now)
    if one.get("put_away"):
        store.put_away(kitchen_id, shelf, key)


def _kitchen(data: object) -> Kitchen:
    """The kitchen, if its settings page could have made it: what cannot be must not lock anybody out."""
    kitchen = from_plain(Kitchen, data, "kitchen")
    problems = list(hours_problems(kitchen.people))
    if len(kitchen.pans) > kitchen_answers.MOST_PANS or len(kitchen.room) > kitchen_answers.MOST_PARTS:
        problems.append(Problem("pans", "That is too much for one kitchen.", ""))
    for section in kitchen_answers.SECTIONS.values():
        try:
            section.read(Answers(section.typed(kitchen)), kitchen)
        except PlanError as error:
            problems += error.problems
    if problems:
        raise ShapeError(*(Problem(f"kitchen.{one.field}", one.message, one.way_out) for one in problems))
    return kitchen


def _check_plan(plan: Plan, events: list[Event], path: str) -> None:
    """ShapeError unless the plan can be shown and followed: a known zone, times near supper, a walk that ends."""
    sizes = (len(plan.steps), len(plan.rise.table.rates), len(plan.lines) + 1, len(plan.pans))
    instants = [plan.rise.mixed_at, *(instant for step in plan.steps for instant in (step.start, step.end))]
    near = _EPOCH <= plan.supper < _FAR and all(abs(instant - plan.supper) < _NEAR_S for instant in instants)
    if not near or min(sizes) < 1 or max(sizes) > _MOST_PARTS:
        raise _wrong(f"{path}.plans", "a plan with its steps near its supper")
    try:
        zone_of(plan.zone)
        check_instants(plan, events)
        retime(plan, fold(plan, events), plan.supper)
    except PlanError as error:
        raise ShapeError(*(Problem(f"{path}.{p.field}", p.message, p.way_out) for p in error.problems)) from None
    except (ArithmeticError, LookupError, ValueError, TypeError):
        raise _wrong(f"{path}.plans", "a plan that can be followed") from None


def _of(bake_id: str, plan: Plan) -> Plan:
    return replace(plan, bake_id=bake_id)


def _document(data: object) -> Mapping[str, Any]:
    document = _group(data, "file")
    if document.get("kind") != KIND:
        raise _wrong("file", "a kitchen taken along from Suppertide")
    if document.get("schema") != SCHEMA:
        raise _wrong("schema", f"{SCHEMA}: this file is of another version")
    return document


def _group(data: object, path: str) -> Mapping[str, Any]:
    if not isinstance(data, Mapping):
        raise _wrong(path, "a group of named values")
    return data


def _list(data: Mapping[str, Any], name: str, path: str = "") -> list[Any]:
    value = data.get(name, [])
    if not isinstance(value, list):
        raise _wrong(f"{path}.{name}".lstrip("."), "a list")
    return value


def _text(value: object, path: str) -> str:
    if not isinstance(value, str) or not 0 < len(value) <= 64:
        raise _wrong(path, "a short text")
    return value


def _span(value: object) -> tuple[int, int]:
    if isinstance(value, list) and len(value) == 2 and all(type(one) is int for one in value):
        return value[0], value[1]
    raise _wrong("busy", "pairs of instants")


def _wrong(path: str, expected: str) -> ShapeError:
    return ShapeError(Problem(path, f"This should be {expected}.", "Use a file that Suppertide wrote."))
