"""Each person's busy stretches, and the calendars they are read from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields, replace

from webapp.store.base import Base


@dataclass(frozen=True)
class BusyCalendar:
    """Where one person's busy stretches come from: an uploaded file, or a calendar's own address (sealed)."""

    kitchen_id: str
    person: int
    reach: int  # until which instant it was read
    read_at: int  # when it was last found right, 0 = not known
    address: str = ""
    host: str = ""
    zone: str = ""
    etag: str = ""
    modified: str = ""
    notes: str = "[]"
    problem: str = ""
    tries: int = 0
    next_try: int = 0


_COLUMNS = tuple(one.name for one in fields(BusyCalendar))
_CALENDARS = f"SELECT {', '.join(_COLUMNS)} FROM busy_calendars b"  # noqa: S608 - names of our own fields
_PUT = f"INSERT OR REPLACE INTO busy_calendars ({', '.join(_COLUMNS)}) VALUES ({', '.join('?' for _ in _COLUMNS)})"  # noqa: S608 - the same
_OPENED = "EXISTS (SELECT 1 FROM phones p WHERE p.kitchen_id = b.kitchen_id AND p.seen_at >= ?)"
_FORGET = (
    "DELETE FROM busy WHERE kitchen_id = ? AND person = ?",
    "DELETE FROM busy_calendars WHERE kitchen_id = ? AND person = ?",
)
_LATER = """SELECT person FROM busy WHERE kitchen_id = :kitchen AND person > :gone UNION
            SELECT person FROM busy_calendars WHERE kitchen_id = :kitchen AND person > :gone ORDER BY person"""
_MOVE_UP = (
    "UPDATE busy SET person = person - 1 WHERE kitchen_id = ? AND person = ?",
    "UPDATE busy_calendars SET person = person - 1 WHERE kitchen_id = ? AND person = ?",
)


class BusyRows(Base):
    """A person is told by the place in the kitchen's list."""

    def set_busy(self, kitchen_id: str, stretches: Iterable[tuple[int, int]], person: int = 0) -> None:
        """Replace all busy stretches (instants: start, end) of one person."""
        with self.transaction() as db:
            db.execute("DELETE FROM busy WHERE kitchen_id = ? AND person = ?", (kitchen_id, person))
            db.executemany(
                "INSERT OR IGNORE INTO busy VALUES (?, ?, ?, ?)",
                ((kitchen_id, person, start, end) for start, end in stretches),
            )

    def busy(self, kitchen_id: str, since: int = 0, person: int = 0) -> tuple[tuple[int, int], ...]:
        """One person's busy stretches that end after `since`, by start."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT starts, ends FROM busy WHERE kitchen_id = ? AND person = ? AND ends > ? ORDER BY starts, ends",
                (kitchen_id, person, since),
            ).fetchall()
        return tuple((row[0], row[1]) for row in rows)

    def put_busy_calendar(self, row: BusyCalendar) -> None:
        """Say where a person's stretches come from; what was said of it before is replaced."""
        with self.transaction() as db:
            db.execute(_PUT, astuple(row))

    def busy_calendars(self, kitchen_id: str) -> tuple[BusyCalendar, ...]:
        """Of everybody in the kitchen who has one."""
        with self.reading() as db:
            rows = db.execute(f"{_CALENDARS} WHERE kitchen_id = ? ORDER BY person", (kitchen_id,)).fetchall()
        return tuple(BusyCalendar(*row) for row in rows)

    def forget_busy(self, kitchen_id: str, person: int) -> None:
        """No busy stretches any more, and no calendar they come from."""
        with self.transaction() as db:
            for sql in _FORGET:
                db.execute(sql, (kitchen_id, person))

    def busy_to_fetch(self, now: int, seen_since: int, kitchen_id: str = "") -> tuple[BusyCalendar, ...]:
        """Calendars with an address whose time has come, of one kitchen or of all that were opened since."""
        with self.reading() as db:
            rows = db.execute(
                f"""{_CALENDARS} WHERE address != '' AND next_try <= ? AND (kitchen_id = ? OR ? = '') AND {_OPENED}
                    ORDER BY tries, next_try""",
                (now, kitchen_id, kitchen_id, seen_since),
            ).fetchall()
        return tuple(BusyCalendar(*row) for row in rows)

    def busy_was_fetched(self, row: BusyCalendar, stretches: Iterable[tuple[int, int]] | None) -> None:
        """Keep what fetching has shown, and the stretches unless they are as before (None).

        Fetching takes a while: whose calendar it is, and whether it is still wanted, is told by its sealed address.
        """
        with self.transaction() as db:
            held = db.execute(
                "SELECT person FROM busy_calendars WHERE kitchen_id = ? AND address = ?", (row.kitchen_id, row.address)
            ).fetchone()
            if held:
                self.put_busy_calendar(replace(row, person=held["person"]))
                if stretches is not None:
                    self.set_busy(row.kitchen_id, stretches, held["person"])

    def person_left(self, kitchen_id: str, person: int) -> None:
        """Forget that person's busy stretches; those after them in the list move up."""
        with self.transaction() as db:
            self.forget_busy(kitchen_id, person)
            later = db.execute(_LATER, {"kitchen": kitchen_id, "gone": person}).fetchall()
            for (place,) in later:  # one after the other: two people may be busy with the same thing
                for sql in _MOVE_UP:
                    db.execute(sql, (kitchen_id, place))
