"""Own things of every kind: saved, edited with every version kept, put away. The column `shelf` holds the kind."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from webapp.store.base import Base, group_in


@dataclass(frozen=True)
class LarderRow:
    """One version of an own thing."""

    key: str
    version: int
    saved_at: int
    body: dict[str, Any]  # empty when what is kept is no JSON object: a damaged row must not lock the kitchen


class LarderRows(Base):
    """The larder of each kitchen. Nothing is overwritten: an edit is a new version, putting away hides the key."""

    def put_in_larder(self, kitchen_id: str, kind: str, key: str, body: dict[str, Any], now: int) -> int:
        """Save a new version; its number."""
        with self.transaction() as db:
            version = 1 + (
                db.execute(
                    "SELECT max(version) FROM larder WHERE kitchen_id = ? AND shelf = ? AND key = ?",
                    (kitchen_id, kind, key),
                ).fetchone()[0]
                or 0
            )
            db.execute(
                "UPDATE larder SET gone = 0 WHERE kitchen_id = ? AND shelf = ? AND key = ?", (kitchen_id, kind, key)
            )
            db.execute(
                "INSERT INTO larder VALUES (?, ?, ?, ?, ?, 0, ?)",
                (kitchen_id, kind, key, version, now, json.dumps(body)),
            )
        return version

    def in_larder(self, kitchen_id: str, kind: str) -> tuple[LarderRow, ...]:
        """The newest version of everything of that kind that was not put away, by key."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT key, version, saved_at, body FROM larder l WHERE kitchen_id = ? AND shelf = ? AND gone = 0
                   AND version = (SELECT max(version) FROM larder m WHERE m.kitchen_id = l.kitchen_id
                                  AND m.shelf = l.shelf AND m.key = l.key) ORDER BY key""",
                (kitchen_id, kind),
            ).fetchall()
        return tuple(LarderRow(row[0], row[1], row[2], group_in(row[3])) for row in rows)

    def versions(self, kitchen_id: str, kind: str, key: str) -> tuple[LarderRow, ...]:
        """Every version of one key, the newest first; empty when there is none."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT key, version, saved_at, body FROM larder WHERE kitchen_id = ? AND shelf = ? AND key = ?
                   ORDER BY version DESC""",
                (kitchen_id, kind, key),
            ).fetchall()
        return tuple(LarderRow(row[0], row[1], row[2], group_in(row[3])) for row in rows)

    def larder_keys(self, kitchen_id: str, kind: str) -> tuple[str, ...]:
        """Every key ever used for that kind, put away or not."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT DISTINCT key FROM larder WHERE kitchen_id = ? AND shelf = ? ORDER BY key", (kitchen_id, kind)
            ).fetchall()
        return tuple(row[0] for row in rows)

    def put_away(self, kitchen_id: str, kind: str, key: str) -> bool:
        """Hide a key; its versions stay. False when it is not there."""
        with self.transaction() as db:
            return bool(
                db.execute(
                    "UPDATE larder SET gone = 1 WHERE kitchen_id = ? AND shelf = ? AND key = ? AND gone = 0",
                    (kitchen_id, kind, key),
                ).rowcount
            )
