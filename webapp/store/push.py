"""Push messages: which phones want them, which are due, and which were sent. Never twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from webapp.store.base import Base


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


_SUBSCRIPTION = "SELECT subscription_id, kitchen_id, phone_id, endpoint, p256dh, auth FROM push_subscriptions"
_KEPT_S = 7 * 86400
_SAME_RING_S = 300


class PushRows(Base):
    """Messages go due -> claimed -> sent. A claim is written down before anything leaves the house."""

    def put_subscription(self, row: SubscriptionRow, now: int) -> None:
        """Take a browser in; the same endpoint again replaces what was known of it."""
        with self.transaction() as db:
            db.execute("DELETE FROM push_subscriptions WHERE endpoint = ?", (row.endpoint,))
            db.execute(
                "INSERT INTO push_subscriptions VALUES (?, ?, ?, ?, ?, ?, ?)",
                (row.subscription_id, row.kitchen_id, row.phone_id, row.endpoint, row.p256dh, row.auth, now),
            )
            db.execute("DELETE FROM push_drawn WHERE kitchen_id = ?", (row.kitchen_id,))

    def subscriptions(self, kitchen_id: str) -> tuple[SubscriptionRow, ...]:
        """Every browser of the kitchen that takes messages."""
        with self.reading() as db:
            rows = db.execute(f"{_SUBSCRIPTION} WHERE kitchen_id = ? ORDER BY made_at, rowid", (kitchen_id,)).fetchall()
        return tuple(SubscriptionRow(*row) for row in rows)

    def subscription(self, subscription_id: str) -> SubscriptionRow | None:
        """One browser."""
        with self.reading() as db:
            row = db.execute(f"{_SUBSCRIPTION} WHERE subscription_id = ?", (subscription_id,)).fetchone()
        return SubscriptionRow(*row) if row else None

    def drop_subscription(self, subscription_id: str) -> None:
        """It takes no messages any more; those waiting go too."""
        with self.transaction() as db:
            db.execute("DELETE FROM push_subscriptions WHERE subscription_id = ?", (subscription_id,))

    def drop_endpoint(self, kitchen_id: str, endpoint: str) -> None:
        """The same, asked by the browser itself."""
        with self.transaction() as db:
            db.execute("DELETE FROM push_subscriptions WHERE kitchen_id = ? AND endpoint = ?", (kitchen_id, endpoint))

    def take_messages_along(self, phone_id: str, kitchen_id: str, new_phone_id: str) -> None:
        """That phone's browsers take messages of this kitchen from now on; those of its former one that wait go."""
        with self.transaction() as db:
            db.execute(
                """DELETE FROM push_due WHERE subscription_id IN
                   (SELECT subscription_id FROM push_subscriptions WHERE phone_id = ?)""",
                (phone_id,),
            )
            moved = db.execute(
                "UPDATE push_subscriptions SET kitchen_id = ?, phone_id = ? WHERE phone_id = ?",
                (kitchen_id, new_phone_id, phone_id),
            )
            if moved.rowcount:
                db.execute("DELETE FROM push_drawn WHERE kitchen_id = ?", (kitchen_id,))

    # -- what is due

    def kitchens_to_ring(self) -> tuple[str, ...]:
        """Kitchens with a subscribed browser whose plans changed since their messages were made."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT DISTINCT s.kitchen_id FROM push_subscriptions s
                   LEFT JOIN calendar_versions v USING (kitchen_id) LEFT JOIN push_drawn d USING (kitchen_id)
                   WHERE coalesce(d.version, -1) != coalesce(v.version, 0)"""
            ).fetchall()
        return tuple(row[0] for row in rows)

    def set_due(self, kitchen_id: str, rows: Iterable[DueRow], version: int) -> None:
        """Replace every message of the kitchen that is still waiting. One that was claimed or sent is never renewed."""
        with self.transaction() as db:
            db.execute(
                """DELETE FROM push_due WHERE state = 'due' AND topic NOT LIKE 'test%' AND subscription_id IN
                   (SELECT subscription_id FROM push_subscriptions WHERE kitchen_id = ?)""",
                (kitchen_id,),
            )
            self.add_due(rows)
            db.execute("INSERT OR REPLACE INTO push_drawn VALUES (?, ?)", (kitchen_id, version))

    def drawn_as_far_as_possible(self, kitchen_id: str) -> None:
        """The messages that wait stay as they are, until the kitchen's plans change again."""
        with self.transaction() as db:
            db.execute(
                """INSERT OR REPLACE INTO push_drawn
                   VALUES (:id, coalesce((SELECT version FROM calendar_versions WHERE kitchen_id = :id), 0))""",
                {"id": kitchen_id},
            )

    def add_due(self, rows: Iterable[DueRow]) -> None:
        """More messages; those there stay. A step that moved by a few minutes after it rang does not ring again."""
        with self.transaction() as db:
            db.executemany(
                """INSERT OR IGNORE INTO push_due (subscription_id, topic, due_at, not_after, payload, next_try)
                   SELECT :subscription_id, :topic, :due_at, :not_after, :payload, :due_at WHERE NOT EXISTS
                   (SELECT 1 FROM push_due p WHERE p.subscription_id = :subscription_id AND p.topic = :topic
                    AND p.state IN ('claimed', 'sent') AND abs(p.due_at - :due_at) < :near)""",
                [asdict(row) | {"near": _SAME_RING_S} for row in rows],
            )

    def rings_due(self, now: int) -> tuple[tuple[str, str], ...]:
        """(kitchen, endpoint) of messages that are due, the one due longest first."""
        with self.reading() as db:
            rows = db.execute(
                """SELECT s.kitchen_id, s.endpoint FROM push_due d JOIN push_subscriptions s USING (subscription_id)
                   WHERE d.state = 'due' AND d.next_try <= ? GROUP BY subscription_id
                   ORDER BY min(d.next_try), min(d.rowid)""",
                (now,),
            ).fetchall()
        return tuple((row[0], row[1]) for row in rows)

    def claim_due(self, now: int, kitchen_id: str = "", service: str = "") -> DueRow | None:
        """The message due longest (of one kitchen, of those whose endpoint begins so, or of all), now claimed: whoever
        gets it here is the only one who ever will."""
        with self.transaction() as db:
            db.execute("UPDATE push_due SET state = 'missed' WHERE state = 'due' AND not_after < ?", (now,))
            row = db.execute(
                """UPDATE push_due SET state = 'claimed', tries = tries + 1 WHERE rowid =
                   (SELECT rowid FROM push_due WHERE state = 'due' AND next_try <= :now AND (:kitchen = '' OR
                    subscription_id IN (SELECT subscription_id FROM push_subscriptions WHERE kitchen_id = :kitchen
                                        AND substr(endpoint, 1, length(:service)) = :service))
                    ORDER BY next_try, rowid LIMIT 1)
                   RETURNING subscription_id, topic, due_at, not_after, payload, tries""",
                {"now": now, "kitchen": kitchen_id, "service": service},
            ).fetchone()
        return DueRow(*row) if row else None

    def settle(self, row: DueRow, state: str) -> None:
        """What became of a claimed message: sent, missed or refused."""
        with self.transaction() as db:
            db.execute(
                "UPDATE push_due SET state = ? WHERE subscription_id = ? AND topic = ? AND due_at = ?",
                (state, row.subscription_id, row.topic, row.due_at),
            )

    def put_back(self, row: DueRow, next_try: int) -> None:
        """A claimed message that for certain was not taken: due again at `next_try`."""
        with self.transaction() as db:
            db.execute(
                """UPDATE push_due SET state = 'due', next_try = ?
                   WHERE subscription_id = ? AND topic = ? AND due_at = ?""",
                (next_try, row.subscription_id, row.topic, row.due_at),
            )

    def next_due(self) -> int | None:
        """When the next message is due; None when none is waiting."""
        with self.reading() as db:
            row = db.execute("SELECT min(next_try) FROM push_due WHERE state = 'due'").fetchone()
        return row[0] if row else None

    def sweep_due(self, now: int) -> None:
        """Forget messages of last week."""
        with self.transaction() as db:
            db.execute("DELETE FROM push_due WHERE due_at < ? AND state != 'due'", (now - _KEPT_S,))
