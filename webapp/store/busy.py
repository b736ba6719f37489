"""Each person's busy stretches, and the calendars they are read from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields, replace

from sqlalchemy import bindparam, delete, exists, insert, select, union, update

from webapp.store.base import Base, put
from webapp.store.schema.tables import busy, busy_calendars, phones


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


_PERSON = tuple((there, (there.c.kitchen_id == bindparam("kitchen")) & (there.c.person == bindparam("who")))
                for there in (busy, busy_calendars))  # fmt: skip
_FORGET = tuple(delete(there).where(this) for there, this in _PERSON)
_MOVE_UP = tuple(update(there).where(this).values(person=there.c.person - 1) for there, this in _PERSON)
_LATER = union(
    *(
        select(there.c.person).where(there.c.kitchen_id == bindparam("kitchen"), there.c.person > bindparam("who"))
        for there in (busy, busy_calendars)
    )
)
_CALENDARS = select(*(busy_calendars.c[one.name] for one in fields(BusyCalendar)))
_OPENED = exists().where(phones.c.kitchen_id == busy_calendars.c.kitchen_id, phones.c.seen_at >= bindparam("seen"))
_DUE = _CALENDARS.where(
    busy_calendars.c.address != "", busy_calendars.c.next_try <= bindparam("now"), _OPENED
).order_by(busy_calendars.c.tries, busy_calendars.c.next_try)
_STRETCHES = (
    select(busy.c.starts, busy.c.ends)
    .where(_PERSON[0][1], busy.c.ends > bindparam("since"))
    .order_by(busy.c.starts, busy.c.ends)
)


class BusyRows(Base):
    """A person is told by the place in the kitchen's list."""

    def set_busy(self, kitchen_id: str, stretches: Iterable[tuple[int, int]], person: int = 0) -> None:
        """Replace all busy stretches (instants: start, end) of one person."""
        rows = [
            {"kitchen_id": kitchen_id, "person": person, "starts": a, "ends": b} for a, b in dict.fromkeys(stretches)
        ]
        with self.transaction(kitchen_id) as db:
            db.execute(_FORGET[0], {"kitchen": kitchen_id, "who": person})
            if rows:
                db.execute(insert(busy), rows)

    def busy(self, kitchen_id: str, since: int = 0, person: int = 0) -> tuple[tuple[int, int], ...]:
        """One person's busy stretches that end after `since`, by start."""
        with self.reading(kitchen_id) as db:
            rows = db.execute(_STRETCHES, {"kitchen": kitchen_id, "who": person, "since": since})
            return tuple((row.starts, row.ends) for row in rows)

    def put_busy_calendar(self, row: BusyCalendar) -> None:
        """Say where a person's stretches come from; what was said of it before is replaced."""
        with self.transaction(row.kitchen_id) as db:
            put(db, busy_calendars, asdict(row))

    def busy_calendars(self, kitchen_id: str) -> tuple[BusyCalendar, ...]:
        """Of everybody in the kitchen who has one."""
        ours = _CALENDARS.where(busy_calendars.c.kitchen_id == kitchen_id).order_by(busy_calendars.c.person)
        with self.reading(kitchen_id) as db:
            return tuple(BusyCalendar(*row) for row in db.execute(ours))

    def forget_busy(self, kitchen_id: str, person: int) -> None:
        """No busy stretches any more, and no calendar they come from."""
        with self.transaction(kitchen_id) as db:
            for forget in _FORGET:
                db.execute(forget, {"kitchen": kitchen_id, "who": person})

    def busy_to_fetch(self, now: int, seen_since: int, kitchen_id: str = "") -> tuple[BusyCalendar, ...]:
        """Calendars with an address whose time has come, of one kitchen or of all that were opened since."""
        due = _DUE.where(busy_calendars.c.kitchen_id == kitchen_id) if kitchen_id else _DUE
        with self.reading(kitchen_id) as db:
            return tuple(BusyCalendar(*row) for row in db.execute(due, {"now": now, "seen": seen_since}))

    def busy_was_fetched(self, row: BusyCalendar, stretches: Iterable[tuple[int, int]] | None) -> None:
        """Keep what fetching has shown, and the stretches unless they are as before (None).

        Fetching takes a while: whose calendar it is, and whether it is still wanted, is told by its sealed address.
        """
        there = (busy_calendars.c.kitchen_id == row.kitchen_id, busy_calendars.c.address == row.address)
        with self.transaction(row.kitchen_id) as db:
            person = db.execute(select(busy_calendars.c.person).where(*there)).scalar()
            if person is not None:
                self.put_busy_calendar(replace(row, person=person))
                if stretches is not None:
                    self.set_busy(row.kitchen_id, stretches, person)

    def person_left(self, kitchen_id: str, person: int) -> None:
        """Forget that person's busy stretches; those after them in the list move up."""
        with self.transaction(kitchen_id) as db:
            self.forget_busy(kitchen_id, person)
            later = db.execute(_LATER, {"kitchen": kitchen_id, "who": person}).scalars().all()
            for place in sorted(later):  # one after the other: two people may be busy with the same thing
                for move_up in _MOVE_UP:
                    db.execute(move_up, {"kitchen": kitchen_id, "who": place})
