"""PostgreSQL, for a server that one machine's file is too small for: any number of processes on one database."""

from __future__ import annotations

from contextlib import AbstractContextManager
from importlib.util import find_spec

from sqlalchemy import Connection, bindparam, create_engine, func, select, text
from sqlalchemy.engine import URL, make_url

from webapp.store.schema.errors import BadAddressError, NoDriverError
from webapp.store.schema.tables import kitchens, left_calendars
from webapp.store.schema.up_to_date import bring_up_to_date

_BUSY_S = 5  # how long is waited for another that writes in the same kitchen, and for the server to answer at all
_KEPT = 8  # connections of a process that stay open when nobody asks
_MORE = 24  # further ones while many ask
_OUR_NAME = "suppertide"  # as the server lists who is connected
_LOCK = 7_201_844  # what is locked while tables are brought up to date: any number, always the same one
# Rows that refer to the kitchen may still be written by those who hold it not: they are no change of the kitchen's own.
_HOLD = (
    select(kitchens.c.kitchen_id).where(kitchens.c.kitchen_id == bindparam("kitchen")).with_for_update(key_share=True)
)

_OTHERS = text(
    "SELECT count(*) FROM pg_stat_activity"
    " WHERE datname = current_database() AND application_name = :name AND pid <> pg_backend_pid()"
)


def number_on_from(db: Connection) -> None:
    """What numbers its rows by itself goes on behind those that came with their numbers; SQLite does so anyhow."""
    if db.dialect.name == "postgresql":
        last = select(func.max(left_calendars.c.left_id)).scalar_subquery()
        numbers = func.pg_get_serial_sequence(left_calendars.name, "left_id")
        db.execute(select(func.setval(numbers, func.coalesce(last, 1), last.is_not(None))))


class Postgres:
    """Writing is one transaction, and in one kitchen one at a time, as SQLite has it for all; reading is one view."""

    def __init__(self, address: str) -> None:
        """Bring the tables up to date. Raises NewerFileError, NoDriverError, BadAddressError."""
        self._where = make_url(address).set(drivername="postgresql+psycopg")
        if not find_spec("psycopg"):
            raise NoDriverError("psycopg")
        _look_at(self._where)
        self._writes = create_engine(
            self._where,
            pool_pre_ping=True,
            pool_size=_KEPT,
            max_overflow=_MORE,
            pool_timeout=_BUSY_S,
            hide_parameters=True,
            connect_args={
                "connect_timeout": _BUSY_S,
                "options": f"-c lock_timeout={_BUSY_S}s",
                "application_name": _OUR_NAME,
            },
        )
        self._reads = self._writes.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
        self._asks = self._writes.execution_options(isolation_level="AUTOCOMMIT")
        try:
            with self._writes.begin() as db:
                db.execute(select(func.pg_advisory_xact_lock(_LOCK)))
                bring_up_to_date(db, self._where.render_as_string(hide_password=True))
        except Exception:
            self.close()
            raise

    def writing(self) -> AbstractContextManager[Connection]:
        """One transaction."""
        return self._writes.begin()

    def reading(self) -> AbstractContextManager[Connection]:
        """One consistent view; PostgreSQL refuses what would be written."""
        return self._reads.connect()

    def asking(self) -> AbstractContextManager[Connection]:
        """For one question alone, which sees the newest state."""
        return self._asks.connect()

    def hold(self, db: Connection, kitchen_id: str) -> None:
        """From the first question about a kitchen on nobody else writes in it: what was read there still holds when
        what follows from it is written."""
        db.execute(_HOLD, {"kitchen": kitchen_id})

    def is_in_use(self) -> bool:
        """Whether another process of ours is connected to that database."""
        self.close()
        with self.asking() as db:
            return bool(db.execute(_OTHERS, {"name": _OUR_NAME}).scalar())

    def close(self) -> None:
        """Let go of the server, until it is asked again."""
        self._writes.dispose()


def _look_at(where: URL) -> None:
    """Whether the driver can make sense of the address; nobody is asked. Raises BadAddressError."""
    from psycopg import ProgrammingError
    from psycopg.conninfo import make_conninfo  # the driver is an extra

    _, said = where.get_dialect()().create_connect_args(where)
    try:
        make_conninfo(**said)
    except ProgrammingError as error:
        raise BadAddressError(str(error)) from None
