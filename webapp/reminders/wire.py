"""A conversation with somebody else's server, at an address that a person typed: one question after the other.

Every address is checked by `net_guard` before it is connected to, redirects are followed by hand and never to an
address that the conversation does not allow, and whatever the server does, the conversation ends in time.
"""

from __future__ import annotations

import ssl
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Self
from urllib.parse import urljoin, urlsplit

import httpx

from webapp.machine.net_guard import Guard, NoSuchNameError, RefusedError
from webapp.words.problems import calendar_servers as said

_REDIRECTS = (301, 302, 303, 307, 308)
_MOST_STOPS = 5
TALK_S = 60.0  # for one conversation; what is left is done in the next
_TIMEOUT_S = 10.0
_WHOLE_S = 30.0  # for one answer, however slowly it drips
_MOST_BYTES = 2_000_000
_PACKED = "gzip"  # a library that unpacks other kinds may be here, and some let a few bytes become very many
# OpenSSL's numbers for a certificate that it does not believe (X509_V_ERR_..., x509_vfy.h): no issuer found, or itself
# its issuer; of another host name or address; not yet valid or expired.
_UNTRUSTED, _OF_ANOTHER, _NOT_TODAY = (2, 18, 19, 20), (62, 64), (9, 10)
_SILENT = 2  # questions without an answer: a server that is down is not asked about every event


class CalendarError(Exception):
    """It did not work. The text is for the person; `again`: it may work later without anybody doing anything; `login`:
    user name and password were not accepted; `final`: asking elsewhere on that server is of no use either; `enough`:
    after how many of them in a row the whole server is let be for now, 0 where it may be about one thing alone."""

    def __init__(self, text: str, *, again: bool, login: bool = False, final: bool = False, enough: int = 0) -> None:
        super().__init__(text)
        self.again = again
        self.login = login
        self.final = final
        self.enough = enough


@dataclass(frozen=True)
class Login:
    """User name and password for Basic authentication (RFC 7617), always over an encrypted or a home connection."""

    username: str
    password: str = field(repr=False)


@dataclass(frozen=True)
class Reply:
    """An answer: `url` is where it came from after redirects."""

    status: int
    headers: httpx.Headers
    body: bytes
    url: str


@cache
def usual_authorities() -> ssl.SSLContext:
    """Whose certificates are believed where the owner named nobody: read once, which takes longer than most answers."""
    return httpx.create_ssl_context(trust_env=False)


class Conversation:
    """One conversation with one server, under a login or without; use it as a context manager."""

    def __init__(
        self,
        guard: Guard,
        login: Login | None = None,
        clock: Callable[[], float] = time.monotonic,
        talk_s: float = TALK_S,
        trust: ssl.SSLContext | None = None,
        most_bytes: int = _MOST_BYTES,
    ) -> None:
        """`talk_s`: how long the conversation may take in seconds, whatever the server does meanwhile. `trust`: whose
        certificates to believe, None for the usual authorities. `most_bytes`: how long an answer may be."""
        self._guard = guard
        self._clock = clock
        self._until = clock() + talk_s
        self._most_bytes = most_bytes
        self._client = httpx.Client(
            auth=httpx.BasicAuth(login.username, login.password) if login else None,
            timeout=min(_TIMEOUT_S, talk_s),
            follow_redirects=False,
            verify=trust or usual_authorities(),
            trust_env=False,  # no proxy from the environment: it would resolve names behind the guard's back
            headers={"User-Agent": "Suppertide", "Accept-Encoding": _PACKED},
        )
        # The client's own timeout begins anew with every byte: a server that drips its headers would hold us for ever.
        self._hang_up = threading.Timer(talk_s + 1, self._client.close)
        self._hang_up.daemon = True

    def __enter__(self) -> Self:
        self._hang_up.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._hang_up.cancel()
        self._client.close()

    def ask(self, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
        """One request, no redirect followed; whatever the answer is. Raises CalendarError when there is none."""
        if self._clock() > self._until:
            raise CalendarError(said.SLOW, again=True, enough=_SILENT)
        try:
            target = self._guard.pin(url)
            with self._client.stream(
                verb,
                target.url,
                headers={"Host": target.host, **headers},
                content=body or None,
                extensions={"sni_hostname": target.server_name},
            ) as response:
                return Reply(response.status_code, response.headers, self._read(response), url)
        except RefusedError as error:
            raise CalendarError(str(error), again=False) from error
        except NoSuchNameError as error:
            raise CalendarError(str(error), again=True, enough=_SILENT) from error
        except httpx.ConnectError as error:
            raise _no_connection(error) from error
        # RuntimeError: hung up on meanwhile.
        except (httpx.HTTPError, httpx.InvalidURL, OSError, RuntimeError, ValueError) as error:
            raise CalendarError(said.SILENT, again=True, enough=_SILENT) from error

    def follow(self, verb: str, url: str, headers: dict[str, str], body: bytes = b"") -> Reply:
        """Ask, and ask again where the server says that it moved; the verb stays what it is (RFC 9110 15.4).

        Raises CalendarError when there is no answer, or none that may be followed.
        """
        for _ in range(_MOST_STOPS):
            reply = self.ask(verb, url, headers, body)
            if reply.status not in _REDIRECTS:
                return reply
            href = str(reply.headers.get("Location", ""))
            if not href:
                raise CalendarError(said.MOVED_NOWHERE, again=False)
            url = self.onward(url, href)
        raise CalendarError(said.IN_CIRCLES, again=False)

    def onward(self, base: str, href: str) -> str:
        """Where an answer points to; never from an encrypted to an open connection. Raises CalendarError."""
        try:
            url = urljoin(base, href)
            was, scheme = urlsplit(base).scheme, urlsplit(url).scheme
        except ValueError as error:
            raise CalendarError(said.NO_ADDRESS_ON, again=False) from error
        if was == "https" and scheme != "https":
            raise CalendarError(said.UNENCRYPTED_ON, again=False)
        return url

    def _read(self, response: httpx.Response) -> bytes:
        if response.headers.get("Content-Encoding", _PACKED).lower() not in (_PACKED, "identity"):
            raise CalendarError(said.PACKED, again=False)
        until = self._clock() + _WHOLE_S
        body = bytearray()
        for piece in response.iter_bytes():
            body += piece
            if len(body) > self._most_bytes:
                raise CalendarError(said.too_long(self._most_bytes / 1e6), again=False)
            if self._clock() > until:
                raise CalendarError(said.DRIPS, again=True, enough=_SILENT)
        return bytes(body)


def _no_connection(error: httpx.ConnectError) -> CalendarError:
    """No connection; a certificate is told apart, as it does not mend itself."""
    cause: BaseException | None = error
    while cause is not None and not isinstance(cause, ssl.SSLCertVerificationError):
        cause = cause.__cause__ or cause.__context__
    if cause is None:
        return CalendarError(said.SILENT, again=True, enough=_SILENT)
    why = cause.verify_message or said.NOT_CHECKED
    return CalendarError(_not_believed(cause.verify_code, why.rstrip(". ")), again=False, final=True)


def _not_believed(code: int, why: str) -> str:
    """A certificate that nobody trusted vouches for, or that does not hold for this address, or not today: told by
    OpenSSL's number, its words in brackets."""
    if code in _UNTRUSTED:
        return said.untrusted(why)
    if code in _OF_ANOTHER:
        return said.of_another_address(why)
    return said.not_today(why) if code in _NOT_TODAY else said.not_in_order(why)
