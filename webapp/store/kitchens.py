"""Kitchens, the phones that may open them, one-time join codes."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from webapp.store.base import Base, group_in


@dataclass(frozen=True)
class Guest:
    """Who is asking: a phone of a kitchen. `settings` is the kitchen record as plain values."""

    kitchen_id: str
    phone_id: str
    phone_name: str
    seen_at: int
    settings: dict[str, Any]


@dataclass(frozen=True)
class PhoneRow:
    """A phone that may open the kitchen."""

    phone_id: str
    name: str
    joined_at: int
    seen_at: int


class Kitchens(Base):
    """Who is who. Keys and codes arrive here as SHA-256 hashes only."""

    def add_kitchen(self, kitchen_id: str, settings: dict[str, Any], now: int) -> None:
        """A new kitchen with nothing in it."""
        with self.transaction() as db:
            db.execute("INSERT INTO kitchens VALUES (?, ?, ?)", (kitchen_id, now, json.dumps(settings)))

    def settings_of(self, kitchen_id: str) -> dict[str, Any] | None:
        """The kitchen record as plain values; None when there is no such kitchen."""
        with self.reading() as db:
            row = db.execute("SELECT settings FROM kitchens WHERE kitchen_id = ?", (kitchen_id,)).fetchone()
        return group_in(row["settings"]) if row else None

    def save_settings(self, kitchen_id: str, settings: dict[str, Any]) -> None:
        """Replace the kitchen record."""
        with self.transaction() as db:
            db.execute("UPDATE kitchens SET settings = ? WHERE kitchen_id = ?", (json.dumps(settings), kitchen_id))
            self.calendar_changed(db, kitchen_id)

    def delete_kitchen(self, kitchen_id: str) -> None:
        """Everything of that kitchen, at once: tables refer to it with ON DELETE CASCADE."""
        with self.transaction() as db:
            db.execute("DELETE FROM kitchens WHERE kitchen_id = ?", (kitchen_id,))

    def sweep(self, before: int) -> int:
        """Drop kitchens never used (no bake, no own formula) and not opened since `before`; expired codes too."""
        with self.transaction() as db:
            db.execute("DELETE FROM join_codes WHERE expires_at < ?", (before,))
            return db.execute(
                """DELETE FROM kitchens WHERE made_at < :before
                   AND NOT EXISTS (SELECT 1 FROM phones p WHERE p.kitchen_id = kitchens.kitchen_id
                                   AND p.seen_at >= :before)
                   AND NOT EXISTS (SELECT 1 FROM bakes b WHERE b.kitchen_id = kitchens.kitchen_id)
                   AND NOT EXISTS (SELECT 1 FROM larder l WHERE l.kitchen_id = kitchens.kitchen_id)""",
                {"before": before},
            ).rowcount

    # -- phones

    def add_phone(self, kitchen_id: str, phone_id: str, key_hash: str, name: str, now: int) -> None:
        """Let a phone in."""
        with self.transaction() as db:
            db.execute(
                "INSERT INTO phones (phone_id, kitchen_id, key_hash, name, joined_at, seen_at)"
                " VALUES (?, ?, ?, ?, ?, ?)",
                (phone_id, kitchen_id, key_hash, name, now, now),
            )

    def guest(self, key_hash: str) -> Guest | None:
        """The phone that holds the key with this hash, with its kitchen."""
        with self.reading() as db:
            row = db.execute(
                """SELECT k.kitchen_id, p.phone_id, p.name, p.seen_at, k.settings
                   FROM phones p JOIN kitchens k USING (kitchen_id) WHERE p.key_hash = ?""",
                (key_hash,),
            ).fetchone()
        return Guest(row[0], row[1], row[2], row[3], group_in(row[4])) if row else None

    def says_as(self, phone_id: str, written_as: str) -> None:
        """By which name this phone writes into journals; nothing is written when that is known."""
        with self.transaction() as db:
            db.execute(
                "UPDATE phones SET says_as = ? WHERE phone_id = ? AND says_as <> ?", (written_as, phone_id, written_as)
            )

    def names_in_journals(self, kitchen_id: str) -> dict[str, str]:
        """What people call each phone, by the name under which it writes into journals."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT says_as, name FROM phones WHERE kitchen_id = ? AND says_as <> ''", (kitchen_id,)
            ).fetchall()
        return {row[0]: row[1] for row in rows}

    def phones(self, kitchen_id: str) -> tuple[PhoneRow, ...]:
        """Every phone of the kitchen, the first one first."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT phone_id, name, joined_at, seen_at FROM phones WHERE kitchen_id = ? ORDER BY joined_at, rowid",
                (kitchen_id,),
            ).fetchall()
        return tuple(PhoneRow(*row) for row in rows)

    def saw_phone(self, phone_id: str, now: int) -> None:
        """Note when the phone was last here."""
        with self.transaction() as db:
            db.execute("UPDATE phones SET seen_at = ? WHERE phone_id = ?", (now, phone_id))

    def rename_phone(self, kitchen_id: str, phone_id: str, name: str) -> bool:
        """Give a phone a name to be told apart by; False when it is not of this kitchen."""
        with self.transaction() as db:
            return bool(
                db.execute(
                    "UPDATE phones SET name = ? WHERE phone_id = ? AND kitchen_id = ?", (name, phone_id, kitchen_id)
                ).rowcount
            )

    def remove_phone(self, kitchen_id: str, phone_id: str) -> bool:
        """Its key opens nothing from now on; False when it is not of this kitchen."""
        with self.transaction() as db:
            return bool(
                db.execute("DELETE FROM phones WHERE phone_id = ? AND kitchen_id = ?", (phone_id, kitchen_id)).rowcount
            )

    # -- join codes

    def add_join_code(self, kitchen_id: str, code_hash: str, expires_at: int) -> None:
        """A code that lets one phone in, once. An earlier unused code of the kitchen stops working."""
        with self.transaction() as db:
            db.execute("DELETE FROM join_codes WHERE kitchen_id = ?", (kitchen_id,))
            db.execute("INSERT INTO join_codes VALUES (?, ?, ?)", (code_hash, kitchen_id, expires_at))

    def join_code_opens(self, code_hash: str, now: int) -> str | None:
        """The kitchen that the code opens while it is unused and in time (looking does not use it up)."""
        with self.reading() as db:
            row = db.execute(
                "SELECT kitchen_id FROM join_codes WHERE code_hash = ? AND expires_at > ?", (code_hash, now)
            ).fetchone()
        return str(row[0]) if row else None

    def take_join_code(self, code_hash: str, now: int) -> str | None:
        """Use the code up; the kitchen it opens, or None when it is unknown, used or too old."""
        with self.transaction() as db:
            row = db.execute(
                "DELETE FROM join_codes WHERE code_hash = ? RETURNING kitchen_id, expires_at", (code_hash,)
            ).fetchone()
        return row["kitchen_id"] if row and row["expires_at"] > now else None
