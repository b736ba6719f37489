"""Bakes: the wish, the offers, the picked plan with all its revisions, the journal."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from webapp.store.base import NAME_AND_ZONE, Base, group_in

Plain = dict[str, Any]


@dataclass(frozen=True)
class BakeRow:
    """One bake. `plan` is the picked plan of the highest revision, None until an offer is picked."""

    bake_id: str
    kitchen_id: str
    made_at: int
    changed_at: int
    dropped_at: int | None
    wish: Plain
    offers: tuple[Plain, ...]
    plan: Plain | None
    picked_at: int


@dataclass(frozen=True)
class PickedRow:
    """A picked bake in one line, for lists."""

    bake_id: str
    revision: int
    title: str  # as versions before facts wrote it, else ""
    formula_name: str
    zone: str
    begins: int
    supper: int
    changed_at: int
    dropped_at: int | None


_PICKED = f"""
    SELECT b.bake_id, p.revision, p.title, {NAME_AND_ZONE},
    p.begins, p.supper, b.changed_at, b.dropped_at FROM bakes b JOIN plans p
    ON p.bake_id = b.bake_id AND p.revision = (SELECT max(revision) FROM plans q WHERE q.bake_id = b.bake_id)
    WHERE b.kitchen_id = ? AND p.supper >= ? AND p.supper < ?
"""  # noqa: S608  # of our own constants
_END_OF_TIME = 2**62


class Bakes(Base):
    """Every question names the kitchen that asks: a foreign bake is answered like a missing one."""

    def put_offers(self, kitchen_id: str, bake_id: str, wish: Plain, offers: Iterable[Plain], now: int) -> None:
        """Write a new bake, or a new wish with its offers for one of this kitchen (a picked plan stays)."""
        with self.transaction() as db:
            again = db.execute("SELECT 1 FROM bakes WHERE bake_id = ?", (bake_id,)).fetchone()
            db.execute(
                """INSERT INTO bakes VALUES (?, ?, ?, ?, ?, ?, NULL) ON CONFLICT (bake_id) DO UPDATE
                   SET wish = excluded.wish, wished_at = excluded.wished_at, changed_at = excluded.changed_at,
                   dropped_at = NULL
                   WHERE kitchen_id = excluded.kitchen_id""",
                (bake_id, kitchen_id, now, now, now, json.dumps(wish)),
            )
            self._own(db, kitchen_id, bake_id)
            if again:
                self.calendar_changed(db, kitchen_id)  # one that was given up is taken up
            db.execute("DELETE FROM offers WHERE bake_id = ?", (bake_id,))
            db.executemany(
                "INSERT INTO offers VALUES (?, ?, ?)",
                [(bake_id, place, json.dumps(plan)) for place, plan in enumerate(offers)],
            )

    def bake(self, kitchen_id: str, bake_id: str) -> BakeRow | None:
        """That bake of that kitchen, with its offers and its picked plan."""
        with self.reading() as db:
            row = db.execute(
                "SELECT * FROM bakes WHERE bake_id = ? AND kitchen_id = ?", (bake_id, kitchen_id)
            ).fetchone()
            if row is None:
                return None
            offers = db.execute("SELECT plan FROM offers WHERE bake_id = ? ORDER BY place", (bake_id,)).fetchall()
            picked = db.execute(
                "SELECT plan, picked_at FROM plans WHERE bake_id = ? ORDER BY revision DESC LIMIT 1", (bake_id,)
            ).fetchone()
        return BakeRow(
            row["bake_id"],
            row["kitchen_id"],
            row["made_at"],
            row["changed_at"],
            row["dropped_at"],
            group_in(row["wish"]),
            tuple(group_in(one["plan"]) for one in offers),
            group_in(picked["plan"]) if picked else None,
            picked["picked_at"] if picked else 0,
        )

    def add_plan(self, kitchen_id: str, bake_id: str, plan: Plain, now: int) -> None:
        """The picked plan, as a new revision; `plan["revision"]` must be one more than the last (IntegrityError)."""
        begins = min((step["start"] for step in plan["steps"]), default=plan["supper"])
        with self.transaction() as db:
            self._own(db, kitchen_id, bake_id)
            db.execute(
                "INSERT INTO plans VALUES (?, ?, ?, ?, ?, ?, ?)",
                (bake_id, plan["revision"], now, plan["title"], begins, plan["supper"], json.dumps(plan)),
            )
            db.execute("UPDATE bakes SET changed_at = ?, dropped_at = NULL WHERE bake_id = ?", (now, bake_id))
            self.calendar_shows_more(db, kitchen_id)

    def picked(
        self, kitchen_id: str, since: int = 0, until: int = _END_OF_TIME, newest_first: bool = False
    ) -> tuple[PickedRow, ...]:
        """Picked bakes whose supper is in [since, until), by supper."""
        order = "DESC" if newest_first else "ASC"
        with self.reading() as db:
            rows = db.execute(f"{_PICKED} ORDER BY p.supper {order}, b.bake_id", (kitchen_id, since, until)).fetchall()
        return tuple(PickedRow(*row) for row in rows)

    def last_wish(self, kitchen_id: str) -> Plain | None:
        """The wish of the bake planned last, for filling in the form again."""
        with self.reading() as db:
            row = db.execute(
                "SELECT wish FROM bakes WHERE kitchen_id = ? ORDER BY wished_at DESC, rowid DESC LIMIT 1",
                (kitchen_id,),
            ).fetchone()
        return group_in(row["wish"]) if row else None

    def revision(self, bake_id: str) -> int:
        """The highest picked revision, 0 before any."""
        with self.reading() as db:
            row = db.execute("SELECT max(revision) FROM plans WHERE bake_id = ?", (bake_id,)).fetchone()
        return row[0] or 0

    def drop_bake(self, kitchen_id: str, bake_id: str, now: int) -> bool:
        """Give a bake up; it stays readable and calendars show it as cancelled. False when it is not there."""
        with self.transaction() as db:
            dropped = db.execute(
                """UPDATE bakes SET dropped_at = ?, changed_at = ?
                   WHERE bake_id = ? AND kitchen_id = ? AND dropped_at IS NULL""",
                (now, now, bake_id, kitchen_id),
            ).rowcount
            if dropped:
                self.calendar_changed(db, kitchen_id)
        return bool(dropped)

    def delete_bake(self, kitchen_id: str, bake_id: str) -> bool:
        """Forget a bake with its journal; False when it is not there."""
        with self.transaction() as db:
            gone = db.execute("DELETE FROM bakes WHERE bake_id = ? AND kitchen_id = ?", (bake_id, kitchen_id)).rowcount
            if gone:
                self.calendar_changed(db, kitchen_id)
        return bool(gone)

    def bake_ids(self, kitchen_id: str) -> tuple[str, ...]:
        """Every bake of the kitchen, the oldest first."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT bake_id FROM bakes WHERE kitchen_id = ? ORDER BY made_at, rowid", (kitchen_id,)
            ).fetchall()
        return tuple(row[0] for row in rows)

    def free_or_own(self, kitchen_id: str, bake_id: str) -> str:
        """The id when nobody has it or this kitchen does, else ""."""
        with self.reading() as db:
            row = db.execute("SELECT kitchen_id FROM bakes WHERE bake_id = ?", (bake_id,)).fetchone()
        return bake_id if row is None or row[0] == kitchen_id else ""

    def revisions(self, bake_id: str) -> tuple[Plain, ...]:
        """Every picked revision of the plan with its `picked_at`, for export."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT picked_at, plan FROM plans WHERE bake_id = ? ORDER BY revision", (bake_id,)
            ).fetchall()
        return tuple({"picked_at": row[0], "plan": group_in(row[1])} for row in rows)

    # -- the journal

    def add_events(self, kitchen_id: str, bake_id: str, events: Iterable[Plain], now: int) -> int:
        """Join events to the journal (a set union by `event_id`: the first one written stays); how many were new."""
        with self.transaction() as db:
            self._own(db, kitchen_id, bake_id)
            before = db.execute("SELECT count(*) FROM events WHERE bake_id = ?", (bake_id,)).fetchone()[0]
            db.executemany(
                "INSERT OR IGNORE INTO events VALUES (?, ?, ?, ?, ?, ?)",
                [(bake_id, one["event_id"], one["at"], now, one["kind"], json.dumps(one)) for one in events],
            )
            new: int = db.execute("SELECT count(*) FROM events WHERE bake_id = ?", (bake_id,)).fetchone()[0] - before
            if new:
                db.execute("UPDATE bakes SET changed_at = ? WHERE bake_id = ?", (now, bake_id))
                self.calendar_shows_more(db, kitchen_id)
        return new

    def events(self, kitchen_id: str, bake_id: str) -> tuple[Plain, ...]:
        """The journal of one bake, by `at`, then by id: the same order whoever sent what first."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT e.event FROM events e JOIN bakes b USING (bake_id)
                   WHERE e.bake_id = ? AND b.kitchen_id = ? ORDER BY e.at, e.event_id""",
                (bake_id, kitchen_id),
            ).fetchall()
        return tuple(group_in(row[0]) for row in rows)

    def bakes_that_teach(self, kitchen_id: str, since: int, most: int) -> tuple[str, ...]:
        """Picked bakes with a mark of the dough or an outcome since then: the latest `most`, the oldest first."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT b.bake_id FROM bakes b JOIN events e USING (bake_id)
                   WHERE b.kitchen_id = ? AND e.kind IN ('glass', 'looked', 'poked', 'outcome') AND e.at >= ?
                   AND EXISTS (SELECT 1 FROM plans p WHERE p.bake_id = b.bake_id)
                   GROUP BY b.bake_id ORDER BY max(e.at) DESC, b.bake_id LIMIT ?""",
                (kitchen_id, since, most),
            ).fetchall()
        return tuple(row[0] for row in reversed(rows))

    def bakes_where_room_was_read(self, kitchen_id: str, since: int) -> tuple[str, ...]:
        """Picked bakes with a reading of the room since then."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT DISTINCT b.bake_id FROM bakes b JOIN events e USING (bake_id)
                   WHERE b.kitchen_id = ? AND e.kind = 'room' AND e.at >= ?
                   AND EXISTS (SELECT 1 FROM plans p WHERE p.bake_id = b.bake_id)""",
                (kitchen_id, since),
            ).fetchall()
        return tuple(row[0] for row in rows)

    def count_events(self, bake_id: str) -> int:
        """How long the journal is."""
        with self.reading() as db:
            count: int = db.execute("SELECT count(*) FROM events WHERE bake_id = ?", (bake_id,)).fetchone()[0]
        return count

    @staticmethod
    def _own(db: sqlite3.Connection, kitchen_id: str, bake_id: str) -> None:
        row = db.execute("SELECT 1 FROM bakes WHERE bake_id = ? AND kitchen_id = ?", (bake_id, kitchen_id)).fetchone()
        if row is None:
            raise LookupError(bake_id)
