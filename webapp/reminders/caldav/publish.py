"""Publishing into the person's own calendar: set it up, keep it right, respect what others change there.

Nothing is written over that is not as we left it. An event that somebody changed, moved or took out is left alone from
then on (`hands_off`), and the person is told. A server that is down is tried again, at growing distances.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from webapp.core.errors import PlanError
from webapp.machine.net_guard import Guard
from webapp.machine.secretbox import SecretBox, UnreadableError
from webapp.reminders.caldav.client import CalendarError, CalendarServer, ChangedError, FoundCalendar, Login
from webapp.reminders.caldav.update import (
    TEST,
    body_of,
    bring_up_to_date,
    remember,
    take_out,
    url_of,
    write,
)
from webapp.reminders.events import draw, entries, ring_soon
from webapp.store.calendars import AccountRow
from webapp.store.ids import NotHere
from webapp.store.store import Store

_WAITS_S = (60, 120, 300, 900, 1800, 3600)  # after the first, second, ... failure; then hourly
_NEVER = 2**40  # until the person does something
_PAGE_S = 900
_TEST_KEPT_S = 600  # a test ring is taken out so long after it rang
_MOST_TYPED = 500
_LOST_KEY = "The server's key was lost, and your password with it. Set the calendar up again."


@dataclass(frozen=True)
class Tools:
    """What reaches outside: the box that opens passwords, the guard that checks addresses."""

    box: SecretBox
    guard: Guard
    talk_s: float = 60.0  # how long one conversation may take
    lines: threading.BoundedSemaphore = field(default_factory=lambda: threading.BoundedSemaphore(2), compare=False)

    @contextmanager
    def server(self, login: Login) -> Iterator[CalendarServer]:
        """A conversation; CalendarError when both lines are engaged: slow servers must not hold every page up."""
        if not self.lines.acquire(blocking=False):
            raise CalendarError("Other calendars are being written just now.", again=True)
        try:
            with CalendarServer(self.guard, login, talk_s=self.talk_s) as server:
                yield server
        finally:
            self.lines.release()


@dataclass(frozen=True)
class LeftAlone:
    """An event that is somebody else's now. `why`: changed, removed, or taken (it was there before us)."""

    uid: str
    title: str
    why: str


@dataclass(frozen=True)
class AccountState:
    """The account as the settings page shows it."""

    name: str
    calendar_url: str
    good_at: int  # when everything was last written, 0 = never yet
    next_try: int  # 0 or an instant, when something is wrong that may pass
    problem: str
    left_alone: tuple[LeftAlone, ...]


def find_calendars(tools: Tools, address: str, username: str, password: str) -> tuple[FoundCalendar, ...]:
    """Sign in and look for calendars; nothing is kept. Raises PlanError at "address", "username" or "password"."""
    _check_typed(address, username, password)
    try:
        with tools.server(Login(username, password)) as server:
            return server.find(address)
    except CalendarError as error:
        field = "password" if "password" in str(error) else "address"
        way_out = "Try again in a while." if error.again else "Check the address, the name and the password."
        raise PlanError.at(field, str(error), way_out) from error


def sealed_login(tools: Tools, kitchen_id: str, username: str, password: str) -> str:
    """A login that can travel through a page of this kitchen for a quarter of an hour; only this server opens it."""
    return tools.box.seal(json.dumps(["page", kitchen_id, username, password]))


def login_from(tools: Tools, kitchen_id: str, sealed: str) -> Login:
    """What `sealed_login` sealed for this kitchen. Raises PlanError at "calendar" for anything else."""
    try:
        kind, for_kitchen, *rest = json.loads(tools.box.open(sealed, within_s=_PAGE_S))
    except UnreadableError:
        kind, for_kitchen, rest = "", "", []
    if kind != "page" or for_kitchen != kitchen_id:
        raise PlanError.at("calendar", "This page is too old.", "Enter address, name and password again.")
    return Login(*rest)


def connect(
    store: Store, tools: Tools, now: int, kitchen_id: str, login: Login, calendar_url: str, name: str, origin: str
) -> None:
    """Publish into this calendar from now on; the login is kept sealed."""
    sealed = tools.box.seal(json.dumps([login.username, login.password]))
    store.put_account(kitchen_id, calendar_url, name, sealed, origin, now)


def disconnect(store: Store, tools: Tools, now: int, kitchen_id: str) -> int:
    """Take the coming events out (as far as the server answers) and forget the account; how many stayed behind."""
    row = store.account(kitchen_id)
    if row is None:
        return 0
    coming = [p for p in store.posted(kitchen_id) if p.ends > now and not p.hands_off]
    try:
        with _signed_in(tools, row) as server:
            for posted in coming:
                take_out(store, server, kitchen_id, posted)
    except CalendarError:
        pass  # said by the number that stayed
    left = {p.uid for p in store.posted(kitchen_id)} & {p.uid for p in coming}
    store.drop_account(kitchen_id)
    return len(left)


def account_state(store: Store, kitchen_id: str) -> AccountState | None:
    """The kitchen's account, None when there is none."""
    row = store.account(kitchen_id)
    if row is None:
        return None
    alone = tuple(LeftAlone(p.uid, p.title, p.hands_off) for p in store.posted(kitchen_id) if p.hands_off)
    next_try = row.next_try if row.problem and row.next_try < _NEVER else 0
    return AccountState(row.name, row.calendar_url, row.good_at, next_try, row.problem, alone)


def try_now(store: Store, kitchen_id: str) -> None:
    """Look at everything again at the next chance."""
    store.sync_again(kitchen_id)


def publish_all(store: Store, tools: Tools, now: int) -> None:
    """Every account that is behind and may be tried. Never raises for what a server does."""
    for row in store.accounts_to_sync(now):
        publish(store, tools, now, row.kitchen_id)


def publish(store: Store, tools: Tools, now: int, kitchen_id: str) -> bool:
    """Bring the calendar up to date; True when it is. What went wrong is kept for the page and tried again."""
    row = store.account(kitchen_id)
    if row is None:
        return False
    version = draw(store, now, kitchen_id)
    try:
        with _signed_in(tools, row) as server:
            bring_up_to_date(store, server, row, entries(store, now, kitchen_id), now)
    except CalendarError as error:
        wait = _WAITS_S[min(row.tries, len(_WAITS_S) - 1)]
        store.account_has_problem(kitchen_id, str(error), now + wait if error.again else _NEVER)
        return False
    store.account_is_good(kitchen_id, version, now)
    return True


def write_ours_again(store: Store, tools: Tools, now: int, kitchen_id: str, uid: str) -> None:
    """The person wants our version back of an event that was left alone. Raises NotHere, PlanError at "calendar"."""
    row = store.account(kitchen_id)
    posted = next((p for p in store.posted(kitchen_id) if p.uid == uid and p.hands_off), None)
    wanted = next((e for e in entries(store, now, kitchen_id) if e.uid == uid), None)
    if row is None or posted is None or wanted is None:
        raise NotHere(uid)
    try:
        with _signed_in(tools, row) as server:
            there = server.get(posted.url)
            remember(store, row, wanted, posted.url, write(server, posted.url, body_of(wanted, row), there))
    except (CalendarError, ChangedError) as error:
        raise PlanError.at("calendar", str(error), "Try again in a while.") from error


def ring_in_calendar(store: Store, tools: Tools, now: int, kitchen_id: str, new_id: Callable[[], str]) -> int:
    """Write an event that rings at the next full minute at least a minute away; that instant.

    Raises NotHere without an account, PlanError at "calendar" when it could not be written.
    """
    row = store.account(kitchen_id)
    if row is None:
        raise NotHere(kitchen_id)
    entry = ring_soon(now, new_id())
    url = url_of(row, entry.uid)
    try:
        with _signed_in(tools, row) as server:
            remember(store, row, entry, url, server.put_new(url, body_of(entry, row)))
    except (CalendarError, ChangedError) as error:
        raise PlanError.at("calendar", str(error), "Check the settings above.") from error
    return entry.start


def take_out_tests(store: Store, tools: Tools, now: int) -> None:
    """Test rings that have rung leave the calendar again; where that fails they are left to the person."""
    before = now - _TEST_KEPT_S
    for kitchen_id in store.kitchens_with_tests(before):
        row = store.account(kitchen_id)
        over = [p for p in store.posted(kitchen_id) if p.uid.endswith(TEST) and p.ends < before]
        try:
            with _signed_in(tools, row) as server:
                for posted in over:
                    take_out(store, server, kitchen_id, posted)
        except CalendarError:
            for posted in over:
                store.drop_posted(kitchen_id, posted.uid)


@contextmanager
def _signed_in(tools: Tools, row: AccountRow | None) -> Iterator[CalendarServer]:
    if row is None:
        raise CalendarError("There is no calendar account.", again=False)
    try:
        username, password = json.loads(tools.box.open(row.login))
    except UnreadableError as error:
        raise CalendarError(_LOST_KEY, again=False) from error
    with tools.server(Login(username, password)) as server:
        yield server


def _check_typed(address: str, username: str, password: str) -> None:
    for name, typed, what in (
        ("address", address, "the calendar server's address"),
        ("username", username, "your user name there"),
        ("password", password, "your password there"),
    ):
        if not typed.strip():
            raise PlanError.at(name, f"Enter {what}.", "")
        if len(typed) > _MOST_TYPED or not typed.isprintable():
            raise PlanError.at(name, "This cannot be right: too long, or with signs that cannot be typed.", "")
