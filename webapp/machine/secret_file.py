"""Secrets the server makes for itself on first use and keeps in its data folder, readable by its owner only."""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

from webapp.words.problems.told import refused

_BYTES = 32


def secret_of(path: Path) -> bytes:
    """The secret in that file, 32 random bytes; made when it is not there yet (two starting servers agree on one).

    Raises PlanError at "data" for a file that holds no secret of ours, OSError when it cannot be read or made.
    """
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    if not path.exists():
        _make(path)
    _keep_to_owner(path)
    secret = path.read_bytes()
    if len(secret) != _BYTES:
        raise refused(
            "data",
            f"The key file {path} is damaged: it holds {len(secret)} bytes, not {_BYTES}.",
            "Put back a good copy. Or delete it: a new one is made, and what it kept must be typed in again.",
        )
    return secret


def _make(path: Path) -> None:
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(secrets.token_bytes(_BYTES))
            file.flush()
            os.fsync(file.fileno())  # a power cut now must not leave an empty key behind
        try:
            os.link(draft, path)
        except FileExistsError:
            pass  # another server was first: its secret holds
        except OSError:  # memory cards and some network folders have no links
            if not path.exists():
                draft.rename(path)
    finally:
        draft.unlink(missing_ok=True)


def _keep_to_owner(path: Path) -> None:
    """Take away what others on this machine may do with it, after a copy or a restored backup opened it."""
    if os.name == "posix" and path.stat().st_mode & 0o077:
        with contextlib.suppress(PermissionError):  # not our file: its owner has decided
            path.chmod(0o600)
