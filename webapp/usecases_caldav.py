"""Publishing into the person's own calendar: set it up, keep it right, respect what others change there.

Nothing is written over that is not as we left it. An event that somebody changed, moved or took out is left alone from
then on (`hands_off`), and the person is told. A server that is down is tried again, at growing distances.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from urllib.parse import quote

from webapp.caldav import CalendarError, CalendarServer, ChangedError, FoundCalendar, Login
from webapp.core.errors import PlanError
from webapp.ics import Entry, write_calendar
from webapp.net_guard import Guard
from webapp.same_event import seen
from webapp.secretbox import SecretBox, UnreadableError
from webapp.store import Store
from webapp.store.calendars import AccountRow, PostedRow
from webapp.usecases import NotHere
from webapp.usecases_reminders import draw, entries, ring_soon

_WAITS_S = (60, 120, 300, 900, 1800, 3600)  # after the first, second, ... failure; then hourly
_NEVER = 2**40  # until the person does something
_TEST_KEPT_S = 600  # a test ring is taken out so long after it rang
_MOST_TYPED = 500
_TEST = "-test@suppertide"
_LOST_KEY = "The server's key was lost, and your password with it. Set the calendar up again."


@dataclass(frozen=True)
class Tools:
    """What reaches outside: the box that opens passwords, the guard that checks addresses."""

    box: SecretBox
    guard: Guard


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
        with CalendarServer(tools.guard, Login(username, password)) as server:
            return server.find(address)
    except CalendarError as error:
        field = "password" if "password" in str(error) else "address"
        way_out = "Try again in a while." if error.again else "Check the address, the name and the password."
        raise PlanError.at(field, str(error), way_out) from error


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
                _take_out(store, server, kitchen_id, posted)
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
            _bring_up_to_date(store, server, row, entries(store, now, kitchen_id), now)
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
            _remember(store, row, wanted, posted.url, _write(server, posted.url, _body(wanted, row), there))
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
    url = _url_of(row, entry.uid)
    try:
        with _signed_in(tools, row) as server:
            _remember(store, row, entry, url, server.put_new(url, _body(entry, row)))
    except (CalendarError, ChangedError) as error:
        raise PlanError.at("calendar", str(error), "Check the settings above.") from error
    return entry.start


def take_out_tests(store: Store, tools: Tools, now: int) -> None:
    """Test rings that have rung leave the calendar again; where that fails they are left to the person."""
    before = now - _TEST_KEPT_S
    for kitchen_id in store.kitchens_with_tests(before):
        row = store.account(kitchen_id)
        over = [p for p in store.posted(kitchen_id) if p.uid.endswith(_TEST) and p.ends < before]
        try:
            with _signed_in(tools, row) as server:
                for posted in over:
                    _take_out(store, server, kitchen_id, posted)
        except CalendarError:
            for posted in over:
                store.drop_posted(kitchen_id, posted.uid)


# -- one round


def _bring_up_to_date(
    store: Store, server: CalendarServer, row: AccountRow, shown: tuple[Entry, ...], now: int
) -> None:
    wanted = {e.uid: e for e in shown if not e.cancelled}
    posted = {p.uid: p for p in store.posted(row.kitchen_id)}
    for uid, entry in wanted.items():
        held = posted.get(uid)
        if held is None and entry.end <= now:
            continue  # the past is not written into a calendar afterwards
        if held is None or (not held.hands_off and held.fingerprint != entry.fingerprint()):
            _post(store, server, row, entry, held)
    for uid, held in posted.items():
        if uid in wanted or uid.endswith(_TEST):
            continue
        if held.hands_off or held.ends <= now:
            store.drop_posted(row.kitchen_id, uid)  # what is over stays in the calendar as a record
        else:
            _take_out(store, server, row.kitchen_id, held)


def _post(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow | None) -> None:
    """Write one event, new or over our own last version; find out whose it is when the server says 412."""
    url = held.url if held else _url_of(row, entry.uid)
    body = _body(entry, row)
    try:
        etag = server.put_changed(url, body, held.etag) if held else server.put_new(url, body)
    except ChangedError:
        there = server.get(url)
        why = _whose(there, body, held)
        if why:
            _remember(store, row, entry, url, there[0] if there else "", hands_off=why)
            return
        assert there is not None, "an event that is ours is there"
        etag = there[0] if seen(there[1]) == seen(body) else _write(server, url, body, there)
    if not etag:  # RFC 4791 5.3.4: a server may keep the ETag back; then ask what it made of our bytes
        there = server.get(url)
        etag = there[0] if there else ""
    _remember(store, row, entry, url, etag)


def _whose(there: tuple[str, bytes] | None, body: bytes, held: PostedRow | None) -> str:
    """Why to leave the event alone; "" when what is there is our own: what we just wrote (a reply was lost) or what
    we wrote last (the server or a dismissed alarm touched it, nothing that a person would see)."""
    if there is None:
        return "removed" if held else "taken"
    now_says = seen(there[1])
    if now_says == seen(body) or (held is not None and now_says == seen(held.body.encode())):
        return ""
    return "changed" if held else "taken"


def _write(server: CalendarServer, url: str, body: bytes, there: tuple[str, bytes] | None) -> str:
    return server.put_changed(url, body, there[0]) if there else server.put_new(url, body)


def _take_out(store: Store, server: CalendarServer, kitchen_id: str, posted: PostedRow) -> None:
    try:
        server.delete(posted.url, posted.etag)
    except ChangedError:
        there = server.get(posted.url)
        if there and seen(there[1]) == seen(posted.body.encode()):
            server.delete(posted.url, there[0])
        # else somebody made it their own: it stays, and we forget it
    store.drop_posted(kitchen_id, posted.uid)


def _remember(store: Store, row: AccountRow, entry: Entry, url: str, etag: str, hands_off: str = "") -> None:
    body = _body(entry, row).decode()
    written = PostedRow(entry.uid, url, etag, entry.fingerprint(), body, entry.end, hands_off, entry.title)
    store.put_posted(row.kitchen_id, written)


def _body(entry: Entry, row: AccountRow) -> bytes:
    return write_calendar([entry], origin=row.origin)


def _url_of(row: AccountRow, uid: str) -> str:
    return f"{row.calendar_url.rstrip('/')}/{quote(uid.partition('@')[0], safe='')}.ics"


@contextmanager
def _signed_in(tools: Tools, row: AccountRow | None) -> Iterator[CalendarServer]:
    if row is None:
        raise CalendarError("There is no calendar account.", again=False)
    try:
        username, password = json.loads(tools.box.open(row.login))
    except UnreadableError as error:
        raise CalendarError(_LOST_KEY, again=False) from error
    with CalendarServer(tools.guard, Login(username, password)) as server:
        yield server


def _check_typed(address: str, username: str, password: str) -> None:
    for field, typed, what in (
        ("address", address, "the calendar server's address"),
        ("username", username, "your user name there"),
        ("password", password, "your password there"),
    ):
        if not typed.strip():
            raise PlanError.at(field, f"Enter {what}.", "")
        if len(typed) > _MOST_TYPED or not typed.isprintable():
            raise PlanError.at(field, "This cannot be right: too long, or with signs that cannot be typed.", "")
