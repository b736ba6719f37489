"""Calendar events with their history, and the feeds that show them."""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, cast

from webapp.store.base import NAME_AND_ZONE, Base, connect, group_in

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


_FEED = """SELECT f.kitchen_id, coalesce(f.read_at, 0), coalesce(v.version, 0), coalesce(v.drawn, 0),
    EXISTS (SELECT 1 FROM phones p WHERE p.kitchen_id = f.kitchen_id)
    FROM feeds f LEFT JOIN calendar_versions v USING (kitchen_id) WHERE f.key_hash = ?"""


class Reminders(Base):
    """What calendars show. Keys arrive as SHA-256 hashes; the sealed key can be opened only with the server's."""

    def calendar_versions(self, kitchen_id: str) -> Versions:
        """The kitchen's counter; zeros before anything was planned."""
        with self.reading() as db:
            row = db.execute(
                "SELECT version, drawn FROM calendar_versions WHERE kitchen_id = ?", (kitchen_id,)
            ).fetchone()
        return Versions(*row) if row else Versions(0, 0)

    def calendar_drawn(self, kitchen_id: str, version: int) -> None:
        """The stored entries are those of `version`."""
        with self.transaction() as db:
            db.execute("UPDATE calendar_versions SET drawn = ? WHERE kitchen_id = ?", (version, kitchen_id))

    def to_draw(self, kitchen_id: str, since: int, bake_id: str = "") -> tuple[DrawRow, ...]:
        """Picked bakes with supper at or after `since` (or just this one, however old), with their stamps."""
        with self.reading() as db:
            rows = db.execute(
                f"""SELECT b.bake_id, b.dropped_at IS NOT NULL, coalesce(d.stamp, ''), p.revision,
                          (SELECT count(*) FROM events e WHERE e.bake_id = b.bake_id), p.begins, p.supper, p.title,
                          {NAME_AND_ZONE}
                   FROM bakes b JOIN plans p USING (bake_id) LEFT JOIN calendar_drawn d USING (bake_id)
                   WHERE b.kitchen_id = :kitchen AND CASE :bake WHEN '' THEN p.supper >= :since ELSE bake_id = :bake END
                   AND p.revision = (SELECT max(revision) FROM plans q WHERE q.bake_id = b.bake_id)
                   ORDER BY b.made_at, b.bake_id""",  # noqa: S608  # of our own constants
                {"kitchen": kitchen_id, "since": since, "bake": bake_id},
            ).fetchall()
        return tuple(DrawRow(row[0], bool(row[1]), f"{row[3]}.{row[4]}.{row[1]}", row[2], *row[5:]) for row in rows)

    def bakes_around(self, kitchen_id: str, since: int) -> tuple[BakeSpan, ...]:
        """Picked bakes with supper at or after `since` that are not given up."""
        with self.reading() as db:
            rows = db.execute(
                f"""SELECT b.bake_id, p.begins, p.supper, p.title, {NAME_AND_ZONE}
                   FROM bakes b JOIN plans p USING (bake_id)
                   WHERE b.kitchen_id = ? AND b.dropped_at IS NULL AND p.supper >= ?
                   AND p.revision = (SELECT max(revision) FROM plans q WHERE q.bake_id = b.bake_id)""",  # noqa: S608
                (kitchen_id, since),
            ).fetchall()
        return tuple(BakeSpan(*row) for row in rows)

    def calendar_entries(self, kitchen_id: str, since: int = 0, bake_id: str = "") -> tuple[EntryRow, ...]:
        """Stored events of bakes with supper at or after `since` (or of one bake), by bake, then in step order."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT e.bake_id, e.step_id, e.sequence, e.changed_at, e.fingerprint, e.entry
                   FROM calendar_entries e JOIN bakes b USING (bake_id)
                   WHERE b.kitchen_id = :kitchen AND CASE :bake WHEN '' THEN
                       (SELECT supper FROM plans p WHERE p.bake_id = b.bake_id ORDER BY revision DESC LIMIT 1) >= :since
                       ELSE bake_id = :bake END
                   ORDER BY b.made_at, b.bake_id, e.place, e.step_id""",
                {"kitchen": kitchen_id, "since": since, "bake": bake_id},
            ).fetchall()
        return tuple(EntryRow(row[0], row[1], row[2], row[3], row[4], group_in(row[5])) for row in rows)

    def save_entries(self, bake_id: str, rows: Iterable[EntryRow], stamp: str) -> None:
        """Write these events of one bake, and from what they were made. Events not named stay as they are."""
        with self.transaction() as db:
            db.executemany(
                "INSERT OR REPLACE INTO calendar_entries VALUES (?, ?, ?, ?, ?, ?, ?)",
                [
                    (bake_id, r.step_id, place, r.sequence, r.changed_at, r.fingerprint, json.dumps(r.entry))
                    for place, r in enumerate(rows)
                ],
            )
            db.execute("INSERT OR REPLACE INTO calendar_drawn VALUES (?, ?)", (bake_id, stamp))

    # -- the feed

    def put_feed(self, kitchen_id: str, key_hash: str, sealed_key: str, now: int) -> None:
        """The kitchen's feed from now on; the key of an earlier one stops working."""
        with self.transaction() as db:
            db.execute(
                "INSERT OR REPLACE INTO feeds VALUES (?, ?, ?, ?, NULL)", (kitchen_id, key_hash, sealed_key, now)
            )

    def drop_feed(self, kitchen_id: str) -> None:
        """Its key opens nothing any more."""
        with self.transaction() as db:
            db.execute("DELETE FROM feeds WHERE kitchen_id = ?", (kitchen_id,))

    def sealed_feed(self, kitchen_id: str) -> tuple[str, int] | None:
        """(sealed key, when a calendar last fetched it; 0 never), or None when there is no feed."""
        with self.reading() as db:
            row = db.execute("SELECT sealed_key, read_at FROM feeds WHERE kitchen_id = ?", (kitchen_id,)).fetchone()
        return (row[0], row[1] or 0) if row else None

    def feed(self, key_hash: str) -> FeedRow | None:
        """The feed with this key, or None for an unknown and for a revoked one alike."""
        row = self._reader().execute(_FEED, (key_hash,)).fetchone()
        return FeedRow(*row) if row else None

    def _reader(self) -> sqlite3.Connection:
        """This thread's own connection, kept open: feeds are asked for all day, and opening costs more than asking.

        It is never inside of a transaction of its own, so that every question sees the newest state.
        """
        outer = self._open.get()
        if outer is not None:
            return outer
        kept = self.__dict__.setdefault("_readers", threading.local())
        if not hasattr(kept, "connection"):
            kept.connection = connect(self.path)
        return cast(sqlite3.Connection, kept.connection)

    def feed_was_read(self, kitchen_id: str, now: int) -> None:
        """Note that a calendar fetched the feed."""
        with self.transaction() as db:
            db.execute("UPDATE feeds SET read_at = ? WHERE kitchen_id = ?", (now, kitchen_id))
