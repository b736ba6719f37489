"""Who may come in: the first thing saved makes a kitchen, other phones join by a one-time code, all can be taken along.

There are no accounts. A phone holds a random key; here only its hash is known. The world is handed in as in
`bakes.py`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

from webapp.core.kitchen import Kitchen
from webapp.forms.person import with_person
from webapp.kitchens.bakes import kitchen_of
from webapp.kitchens.kept import settings_in
from webapp.records import to_plain
from webapp.store.ids import NewId, NotHere
from webapp.store.kitchens import PhoneRow
from webapp.store.store import Store
from webapp.words.pages.kitchen import phone_name
from webapp.words.problems import kept as said
from webapp.words.problems.told import refused

JOIN_CODE_S = 10 * 60
MOST_PHONES = 20
_SEEN_EVERY_S = 3600  # how often a visit is written down
_UNUSED_S = 30 * 86400  # a kitchen in which nothing was ever planned is swept away after this long
_MOST_NAME = 40


@dataclass(frozen=True)
class Home:
    """The kitchen of the phone that is asking."""

    kitchen_id: str
    phone_id: str
    phone_name: str
    kitchen: Kitchen
    back_again: bool = False  # the first visit in an hour or more
    unread: tuple[str, ...] = ()  # settings that cannot be read: they are as a newcomer's


def hash_of(key: str) -> str:
    """SHA-256 of a key or code, as hex. They are random and long, so that no salt is needed."""
    return hashlib.sha256(key.encode()).hexdigest()


def make_kitchen(store: Store, now: int, new_id: NewId, key: str, kitchen: Kitchen | None = None) -> Home:
    """A new kitchen, opened by `key` (256 random bits from the caller), with a newcomer's settings."""
    kitchen = kitchen or Kitchen()
    kitchen_id, phone_id = new_id(), new_id()
    with store.transaction():
        store.add_kitchen(kitchen_id, to_plain(kitchen), now)
        store.add_phone(kitchen_id, phone_id, hash_of(key), phone_name(1), now)
    return Home(kitchen_id, phone_id, phone_name(1), kitchen)


def come_in(store: Store, now: int, key: str) -> Home | None:
    """The kitchen that this key opens, None when it opens nothing."""
    guest = store.guest(hash_of(key))
    if guest is None:
        return None
    back_again = now - guest.seen_at > _SEEN_EVERY_S
    if back_again:
        store.saw_phone(guest.phone_id, now)
    kitchen, unread = settings_in(guest.settings)
    return Home(guest.kitchen_id, guest.phone_id, guest.phone_name, kitchen, back_again, unread)


def change_kitchen(store: Store, kitchen_id: str, change: Callable[[Kitchen], Kitchen]) -> Kitchen:
    """Apply a change to the kitchen record as it is now, so that two phones editing do not undo each other."""
    with store.transaction():
        kitchen = change(kitchen_of(store, kitchen_id))
        store.save_settings(kitchen_id, to_plain(kitchen))
    return kitchen


def person_leaves(store: Store, kitchen_id: str, place: int) -> None:
    """Take a person off the list, with the busy times of their calendar. Raises PlanError when nobody would be left."""
    with store.transaction():
        change_kitchen(store, kitchen_id, lambda kitchen: with_person(kitchen, place, None))
        store.person_left(kitchen_id, place)


def offer_code(store: Store, now: int, kitchen_id: str, code: str) -> int:
    """Let `code` (random, from the caller) open this kitchen once; until which instant."""
    until = now + JOIN_CODE_S
    store.add_join_code(kitchen_id, hash_of(code), until)
    return until


def code_opens(store: Store, now: int, code: str) -> str | None:
    """The kitchen that the code opens, None once it is used up or too old."""
    return store.join_code_opens(hash_of(code), now)


def join(store: Store, now: int, new_id: NewId, code: str, key: str) -> str:
    """Use the code up and let the phone with `key` in; the kitchen's id. Raises PlanError at "code"."""
    with store.transaction():
        kitchen_id = store.take_join_code(hash_of(code), now)
        if kitchen_id is None:
            raise refused("code", *said.CODE_USED_UP)
        phones = store.phones(kitchen_id)
        if len(phones) >= MOST_PHONES:
            raise refused("code", *said.many_phones(MOST_PHONES))
        taken = {phone.name for phone in phones}  # one that was taken away leaves a gap
        name = next(name for n in count(1) if (name := phone_name(n)) not in taken)
        store.add_phone(kitchen_id, new_id(), hash_of(key), name, now)
    return kitchen_id


def phones(store: Store, kitchen_id: str) -> tuple[PhoneRow, ...]:
    """Every phone of the kitchen."""
    return store.phones(kitchen_id)


def rename_phone(store: Store, kitchen_id: str, phone_id: str, name: str) -> None:
    """Give a phone a name. Raises NotHere, PlanError at "name"."""
    if phone_id not in {phone.phone_id for phone in store.phones(kitchen_id)}:
        raise NotHere(phone_id)
    name = " ".join(name.split())
    if not name or len(name) > _MOST_NAME:
        raise refused("name", *said.PHONE_NAME)
    if not store.rename_phone(kitchen_id, phone_id, name):
        raise NotHere(phone_id)


def remove_phone(store: Store, kitchen_id: str, phone_id: str) -> None:
    """Its key opens nothing from now on. The last phone cannot go: nobody could open the kitchen again."""
    with store.transaction():
        held = store.phones(kitchen_id)
        if phone_id not in {phone.phone_id for phone in held}:
            raise NotHere(phone_id)
        if len(held) == 1:
            raise refused("phone", *said.LAST_PHONE)
        store.remove_phone(kitchen_id, phone_id)


def delete_everything(store: Store, kitchen_id: str) -> None:
    """Forget the kitchen, its phones, bakes, journals and larder."""
    store.delete_kitchen(kitchen_id)


def sweep(store: Store, now: int) -> int:
    """Drop kitchens that were opened once and never used; how many."""
    return store.sweep(now - _UNUSED_S)
