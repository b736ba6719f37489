"""What of a file that somebody brings in can be read: one wrong value must not lock anybody out, nor keep the rest out.

Each thing of it is read as what is kept is read (`kept.py`, `own_kinds.py`), after `check_document` has looked at every
value whatever it means. What cannot be read is left out and named; a file that is none of ours is refused as a whole,
with a ShapeError that names the path, before anything is written.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Person, Wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.doughs.own import name_of
from webapp.doughs.own_kinds import GLASSES, OWN_KINDS
from webapp.forms import kitchen as kitchen_form
from webapp.forms.brought_in import check_document, group, is_clean, list_of, text, wrong
from webapp.forms.person import read_person, typed_person
from webapp.forms.typed import Answers
from webapp.kitchens.bakes import MOST_EVENTS
from webapp.kitchens.kept import event_in, near_its_bake, plan_as_kept, settings_in, wish_in, wish_of
from webapp.records import ShapeError
from webapp.store.store import Store
from webapp.words.kinds.settings import setting_word
from webapp.words.problems import files as said
from webapp.words.problems import kept as kept_words


@dataclass
class LeftOut:
    """What of a file cannot be read: by the names that a person knows, the small things by their number."""

    names: list[str] = field(default_factory=list)
    few: Counter[said.Small] = field(default_factory=Counter)

    def told(self) -> tuple[str, ...]:
        """In words."""
        return (*self.names, *(said.small_things(what, many) for what, many in self.few.items() if many))


def kitchen_of_file(data: object, out: LeftOut) -> Kitchen:
    """The kitchen, as far as its settings pages could have made it; the rest is as a newcomer's, and named."""
    plain = group(data, "kitchen")
    kitchen, unread = settings_in({name: one if is_clean(one) else None for name, one in plain.items()})
    lost = list(unread)
    if not all(map(_is_a_week_of_ours, kitchen.people)):
        kitchen = replace(kitchen, people=Kitchen().people)
        lost.append("people")
    for section in kitchen_form.SECTIONS.values():
        try:
            section.read(Answers(section.typed(kitchen)), kitchen)
        except PlanError:
            kitchen = replace(kitchen, **{name: getattr(Kitchen(), name) for name in section.fields})
            lost += section.fields
    if lost:
        out.names.append(said.settings_left_out(map(setting_word, dict.fromkeys(lost))))
    return kitchen


def _is_a_week_of_ours(person: Person) -> bool:
    """A week that does not come back from its form as it went in is none that the form could have made."""
    with suppress(PlanError):
        return read_person(Answers(typed_person(person))) == person
    return False


# -- the larder of a file

_OWN_KEY = re.compile(r"own-[A-Za-z0-9_-]{1,40}")  # what a kitchen made itself
_MOST_VERSIONS = 1000


@dataclass(frozen=True)
class LarderItem:
    """Something from the larder of the file, with its versions, read and checked."""

    kind: str  # "shelf" in the file
    key: str
    bodies: tuple[Mapping[str, Any], ...]
    put_away: bool
    readable: bool

    @property
    def name(self) -> str:
        """What a person calls it, where that can be read."""
        return kept_words.A_GLASS if self.kind == GLASSES.name else name_of(self.bodies[-1], self.key)


def read_larder_item(data: object, path: str) -> LarderItem:
    """One of the larder; ShapeError for what no kitchen made."""
    one = group(data, path)
    kind, key = text(one.get("shelf"), f"{path}.shelf"), text(one.get("key"), f"{path}.key")
    if kind not in OWN_KINDS or not _OWN_KEY.fullmatch(key):
        raise wrong(f"{path}.key", said.MADE_ITSELF)
    bodies = tuple(group(body, f"{path}.versions") for body in list_of(one, "versions", path))
    if not 0 < len(bodies) <= _MOST_VERSIONS:
        raise wrong(f"{path}.versions", f"1 to {_MOST_VERSIONS}")
    readable = all(is_clean(body) and _is_readable(kind, body) for body in bodies)
    return LarderItem(kind, key, bodies, bool(one.get("put_away")), readable)


def read_larder(data: list[Any], out: LeftOut) -> list[LarderItem]:
    """What can be read of it; the rest is named."""
    found = []
    for one in data:
        try:
            item = read_larder_item(one, "larder")
        except ShapeError:
            out.names.append(said.A_DOUGH)
            continue
        if item.readable:
            found.append(item)
        else:
            out.names.append(item.name)
    return found


def _is_readable(kind: str, body: Mapping[str, Any]) -> bool:
    """Can this program read it? What it cannot is left out and named: the rest of the file is none the worse."""
    with suppress(PlanError):
        OWN_KINDS[kind].read(body)
        return True
    return False


def bring_larder_item(store: Store, now: int, kitchen_id: str, one: LarderItem) -> None:
    """Into the larder with all its versions, unless its key is there."""
    if one.key in store.larder_keys(kitchen_id, one.kind):
        return
    for body in one.bodies:
        store.put_in_larder(kitchen_id, one.kind, one.key, {**body, "key": one.key}, now)
    if one.put_away:
        store.put_away(kitchen_id, one.kind, one.key)


# -- the bakes of a file

_MOST_OFFERS, _MOST_REVISIONS = 10, 200


@dataclass(frozen=True)
class BroughtBake:
    """A bake of the file, read and checked; `plans` by their number."""

    bake_id: str
    wish: Wish
    offers: tuple[Plan, ...]
    plans: Mapping[int, Plan]
    events: tuple[Event, ...]
    dropped: bool

    @property
    def plan(self) -> Plan | None:
        """The present one."""
        return self.plans[max(self.plans)] if self.plans else None


def read_bakes(data: list[Any], out: LeftOut) -> list[BroughtBake]:
    """Those of which at least the present plan can be read; the others are named."""
    found = []
    for one in data:
        try:
            found.append(_read_bake(one, out))
        except ShapeError:
            out.names.append(_called(one))
    return found


def _called(data: object) -> str:
    """What a person calls a bake of which not even the plan can be read."""
    with suppress(LookupError, TypeError):
        return name_of({"name": data["plans"][-1]["plan"]["formula_name"]}, said.A_BAKE)  # type: ignore[index]
    return said.A_BAKE


def _read_bake(data: object, out: LeftOut) -> BroughtBake:
    one = group(data, "bakes")
    bake_id = text(one.get("bake_id"), "bake_id")
    check_document(bake_id)
    rows = [group(row, "plans").get("plan") for row in list_of(one, "plans")]
    lines = list_of(one, "events")
    if len(lines) > MOST_EVENTS or len(rows) > _MOST_REVISIONS or len(list_of(one, "offers")) > _MOST_OFFERS:
        raise wrong("bakes", said.events_at_most(MOST_EVENTS))
    plans = {number: plan for number, row in enumerate(rows, 1) if (plan := _plan(row)) is not None}
    if rows and len(rows) not in plans:
        raise wrong("plans", said.FOLLOWED)
    read = [event for line in lines if is_clean(line) and isinstance(line, Mapping) and (event := event_in(line))]
    events = tuple(near_its_bake(plans[len(rows)], read)) if rows else ()
    walked = {number: plan for number, plan in plans.items() if _can_be_walked(plan, events)}
    offers = tuple(plan for row in list_of(one, "offers") if (plan := _plan(row)) and _can_be_walked(plan, ()))
    if rows and len(rows) not in walked:
        raise wrong("plans", said.FOLLOWED)
    wish = _wish(one.get("wish"), walked.get(len(rows)) or next(iter(offers), None))
    bake = BroughtBake(bake_id, wish, offers, walked, events, one.get("dropped_at") is not None)
    out.few["line"] += len(lines) - len(events)
    out.few["plan"] += len(rows) - len(walked)
    return bake


def _plan(plain: object) -> Plan | None:
    with suppress(ShapeError):
        return plan_as_kept(group(plain, "plan")) if is_clean(plain) else None
    return None


def _wish(plain: object, plan: Plan | None) -> Wish:
    """As the plan tells it where it cannot be read itself."""
    wish = wish_in(plain) if isinstance(plain, Mapping) and is_clean(plain) else None
    if wish is None and plan is None:
        raise wrong("wish", said.FOLLOWED)
    return wish or wish_of(plan)  # type: ignore[arg-type]  # one of them is there


def _can_be_walked(plan: Plan, events: tuple[Event, ...]) -> bool:
    """Can its dough be walked to supper?"""
    with suppress(PlanError, ArithmeticError, LookupError, ValueError, TypeError):
        retime(plan, fold(plan, events), plan.supper)
        return True
    return False
