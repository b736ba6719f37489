"""Calendars that are being left: what of ours still stands in them, and the login until it is out."""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields, replace

from sqlalchemy import Connection, Select, delete, exists, func, insert, literal, or_, select, update
from sqlalchemy.sql.elements import ColumnElement

from webapp.store.base import Base, or_leave, put
from webapp.store.calendars import POSTED, AccountRow, PostedRow
from webapp.store.schema.tables import bakes, caldav_accounts, caldav_events, kitchens, left_calendars, left_events

_LATE = "written while it was left"  # in place of a fingerprint: no plan has it, so it is known from what stood before


@dataclass(frozen=True)
class LeftRow:
    """One calendar that is being left. `login` is sealed, "" once it is forgotten."""

    left_id: int
    kitchen_id: str
    calendar_url: str
    name: str
    login: str
    since: int
    next_try: int = 0
    tries: int = 0
    problem: str = ""


_left, _event = left_calendars.c, left_events.c
_LEFT = select(*(_left[one.name] for one in fields(LeftRow)))
_TAKEN = ("kitchen_id", "calendar_url", "name", "login", "since")


def _of_bakes_of(kitchen_id: str) -> ColumnElement[bool]:
    begins = func.substr(_event.uid, 1, func.length(bakes.c.bake_id) + 1) == bakes.c.bake_id + "-"
    return exists().where(bakes.c.kitchen_id == kitchen_id, begins).correlate(left_events)


def _begin(db: Connection, taken: Select[tuple[str, str, str, str, int]]) -> int:
    """Begin to leave what is named there; its id, 0 when nothing is."""
    made = insert(left_calendars).from_select(list(_TAKEN), taken).returning(_left.left_id)
    return db.execute(made).scalar() or 0


class LeftCalendars(Base):
    """A kitchen may be leaving several."""

    def leave_account(self, kitchen_id: str, now: int) -> int:
        """The kitchen's calendar is written no more; what was written, and the login, go over to one that is being
        left. Its id, 0 when there was none."""
        account, written = caldav_accounts.c, caldav_events.c
        taken = select(account.kitchen_id, account.calendar_url, account.name, account.login, literal(now))
        with self.transaction(kitchen_id) as db:
            left_id = _begin(db, taken.where(account.kitchen_id == kitchen_id))
            if left_id:
                theirs = select(literal(left_id), *(written[name] for name in POSTED))
                over = theirs.where(written.kitchen_id == kitchen_id)
                db.execute(insert(left_events).from_select(["left_id", *POSTED], over))
                db.execute(delete(caldav_events).where(written.kitchen_id == kitchen_id))
                db.execute(delete(caldav_accounts).where(account.kitchen_id == kitchen_id))
        return left_id

    def left_calendars(self, kitchen_id: str) -> tuple[LeftRow, ...]:
        """Those that this kitchen is leaving, or left with events of ours in them."""
        with self.reading(kitchen_id) as db:
            rows = db.execute(_LEFT.where(_left.kitchen_id == kitchen_id).order_by(_left.left_id))
            return tuple(LeftRow(*row) for row in rows)

    def left_calendar(self, left_id: int) -> LeftRow | None:
        """One of them; None when all is done."""
        with self.reading() as db:
            row = db.execute(_LEFT.where(_left.left_id == left_id)).first()
        return LeftRow(*row) if row else None

    def left_to_try(self, now: int) -> tuple[int, ...]:
        """Whose login is kept and that may be tried now."""
        due = select(_left.left_id).where(_left.login != "", _left.next_try <= now)
        with self.reading() as db:
            return tuple(db.execute(due.order_by(_left.tries, _left.next_try)).scalars())

    def left_events(self, left_id: int) -> tuple[PostedRow, ...]:
        """What may still stand in it."""
        there = select(*(_event[name] for name in POSTED)).where(_event.left_id == left_id)
        with self.reading() as db:
            return tuple(PostedRow(*row) for row in db.execute(there.order_by(_event.ends, _event.uid)))

    def put_late(self, account: AccountRow, row: PostedRow, now: int) -> bool:
        """This was written while its calendar was left: it is among what is to be taken out there, at the next chance.
        A calendar that was out by then is left once more. False when the kitchen is gone, and nothing is kept."""
        known = or_(_left.login == account.login, (_left.login == "") & (_left.kitchen_id == account.kitchen_id))
        there = select(_left.left_id).where(_left.calendar_url == account.calendar_url, known)
        with self.transaction(account.kitchen_id) as db:
            left = db.execute(there.order_by(_left.login == "", _left.left_id.desc())).scalar()
            left_id = left or self._leave_once_more(account, now)
            if not left_id:
                return False
            put(db, left_events, {"left_id": left_id, **asdict(replace(row, fingerprint=_LATE))})
            db.execute(update(left_calendars).where(_left.left_id == left_id).values(next_try=0))
        return True

    def _leave_once_more(self, account: AccountRow, now: int) -> int:
        """0 when the kitchen is gone too."""
        said = (literal(one) for one in (account.calendar_url, account.name, account.login, now))
        with self.transaction(account.kitchen_id) as db:
            return _begin(db, select(kitchens.c.kitchen_id, *said).where(kitchens.c.kitchen_id == account.kitchen_id))

    def drop_left_event(self, left_id: int, held: PostedRow) -> None:
        """That event rings there no more; one that was written anew meanwhile stays known."""
        this = (_event.left_id == left_id, _event.uid == held.uid, _event.fingerprint == held.fingerprint)
        with self.transaction() as db:
            db.execute(delete(left_events).where(*this))

    def left_has_problem(self, left_id: int, problem: str, next_try: int) -> None:
        """Why not everything is out, and when to try again."""
        self._note_left(left_id, problem=problem, next_try=next_try, tries=_left.tries + 1)

    def forget_left_login(self, left_id: int, problem: str) -> None:
        """No more tries: user name and password are forgotten; what stands there stays known, to be told of."""
        self._note_left(left_id, login="", problem=problem)

    def _note_left(self, left_id: int, **said: object) -> None:
        with self.transaction() as db:
            db.execute(update(left_calendars).where(_left.left_id == left_id).values(said))

    def drop_left_when_out(self, left_id: int) -> None:
        """Nothing of it is kept, unless something of ours is known to stand there."""
        stands = exists().where(_event.left_id == _left.left_id)
        with self.transaction() as db:
            db.execute(delete(left_calendars).where(_left.left_id == left_id, ~stands))

    def drop_left(self, left_id: int) -> None:
        """The person knows: nothing of it is kept."""
        with self.transaction() as db:
            db.execute(delete(left_calendars).where(_left.left_id == left_id))

    def hand_over_left(self, kitchen_id: str, to_kitchen_id: str, named: str) -> None:
        """What this kitchen is leaving is told of, and may be ended, in another one from now on; `named` comes behind
        the calendars' names."""
        theirs = {"kitchen_id": to_kitchen_id, "name": _left.name + named}
        with self.transaction(kitchen_id) as db:
            db.execute(update(left_calendars).where(_left.kitchen_id == kitchen_id).values(theirs))

    def take_back_left(self, kitchen_id: str, calendar_url: str) -> None:
        """This calendar is written again: what stands there of ours is known as before. So is what another kitchen
        took over to leave it, of bakes of this one: a phone may have come back."""
        here = _left.calendar_url == calendar_url
        ours = or_(_left.kitchen_id == kitchen_id, _of_bakes_of(kitchen_id))
        there = select(literal(kitchen_id), *(_event[name] for name in POSTED)).select_from(
            left_events.join(left_calendars)
        )
        with self.transaction(kitchen_id) as db:
            known = or_leave(db, caldav_events).from_select(["kitchen_id", *POSTED], there.where(here, ours))
            db.execute(known)
            of_this = _event.left_id.in_(select(_left.left_id).where(here))
            db.execute(delete(left_events).where(_of_bakes_of(kitchen_id), of_this))
            db.execute(delete(left_calendars).where(_left.kitchen_id == kitchen_id, here))
