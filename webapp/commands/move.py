"""Everything that a server remembers, into another database."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import click

from webapp.machine.settings import Settings
from webapp.store.engines.choose import LIKE_AN_ADDRESS, is_address
from webapp.store.engines.move import OneSideError, move
from webapp.store.failure import DatabaseError, why


def moved(settings: Settings, to: str) -> str:
    """Move it; the lines for the terminal. `to`: the address of a PostgreSQL database, or a file. Raises click's errors
    for an address that is none, a place with nothing to move, and what is wrong where all was to go; none repeats a
    password. What is wrong here is raised as it is."""
    target = _target(to)
    if target == settings.database:
        raise click.UsageError("That is where everything is now.")
    if isinstance(settings.database, Path) and not settings.database.is_file():
        raise click.UsageError(f"There is nothing to move in {settings.where_kept}. Name another folder with --data.")
    try:
        counted = move(settings.database, target)
    except OneSideError as error:
        if not error.there:
            raise error.what from None
        with _of_the_other(settings, target):
            raise error.what from None
    lines = [f"{count:>9} {name.replace('_', ' ')}" for name, count in counted.items() if count]
    return "\n".join(
        [f"Moved from {settings.where_kept}, and counted there again:", *lines, _NEXT[isinstance(target, str)]]
    )


@contextmanager
def _of_the_other(settings: Settings, target: Path | str) -> Iterator[None]:
    """What is wrong with the place where all was to go, in words that name that one and its option."""
    where = str(target) if isinstance(target, Path) else replace(settings, database_server=target).where_kept
    try:
        yield
    except OSError as error:
        said = f"{where} cannot be made ({error.strerror or error}). Name another file: --to."
        raise click.ClickException(said) from None
    except DatabaseError as error:
        told = why(error)
        if told is None:
            raise
        words = " ".join(told).replace("SUPPERTIDE_DATABASE", "--to")
        raise click.ClickException(f"{words} It is about {where}, where all was to go.") from None


def _target(to: str) -> Path | str:
    """Where to. Anything else with :// would be made as folders, and a password in it their name."""
    if "://" not in to:
        return Path(to).expanduser().resolve()
    if not is_address(to):
        raise click.BadParameter(
            f"That is no address of a PostgreSQL database. It is like {LIKE_AN_ADDRESS}.",
            param_hint="--to",
        )
    return to


_KEYS = "The keys in the data folder stay where they are, and are needed as before. What was moved from is unchanged."
_NEXT = {
    True: f"Start the server with SUPPERTIDE_DATABASE set to that address from now on. {_KEYS}",
    False: f"Start the server without SUPPERTIDE_DATABASE, its file suppertide.sqlite3 being that one. {_KEYS}",
}
