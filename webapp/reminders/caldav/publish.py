"""Publishing into the person's own calendar: set it up, keep it right, respect what others change there.

What somebody changed in an event is kept and the rest follows the bake (`update`); a start that they changed is asked
about; an event that they took out is not put back. A server that is down is tried again, at growing distances and at
once when something changes. Whatever one server answers, the round goes on for the others.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace

from webapp.reminders.caldav.account import UNTIL_MENDED, LostKeyError, Tools, signed_in
from webapp.reminders.caldav.adopting import stand_already, write_new
from webapp.reminders.caldav.at_address import LeftMeanwhileError
from webapp.reminders.caldav.client import ChangedError
from webapp.reminders.caldav.taking_out import clear, take_out
from webapp.reminders.caldav.update import NOT_OURS, TEST, bring_up_to_date, post_again, put_back
from webapp.reminders.events import draw, entries, ring_soon
from webapp.reminders.how_often import ODD_ANSWER_S, after_writing_failed
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.ids import NotHere
from webapp.store.store import Store
from webapp.words.problems import calendar_servers as said
from webapp.words.problems.told import refused

_TEST_KEPT_S = 600  # a test ring is taken out so long after it rang

log = logging.getLogger(__name__)


def try_now(store: Store, kitchen_id: str) -> None:
    """Look at everything again at the next chance."""
    store.sync_again(kitchen_id)


def behind(store: Store, now: int, failed: bool | None = None) -> tuple[str, ...]:
    """Kitchens whose calendar is behind and may be tried. `failed`: only those that failed last time (True) or only
    the others (False), so that servers that keep one waiting are waited for apart from those that answer."""
    rows = store.accounts_to_sync(now)
    return tuple(row.kitchen_id for row in rows if failed is None or failed == (row.tries > 0))


def publish_safely(store: Store, tools: Tools, now: int, kitchen_id: str) -> None:
    """Bring one kitchen's calendar up to date. Never raises: whatever its server answers, the others are written."""
    row = store.account(kitchen_id)
    try:
        publish(store, tools, now, kitchen_id)
    except Exception:  # one server's odd answer must not end the round for the others
        log.exception("a calendar could not be written")
        version = store.calendar_versions(kitchen_id).now
        if row:
            store.account_has_problem(row, said.ODD_ANSWER, now + ODD_ANSWER_S, version, now)


def publish(store: Store, tools: Tools, now: int, kitchen_id: str) -> bool:
    """Bring the calendar up to date; True when it is. What went wrong is kept for the page and tried again. Where it is
    left meanwhile the writing ends, and what came too late is taken out with the rest."""
    row = store.account(kitchen_id)
    if row is None:
        return False
    version = draw(store, now, kitchen_id)
    try:
        with signed_in(tools, row) as server:
            bring_up_to_date(store, server, row, entries(store, now, kitchen_id), now)
    except CalendarError as error:
        next_try = UNTIL_MENDED if isinstance(error, LostKeyError) else now + after_writing_failed(error, row.tries)
        store.account_has_problem(row, str(error), next_try, version, now, error.login)
        return False
    except LeftMeanwhileError as error:
        _take_back(store, tools, row, error, now)
        return False
    store.account_is_good(row, version, now)
    _again_when_alarms_live(store, row)
    return True


def _take_back(store: Store, tools: Tools, row: AccountRow, left: LeftMeanwhileError, now: int) -> None:
    """What came too late goes with what is taken out anyway; at once, where the whole kitchen was deleted."""
    if left.written and not store.put_late(row, left.written, now):
        with suppress(CalendarError), signed_in(tools, row) as server:
            clear(server, row.calendar_url, left.written, now)


def _again_when_alarms_live(store: Store, before: AccountRow) -> None:
    """A server that threw alarms away keeps them now: what stands there without is written at the next chance."""
    row = store.account(before.kitchen_id)
    if row and (before.alarms, row.alarms) == ("lost", "live"):
        store.sync_again(row.kitchen_id)


def keep_theirs(store: Store, kitchen_id: str, uid: str) -> None:
    """The start that somebody gave this event in the calendar stays, until ours moves again. Raises NotHere."""
    posted = next((p for p in store.posted(kitchen_id) if p.uid == uid and p.hands_off == "moved"), None)
    if posted is None:
        raise NotHere(uid)
    store.put_posted(kitchen_id, replace(posted, hands_off="kept"))


def write_ours_again(store: Store, tools: Tools, now: int, kitchen_id: str, uid: str) -> None:
    """The person wants our event back: its start where it was moved, all of it where it was taken out or is not ours.

    Raises NotHere, PlanError at "calendar".
    """
    row = store.account(kitchen_id)
    posted = next((p for p in store.posted(kitchen_id) if p.uid == uid and p.hands_off), None)
    wanted = next((e for e in entries(store, now, kitchen_id) if e.uid == uid), None)
    if row is None or posted is None or wanted is None:
        raise NotHere(uid)
    try:
        with signed_in(tools, row) as server:
            if posted.hands_off in NOT_OURS:
                put_back(store, server, row, wanted, posted)
            else:
                post_again(store, server, row, wanted, posted, now, ours=True)
    except CalendarError as error:
        raise refused("calendar", str(error), said.LATER) from error
    except LeftMeanwhileError as error:
        _take_back(store, tools, row, error, now)
        raise NotHere(uid) from error


def ring_in_calendar(store: Store, tools: Tools, now: int, kitchen_id: str, new_id: Callable[[], str]) -> int:
    """Write an event that rings at the next full minute at least a minute away; that instant.

    Raises NotHere without an account, PlanError at "calendar" when it could not be written.
    """
    row = store.account(kitchen_id)
    if row is None:
        raise NotHere(kitchen_id)
    entry = ring_soon(now, new_id())
    try:
        with signed_in(tools, row) as server:
            stand_already(server, row, [entry.start])
            write_new(store, server, row, entry)
        _again_when_alarms_live(store, row)
    except (CalendarError, ChangedError) as error:
        raise refused("calendar", str(error), said.CHECK_ABOVE) from error
    except LeftMeanwhileError as error:
        _take_back(store, tools, row, error, now)
        raise NotHere(kitchen_id) from error
    return entry.start


def with_tests_over(store: Store, now: int) -> tuple[str, ...]:
    """Kitchens in whose calendars test rings stand that have rung."""
    return store.kitchens_with_tests(now - _TEST_KEPT_S)


def take_out_tests_safely(store: Store, tools: Tools, now: int, kitchen_id: str) -> None:
    """The kitchen's test rings that have rung leave the calendar; where that fails they are left to the person."""
    before = now - _TEST_KEPT_S
    try:
        _take_out_tests(store, tools, before, kitchen_id)
    except Exception:  # as in a round of writing
        log.exception("a test ring could not be taken out")
        for posted in _tests_over(store, kitchen_id, before):
            store.drop_posted(kitchen_id, posted.uid)


def _take_out_tests(store: Store, tools: Tools, before: int, kitchen_id: str) -> None:
    row = store.account(kitchen_id)
    with suppress(CalendarError), signed_in(tools, row) as server:
        for posted in _tests_over(store, kitchen_id, before):
            take_out(server, row.calendar_url if row else "", posted)
            store.drop_posted(kitchen_id, posted.uid)
    for posted in _tests_over(store, kitchen_id, before):
        store.drop_posted(kitchen_id, posted.uid)


def _tests_over(store: Store, kitchen_id: str, before: int) -> list[PostedRow]:
    return [p for p in store.posted(kitchen_id) if p.uid.endswith(TEST) and p.ends < before]
