"""One round of bringing somebody's calendar up to date: write, merge, take out.

Every event is looked at before it is written over: what a person changed there is kept (`merge`), and so it does not
matter whether a server's tags are strong, weak, missing or change by themselves. A tag that can be relied on goes along
as a condition, for what happens between our look and our writing.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from webapp.core.kinds import HandsOff
from webapp.reminders.caldav.adopting import post_new, seek, stand_already, write_new
from webapp.reminders.caldav.alarms import rings, without_alarms
from webapp.reminders.caldav.at_address import (
    LeftMeanwhileError,
    There,
    as_wanted,
    body_of,
    check_present,
    found_elsewhere,
    keep,
    read_back,
    remember,
    settled,
    url_of,
)
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.merge import merge, start_of
from webapp.reminders.caldav.taking_out import clear, is_to_come, take_out_second
from webapp.reminders.ics import Entry
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as said

TEST = "-test@suppertide"
NOT_OURS = ("removed", "taken")

_IN_TROUBLE = 3  # answers of trouble with none that is well: it is the whole server
_MOST_NAMED = 3

# The event's title, what is to be done, and the event that may stand there afterwards although the answer was lost.
Work = tuple[str, Callable[[], None], PostedRow | None]

log = logging.getLogger(__name__)


def bring_up_to_date(store: Store, server: CalendarServer, row: AccountRow, shown: tuple[Entry, ...], now: int) -> None:
    """Make the calendar show these events. Raises CalendarError, LeftMeanwhileError; what was written until then is
    remembered.

    One event that the server does not take, or answers about with trouble, does not keep the others out: it is named at
    the end. Which comes first changes from try to try, so that some at the head that hang do not either.
    """
    wanted = {e.uid: e for e in shown if not e.cancelled}
    posted = {p.uid: p for p in store.posted(row.kitchen_id)}
    new = [e for uid, e in wanted.items() if uid not in posted and e.end > now]  # the past is not written afterwards
    off = [held for uid, held in posted.items() if uid not in wanted and not uid.endswith(TEST)]
    behind = [
        (wanted[uid], held) for uid, held in posted.items() if uid in wanted and _is_behind(held, wanted[uid], row)
    ]
    coming = [max(e.start, now) for e in (*new, *(e for e, _ in behind)) if e.end > now]
    there = stand_already(server, row, [*coming, *(held.ends for held in off if held.ends > now)])
    known: list[Work] = [
        *((held.title, partial(_leave, store, server, row, held, there.get(held.uid, ()), now), None) for held in off),
        *((entry.title, partial(_again, store, server, row, entry, held, now), held) for entry, held in behind),
    ]
    unknown: list[Work] = [
        (
            entry.title,
            partial(post_new, store, server, row, entry, there.get(entry.uid, ())),
            as_wanted(row, entry, url_of(row, entry.uid)),
        )
        for entry in new
    ]
    first = row.tries * _IN_TROUBLE % max(len(known), 1)
    seconds = partial(_clear_seconds, store, server, row.kitchen_id, there)
    stand = len(posted) > len(known)  # others, that need nothing
    _do_all(store, row, [*known[first:], *known[:first], *unknown, ("", seconds, None)], stand)


def _do_all(store: Store, row: AccountRow, work: list[Work], stand: bool) -> None:
    failed: list[tuple[str, CalendarError]] = []
    done, in_a_row = 0, 0
    for title, one, may_stand in work:
        error = _try_one(store, row, one, may_stand)
        if error is None:
            done, in_a_row = done + 1, 0
            continue
        failed.append((title, error))
        in_a_row += error.again
        enough = error.enough or (len(work) if done else _IN_TROUBLE)
        if error.login or (error.again and in_a_row >= enough):
            raise error
    if failed:
        raise _named(failed) if stand or done > 1 else failed[0][1]  # looking for seconds alone may ask nothing


def _try_one(
    store: Store, row: AccountRow, one: Callable[[], None], may_stand: PostedRow | None
) -> CalendarError | None:
    check_present(store, row)
    try:
        one()
    except LeftMeanwhileError:
        raise
    except CalendarError as error:
        check_present(store, row, may_stand)
        return error
    except Exception:  # an odd answer about one event does not keep the others out
        log.exception("an event could not be written")
        check_present(store, row, may_stand)
        return CalendarError(said.ODD_ANSWER, again=True)
    return None


def _named(failed: list[tuple[str, CalendarError]]) -> CalendarError:
    """What is wrong, and with which steps: the server as a whole is well."""
    titles = list(dict.fromkeys(title for title, _ in failed if title))
    why = next((error for _, error in failed if error.again), failed[0][1])
    text = said.all_but(titles[:_MOST_NAMED], len(titles) - _MOST_NAMED, str(why)) if titles else str(why)
    return CalendarError(text, again=why.again)


def _is_behind(held: PostedRow, entry: Entry, row: AccountRow) -> bool:
    """Whether to look at an event of ours again: it is out of date, or everything is to be looked at."""
    return row.synced < 0 or held.hands_off == "astray" or held.fingerprint != entry.fingerprint()


def _again(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow, now: int) -> None:
    """What was none of ours is looked at with other eyes: it may have been ours all the time, or be gone."""
    if held.hands_off == "taken":
        seek(store, server, row, entry, held.url)
    else:
        post_again(store, server, row, entry, held, now)


def _clear_seconds(store: Store, server: CalendarServer, kitchen_id: str, there: dict[str, tuple[str, ...]]) -> None:
    """Where a calendar has one of our names twice, the other one goes: it would ring beside ours."""
    posted = {p.uid: p for p in store.posted(kitchen_id)}
    for uid, places in there.items():
        held = posted.get(uid)
        for url in places if held and held.url in places else ():
            if held and url != held.url:
                take_out_second(server, replace(held, url=url))


def post_again(
    store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow, now: int, ours: bool = False
) -> None:
    """Bring one event up to date, keeping what somebody changed there. `ours`: its start is to be ours again."""

    def write(there: There, tag: str) -> None:
        elsewhere = found_elsewhere(server, row.calendar_url, held) if there is None else None
        if elsewhere:
            post_again(store, server, row, entry, elsewhere, now, ours)
            return
        if there is None and held.hands_off == "astray":
            raise CalendarError(said.ASTRAY, again=False)
        if there is None:  # what we wrote last stays known, for when it is put back
            gone = replace(held, fingerprint=entry.fingerprint(), ends=entry.end, hands_off="removed")
            keep(store, row, replace(gone, title=entry.title))
            store.look_closely(row.kitchen_id)
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
        if rings(merged) and not (same and row.alarms):
            read_back(store, server, row, entry, held.url)

    settled(server, held.url, write)


def put_back(store: Store, server: CalendarServer, row: AccountRow, entry: Entry, held: PostedRow) -> None:
    """Our whole event again, in place of whatever stands there."""

    def write(there: There, tag: str) -> None:
        body = body_of(entry, row)
        if there:
            remember(store, row, entry, held.url, server.put_changed(held.url, body, tag))
        else:
            stand_already(server, row, [entry.start])
            write_new(store, server, row, entry, held.url)

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


def asked_of(held: PostedRow, entry: Entry, moved: int) -> HandsOff:
    """A start that somebody changed is asked about, once for each of ours: "moved" asks, "kept" is the answer."""
    if not moved:
        return ""
    answered = held.hands_off == "kept" and (held.plan_start, held.their_start) == (entry.start, moved)
    return "kept" if answered else "moved"


def _leave(
    store: Store, server: CalendarServer, row: AccountRow, held: PostedRow, places: tuple[str, ...], now: int
) -> None:
    """An event that is not wanted any more, wherever else it stands too."""
    for url in places if is_to_come(held, now) else ():
        if url != held.url:
            take_out_second(server, replace(held, url=url))
    clear(server, row.calendar_url, held, now)
    store.drop_posted(row.kitchen_id, held.uid)
