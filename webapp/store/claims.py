"""Who is at work: of several processes on one database one alone does a thing for a household at a time."""

from __future__ import annotations

from sqlalchemy import delete, update

from webapp.store.base import Base, or_leave
from webapp.store.schema.tables import claims


class Claims(Base):
    """A claim is a row. One whose holder died is free again when its time is over."""

    def claim(self, work: str, of: str, holder: str, now: int, until: int) -> bool:
        """Whether the work for that household is this holder's from now on; else another one is at it."""
        free = (claims.c.work == work, claims.c.of == of, claims.c.until <= now)
        with self.transaction() as db:
            if db.execute(update(claims).where(*free).values(holder=holder, until=until)).rowcount:
                return True
            mine = or_leave(db, claims).values(work=work, of=of, holder=holder, until=until)
            return db.execute(mine.returning(claims.c.of)).first() is not None

    def release(self, work: str, of: str, holder: str) -> None:
        """It is done; nothing for a claim that another one holds by now."""
        this = (claims.c.work == work, claims.c.of == of, claims.c.holder == holder)
        with self.transaction() as db:
            db.execute(delete(claims).where(*this))
