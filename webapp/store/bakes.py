"""Bakes: the wish, the offers, the picked plan with all its revisions, the journal."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import BindParameter, Connection, bindparam, delete, exists, func, insert, select, update

from webapp.store.base import Base, Group, group_in, or_leave
from webapp.store.schema.tables import bakes, events, offers, plans

Plain = dict[str, Any]


@dataclass(frozen=True)
class BakeRow:
    """One bake. `plan` is the picked plan of the highest revision, None until an offer is picked."""

    bake_id: str
    kitchen_id: str
    made_at: int
    changed_at: int
    dropped_at: int | None
    wish: Plain
    offers: tuple[Group, ...]
    plan: Group | None
    picked_at: int


@dataclass(frozen=True)
class PickedRow:
    """A picked bake in one line, for lists."""

    bake_id: str
    revision: int
    title: str  # as versions before facts wrote it, else ""
    formula_name: str
    zone: str
    begins: int
    supper: int
    changed_at: int
    dropped_at: int | None


_KITCHEN: BindParameter[str] = bindparam("kitchen")
_BAKE: BindParameter[str] = bindparam("bake")
_SINCE: BindParameter[int] = bindparam("since")
_OURS = bakes.c.kitchen_id == _KITCHEN
_THIS = _OURS & (bakes.c.bake_id == _BAKE)
_other = plans.alias()
IS_LATEST = (
    plans.c.revision
    == select(func.max(_other.c.revision)).where(_other.c.bake_id == bakes.c.bake_id).correlate(bakes).scalar_subquery()
)
NAME = (plans.c.title, plans.c.formula_name, plans.c.zone)  # of a picked plan
_PICKED = (
    select(bakes.c.bake_id, plans.c.revision, *NAME, plans.c.begins, plans.c.supper, bakes.c.changed_at)
    .add_columns(bakes.c.dropped_at)
    .select_from(bakes.join(plans))
    .where(_OURS, IS_LATEST, plans.c.supper >= _SINCE, plans.c.supper < bindparam("until"))
)
_BY_SUPPER = {
    (newest_first, held): (_PICKED.where(bakes.c.dropped_at.is_(None)) if held else _PICKED)
    .order_by(plans.c.supper.desc() if newest_first else plans.c.supper, bakes.c.bake_id)
    .limit(bindparam("most"))
    for newest_first in (False, True)
    for held in (False, True)
}
_BAKE_ROW = select(
    bakes.c.bake_id, bakes.c.kitchen_id, bakes.c.made_at, bakes.c.changed_at, bakes.c.dropped_at, bakes.c.wish
).where(_THIS)
_WHOSE = select(bakes.c.kitchen_id).where(bakes.c.bake_id == _BAKE)
_IS_OURS = select(bakes.c.bake_id).where(_THIS)
_NEXT_PLACE = select(func.coalesce(func.max(bakes.c.place), 0) + 1).where(_OURS).scalar_subquery()
_NEW = insert(bakes).values(bake_id=_BAKE, kitchen_id=_KITCHEN, place=_NEXT_PLACE)
_OFFERS = select(offers.c.plan).where(offers.c.bake_id == _BAKE).order_by(offers.c.place)
_LATEST = (
    select(plans.c.plan, plans.c.picked_at).where(plans.c.bake_id == _BAKE).order_by(plans.c.revision.desc()).limit(1)
)
_LAST_WISH = select(bakes.c.wish).where(_OURS).order_by(bakes.c.wished_at.desc(), bakes.c.place.desc()).limit(1)
_CHANGED = update(bakes).where(_THIS).values(changed_at=bindparam("now"))
_JOURNAL = select(events.c.event).select_from(events.join(bakes)).where(_THIS).order_by(events.c.at, events.c.event_id)
_SEEN_SINCE = (
    select(bakes.c.bake_id)
    .select_from(bakes.join(events))
    .where(_OURS, events.c.at >= _SINCE, exists().where(plans.c.bake_id == bakes.c.bake_id).correlate(bakes))
)
_TEACH = (
    _SEEN_SINCE.where(events.c.kind.in_(("glass", "looked", "poked", "outcome")))
    .group_by(bakes.c.bake_id)
    .order_by(func.max(events.c.at).desc(), bakes.c.bake_id)
    .limit(bindparam("most"))
)
_ROOM_READ = (
    _SEEN_SINCE.where(events.c.kind == "room")
    .group_by(bakes.c.bake_id)
    .order_by(func.max(events.c.at).desc(), bakes.c.bake_id)
    .limit(bindparam("most"))
)
_COUNT = {"preserve_rowcount": True}  # of several rows written at once
_ENDLESS = 2**62


class Bakes(Base):
    """Every question names the kitchen that asks: a foreign bake is answered like a missing one."""

    def put_offers(self, kitchen_id: str, bake_id: str, wish: Plain, offers_made: Iterable[Plain], now: int) -> None:
        """Write a new bake, or a new wish with its offers for one of this kitchen (a picked plan stays)."""
        new = {"wish": json.dumps(wish), "wished_at": now, "changed_at": now, "dropped_at": None}
        with self.transaction(kitchen_id) as db:
            if db.execute(_WHOSE, {"bake": bake_id}).first():
                self._own(db, kitchen_id, bake_id)
                db.execute(update(bakes).where(bakes.c.bake_id == bake_id).values(new))
                self.calendar_changed(db, kitchen_id)  # one that was given up is taken up
            else:
                db.execute(_NEW.values(made_at=now, **new), {"kitchen": kitchen_id, "bake": bake_id})
            db.execute(delete(offers).where(offers.c.bake_id == bake_id))
            rows = [{"bake_id": bake_id, "place": i, "plan": json.dumps(one)} for i, one in enumerate(offers_made)]
            if rows:
                db.execute(insert(offers), rows)

    def bake(self, kitchen_id: str, bake_id: str) -> BakeRow | None:
        """That bake of that kitchen, with its offers and its picked plan."""
        asked = {"kitchen": kitchen_id, "bake": bake_id}
        with self.reading(kitchen_id) as db:
            row = db.execute(_BAKE_ROW, asked).first()
            if row is None:
                return None
            offered = db.execute(_OFFERS, asked).all()
            picked = db.execute(_LATEST, asked).first()
        return BakeRow(
            *row[:5],
            group_in(row.wish),
            tuple(Group(one.plan) for one in offered),
            Group(picked.plan) if picked else None,
            picked.picked_at if picked else 0,
        )

    def add_plan(self, kitchen_id: str, bake_id: str, plan: Plain, now: int) -> None:
        """The picked plan, as a new revision; `plan["revision"]` must be one more than the last (IntegrityError)."""
        row = {
            "bake_id": bake_id,
            "picked_at": now,
            "begins": min((step["start"] for step in plan["steps"]), default=plan["supper"]),
            "plan": json.dumps(plan),
            **{name: plan[name] for name in ("revision", "title", "supper")},
            **{name: plan[name] for name in ("formula_name", "zone") if isinstance(plan.get(name), str)},
        }
        with self.transaction(kitchen_id) as db:
            self._own(db, kitchen_id, bake_id)
            db.execute(insert(plans), row)
            db.execute(update(bakes).where(bakes.c.bake_id == bake_id).values(changed_at=now, dropped_at=None))
            self.calendar_shows_more(db, kitchen_id)

    def picked(
        self,
        kitchen_id: str,
        since: int = 0,
        until: int = _ENDLESS,
        newest_first: bool = False,
        held: bool = False,
        most: int = _ENDLESS,
    ) -> tuple[PickedRow, ...]:
        """Picked bakes whose supper is in [since, until), by supper, the first `most`. `held`: less those given up."""
        asked = {"kitchen": kitchen_id, "since": since, "until": until, "most": most}
        with self.reading(kitchen_id) as db:
            rows = db.execute(_BY_SUPPER[newest_first, held], asked).all()
        return tuple(PickedRow(*row) for row in rows)

    def last_wish(self, kitchen_id: str) -> Plain | None:
        """The wish of the bake planned last, for filling in the form again."""
        with self.reading(kitchen_id) as db:
            wish = db.execute(_LAST_WISH, {"kitchen": kitchen_id}).scalar()
        return None if wish is None else group_in(wish)

    def revision(self, bake_id: str) -> int:
        """The highest picked revision, 0 before any."""
        with self.reading() as db:
            return db.execute(select(func.max(plans.c.revision)).where(plans.c.bake_id == bake_id)).scalar() or 0

    def drop_bake(self, kitchen_id: str, bake_id: str, now: int) -> bool:
        """Give a bake up; it stays readable and calendars show it as cancelled. False when it is not there."""
        with self.transaction(kitchen_id) as db:
            given_up = update(bakes).where(_THIS, bakes.c.dropped_at.is_(None)).values(dropped_at=now, changed_at=now)
            dropped = db.execute(given_up, {"kitchen": kitchen_id, "bake": bake_id}).rowcount
            if dropped:
                self.calendar_changed(db, kitchen_id)
        return bool(dropped)

    def delete_bake(self, kitchen_id: str, bake_id: str) -> bool:
        """Forget a bake with its journal; False when it is not there."""
        with self.transaction(kitchen_id) as db:
            gone = db.execute(delete(bakes).where(_THIS), {"kitchen": kitchen_id, "bake": bake_id}).rowcount
            if gone:
                self.calendar_changed(db, kitchen_id)
        return bool(gone)

    def bake_ids(self, kitchen_id: str) -> tuple[str, ...]:
        """Every bake of the kitchen, the oldest first."""
        oldest_first = select(bakes.c.bake_id).where(_OURS).order_by(bakes.c.made_at, bakes.c.place)
        with self.reading(kitchen_id) as db:
            return tuple(db.execute(oldest_first, {"kitchen": kitchen_id}).scalars())

    def free_or_own(self, kitchen_id: str, bake_id: str) -> str:
        """The id when nobody has it or this kitchen does, else ""."""
        with self.reading(kitchen_id) as db:
            owner = db.execute(_WHOSE, {"bake": bake_id}).scalar()
        return bake_id if owner in (None, kitchen_id) else ""

    def revisions(self, bake_id: str) -> tuple[Plain, ...]:
        """Every picked revision of the plan with its `picked_at`, for export."""
        every = select(plans.c.picked_at, plans.c.plan).where(plans.c.bake_id == bake_id).order_by(plans.c.revision)
        with self.reading() as db:
            rows = db.execute(every).all()
        return tuple({"picked_at": row.picked_at, "plan": Group(row.plan)} for row in rows)

    # -- the journal

    def add_events(self, kitchen_id: str, bake_id: str, lines: Iterable[Plain], now: int) -> int:
        """Join events to the journal (a set union by `event_id`: the first one written stays); how many were new."""
        rows = [
            {
                "bake_id": bake_id,
                "received_at": now,
                "event": json.dumps(one),
                **{name: one[name] for name in ("event_id", "at", "kind")},
            }
            for one in lines
        ]
        with self.transaction(kitchen_id) as db:
            self._own(db, kitchen_id, bake_id)
            new = db.execute(or_leave(db, events), rows, execution_options=_COUNT).rowcount if rows else 0
            if new:
                db.execute(_CHANGED, {"kitchen": kitchen_id, "bake": bake_id, "now": now})
                self.calendar_shows_more(db, kitchen_id)
        return new

    def events(self, kitchen_id: str, bake_id: str) -> tuple[Group, ...]:
        """The journal of one bake, by `at`, then by id: the same order whoever sent what first."""
        with self.reading(kitchen_id) as db:
            lines = db.execute(_JOURNAL, {"kitchen": kitchen_id, "bake": bake_id}).scalars().all()
        return tuple(Group(one) for one in lines)

    def bakes_that_teach(self, kitchen_id: str, since: int, most: int) -> tuple[str, ...]:
        """Picked bakes with a mark of the dough or an outcome since then: the latest `most`, the oldest first."""
        with self.reading(kitchen_id) as db:
            found = db.execute(_TEACH, {"kitchen": kitchen_id, "since": since, "most": most}).scalars().all()
        return tuple(reversed(found))

    def bakes_where_room_was_read(self, kitchen_id: str, since: int, most: int) -> tuple[str, ...]:
        """Picked bakes with a reading of the room since then: the latest `most`, the last one first."""
        with self.reading(kitchen_id) as db:
            return tuple(db.execute(_ROOM_READ, {"kitchen": kitchen_id, "since": since, "most": most}).scalars())

    def count_events(self, bake_id: str) -> int:
        """How long the journal is."""
        with self.reading() as db:
            return db.execute(select(func.count()).where(events.c.bake_id == bake_id)).scalar() or 0

    @staticmethod
    def _own(db: Connection, kitchen_id: str, bake_id: str) -> None:
        if db.execute(_IS_OURS, {"kitchen": kitchen_id, "bake": bake_id}).first() is None:
            raise LookupError(bake_id)
