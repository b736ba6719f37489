"""Secrets at rest: sealed with a key that lies beside the database, readable by its owner alone.

What is sealed: passwords of calendar accounts, feed keys, the key that signs push messages. A copy of the database
without the key file is no use to anybody. Fernet (AES-128-CBC with HMAC-SHA-256) of the `cryptography` package.
"""

from __future__ import annotations

import os
from pathlib import Path

from cryptography.fernet import Fernet, InvalidToken


class UnreadableError(ValueError):
    """Sealed with another key (the key file was replaced or lost), or damaged."""


class SecretBox:
    """Seals and opens short texts with the key in `folder`, made on first use."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / "secretbox.key"
        self._fernet: Fernet | None = None

    def seal(self, text: str) -> str:
        """The text encrypted, as printable ASCII; different every time."""
        return self._box().encrypt(text.encode()).decode("ascii")

    def open(self, sealed: str) -> str:
        """What was sealed. Raises `UnreadableError`."""
        try:
            return self._box().decrypt(sealed.encode()).decode()
        except InvalidToken as error:
            raise UnreadableError("This was sealed with another key.") from error

    def _box(self) -> Fernet:
        if self._fernet is None:
            self._fernet = Fernet(_key(self._path))
        return self._fernet


def _key(path: Path) -> bytes:
    """The key in the file, written first when there is none; two servers starting together agree on one."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    fresh = path.with_name(f"{path.name}.{os.getpid()}-{os.urandom(4).hex()}")
    if not path.exists():
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(Fernet.generate_key())
        try:
            os.link(fresh, path)  # whole or not at all, and never over a key that is already there
        except FileExistsError:
            pass
        finally:
            fresh.unlink()
    return path.read_bytes()
