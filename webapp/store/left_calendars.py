"""Calendars that are being left: what of ours still stands in them, and the login until it is out."""

from __future__ import annotations

from dataclasses import astuple, dataclass, replace

from webapp.store.base import Base
from webapp.store.calendars import AccountRow, PostedRow

_LEFT = "SELECT left_id, kitchen_id, calendar_url, name, login, since, next_try, tries, problem FROM left_calendars"
_LATE = "written while it was left"  # in place of a fingerprint: no plan has it, so it is known from what stood before
_OF_ITS_BAKES = """EXISTS (SELECT 1 FROM bakes b WHERE b.kitchen_id = :kitchen
    AND substr(e.uid, 1, length(b.bake_id) + 1) = b.bake_id || '-')"""


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


class LeftCalendars(Base):
    """A kitchen may be leaving several."""

    def leave_account(self, kitchen_id: str, now: int) -> int:
        """The kitchen's calendar is written no more; what was written, and the login, go over to one that is being
        left. Its id, 0 when there was none."""
        with self.transaction() as db:
            made = db.execute(
                """INSERT INTO left_calendars (kitchen_id, calendar_url, name, login, since)
                   SELECT kitchen_id, calendar_url, name, login, ? FROM caldav_accounts WHERE kitchen_id = ?""",
                (now, kitchen_id),
            )
            if not made.rowcount:
                return 0
            left_id = made.lastrowid or 0
            db.execute(
                """INSERT INTO left_events
                   SELECT ?, uid, url, etag, fingerprint, body, ends, hands_off, title, plan_start, their_start
                   FROM caldav_events WHERE kitchen_id = ?""",
                (left_id, kitchen_id),
            )
            db.execute("DELETE FROM caldav_events WHERE kitchen_id = ?", (kitchen_id,))
            db.execute("DELETE FROM caldav_accounts WHERE kitchen_id = ?", (kitchen_id,))
        return left_id

    def left_calendars(self, kitchen_id: str) -> tuple[LeftRow, ...]:
        """Those that this kitchen is leaving, or left with events of ours in them."""
        with self.reading() as db:
            rows = db.execute(f"{_LEFT} WHERE kitchen_id = ? ORDER BY left_id", (kitchen_id,)).fetchall()
        return tuple(LeftRow(*row) for row in rows)

    def left_calendar(self, left_id: int) -> LeftRow | None:
        """One of them; None when all is done."""
        with self.reading() as db:
            row = db.execute(f"{_LEFT} WHERE left_id = ?", (left_id,)).fetchone()
        return LeftRow(*row) if row else None

    def left_to_try(self, now: int) -> tuple[int, ...]:
        """Whose login is kept and that may be tried now."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT left_id FROM left_calendars WHERE login != '' AND next_try <= ? ORDER BY tries, next_try",
                (now,),
            ).fetchall()
        return tuple(row[0] for row in rows)

    def left_events(self, left_id: int) -> tuple[PostedRow, ...]:
        """What may still stand in it."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT uid, url, etag, fingerprint, body, ends, hands_off, title, plan_start, their_start
                   FROM left_events WHERE left_id = ? ORDER BY ends, uid""",
                (left_id,),
            ).fetchall()
        return tuple(PostedRow(*row) for row in rows)

    def put_late(self, account: AccountRow, row: PostedRow, now: int) -> bool:
        """This was written while its calendar was left: it is among what is to be taken out there, at the next chance.
        A calendar that was out by then is left once more. False when the kitchen is gone, and nothing is kept."""
        with self.transaction() as db:
            left = db.execute(
                """SELECT left_id FROM left_calendars WHERE calendar_url = ?
                   AND (login = ? OR (login = '' AND kitchen_id = ?)) ORDER BY login = '', left_id DESC""",
                (account.calendar_url, account.login, account.kitchen_id),
            ).fetchone()
            left_id = left[0] if left else self._leave_once_more(account, now)
            if not left_id:
                return False
            late = astuple(replace(row, fingerprint=_LATE))
            db.execute("INSERT OR REPLACE INTO left_events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", (left_id, *late))
            db.execute("UPDATE left_calendars SET next_try = 0 WHERE left_id = ?", (left_id,))
        return True

    def _leave_once_more(self, account: AccountRow, now: int) -> int:
        """0 when the kitchen is gone too."""
        with self.transaction() as db:
            made = db.execute(
                """INSERT INTO left_calendars (kitchen_id, calendar_url, name, login, since)
                   SELECT kitchen_id, ?, ?, ?, ? FROM kitchens WHERE kitchen_id = ?""",
                (account.calendar_url, account.name, account.login, now, account.kitchen_id),
            )
            return (made.lastrowid or 0) if made.rowcount else 0

    def drop_left_event(self, left_id: int, held: PostedRow) -> None:
        """That event rings there no more; one that was written anew meanwhile stays known."""
        with self.transaction() as db:
            db.execute(
                "DELETE FROM left_events WHERE left_id = ? AND uid = ? AND fingerprint = ?",
                (left_id, held.uid, held.fingerprint),
            )

    def left_has_problem(self, left_id: int, problem: str, next_try: int) -> None:
        """Why not everything is out, and when to try again."""
        with self.transaction() as db:
            db.execute(
                "UPDATE left_calendars SET problem = ?, next_try = ?, tries = tries + 1 WHERE left_id = ?",
                (problem, next_try, left_id),
            )

    def forget_left_login(self, left_id: int, problem: str) -> None:
        """No more tries: user name and password are forgotten; what stands there stays known, to be told of."""
        with self.transaction() as db:
            db.execute("UPDATE left_calendars SET login = '', problem = ? WHERE left_id = ?", (problem, left_id))

    def drop_left_when_out(self, left_id: int) -> None:
        """Nothing of it is kept, unless something of ours is known to stand there."""
        with self.transaction() as db:
            db.execute(
                """DELETE FROM left_calendars AS l WHERE left_id = ?
                   AND NOT EXISTS (SELECT 1 FROM left_events e WHERE e.left_id = l.left_id)""",
                (left_id,),
            )

    def drop_left(self, left_id: int) -> None:
        """The person knows: nothing of it is kept."""
        with self.transaction() as db:
            db.execute("DELETE FROM left_calendars WHERE left_id = ?", (left_id,))

    def hand_over_left(self, kitchen_id: str, to_kitchen_id: str, named: str) -> None:
        """What this kitchen is leaving is told of, and may be ended, in another one from now on; `named` comes behind
        the calendars' names."""
        with self.transaction() as db:
            db.execute(
                "UPDATE left_calendars SET kitchen_id = ?, name = name || ? WHERE kitchen_id = ?",
                (to_kitchen_id, named, kitchen_id),
            )

    def take_back_left(self, kitchen_id: str, calendar_url: str) -> None:
        """This calendar is written again: what stands there of ours is known as before. So is what another kitchen
        took over to leave it, of bakes of this one: a phone may have come back."""
        asked = {"kitchen": kitchen_id, "url": calendar_url}
        with self.transaction() as db:
            db.execute(
                f"""INSERT OR IGNORE INTO caldav_events
                   SELECT :kitchen, uid, url, etag, fingerprint, body, ends, hands_off, title, plan_start,
                   their_start FROM left_events e JOIN left_calendars l USING (left_id)
                   WHERE l.calendar_url = :url AND (l.kitchen_id = :kitchen OR {_OF_ITS_BAKES})""",  # noqa: S608
                asked,
            )
            db.execute(
                f"""DELETE FROM left_events AS e WHERE {_OF_ITS_BAKES}
                   AND left_id IN (SELECT left_id FROM left_calendars WHERE calendar_url = :url)""",  # noqa: S608
                asked,
            )
            db.execute(
                "DELETE FROM left_calendars WHERE kitchen_id = ? AND calendar_url = ?", (kitchen_id, calendar_url)
            )
