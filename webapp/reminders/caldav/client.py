"""A conversation with a CalDAV server: the verbs that keep a calendar right. RFC 4791, 4918, 9110.

Only what publishing needs: PUT with If-None-Match or If-Match, GET, DELETE (and what `finding` asks). Redirects are
followed by hand, with every stop checked by `net_guard`, and never out of the household of names.
"""

from __future__ import annotations

import ssl
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urljoin, urlsplit

import httpx

from webapp.machine.household import same_household
from webapp.machine.net_guard import Guard, NoSuchNameError, RefusedError
from webapp.reminders.ics import CONTENT_TYPE

_TIMEOUT_S = 10.0
_WHOLE_S = 30.0  # for one answer, however slowly it drips
_TALK_S = 60.0  # for one conversation; what is left is done in the next
_MOST_BYTES = 2_000_000
_MOST_STOPS = 5
_REDIRECTS = (301, 302, 303, 307, 308)


class CalendarError(Exception):
    """It did not work. The text is for the person; `again`: it may work later without anybody doing anything; `login`:
    user name and password were not accepted; `final`: asking elsewhere on that server is of no use either."""

    def __init__(self, text: str, *, again: bool, login: bool = False, final: bool = False) -> None:
        super().__init__(text)
        self.again = again
        self.login = login
        self.final = final


class ChangedError(Exception):
    """412: the event is not as we left it (or there already)."""


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


class CalendarServer:
    """One conversation with one server under one login; use it as a context manager."""

    def __init__(
        self,
        guard: Guard,
        login: Login,
        clock: Callable[[], float] = time.monotonic,
        talk_s: float = _TALK_S,
        trust: ssl.SSLContext | None = None,
    ) -> None:
        """`talk_s`: how long the conversation may take in seconds, whatever the server does meanwhile. `trust`: whose
        certificates to believe, None for the usual authorities."""
        self._guard = guard
        self._clock = clock
        self._until = clock() + talk_s
        self._client = httpx.Client(
            auth=httpx.BasicAuth(login.username, login.password),
            timeout=min(_TIMEOUT_S, talk_s),
            follow_redirects=False,
            verify=trust or True,
            trust_env=False,  # no proxy from the environment: it would resolve names behind the guard's back
            headers={"User-Agent": "Suppertide"},
        )
        # The client's own timeout begins anew with every byte: a server that drips its headers would hold us for ever.
        self._hang_up = threading.Timer(talk_s + 1, self._client.close)
        self._hang_up.daemon = True

    def __enter__(self) -> CalendarServer:
        self._hang_up.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._hang_up.cancel()
        self._client.close()

    # -- the verbs

    def put_new(self, url: str, body: bytes) -> str:
        """Write an event that is not there yet; its ETag, "" when the server keeps that to itself.

        Raises ChangedError when something is there, CalendarError.
        """
        return self._put(url, body, {"If-None-Match": "*"})

    def put_changed(self, url: str, body: bytes, etag: str) -> str:
        """Write over the event that has this ETag, and no other. As `put_new`.

        If-Match takes strong tags only (RFC 9110 13.1.1): with a weak one, or none, there is no condition to set.
        """
        return self._put(url, body, _condition(etag))

    def _put(self, url: str, body: bytes, condition: dict[str, str]) -> str:
        reply = self._follow("PUT", url, {"Content-Type": CONTENT_TYPE, **condition}, body)
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status in (403, 409) and b"no-uid-conflict" in reply.body:
            raise ChangedError(url)  # RFC 4791 5.3.2.1: the same event stands elsewhere in this calendar
        return str(good(reply, 200, 201, 204).headers.get("ETag", ""))

    def get(self, url: str) -> tuple[str, bytes] | None:
        """(ETag, body) of the event, None when it is not there."""
        reply = self._follow("GET", url, {"Accept": "text/calendar"}, b"")
        if reply.status in (404, 410):
            return None
        return str(good(reply, 200).headers.get("ETag", "")), reply.body

    def delete(self, url: str, etag: str) -> None:
        """Take the event out if it is as we left it; gone already is as good. Raises ChangedError, CalendarError."""
        reply = self._follow("DELETE", url, _condition(etag), b"")
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status not in (404, 410):
            good(reply, 200, 202, 204)

    def _follow(self, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
        """Ask, and ask again where the server says that it moved; the verb stays what it is (RFC 9110 15.4)."""
        for _ in range(_MOST_STOPS):
            reply = self.ask(verb, url, headers, body)
            if reply.status not in _REDIRECTS:
                return reply
            url = joined(url, reply.headers.get("Location", ""))
        raise CalendarError("The calendar's address leads round in circles. Set it up again.", again=False)

    # -- the wire

    def ask(self, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
        """One request, no redirect followed; whatever the answer is. Raises CalendarError when there is none."""
        if self._clock() > self._until:
            raise CalendarError("The calendar server is slow; the rest follows.", again=True)
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
            raise CalendarError(str(error), again=True) from error
        except httpx.ConnectError as error:
            raise _no_connection(error) from error
        # RuntimeError: hung up on meanwhile.
        except (httpx.HTTPError, httpx.InvalidURL, OSError, RuntimeError, ValueError) as error:
            raise CalendarError("The calendar server does not answer.", again=True) from error

    def _read(self, response: httpx.Response) -> bytes:
        until = self._clock() + _WHOLE_S
        body = bytearray()
        for piece in response.iter_bytes():
            body += piece
            if len(body) > _MOST_BYTES or self._clock() > until:
                raise CalendarError("The calendar server's answer is too long or too slow.", again=True)
        return bytes(body)


_LOGIN = "The calendar server does not accept this user name and password."


def good(reply: Reply, *wanted: int) -> Reply:
    """The reply if its status is a wanted one, else the sentence for the person."""
    if reply.status in wanted:
        return reply
    if reply.status == 401:
        raise CalendarError(_LOGIN, again=False, login=True)
    if reply.status == 429 or (reply.status >= 500 and reply.status != 507):
        raise CalendarError(f"The calendar server is in trouble (it says {reply.status}).", again=True)
    said = {
        403: "The calendar server does not allow writing there.",
        404: "There is no calendar at that address.",
        405: "That address does not take calendars.",
        409: "The calendar is not there any more.",
        507: "The calendar server says it is full.",
    }
    raise CalendarError(said.get(reply.status, f"The calendar server says {reply.status}."), again=False)


def joined(base: str, href: str) -> str:
    """Where an answer points to. The password goes along, so only within the same household of names, and never from
    an encrypted to an open connection. Raises CalendarError."""
    try:
        url = urljoin(base, href)
        here, there = urlsplit(base), urlsplit(url)
    except ValueError as error:
        raise CalendarError("That server points to an address that is none.", again=False) from error
    if not same_household(here.hostname or "", there.hostname or ""):
        raise CalendarError(
            f"That server points to {there.hostname}. If you trust it, enter that address.", again=False
        )
    if there.scheme != "https" and here.scheme == "https":
        raise CalendarError("That server points to an address without https.", again=False)
    return url


def _condition(etag: str) -> dict[str, str]:
    return {"If-Match": etag} if etag.startswith('"') else {}


_UNTRUSTED = (
    "The calendar server's certificate was made by nobody this server knows ({}). Give it one that phones trust, or "
    "have this server's owner name its authority in SUPPERTIDE_CALENDAR_AUTHORITY."
)


def _no_connection(error: httpx.ConnectError) -> CalendarError:
    """No connection; a certificate is told apart, as it does not mend itself."""
    cause: BaseException | None = error
    while cause is not None and not isinstance(cause, ssl.SSLCertVerificationError):
        cause = cause.__cause__ or cause.__context__
    if cause is None:
        return CalendarError("The calendar server does not answer.", again=True)
    why = cause.verify_message or "it cannot be checked"
    if "self-signed" in why or "self signed" in why or "issuer" in why:
        return CalendarError(_UNTRUSTED.format(why), again=False, final=True)
    return CalendarError(f"The calendar server's certificate is not in order: {why}.", again=False, final=True)
