"""Bringing a database up to date by Alembic, whichever engine it is of."""

from __future__ import annotations

import threading
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from sqlalchemy import Column, Connection, MetaData, String, Table, Text, inspect, text

from webapp.store.schema.errors import NewerFileError
from webapp.store.schema.tables import TABLES

if TYPE_CHECKING:
    from alembic.config import Config

_NOTED = "alembic_version"
_ALEMBIC = threading.Lock()  # it keeps what it is doing in a module of its own: one at a time in a process


@cache
def revisions() -> tuple[str, ...]:
    """The name of every change of the tables, in order: that of its file."""
    folder = resources.files("webapp.store.schema") / "versions"
    return tuple(sorted(one.name[:-3] for one in folder.iterdir() if one.name[0].isdigit() and one.name[-3:] == ".py"))


def noted(db: Connection) -> str:
    """The last change that this database had; empty when Alembic never saw it."""
    if not inspect(db).has_table(_NOTED):
        return ""
    return str(db.execute(text(f"SELECT version_num FROM {_NOTED}")).scalar() or "")  # noqa: S608 - our own name


def bring_up_to_date(db: Connection, called: object) -> None:
    """Every change not had yet, within the transaction of the caller. Raises NewerFileError for one we do not know."""
    if not inspect(db).get_table_names():
        _make_all(db)
        return
    had = noted(db)
    if had and had not in revisions():
        raise NewerFileError(called, had)
    if had != revisions()[-1]:
        from alembic import command  # slow to load, and seldom needed

        with _ALEMBIC:
            if not had and inspect(db).has_table("schema_done"):
                _say_scripts_ran(db)
            command.upgrade(_config(db), "head")


def _make_all(db: Connection) -> None:
    """A new database has the tables of today at once; it is noted that nothing is left to be changed."""
    TABLES.create_all(db)
    notes = MetaData()
    done = Table(_NOTED, notes, Column("version_num", String(32), primary_key=True))
    done.create(db)
    db.execute(done.insert().values(version_num=revisions()[-1]))
    if db.dialect.name == "sqlite":  # versions before Alembic look here, and refuse what they do not know
        scripts = Table("schema_done", notes, Column("name", Text, primary_key=True), sqlite_strict=True)
        scripts.create(db)
        db.execute(scripts.insert().values(name=revisions()[0]))


def _say_scripts_ran(db: Connection) -> None:
    """The first revision is what the numbered scripts left: nothing is to be made, it is noted in both lists."""
    from alembic import command

    command.stamp(_config(db), revisions()[0])
    db.execute(text("INSERT INTO schema_done VALUES (:name)"), {"name": revisions()[0]})


def _config(db: Connection) -> Config:
    from alembic.config import Config

    config = Config(attributes={"connection": db})
    config.set_main_option("script_location", "webapp.store:schema")
    config.set_main_option("path_separator", "os")
    return config
