"""Own things of every kind: saved, edited with every version kept, put away. The column `shelf` holds the kind."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, bindparam, func, insert, select, update

from webapp.store.base import Base, group_in
from webapp.store.schema.tables import larder


@dataclass(frozen=True)
class LarderRow:
    """One version of an own thing."""

    key: str
    version: int
    saved_at: int
    body: dict[str, Any]  # empty when what is kept is no JSON object: a damaged row must not lock the kitchen


_SHELF = (larder.c.kitchen_id == bindparam("kitchen"), larder.c.shelf == bindparam("the_shelf"))
_KEY = (*_SHELF, larder.c.key == bindparam("the_key"))
_ROW = select(larder.c.key, larder.c.version, larder.c.saved_at, larder.c.body)
_newer = larder.alias()
_NEWEST = (
    select(func.max(_newer.c.version))
    .where(*(_newer.c[name] == larder.c[name] for name in ("kitchen_id", "shelf", "key")))
    .correlate(larder)
    .scalar_subquery()
)
_SHOWN = _ROW.where(*_SHELF, larder.c.gone == 0, larder.c.version == _NEWEST).order_by(larder.c.key)
_VERSIONS = _ROW.where(*_KEY).order_by(larder.c.version.desc())
_KEYS = select(larder.c.key).where(*_SHELF).distinct().order_by(larder.c.key)
_SHOW = update(larder).where(*_KEY).values(gone=0)
_HIDE = update(larder).where(*_KEY, larder.c.gone == 0).values(gone=1)


def _read(row: Row[*tuple[Any, ...]]) -> LarderRow:
    return LarderRow(row.key, row.version, row.saved_at, group_in(row.body))


class LarderRows(Base):
    """The larder of each kitchen. Nothing is overwritten: an edit is a new version, putting away hides the key."""

    def put_in_larder(self, kitchen_id: str, kind: str, key: str, body: dict[str, Any], now: int) -> int:
        """Save a new version; its number."""
        asked = {"kitchen": kitchen_id, "the_shelf": kind, "the_key": key}
        new = {"kitchen_id": kitchen_id, "shelf": kind, "key": key, "saved_at": now, "body": json.dumps(body)}
        with self.transaction(kitchen_id) as db:
            last: int | None = db.execute(select(func.max(larder.c.version)).where(*_KEY), asked).scalar()
            db.execute(_SHOW, asked)
            db.execute(insert(larder).values(**new, version=(last or 0) + 1))
        return (last or 0) + 1

    def in_larder(self, kitchen_id: str, kind: str) -> tuple[LarderRow, ...]:
        """The newest version of everything of that kind that was not put away, by key."""
        with self.reading(kitchen_id) as db:
            return tuple(map(_read, db.execute(_SHOWN, {"kitchen": kitchen_id, "the_shelf": kind})))

    def versions(self, kitchen_id: str, kind: str, key: str) -> tuple[LarderRow, ...]:
        """Every version of one key, the newest first; empty when there is none."""
        with self.reading(kitchen_id) as db:
            rows = db.execute(_VERSIONS, {"kitchen": kitchen_id, "the_shelf": kind, "the_key": key})
            return tuple(map(_read, rows))

    def larder_keys(self, kitchen_id: str, kind: str) -> tuple[str, ...]:
        """Every key ever used for that kind, put away or not."""
        with self.reading(kitchen_id) as db:
            return tuple(db.execute(_KEYS, {"kitchen": kitchen_id, "the_shelf": kind}).scalars())

    def put_away(self, kitchen_id: str, kind: str, key: str) -> bool:
        """Hide a key; its versions stay. False when it is not there."""
        with self.transaction(kitchen_id) as db:
            return bool(db.execute(_HIDE, {"kitchen": kitchen_id, "the_shelf": kind, "the_key": key}).rowcount)
