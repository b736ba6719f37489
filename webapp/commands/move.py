"""Everything that a server remembers, into another database."""

from __future__ import annotations

from pathlib import Path

import click

from webapp.machine.settings import Settings
from webapp.store.engines.move import move


def moved(settings: Settings, to: str) -> str:
    """Move it; the lines for the terminal. `to`: the address of a PostgreSQL database, or a file."""
    target = to if to.startswith(("postgresql://", "postgresql+psycopg://")) else Path(to).expanduser().resolve()
    if target == settings.database:
        raise click.UsageError("That is where everything is now.")
    counted = move(settings.database, target)
    lines = [f"{count:>9} {name.replace('_', ' ')}" for name, count in counted.items() if count]
    return "\n".join(
        [f"Moved from {settings.where_kept}, and counted there again:", *lines, _NEXT[isinstance(target, str)]]
    )


_KEYS = "The keys in the data folder stay where they are, and are needed as before. What was moved from is unchanged."
_NEXT = {
    True: f"Start the server with SUPPERTIDE_DATABASE set to that address from now on. {_KEYS}",
    False: f"Start the server without SUPPERTIDE_DATABASE, its file suppertide.sqlite3 being that one. {_KEYS}",
}
