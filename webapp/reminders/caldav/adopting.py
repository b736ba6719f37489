"""Events of ours that are not known to stand in a calendar yet: written, or found there and taken up.

One may stand there already: written by us with the answer lost, or added from a file. Where a calendar allows one name
twice nobody would say so, and the step would ring twice: so it is asked which names of ours stand there.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from webapp.reminders.caldav.alarms import rings
from webapp.reminders.caldav.at_address import There, body_of, read_back, remember, settled, unfolded, url_of
from webapp.reminders.caldav.client import CalendarServer, ChangedError, Written
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.event_text import seen
from webapp.reminders.caldav.finding import address_of, addresses_in, names_between
from webapp.reminders.caldav.merge import as_it_came, called_back, is_of, merge, was_called_off, writer_of
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as said

_MOST_READ = 5  # of the addresses that are new, others may be somebody's who writes at the same time
_AROUND_S = 7 * 86400  # a plan may have moved since it was added from a file


def stand_already(server: CalendarServer, row: AccountRow, around: Sequence[int]) -> dict[str, tuple[str, ...]]:
    """Where events of ours stand in the calendar around these instants, by name, as far as it tells: a server that
    cannot be asked says nothing. Raises CalendarError where asking further is of no use."""
    if not around:
        return {}
    try:
        return names_between(server, row.calendar_url, min(around) - _AROUND_S, max(around) + _AROUND_S)
    except CalendarError as error:
        if error.again or error.login:
            raise
        return {}


def post_new(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, stands_at: tuple[str, ...]) -> None:
    """Write an event that we have not written before; when it stands there already, find out whose it is."""
    if any(held.hands_off == "astray" for held in store.posted(row.kitchen_id)):
        raise CalendarError(said.ASTRAY, again=False)  # this would go astray too, and ring
    url = url_of(row, entry.uid)
    if stands_at:
        seek(store, server, row, entry, url if url in stands_at else stands_at[0])
        return
    try:
        write_new(store, server, row, entry)
    except ChangedError:
        if server.get(url) is None:  # the name is taken, the place is not: added from a file before
            url = address_of(server, row.calendar_url, entry.uid) or url
        seek(store, server, row, entry, url)


def write_new(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, url: str = "") -> None:
    """Write it where nothing of ours stands (`url`: there), see where its server keeps it, and whether it rings.

    Raises ChangedError when something is there, CalendarError.
    """
    written = server.put_new(url or url_of(row, entry.uid), body_of(entry, row))
    found = _standing(server, row, entry, written)
    remember(store, row, entry, (found or written).url, (found or written).etag, hands_off="" if found else "astray")
    if found is None:
        raise CalendarError(said.ASTRAY, again=False)
    read_back(store, server, row, entry, found.url)


def _standing(server: CalendarServer, row: AccountRow, entry: Entry, written: Written) -> Written | None:
    """Where it stands: some servers keep an event at an address of their own and say so nowhere. One that cannot be
    asked for a name (`stand_already`) has one address more than before: only that is read. None where it is not."""
    before = server.addresses
    if before is None or server.keeps_addresses or written.url in before:
        return written
    with suppress(CalendarError):  # it is written, whatever comes now: the next round looks again
        if server.get(written.url):
            server.keeps_addresses = True
            return written
        server.addresses = addresses_in(server, row.calendar_url)
        for url in sorted(server.addresses - before)[:_MOST_READ]:
            there = server.get(url)
            if there and entry.uid.encode() in unfolded(there[1]):
                return Written(url, there[0])
    return None


def seek(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, url: str) -> None:
    """Take up what stands at that address, if it is ours; write ours where nothing stands."""
    settled(server, url, lambda there, tag: _adopt(store, server, row, entry, url, there, tag))


def _adopt(
    store: Store, server: CalendarServer, row: AccountRow, entry: Entry, url: str, there: There, tag: str
) -> None:
    """An event of our name stands there: written by us with the answer lost, or from an added file. What is ours keeps
    its additions, and the rest follows."""
    body = body_of(entry, row)
    if there is None:
        write_new(store, server, row, entry, url)
        return
    if not is_our_writing(there[1], body):
        remember(store, row, entry, url, there[0], hands_off="taken")
        return
    from_file = write_calendar([entry], origin=row.origin)
    merged = merge(as_it_came(there[1], from_file), called_back(there[1], body), body)
    # Who wrote it before may be leaving just now, and is to see that it is ours.
    same = seen(there[1]) == seen(body) and writer_of(there[1]) == writer_of(body)
    etag = there[0] if same else server.put_changed(url, merged, tag)
    remember(store, row, entry, url, etag)
    if rings(merged):
        read_back(store, server, row, entry, url)


def is_our_writing(there: bytes, body: bytes) -> bool:
    """Whether what stands under our name came from us, by whatever way: it names us as its maker, or starts, is called
    or leads where ours does. A calendar program that took it from a file names itself as the maker."""
    try:
        return b"PRODID:-//Suppertide//" in there or was_called_off(there) or is_of(there, body)
    except UnreadableEventError:
        return False
