"""Own formulas and topping sets: saved, edited with every version kept, put away."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from webapp.store.base import Base, group_in


@dataclass(frozen=True)
class LarderRow:
    """One version of something on a shelf ("formula", "toppings" or "method")."""

    key: str
    version: int
    saved_at: int
    body: dict[str, Any]  # empty when what is kept is no JSON object: a damaged row must not lock the kitchen


class Shelves(Base):
    """The larder of each kitchen. Nothing is overwritten: an edit is a new version, putting away hides the key."""

    def put_on_shelf(self, kitchen_id: str, shelf: str, key: str, body: dict[str, Any], now: int) -> int:
        """Save a new version; its number."""
        with self.transaction() as db:
            version = 1 + (
                db.execute(
                    "SELECT max(version) FROM larder WHERE kitchen_id = ? AND shelf = ? AND key = ?",
                    (kitchen_id, shelf, key),
                ).fetchone()[0]
                or 0
            )
            db.execute(
                "UPDATE larder SET gone = 0 WHERE kitchen_id = ? AND shelf = ? AND key = ?", (kitchen_id, shelf, key)
            )
            db.execute(
                "INSERT INTO larder VALUES (?, ?, ?, ?, ?, 0, ?)",
                (kitchen_id, shelf, key, version, now, json.dumps(body)),
            )
        return version

    def on_shelf(self, kitchen_id: str, shelf: str) -> tuple[LarderRow, ...]:
        """The newest version of everything on the shelf that was not put away, by key."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT key, version, saved_at, body FROM larder l WHERE kitchen_id = ? AND shelf = ? AND gone = 0
                   AND version = (SELECT max(version) FROM larder m WHERE m.kitchen_id = l.kitchen_id
                                  AND m.shelf = l.shelf AND m.key = l.key) ORDER BY key""",
                (kitchen_id, shelf),
            ).fetchall()
        return tuple(LarderRow(row[0], row[1], row[2], group_in(row[3])) for row in rows)

    def versions(self, kitchen_id: str, shelf: str, key: str) -> tuple[LarderRow, ...]:
        """Every version of one key, the newest first; empty when there is none."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT key, version, saved_at, body FROM larder WHERE kitchen_id = ? AND shelf = ? AND key = ?
                   ORDER BY version DESC""",
                (kitchen_id, shelf, key),
            ).fetchall()
        return tuple(LarderRow(row[0], row[1], row[2], group_in(row[3])) for row in rows)

    def shelf_keys(self, kitchen_id: str, shelf: str) -> tuple[str, ...]:
        """Every key ever used on the shelf, put away or not."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT DISTINCT key FROM larder WHERE kitchen_id = ? AND shelf = ? ORDER BY key", (kitchen_id, shelf)
            ).fetchall()
        return tuple(row[0] for row in rows)

    def put_away(self, kitchen_id: str, shelf: str, key: str) -> bool:
        """Hide a key; its versions stay. False when it is not on the shelf."""
        with self.transaction() as db:
            return bool(
                db.execute(
                    "UPDATE larder SET gone = 1 WHERE kitchen_id = ? AND shelf = ? AND key = ? AND gone = 0",
                    (kitchen_id, shelf, key),
                ).rowcount
            )
