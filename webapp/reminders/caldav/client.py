"""A conversation with a CalDAV server: the verbs that keep a calendar right. RFC 4791, 4918, 9110.

Only what publishing needs: PUT with If-None-Match or If-Match, GET, DELETE (and what `finding` asks). Redirects are
followed by hand, with every stop checked by `net_guard`, and never out of the household of names.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from webapp.machine.household import same_household
from webapp.reminders.ics import CONTENT_TYPE
from webapp.reminders.wire import CalendarError, Conversation, Reply
from webapp.words.problems import calendar_servers as said


class ChangedError(Exception):
    """412: the event is not as we left it (or there already)."""


@dataclass(frozen=True)
class Written:
    """Where a new event stands: a server may keep it under an address of its own (201 with Location, RFC 9110
    10.2.2). `etag` is "" when the server keeps that to itself."""

    url: str
    etag: str


class CalendarServer(Conversation):
    """One conversation with one server under one login; use it as a context manager."""

    alarms_checked = False  # whether an alarm was read back: once in a conversation is enough
    keeps_addresses = False  # whether an event was seen to stand where we wrote it
    addresses: frozenset[str] | None = None  # what stands in the calendar, where it cannot be asked for our names

    # -- the verbs

    def put_new(self, url: str, body: bytes) -> Written:
        """Write an event that is not there yet; where it stands.

        Raises ChangedError when something is there, CalendarError.
        """
        reply = self._put(url, body, {"If-None-Match": "*"})
        own = reply.headers.get("Location", "") if reply.status == 201 else ""
        try:
            return Written(self.onward(reply.url, own) if own else url, _tag(reply))
        except CalendarError:  # it is written; an address out of the house is none that we would ever ask
            return Written(url, _tag(reply))

    def put_changed(self, url: str, body: bytes, etag: str) -> str:
        """Write over the event that has this ETag, and no other; its new ETag. Raises as `put_new`.

        If-Match takes strong tags only (RFC 9110 13.1.1): with a weak one, or none, there is no condition to set.
        """
        return _tag(self._put(url, body, _condition(etag)))

    def _put(self, url: str, body: bytes, condition: dict[str, str]) -> Reply:
        reply = self.follow("PUT", url, {"Content-Type": CONTENT_TYPE, **condition}, body)
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status in (403, 409) and b"no-uid-conflict" in reply.body:
            raise ChangedError(url)  # RFC 4791 5.3.2.1: the same event stands elsewhere in this calendar
        return good(reply, 200, 201, 204)

    def get(self, url: str) -> tuple[str, bytes] | None:
        """(ETag, body) of the event, None when it is not there."""
        reply = self.follow("GET", url, {"Accept": "text/calendar"}, b"")
        if reply.status in (404, 410):
            return None
        return _tag(good(reply, 200)), reply.body

    def delete(self, url: str, etag: str) -> None:
        """Take the event out if it is as we left it; gone already is as good. Raises ChangedError, CalendarError."""
        reply = self.follow("DELETE", url, _condition(etag), b"")
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status not in (404, 410):
            good(reply, 200, 202, 204)

    def onward(self, base: str, href: str) -> str:
        """Where an answer points to. The password goes along, so only within the same household of names. Raises
        CalendarError."""
        url = super().onward(base, href)
        here, there = urlsplit(base).hostname or "", urlsplit(url).hostname or ""
        if not same_household(here, there):
            raise CalendarError(said.sends_on(there), again=False)
        return url


def good(reply: Reply, *wanted: int) -> Reply:
    """The reply if its status is a wanted one, else the sentence for the person."""
    if reply.status == 200 and reply.headers.get("Content-Type", "").lower().startswith("text/html"):
        raise CalendarError(said.A_PAGE, again=True)  # nothing of it was read or written
    if reply.status in wanted:
        return reply
    if reply.status == 401 and (wants := _other_sign_in(reply)):
        raise CalendarError(said.other_sign_in(wants), again=False, final=True)
    if reply.status == 401:
        raise CalendarError(said.WRONG_LOGIN, again=False, login=True)
    if reply.status == 429 or (reply.status >= 500 and reply.status != 507):
        enough = 1 if reply.status == 429 else 0  # RFC 6585 4: it wants to be let be
        raise CalendarError(said.in_trouble(reply.status), again=True, enough=enough)
    raise CalendarError(said.status_said(reply.status), again=False)


def _tag(reply: Reply) -> str:
    return str(reply.headers.get("ETag", ""))


def _other_sign_in(reply: Reply) -> str:
    """The kinds of sign-in that a server names when a name and a password are none of them (RFC 9110 11.6.1)."""
    asked = reply.headers.get("WWW-Authenticate", "")
    kinds = re.findall(r"(?:^|,)\s*([A-Za-z][A-Za-z0-9-]*)(?=\s+[^=\s]|\s*(?:,|$))", asked)
    return "" if not kinds or "basic" in (kind.lower() for kind in kinds) else ", ".join(dict.fromkeys(kinds))[:40]


def _condition(etag: str) -> dict[str, str]:
    return {"If-Match": etag} if etag.startswith('"') else {}
