"""Taking our events out of somebody's calendar, so that none of them rings there any more."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from webapp.reminders.caldav.adopting import is_our_writing
from webapp.reminders.caldav.alarms import rings_after, silenced
from webapp.reminders.caldav.at_address import There, found_elsewhere, settled
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.merge import as_it_came, called_off, is_off, made_their_own, writer_of
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import PostedRow
from webapp.words.problems import calendar_servers as said

PUT_OFF_S = (
    14 * 86400
)  # how long after a step somebody may have put its ring off to: as long as bakes stay in calendars

_Act = Callable[[PostedRow, There, str], None]


def is_to_come(held: PostedRow, now: int) -> bool:
    """Whether the event is still ahead of us, by our time or by the one that somebody gave it."""
    return max(held.ends, held.their_start) > now


def may_ring(held: PostedRow, now: int) -> bool:
    """Whether it is worth a look: also what is over may ring, put off by somebody."""
    return is_to_come(held, now) or held.ends > now - PUT_OFF_S


def clear(server: CalendarServer, calendar_url: str, held: PostedRow, now: int) -> None:
    """Of this event of ours nothing rings any more: what is to come is taken out, what is over stays as a record.

    Raises CalendarError.
    """
    if is_to_come(held, now):
        take_out(server, calendar_url, held)
    elif may_ring(held, now):
        _wherever(server, calendar_url, held, partial(_hush, server, now))


def take_out(server: CalendarServer, calendar_url: str, held: PostedRow) -> None:
    """Delete one of our events. One that somebody made their own stays as a record, cancelled, and rings no more; so
    does one that the server lets nobody delete.

    Raises CalendarError.
    """
    _wherever(server, calendar_url, held, partial(_off, server))


def take_out_second(server: CalendarServer, second: PostedRow) -> None:
    """Take out what stands at this address beside ours, under the same name, if it is our writing.

    Raises CalendarError.
    """
    settled(server, second.url, lambda there, tag: _off(server, second, there, tag, is_known=False))


def _wherever(server: CalendarServer, calendar_url: str, held: PostedRow, act: _Act) -> None:
    """Act on the event where we wrote it, or where its server keeps it without having told us; never on one that
    another connection has taken up since: it rings for that one."""

    def ours(held: PostedRow, there: There, tag: str) -> None:
        if there is None or not _is_anothers(held, there[1]):
            act(held, there, tag)

    def look(there: There, tag: str) -> None:
        elsewhere = found_elsewhere(server, calendar_url, held) if there is None else None
        if elsewhere:
            settled(server, elsewhere.url, partial(ours, elsewhere))
        else:
            ours(held, there, tag)

    settled(server, held.url, look)


def _is_anothers(held: PostedRow, there: bytes) -> bool:
    """No mark says nothing: the event is older than marks, or a program threw it away."""
    try:
        return writer_of(there) not in ("", writer_of(held.body.encode()))
    except UnreadableEventError:
        return False


def _off(server: CalendarServer, held: PostedRow, there: There, tag: str, is_known: bool = True) -> None:
    if there is None and held.hands_off == "astray":
        raise CalendarError(said.ASTRAY, again=False)
    is_known = is_known and held.hands_off != "taken"
    if there is None or not (is_known or is_our_writing(there[1], held.body.encode())):
        return
    if _is_theirs(held, there[1], is_known):
        server.put_changed(held.url, called_off(there[1]), tag)
    else:
        _delete(server, held, there[1], tag)


def _delete(server: CalendarServer, held: PostedRow, there: bytes, tag: str) -> None:
    """Where nothing may be deleted but events may be changed, it is called off and rings no more."""
    try:
        server.delete(held.url, tag)
    except CalendarError as error:
        if error.again or error.login:
            raise
        try:
            if not is_off(there):
                server.put_changed(held.url, called_off(there), tag)
        except (CalendarError, UnreadableEventError):
            raise error from None


def _is_theirs(held: PostedRow, there: bytes, is_known: bool) -> bool:
    base = held.body.encode()
    try:
        return made_their_own(base if is_known else as_it_came(there, base), there)
    except UnreadableEventError:
        return False


def _hush(server: CalendarServer, now: int, held: PostedRow, there: There, tag: str) -> None:
    if there and _rings_for_us(held, there[1], now):
        server.put_changed(held.url, silenced(there[1]), tag)


def _rings_for_us(held: PostedRow, there: bytes, now: int) -> bool:
    if held.hands_off == "taken" and not is_our_writing(there, held.body.encode()):
        return False
    try:
        return rings_after(there, now)
    except UnreadableEventError:
        return False
