"""Finding somebody's calendars behind what they typed: an address, or a name@provider. RFC 4791, 6764, 5397.

Only calendars are asked for, never what is in them: the calendar of a busy person has thousands of events.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from urllib.parse import unquote, urljoin, urlsplit

import dns.exception
import dns.resolver

from webapp.machine.household import same_household
from webapp.reminders.caldav import dav_xml as xml
from webapp.reminders.caldav.client import CalendarServer, good
from webapp.reminders.wire import CalendarError, Reply
from webapp.words.problems import calendar_servers as said

_XML = "application/xml; charset=utf-8"
_ASK_NAMES_S = 3.0
_TROUBLE = (401, 429, 502, 503, 504)  # of the whole server; what else it says to a question may be of that question

LookUp = Callable[[str], str]


@dataclass(frozen=True)
class FoundCalendar:
    """A calendar that takes events and may be written."""

    url: str
    name: str


def service_of(provider: str) -> str:
    """Where a provider says that its calendars are: "https://host:port/path" by its SRV and TXT records (RFC 6764 3
    and 4), "" when it does not say."""
    name = f"_caldavs._tcp.{provider}"
    try:
        found = min(dns.resolver.resolve(name, "SRV", lifetime=_ASK_NAMES_S), key=lambda one: one.priority)
    except (dns.exception.DNSException, OSError, ValueError):
        return ""
    host = found.target.to_text(omit_final_dot=True)
    return f"https://{host}:{found.port}{_path_of(name)}" if host else ""


def _path_of(name: str) -> str:
    try:
        rows = dns.resolver.resolve(name, "TXT", lifetime=_ASK_NAMES_S)
        texts = [b"".join(row.strings).decode("ascii") for row in rows]
    except (dns.exception.DNSException, OSError, ValueError):
        texts = []
    told = [text[5:] for text in texts if text.startswith("path=/")]
    return told[0] if told else "/.well-known/caldav"


def find(server: CalendarServer, typed: str, look_up: LookUp = service_of) -> tuple[FoundCalendar, ...]:
    """Every writable calendar behind what people type ("cal.example.org", a full URL, "name@provider").

    Raises CalendarError.
    """
    home = _home(server, tuple(_places(typed, look_up)))
    found = [home] if isinstance(home, FoundCalendar) else list(_listed(server, home))
    if not found:
        raise CalendarError(said.NONE_TO_WRITE, again=False)
    return tuple(sorted(found, key=lambda one: (one.name.lower(), one.url)))


def calendar_at(server: CalendarServer, url: str) -> FoundCalendar | None:
    """The writable calendar at exactly this address. Raises CalendarError."""
    reply = _propfind(server, url, xml.WHICH_CALENDARS, 0)
    found = list(_calendars(server, reply))
    return FoundCalendar(url, found[0].name) if found else None


def check_stands(server: CalendarServer, url: str) -> None:
    """The calendar itself answers as one: only then "not there" of an event in it means that somebody took it out.

    Raises CalendarError when it does not.
    """
    if not any(one.is_calendar for one in _answers(_propfind(server, url, xml.WHICH_CALENDARS, 0))):
        raise CalendarError(said.NOT_NOW, again=True)


def address_of(server: CalendarServer, url: str, uid: str) -> str:
    """Where in that calendar the event of this name stands, "" when it does not or the server cannot tell.

    Raises CalendarError.
    """
    reply = _asked(server, "REPORT", url, xml.where_is(uid), 1)
    found = [one.href for one in _answers(reply) if one.props] if reply.status == 207 else []
    return server.onward(reply.url, found[0]) if found else ""


def names_between(server: CalendarServer, url: str, start: int, end: int) -> dict[str, tuple[str, ...]]:
    """Where in that calendar events of ours stand that lie between two instants: addresses by name (UID).

    A server that cannot tell is asked for all addresses, and those that are one of our names are told: no event of
    anybody's is read. Raises CalendarError.
    """
    reply = server.follow("REPORT", url, {"Depth": "1", "Content-Type": _XML}, xml.names_between(start, end))
    if reply.status in _TROUBLE:
        good(reply, 207)
    found: dict[str, tuple[str, ...]] = {}
    if reply.status != 207:
        server.addresses = addresses_in(server, url)
        for address in sorted(server.addresses):
            found[_name_in(address)] = (*found.get(_name_in(address), ()), address)
        return found
    for one in _answers(reply):
        if one.uid:
            found[one.uid] = (*found.get(one.uid, ()), server.onward(reply.url, one.href))
    return found


def addresses_in(server: CalendarServer, url: str) -> frozenset[str]:
    """Every address in that calendar, whosoever's. Raises CalendarError."""
    reply = _propfind(server, url, xml.WHAT_STANDS, 1)
    return frozenset(server.onward(reply.url, one.href) for one in _answers(reply) if not one.is_calendar)


def _name_in(address: str) -> str:
    """The name (UID) that an event of ours has at such an address, as we and most programs give them."""
    name = unquote(urlsplit(address).path.rpartition("/")[2]).removesuffix(".ics")
    return f"{name.removesuffix('@suppertide')}@suppertide"


def tag_of(server: CalendarServer, url: str) -> str:
    """What the calendar says of itself, another text whenever anything in it changed; "" when it says nothing.

    Raises CalendarError.
    """
    return next((one.tag for one in _answers(_propfind(server, url, xml.IS_IT_CHANGED, 0))), "")


def _places(typed: str, look_up: LookUp) -> Iterator[str]:
    """Where to ask, one after the other: what was typed, else the well-known address, else the server's root; first
    of all where a provider says that its calendars are."""
    text = typed.strip()
    if "@" in text and "/" not in text:
        provider = text.rpartition("@")[2]
        if service := look_up(provider):
            _check_household(provider, service)
            yield service
        text = provider
    start = text if "://" in text else f"https://{text}"
    root = urljoin(start, "/")
    yield from dict.fromkeys((start, urljoin(root, "/.well-known/caldav"), root))


def _check_household(provider: str, service: str) -> None:
    """Names are looked up without any proof (RFC 6764 8): a password goes no further than the provider's own house."""
    host = urlsplit(service).hostname or ""
    if not same_household(provider, host):
        raise CalendarError(said.keeps_elsewhere(provider, host), again=False)


def _home(server: CalendarServer, places: tuple[str, ...]) -> str | FoundCalendar:
    problem: CalendarError | None = None
    for place in places:
        try:
            home = _home_from(server, place)
        except CalendarError as error:
            if error.login or error.final or (error.again and place == places[0]):
                raise
            problem = problem or error
        else:
            if home:
                return home
    raise problem or CalendarError(said.NO_CALENDARS, again=False)


def _home_from(server: CalendarServer, place: str) -> str | FoundCalendar:
    """The collection that holds the person's calendars, or the calendar itself when that is what was typed."""
    reply = _propfind(server, place, xml.WHO_AM_I, 0)
    for one in _answers(reply):
        if one.is_calendar:
            if found := calendar_at(server, reply.url):
                return found
            raise CalendarError(said.NONE_TO_WRITE, again=False, final=True)
        if home := one.inner_href(f"{xml.CALDAV}calendar-home-set"):
            return server.onward(reply.url, home)
        if principal := one.inner_href(f"{xml.DAV}current-user-principal"):
            about = _propfind(server, server.onward(reply.url, principal), xml.WHERE_IS_HOME, 0)
            for person in _answers(about):
                if home := person.inner_href(f"{xml.CALDAV}calendar-home-set"):
                    return server.onward(about.url, home)
    return ""


def _listed(server: CalendarServer, home: str) -> Iterator[FoundCalendar]:
    yield from _calendars(server, _propfind(server, home, xml.WHICH_CALENDARS, 1))


def _calendars(server: CalendarServer, reply: Reply) -> Iterator[FoundCalendar]:
    for one in _answers(reply):
        if one.is_calendar and one.is_writable:
            url = server.onward(reply.url, one.href)
            yield FoundCalendar(url, one.name or urlsplit(url).path.rstrip("/").rpartition("/")[2] or said.UNNAMED)


def _propfind(server: CalendarServer, url: str, question: bytes, depth: int) -> Reply:
    return good(_asked(server, "PROPFIND", url, question, depth), 207)


def _asked(server: CalendarServer, verb: str, url: str, question: bytes, depth: int) -> Reply:
    return server.follow(verb, url, {"Depth": str(depth), "Content-Type": _XML}, question)


def _answers(reply: Reply) -> tuple[xml.DavAnswer, ...]:
    try:
        return xml.answers(reply.body)
    except xml.NotDavError as error:
        raise CalendarError(said.NO_CALENDARS, again=False) from error
