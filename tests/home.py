"""A kitchen with a store on disk and one picked bake, for tests of what calendars and phones are told."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field, replace
from pathlib import Path

from tests.databases import new_store
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kitchen import NO_ALARM, Kitchen, Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import access, bakes
from webapp.machine.secretbox import SecretBox
from webapp.records import to_plain

_WISH = Wish("2026-11-25T19:30", (), "bench-tray")


def every_step_rings(kitchen: Kitchen) -> Kitchen:
    """One event for each step, and none for coming home: easily counted."""
    return replace(kitchen, every_step=True, alarms=(*kitchen.alarms, ("home", NO_ALARM)))


@dataclass
class Home:
    """A test's vocabulary: `plan`, `did`, `drop`, with a clock that only the test moves. Every step rings here."""

    folder: Path
    now: int = at(6, 55)
    kitchen_id: str = "k" * 22
    _ids: itertools.count[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.store = new_store(self.folder)
        self.box = SecretBox(self.folder)
        if self.store.settings_of(self.kitchen_id) is None:
            self.store.add_kitchen(self.kitchen_id, to_plain(every_step_rings(sample_kitchen())), self.now)
            self.store.add_phone(self.kitchen_id, "phone-1", "f" * 64, "Phone 1", self.now)

    def new_id(self) -> str:
        return f"id{next(self._ids)}"

    def plan(self, plan: Plan | None = None) -> Plan:
        """Pick this plan (the sample one), as its next revision."""
        plan = plan or sample_plan()
        self.store.put_offers(self.kitchen_id, plan.bake_id, to_plain(_WISH), [], self.now)
        plan = replace(plan, revision=self.store.revision(plan.bake_id) + 1)
        self.store.add_plan(self.kitchen_id, plan.bake_id, to_plain(plan), self.now)
        return plan

    def did(self, plan: Plan, kind: str, when: int, **data: object) -> None:
        """Write one line of the journal at that instant, which is now from then on."""
        self.now = max(self.now, when)
        event = Event(f"{next(self._ids):032x}", plan.bake_id, when, when, "phone-1", kind, dict(data))
        bakes.add_to_journal(self.store, self.now, self.kitchen_id, plan.bake_id, [event])

    def later(self, plan: Plan, step_id: str, by_s: int) -> Plan:
        """The same plan with one step at another time, picked as a new revision."""
        steps = tuple(
            replace(s, start=s.start + by_s, end=s.end + by_s) if s.step_id == step_id else s for s in plan.steps
        )
        return self.plan(replace(plan, steps=steps))

    def moved(self, plan: Plan, by_s: int) -> Plan:
        """The same plan, all of it so much later, picked as a new revision."""
        steps = tuple(replace(s, start=s.start + by_s, end=s.end + by_s) for s in plan.steps)
        rise = replace(plan.rise, mixed_at=plan.rise.mixed_at + by_s)
        supper, ready = plan.supper + by_s, plan.ready_at + by_s
        return self.plan(replace(plan, steps=steps, rise=rise, supper=supper, ready_at=ready))

    def without(self, plan: Plan, step_id: str) -> Plan:
        """The same plan with one step less, picked as a new revision."""
        return self.plan(replace(plan, steps=tuple(s for s in plan.steps if s.step_id != step_id)))

    def drop(self, plan: Plan) -> None:
        bakes.drop(self.store, self.now, self.kitchen_id, plan.bake_id)

    def change(self, **changes: object) -> Kitchen:
        return access.change_kitchen(
            self.store,
            self.kitchen_id,
            lambda k: replace(k, **changes),  # type: ignore[arg-type]
        )
