"""A command that cannot go on ends with a sentence, not with a traceback."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from webapp.core.errors import PlanError
from webapp.store.failure import DatabaseError, why
from webapp.words.problems.told import one_line

_OTHER_FOLDER = "Give another one: --data FOLDER, or SUPPERTIDE_DATA."
_FULL = (errno.ENOSPC, errno.EDQUOT)


@contextmanager
def in_words(folder: Path, where_kept: str = "") -> Iterator[None]:
    """A data folder, a file in it, or the database that cannot be used: click prints why and leaves with status 1."""
    try:
        yield
    except PlanError as error:
        raise click.ClickException(one_line(error)) from None
    except OSError as error:
        raise click.ClickException(_of_folder(error, folder)) from None
    except DatabaseError as error:
        said = why(error)
        if said is None:
            raise
        raise click.ClickException(f"{said[0]} {said[1]} It is in {where_kept or folder}.") from None


def _of_folder(error: OSError, folder: Path) -> str:
    if error.errno in _FULL:
        return f"The disk is full: nothing can be kept in {folder}. Make room. {_OTHER_FOLDER}"
    which = f": {error.filename}" if error.filename and str(error.filename) != str(folder) else ""
    return f"The data folder {folder} cannot be used ({error.strerror or error}{which}). {_OTHER_FOLDER}"
