"""A phone that joins another kitchen: what becomes of the calendar, the feed and the messages of the one it leaves.

A kitchen that no other phone opens can never be told again to give up a bake or to let go of a calendar: so its
calendar is left, in the background as always, and the kitchen that was joined tells how far that is; its feed is empty
from then on (`events.feed`). Messages are the phone's own: they go along.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.kitchens import access
from webapp.kitchens.access import Home
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.pages.kitchen import BEFORE_JOINING


@dataclass(frozen=True)
class Former:
    """The kitchen that a phone leaves by joining another. `others`: whether another phone opens it too; `calendar`:
    the name of the one that its steps are written into, "" for none; `messages`: whether this phone has them; `feed`:
    whether it has one; `bakes`: whether any is to come."""

    others: bool
    calendar: str
    messages: bool
    feed: bool
    bakes: bool


def former(store: Store, now: int, inside: Home) -> Former:
    """What this phone would leave by joining another kitchen."""
    row = store.account(inside.kitchen_id)
    others = any(one.phone_id != inside.phone_id for one in store.phones(inside.kitchen_id))
    messages = any(one.phone_id == inside.phone_id for one in store.subscriptions(inside.kitchen_id))
    feed = store.sealed_feed(inside.kitchen_id) is not None
    bakes = bool(store.bakes_around(inside.kitchen_id, now))
    return Former(others, row.name if row else "", messages, feed, bakes)


def join(store: Store, now: int, new_id: NewId, code: str, key: str, inside: Home | None) -> Former | None:
    """Use the code up and let the phone with `key` in; what it left, None when it was `inside` no other kitchen.

    Raises PlanError at "code".
    """
    with store.transaction():
        kitchen_id = access.join(store, now, new_id, code, key)
        joined = access.come_in(store, now, key)
        if inside is None or joined is None:
            return None
        left = former(store, now, inside)
        store.take_messages_along(inside.phone_id, kitchen_id, joined.phone_id)
        store.remove_phone(inside.kitchen_id, inside.phone_id)
        if inside.kitchen_id == kitchen_id:
            return None
        if not left.others:
            store.leave_account(inside.kitchen_id, now)
            store.hand_over_left(inside.kitchen_id, kitchen_id, BEFORE_JOINING)
    return left
