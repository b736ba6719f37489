"""Two phones, a server, a household that plans anew at any time: what was mixed is what is shown, on all three.

The phones here are models of static/js/lib/sync.js and kitchen/bundles.js (the browser's own are tested in
e2e/test_two_phones.py); the server is the real store with the real rules. A bowl holds the yeast that the phone showed
when "Mixed" was tapped, whatever is planned, lost or sent later.
"""

from __future__ import annotations

import itertools
import tempfile
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from tests.profiles import examples
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.kitchen import Wish
from webapp.core.now.journal import dough_of, fold, still_said
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes, kept
from webapp.kitchens.access import change_kitchen, make_kitchen
from webapp.kitchens.mixed import is_begun
from webapp.planning.changed.news import settings_changed
from webapp.records import to_plain
from webapp.store.store import Store

NOW = at(7)
BAKE = "b" * 22
WAYS = 3  # offers that can be picked, each with its own yeast
_ids = itertools.count(1)
HAPPENINGS = ("mix", "mix_in_reach", "go_on", "take_back", "answer", "plan_anew", "plan_anew", *["hear_of_it"] * 3,
              "fetch_alone", "other_settings", "meet, whole", "meet, whole", "meet, request lost",
              "meet, answer lost")  # fmt: skip


def with_yeast(grams: float) -> Plan:
    plan = sample_plan(BAKE)
    return replace(plan, yeast_percent=grams, lines=tuple(
        replace(one, weigh_g=grams) if one.kind == "yeast" else one for one in plan.lines))  # fmt: skip


def yeast_of(plan: Plan) -> float:
    return sum(line.weigh_g for line in plan.lines if line.kind == "yeast")


@dataclass
class Phone:
    """What one phone holds: a packed plan, its journal, and which of it the server has."""

    name: str
    plan: Plan
    rows: dict[str, Event] = field(default_factory=dict)
    sent: set[str] = field(default_factory=set)

    def done(self) -> list[str]:
        """Steps that its screen shows as done."""
        return [one.step_id for one in fold(self.plan, list(self.rows.values())).done]

    def unsent(self) -> list[Event]:
        return [row for key, row in self.rows.items() if key not in self.sent]


class Household(RuleBasedStateMachine):
    """One bake, two people, any order of things."""

    @initialize()
    def open(self) -> None:
        """A bake is picked and packed on both phones."""
        memory = "/dev/shm" if Path("/dev/shm").is_dir() else None  # a disk is not what is tested here
        self.folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True, dir=memory)
        self.store = Store(Path(self.folder.name) / "s.sqlite3")
        self.kitchen = make_kitchen(self.store, NOW, lambda: f"id{next(_ids)}", "key", sample_kitchen()).kitchen_id
        offers = [to_plain(with_yeast(0.5 + place)) for place in range(WAYS)]
        self.store.put_offers(self.kitchen, BAKE, to_plain(Wish("2026-11-25T19:30", sample_plan().pans, "x")), offers,
                              NOW)  # fmt: skip
        plan = bakes.pick(self.store, NOW, self.kitchen, BAKE, 0)
        self.phones = [Phone("one", plan), Phone("other", plan)]
        self.bowls: dict[str, float] = {}  # by the event that says it was mixed: the yeast that went in
        self.clock = NOW

    @rule(what=st.sampled_from(HAPPENINGS), who=st.integers(0, 1), n=st.integers(0, 5))
    def happens(self, what: str, who: int, n: int) -> None:
        """One thing. All of them in one rule: drawn alike, as a day draws them."""
        if what in ("go_on", "answer", "plan_anew"):
            getattr(self, what)(who, n)
        elif what.startswith("meet"):
            self.meet(who, what.removeprefix("meet, "))
        else:
            getattr(self, what)(who)

    def say(self, phone: Phone, kind: str, **data: object) -> Event:
        """One tap, by the plan on the screen."""
        self.clock += 60
        one = Event(f"{next(_ids):032x}", BAKE, self.clock, self.clock, phone.name, kind, data, dough_of(phone.plan))
        phone.rows[one.event_id] = one
        return one

    def mix(self, who: int) -> None:
        """By what this phone shows; nobody taps it twice for one dough."""
        phone = self.phones[who]
        if "mix" not in phone.done():
            self.bowls[self.say(phone, "done", step_id="mix").event_id] = yeast_of(phone.plan)

    def go_on(self, who: int, n: int) -> None:
        """Something else is tapped."""
        phone, what = self.phones[who], ("press", "weighed", "room")[n % 3]
        if what == "press" and "mix" in phone.done():
            self.say(phone, "done", step_id="press")
        elif what == "room":
            self.say(phone, "room", temp_c=23.0)
        else:
            self.say(phone, "weighed", line="dough/flour")

    def take_back(self, who: int) -> None:
        """The mixing that this phone shows is taken back."""
        phone = self.phones[who]
        for event in still_said(list(phone.rows.values())):
            if event.kind == "done" and event.data["step_id"] == "mix" and event.revision == dough_of(phone.plan):
                self.say(phone, "undo", event_id=event.event_id)

    def answer(self, who: int, n: int) -> None:
        """What is asked of two doughs is answered, on a phone that has its question."""
        question = bakes.bundle_for(self.store, self.clock, self.kitchen, BAKE)["question"]
        revisions = [revision for _, revision in question["answers"] if revision] if question else []
        if revisions:
            self.say(self.phones[who], "settled", revision=revisions[n % len(revisions)])

    def plan_anew(self, who: int, n: int) -> None:
        """On one phone's pages, which pack it there: refused once the server knows of a dough."""
        before, events = self.on_the_server()
        begun = is_begun(before, events)
        try:
            plan = bakes.pick(self.store, self.clock, self.kitchen, BAKE, n % WAYS)
        except bakes.DoughMixed:
            assert begun
            return
        assert not begun or yeast_of(plan) == yeast_of(before)
        self.fetch(self.phones[who])

    def other_settings(self, _who: int) -> None:
        """The household's clock is read otherwise, so every phone is to hear the plan again: the dough is the same."""
        before, was = bakes.kitchen_of(self.store, self.kitchen), self.on_the_server()[0]
        other = replace(before, clock="12" if before.clock == "24" else "24")
        change_kitchen(self.store, self.kitchen, lambda _: other)
        settings_changed(self.store, self.clock, self.kitchen, before)
        plan = self.on_the_server()[0]
        assert (plan.revision, dough_of(plan)) == (was.revision + 1, dough_of(was))

    def meet(self, who: int, fate: str) -> None:
        """As sync.js and bundles.js do: what is said first, then the journal, then a newer plan if all is said."""
        phone, unsent = self.phones[who], self.phones[who].unsent()
        if fate == "request lost":
            return
        bakes.add_to_journal(self.store, self.clock, self.kitchen, BAKE, unsent)
        if fate == "answer lost":
            return
        for row in kept.journal(self.store, self.kitchen, BAKE):
            phone.rows.setdefault(row.event_id, row)
            phone.sent.add(row.event_id)
        if fate == "whole":
            self.fetch(phone)

    def mix_in_reach(self, who: int) -> None:
        """Mixed, and the server hears of it at once."""
        self.mix(who)
        self.meet(who, "whole")

    def hear_of_it(self, who: int) -> None:
        """The journal comes through, the newer plan does not."""
        self.meet(who, "no bundle")

    def fetch_alone(self, who: int) -> None:
        """The list of bakes tells of a newer plan while nothing that is said here gets through."""
        self.fetch(self.phones[who])

    def fetch(self, phone: Phone) -> None:
        """A newer plan, unless something that was said here by the one that is held is not with the server yet."""
        plan = bakes.picked(self.store, self.kitchen, BAKE)
        if plan.revision > phone.plan.revision and not phone.unsent():
            phone.plan = plan
            for row in kept.journal(self.store, self.kitchen, BAKE):
                phone.rows.setdefault(row.event_id, row)
                phone.sent.add(row.event_id)

    def on_the_server(self) -> tuple[Plan, list[Event]]:
        """The plan that pages show, and the journal."""
        return bakes.picked(self.store, self.kitchen, BAKE), list(kept.journal(self.store, self.kitchen, BAKE))

    def in_bowls(self, events: list[Event]) -> set[float]:
        """Yeast of every dough that stands mixed, by these lines of the journal."""
        return {self.bowls[event.event_id] for event in still_said(events) if event.event_id in self.bowls}

    @invariant()
    def what_was_mixed_here_is_shown_here(self) -> None:
        """Until the server knows of it, nothing else takes its place on this screen."""
        for phone in self.phones if hasattr(self, "phones") else ():
            standing = still_said(list(phone.rows.values()))
            for event in standing:
                if event.event_id in self.bowls and event.event_id not in phone.sent:
                    assert "mix" in phone.done()
                    assert yeast_of(phone.plan) == self.bowls[event.event_id]

    @invariant()
    def what_is_shown_as_mixed_was_mixed(self) -> None:
        """On each phone at every moment, and on the server."""
        if not hasattr(self, "phones"):
            return
        for phone in self.phones:
            if "mix" in phone.done():
                assert yeast_of(phone.plan) in self.in_bowls(list(phone.rows.values()))
        plan, events = self.on_the_server()
        bowls = self.in_bowls(events)
        assert not bowls or (is_begun(plan, events) and yeast_of(plan) in bowls)

    def teardown(self) -> None:
        """In the end the network works, and all three agree with each other and with the bowl."""
        if not hasattr(self, "phones"):
            return
        for who in (0, 1, 0, 1):
            self.meet(who, "whole")
        plan, events = self.on_the_server()
        one, other = self.phones
        assert one.plan == other.plan == plan
        assert one.done() == other.done() == [done.step_id for done in fold(plan, events).done]
        assert ("mix" in one.done()) == bool(self.in_bowls(list(one.rows.values())))
        self.folder.cleanup()


# Ten thousand steps with `--thorough`: 400 households of 25.
Household.TestCase.settings = settings(examples(40), stateful_step_count=25)
TestTwoPhonesAndAHouseholdThatPlansAnew = pytest.mark.timeout(3000)(Household.TestCase)
