"""What events are called, so that calendars tell two bakes apart and know an event again."""

from __future__ import annotations

import re
from dataclasses import replace

from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.kitchens.bakes import readable
from webapp.reminders.coming_home import HOME, is_homecoming
from webapp.reminders.ics import Entry
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
        and not row.entry.get("cancelled")
        and abs(row.entry["start"] - entry.start) < _SAME_S
    ]
    if not former:
        return entry
    row = min(former, key=lambda one: abs(one.entry["start"] - entry.start))
    return replace(entry, uid=row.entry["uid"], step_id=row.step_id, also=(entry.step_id,))
