"""One push message to one browser: encrypted (RFC 8291), signed (RFC 8292), sent (RFC 8030).

An optional extra, `pip install suppertide[push]`: pywebpush encrypts and signs; the sending is done here, so that it
has time limits, follows no redirect and goes to known push services only.
"""

from __future__ import annotations

import importlib.util
import time
from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error as Base64Error
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import httpx
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from webapp.core.kinds import SentAs
from webapp.machine.net_guard import Guard, NoSuchNameError, RefusedError
from webapp.machine.secret_file import secret_of
from webapp.words.pages import reminders as said
from webapp.words.problems.told import refused

# The services that browsers bring along; a dot in front stands for every name below.
KNOWN_HOSTS = (
    "fcm.googleapis.com",
    ".push.services.mozilla.com",
    ".notify.windows.com",
    ".push.apple.com",
)
_P256_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551  # SEC 2, 2.4.2
_TOKEN_S = 12 * 3600  # RFC 8292 2: at most 24 hours
_TIMEOUT_S = 10.0
_MOST_ENDPOINT = 2000
_RETRY_S = 30

SENT: SentAs = "sent"
GONE: SentAs = "gone"
AGAIN: SentAs = "again"
BROKEN: SentAs = "broken"
REFUSED: SentAs = "refused"
UNKNOWN: SentAs = "unknown"


@dataclass(frozen=True)
class Outcome:
    """What became of a message. `again`: for certain not taken, try after `wait_s`. `broken`: the service
    said that it has a fault, perhaps after it took the message. `unknown`: perhaps taken."""

    what: SentAs
    wait_s: int = 0


@dataclass(frozen=True)
class Receiver:
    """A browser that takes messages: where they go and how they are encrypted (RFC 8291)."""

    endpoint: str
    p256dh: str
    auth: str


def available() -> bool:
    """Whether the extra is installed."""
    return importlib.util.find_spec("pywebpush") is not None


def signing_key(folder: Path) -> ec.EllipticCurvePrivateKey:
    """The server's VAPID key, made on first use: the same for as long as the data folder lives."""
    number = int.from_bytes(secret_of(folder / "push.key"), "big")
    return ec.derive_private_key(1 + number % (_P256_ORDER - 1), ec.SECP256R1())


def public_key(folder: Path) -> str:
    """What a browser needs to subscribe: the public half, base64url."""
    point = signing_key(folder).public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return urlsafe_b64encode(point).rstrip(b"=").decode()


def check_receiver(to: Receiver, also: frozenset[str]) -> None:
    """Whether this is a browser that we may send to. Raises PlanError at "endpoint" or "keys"."""
    endpoint = to.endpoint
    try:
        parts = urlsplit(endpoint if _is_printable(endpoint) else "")
        host, port = (parts.hostname or "").lower(), parts.port
    except ValueError:
        host, port, parts = "", None, urlsplit("")
    named = f"{host}:{port or 443}" in also
    known = parts.scheme == "https" and port in (None, 443) and _is_known(host)
    plain = endpoint.isascii() and endpoint.isprintable() and " " not in endpoint
    if not plain or len(endpoint) > _MOST_ENDPOINT or parts.username is not None or not (named or known):
        raise refused("endpoint", *said.UNKNOWN_SERVICE)
    try:
        if not (_is_printable(to.p256dh) and _is_printable(to.auth)):
            raise ValueError
        point, secret = _unpacked(to.p256dh), _unpacked(to.auth)
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
    except (ValueError, Base64Error) as error:
        raise refused("keys", *said.NO_KEYS) from error
    if len(secret) != 16 or len(point) != 65:
        raise refused("keys", *said.SHORT_KEYS)


def _is_printable(text: str) -> bool:
    """Visible ASCII without spaces, as an address is (RFC 3986, 2): a NUL or half a character breaks whoever sends."""
    return text.isascii() and text.isprintable() and " " not in text


def _is_known(host: str) -> bool:
    return any(host == one or (one.startswith(".") and host.endswith(one)) for one in KNOWN_HOSTS)


def _unpacked(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


class Sender:
    """Sends messages under this server's key. `contact`: where a push service can ask about us (RFC 8292 2.1)."""

    def __init__(self, folder: Path, guard: Guard, contact: str, clock: Callable[[], float] = time.time) -> None:
        self._key = signing_key(folder)
        self._guard = guard
        self._contact = contact if contact.startswith("https://") else "mailto:owner@suppertide.invalid"
        self._clock = clock
        self._client = httpx.Client(timeout=_TIMEOUT_S, follow_redirects=False, trust_env=False)

    def close(self) -> None:
        """Let go of the connections."""
        self._client.close()

    def send(self, to: Receiver, payload: str, topic: str, ttl_s: int) -> Outcome:
        """One POST. `topic` replaces a message still waiting for the phone (RFC 8030 5.4); `ttl_s` how long it may."""
        try:
            target = self._guard.pin(to.endpoint)
        except RefusedError:
            return Outcome(REFUSED)
        except NoSuchNameError:
            return Outcome(AGAIN, _RETRY_S)
        headers = {
            "Host": target.host,
            "TTL": str(max(0, ttl_s)),
            "Urgency": "high",
            "Topic": topic,
            "Content-Encoding": "aes128gcm",
            "Content-Type": "application/octet-stream",
            **self._signature(to.endpoint),
        }
        body = _encrypted(to, payload)
        try:
            # What it says besides its status is nothing to us, and not read, however long or packed it is.
            with self._client.stream(
                "POST", target.url, content=body, headers=headers, extensions={"sni_hostname": target.server_name}
            ) as reply:
                return _outcome(reply)
        except (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout):
            return Outcome(AGAIN, _RETRY_S)
        except httpx.HTTPError:
            return Outcome(UNKNOWN)  # it may have arrived: never twice

    def _signature(self, endpoint: str) -> dict[str, str]:
        from py_vapid import Vapid02  # type: ignore[import-untyped]  # of the extra; ships no types

        parts = urlsplit(endpoint)
        claims = {
            "aud": f"{parts.scheme}://{parts.netloc}",
            "exp": int(self._clock()) + _TOKEN_S,
            "sub": self._contact,
        }
        return dict(Vapid02(self._key).sign(claims))


def _encrypted(to: Receiver, payload: str) -> bytes:
    from pywebpush import WebPusher  # type: ignore[import-untyped]  # of the extra; ships no types

    pusher = WebPusher({"endpoint": to.endpoint, "keys": {"p256dh": to.p256dh, "auth": to.auth}})
    return bytes(pusher.encode(payload.encode())["body"])


def _outcome(reply: httpx.Response) -> Outcome:
    if reply.status_code in (200, 201, 202, 204):
        return Outcome(SENT)
    if reply.status_code in (404, 410):
        return Outcome(GONE)
    if reply.status_code in (429, 503):
        asked = reply.headers.get("Retry-After", "")
        return Outcome(AGAIN, min(max(int(asked), 1), 3600) if asked.isdigit() else _RETRY_S)
    if reply.status_code >= 500:
        return Outcome(BROKEN, _RETRY_S)  # perhaps taken: better a message twice than never, but not three times
    return Outcome(REFUSED)
