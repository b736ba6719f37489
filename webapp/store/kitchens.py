"""Kitchens, the phones that may open them, one-time join codes."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from sqlalchemy import bindparam, delete, exists, func, insert, select, update

from webapp.store.base import Base, Group
from webapp.store.schema.tables import bakes, join_codes, kitchens, larder, phones


@dataclass(frozen=True)
class Guest:
    """Who is asking: a phone of a kitchen. `settings` is the kitchen record as plain values."""

    kitchen_id: str
    phone_id: str
    phone_name: str
    seen_at: int
    settings: Group


@dataclass(frozen=True)
class PhoneRow:
    """A phone that may open the kitchen."""

    phone_id: str
    name: str
    joined_at: int
    seen_at: int


_SETTINGS = select(kitchens.c.settings).where(kitchens.c.kitchen_id == bindparam("kitchen"))
_GUEST = (
    select(kitchens.c.kitchen_id, phones.c.phone_id, phones.c.name, phones.c.seen_at, kitchens.c.settings)
    .select_from(phones.join(kitchens))
    .where(phones.c.key_hash == bindparam("key_hash"))
)
_PLACE = select(func.coalesce(func.max(phones.c.place), 0) + 1).where(phones.c.kitchen_id == bindparam("kitchen"))
_LET_IN = insert(phones).values(kitchen_id=bindparam("kitchen"), place=_PLACE.scalar_subquery())
_SEEN = update(phones).where(phones.c.phone_id == bindparam("phone")).values(seen_at=bindparam("now"))


class Kitchens(Base):
    """Who is who. Keys and codes arrive here as SHA-256 hashes only."""

    def add_kitchen(self, kitchen_id: str, settings: dict[str, Any], now: int) -> None:
        """A new kitchen with nothing in it."""
        with self.transaction() as db:
            db.execute(insert(kitchens).values(kitchen_id=kitchen_id, made_at=now, settings=json.dumps(settings)))

    def settings_of(self, kitchen_id: str) -> Group | None:
        """The kitchen record as plain values; None when there is no such kitchen."""
        with self.reading(kitchen_id) as db:
            settings = db.execute(_SETTINGS, {"kitchen": kitchen_id}).scalar()
        return None if settings is None else Group(settings)

    def save_settings(self, kitchen_id: str, settings: dict[str, Any]) -> None:
        """Replace the kitchen record."""
        with self.transaction(kitchen_id) as db:
            db.execute(
                update(kitchens).where(kitchens.c.kitchen_id == kitchen_id).values(settings=json.dumps(settings))
            )
            self.calendar_changed(db, kitchen_id)

    def delete_kitchen(self, kitchen_id: str) -> None:
        """Everything of that kitchen, at once: tables refer to it with ON DELETE CASCADE."""
        with self.transaction(kitchen_id) as db:
            db.execute(delete(kitchens).where(kitchens.c.kitchen_id == kitchen_id))

    def sweep(self, before: int) -> int:
        """Drop kitchens never used (no bake, no own formula) and not opened since `before`; expired codes too."""
        ours = kitchens.c.kitchen_id
        used = (
            exists().where(phones.c.kitchen_id == ours, phones.c.seen_at >= before),
            exists().where(bakes.c.kitchen_id == ours),
            exists().where(larder.c.kitchen_id == ours),
        )
        unused = (kitchens.c.made_at < before, *(~one for one in used))
        with self.transaction() as db:
            db.execute(delete(join_codes).where(join_codes.c.expires_at < before))
            # Kept still first, then looked at again: a bake may have come meanwhile. One that somebody is in stays.
            found = db.execute(select(ours).where(*unused).with_for_update(skip_locked=True)).scalars().all()
            still = delete(kitchens).where(ours == bindparam("kitchen"), *unused)
            return db.execute(still, [{"kitchen": one} for one in found]).rowcount if found else 0

    # -- phones

    def add_phone(self, kitchen_id: str, phone_id: str, key_hash: str, name: str, now: int) -> None:
        """Let a phone in."""
        new = {"phone_id": phone_id, "key_hash": key_hash, "name": name, "joined_at": now, "seen_at": now}
        with self.transaction(kitchen_id) as db:
            db.execute(_LET_IN.values(new), {"kitchen": kitchen_id})

    def guest(self, key_hash: str) -> Guest | None:
        """The phone that holds the key with this hash, with its kitchen."""
        with self.asking() as db:
            row = db.execute(_GUEST, {"key_hash": key_hash}).first()
        return Guest(*row[:4], Group(row.settings)) if row else None

    def says_as(self, phone_id: str, written_as: str) -> None:
        """By which name this phone writes into journals; nothing is written when that is known."""
        other = (phones.c.phone_id == phone_id, phones.c.says_as != written_as)
        with self.transaction() as db:
            db.execute(update(phones).where(*other).values(says_as=written_as))

    def names_in_journals(self, kitchen_id: str) -> dict[str, str]:
        """What people call each phone, by the name under which it writes into journals."""
        said = select(phones.c.says_as, phones.c.name).where(phones.c.kitchen_id == kitchen_id, phones.c.says_as != "")
        with self.reading(kitchen_id) as db:
            return {row.says_as: row.name for row in db.execute(said)}

    def phones(self, kitchen_id: str) -> tuple[PhoneRow, ...]:
        """Every phone of the kitchen, the first one first."""
        every = select(phones.c.phone_id, phones.c.name, phones.c.joined_at, phones.c.seen_at)
        first_first = every.where(phones.c.kitchen_id == kitchen_id).order_by(phones.c.joined_at, phones.c.place)
        with self.reading(kitchen_id) as db:
            return tuple(PhoneRow(*row) for row in db.execute(first_first))

    def saw_phone(self, phone_id: str, now: int) -> None:
        """Note when the phone was last here."""
        with self.transaction() as db:
            db.execute(_SEEN, {"phone": phone_id, "now": now})

    def rename_phone(self, kitchen_id: str, phone_id: str, name: str) -> bool:
        """Give a phone a name to be told apart by; False when it is not of this kitchen."""
        this = (phones.c.phone_id == phone_id, phones.c.kitchen_id == kitchen_id)
        with self.transaction(kitchen_id) as db:
            return bool(db.execute(update(phones).where(*this).values(name=name)).rowcount)

    def remove_phone(self, kitchen_id: str, phone_id: str) -> bool:
        """Its key opens nothing from now on; False when it is not of this kitchen."""
        this = (phones.c.phone_id == phone_id, phones.c.kitchen_id == kitchen_id)
        with self.transaction(kitchen_id) as db:
            return bool(db.execute(delete(phones).where(*this)).rowcount)

    # -- join codes

    def add_join_code(self, kitchen_id: str, code_hash: str, expires_at: int) -> None:
        """A code that lets one phone in, once. An earlier unused code of the kitchen stops working."""
        with self.transaction(kitchen_id) as db:
            db.execute(delete(join_codes).where(join_codes.c.kitchen_id == kitchen_id))
            db.execute(insert(join_codes).values(code_hash=code_hash, kitchen_id=kitchen_id, expires_at=expires_at))

    def join_code_opens(self, code_hash: str, now: int) -> str | None:
        """The kitchen that the code opens while it is unused and in time (looking does not use it up)."""
        in_time = (join_codes.c.code_hash == code_hash, join_codes.c.expires_at > now)
        with self.reading() as db:
            return db.execute(select(join_codes.c.kitchen_id).where(*in_time)).scalar()

    def take_join_code(self, code_hash: str, now: int) -> str | None:
        """Use the code up; the kitchen it opens, or None when it is unknown, used or too old."""
        used_up = delete(join_codes).where(join_codes.c.code_hash == code_hash)
        with self.transaction() as db:
            row = db.execute(used_up.returning(join_codes.c.kitchen_id, join_codes.c.expires_at)).first()
        return row.kitchen_id if row and row.expires_at > now else None
