"""Leaving somebody's calendar: nothing more is written there, our events go, and then the login is forgotten.

A person waits for the first try only. What is not out by then goes on in the background with the login kept for that
alone, for a day at most; what stays in the end is said.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace

from webapp.reminders.caldav.account import LostKeyError, Tools, signed_in
from webapp.reminders.caldav.at_address import what_stands
from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.event_text import seen
from webapp.reminders.caldav.merge import as_edition, called_back, edition_of, was_called_off, writer_of
from webapp.reminders.caldav.taking_out import clear, is_to_come, may_ring
from webapp.reminders.caldav.update import NOT_OURS
from webapp.reminders.how_often import LEAVE_WITHIN_S, ODD_ANSWER_S, after_writing_failed
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import PostedRow
from webapp.store.ids import NotHere
from webapp.store.left_calendars import LeftRow
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as words

_PATIENCE_S = 5.0  # for a free line: a person waits for it, once

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Leaving:
    """A calendar that is being left, or was with events of ours in it. `until`: how long the login is kept at most,
    0 = it is forgotten; `titles` of coming events that may still stand there; `why` they do."""

    left_id: int
    name: str
    titles: tuple[str, ...]
    why: str
    until: int
    next_try: int = 0

    @property
    def named(self) -> str:
        """The titles, for a sentence."""
        return ", ".join(f"“{title}”" for title in self.titles)

    @property
    def said(self) -> str:
        """What stays, for the person, when nobody takes it out any more; "" when nothing does."""
        return words.stays(self.titles, self.named, self.why) if self.titles else ""


def disconnect(store: Store, tools: Tools, now: int, kitchen_id: str) -> Leaving | None:
    """Write no more, and take out what the server lets us in one conversation; what is not out then, None when all is
    and the login is forgotten."""
    left_id = store.leave_account(kitchen_id, now)
    go_on(store, tools, now, left_id, _PATIENCE_S)
    return next((one for one in leavings(store, now, kitchen_id) if one.left_id == left_id), None)


def leavings(store: Store, now: int, kitchen_id: str) -> tuple[Leaving, ...]:
    """The calendars that this kitchen is leaving, and those it left in which events to come still stand."""
    found = (_leaving(store, now, row) for row in store.left_calendars(kitchen_id))
    return tuple(one for one in found if one.until or one.titles)


def to_go_on(store: Store, now: int) -> tuple[str, ...]:
    """Calendars that are being left and may be tried now, by id."""
    return tuple(str(left_id) for left_id in store.left_to_try(now))


def go_on_safely(store: Store, tools: Tools, now: int, left_id: int) -> None:
    """As `go_on`. Never raises: whatever a server answers, the others are left too."""
    try:
        go_on(store, tools, now, left_id)
    except Exception:  # as in a round of writing
        log.exception("a calendar could not be left")
        _try_again(store, left_id, words.ODD_ANSWER, now + ODD_ANSWER_S, now)


def go_on(store: Store, tools: Tools, now: int, left_id: int, patience_s: float = 0.0) -> None:
    """Take out what can be taken out now; when all is, or there is no hope or time left, the login is forgotten."""
    row = store.left_calendar(left_id)
    if row is None or not row.login:
        return
    before = len(store.left_events(left_id))
    try:
        with signed_in(tools, row, patience_s) as server:
            failed = _take_all_out(store, tools, server, row, now)
    except CalendarError as error:  # nothing was asked, or not to the end
        failed = error
    if failed is None:  # what a round wrote meanwhile is taken out at the next chance
        store.drop_left_when_out(left_id)
    elif isinstance(failed, LostKeyError):
        store.forget_left_login(left_id, str(failed))
    else:
        moves = len(store.left_events(left_id)) < before
        wait = 0 if moves and not failed.login else after_writing_failed(failed, row.tries)
        _try_again(store, left_id, str(failed), now + wait, now)


def forget_login(store: Store, kitchen_id: str, left_id: int) -> None:
    """The person wants it forgotten at once, whatever stands there. Raises NotHere."""
    row = store.left_calendar(left_id)
    if row is None or row.kitchen_id != kitchen_id:
        raise NotHere(str(left_id))
    if row.login:
        store.forget_left_login(left_id, words.GIVEN_UP)
    else:  # forgotten before, and the person knows what stands there
        store.drop_left(left_id)


def is_behind(store: Store, kitchen_id: str) -> bool:
    """Whether the kitchen's calendar is still to be written: a round may be about it just now."""
    row = store.account(kitchen_id)
    return row is not None and row.synced != store.calendar_versions(kitchen_id).now


def still_there(store: Store, kitchen_id: str, now: int, bake_id: str = "") -> list[PostedRow]:
    """Coming events of ours (of this bake) that stand in the calendar as far as we know."""
    return [p for p in store.posted(kitchen_id) if _stands(p, now) and p.uid.startswith(bake_id)]


def _stands(held: PostedRow, now: int) -> bool:
    return is_to_come(held, now) and held.hands_off not in NOT_OURS


def _leaving(store: Store, now: int, row: LeftRow) -> Leaving:
    titles = tuple(p.title for p in store.left_events(row.left_id) if _stands(p, now))
    until = row.since + LEAVE_WITHIN_S if row.login else 0
    return Leaving(row.left_id, row.name, titles, row.problem, until, row.next_try)


def _try_again(store: Store, left_id: int, why: str, when: int, now: int) -> None:
    """Later, while the day lasts."""
    row = store.left_calendar(left_id)
    if row is None:
        return
    ends = row.since + LEAVE_WITHIN_S
    if now >= ends:
        store.forget_left_login(left_id, why)
    else:
        store.left_has_problem(left_id, why, min(when, ends))


def _take_all_out(store: Store, tools: Tools, server: CalendarServer, row: LeftRow, now: int) -> CalendarError | None:
    """Try every event, what is to come first, whatever happened to those before; why the first of those stayed that
    did. What somebody took out, or seemed to be none of ours, is among them: it may be back, or be ours. After a
    refused password no other is tried: some servers shut out who knocks too often."""
    failed: CalendarError | None = None
    for held in sorted(store.left_events(row.left_id), key=lambda p: not is_to_come(p, now)):
        still = store.left_calendar(row.left_id)
        if still is None or not still.login:  # connected again, or forgotten, meanwhile
            return failed
        why = _try_one(store, tools, server, row, held, now)
        if held not in store.left_events(row.left_id):
            why = why or _put_back(store, server, row, held, now)
        elif why is None:
            store.drop_left_event(row.left_id, held)
        elif why.login:
            return why
        failed = failed or why
    return failed


def _try_one(
    store: Store, tools: Tools, server: CalendarServer, row: LeftRow, held: PostedRow, now: int
) -> CalendarError | None:
    try:
        if may_ring(held, now) and not _is_written_anew(store, tools, server, held):
            clear(server, row.calendar_url, held, now)
    except CalendarError as error:
        return error
    except Exception:  # an odd answer about one event does not keep the others in
        log.exception("an event could not be taken out")
        return CalendarError(words.ODD_ANSWER, again=True)
    return None


def _put_back(store: Store, server: CalendarServer, row: LeftRow, held: PostedRow, now: int) -> CalendarError | None:
    """Its calendar was connected again while this event was on its way out: it is wanted, and stands there again."""
    account = store.account_that_wrote(held.uid)
    ours = store.posted(account.kitchen_id) if account and account.calendar_url == row.calendar_url else ()
    twin = next((p for p in ours if (p.uid, p.url) == (held.uid, held.url) and p.hands_off != "taken"), None)
    if account is None or twin is None or not _stands(held, now):
        return None
    try:
        there = what_stands(server, held.url)
        if there is None:
            written = server.put_new(held.url, twin.body.encode())
            store.put_posted(account.kitchen_id, replace(twin, url=written.url, hands_off="", fingerprint=""))
        elif was_called_off(there[1]):
            server.put_changed(held.url, called_back(there[1], twin.body.encode()), there[0])
        store.sync_again(account.kitchen_id)
    except CalendarError as error:
        return error
    except (ChangedError, UnreadableEventError):  # the new connection was at it: it knows what stands there
        return None
    return None


def _is_written_anew(store: Store, tools: Tools, server: CalendarServer, held: PostedRow) -> bool:
    """Whether this very event is one that a kitchen's present calendar account writes: at this address, or by another
    name of the same server, where the server threw away the mark that tells. It is given the next number here, and
    looked at there. The kitchen may be the one that a phone left by joining this one, and came back to.

    Raises CalendarError.
    """
    account = store.account_that_wrote(held.uid)
    ours = store.posted(account.kitchen_id) if account else ()
    twin = next((p for p in ours if p.uid == held.uid and p.hands_off not in NOT_OURS), None)
    if twin and twin.url == held.url:
        return True
    there = what_stands(server, held.url) if account and twin else None
    try:
        if twin is None or there is None or writer_of(there[1]):
            return False
        with signed_in(tools, account) as other:
            before = what_stands(other, twin.url)
            if before is None or seen(before[1]) != seen(there[1]):
                return False
            number = edition_of(there[1]) + 1
            server.put_changed(held.url, as_edition(there[1], number), there[0])
            after = what_stands(other, twin.url)
            return after is not None and edition_of(after[1]) == number
    except ChangedError as error:
        raise CalendarError(words.ALWAYS_CHANGES, again=True) from error
    except UnreadableEventError:
        return False
