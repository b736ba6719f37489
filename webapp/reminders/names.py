"""What events are called, and were told of before, so that calendars tell two bakes apart and know an event again."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace

from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.core.ranges import MOST_SEQUENCE
from webapp.kitchens.bakes import readable
from webapp.records import ShapeError, from_plain, to_plain
from webapp.reminders.coming_home import HOME, is_homecoming
from webapp.reminders.ics import Entry, after, called_off
from webapp.store.reminders import BakeSpan, DrawRow, EntryRow
from webapp.store.store import Store
from webapp.words.calendar import clock_words
from webapp.words.spoken import bake_title

_BY_NUMBER = re.compile(rf"{HOME}-\d{{1,2}}$")
_SAME_S = 6 * 3600  # how far a coming home may have moved


def as_eaten(store: Store, kitchen_id: str, around: tuple[BakeSpan, ...]) -> tuple[BakeSpan, ...]:
    """The same with each supper as it is by now, where there are two to be told apart; one that this program cannot
    read as planned."""
    if len(around) < 2:
        return around
    read = readable(store, kitchen_id, [one.bake_id for one in around])
    moved = {plan.bake_id: fold(plan, events).supper for plan, events in read}
    return tuple(replace(one, supper=moved.get(one.bake_id, one.supper)) for one in around)


def which_bake(row: DrawRow, beside: tuple[BakeSpan, ...], kitchen: Kitchen) -> str:
    """The bake's name for its titles while another bake is on; with the hour of its supper where names
    are equal, and with its place in the order of beginning where hours are too."""
    row = replace(row, supper=next((b.supper for b in beside if b.bake_id == row.bake_id), row.supper))
    others = [b for b in beside if b.bake_id != row.bake_id and b.begins < row.supper and row.begins < b.supper]
    if not others or row.dropped:
        return ""
    name = bake_title(row)
    alike = [b for b in others if bake_title(b) == name]
    if not alike:
        return name
    said = f"{name}, {clock_words(row.supper, kitchen.zone, kitchen.clock)}"
    twins = sorted((b.begins, b.bake_id) for b in alike if b.supper == row.supper)
    place = sum(twin < (row.begins, row.bake_id) for twin in twins) + 1
    return f"{said}, no. {place}" if twins else said


def under_its_former_name(entry: Entry, held: dict[str, EntryRow]) -> Entry:
    """A coming home that is in calendars by the number it once had ("home-1") keeps that name: it would be called off,
    with all that somebody changed in it, and stand there anew."""
    if entry.step_id in held or not is_homecoming(entry.kind, entry.step_id):
        return entry
    former = [
        row
        for row in held.values()
        if _BY_NUMBER.match(row.step_id)
        and (was := entry_in(row)) is not None
        and not was.cancelled
        and abs(was.start - entry.start) < _SAME_S
    ]
    if not former:
        return entry
    row = min(former, key=lambda one: abs(one.entry["start"] - entry.start))
    return replace(entry, uid=row.entry["uid"], step_id=row.step_id, also=(entry.step_id,))


def entry_in(row: EntryRow) -> Entry | None:
    """What calendars were told of it, with its history; None when that cannot be read."""
    with suppress(ShapeError):
        return from_plain(Entry, row.entry | {"sequence": row.sequence, "changed_at": row.changed_at})
    return None


def told_before(rows: Iterable[EntryRow]) -> tuple[Entry, ...]:
    """Those of which it can be read what calendars were told."""
    return tuple(entry for row in rows if (entry := entry_in(row)) is not None)


def with_history(bake_id: str, fresh: tuple[Entry, ...], held: dict[str, EntryRow], now: int) -> list[EntryRow]:
    """Compare with what was said before. Off is what is gone of a step ahead, or of one that another event tells of."""
    fresh = tuple(under_its_former_name(e, held) for e in fresh)
    leads, twice = {e.step_id for e in fresh}, {step_id for e in fresh for step_id in e.also}
    gone = told_before(row for step_id, row in held.items() if step_id not in leads)
    off = (e if e.end <= now and e.step_id not in twice else called_off(e) for e in gone)
    return [_next_row(bake_id, e, held.get(e.step_id), now) for e in (*fresh, *off)]


def _next_row(bake_id: str, entry: Entry, held: EntryRow | None, now: int) -> EntryRow:
    fingerprint = entry.fingerprint()
    if held is None:
        return EntryRow(bake_id, entry.step_id, 0, now, fingerprint, to_plain(entry))
    was = entry_in(held)
    if was is None:  # whatever calendars were told, this is newer
        sequence = min(max(held.sequence, 0), MOST_SEQUENCE - 1) + 1
        return EntryRow(bake_id, entry.step_id, sequence, now, fingerprint, to_plain(entry))
    entry = after(replace(entry, made_at=was.made_at), was)
    if held.fingerprint == fingerprint:  # for a calendar nothing changed; what messages say of it may have
        return replace(held, entry=to_plain(entry))
    return EntryRow(bake_id, entry.step_id, held.sequence + 1, now, fingerprint, to_plain(entry))
