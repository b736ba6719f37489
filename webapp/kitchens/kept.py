"""What is kept of a kitchen and can be read: settings, plans, journals.

A row may hold what this program cannot use: a later version wrote it, a zone is gone from the tables of this machine, a
hand or a disk changed it. Of the settings such a field is as a newcomer's, and is named; a plan raises `ShapeError`, by
which lists leave it out and pages say so; a line of a journal is left out.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any

from webapp.core.day.day import clock_text, date_text, instant_of, zone_of
from webapp.core.day.hours import hours_problems
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.learning.habits import FIELDS, MOST_NOTES
from webapp.core.now.taken import moves_of
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.ranges import is_said
from webapp.forms.kitchen import MOST_PARTS
from webapp.forms.pans import MOST_PANS
from webapp.forms.person import MOST_PEOPLE
from webapp.records import ShapeError, from_plain
from webapp.store.base import Group
from webapp.store.store import Store
from webapp.words.problems import kept as said
from webapp.words.problems.told import told
from webapp.words.stored_plans import upgraded

MOST_ALARMS = 40  # kinds of steps are some twenty
_NEAR_S = 16 * 86400  # supper is two weeks ahead at most when it is planned
_MOST_PARTS = 300  # steps, rates, lines: a plan of ours has some dozens of each
# Remembered by their own text, whosever they are: a page asks for the same plans and settings again and again. Some
# 70 kB a plan.
_MOST_PLANS, _MOST_LINES, _MOST_SETTINGS = 256, 4096, 256
_BEFORE_S, _AFTER_S = 14 * 86400, 30 * 86400  # how far from its bake an event may lie


def is_zone(name: str) -> bool:
    """Whether this machine knows that time zone."""
    with suppress(PlanError):
        zone_of(name)
        return True
    return False


def _are_habits(kitchen: Kitchen) -> bool:
    bounds = [(habit.value, *FIELDS.get(habit.field, (1.0, 0.0))) for habit in kitchen.habits]
    return len(bounds) <= len(FIELDS) + MOST_NOTES and all(low <= value <= high for value, low, high in bounds)


# Fields of which not everything can be reckoned with that has the right types, each number in its range.
_USABLE: dict[str, Callable[[Kitchen], bool]] = {
    "zone": lambda kitchen: is_zone(kitchen.zone),
    "room": lambda kitchen: 0 < len(kitchen.room) <= MOST_PARTS,
    "people": lambda kitchen: len(kitchen.people) <= MOST_PEOPLE and not hours_problems(kitchen.people),
    "pans": lambda kitchen: 0 < len(kitchen.pans) <= MOST_PANS,
    "alarms": lambda kitchen: len(kitchen.alarms) <= MOST_ALARMS,
    "habits": _are_habits,
}


def settings_in(plain: Mapping[str, Any]) -> tuple[Kitchen, tuple[str, ...]]:
    """The kitchen record as it is kept, and which fields of it cannot be read: those are as a newcomer's."""
    return _settings_of(plain.text) if isinstance(plain, Group) else _settings_read(plain)


@lru_cache(_MOST_SETTINGS)
def _settings_of(text: str) -> tuple[Kitchen, tuple[str, ...]]:
    return _settings_read(Group(text))


def _settings_read(plain: Mapping[str, Any]) -> tuple[Kitchen, tuple[str, ...]]:
    with suppress(ShapeError):
        kitchen = from_plain(Kitchen, plain)
        if all(usable(kitchen) for usable in _USABLE.values()):
            return kitchen, ()
    read = {one.name: plain[one.name] for one in fields(Kitchen) if one.name in plain and _reads(one.name, plain)}
    return from_plain(Kitchen, read), tuple(name for name in plain if name not in read)


def _reads(name: str, plain: Mapping[str, Any]) -> bool:
    with suppress(ShapeError):
        kitchen = from_plain(Kitchen, {name: plain[name]})
        return name not in _USABLE or _USABLE[name](kitchen)
    return False


def plan_in(plain: Mapping[str, Any]) -> Plan:
    """The plan as it is kept; ShapeError when it cannot be read or is none that could be followed."""
    return _plan_of(plain.text) if isinstance(plain, Group) else _plan_read(plain)


@lru_cache(_MOST_PLANS)
def _plan_of(text: str) -> Plan:
    return _plan_read(Group(text))


def _plan_read(plain: Mapping[str, Any]) -> Plan:
    return upgraded(plan_as_kept(plain))


def plan_as_kept(plain: Mapping[str, Any]) -> Plan:
    """The same, not brought up to today: as it goes from one kitchen into another."""
    plan = from_plain(Plan, plain)
    if not can_be_followed(plan):
        raise ShapeError(told("plan", *said.NOT_TO_BE_FOLLOWED))
    return plan


def plans_in(plains: Iterable[Mapping[str, Any]]) -> tuple[Plan, ...]:
    """Those of the plans that can be read, in their order."""
    found: list[Plan] = []
    for plain in plains:
        with suppress(ShapeError):
            found.append(plan_in(plain))
    return tuple(found)


def every_plan(store: Store, bake_id: str) -> tuple[Plan, ...]:
    """Every revision that can be read, the present one last; () when there is but one: nothing was planned anew."""
    return plans_in(row["plan"] for row in store.revisions(bake_id)) if store.revision(bake_id) > 1 else ()


def can_be_followed(plan: Plan) -> bool:
    """A plan of ours: a known zone, steps near their supper, what its dough is walked by, not too much of anything."""
    needed = (plan.steps, plan.pans, plan.rise.table.rates, plan.rise.room, plan.rise.shares)
    more = (
        plan.lines,
        plan.toppings,
        plan.cautions,
        plan.busy,
        plan.nobody or (),
        plan.rise.glass,
        plan.oven.programme,
    )
    instants = [plan.rise.mixed_at, *(instant for step in plan.steps for instant in (step.start, step.end))]
    near = all(abs(instant - plan.supper) < _NEAR_S for instant in instants)
    at_work = sum(abs(step.end - step.start) for step in plan.steps)
    sized = all(needed) and max(map(len, (*needed, *more))) <= _MOST_PARTS
    band = plan.rise.band_low <= plan.rise.band_high and any(line.grams for line in plan.lines)
    return near and at_work <= _NEAR_S and sized and band and is_zone(plan.zone)


def wish_in(plain: Mapping[str, Any]) -> Wish | None:
    """The wish as it is kept; None when it cannot be read or names no supper or no pan."""
    with suppress(PlanError):
        wish = from_plain(Wish, plain)
        instant_of(wish.supper_local, "UTC", 0)  # for its shape: what is no time of a day is refused
        return wish if wish.pans else None
    return None


def wish_of(plan: Plan) -> Wish:
    """What was wished for, as far as the plan tells it."""
    local = f"{date_text(plan.supper, plan.zone)}T{clock_text(plan.supper, plan.zone)}"
    half = plan.kept is not None and not plan.kept.mixed_here  # made from the fridge on, by no method of the larder
    return Wish(local, plan.pans, plan.formula_key, method_key="" if half else plan.trade.method)


def event_in(plain: Mapping[str, Any]) -> Event | None:
    """The line of a journal as it is kept; None when it cannot be read or is of no time of ours."""
    return _event_of(plain.text) if isinstance(plain, Group) else _event_read(plain)


@lru_cache(_MOST_LINES)
def _event_of(text: str) -> Event | None:
    return _event_read(Group(text))


def _event_read(plain: Mapping[str, Any]) -> Event | None:
    with suppress(ShapeError):
        event = from_plain(Event, plain)
        return event if is_said(event.kind, event.data) and _can_be_shown(event.data) else None
    return None


def _can_be_shown(data: object) -> bool:
    """What is not finite, half a character or nested without end can be read from JSON, and be sent to no phone."""
    with suppress(ValueError, RecursionError):
        json.dumps(data, allow_nan=False, ensure_ascii=False).encode()
        return True
    return False


def journal(store: Store, kitchen_id: str, bake_id: str) -> tuple[Event, ...]:
    """Everything that happened, in one order for all phones; lines that cannot be read are left out."""
    read = map(event_in, store.events(kitchen_id, bake_id))
    return tuple(one for one in read if one is not None)


@dataclass(frozen=True)
class _Within:
    """All instants from `first` to `last`, whole seconds or not."""

    first: float
    last: float

    def __contains__(self, when: float) -> bool:
        return self.first <= when <= self.last


def near_its_bake(plan: Plan, events: Iterable[Event]) -> Iterator[Event]:
    """Those of the events that can belong to this bake: a dough walked to any other instant never arrives."""
    near = _near(plan)
    return (event for event in events if all(when in near for _, when in _instants(event)))


def check_instants(plan: Plan, events: Sequence[Event]) -> None:
    """PlanError at "events.N.at" for instants that cannot belong to this bake."""
    near = _near(plan)
    wrong = [f"events.{i}.{name}" for i, one in enumerate(events) for name, when in _instants(one) if when not in near]
    if wrong:
        raise PlanError(*(told(field, *said.WEEKS_AWAY) for field in wrong))


def _near(plan: Plan) -> _Within:
    first = min((step.start for step in plan.steps), default=plan.supper)
    return _Within(first - _BEFORE_S, plan.supper + _AFTER_S)


def _instants(event: Event) -> Iterator[tuple[str, float]]:
    """Every instant that an event names, by its path in it."""
    yield "at", event.at
    for name in ("until", "instant", "load", "supper"):
        when = event.data.get(name)
        if isinstance(when, int | float):
            yield f"data.{name}", when
    for i, move in enumerate(moves_of(event)):
        yield f"data.moves.{i}.at", move.at
