"""What calendars are given: events with their history, the feed, files for one bake and one step, a test ring.

The history rule (RFC 5545 3.8.7.4): an event whose content changes gets the next SEQUENCE and the time of the change;
one that does not stays the same to the byte. So the present content is stored with its history and compared whenever
something happened. "Present": as when the journal was last written: nothing changes by the minute, no rung ring moves.
"""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from threading import Lock

from webapp.core.errors import PlanError
from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen
from webapp.core.plan.whose import as_it_stands
from webapp.core.scale.as_made import as_made
from webapp.kitchens.access import change_kitchen, hash_of
from webapp.kitchens.bakes import bake, kitchen_of, picked
from webapp.machine.secretbox import SecretBox, UnreadableError
from webapp.records import ShapeError
from webapp.reminders.heard import as_heard, told_beside
from webapp.reminders.ics import Entry, called_off, write_calendar
from webapp.reminders.moments import entries_for
from webapp.reminders.names import as_eaten, told_before, which_bake, with_history
from webapp.store.ids import NotHere
from webapp.store.reminders import DrawRow, FeedRow
from webapp.store.store import Store
from webapp.words.calendar import FEED_LEFT, FEED_WORKS, NOTHING_PLANNED, TEST_RANG, TEST_RING
from webapp.words.pages.reminders import too_early
from webapp.words.problems.told import told
from webapp.words.shared import UNCALLED_PAN

KEEP_S = 14 * 86400  # how long a bake stays in feeds and calendars after its supper
FEED_REFRESH_MIN = 60
FEED_NAME = "Suppertide"
_READ_EVERY_S, _DAY_S = 3600, 86400  # it is written down once an hour that a feed was fetched
_WAY = 16  # of making entries: another one draws kept bakes anew with their next change


@dataclass(frozen=True)
class Feed:
    """What a feed answers: bytes and their strong ETag (without quotes)."""

    body: bytes
    etag: str


@dataclass(frozen=True)
class FeedState:
    """The feed as the settings page shows it; `key` is "" when there is none."""

    key: str
    read_at: int  # about when a calendar last fetched it, 0 = never


class KeptFeeds:
    """Feeds as last written, by key: what is asked for every hour need not be composed every hour. Bounded."""

    def __init__(self, most: int = 256) -> None:
        self._most = most
        self._feeds: OrderedDict[str, tuple[object, Feed]] = OrderedDict()
        self._lock = Lock()

    def get(self, key_hash: str, state: object) -> Feed | None:
        """The feed kept for this key if it was made for this state."""
        with self._lock:
            kept = self._feeds.get(key_hash)
            return kept[1] if kept and kept[0] == state else None

    def put(self, key_hash: str, state: object, feed: Feed) -> None:
        """Keep it; the one kept longest makes room."""
        with self._lock:
            self._feeds.pop(key_hash, None)
            self._feeds[key_hash] = (state, feed)
            while len(self._feeds) > self._most:
                self._feeds.popitem(last=False)


def kept_since(now: int) -> int:
    """Bakes with supper at or after this are still in calendars; steps once a day, so that bytes stay the same."""
    return (now - KEEP_S) // _DAY_S * _DAY_S


def draw(store: Store, now: int, kitchen_id: str) -> int:
    """Bring the kitchen's stored events up to date; the version they are of."""
    versions = store.calendar_versions(kitchen_id)
    if versions.now == versions.drawn:
        return versions.now
    with store.transaction():
        versions = store.calendar_versions(kitchen_id)
        _draw_bakes(store, now, kitchen_id, store.to_draw(kitchen_id, kept_since(now)))
        store.calendar_drawn(kitchen_id, versions.now)
    return versions.now


def entries(store: Store, now: int, kitchen_id: str) -> tuple[Entry, ...]:
    """Every event of the kitchen's recent and coming bakes, with its history, up to date."""
    draw(store, now, kitchen_id)
    return told_before(store.calendar_entries(kitchen_id, kept_since(now)))


def entries_of_bake(store: Store, now: int, kitchen_id: str, bake_id: str) -> tuple[Entry, ...]:
    """The events of one bake, however old. NotHere for a missing or foreign bake, or while nothing is picked."""
    with store.transaction():
        rows = store.to_draw(kitchen_id, 0, bake_id)
        if not rows:
            raise NotHere(bake_id)
        _draw_bakes(store, now, kitchen_id, rows)
        if not (known := told_before(store.calendar_entries(kitchen_id, bake_id=bake_id))):
            picked(store, kitchen_id, bake_id)  # ShapeError where the plan is what cannot be read
        return known


def bake_file(store: Store, now: int, kitchen_id: str, bake_id: str, origin: str) -> bytes:
    """`/bakes/<id>/bake.ics`. Raises NotHere."""
    return write_calendar(entries_of_bake(store, now, kitchen_id, bake_id), origin=origin)


def calling_off_file(store: Store, now: int, kitchen_id: str, bake_id: str, origin: str) -> bytes:
    """`/bakes/<id>/called-off.ics`: what moved since it was added from a file is off. Raises NotHere, if nothing did.

    Its SEQUENCE is under the present one's, so that the bake's file, added after it, counts (RFC 5546 2.1.5).
    """
    moved = [e for e in entries_of_bake(store, now, kitchen_id, bake_id) if e.sequence]
    if not moved:
        raise NotHere(bake_id)
    return write_calendar([replace(called_off(e), sequence=e.sequence - 1) for e in moved], origin=origin)


def step_file(store: Store, now: int, kitchen_id: str, bake_id: str, step_id: str, origin: str) -> bytes:
    """`/bakes/<id>/steps/<step>.ics`: the event that tells of this step. Raises NotHere, for one without any too."""
    shown = entries_of_bake(store, now, kitchen_id, bake_id)
    chosen = [e for e in shown if e.step_id == step_id] or [e for e in shown if step_id in e.also]
    if not chosen:
        raise NotHere(step_id)
    return write_calendar(chosen, origin=origin)


def ring_soon(now: int, ring_id: str) -> Entry:
    """An event at the next whole minute that is at least a minute away, ringing at its start."""
    start = (now + 119) // 60 * 60
    return Entry(
        f"{ring_id}-test@suppertide", "test", start, start + 60, TEST_RING, TEST_RANG, "/reminders", now,
        alarm_min=0, changed_at=now, kind="test",
    )  # fmt: skip


# -- the feed


def new_feed(store: Store, box: SecretBox, now: int, kitchen_id: str, key: str) -> None:
    """Give the kitchen a feed under `key` (256 random bits from the caller); an earlier key stops working."""
    store.put_feed(kitchen_id, hash_of(key), box.seal(key), now)


def end_feed(store: Store, kitchen_id: str) -> None:
    """Revoke the feed's key."""
    store.drop_feed(kitchen_id)


def feed_state(store: Store, box: SecretBox, kitchen_id: str) -> FeedState:
    """The kitchen's feed; an address sealed with a lost key cannot be shown and counts as none."""
    sealed = store.sealed_feed(kitchen_id)
    try:
        return FeedState(box.open(sealed[0]), sealed[1]) if sealed else FeedState("", 0)
    except UnreadableError:
        return FeedState("", 0)


def feed(store: Store, kept: KeptFeeds, now: int, key: str, origin: str, person: str = "") -> Feed:
    """The feed behind this key, empty for a kitchen that no phone opens any more: nobody could give up what would ring.
    `person`: without what suits only others of the house. NotHere for an unknown and a revoked key alike, and for a
    name that nobody of the house goes by (any more)."""
    key_hash = hash_of(key)
    row = store.feed(key_hash)
    if row is None:
        raise NotHere("feed")
    if now - row.read_at > _READ_EVERY_S:
        store.feed_was_read(row.kitchen_id, now)
    version = row.version if row.version == row.drawn else draw(store, now, row.kitchen_id)
    state = (row.kitchen_id, version, row.opened, origin, kept_since(now))
    if person:
        return _compose(store, now, row, origin, person)
    found = kept.get(key_hash, state)
    if found is None:
        found = _compose(store, now, row, origin)
        kept.put(key_hash, state, found)
    return found


def kept_feed(store: Store, kept: KeptFeeds, now: int, key: str, origin: str) -> Feed | None:
    """The feed if it is kept as `feed` would give it and nothing needs to be written; else None."""
    key_hash = hash_of(key)
    row = store.feed(key_hash)
    if row is None or now - row.read_at > _READ_EVERY_S:
        return None
    return kept.get(key_hash, (row.kitchen_id, row.version, row.opened, origin, kept_since(now)))


def _compose(store: Store, now: int, row: FeedRow, origin: str, person: str = "") -> Feed:
    found = entries(store, now, row.kitchen_id) if row.opened else ()
    name = FEED_NAME
    if person:
        people = [one.name for one in kitchen_of(store, row.kitchen_id).people]
        if person not in people:
            raise NotHere("feed")
        name = f"{FEED_NAME}: {person}"
        found = tuple(one for one in found if _is_theirs(one, person, people))
    shown = found or (_nothing_planned(row.kitchen_id, FEED_WORKS if row.opened else FEED_LEFT),)
    body = write_calendar(shown, origin=origin, name=name, refresh_min=FEED_REFRESH_MIN)
    return Feed(body, hashlib.sha256(body).hexdigest()[:32])


def _is_theirs(entry: Entry, name: str, people: Sequence[str]) -> bool:
    """Whether it suits that person, or whoever is there; of somebody who goes by another name now, everybody's."""
    known = [one for one in entry.who if one in people]
    return name in known or not known


def _nothing_planned(kitchen_id: str, text: str) -> Entry:
    """A calendar needs at least one component (RFC 5545 3.4): one event long ago says why there is no other."""
    name = hashlib.sha256(kitchen_id.encode()).hexdigest()[:16]
    return Entry(f"{name}-empty@suppertide", "empty", 0, 60, NOTHING_PLANNED, text, "/", 0, kind="empty")


# -- the person's own minutes


def set_alarms(
    store: Store, kitchen_id: str, minutes: Mapping[str, int | None], every_step: bool | None = None
) -> Kitchen:
    """Alarm minutes by kind of step: None as planned, NO_ALARM silent; whether every step rings (None: as it is).

    Raises PlanError at "alarm-<kind>".
    """
    wrong = [
        told(f"alarm-{kind}", *too_early(chosen, MOST_ALARM_MIN))
        for kind, chosen in minutes.items()
        if chosen is not None and not NO_ALARM <= chosen <= MOST_ALARM_MIN
    ]
    if wrong:
        raise PlanError(*wrong)

    def change(kitchen: Kitchen) -> Kitchen:
        kept = {kind: value for kind, value in kitchen.alarms if kind not in minutes}
        kept |= {kind: value for kind, value in minutes.items() if value is not None}
        every = kitchen.every_step if every_step is None else every_step
        return replace(kitchen, alarms=tuple(sorted(kept.items())), every_step=every)

    return change_kitchen(store, kitchen_id, change)


# -- drawing


def _draw_bakes(store: Store, now: int, kitchen_id: str, rows: tuple[DrawRow, ...]) -> None:
    kitchen = kitchen_of(store, kitchen_id)
    beside = as_eaten(store, kitchen_id, store.bakes_around(kitchen_id, min((row.begins for row in rows), default=0)))
    for row in rows:
        which = which_bake(row, beside, kitchen)
        said = json.dumps([kitchen.alarms, kitchen.clock, kitchen.mass_unit, kitchen.every_step, which, _WAY])
        stamp = f"{row.stamp}.{hashlib.sha256(f'{said}{kitchen.pans}'.encode()).hexdigest()[:12]}"
        if stamp != row.drawn:
            try:
                fresh = _present(store, now, kitchen_id, row, kitchen, which)
            except ShapeError:  # what was told of a bake that cannot be read stands until it is given up
                if not row.dropped:
                    continue
                fresh = ()
            held = {r.step_id: r for r in store.calendar_entries(kitchen_id, bake_id=row.bake_id)}
            store.save_entries(row.bake_id, with_history(row.bake_id, fresh, held, now), stamp)


def _present(store: Store, now: int, kitchen_id: str, row: DrawRow, kitchen: Kitchen, which: str) -> tuple[Entry, ...]:
    plan = picked(store, kitchen_id, row.bake_id)
    state, retimed, heard = as_heard(store, now, kitchen_id, plan)
    more = told_beside(plan, state, bake(store, kitchen_id, row.bake_id).wish, kitchen)
    made = as_it_stands(as_made(plan, state, UNCALLED_PAN), state, retimed, heard)
    return entries_for(made, retimed, kitchen=kitchen, cancelled=row.dropped, more=more, which=which, proof=state.proof)
