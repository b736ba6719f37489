"""A person's busy times by their calendar's own address (https, webcal): fetched, read, kept up to date.

The address is a secret: whoever has it can read the calendar. It is kept sealed, never shown again and never logged.
Nothing is sent along with the question, so a redirect may lead to another server; each is checked like the address.
"""

from __future__ import annotations

import json
import logging
import threading
from dataclasses import dataclass, replace
from urllib.parse import urlsplit

from webapp.core.day.day import PLANS_S
from webapp.core.errors import PlanError
from webapp.kitchens.bakes import kitchen_of
from webapp.kitchens.busy.calendar_file import MOST_FILE_BYTES, BusyTimes, EngagedError, read_busy
from webapp.kitchens.busy.times import DAY_S, REACH_S, stretches
from webapp.machine.secretbox import UnreadableError
from webapp.reminders.caldav.account import Tools
from webapp.reminders.how_often import FETCH_S, FETCH_WRONG_S, after_fetching_failed
from webapp.reminders.wire import CalendarError, Reply
from webapp.store.busy import BusyCalendar
from webapp.store.ids import NotHere
from webapp.store.store import Store
from webapp.words.lists import sentence
from webapp.words.problems import calendar_servers as said
from webapp.words.problems.told import in_words, refused

ADDRESS_FIELD = "busy-address"
MOST_FETCHED = MOST_FILE_BYTES
SEEN_S = 30 * DAY_S  # how long a kitchen that nobody opens is fetched for
_MOST_TYPED = 2000
_READS_FOR_S = 30.0
_MOST_TAG = 300  # longer than any that says when, or which, a file is
_READING = threading.Lock()  # the background reads one calendar at a time: pages want to be served

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Fetched:
    """A calendar as it came, with what tells later whether it changed."""

    body: bytes
    etag: str
    modified: str


def address_of(typed: str) -> str:
    """What a person typed, as an address to fetch. Raises PlanError at "busy-address"."""
    text = typed.strip()
    if not text:
        raise refused(ADDRESS_FIELD, *said.NO_ADDRESS)
    if len(text) > _MOST_TYPED or not text.isprintable() or " " in text:
        raise refused(ADDRESS_FIELD, *said.NOT_AN_ADDRESS)
    scheme, apart, rest = text.partition("://")
    if not apart:
        scheme, rest = "https", text
    scheme = {"webcal": "https", "webcals": "https"}.get(scheme.lower(), scheme.lower())
    url = f"{scheme}://{rest}"
    if scheme not in ("https", "http") or not _host(url):
        raise refused(ADDRESS_FIELD, *said.NOT_A_CALENDARS)
    if "@" in urlsplit(url).netloc:
        raise refused(ADDRESS_FIELD, *said.NAME_INSIDE)
    return url


def follow(store: Store, tools: Tools, now: int, kitchen_id: str, typed: str, person: int = 0) -> BusyTimes:
    """Fetch the calendar at this address, and keep its busy times up to date from now on.

    They take the place of what was known of this person. Nothing is kept when it cannot be read: PlanError at
    "busy-address". NotHere when the kitchen has no such person.
    """
    kitchen = kitchen_of(store, kitchen_id)
    if not 0 <= person < len(kitchen.people):
        raise NotHere(str(person))
    url = address_of(typed)
    try:
        found = _fetched(tools, url)
        times = _read(found, now, kitchen.zone, wait_s=1.0)
    except CalendarError as error:
        raise refused(ADDRESS_FIELD, str(error), said.LATER if error.again else "") from error
    row = BusyCalendar(
        kitchen_id, person, now + REACH_S, now, tools.box.seal(url), _host(url), kitchen.zone, found.etag,
        found.modified, json.dumps(times.notes), next_try=now + FETCH_S,
    )  # fmt: skip
    with store.transaction():
        store.put_busy_calendar(row)
        store.set_busy(kitchen_id, stretches(times), person)
    return times


def look_again(store: Store, tools: Tools, now: int, row: BusyCalendar) -> bool:
    """Fetch a calendar that is followed; True when its busy times are right now. Never raises: what went wrong is kept
    for the page, and what was read last goes on counting."""
    try:
        fresh, spans = _looked(store, tools, now, row)
    except CalendarError as error:
        wait = after_fetching_failed(error, row.tries)
        store.busy_was_fetched(replace(row, problem=str(error), tries=row.tries + 1, next_try=now + wait), None)
        return False
    except Exception:  # one server's odd answer must not end the round for the others
        log.exception("a calendar could not be fetched")
        store.busy_was_fetched(
            replace(row, problem=said.ODD_ANSWER, tries=row.tries + 1, next_try=now + FETCH_WRONG_S), None
        )
        return False
    store.busy_was_fetched(fresh, spans)
    return True


def due(store: Store, now: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Kitchens with a calendar to be fetched: those whose last attempt went well, and those that are in trouble."""
    rows = store.busy_to_fetch(now, now - SEEN_S)
    troubled = {row.kitchen_id for row in rows if row.tries}
    return tuple(dict.fromkeys(r.kitchen_id for r in rows if r.kitchen_id not in troubled)), tuple(sorted(troubled))


def look_at_all(store: Store, tools: Tools, now: int, kitchen_id: str) -> None:
    """Every calendar of this kitchen whose time has come, those in trouble last."""
    for row in store.busy_to_fetch(now, 0, kitchen_id):
        look_again(store, tools, now, row)


def fetch(tools: Tools, url: str, etag: str = "", modified: str = "") -> Fetched | None:
    """What stands at the address; None when it is as it was (RFC 9110 13.1). Raises CalendarError, for people."""
    asked = {"Accept": "text/calendar, */*;q=0.1"}
    asked |= {"If-None-Match": etag} if etag else {}
    asked |= {"If-Modified-Since": modified} if modified else {}
    with tools.reader(MOST_FETCHED) as server:
        return _taken(server.follow("GET", url, asked))


def _sendable(tag: str | None) -> str:
    """What can be sent back to ask whether something changed; "" for what no header can hold: then all is fetched."""
    return tag if tag and tag.isascii() and tag.isprintable() and len(tag) <= _MOST_TAG else ""


def _taken(reply: Reply) -> Fetched | None:
    if reply.status == 304:
        return None
    if reply.status == 200:
        return Fetched(reply.body, _sendable(reply.headers.get("ETag")), _sendable(reply.headers.get("Last-Modified")))
    if reply.status in (401, 403):
        raise CalendarError(said.LOCKED, again=False)
    if reply.status in (404, 410):
        raise CalendarError(said.ADDRESS_GONE, again=False)
    if reply.status == 429 or reply.status >= 500:
        raise CalendarError(said.in_trouble(reply.status), again=True)
    raise CalendarError(said.just_says(reply.status), again=False)


def _looked(
    store: Store, tools: Tools, now: int, row: BusyCalendar
) -> tuple[BusyCalendar, list[tuple[int, int]] | None]:
    """The calendar as it is now, and its stretches unless they are as before. Raises CalendarError."""
    try:
        url = tools.box.open(row.address)
    except UnreadableError as error:
        raise CalendarError(said.ADDRESS_LOST, again=False) from error
    zone = kitchen_of(store, row.kitchen_id).zone
    # As before is good enough while what was read then reaches far enough, and was read by the same clock.
    fits = row.reach - now > 2 * PLANS_S and row.zone == zone
    found = fetch(tools, url, row.etag, row.modified) if fits else _fetched(tools, url)
    good = replace(row, read_at=now, problem="", tries=0, next_try=now + FETCH_S)
    if found is None:
        return good, None
    with _READING:
        times = _read(found, now, zone, wait_s=_READS_FOR_S)
    fresh = replace(
        good, reach=now + REACH_S, zone=zone, notes=json.dumps(times.notes), etag=found.etag,
        modified=found.modified,
    )  # fmt: skip
    return fresh, stretches(times)


def _fetched(tools: Tools, url: str) -> Fetched:
    """What stands at the address, whether it changed or not. Raises CalendarError."""
    found = fetch(tools, url)
    if found is None:
        raise CalendarError(said.NOT_ASKED, again=True)
    return found


def _read(found: Fetched, now: int, zone: str, wait_s: float) -> BusyTimes:
    """Its busy times. Raises CalendarError; what a person does about a file is of no use for an address."""
    try:
        return read_busy(found.body, now - DAY_S, now + REACH_S, zone, most_bytes=MOST_FETCHED, wait_s=wait_s)
    except EngagedError as error:  # nothing is wrong with the calendar: it is its turn soon
        raise CalendarError(sentence(in_words(error.problems[0]).message), again=True) from error
    except PlanError as error:
        raise CalendarError(
            f"{sentence(in_words(error.problems[0]).message)} {said.CHECK_SUBSCRIBING}", again=False
        ) from error


def _host(url: str) -> str:
    try:
        return urlsplit(url).hostname or ""
    except ValueError:
        return ""
