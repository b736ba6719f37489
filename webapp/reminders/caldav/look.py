"""Looking at a calendar between our writings: what somebody moved or took out there is noticed soon.

A look writes nothing into the calendar. A calendar that can tell whether anything in it changed (its getctag, or the
sync-token of RFC 6578) is asked that first, so that most looks are one question.
"""

from __future__ import annotations

import logging
from dataclasses import replace

from webapp.reminders.caldav.account import Tools, signed_in
from webapp.reminders.caldav.at_address import found_elsewhere, what_stands
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.finding import tag_of
from webapp.reminders.caldav.update import asked_of, moved_to
from webapp.reminders.events import draw, entries
from webapp.reminders.how_often import LOOK_AFTER_TROUBLE_S, LOOK_S, LOOK_WITHOUT_TAG_S, after_writing_failed
from webapp.reminders.ics import Entry
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import AccountRow, PostedRow
from webapp.store.store import Store

log = logging.getLogger(__name__)


def look_safely(store: Store, tools: Tools, now: int, kitchen_id: str) -> None:
    """Look at the kitchen's calendar. Never raises: whatever a server answers, the others are looked at too."""
    try:
        look(store, tools, now, kitchen_id)
    except Exception:  # as in a round of writing
        log.exception("a calendar could not be looked at")
        store.account_was_looked_at(kitchen_id, now + LOOK_AFTER_TROUBLE_S, "")


def look(store: Store, tools: Tools, now: int, kitchen_id: str) -> None:
    """Note which coming events of ours were moved, put back or taken out there. A refused password is kept for the
    pages, and taken back when it is accepted again; other trouble is left to the next writing."""
    row = store.account(kitchen_id)
    if row is None:
        return
    version = draw(store, now, kitchen_id)
    try:
        with signed_in(tools, row) as server:
            tag = tag_of(server, row.calendar_url)
            is_sure = bool(tag and tag == row.tag) or _look_at_events(store, server, row, now, version)
    except CalendarError as error:
        wait = after_writing_failed(error, row.tries) if error.login else LOOK_AFTER_TROUBLE_S
        if error.login:
            store.account_has_problem(row, str(error), now + wait, version, now, refused=True)
        store.account_was_looked_at(kitchen_id, now + wait, "")
        return
    if row.refused:
        store.account_is_good(row, row.synced, now)
    tag = tag if is_sure else ""
    store.account_was_looked_at(kitchen_id, now + (LOOK_S if tag else LOOK_WITHOUT_TAG_S), tag)


def _look_at_events(store: Store, server: CalendarServer, row: AccountRow, now: int, version: int) -> bool:
    """Note what is seen; whether that will do until the calendar changes: servers have bad moments, so what is gone is
    looked for again."""
    is_sure = True
    wanted = {e.uid: e for e in entries(store, now, row.kitchen_id) if not e.cancelled and e.end > now}
    for held in store.posted(row.kitchen_id):
        entry = wanted.get(held.uid)
        if entry and held.hands_off not in ("taken", "astray") and held.fingerprint == entry.fingerprint():
            there, where = what_stands(server, held.url), held
            if there is None and (elsewhere := found_elsewhere(server, row.calendar_url, held)):
                there, where = what_stands(server, elsewhere.url), elsewhere
            is_sure = is_sure and there is not None
            _note(store, row, held, _seen(where, entry, there[1] if there else None), version)
    return is_sure


def _seen(held: PostedRow, entry: Entry, there: bytes | None) -> PostedRow:
    """What is known of the event after having looked at it."""
    if there is None:
        return replace(held, hands_off="removed")
    if held.hands_off == "removed":  # taken out, and back again: ours, and to be brought up to date
        return replace(held, hands_off="", fingerprint="")
    try:
        moved = moved_to(held, there, entry)
    except UnreadableEventError:
        return replace(held, hands_off="taken")
    return replace(held, hands_off=asked_of(held, entry, moved), plan_start=entry.start, their_start=moved)


def _note(store: Store, row: AccountRow, held: PostedRow, seen: PostedRow, version: int) -> None:
    """Keep it, unless the plan changed meanwhile: then what stands there may be our own newer writing."""
    if seen == held:
        return
    with store.transaction():
        if store.calendar_versions(row.kitchen_id).now == version and held in store.posted(row.kitchen_id):
            store.put_posted(row.kitchen_id, seen)
            if not seen.fingerprint:
                store.sync_again(row.kitchen_id)
