"""Secrets at rest: sealed with a key that lies beside the database, readable by its owner alone.

What is sealed: passwords of calendar accounts, feed keys, the key that signs push messages. A copy of the database
without the key file is no use to anybody. Fernet (AES-128-CBC with HMAC-SHA-256) of the `cryptography` package.
"""

from __future__ import annotations

from base64 import urlsafe_b64encode
from pathlib import Path

from cryptography.fernet import Fernet, InvalidToken

from webapp.machine.secret_file import secret_of


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

    def open(self, sealed: str, within_s: int | None = None) -> str:
        """What was sealed (less than `within_s` seconds ago, if given). Raises `UnreadableError`."""
        try:
            return self._box().decrypt(sealed.encode(), ttl=within_s).decode()
        except InvalidToken as error:
            raise UnreadableError("This was sealed with another key, or too long ago.") from error

    def _box(self) -> Fernet:
        if self._fernet is None:
            self._fernet = Fernet(urlsafe_b64encode(secret_of(self._path)))
        return self._fernet
