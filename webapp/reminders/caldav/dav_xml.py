"""The little WebDAV XML that finding a calendar needs (RFC 4918, 4791, 5397): the questions and their answers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree.ElementTree import Element, ParseError
from xml.sax.saxutils import escape

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

from webapp.reminders.ics import utc

DAV = "{DAV:}"
CALDAV = "{urn:ietf:params:xml:ns:caldav}"
_SERVER = "{http://calendarserver.org/ns/}"
_WRITING = {f"{DAV}write", f"{DAV}write-content", f"{DAV}all", f"{DAV}bind"}


def _question(*names: str) -> bytes:
    props = "".join(f"<{name}/>" for name in names)
    return (
        '<?xml version="1.0" encoding="utf-8"?>'
        '<d:propfind xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav" xmlns:s="http://calendarserver.org/ns/">'
        f"<d:prop>{props}</d:prop></d:propfind>"
    ).encode()


WHO_AM_I = _question("d:current-user-principal", "c:calendar-home-set", "d:resourcetype")
WHERE_IS_HOME = _question("c:calendar-home-set")
WHICH_CALENDARS = _question(
    "d:resourcetype", "d:displayname", "c:supported-calendar-component-set", "d:current-user-privilege-set"
)
_WHERE_IS = (
    '<?xml version="1.0" encoding="utf-8"?>'
    '<c:calendar-query xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav"><d:prop><d:getetag/></d:prop><c:filter>'
    '<c:comp-filter name="VCALENDAR"><c:comp-filter name="VEVENT"><c:prop-filter name="UID">'
    '<c:text-match collation="i;octet">{}</c:text-match>'
    "</c:prop-filter></c:comp-filter></c:comp-filter></c:filter></c:calendar-query>"
)
WHAT_STANDS = _question("d:resourcetype")
IS_IT_CHANGED = _question("s:getctag", "d:sync-token")


def where_is(uid: str) -> bytes:
    """The question where in a calendar the event of that name stands (RFC 4791 7.8.6)."""
    return _WHERE_IS.format(escape(uid)).encode()


_NAMES_BETWEEN = (
    '<?xml version="1.0" encoding="utf-8"?>'
    '<c:calendar-query xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav"><d:prop><d:getetag/><c:calendar-data>'
    '<c:comp name="VCALENDAR"><c:comp name="VEVENT"><c:prop name="UID"/></c:comp></c:comp></c:calendar-data></d:prop>'
    '<c:filter><c:comp-filter name="VCALENDAR"><c:comp-filter name="VEVENT"><c:time-range start="{}" end="{}"/>'
    '<c:prop-filter name="UID"><c:text-match collation="i;octet">@suppertide</c:text-match></c:prop-filter>'
    "</c:comp-filter></c:comp-filter></c:filter></c:calendar-query>"
)


def names_between(start: int, end: int) -> bytes:
    """The question which events of ours lie between two instants, of which only their names matter (RFC 4791 7.8.1).

    No other event is asked for: there are servers that answer with whole events whatever part is asked of them.
    """
    return _NAMES_BETWEEN.format(utc(start), utc(end)).encode()


class NotDavError(ValueError):
    """The answer is no WebDAV answer."""


@dataclass(frozen=True)
class DavAnswer:
    """One resource of a multistatus answer: its address as given, and the properties that were found."""

    href: str
    props: dict[str, Element]

    def inner_href(self, name: str) -> str:
        """The address inside of a property, "" when there is none."""
        prop = self.props.get(name)
        return ((prop.findtext(f"{DAV}href") if prop is not None else "") or "").strip()

    @property
    def is_calendar(self) -> bool:
        """Whether it is a calendar collection that takes events."""
        kind = self.props.get(f"{DAV}resourcetype")
        if kind is None or kind.find(f"{CALDAV}calendar") is None:
            return False
        takes = self.props.get(f"{CALDAV}supported-calendar-component-set")
        if takes is None or len(takes) == 0:
            return True
        return any(comp.get("name", "").upper() == "VEVENT" for comp in takes)

    @property
    def is_writable(self) -> bool:
        """Whether we may write there; a server that does not say is believed until it refuses."""
        rights = self.props.get(f"{DAV}current-user-privilege-set")
        if rights is None:
            return True
        return any(right.tag in _WRITING for privilege in rights for right in privilege)

    @property
    def tag(self) -> str:
        """Another one whenever something in the collection changed; "" when the server has none."""
        found = (self.props.get(name) for name in (f"{_SERVER}getctag", f"{DAV}sync-token"))
        return next((prop.text.strip() for prop in found if prop is not None and prop.text), "")

    @property
    def uid(self) -> str:
        """The name of the event that stands there, if it is one of ours; "" for every other."""
        data = self.props.get(f"{CALDAV}calendar-data")
        text = re.sub(r"\r?\n[ \t]", "", (data.text if data is not None else "") or "")
        found = re.search(r"^UID:(\S+@suppertide)\s*$", text, flags=re.M)
        return found[1] if found else ""

    @property
    def name(self) -> str:
        """What the person calls it."""
        prop = self.props.get(f"{DAV}displayname")
        return " ".join(((prop.text if prop is not None else "") or "").split())[:80]


def answers(body: bytes) -> tuple[DavAnswer, ...]:
    """A multistatus body taken apart. Raises NotDavError; entities and DTDs are refused (defusedxml)."""
    try:
        root = fromstring(body, forbid_dtd=True)
    except (ParseError, DefusedXmlException, ValueError) as error:
        raise NotDavError("not XML") from error
    if root.tag != f"{DAV}multistatus":
        raise NotDavError("no multistatus")
    return tuple(_answer(one) for one in root.iterfind(f"{DAV}response"))


def _answer(response: Element) -> DavAnswer:
    found: dict[str, Element] = {}
    for stat in response.iterfind(f"{DAV}propstat"):
        status = (stat.findtext(f"{DAV}status") or "").split()
        if len(status) > 1 and status[1] == "200":
            found.update({prop.tag: prop for group in stat.iterfind(f"{DAV}prop") for prop in group})
    return DavAnswer((response.findtext(f"{DAV}href") or "").strip(), found)
