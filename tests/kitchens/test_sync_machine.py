"""Two phones, one server, everything that a kitchen's network does: requests and answers get lost, come twice, come
late, the server restarts, a phone's battery dies. Whatever happens, nothing said is lost and both phones end alike.

The phones here are models of static/js/lib/log.js and sync.js (the browser's own are tested in e2e/test_sync.py); the
server is the real app on a real database.
"""

from __future__ import annotations

import itertools
import json
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from flask import Flask
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from tests.profiles import examples
from tests.samples import DAY, at, sample_kitchen, sample_plan
from webapp.core.kitchen import Wish
from webapp.core.now.journal import fold
from webapp.core.plan.event import Event
from webapp.kitchens.access import make_kitchen
from webapp.machine.settings import Settings
from webapp.records import from_plain, to_plain
from webapp.store.store import Store
from webapp.web.app import create_app

PLAN = sample_plan()
KEY = "k" * 43
PATH = f"/api/bakes/{PLAN.bake_id}/events"
AT_ONCE = 3  # sync.js sends a hundred at once; few here, so that batches are cut
Body = dict[str, Any]
_ids = itertools.count(1)


@dataclass
class Phone:
    """One phone: what it holds, and which of it the server has confirmed."""

    name: str
    rows: dict[str, Body] = field(default_factory=dict)
    sent: set[str] = field(default_factory=set)

    def say(self, kind: str, when: int, data: Body) -> Body:
        """One tap: one event in one transaction."""
        event: Body = {"event_id": f"{next(_ids):032x}", "bake_id": PLAN.bake_id, "at": when, "logged_at": when,
                       "phone": self.name, "kind": kind, "data": data}  # fmt: skip
        self.rows[event["event_id"]] = event
        return event

    def batches(self) -> list[list[Body]]:
        """What is to be sent."""
        unsent = [row for key, row in self.rows.items() if key not in self.sent]
        return [unsent[i : i + AT_ONCE] for i in range(0, len(unsent), AT_ONCE)]

    def heard(self, batch: list[Body], answer: Body | None) -> None:
        """An answer arrived: what was sent is confirmed, what the server has is taken in."""
        if answer is None:
            return
        self.sent.update(row["event_id"] for row in batch)
        for row in answer["events"]:
            self.rows.setdefault(row["event_id"], row)
            self.sent.add(row["event_id"])

    def state(self) -> object:
        """What its screen shows follows from this."""
        return fold(PLAN, [from_plain(Event, row) for row in self.rows.values()])


class Kitchen(RuleBasedStateMachine):
    """The evening."""

    @initialize()
    def open(self) -> None:
        """A kitchen with one bake, on both phones."""
        self.folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self.data = Path(self.folder.name)
        store = Store(self.data / "suppertide.sqlite3")
        home = make_kitchen(store, DAY, lambda: f"id{next(_ids)}", KEY, sample_kitchen())
        store.put_offers(home.kitchen_id, PLAN.bake_id, to_plain(Wish("2026-11-25T19:30", PLAN.pans, "x")),
                         [to_plain(PLAN)], DAY)  # fmt: skip
        store.add_plan(home.kitchen_id, PLAN.bake_id, to_plain(PLAN), DAY)
        self.phones = [Phone("one"), Phone("other")]
        self.said: dict[str, Body] = {}
        self.late: list[list[Body]] = []
        self.up = True
        self.app = self.started()

    def started(self) -> Flask:
        """The app on what lies on the disk."""
        return create_app(Settings(data=self.data), now=lambda: at(12))

    def ask(self, batch: list[Body]) -> Body | None:
        """One request to the real app; None when there is no server."""
        if not self.up:
            return None
        client = self.app.test_client()
        client.set_cookie("suppertide", KEY)
        headers = {"Sec-Fetch-Site": "same-origin"}
        if not batch:
            answer = client.get(PATH, headers=headers)
        else:
            answer = client.post(PATH, data=json.dumps({"events": batch}), headers=headers,
                                 content_type="application/json")  # fmt: skip
        assert answer.status_code == 200, answer.text
        got: Body = answer.get_json()
        return got

    def exchange(self, phone: Phone, carried: Callable[[list[Body]], Body | None]) -> None:
        """As sync.js does: batches until one is not answered; then the journal."""
        batches = phone.batches() or [[]]
        for batch in batches:
            answer = carried(batch)
            phone.heard(batch, answer)
            if answer is None:
                return

    @rule(who=st.integers(0, 1), when=st.integers(at(7), at(20)), what=st.sampled_from(
        [("done", {"step_id": "mix"}), ("done", {"step_id": "press"}), ("glass", {"times": 1.5}),
         ("room", {"temp_c": 23.5}), ("later", {"until": at(18)}), ("weighed", {"line": "dough/flour"})]))  # fmt: skip
    def tap(self, who: int, when: int, what: tuple[str, Body]) -> None:
        """Something is said."""
        event = self.phones[who].say(what[0], when, dict(what[1]))
        self.said[event["event_id"]] = event

    @precondition(lambda self: any(phone.rows for phone in self.phones))
    @rule(who=st.integers(0, 1), pick=st.integers(0, 10**6))
    def take_back(self, who: int, pick: int) -> None:
        """Something that this phone knows of is taken back."""
        known = list(self.phones[who].rows)
        if known:
            event = self.phones[who].say("undo", at(19), {"event_id": known[pick % len(known)]})
            self.said[event["event_id"]] = event

    @rule(who=st.integers(0, 1))
    def meet(self, who: int) -> None:
        """An exchange that works."""
        self.exchange(self.phones[who], self.ask)

    @rule(who=st.integers(0, 1))
    def lose_the_request(self, who: int) -> None:
        """It never arrives."""
        self.exchange(self.phones[who], lambda batch: None)

    @rule(who=st.integers(0, 1))
    def lose_the_answer(self, who: int) -> None:
        """The server has it; the phone never hears so."""

        def carried(batch: list[Body]) -> None:
            self.ask(batch)

        self.exchange(self.phones[who], carried)

    @rule(who=st.integers(0, 1))
    def repeat_the_request(self, who: int) -> None:
        """It arrives twice; the first answer is lost."""

        def carried(batch: list[Body]) -> Body | None:
            self.ask(batch)
            return self.ask(batch)

        self.exchange(self.phones[who], carried)

    @rule(who=st.integers(0, 1))
    def hold_the_request_up(self, who: int) -> None:
        """It hangs somewhere and arrives much later, when the phone has long sent it again."""

        def carried(batch: list[Body]) -> None:
            self.late.append([dict(row) for row in batch])

        self.exchange(self.phones[who], carried)

    @precondition(lambda self: self.late)
    @rule(pick=st.integers(0, 10**6))
    def arrive_late(self, pick: int) -> None:
        """What hung arrives, in any order."""
        self.ask(self.late.pop(pick % len(self.late)))

    @rule()
    def kill_the_server(self) -> None:
        """The power is gone."""
        self.up = False

    @rule()
    def start_the_server(self) -> None:
        """A new process on the same disk."""
        self.app = self.started()
        self.up = True

    @rule(who=st.integers(0, 1))
    def battery_dies(self, who: int) -> None:
        """What was written is there again, with what was confirmed; nothing else was ever in memory only."""
        phone = self.phones[who]
        self.phones[who] = Phone(phone.name, json.loads(json.dumps(phone.rows)), set(phone.sent))

    @invariant()
    def a_phone_forgets_nothing_of_its_own(self) -> None:
        """What was said on it is in it."""
        for phone in self.phones:
            mine = {key for key, row in self.said.items() if row["phone"] == phone.name}
            assert mine <= phone.rows.keys()

    @invariant()
    def what_counts_as_sent_is_on_the_server(self) -> None:
        """No phone believes something to be safe that is not."""
        if self.up:
            held = {row["event_id"] for row in (self.ask([]) or {"events": []})["events"]}
            for phone in self.phones:
                assert phone.sent <= held

    def teardown(self) -> None:
        """In the end the network works: everything is everywhere, once, and both screens show the same."""
        if not hasattr(self, "phones"):
            return
        self.start_the_server()
        for batch in self.late:
            self.ask(batch)
        for phone in (*self.phones, *self.phones):
            self.exchange(phone, self.ask)
        held = [row["event_id"] for row in (self.ask([]) or {"events": []})["events"]]
        assert sorted(held) == sorted(self.said)
        assert all(phone.rows.keys() == self.said.keys() for phone in self.phones)
        assert self.phones[0].state() == self.phones[1].state()
        for key, row in self.said.items():
            assert self.phones[0].rows[key]["data"] == row["data"]
        self.folder.cleanup()


Kitchen.TestCase.settings = settings(examples(8), stateful_step_count=25)
TestTwoPhonesAndAnUnreliableServer = Kitchen.TestCase
