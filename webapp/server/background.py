"""What goes on while nobody asks: push messages when they are due, calendars brought up to date, busy times fetched.

A few threads of the server process, started by `serve`. Everything they do stands in the database before and after, so
that stopping at any moment does no harm; what is done for one household is claimed there, so that of several processes
on one database one alone writes into its calendar at a time.
"""

from __future__ import annotations

import logging
import secrets
import signal
import threading
import time
from collections.abc import Callable
from dataclasses import replace

from webapp.kitchens import access
from webapp.machine import redact
from webapp.machine.net_guard import Guard
from webapp.machine.secretbox import SecretBox
from webapp.machine.settings import Settings
from webapp.planning.changed.news import calendars_read
from webapp.reminders import busy_address
from webapp.reminders.caldav import leaving, publish
from webapp.reminders.caldav.account import Tools, trusting
from webapp.reminders.caldav.look import look_safely
from webapp.reminders.lines import Lines
from webapp.reminders.push import message
from webapp.reminders.push.sending import lay_out, ring_all, ringing_lines
from webapp.store.failure import why
from webapp.store.store import Store

_LOOK_S = 10.0  # how long a change of the plan may wait until calendars get it
_LISTEN_S = 3.0  # ... until messages follow it
_DAY_S = 86400
_SWEEP_S = 6 * 3600
_FETCHERS = 4
_WRITERS = 16
_WRITE_S = 20.0  # how long the first try of writing one calendar may take; the next, among its like, may take longer
_CLAIM_S = 180  # after which work that was claimed by a process that died is another one's
_FETCH_S = 20.0  # how long fetching one calendar, or looking at it, may take

log = logging.getLogger(__name__)


def run_alone(settings: Settings) -> None:
    """As a process of its own: until interrupted or terminated, then what is being done is finished."""
    over = threading.Event()
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, lambda *_: over.set())
    with Background(settings):
        print("Sending what is due and publishing calendars. Stop it with Ctrl+C.", flush=True)
        while not over.wait(1.0):  # with a time limit, so that Windows notices Ctrl+C
            pass


class Rounds(threading.Thread):
    """Does one thing again and again until told to stop; what goes wrong is logged and tried again."""

    def __init__(self, name: str, once: Callable[[], float]) -> None:
        """`once` does the thing and returns after how many seconds to do it again."""
        super().__init__(name=name, daemon=True)
        self.pause_s = _LOOK_S  # after a round that failed
        self._once = once
        self._over = threading.Event()

    def run(self) -> None:
        """Until `stop`."""
        while not self._over.wait(self._next()):
            pass

    def stop(self) -> None:
        """Finish what is being done, then end."""
        self._over.set()
        self.join(timeout=30)

    def _next(self) -> float:
        try:
            return self._once()
        except Exception as error:  # it must not fall silent because one ring failed
            # A database that is away stays so for many rounds: a line of each says enough.
            if said := why(error):
                log.error("a round of %s failed: %s", self.name, " ".join(said))
            else:
                log.exception("a round of %s failed", self.name)
            return self.pause_s


class Background:
    """Both kinds of rounds over one data folder."""

    def __init__(self, settings: Settings, now: Callable[[], int] | None = None) -> None:
        self._now = now or (lambda: int(time.time()))
        self._store = Store(settings.database)
        self._tools = Tools(
            SecretBox(settings.data), Guard(local=settings.local_calendars), trust=trusting(settings.calendar_authority)
        )
        self._readers = replace(self._tools, talk_s=_FETCH_S, lines=threading.BoundedSemaphore(3 * _FETCHERS))
        self._fetching = Lines(_FETCHERS, "busy"), Lines(_FETCHERS, "busy again")
        self._writers = replace(self._tools, lines=threading.BoundedSemaphore(3 * _WRITERS))
        self._quick_writers = replace(self._writers, talk_s=_WRITE_S)
        self._writing = (
            Lines(_WRITERS, "calendar"), Lines(_WRITERS, "calendar again"), Lines(_FETCHERS, "test ring"),
            Lines(_FETCHERS, "leaving"),
        )  # fmt: skip
        self._looking = Lines(_FETCHERS, "look")
        self._sender = None
        self._lines = ringing_lines()
        if message.available():
            guard = Guard(also=frozenset(settings.push_hosts))
            self._sender = message.Sender(settings.data, guard, settings.public_url, self._now)
        self._swept = 0
        self._name = secrets.token_hex(8)  # by which this process claims
        self._rounds = [
            Rounds("housekeeping", self.housekeeping),
            Rounds("calendars", self.calendars),
            Rounds("calendars in trouble", self.calendars_again),
            Rounds("looks at calendars", self.looks),
            Rounds("busy times", self.busy_times),
        ]
        if self._sender:
            self._rounds.append(Rounds("messages", self.messages))
        redact.install()

    def __enter__(self) -> Background:
        for one in self._rounds:
            one.start()
        return self

    def __exit__(self, *_: object) -> None:
        for one in self._rounds:
            one.stop()
        for lines in (self._lines, self._looking, *self._fetching, *self._writing):
            lines.close()
        if self._sender:
            self._sender.close()

    def calendars(self) -> float:
        """Publish what changed, take out test rings that have rung, go on leaving calendars; each household on a line
        of its own, so that one whose server takes its time delays no other."""
        now = self._now()
        self._publish(self._writing[0], self._quick_writers, failed=False)
        self._writing[2].take(
            publish.with_tests_over(self._store, now),
            self._alone("calendar", lambda one: publish.take_out_tests_safely(self._store, self._writers, now, one)),
        )
        self._writing[3].take(
            leaving.to_go_on(self._store, now),
            self._alone("leaving", lambda one: leaving.go_on_safely(self._store, self._writers, now, int(one))),
        )
        return _LOOK_S

    def calendars_again(self) -> float:
        """Try servers again that failed, apart from the others: they may keep us waiting for a minute each."""
        self._publish(self._writing[1], self._writers, failed=True)
        return _LOOK_S

    def _publish(self, lines: Lines, tools: Tools, failed: bool) -> None:
        now = self._now()
        lines.take(
            publish.behind(self._store, now, failed),
            self._alone("calendar", lambda one: publish.publish_safely(self._store, tools, now, one)),
        )

    def _alone(self, work: str, once: Callable[[str], object]) -> Callable[[str], None]:
        """The same, by one process at a time for each household; who finds it claimed leaves it to the other."""

        def alone(of: str) -> None:
            now = self._now()
            if self._store.claim(work, of, self._name, now, now + _CLAIM_S):
                try:
                    once(of)
                finally:
                    self._store.release(work, of, self._name)

        return alone

    def looks(self) -> float:
        """Notice what somebody changed in a calendar since we wrote into it."""
        now = self._now()
        kitchens = self._store.accounts_to_look_at(now)
        look = self._alone("calendar", lambda one: look_safely(self._store, self._readers, now, one))
        self._looking.take(kitchens, look)
        return _LOOK_S

    def busy_times(self) -> float:
        """Fetch the calendars that busy times come from; those in trouble on lines of their own."""
        now = self._now()
        for lines, kitchens in zip(self._fetching, busy_address.due(self._store, now), strict=True):
            lines.take(kitchens, self._alone("busy", lambda kitchen: self._read_calendars(now, kitchen)))
        return _LOOK_S

    def _read_calendars(self, now: int, kitchen_id: str) -> None:
        with calendars_read(self._store, now, kitchen_id):
            busy_address.look_at_all(self._store, self._readers, now, kitchen_id)

    def housekeeping(self) -> float:
        """Once a day: kitchens in which nothing was ever planned go."""
        access.sweep(self._store, self._now())
        return _DAY_S

    def messages(self) -> float:
        """Send what is due; wake again when the next is, or in a few seconds for what may have changed."""
        now = self._now()
        lay_out(self._store, now)
        if self._sender:
            ring_all(self._store, self._sender, now, self._lines)
        if now - self._swept > _SWEEP_S:
            self._swept = now
            self._store.sweep_due(now)
        due = self._store.next_due()
        return _LISTEN_S if due is None else min(max(due - self._now(), 0.2), _LISTEN_S)
