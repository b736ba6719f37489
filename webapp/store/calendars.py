"""Calendar accounts (CalDAV) and what was written into them."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True)
class PostedRow:
    """One event in somebody's calendar as we last wrote it. `hands_off` says why we leave it alone, "" = ours."""

    uid: str
    url: str
    etag: str
    fingerprint: str
    body: str
    ends: int
    hands_off: str
    title: str


_ACCOUNT = """SELECT kitchen_id, calendar_url, name, login, origin, saved_at, synced, coalesce(good_at, 0), next_try,
              tries, problem FROM caldav_accounts"""
_BEHIND = """next_try <= ? AND
    synced != coalesce((SELECT version FROM calendar_versions v WHERE v.kitchen_id = a.kitchen_id), 0)"""


class Calendars(Base):
    """At most one account per kitchen."""

    def put_account(self, kitchen_id: str, calendar_url: str, name: str, login: str, origin: str, now: int) -> None:
        """Publish into this calendar from now on. Another calendar than before starts with nothing written."""
        with self.transaction() as db:
            before = self.account(kitchen_id)
            if before and before.calendar_url != calendar_url:
                db.execute("DELETE FROM caldav_events WHERE kitchen_id = ?", (kitchen_id,))
            db.execute(
                """INSERT OR REPLACE INTO caldav_accounts (kitchen_id, calendar_url, name, login, origin, saved_at)
                   VALUES (?, ?, ?, ?, ?, ?)""",
                (kitchen_id, calendar_url, name, login, origin, now),
            )

    def account(self, kitchen_id: str) -> AccountRow | None:
        """The kitchen's account."""
        with self.reading() as db:
            row = db.execute(f"{_ACCOUNT} WHERE kitchen_id = ?", (kitchen_id,)).fetchone()
        return AccountRow(*row) if row else None

    def accounts_to_sync(self, now: int) -> tuple[AccountRow, ...]:
        """Accounts whose calendar is behind and may be tried again."""
        with self.reading() as db:
            rows = db.execute(
                f"{_ACCOUNT} a WHERE {_BEHIND} ORDER BY next_try",
                (now,),
            ).fetchall()
        return tuple(AccountRow(*row) for row in rows)

    def account_is_good(self, kitchen_id: str, version: int, now: int) -> None:
        """Everything of that version is in the calendar."""
        with self.transaction() as db:
            db.execute(
                """UPDATE caldav_accounts SET synced = ?, good_at = ?, next_try = 0, tries = 0, problem = ''
                   WHERE kitchen_id = ?""",
                (version, now, kitchen_id),
            )

    def account_has_problem(self, kitchen_id: str, problem: str, next_try: int) -> None:
        """Say what is wrong, and when to try again."""
        with self.transaction() as db:
            db.execute(
                "UPDATE caldav_accounts SET problem = ?, next_try = ?, tries = tries + 1 WHERE kitchen_id = ?",
                (problem, next_try, kitchen_id),
            )

    def sync_again(self, kitchen_id: str) -> None:
        """Look at everything again at the next chance, at once."""
        with self.transaction() as db:
            db.execute("UPDATE caldav_accounts SET synced = -1, next_try = 0 WHERE kitchen_id = ?", (kitchen_id,))

    def drop_account(self, kitchen_id: str) -> None:
        """Forget the account, its password and what was written."""
        with self.transaction() as db:
            db.execute("DELETE FROM caldav_events WHERE kitchen_id = ?", (kitchen_id,))
            db.execute("DELETE FROM caldav_accounts WHERE kitchen_id = ?", (kitchen_id,))

    def posted(self, kitchen_id: str) -> tuple[PostedRow, ...]:
        """Everything written into the calendar."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT uid, url, etag, fingerprint, body, ends, hands_off, title FROM caldav_events
                   WHERE kitchen_id = ? ORDER BY ends, uid""",
                (kitchen_id,),
            ).fetchall()
        return tuple(PostedRow(*row) for row in rows)

    def put_posted(self, kitchen_id: str, row: PostedRow) -> None:
        """Remember what was written; for a kitchen whose account is gone, nothing."""
        with self.transaction() as db:
            if self.account(kitchen_id):
                db.execute(
                    "INSERT OR REPLACE INTO caldav_events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                    (kitchen_id, row.uid, row.url, row.etag, row.fingerprint, row.body, row.ends, row.hands_off,
                     row.title),
                )  # fmt: skip

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
