"""Secrets the server makes for itself on first use and keeps in its data folder, readable by its owner only."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

_BYTES = 32


def secret_of(path: Path) -> bytes:
    """The secret in that file, 32 random bytes; made when it is not there yet (two starting servers agree on one)."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    if not path.exists():
        draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(secrets.token_bytes(_BYTES))
        try:
            os.link(draft, path)  # fails when another server was first: then its secret holds
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    return path.read_bytes()
