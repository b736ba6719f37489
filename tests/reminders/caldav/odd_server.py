"""A calendar server that keeps events and misbehaves as the test says: strips alarms, weakens or changes its tags, is
out of order for a while. Speaks enough of RFC 4791 for finding one calendar and writing into it."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from xml.sax.saxutils import escape

import vobject

Tag = Callable[["OddServer", str], str]


def strong(server: OddServer, path: str) -> str:
    return f'"{server.counts[path]}"'


def weak(server: OddServer, path: str) -> str:
    return f'W/"{server.counts[path]}"'


def none(server: OddServer, path: str) -> str:
    return ""


def restless(server: OddServer, path: str) -> str:
    """Another one each time it is asked."""
    server.asked_tags += 1
    return f'"{server.asked_tags}"'


class OddServer:
    """`held` is what stands in the calendar, by path; `asked` every verb and path in order."""

    def __init__(self, tag: Tag = strong) -> None:
        self.tag = tag
        self.held: dict[str, bytes] = {}
        self.counts: dict[str, int] = {}
        self.asked_tags = 0
        self.asked: list[tuple[str, str, str]] = []
        self.strips_alarms = False
        self.strips_marks = False  # whatever begins with X-, as gateways do
        self.lets_delete = True
        self.slow: threading.Event | None = None  # nothing is answered before this is set
        self.status = 0  # answer everything with this
        self.says_when_changed = False  # whether the calendar has a tag of its own
        self.moved_to = ""  # answer everything with 308 to there
        self.meddle: Callable[[str], None] | None = None  # called before each PUT and DELETE with its path
        self.tells_names = False  # whether it answers which events stand in it (RFC 4791 7.8)
        self.names_all = False  # whatever is asked
        self.told = ""  # the last answer to that
        self.own_addresses = False  # whether a new event is kept under an address of the server's own
        self.lists = True  # whether it names what stands in the calendar (RFC 4918 9.1: Depth 1)
        self.tells_location = True  # and whether it says under which (RFC 9110 10.2.2)
        outer = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def answer(self) -> None:
                body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
                outer.asked.append((self.command, self.path, self.headers.get("Depth", "")))
                if outer.slow:
                    outer.slow.wait(30)
                status, headers, reply = outer.answers(self.command, self.path, self.headers, body)
                self.send_response(status)
                for name, value in {"Content-Length": str(len(reply)), **headers}.items():
                    self.send_header(name, value)
                self.end_headers()
                self.wfile.write(reply)

            do_PROPFIND = do_PUT = do_GET = do_DELETE = do_REPORT = answer  # noqa: N815  # the verbs' own spelling

            def log_message(self, *_: object) -> None:
                """Silent."""

        self.http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.http.daemon_threads = True
        self.url = f"http://127.0.0.1:{self.http.server_port}/kitchen/"
        self.thread = threading.Thread(target=self.http.serve_forever, kwargs={"poll_interval": 0.01})
        self.thread.start()

    def stop(self) -> None:
        self.http.shutdown()
        self.thread.join()
        self.http.server_close()

    def answers(self, verb: str, path: str, headers: object, body: bytes) -> tuple[int, dict[str, str], bytes]:
        if self.moved_to and not path.startswith(self.moved_to):
            return 308, {"Location": self.moved_to + path.rsplit("/", 1)[1]}, b""
        if self.status:
            return self.status, {}, b""
        if verb == "PROPFIND":
            said = f"<s:getctag>{sum(self.counts.values())}.{len(self.held)}</s:getctag>" * self.says_when_changed
            whole = _CALENDAR.replace(b"PATH", path.encode()).replace(b"TAG", said.encode())
            inside = self.held if headers.get("Depth") == "1" and self.lists else ()  # type: ignore[attr-defined]
            members = "".join(_MEMBER.format(one) for one in inside)
            return 207, {}, whole.replace(b"</d:multistatus>", f"{members}</d:multistatus>".encode())
        if verb == "REPORT":
            return (207, {}, self._names(body)) if self.tells_names else (501, {}, b"")
        if self.meddle and verb in ("PUT", "DELETE"):
            self.meddle(path)
        get = headers.get  # type: ignore[attr-defined]
        if verb == "GET":
            return (200, self._tag(path), self.held[path]) if path in self.held else (404, {}, b"")
        if get("If-None-Match") == "*" and path in self.held:
            return 412, {}, b""
        wanted = get("If-Match")
        # RFC 9110 13.1.1: If-Match compares strongly, so that a weak tag never matches
        if wanted and (wanted.startswith("W/") or path not in self.held or wanted != self.tag(self, path)):
            return 412, {}, b""
        if verb == "DELETE" and not self.lets_delete:
            return 403, {}, b""
        if verb == "DELETE":
            return (204, {}, b"") if self.held.pop(path, None) is not None else (404, {}, b"")
        if self.own_addresses and get("If-None-Match") == "*":
            path = f"/kitchen/own-{len(self.counts)}.ics"
            self.write(path, body)
            return 201, {"Location": path} if self.tells_location else {}, b""
        self.write(path, body)
        return 201, self._tag(path), b""

    def write(self, path: str, body: bytes) -> None:
        if self.strips_alarms:
            body = re.sub(rb"BEGIN:VALARM.*?END:VALARM\r\n", b"", body, flags=re.S)
        if self.strips_marks:
            body = re.sub(rb"^X-[^\r]*\r\n(?: [^\r]*\r\n)*", b"", body, flags=re.M)
        self.held[path] = body
        self.counts[path] = self.counts.get(path, 0) + 1

    def _names(self, question: bytes) -> bytes:
        """The whole events, whatever part of them is asked for (RFC 4791 9.6 lets nobody do so, and some do), of
        those whose name holds the text that is asked for: a text-match finds it anywhere (9.7.5)."""
        wanted = re.search(rb"<c:text-match[^>]*>([^<]*)<", question)
        names = {path: re.sub(rb"\r\n ", b"", body).partition(b"\nUID:")[2] for path, body in self.held.items()}
        found = [
            path
            for path, name in names.items()
            if self.names_all or not wanted or wanted[1] in name.partition(b"\r")[0]
        ]
        self.told = _NAMES.format("".join(_NAME.format(path, escape(self.held[path].decode())) for path in found))
        return self.told.encode()

    def _tag(self, path: str) -> dict[str, str]:
        tag = self.tag(self, path)
        return {"ETag": tag} if tag else {}

    def events(self) -> dict[str, vobject.base.Component]:
        """What stands there, read by vobject, by step."""
        found = [vobject.readOne(body.decode()).vevent for body in self.held.values()]
        return {re.sub(r"^.*?-|@.*", "", e.uid.value): e for e in found}

    def path_of(self, step_id: str) -> str:
        (path,) = (path for path in self.held if path.endswith(f"-{step_id}.ics"))
        return path

    def rewrite(self, step_id: str, old: str, new: str) -> None:
        """Somebody changes an event on a phone."""
        path = self.path_of(step_id)
        text = self.held[path].decode()
        assert old in text
        self.write(path, text.replace(old, new, 1).encode())


_NAMES = '<d:multistatus xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav">{}</d:multistatus>'
_NAME = (
    "<d:response><d:href>{}</d:href><d:propstat><d:prop><c:calendar-data>{}</c:calendar-data></d:prop>"
    "<d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response>"
)
_MEMBER = (
    "<d:response><d:href>{}</d:href><d:propstat><d:prop><d:resourcetype/></d:prop><d:status>HTTP/1.1 200 OK</d:status>"
    "</d:propstat></d:response>"
)
_CALENDAR = (
    b'<d:multistatus xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav" xmlns:s="http://calendarserver.org/ns/">'
    b"<d:response><d:href>PATH</d:href>"
    b"<d:propstat><d:prop><d:resourcetype><d:collection/><c:calendar/></d:resourcetype><d:displayname>Kitchen"
    b"</d:displayname>TAG</d:prop><d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response></d:multistatus>"
)
