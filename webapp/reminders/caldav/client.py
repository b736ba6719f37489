"""A conversation with a CalDAV server: the verbs that keep a calendar right. RFC 4791, 4918, 9110.

Only what publishing needs: PUT with If-None-Match or If-Match, GET, DELETE (and what `finding` asks). Redirects are
followed by hand, with every stop checked by `net_guard`, and never out of the household of names.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from webapp.machine.household import same_household
from webapp.reminders.ics import CONTENT_TYPE
from webapp.reminders.wire import CalendarError, Conversation, Reply


class ChangedError(Exception):
    """412: the event is not as we left it (or there already)."""


class CalendarServer(Conversation):
    """One conversation with one server under one login; use it as a context manager."""

    alarms_checked = False  # whether an alarm was read back: once in a conversation is enough

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
        reply = self.follow("PUT", url, {"Content-Type": CONTENT_TYPE, **condition}, body)
        if reply.status == 412:
            raise ChangedError(url)
        if reply.status in (403, 409) and b"no-uid-conflict" in reply.body:
            raise ChangedError(url)  # RFC 4791 5.3.2.1: the same event stands elsewhere in this calendar
        return str(good(reply, 200, 201, 204).headers.get("ETag", ""))

    def get(self, url: str) -> tuple[str, bytes] | None:
        """(ETag, body) of the event, None when it is not there."""
        reply = self.follow("GET", url, {"Accept": "text/calendar"}, b"")
        if reply.status in (404, 410):
            return None
        return str(good(reply, 200).headers.get("ETag", "")), reply.body

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
            raise CalendarError(
                f"That server sends us on to {there}. If you trust it, enter that address.", again=False
            )
        return url


_LOGIN = "The calendar server does not accept this user name and password."
_A_PAGE = "The calendar server answers with a web page, as one does that wants somebody to sign in."


def good(reply: Reply, *wanted: int) -> Reply:
    """The reply if its status is a wanted one, else the sentence for the person."""
    if reply.status == 200 and reply.headers.get("Content-Type", "").lower().startswith("text/html"):
        raise CalendarError(_A_PAGE, again=True)  # nothing of it was read or written
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


def _condition(etag: str) -> dict[str, str]:
    return {"If-Match": etag} if etag.startswith('"') else {}
