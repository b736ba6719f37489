"""The calendar account of a kitchen: signing in, choosing a calendar, what pages show of it."""

from __future__ import annotations

import json
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import httpx

from webapp.core.errors import PlanError
from webapp.core.kinds import AlarmsFound, HandsOff
from webapp.machine.net_guard import Guard
from webapp.machine.secretbox import SecretBox, UnreadableError
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.finding import FoundCalendar, LookUp, calendar_at, find, service_of
from webapp.reminders.wire import CalendarError, Conversation, Login
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.ids import NotHere
from webapp.store.left_calendars import LeftRow
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as said
from webapp.words.problems.told import refused

UNTIL_MENDED = 2**40  # until the person does something
_PAGE_S = 900
_MOST_TYPED = 500


class NoLineError(CalendarError):
    """All our own lines are engaged; nothing was asked of the calendar's server."""


class LostKeyError(CalendarError):
    """The password cannot be read any more: only the person can mend that."""


@dataclass(frozen=True)
class Tools:
    """What reaches outside: the box that opens passwords, the guard that checks addresses."""

    box: SecretBox
    guard: Guard
    talk_s: float = 60.0  # how long one conversation may take
    trust: ssl.SSLContext | None = field(default=None, compare=False)  # whose certificates to believe, None: the usual
    look_up: LookUp = field(default=service_of, compare=False)
    lines: threading.BoundedSemaphore = field(default_factory=lambda: threading.BoundedSemaphore(2), compare=False)

    @contextmanager
    def server(self, login: Login, patience_s: float = 0.0) -> Iterator[CalendarServer]:
        """A conversation with a calendar server; NoLineError when all lines stay engaged for `patience_s` seconds."""
        with self._line(patience_s), CalendarServer(self.guard, login, talk_s=self.talk_s, trust=self.trust) as server:
            yield server

    @contextmanager
    def reader(self, most_bytes: int) -> Iterator[Conversation]:
        """A conversation without a login; CalendarError when all lines are engaged."""
        with (
            self._line(),
            Conversation(self.guard, talk_s=self.talk_s, trust=self.trust, most_bytes=most_bytes) as server,
        ):
            yield server

    @contextmanager
    def _line(self, patience_s: float = 0.0) -> Iterator[None]:
        """Slow servers must not hold every page up."""
        if not self.lines.acquire(timeout=patience_s):
            raise NoLineError(said.BUSY_WITH_OTHERS, again=True)
        try:
            yield
        finally:
            self.lines.release()


@dataclass(frozen=True)
class LeftAlone:
    """An event that is not as the bake wants it. `why`: moved (somebody changed its start: `theirs` against `ours`, to
    be answered), removed (somebody took it out), taken (it was there before us), astray (its
    server does not tell where it put it)."""

    uid: str
    title: str
    why: HandsOff
    ours: int = 0
    theirs: int = 0


@dataclass(frozen=True)
class AccountState:
    """The account as pages show it."""

    name: str
    calendar_url: str
    good_at: int  # when everything was last written, 0 = never yet
    next_try: int  # 0 or an instant, when something is wrong that may pass
    problem: str
    left_alone: tuple[LeftAlone, ...]
    refused: bool = False  # user name and password were not accepted
    alarms: AlarmsFound = ""  # "" while nothing was written with an alarm
    failing_since: int = 0  # when what is wrong went wrong, 0 = all is well


def trusting(authority: Path | None) -> ssl.SSLContext | None:
    """The usual authorities and the one in this file (PEM) that the server's owner named; None without a file."""
    if authority is None:
        return None
    trust = httpx.create_ssl_context(trust_env=False)
    trust.load_verify_locations(authority)
    return trust


def find_calendars(tools: Tools, address: str, username: str, password: str) -> tuple[FoundCalendar, ...]:
    """Sign in and look for calendars; nothing is kept. Raises PlanError at "address", "username" or "password".

    Who types name@provider as the address need not type it again as the user name (`user_name_from`).
    """
    username = user_name_from(address, username)
    _check_typed(address, username, password)
    try:
        with tools.server(Login(username, password)) as server:
            return find(server, address, tools.look_up)
    except CalendarError as error:
        raise _at_field(error) from error


def user_name_from(address: str, username: str) -> str:
    """The user name that was typed; without one, an address such as name@provider."""
    return username or (address.strip() if "@" in address and "/" not in address else "")


def chosen_calendar(tools: Tools, url: str, login: Login) -> FoundCalendar:
    """The calendar that was chosen, looked at again: an address from a form is not to be believed. Nothing in it is
    read. Raises PlanError."""
    _check_typed(url or "-", login.username, login.password)
    try:
        with tools.server(login) as server:
            found = calendar_at(server, url) if url else None
    except CalendarError as error:
        raise _at_field(error) from error
    if found is None:
        raise refused("calendar", *said.NONE_CHOSEN)
    return found


def _at_field(error: CalendarError) -> PlanError:
    if error.login:
        return refused("password", str(error), said.CHECK_BOTH)
    way_out = said.LATER if error.again else said.CHECK_ALL
    return refused("address", str(error), "" if error.final else way_out)


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
        raise refused("calendar", *said.PAGE_TOO_OLD)
    return Login(*rest)


def check_phone(store: Store, kitchen_id: str, phone_id: str) -> None:
    """While a server was waited for, the phone that asked may have left the kitchen. Raises NotHere."""
    if all(phone.phone_id != phone_id for phone in store.phones(kitchen_id)):
        raise NotHere(phone_id)


def connect(
    store: Store, tools: Tools, now: int, kitchen_id: str, login: Login, calendar_url: str, name: str, origin: str,
    phone_id: str = "",
) -> None:  # fmt: skip
    """Publish into this calendar from now on; the login is kept sealed. One that is just being left is left no more.

    Raises NotHere where the phone that asked (`phone_id`) has left the kitchen.
    """
    sealed = tools.box.seal(json.dumps([login.username, login.password]))
    with store.transaction():
        if phone_id:
            check_phone(store, kitchen_id, phone_id)
        store.put_account(kitchen_id, calendar_url, name, sealed, origin, now)
        store.take_back_left(kitchen_id, calendar_url)


def account_state(store: Store, kitchen_id: str) -> AccountState | None:
    """The kitchen's account, None when there is none."""
    row = store.account(kitchen_id)
    if row is None:
        return None
    alone = tuple(_left_alone(p) for p in store.posted(kitchen_id) if p.hands_off not in ("", "kept"))
    next_try = row.next_try if row.problem and row.next_try < UNTIL_MENDED else 0
    return AccountState(
        row.name, row.calendar_url, row.good_at, next_try, row.problem, alone, row.refused, row.alarms,
        row.failing_since,
    )  # fmt: skip


def moved_there(store: Store, kitchen_id: str, bake_id: str, now: int) -> tuple[LeftAlone, ...]:
    """Coming events of this bake whose start somebody changed in the calendar, to be asked about on its page."""
    return tuple(
        _left_alone(p)
        for p in store.posted(kitchen_id)
        if p.hands_off == "moved" and p.uid.startswith(f"{bake_id}-") and max(p.ends, p.their_start) > now
    )


def _left_alone(p: PostedRow) -> LeftAlone:
    return LeftAlone(p.uid, p.title, p.hands_off, p.plan_start, p.their_start)


@contextmanager
def signed_in(tools: Tools, row: AccountRow | LeftRow | None, patience_s: float = 0.0) -> Iterator[CalendarServer]:
    """A conversation under the kitchen's login. Raises CalendarError, NoLineError as `Tools.server`."""
    if row is None:
        raise CalendarError(said.NO_ACCOUNT, again=False)
    try:
        username, password = json.loads(tools.box.open(row.login))
    except UnreadableError as error:
        raise LostKeyError(said.LOST_KEY, again=False) from error
    with tools.server(Login(username, password), patience_s) as server:
        yield server


def user_name(store: Store, tools: Tools, kitchen_id: str) -> str:
    """Under which name the kitchen's calendar is written, "" when that cannot be read."""
    row = store.account(kitchen_id)
    try:
        return str(json.loads(tools.box.open(row.login))[0]) if row else ""
    except UnreadableError:
        return ""


def sign_in_again(store: Store, tools: Tools, now: int, kitchen_id: str, login: Login) -> None:
    """Another password for the calendar that is written already: what stands there stays known.

    Raises PlanError at "username" or "password", and what `chosen_calendar` raises; NotHere without an account, also
    where the calendar was left while its server was asked.
    """
    row = store.account(kitchen_id)
    if row is None:
        raise NotHere(kitchen_id)
    chosen_calendar(tools, row.calendar_url, login)
    with store.transaction():
        if store.account_at(kitchen_id, row.calendar_url) is None:
            raise NotHere(kitchen_id)
        connect(store, tools, now, kitchen_id, login, row.calendar_url, row.name, row.origin)


def _check_typed(address: str, username: str, password: str) -> None:
    for name, typed in (("address", address), ("username", username), ("password", password)):
        if not typed.strip():
            raise refused(name, said.ENTER[name])
        if len(typed) > _MOST_TYPED or not typed.isprintable():
            raise refused(name, said.CANNOT_BE_RIGHT)
