"""Push messages: which browsers want them, what is due when, and the one place that sends.

A message is claimed in the database before anything leaves, and a claim is never taken back unless the service for
certain did not take the message. So a crash may lose a message, and nothing is ever sent twice: the calendar is the
reminder that rings, this is an extra.
"""

from __future__ import annotations

import hashlib
import json
import logging
import re
from collections.abc import Callable
from typing import Protocol

from webapp.reminders.coming_home import is_homecoming
from webapp.reminders.events import draw, entries
from webapp.reminders.ics import Entry
from webapp.reminders.lines import Lines
from webapp.reminders.push import message
from webapp.store.push import DueRow, SubscriptionRow
from webapp.store.store import Store
from webapp.words.calendar import TEST_RING
from webapp.words.pages import reminders as words
from webapp.words.problems.told import refused

log = logging.getLogger(__name__)

TEST_AFTER_S = 60
MOST_BROWSERS = 20
_USE_S = 15 * 60  # how long after the end of a step its message is still of use
_TEST_USE_S = 300
_MOST_BODY = 400
_MOST_TRIES = 5
_LINES, _LINES_OF_ONE_SERVICE = 64, 48


class Sends(Protocol):
    """`push.Sender`, or what stands in for it in a test."""

    def send(self, to: message.Receiver, payload: str, topic: str, ttl_s: int) -> message.Outcome:
        """One POST."""


def subscribe(
    store: Store,
    now: int,
    new_id: Callable[[], str],
    kitchen_id: str,
    phone_id: str,
    to: message.Receiver,
    also: frozenset[str] = frozenset(),
) -> str:
    """Let a browser have messages; its subscription's id. The same browser again replaces itself. Raises PlanError."""
    message.check_receiver(to, also)
    with store.transaction():
        others = [s for s in store.subscriptions(kitchen_id) if s.endpoint != to.endpoint]
        if len(others) >= MOST_BROWSERS:
            raise refused("endpoint", *words.many_browsers(MOST_BROWSERS))
        row = SubscriptionRow(new_id(), kitchen_id, phone_id, to.endpoint, to.p256dh, to.auth)
        store.put_subscription(row, now)
    return row.subscription_id


def unsubscribe(store: Store, kitchen_id: str, endpoint: str) -> None:
    """No more messages to this browser."""
    store.drop_endpoint(kitchen_id, endpoint)


def how_many(store: Store, kitchen_id: str, phone_id: str) -> tuple[int, bool]:
    """How many browsers have messages, and whether one of this phone is among them."""
    rows = store.subscriptions(kitchen_id)
    return len(rows), any(row.phone_id == phone_id for row in rows)


def ring_in_a_minute(store: Store, now: int, kitchen_id: str, new_id: Callable[[], str]) -> int:
    """A test message to every browser of the kitchen; how many."""
    rows = store.subscriptions(kitchen_id)
    said = {
        "title": TEST_RING,
        "body": words.TEST_MESSAGE,
        "tag": "test",
        "bake": "",
    }
    topic = f"test{_short(new_id())}"[:32]
    due = now + TEST_AFTER_S
    store.add_due(DueRow(row.subscription_id, topic, due, due + _TEST_USE_S, _packed(said)) for row in rows)
    return len(rows)


def lay_out(store: Store, now: int) -> None:
    """Messages for every kitchen whose plans changed: those that wait are replaced, those sent stay sent.

    What cannot be laid out for one household is logged; its former messages stay, and the others ring.
    """
    for kitchen_id in store.kitchens_to_ring():
        try:
            _lay_out_one(store, now, kitchen_id)
        except Exception:
            log.exception("messages of kitchen %s could not be laid out", kitchen_id)
            store.drawn_as_far_as_possible(kitchen_id)


def _lay_out_one(store: Store, now: int, kitchen_id: str) -> None:
    version = draw(store, now, kitchen_id)
    shown = [e for e in entries(store, now, kitchen_id) if e.alarm_min >= 0 and _of_use_until(e) > now]
    rows = [
        DueRow(
            subscription.subscription_id, topic_of(e.uid), e.start - 60 * e.alarm_min, _of_use_until(e), payload_of(e)
        )
        for subscription in store.subscriptions(kitchen_id)
        for e in shown
    ]
    store.set_due(kitchen_id, rows, version)


def _of_use_until(entry: Entry) -> int:
    """Nobody is called home who should be there by now."""
    return entry.start if is_homecoming(entry.kind, entry.step_id) else entry.end + _USE_S


def ring_due(store: Store, sender: Sends, now: int, kitchen_id: str = "", service: str = "") -> int:
    """Send everything that is due (of one kitchen, by one service, or all); how many were taken by their services."""
    sent = 0
    while row := store.claim_due(now, kitchen_id, service):
        sent += _ring(store, sender, row, now)
    return sent


def ringing_lines() -> Lines:
    """Of one service no more than three quarters: one that hangs, for however many households, leaves the others
    theirs."""
    return Lines(_LINES, "ring", most_alike=_LINES_OF_ONE_SERVICE, alike=lambda line: line.partition(" ")[0])


def ring_all(store: Store, sender: Sends, now: int, lines: Lines) -> None:
    """Send what is due, each household on a line of its own for each push service that its browsers use."""
    due = dict.fromkeys(f"{_service_of(endpoint)} {kitchen_id}" for kitchen_id, endpoint in store.rings_due(now))

    def ring(line: str) -> None:
        service, _, kitchen_id = line.partition(" ")
        ring_due(store, sender, now, kitchen_id, service)

    lines.take(due, ring)


def _service_of(endpoint: str) -> str:
    """Scheme and host: who carries the message."""
    scheme, _, rest = endpoint.partition("://")
    return f"{scheme}://{re.split('[/?#]', rest)[0]}"


def topic_of(uid: str) -> str:
    """One topic for each step: 32 characters of base64url at most (RFC 8030 5.4), nothing personal."""
    return f"s{_short(uid)}"


def payload_of(entry: Entry) -> str:
    """What the phone shows: short, as a push message holds less than 4 kB."""
    short = entry.short if len(entry.short) <= _MOST_BODY else f"{entry.short[: _MOST_BODY - 1]}…"
    return _packed({"title": entry.title[:120], "body": short, "tag": entry.uid[:120], "bake": entry.bake_id})


def _packed(said: dict[str, str]) -> str:
    return json.dumps(said, ensure_ascii=False, separators=(",", ":"))


def _short(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:27]


def _ring(store: Store, sender: Sends, row: DueRow, now: int) -> bool:
    to = store.subscription(row.subscription_id)
    if to is None:
        return False
    try:
        outcome = sender.send(
            message.Receiver(to.endpoint, to.p256dh, to.auth), row.payload, row.topic, row.not_after - now
        )
    except Exception:  # whatever one household's browser told us, the others' messages go out
        log.exception("a message could not be sent")
        outcome = message.Outcome(message.REFUSED)
    if outcome.what == message.GONE:
        store.drop_subscription(row.subscription_id)
    elif (outcome.what == message.AGAIN and row.tries < _MOST_TRIES) or (
        outcome.what == message.BROKEN and row.tries == 1
    ):
        store.put_back(row, now + outcome.wait_s)
    else:
        store.settle(row, "sent" if outcome.what == message.SENT else "refused")
    return outcome.what == message.SENT
