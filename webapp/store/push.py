"""Push messages: which phones want them, which are due, and which were sent. Never twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from typing import Any

from sqlalchemy import BigInteger, Row, Text, bindparam, delete, exists, func, insert, select, tuple_, update
from sqlalchemy.sql.elements import ColumnElement

from webapp.store.base import Base, or_leave, put
from webapp.store.schema.tables import calendar_versions, push_drawn, push_due, push_subscriptions


@dataclass(frozen=True)
class SubscriptionRow:
    """A browser that takes push messages: where to send them and how to encrypt them (RFC 8291)."""

    subscription_id: str
    kitchen_id: str
    phone_id: str
    endpoint: str
    p256dh: str
    auth: str


@dataclass(frozen=True)
class DueRow:
    """One message for one browser. Its key is (subscription, topic, due_at)."""

    subscription_id: str
    topic: str
    due_at: int
    not_after: int
    payload: str
    tries: int = 0


_KEPT_S = 7 * 86400
_SAME_RING_S = 300
_browser, _due = push_subscriptions.c, push_due.c
_SUBSCRIPTION = select(*(_browser[one.name] for one in fields(SubscriptionRow)))
_MESSAGE = tuple(_due[one.name] for one in fields(DueRow))
_VERSION = select(calendar_versions.c.version).where(calendar_versions.c.kitchen_id == bindparam("kitchen"))
_BROWSERS_VERSIONS = push_subscriptions.outerjoin(
    calendar_versions, calendar_versions.c.kitchen_id == _browser.kitchen_id
).outerjoin(push_drawn, push_drawn.c.kitchen_id == _browser.kitchen_id)
_CHANGED = (
    select(_browser.kitchen_id)
    .select_from(_BROWSERS_VERSIONS)
    .where(func.coalesce(push_drawn.c.version, -1) != func.coalesce(calendar_versions.c.version, 0))
    .distinct()
)
_rung = push_due.alias()
_THIS_BROWSER, _THIS_TOPIC = bindparam("browser", type_=Text), bindparam("of", type_=Text)
_THIS_INSTANT = bindparam("at", type_=BigInteger)
_RANG_ALREADY = exists().where(
    _rung.c.subscription_id == _THIS_BROWSER,
    _rung.c.topic == _THIS_TOPIC,
    (_rung.c.state == "claimed") | (_rung.c.state == "sent"),
    func.abs(_rung.c.due_at - _THIS_INSTANT) < _SAME_RING_S,
)
_LAST = push_due.alias()
_PLACE = select(func.coalesce(func.max(_LAST.c.place), 0) + 1).where(_LAST.c.subscription_id == _THIS_BROWSER)
_UNLESS_RUNG = select(
    _THIS_BROWSER, _THIS_TOPIC, _THIS_INSTANT, bindparam("until", type_=BigInteger),
    bindparam("said", type_=Text), _THIS_INSTANT, _PLACE.scalar_subquery(),
).where(~_RANG_ALREADY)  # fmt: skip
_FILLED = ["subscription_id", "topic", "due_at", "not_after", "payload", "next_try", "place"]
_TOO_LATE = (
    select(_due.subscription_id, _due.topic, _due.due_at)
    .where(_due.state == "due", _due.not_after < bindparam("now"))
    .with_for_update(skip_locked=True)
)
_MISSED = (
    update(push_due).where(tuple_(_due.subscription_id, _due.topic, _due.due_at).in_(_TOO_LATE)).values(state="missed")
)
_TO_RING = (
    select(_browser.kitchen_id, _browser.endpoint)
    .select_from(push_due.join(push_subscriptions))
    .where(_due.state == "due", _due.next_try <= bindparam("now"))
    .group_by(_browser.subscription_id, _browser.kitchen_id, _browser.endpoint)
    .order_by(func.min(_due.next_try), func.min(_due.place), _browser.subscription_id)
)


class PushRows(Base):
    """Messages go due -> claimed -> sent. A claim is written down before anything leaves the house."""

    def put_subscription(self, row: SubscriptionRow, now: int) -> None:
        """Take a browser in; the same endpoint again replaces what was known of it."""
        last = select(func.coalesce(func.max(_browser.place), 0) + 1).where(_browser.kitchen_id == row.kitchen_id)
        new = insert(push_subscriptions).values(**asdict(row), made_at=now, place=last.scalar_subquery())
        with self.transaction(row.kitchen_id) as db:
            db.execute(delete(push_subscriptions).where(_browser.endpoint == row.endpoint))
            db.execute(new)
            db.execute(delete(push_drawn).where(push_drawn.c.kitchen_id == row.kitchen_id))

    def subscriptions(self, kitchen_id: str) -> tuple[SubscriptionRow, ...]:
        """Every browser of the kitchen that takes messages."""
        ours = _SUBSCRIPTION.where(_browser.kitchen_id == kitchen_id).order_by(_browser.made_at, _browser.place)
        with self.reading(kitchen_id) as db:
            return tuple(SubscriptionRow(*row) for row in db.execute(ours))

    def subscription(self, subscription_id: str) -> SubscriptionRow | None:
        """One browser."""
        with self.reading() as db:
            row = db.execute(_SUBSCRIPTION.where(_browser.subscription_id == subscription_id)).first()
        return SubscriptionRow(*row) if row else None

    def drop_subscription(self, subscription_id: str) -> None:
        """It takes no messages any more; those waiting go too."""
        with self.transaction() as db:
            db.execute(delete(push_subscriptions).where(_browser.subscription_id == subscription_id))

    def drop_endpoint(self, kitchen_id: str, endpoint: str) -> None:
        """The same, asked by the browser itself."""
        this = (_browser.kitchen_id == kitchen_id, _browser.endpoint == endpoint)
        with self.transaction(kitchen_id) as db:
            db.execute(delete(push_subscriptions).where(*this))

    def take_messages_along(self, phone_id: str, kitchen_id: str, new_phone_id: str) -> None:
        """That phone's browsers take messages of this kitchen from now on; those of its former one that wait go."""
        its_own = select(_browser.subscription_id).where(_browser.phone_id == phone_id)
        moves = update(push_subscriptions).where(_browser.phone_id == phone_id)
        with self.transaction(kitchen_id) as db:
            db.execute(delete(push_due).where(_due.subscription_id.in_(its_own)))
            if db.execute(moves.values(kitchen_id=kitchen_id, phone_id=new_phone_id)).rowcount:
                db.execute(delete(push_drawn).where(push_drawn.c.kitchen_id == kitchen_id))

    # -- what is due

    def kitchens_to_ring(self) -> tuple[str, ...]:
        """Kitchens with a subscribed browser whose plans changed since their messages were made."""
        with self.reading() as db:
            return tuple(db.execute(_CHANGED).scalars())

    def set_due(self, kitchen_id: str, rows: Iterable[DueRow], version: int) -> None:
        """Replace every message of the kitchen that is still waiting, by those of `rows` that are for its own browsers.
        One that was claimed or sent is never renewed."""
        its_own = select(_browser.subscription_id).where(_browser.kitchen_id == kitchen_id)
        waits = (_due.state == "due", _due.topic.not_like("test%"), _due.subscription_id.in_(its_own))
        with self.transaction(kitchen_id) as db:
            db.execute(delete(push_due).where(*waits))
            own = set(db.execute(its_own).scalars())
            self.add_due(row for row in rows if row.subscription_id in own)
            put(db, push_drawn, {"kitchen_id": kitchen_id, "version": version})

    def drawn_as_far_as_possible(self, kitchen_id: str) -> None:
        """The messages that wait stay as they are, until the kitchen's plans change again."""
        with self.transaction(kitchen_id) as db:
            version = db.execute(_VERSION, {"kitchen": kitchen_id}).scalar() or 0
            put(db, push_drawn, {"kitchen_id": kitchen_id, "version": version})

    def add_due(self, rows: Iterable[DueRow]) -> None:
        """More messages; those there stay. A step that moved by a few minutes after it rang does not ring again."""
        new = [
            {
                "browser": row.subscription_id,
                "of": row.topic,
                "at": row.due_at,
                "until": row.not_after,
                "said": row.payload,
            }
            for row in rows
        ]
        with self.transaction() as db:
            if new:
                db.execute(or_leave(db, push_due).from_select(_FILLED, _UNLESS_RUNG), new)

    def rings_due(self, now: int) -> tuple[tuple[str, str], ...]:
        """(kitchen, endpoint) of messages that are due, the one due longest first."""
        with self.reading() as db:
            return tuple((row.kitchen_id, row.endpoint) for row in db.execute(_TO_RING, {"now": now}))

    def claim_due(self, now: int, kitchen_id: str = "", service: str = "") -> DueRow | None:
        """The message due longest (of one kitchen, of those whose endpoint begins so, or of all), now claimed: whoever
        gets it here is the only one who ever will."""
        of_it = [_due.state == "due", _due.next_try <= now]
        if kitchen_id:
            begins = func.substr(_browser.endpoint, 1, len(service)) == service
            its_own = select(_browser.subscription_id).where(_browser.kitchen_id == kitchen_id, begins)
            of_it.append(_due.subscription_id.in_(its_own))
        longest = (
            select(_due.subscription_id, _due.topic, _due.due_at)
            .where(*of_it)
            .order_by(_due.next_try, _due.place, _due.subscription_id)
            .limit(1)
            .with_for_update(skip_locked=True)  # who else claims takes another one; SQLite lets one write at a time
        )
        with self.transaction() as db:
            db.execute(_MISSED, {"now": now})
            found = db.execute(longest).first()
            if found is None:
                return None
            claimed = update(push_due).where(*_key(found)).values(state="claimed", tries=_due.tries + 1)
            return DueRow(*db.execute(claimed.returning(*_MESSAGE)).one())

    def settle(self, row: DueRow, state: str) -> None:
        """What became of a claimed message: sent, missed or refused."""
        with self.transaction() as db:
            db.execute(update(push_due).where(*_key(row)).values(state=state))

    def put_back(self, row: DueRow, next_try: int) -> None:
        """A claimed message that for certain was not taken: due again at `next_try`."""
        with self.transaction() as db:
            db.execute(update(push_due).where(*_key(row)).values(state="due", next_try=next_try))

    def next_due(self) -> int | None:
        """When the next message is due; None when none is waiting."""
        with self.reading() as db:
            return db.execute(select(func.min(_due.next_try)).where(_due.state == "due")).scalar()

    def sweep_due(self, now: int) -> None:
        """Forget messages of last week."""
        with self.transaction() as db:
            db.execute(delete(push_due).where(_due.due_at < now - _KEPT_S, _due.state != "due"))


def _key(row: DueRow | Row[*tuple[Any, ...]]) -> tuple[ColumnElement[bool], ...]:
    return (_due.subscription_id == row.subscription_id, _due.topic == row.topic, _due.due_at == row.due_at)
