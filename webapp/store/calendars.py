"""Calendar accounts (CalDAV) and what was written into them."""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields
from typing import Any

from sqlalchemy import BindParameter, Row, bindparam, case, delete, exists, func, or_, select, update

from webapp.core.kinds import AlarmsFound, HandsOff
from webapp.store.base import Base, put
from webapp.store.schema.tables import caldav_accounts, caldav_events, calendar_versions


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

_account, _event = caldav_accounts.c, caldav_events.c
_NOW: BindParameter[int] = bindparam("now")
_ACCOUNT = select(*(_account[one.name] for one in fields(AccountRow)))
_VERSION = func.coalesce(
    select(calendar_versions.c.version)
    .where(calendar_versions.c.kitchen_id == _account.kitchen_id)
    .correlate(caldav_accounts)
    .scalar_subquery(),
    0,
)
_COMING = exists().where(
    _event.kitchen_id == _account.kitchen_id,
    (_event.ends > _NOW) | (_event.their_start > _NOW),
    _event.hands_off != "taken",
)
_REST = case((_account.refused != 0, REFUSED_REST_S), else_=0)
_BEHIND = (_account.synced != _VERSION) & or_(
    _account.next_try <= _NOW, (_account.tried != _VERSION) & (_account.tried_at <= _NOW - _REST)
)
_TO_SYNC = _ACCOUNT.where(_BEHIND).order_by(_account.tries, _account.next_try)
_TO_LOOK_AT = (
    select(_account.kitchen_id)
    .where(_account.synced == _VERSION, _account.look_next <= _NOW, _COMING)
    .order_by(_account.look_next)
)
POSTED = tuple(one.name for one in fields(PostedRow))
_POSTED = select(*(_event[name] for name in POSTED)).order_by(_event.ends, _event.uid)


def _read(row: Row[*tuple[Any, ...]]) -> AccountRow:
    said = dict(row._mapping)
    return AccountRow(**said | {"refused": bool(said["refused"]), "good_at": said["good_at"] or 0})


class Calendars(Base):
    """At most one account per kitchen."""

    def put_account(self, kitchen_id: str, calendar_url: str, name: str, login: str, origin: str, now: int) -> None:
        """Publish into this calendar from now on. Another calendar than before starts with nothing written."""
        new = {"kitchen_id": kitchen_id, "calendar_url": calendar_url, "name": name, "login": login, "origin": origin}
        with self.transaction(kitchen_id) as db:
            same = self.account_at(kitchen_id, calendar_url)
            if not same:
                db.execute(delete(caldav_events).where(_event.kitchen_id == kitchen_id))
            # Of the calendar, whoever signs in.
            known = {"good_at": same.good_at or None, "alarms": same.alarms} if same else {}
            put(db, caldav_accounts, new | {"saved_at": now} | known)

    def account(self, kitchen_id: str) -> AccountRow | None:
        """The kitchen's account."""
        with self.reading(kitchen_id) as db:
            row = db.execute(_ACCOUNT.where(_account.kitchen_id == kitchen_id)).first()
        return _read(row) if row else None

    def account_at(self, kitchen_id: str, calendar_url: str) -> AccountRow | None:
        """The kitchen's account, while it is this calendar's: one that was left or changed meanwhile is not."""
        row = self.account(kitchen_id)
        return row if row and row.calendar_url == calendar_url else None

    def accounts_to_sync(self, now: int) -> tuple[AccountRow, ...]:
        """Accounts whose calendar is behind and may be tried: their time has come, or something changed since they
        failed (after a refused password with some minutes between: servers shut out who knocks too often)."""
        with self.reading() as db:
            return tuple(_read(row) for row in db.execute(_TO_SYNC, {"now": now}))

    def accounts_to_look_at(self, now: int) -> tuple[str, ...]:
        """Kitchens whose calendar is up to date as far as we know, holds coming events of ours, and is to be looked at
        again."""
        with self.reading() as db:
            return tuple(db.execute(_TO_LOOK_AT, {"now": now}).scalars())

    def account_was_looked_at(self, kitchen_id: str, look_next: int, tag: str) -> None:
        """When to look again, and what the calendar said of itself."""
        self._note(kitchen_id, look_next=look_next, tag=tag)

    def look_closely(self, kitchen_id: str) -> None:
        """Look at every event at the next chance, whatever the calendar says of itself."""
        self._note(kitchen_id, tag="")

    def account_is_good(self, account: AccountRow, version: int, now: int) -> None:
        """Everything of that version is in the calendar. Nothing for an account that was left or changed meanwhile."""
        good = {"next_try": 0, "tries": 0, "problem": "", "refused": 0, "failing_since": 0}
        self._note(account.kitchen_id, account.login, synced=version, good_at=now, **good)

    def account_has_problem(
        self, account: AccountRow, problem: str, next_try: int, version: int, now: int, refused: bool = False
    ) -> None:
        """Say what is wrong, with which version of the plans it was met, and when to try again. Nothing for an account
        that was left or changed meanwhile."""
        met = {"problem": problem, "next_try": next_try, "tried": version, "refused": int(refused), "tried_at": now}
        since = case((_account.failing_since == 0, now), else_=_account.failing_since)
        self._note(account.kitchen_id, account.login, **met, tries=_account.tries + 1, failing_since=since)

    def alarms_seen(self, kitchen_id: str, found: AlarmsFound) -> None:
        """What reading back an event has shown: "live" or "lost"."""
        self._note(kitchen_id, alarms=found)

    def sync_again(self, kitchen_id: str) -> None:
        """Look at everything again at the next chance, at once."""
        self._note(kitchen_id, synced=-1, next_try=0, refused=0)

    def _note(self, kitchen_id: str, login: str | None = None, **said: object) -> None:
        """Of the kitchen's account, or only while it is signed in to by this login."""
        this = [_account.kitchen_id == kitchen_id, *([] if login is None else [_account.login == login])]
        with self.transaction(kitchen_id) as db:
            db.execute(update(caldav_accounts).where(*this).values(said))

    def posted(self, kitchen_id: str) -> tuple[PostedRow, ...]:
        """Everything written into the calendar."""
        with self.reading(kitchen_id) as db:
            return tuple(PostedRow(*row) for row in db.execute(_POSTED.where(_event.kitchen_id == kitchen_id)))

    def account_that_wrote(self, uid: str) -> AccountRow | None:
        """The present account that wrote the event of this name, whichever kitchen's."""
        wrote = exists().where(_event.kitchen_id == _account.kitchen_id, _event.uid == uid)
        with self.reading() as db:
            row = db.execute(_ACCOUNT.where(wrote)).first()
        return _read(row) if row else None

    def put_posted(self, kitchen_id: str, row: PostedRow) -> None:
        """Remember what was written; for a kitchen whose account is gone, nothing."""
        with self.transaction(kitchen_id) as db:
            if self.account(kitchen_id):
                put(db, caldav_events, {"kitchen_id": kitchen_id, **asdict(row)})

    def drop_posted(self, kitchen_id: str, uid: str) -> None:
        """That event is not in the calendar any more."""
        with self.transaction(kitchen_id) as db:
            db.execute(delete(caldav_events).where(_event.kitchen_id == kitchen_id, _event.uid == uid))

    def kitchens_with_tests(self, before: int) -> tuple[str, ...]:
        """Kitchens in whose calendars test rings from before that instant still stand."""
        over = (_event.uid.like("%-test@suppertide"), _event.ends < before)
        with self.reading() as db:
            return tuple(db.execute(select(_event.kitchen_id).where(*over).distinct()).scalars())
