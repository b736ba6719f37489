"""What stands at an address of somebody's calendar: looked at, acted on, remembered."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import replace
from urllib.parse import quote

from webapp.core.kinds import AlarmsFound, HandsOff
from webapp.core.kitchen import NO_ALARM
from webapp.reminders.caldav.alarms import rings, without_alarms
from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.event_text import seen
from webapp.reminders.caldav.finding import address_of, check_stands
from webapp.reminders.caldav.merge import check_calendar
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as said

There = tuple[str, bytes] | None  # (ETag, body) of what stands there
_LOOKS = 3


class LeftMeanwhileError(Exception):
    """The kitchen left this calendar, or signed in to it anew, while it was written. `written` is what stands there, or
    may, that nobody who left it knew of."""

    def __init__(self, written: PostedRow | None = None) -> None:
        """`written`: None when nothing was."""
        super().__init__("left meanwhile")
        self.written = written


def settled(server: CalendarServer, url: str, act: Callable[[There, str], None]) -> None:
    """Look at what stands there and act on it, under its tag where that can be relied on.

    When the server says that it changed meanwhile, look again; when it did not change and the tag did, the tag means
    nothing. Raises CalendarError when somebody keeps changing it.
    """
    there = what_stands(server, url)
    tag = there[0] if there else ""
    for _ in range(_LOOKS):
        try:
            act(there, tag)
        except ChangedError:
            again = what_stands(server, url)
            same = again is not None and there is not None and seen(again[1]) == seen(there[1])
            there, tag = again, "" if same else (again[0] if again else "")
        else:
            return
    raise CalendarError(said.ALWAYS_CHANGES, again=True)


def what_stands(server: CalendarServer, url: str) -> There:
    """What stands at that address in the calendar; None only when the calendar answers and it is not in there.

    Raises CalendarError: an answer that is no calendar is trouble of the server's, and says nothing of the event.
    """
    there = server.get(url)
    if there is None:
        check_stands(server, f"{url.rpartition('/')[0]}/")
        return None
    try:
        check_calendar(there[1])
    except UnreadableEventError as error:
        raise CalendarError(said.NO_EVENT, again=True) from error
    return there


def found_elsewhere(server: CalendarServer, calendar_url: str, held: PostedRow) -> PostedRow | None:
    """An event that does not stand where we wrote it, with the address under which its server keeps it; None when it
    is not in the calendar, or the server cannot tell.

    Raises CalendarError, where the server names the event and does not have it too: that is trouble of the server's,
    and says nothing of what a person did.
    """
    url = address_of(server, calendar_url, held.uid)
    if not url:
        return None
    there = None if url == held.url else what_stands(server, url)
    if there is None:
        raise CalendarError(said.NAMED_AND_MISSING, again=False)  # of this event alone: the others are tried
    return replace(held, url=url) if held.uid.encode() in unfolded(there[1]) else None


def unfolded(body: bytes) -> bytes:
    """With its long lines in one piece (RFC 5545 3.1)."""
    return re.sub(rb"\r?\n[ \t]", b"", body)


def read_back(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, url: str) -> None:
    """Whether alarms live in this calendar: found out in each conversation, from the first event written with one.

    When they live again, every event that stands there without is to be written again.
    """
    if server.alarms_checked or entry.alarm_min == NO_ALARM:
        return
    there = what_stands(server, url)
    if there is None:
        return
    server.alarms_checked = True
    found: AlarmsFound = "live" if rings(there[1]) else "lost"
    store.alarms_seen(row.kitchen_id, found)
    if (row.alarms, found) == ("lost", "live"):
        _write_alarms_again(store, row.kitchen_id)


def _write_alarms_again(store: Store, kitchen_id: str) -> None:
    for held in store.posted(kitchen_id):
        bare = without_alarms(held.body.encode()).decode()
        store.put_posted(kitchen_id, replace(held, body=bare, fingerprint=""))


def remember(
    store: Store, row: AccountRow, entry: Entry, url: str, etag: str, hands_off: HandsOff = "", their_start: int = 0
) -> None:
    """Keep what we wanted there: the common ground of the next merge. Raises LeftMeanwhileError."""
    keep(store, row, replace(as_wanted(row, entry, url), etag=etag, hands_off=hands_off, their_start=their_start))


def as_wanted(row: AccountRow, entry: Entry, url: str) -> PostedRow:
    """The event as it stands once it is written there."""
    body = body_of(entry, row).decode()
    return PostedRow(entry.uid, url, "", entry.fingerprint(), body, entry.end, "", entry.title, entry.start)


def keep(store: Store, row: AccountRow, posted: PostedRow) -> None:
    """What is known of this calendar's event from now on. Raises LeftMeanwhileError: pages and the background write
    and leave beside each other."""
    with store.transaction():
        if store.account_at(row.kitchen_id, row.calendar_url) is None:
            raise LeftMeanwhileError(posted)
        store.put_posted(row.kitchen_id, posted)


def check_present(store: Store, row: AccountRow, may_stand: PostedRow | None = None) -> None:
    """Go on only while the kitchen writes this calendar under this very login. Raises LeftMeanwhileError."""
    present = store.account_at(row.kitchen_id, row.calendar_url)
    if present is None:
        raise LeftMeanwhileError(may_stand)
    if present.login != row.login:  # signed in anew: another round writes it all
        raise LeftMeanwhileError


def body_of(entry: Entry, row: AccountRow) -> bytes:
    """The event as the server is given it."""
    writer = hashlib.sha256(f"{row.kitchen_id} {row.calendar_url}".encode()).hexdigest()[:16]
    return write_calendar([entry], origin=row.origin, writer=writer)


def url_of(row: AccountRow, uid: str) -> str:
    """Where an event of ours stands in the calendar."""
    return f"{row.calendar_url.rstrip('/')}/{quote(uid.partition('@')[0], safe='')}.ics"
