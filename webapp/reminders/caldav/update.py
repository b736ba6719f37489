"""One round of bringing somebody's calendar up to date: write, merge, take out.

Every event is looked at before it is written over: what a person changed there is kept (`merge`), and so it does not
matter whether a server's tags are strong, weak, missing or change by themselves. A tag that can be relied on goes along
as a condition, for what happens between our look and our writing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from urllib.parse import quote

from webapp.core.kitchen import NO_ALARM
from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.event_text import seen
from webapp.reminders.caldav.finding import address_of, check_stands
from webapp.reminders.caldav.merge import (
    UnreadableEventError,
    called_back,
    called_off,
    check_calendar,
    made_their_own,
    merge,
    rings,
    start_of,
    was_called_off,
    without_alarms,
)
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.store import Store

TEST = "-test@suppertide"
NOT_OURS = ("removed", "taken")
_LOOKS = 3
_There = tuple[str, bytes] | None  # (ETag, body) of what stands there


def bring_up_to_date(store: Store, server: CalendarServer, row: AccountRow, shown: tuple[Entry, ...], now: int) -> None:
    """Make the calendar show these events. Raises CalendarError; what was written until then is remembered.

    One event that the server does not take does not keep the others out: it is said at the end.
    """
    wanted = {e.uid: e for e in shown if not e.cancelled}
    posted = {p.uid: p for p in store.posted(row.kitchen_id)}
    work: list[Callable[[], None]] = []
    for uid, held in posted.items():
        if uid not in wanted and not uid.endswith(TEST):
            work.append(lambda held=held: _leave(store, server, row.kitchen_id, held, now))  # type: ignore[misc]
    for uid, entry in wanted.items():
        held_now = posted.get(uid)
        if held_now is None and entry.end > now:  # the past is not written into a calendar afterwards
            work.append(lambda entry=entry: _post_new(store, server, row, entry))  # type: ignore[misc]
        elif held_now is not None and _is_behind(held_now, entry, look=row.synced < 0):
            work.append(lambda e=entry, h=held_now: post_again(store, server, row, e, h, now))  # type: ignore[misc]
    _do_all(work)


def _do_all(work: list[Callable[[], None]]) -> None:
    refused: CalendarError | None = None
    for one in work:
        try:
            one()
        except CalendarError as error:
            if error.again or error.login:
                raise
            refused = refused or error
    if refused:
        raise refused


def _is_behind(held: PostedRow, entry: Entry, look: bool) -> bool:
    """Whether to look at an event of ours again: it is out of date, or everything is to be looked at (`look`)."""
    return held.hands_off != "taken" and (look or held.fingerprint != entry.fingerprint())


def _post_new(store: Store, server: CalendarServer, row: AccountRow, entry: Entry) -> None:
    """Write an event that we have not written before; when something stands there already, find out whose it is."""
    url, body = url_of(row, entry.uid), body_of(entry, row)
    try:
        etag = server.put_new(url, body)
    except ChangedError:
        if server.get(url) is None:  # the name is taken, the place is not: added from a file before
            url = address_of(server, row.calendar_url, entry.uid) or url
        settled(server, url, lambda there, tag: _adopt(store, server, row, entry, url, there, tag))
        return
    remember(store, row, entry, url, etag)
    read_back(store, server, row, entry, url)


def _adopt(
    store: Store, server: CalendarServer, row: AccountRow, entry: Entry, url: str, there: _There, tag: str
) -> None:
    """An event of our name stands there: written by us with the answer lost, or from an added file. It is ours when
    it starts where ours starts or nobody but us wrote it; then its additions are kept and the rest follows."""
    body = body_of(entry, row)
    if there is None or not _is_our_writing(there[1], body):
        remember(store, row, entry, url, there[0] if there else "", hands_off="taken")
        return
    back = called_back(there[1], body)
    etag = there[0] if seen(there[1]) == seen(body) else server.put_changed(url, merge(body, back, body), tag)
    remember(store, row, entry, url, etag)


def _is_our_writing(there: bytes, body: bytes) -> bool:
    try:
        ours = b"PRODID:-//Suppertide//" in there or was_called_off(there)
        return ours or start_of(there) == start_of(body)
    except UnreadableEventError:
        return False


def post_again(
    store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow, now: int, ours: bool = False
) -> None:
    """Bring one event up to date, keeping what somebody changed there. `ours`: its start is to be ours again."""

    def write(there: _There, tag: str) -> None:
        if there is None:  # what we wrote last stays known, for when it is put back
            gone = replace(held, fingerprint=entry.fingerprint(), ends=entry.end, hands_off="removed")
            store.put_posted(row.kitchen_id, replace(gone, title=entry.title))
            return
        try:
            moved = 0 if ours or entry.end <= now else moved_to(held, there[1], entry)
            merged = _merged(row, held, there[1], body_of(entry, row), entry.end <= now, moved > 0)
        except UnreadableEventError:
            remember(store, row, entry, held.url, there[0], hands_off="taken")
            return
        same = not ours and held.fingerprint == entry.fingerprint()
        etag = there[0] if same else server.put_changed(held.url, merged, tag)
        remember(store, row, entry, held.url, etag, hands_off=asked_of(held, entry, moved), their_start=moved)
        if not same and rings(merged):
            read_back(store, server, row, entry, held.url)

    settled(server, held.url, write)


def put_back(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow) -> None:
    """Our whole event again, in place of whatever stands there."""

    def write(there: _There, tag: str) -> None:
        body = body_of(entry, row)
        etag = server.put_changed(held.url, body, tag) if there else server.put_new(held.url, body)
        remember(store, row, entry, held.url, etag)

    settled(server, held.url, write)


def _merged(row: AccountRow, held: PostedRow, there: bytes, want: bytes, over: bool, their_start: bool) -> bytes:
    base = held.body.encode()
    if row.alarms == "lost":  # that they are not there is the server's doing, not a person's
        base = without_alarms(base)
    return merge(base, there, want, over=over, their_start=their_start)


def moved_to(held: PostedRow, there: bytes, entry: Entry) -> int:
    """Where somebody moved the event, 0 when it stands where we put it (or want it). Raises UnreadableEventError."""
    theirs = start_of(there)
    return 0 if theirs in (start_of(held.body.encode()), entry.start) else theirs


def asked_of(held: PostedRow, entry: Entry, moved: int) -> str:
    """A start that somebody changed is asked about, once for each of ours: "moved" asks, "kept" is the answer."""
    if not moved:
        return ""
    answered = held.hands_off == "kept" and (held.plan_start, held.their_start) == (entry.start, moved)
    return "kept" if answered else "moved"


def _leave(store: Store, server: CalendarServer, kitchen_id: str, held: PostedRow, now: int) -> None:
    """An event that is not wanted any more: what is over stays in the calendar as a record, the rest is taken out."""
    if held.ends <= now and not held.their_start > now:
        store.drop_posted(kitchen_id, held.uid)
    else:
        take_out(store, server, kitchen_id, held)


def take_out(store: Store, server: CalendarServer, kitchen_id: str, held: PostedRow) -> None:
    """Delete one of our events. One that somebody made their own stays as a record, cancelled, and rings no more."""

    def leave(there: _There, tag: str) -> None:
        if there is None:
            return
        if _is_theirs(held, there[1]):
            server.put_changed(held.url, called_off(there[1]), tag)
        else:
            server.delete(held.url, tag)

    if held.hands_off != "taken":
        settled(server, held.url, leave)
    store.drop_posted(kitchen_id, held.uid)


def _is_theirs(held: PostedRow, there: bytes) -> bool:
    try:
        return made_their_own(held.body.encode(), there)
    except UnreadableEventError:
        return False


def settled(server: CalendarServer, url: str, act: Callable[[_There, str], None]) -> None:
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
    raise CalendarError("The calendar server says that the event changes all the time.", again=True)


def what_stands(server: CalendarServer, url: str) -> _There:
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
        raise CalendarError("The calendar server answers with something that is no calendar.", again=True) from error
    return there


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
    found = "live" if rings(there[1]) else "lost"
    store.alarms_seen(row.kitchen_id, found)
    if (row.alarms, found) == ("lost", "live"):
        _write_alarms_again(store, row.kitchen_id)


def _write_alarms_again(store: Store, kitchen_id: str) -> None:
    for held in store.posted(kitchen_id):
        bare = without_alarms(held.body.encode()).decode()
        store.put_posted(kitchen_id, replace(held, body=bare, fingerprint=""))


def remember(
    store: Store, row: AccountRow, entry: Entry, url: str, etag: str, hands_off: str = "", their_start: int = 0
) -> None:
    """Keep what we wanted there: the common ground of the next merge."""
    body = body_of(entry, row).decode()
    store.put_posted(
        row.kitchen_id,
        PostedRow(
            entry.uid, url, etag, entry.fingerprint(), body, entry.end, hands_off, entry.title, entry.start, their_start
        ),
    )


def body_of(entry: Entry, row: AccountRow) -> bytes:
    """The event as the server is given it."""
    return write_calendar([entry], origin=row.origin)


def url_of(row: AccountRow, uid: str) -> str:
    """Where an event of ours stands in the calendar."""
    return f"{row.calendar_url.rstrip('/')}/{quote(uid.partition('@')[0], safe='')}.ics"
