"""Calendar accounts (CalDAV) and what was written into them."""

from __future__ import annotations

import sqlite3
from dataclasses import astuple, dataclass

from webapp.core.kinds import AlarmsFound, HandsOff
from webapp.store.base import Base


@dataclass(frozen=True)
class AccountRow:
    """The calendar a kitchen publishes into. `login` is sealed; `synced` is the calendar version it shows."""

    kitchen_id: str
    calendar_url: str
    name: str
    login: str
    origin: str
    saved_at: int
    synced: int
    good_at: int
    next_try: int
    tries: int
    problem: str
    refused: bool = False  # user name and password were not accepted
    alarms: AlarmsFound = ""
    tag: str = ""  # the calendar's own, when it was last looked at
    failing_since: int = 0  # when what is wrong went wrong, 0 = all is well


@dataclass(frozen=True)
class PostedRow:
    """One event in somebody's calendar as we last wanted it. `hands_off` is "" for what is wholly ours, "moved" or
    "kept" for one whose start a person changed, "removed" or "taken" for what we leave alone,
    "astray" for one that stands we do not know where."""

    uid: str
    url: str
    etag: str
    fingerprint: str
    body: str
    ends: int
    hands_off: HandsOff
    title: str
    plan_start: int = 0
    their_start: int = 0


REFUSED_REST_S = 300  # between two tries of a password that was refused, whatever changed

_ACCOUNT = """SELECT kitchen_id, calendar_url, name, login, origin, saved_at, synced, coalesce(good_at, 0) AS good_at,
              next_try,
              tries, problem, refused, alarms, tag, failing_since FROM caldav_accounts"""
_VERSION = "coalesce((SELECT version FROM calendar_versions v WHERE v.kitchen_id = a.kitchen_id), 0)"
_COMING = """EXISTS (SELECT 1 FROM caldav_events e WHERE e.kitchen_id = a.kitchen_id AND max(e.ends, e.their_start) > ?
             AND e.hands_off != 'taken')"""
_NEW = f"tried != {_VERSION} AND tried_at <= :now - CASE WHEN refused THEN {REFUSED_REST_S} ELSE 0 END"
_BEHIND = f"synced != {_VERSION} AND (next_try <= :now OR ({_NEW}))"


def _account(row: sqlite3.Row) -> AccountRow:
    return AccountRow(**{**dict(row), "refused": bool(row["refused"])})


class Calendars(Base):
    """At most one account per kitchen."""

    def put_account(self, kitchen_id: str, calendar_url: str, name: str, login: str, origin: str, now: int) -> None:
        """Publish into this calendar from now on. Another calendar than before starts with nothing written."""
        with self.transaction() as db:
            same = self.account_at(kitchen_id, calendar_url)
            if not same:
                db.execute("DELETE FROM caldav_events WHERE kitchen_id = ?", (kitchen_id,))
            known = (same.good_at or None, same.alarms) if same else (None, "")  # of the calendar, whoever signs in
            db.execute(
                """INSERT OR REPLACE INTO caldav_accounts
                   (kitchen_id, calendar_url, name, login, origin, saved_at, good_at, alarms)
                   VALUES (?, ?, ?, ?, ?, ?, ?, ?)""",
                (kitchen_id, calendar_url, name, login, origin, now, *known),
            )

    def account(self, kitchen_id: str) -> AccountRow | None:
        """The kitchen's account."""
        with self.reading() as db:
            row = db.execute(f"{_ACCOUNT} WHERE kitchen_id = ?", (kitchen_id,)).fetchone()
        return _account(row) if row else None

    def account_at(self, kitchen_id: str, calendar_url: str) -> AccountRow | None:
        """The kitchen's account, while it is this calendar's: one that was left or changed meanwhile is not."""
        row = self.account(kitchen_id)
        return row if row and row.calendar_url == calendar_url else None

    def accounts_to_sync(self, now: int) -> tuple[AccountRow, ...]:
        """Accounts whose calendar is behind and may be tried: their time has come, or something changed since they
        failed (after a refused password with some minutes between: servers shut out who knocks too often)."""
        with self.reading() as db:
            rows = db.execute(
                f"{_ACCOUNT} a WHERE {_BEHIND} ORDER BY tries, next_try",
                {"now": now},
            ).fetchall()
        return tuple(_account(row) for row in rows)

    def accounts_to_look_at(self, now: int) -> tuple[str, ...]:
        """Kitchens whose calendar is up to date as far as we know, holds coming events of ours, and is to be looked at
        again."""
        with self.reading() as db:
            rows = db.execute(
                f"{_ACCOUNT} a WHERE synced = {_VERSION} AND look_next <= ? AND {_COMING} ORDER BY look_next",
                (now, now),
            ).fetchall()
        return tuple(row["kitchen_id"] for row in rows)

    def account_was_looked_at(self, kitchen_id: str, look_next: int, tag: str) -> None:
        """When to look again, and what the calendar said of itself."""
        with self.transaction() as db:
            db.execute(
                "UPDATE caldav_accounts SET look_next = ?, tag = ? WHERE kitchen_id = ?", (look_next, tag, kitchen_id)
            )

    def look_closely(self, kitchen_id: str) -> None:
        """Look at every event at the next chance, whatever the calendar says of itself."""
        with self.transaction() as db:
            db.execute("UPDATE caldav_accounts SET tag = '' WHERE kitchen_id = ?", (kitchen_id,))

    def account_is_good(self, account: AccountRow, version: int, now: int) -> None:
        """Everything of that version is in the calendar. Nothing for an account that was left or changed meanwhile."""
        with self.transaction() as db:
            db.execute(
                """UPDATE caldav_accounts SET synced = ?, good_at = ?, next_try = 0, tries = 0, problem = '',
                   refused = 0, failing_since = 0 WHERE kitchen_id = ? AND login = ?""",
                (version, now, account.kitchen_id, account.login),
            )

    def account_has_problem(
        self, account: AccountRow, problem: str, next_try: int, version: int, now: int, refused: bool = False
    ) -> None:
        """Say what is wrong, with which version of the plans it was met, and when to try again. Nothing for an account
        that was left or changed meanwhile."""
        with self.transaction() as db:
            db.execute(
                """UPDATE caldav_accounts SET problem = ?, next_try = ?, tries = tries + 1, tried = ?, refused = ?,
                   tried_at = ?, failing_since = CASE failing_since WHEN 0 THEN ? ELSE failing_since END
                   WHERE kitchen_id = ? AND login = ?""",
                (problem, next_try, version, refused, now, now, account.kitchen_id, account.login),
            )

    def alarms_seen(self, kitchen_id: str, found: AlarmsFound) -> None:
        """What reading back an event has shown: "live" or "lost"."""
        with self.transaction() as db:
            db.execute("UPDATE caldav_accounts SET alarms = ? WHERE kitchen_id = ?", (found, kitchen_id))

    def sync_again(self, kitchen_id: str) -> None:
        """Look at everything again at the next chance, at once."""
        with self.transaction() as db:
            db.execute(
                "UPDATE caldav_accounts SET synced = -1, next_try = 0, refused = 0 WHERE kitchen_id = ?", (kitchen_id,)
            )

    def posted(self, kitchen_id: str) -> tuple[PostedRow, ...]:
        """Everything written into the calendar."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT uid, url, etag, fingerprint, body, ends, hands_off, title, plan_start, their_start
                   FROM caldav_events WHERE kitchen_id = ? ORDER BY ends, uid""",
                (kitchen_id,),
            ).fetchall()
        return tuple(PostedRow(*row) for row in rows)

    def account_that_wrote(self, uid: str) -> AccountRow | None:
        """The present account that wrote the event of this name, whichever kitchen's."""
        with self.reading() as db:
            row = db.execute(
                f"{_ACCOUNT} a WHERE kitchen_id IN (SELECT kitchen_id FROM caldav_events WHERE uid = ?)",  # noqa: S608
                (uid,),
            ).fetchone()
        return _account(row) if row else None

    def put_posted(self, kitchen_id: str, row: PostedRow) -> None:
        """Remember what was written; for a kitchen whose account is gone, nothing."""
        with self.transaction() as db:
            if self.account(kitchen_id):
                db.execute(
                    "INSERT OR REPLACE INTO caldav_events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                    (kitchen_id, *astuple(row)),
                )

    def drop_posted(self, kitchen_id: str, uid: str) -> None:
        """That event is not in the calendar any more."""
        with self.transaction() as db:
            db.execute("DELETE FROM caldav_events WHERE kitchen_id = ? AND uid = ?", (kitchen_id, uid))

    def kitchens_with_tests(self, before: int) -> tuple[str, ...]:
        """Kitchens in whose calendars test rings from before that instant still stand."""
        with self.reading() as db:
            rows = db.execute(
                "SELECT DISTINCT kitchen_id FROM caldav_events WHERE uid LIKE '%-test@suppertide' AND ends < ?",
                (before,),
            ).fetchall()
        return tuple(row[0] for row in rows)
