"""One round of bringing somebody's calendar up to date: write, move, take out, and leave alone what is not ours.

Nothing is written over that is not as we left it. What a 412 means is found out by looking at what is there.
"""

from __future__ import annotations

from urllib.parse import quote

from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.event_text import seen
from webapp.reminders.ics import Entry, write_calendar
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.store import Store

TEST = "-test@suppertide"


def bring_up_to_date(store: Store, server: CalendarServer, row: AccountRow, shown: tuple[Entry, ...], now: int) -> None:
    """Make the calendar show these events. Raises CalendarError; what was written until then is remembered."""
    wanted = {e.uid: e for e in shown if not e.cancelled}
    posted = {p.uid: p for p in store.posted(row.kitchen_id)}
    for uid, entry in wanted.items():
        held = posted.get(uid)
        if held is None and entry.end <= now:
            continue  # the past is not written into a calendar afterwards
        if held is None or (not held.hands_off and held.fingerprint != entry.fingerprint()):
            _post(store, server, row, entry, held)
    for uid, held in posted.items():
        if uid in wanted or uid.endswith(TEST):
            continue
        if held.hands_off or held.ends <= now:
            store.drop_posted(row.kitchen_id, uid)  # what is over stays in the calendar as a record
        else:
            take_out(store, server, row.kitchen_id, held)


def _post(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow | None) -> None:
    """Write one event, new or over our own last version; find out whose it is when the server says 412."""
    url = held.url if held else url_of(row, entry.uid)
    body = body_of(entry, row)
    try:
        etag = server.put_changed(url, body, held.etag) if held else server.put_new(url, body)
    except ChangedError:
        there = server.get(url)
        why = _whose(there, body, held)
        if why:
            remember(store, row, entry, url, there[0] if there else "", hands_off=why)
            return
        assert there is not None, "an event that is ours is there"
        etag = there[0] if seen(there[1]) == seen(body) else write(server, url, body, there)
    if not etag:  # RFC 4791 5.3.4: a server may keep the ETag back; then ask what it made of our bytes
        there = server.get(url)
        etag = there[0] if there else ""
    remember(store, row, entry, url, etag)


def _whose(there: tuple[str, bytes] | None, body: bytes, held: PostedRow | None) -> str:
    """Why to leave the event alone; "" when what is there is our own: what we just wrote (a reply was lost) or what
    we wrote last (the server or a dismissed alarm touched it, nothing that a person would see)."""
    if there is None:
        return "removed" if held else "taken"
    now_says = seen(there[1])
    if now_says == seen(body) or (held is not None and now_says == seen(held.body.encode())):
        return ""
    return "changed" if held else "taken"


def write(server: CalendarServer, url: str, body: bytes, there: tuple[str, bytes] | None) -> str:
    """Write over what `server.get` found there (None: nothing); the new ETag."""
    return server.put_changed(url, body, there[0]) if there else server.put_new(url, body)


def take_out(store: Store, server: CalendarServer, kitchen_id: str, posted: PostedRow) -> None:
    """Delete one of our events, unless somebody made it their own; it is forgotten in either case."""
    try:
        server.delete(posted.url, posted.etag)
    except ChangedError:
        there = server.get(posted.url)
        if there and seen(there[1]) == seen(posted.body.encode()):
            server.delete(posted.url, there[0])
        # else somebody made it their own: it stays, and we forget it
    store.drop_posted(kitchen_id, posted.uid)


def remember(store: Store, row: AccountRow, entry: Entry, url: str, etag: str, hands_off: str = "") -> None:
    """Keep what was written, to recognise it later."""
    body = body_of(entry, row).decode()
    written = PostedRow(entry.uid, url, etag, entry.fingerprint(), body, entry.end, hands_off, entry.title)
    store.put_posted(row.kitchen_id, written)


def body_of(entry: Entry, row: AccountRow) -> bytes:
    """The event as the server is given it."""
    return write_calendar([entry], origin=row.origin)


def url_of(row: AccountRow, uid: str) -> str:
    """Where an event of ours stands in the calendar."""
    return f"{row.calendar_url.rstrip('/')}/{quote(uid.partition('@')[0], safe='')}.ics"
