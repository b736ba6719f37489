"""A calendar on a CalDAV server: finding it, and the three verbs that keep it right. RFC 4791, 6764, 5397, 4918.

Only what publishing needs: PROPFIND for finding, PUT with If-None-Match or If-Match, GET, DELETE. Redirects are
followed while finding, by hand, with every stop checked by `net_guard`.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urljoin, urlsplit

import httpx

from webapp.machine.net_guard import Guard, NoSuchNameError, RefusedError
from webapp.reminders.caldav import dav_xml as xml
from webapp.reminders.ics import CONTENT_TYPE

_TIMEOUT_S = 10.0
_WHOLE_S = 30.0  # for one answer, however slowly it drips
_TALK_S = 60.0  # for one conversation; what is left is done in the next
_MOST_BYTES = 2_000_000
_MOST_STOPS = 5
_REDIRECTS = (301, 302, 303, 307, 308)
_XML = "application/xml; charset=utf-8"


class CalendarError(Exception):
    """It did not work. The text is for the person; `again`: it may work later without anybody doing anything."""

    def __init__(self, text: str, *, again: bool) -> None:
        super().__init__(text)
        self.again = again


class ChangedError(Exception):
    """412: the event is not as we left it (or there already)."""


@dataclass(frozen=True)
class Login:
    """User name and password for Basic authentication (RFC 7617), always over an encrypted or a home connection."""

    username: str
    password: str = field(repr=False)


@dataclass(frozen=True)
class FoundCalendar:
    """A calendar that takes events and may be written."""

    url: str
    name: str


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
        self, guard: Guard, login: Login, clock: Callable[[], float] = time.monotonic, talk_s: float = _TALK_S
    ) -> None:
        """`talk_s`: how long the conversation may take in seconds, whatever the server does meanwhile."""
        self._guard = guard
        self._clock = clock
        self._until = clock() + talk_s
        self._client = httpx.Client(
            auth=httpx.BasicAuth(login.username, login.password),
            timeout=min(_TIMEOUT_S, talk_s),
            follow_redirects=False,
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

    # -- finding

    def find(self, typed: str) -> tuple[FoundCalendar, ...]:
        """Every writable calendar behind an address as people type it ("cal.example.org", a full URL, an e-mail
        address). Raises CalendarError."""
        start = _as_url(typed)
        home = self._home(start)
        found = [
            FoundCalendar(url, one.name or urlsplit(url).path.rstrip("/").rpartition("/")[2] or "Calendar")
            for one, url in self._listed(home)
            if one.is_calendar and one.is_writable
        ]
        if not found:
            raise CalendarError("Signed in, but there is no calendar there that may be written.", again=False)
        return tuple(sorted(found, key=lambda one: (one.name.lower(), one.url)))

    def _home(self, start: str) -> str:
        """The collection that holds the person's calendars: the typed address, else the well-known one, else the
        server's root, each asked who we are."""
        problem: CalendarError | None = None
        root = urljoin(start, "/")
        for place in dict.fromkeys((start, urljoin(root, "/.well-known/caldav"), root)):
            try:
                home = self._home_from(place)
            except CalendarError as error:
                if _says_login(error) or (error.again and place == start):
                    raise
                problem = problem or error
            else:
                if home:
                    return home
        raise problem or CalendarError("That server answers, but not as a calendar server.", again=False)

    def _home_from(self, place: str) -> str:
        reply = self._propfind(place, xml.WHO_AM_I, 0)
        for one in _answers(reply):
            if one.is_calendar:
                return reply.url
            if home := one.inner_href(f"{xml.CALDAV}calendar-home-set"):
                return self._join(reply.url, home)
            if principal := one.inner_href(f"{xml.DAV}current-user-principal"):
                about = self._propfind(self._join(reply.url, principal), xml.WHERE_IS_HOME, 0)
                for person in _answers(about):
                    if home := person.inner_href(f"{xml.CALDAV}calendar-home-set"):
                        return self._join(about.url, home)
        return ""

    def _listed(self, home: str) -> list[tuple[xml.Answer, str]]:
        reply = self._propfind(home, xml.WHICH_CALENDARS, 1)
        return [(one, self._join(reply.url, one.href)) for one in _answers(reply)]

    def _propfind(self, url: str, question: bytes, depth: int) -> Reply:
        for _ in range(_MOST_STOPS):
            reply = self._ask("PROPFIND", url, {"Depth": str(depth), "Content-Type": _XML}, question)
            if reply.status not in _REDIRECTS:
                return _good(reply, 207)
            url = self._join(url, reply.headers.get("Location", ""))
        raise CalendarError("That address leads round in circles.", again=False)

    @staticmethod
    def _join(base: str, href: str) -> str:
        """Where an answer points to. The password goes along, so only within the same household of names, and never
        from an encrypted to an open connection."""
        url = urljoin(base, href)
        here, there = urlsplit(base), urlsplit(url)
        if (there.hostname or "") != here.hostname and not _same_household(here.hostname or "", there.hostname or ""):
            raise CalendarError(
                f"That server points to {there.hostname}. If you trust it, enter that address.", again=False
            )
        if there.scheme != "https" and here.scheme == "https":
            raise CalendarError("That server points to an address without https.", again=False)
        return url

    # -- the verbs

    def put_new(self, url: str, body: bytes) -> str:
        """Write an event that is not there yet; its ETag, "" when the server keeps that to itself.

        Raises ChangedError when something is there, CalendarError.
        """
        return self._put(url, body, {"If-None-Match": "*"})

    def put_changed(self, url: str, body: bytes, etag: str) -> str:
        """Write over the event that has this ETag, and no other. As `put_new`."""
        return self._put(url, body, {"If-Match": etag})

    def _put(self, url: str, body: bytes, condition: dict[str, str]) -> str:
        reply = self._ask("PUT", url, {"Content-Type": CONTENT_TYPE, **condition}, body)
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status in (403, 409) and b"no-uid-conflict" in reply.body:
            raise ChangedError(url)  # RFC 4791 5.3.2.1: the same event stands elsewhere in this calendar
        return str(_good(reply, 200, 201, 204).headers.get("ETag", ""))

    def get(self, url: str) -> tuple[str, bytes] | None:
        """(ETag, body) of the event, None when it is not there."""
        reply = self._ask("GET", url, {"Accept": "text/calendar"}, b"")
        if reply.status in (404, 410):
            return None
        return str(_good(reply, 200).headers.get("ETag", "")), reply.body

    def delete(self, url: str, etag: str) -> None:
        """Take the event out if it is as we left it; gone already is as good. Raises ChangedError, CalendarError."""
        reply = self._ask("DELETE", url, {"If-Match": etag} if etag else {}, b"")
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status not in (404, 410):
            _good(reply, 200, 202, 204)

    # -- the wire

    def _ask(self, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
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


def _says_login(error: CalendarError) -> bool:
    return str(error) == _LOGIN


def _good(reply: Reply, *wanted: int) -> Reply:
    """The reply if its status is a wanted one, else the sentence for the person."""
    if reply.status in wanted:
        return reply
    if reply.status == 401:
        raise CalendarError(_LOGIN, again=False)
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


def _answers(reply: Reply) -> tuple[xml.Answer, ...]:
    try:
        return xml.answers(reply.body)
    except xml.NotDavError as error:
        raise CalendarError("That server answers, but not as a calendar server.", again=False) from error


def _as_url(typed: str) -> str:
    """What people type as a URL: https where nothing is said, the part behind the @ of an e-mail address."""
    text = typed.strip()
    if "@" in text and "/" not in text:
        text = text.rpartition("@")[2]
    return text if "://" in text else f"https://{text}"


def _same_household(one: str, other: str) -> bool:
    """Whether two host names share their parent domain (cal.example.org, p34-cal.example.org)."""
    parent = one.partition(".")[2]
    return "." in parent and (other == parent or other.endswith(f".{parent}"))
