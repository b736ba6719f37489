"""Calendar events with their history, and the feeds that show them."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import BindParameter, Select, bindparam, case, delete, exists, func, select, update

from webapp.store.bakes import IS_LATEST, NAME
from webapp.store.base import Base, group_in, put
from webapp.store.schema.tables import (
    bakes,
    calendar_drawn,
    calendar_entries,
    calendar_versions,
    events,
    feeds,
    phones,
    plans,
)  # fmt: skip

Plain = dict[str, Any]


@dataclass(frozen=True)
class Versions:
    """`now`: stepped with every change a calendar would show. `drawn`: the one the stored entries were made for."""

    now: int
    drawn: int


@dataclass(frozen=True)
class EntryRow:
    """One calendar event as stored: its content (ics.Entry as plain values) and the history of that content."""

    bake_id: str
    step_id: str
    sequence: int
    changed_at: int
    fingerprint: str
    entry: Plain


@dataclass(frozen=True)
class DrawRow:
    """A picked bake, and from what its entries must be made: `stamp` differs from `drawn` when they are out of date."""

    bake_id: str
    dropped: bool
    stamp: str
    drawn: str
    begins: int = 0
    supper: int = 0
    title: str = ""  # as versions before facts wrote it
    formula_name: str = ""
    zone: str = "UTC"


@dataclass(frozen=True)
class BakeSpan:
    """A picked bake that is not given up: when it is on, as planned, and its name."""

    bake_id: str
    begins: int
    supper: int
    title: str  # as versions before facts wrote it, else ""
    formula_name: str
    zone: str


@dataclass(frozen=True)
class FeedRow:
    """A feed found by its key, with the kitchen's present version; `opened`: whether any phone opens that kitchen."""

    kitchen_id: str
    read_at: int
    version: int
    drawn: int
    opened: int


_KITCHEN: BindParameter[str] = bindparam("kitchen")
_BAKE: BindParameter[str] = bindparam("bake")
_SINCE: BindParameter[int] = bindparam("since")
_VERSIONS = select(calendar_versions.c.version, calendar_versions.c.drawn).where(
    calendar_versions.c.kitchen_id == _KITCHEN
)
_DROPPED = case((bakes.c.dropped_at.is_not(None), 1), else_=0)
_LINES = select(func.count()).where(events.c.bake_id == bakes.c.bake_id).correlate(bakes).scalar_subquery()
_TO_DRAW = (
    select(bakes.c.bake_id, _DROPPED.label("dropped"), func.coalesce(calendar_drawn.c.stamp, "").label("drawn"))
    .add_columns(plans.c.revision, _LINES.label("lines"), plans.c.begins, plans.c.supper, *NAME)
    .select_from(bakes.join(plans).outerjoin(calendar_drawn))
    .where(bakes.c.kitchen_id == _KITCHEN, IS_LATEST)
    .order_by(bakes.c.made_at, bakes.c.bake_id)
)
_AROUND = (
    select(bakes.c.bake_id, plans.c.begins, plans.c.supper, *NAME)
    .select_from(bakes.join(plans))
    .where(bakes.c.kitchen_id == _KITCHEN, bakes.c.dropped_at.is_(None), plans.c.supper >= _SINCE, IS_LATEST)
)
_entry = calendar_entries.c
_ENTRIES = (
    select(_entry.bake_id, _entry.step_id, _entry.sequence, _entry.changed_at, _entry.fingerprint, _entry.entry)
    .select_from(calendar_entries.join(bakes).join(plans, plans.c.bake_id == bakes.c.bake_id))
    .where(bakes.c.kitchen_id == _KITCHEN, IS_LATEST)
    .order_by(bakes.c.made_at, bakes.c.bake_id, _entry.place, _entry.step_id)
)
_FEED = (
    select(feeds.c.kitchen_id, func.coalesce(feeds.c.read_at, 0), func.coalesce(calendar_versions.c.version, 0))
    .add_columns(
        func.coalesce(calendar_versions.c.drawn, 0),
        case((exists().where(phones.c.kitchen_id == feeds.c.kitchen_id), 1), else_=0),
    )
    .select_from(feeds.outerjoin(calendar_versions, calendar_versions.c.kitchen_id == feeds.c.kitchen_id))
    .where(feeds.c.key_hash == bindparam("key_hash"))
)


def _of(question: Select[Any], bake_id: str) -> Select[Any]:
    """Of one bake, however old; else of those whose supper comes after `since`."""
    return _OF_ONE[question] if bake_id else _OF_ALL[question]


_OF_ONE = {one: one.where(bakes.c.bake_id == _BAKE) for one in (_TO_DRAW, _ENTRIES)}
_OF_ALL = {one: one.where(plans.c.supper >= _SINCE) for one in (_TO_DRAW, _ENTRIES)}


class Reminders(Base):
    """What calendars show. Keys arrive as SHA-256 hashes; the sealed key can be opened only with the server's."""

    def calendar_versions(self, kitchen_id: str) -> Versions:
        """The kitchen's counter; zeros before anything was planned."""
        with self.reading(kitchen_id) as db:
            row = db.execute(_VERSIONS, {"kitchen": kitchen_id}).first()
        return Versions(*row) if row else Versions(0, 0)

    def calendar_drawn(self, kitchen_id: str, version: int) -> None:
        """The stored entries are those of `version`."""
        ours = update(calendar_versions).where(calendar_versions.c.kitchen_id == kitchen_id)
        with self.transaction(kitchen_id) as db:
            db.execute(ours.values(drawn=version))

    def to_draw(self, kitchen_id: str, since: int, bake_id: str = "") -> tuple[DrawRow, ...]:
        """Picked bakes with supper at or after `since` (or just this one, however old), with their stamps."""
        asked = {"kitchen": kitchen_id, "since": since, "bake": bake_id}
        with self.reading(kitchen_id) as db:
            rows = db.execute(_of(_TO_DRAW, bake_id), asked).all()
        return tuple(
            DrawRow(r.bake_id, bool(r.dropped), f"{r.revision}.{r.lines}.{r.dropped}", r.drawn, *r[5:]) for r in rows
        )

    def bakes_around(self, kitchen_id: str, since: int) -> tuple[BakeSpan, ...]:
        """Picked bakes with supper at or after `since` that are not given up."""
        with self.reading(kitchen_id) as db:
            return tuple(BakeSpan(*row) for row in db.execute(_AROUND, {"kitchen": kitchen_id, "since": since}))

    def calendar_entries(self, kitchen_id: str, since: int = 0, bake_id: str = "") -> tuple[EntryRow, ...]:
        """Stored events of bakes with supper at or after `since` (or of one bake), by bake, then in step order."""
        asked = {"kitchen": kitchen_id, "since": since, "bake": bake_id}
        with self.reading(kitchen_id) as db:
            rows = db.execute(_of(_ENTRIES, bake_id), asked).all()
        return tuple(EntryRow(row[0], row[1], row[2], row[3], row[4], group_in(row[5])) for row in rows)

    def save_entries(self, bake_id: str, rows: Iterable[EntryRow], stamp: str) -> None:
        """Write these events of one bake, and from what they were made. Events not named stay as they are."""
        new = {
            row.step_id: {"bake_id": bake_id, "place": place, "entry": json.dumps(row.entry)}
            | {name: getattr(row, name) for name in ("step_id", "sequence", "changed_at", "fingerprint")}
            for place, row in enumerate(rows)
        }
        with self.transaction() as db:
            if new:
                named = calendar_entries.c.step_id.in_(list(new))
                db.execute(delete(calendar_entries).where(calendar_entries.c.bake_id == bake_id, named))
                db.execute(calendar_entries.insert(), list(new.values()))
            put(db, calendar_drawn, {"bake_id": bake_id, "stamp": stamp})

    # -- the feed

    def put_feed(self, kitchen_id: str, key_hash: str, sealed_key: str, now: int) -> None:
        """The kitchen's feed from now on; the key of an earlier one stops working."""
        row = {"kitchen_id": kitchen_id, "key_hash": key_hash, "sealed_key": sealed_key, "made_at": now}
        with self.transaction(kitchen_id) as db:
            put(db, feeds, row | {"read_at": None})

    def drop_feed(self, kitchen_id: str) -> None:
        """Its key opens nothing any more."""
        with self.transaction(kitchen_id) as db:
            db.execute(delete(feeds).where(feeds.c.kitchen_id == kitchen_id))

    def sealed_feed(self, kitchen_id: str) -> tuple[str, int] | None:
        """(sealed key, when a calendar last fetched it; 0 never), or None when there is no feed."""
        ours = select(feeds.c.sealed_key, feeds.c.read_at).where(feeds.c.kitchen_id == kitchen_id)
        with self.reading(kitchen_id) as db:
            row = db.execute(ours).first()
        return (row.sealed_key, row.read_at or 0) if row else None

    def feed(self, key_hash: str) -> FeedRow | None:
        """The feed with this key, or None for an unknown and for a revoked one alike."""
        with self.asking() as db:
            row = db.execute(_FEED, {"key_hash": key_hash}).first()
        return FeedRow(*row) if row else None

    def feed_was_read(self, kitchen_id: str, now: int) -> None:
        """Note that a calendar fetched the feed."""
        with self.transaction(kitchen_id) as db:
            db.execute(update(feeds).where(feeds.c.kitchen_id == kitchen_id).values(read_at=now))
