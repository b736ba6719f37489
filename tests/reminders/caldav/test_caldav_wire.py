"""Calendar servers that misbehave: redirects, endless answers, XML bombs, ETags held back."""

from __future__ import annotations

import ipaddress
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from webapp.machine.household import same_household
from webapp.machine.net_guard import Guard
from webapp.reminders import wire
from webapp.reminders.caldav.account import trusting
from webapp.reminders.caldav.client import CalendarServer, ChangedError
from webapp.reminders.caldav.dav_xml import NotDavError, answers
from webapp.reminders.caldav.finding import calendar_at, find
from webapp.reminders.wire import CalendarError, Login, Reply

Script = Callable[[BaseHTTPRequestHandler], tuple[int, dict[str, str], bytes]]


class Scripted:
    """A server that does as the test says and remembers what it was asked."""

    def __init__(self) -> None:
        self.script: Script = lambda ask: (404, {}, b"")
        self.asked: list[tuple[str, str, dict[str, str]]] = []
        outer = self

        class Handler(BaseHTTPRequestHandler):
            def answer(self) -> None:
                self.rfile.read(int(self.headers.get("Content-Length") or 0))
                outer.asked.append((self.command, self.path, dict(self.headers)))
                status, headers, body = outer.script(self)
                self.send_response(status)
                for name, value in {"Content-Length": str(len(body)), **headers}.items():
                    self.send_header(name, value)
                self.end_headers()
                self.wfile.write(body)

            do_PROPFIND = do_PUT = do_GET = do_DELETE = answer  # noqa: N815  # the verbs' own spelling

            def log_message(self, *_: object) -> None:
                """Silent."""

        self.http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self.http.server_port}"
        self.thread = threading.Thread(target=self.http.serve_forever, kwargs={"poll_interval": 0.01})
        self.thread.start()

    def stop(self) -> None:
        self.http.shutdown()
        self.thread.join()
        self.http.server_close()


@pytest.fixture
def scripted() -> Iterator[Scripted]:
    server = Scripted()
    yield server
    server.stop()


@pytest.fixture
def ours() -> Iterator[CalendarServer]:
    with CalendarServer(Guard(local=True), Login("u", "p")) as server:
        yield server


def multistatus(href: str, props: str) -> bytes:
    return (
        '<d:multistatus xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav"><d:response>'
        f"<d:href>{href}</d:href><d:propstat><d:prop>{props}</d:prop><d:status>HTTP/1.1 200 OK</d:status></d:propstat>"
        "</d:response></d:multistatus>"
    ).encode()


def test_the_well_known_address_is_followed_to_where_it_points(scripted: Scripted, ours: CalendarServer) -> None:
    """RFC 6764 5: /.well-known/caldav redirects to the context path."""

    def script(ask: BaseHTTPRequestHandler) -> tuple[int, dict[str, str], bytes]:
        if ask.path == "/.well-known/caldav":
            return 301, {"Location": "/dav/"}, b""
        if ask.path == "/dav/":
            who = "<d:current-user-principal><d:href>/dav/me/</d:href></d:current-user-principal>"
            return 207, {}, multistatus("/dav/", who)
        if ask.path == "/dav/me/":
            where = "<c:calendar-home-set><d:href>/dav/home/</d:href></c:calendar-home-set>"
            return 207, {}, multistatus("/dav/me/", where)
        if ask.path == "/dav/home/":
            kind = "<d:resourcetype><d:collection/><c:calendar/></d:resourcetype><d:displayname>Home</d:displayname>"
            return 207, {}, multistatus("/dav/home/kitchen/", kind)
        return 404, {}, b""

    scripted.script = script
    (found,) = find(ours, scripted.url + "/somewhere")
    assert (found.url, found.name) == (f"{scripted.url}/dav/home/kitchen/", "Home")


def test_a_calendar_that_may_only_be_read_is_not_offered(scripted: Scripted, ours: CalendarServer) -> None:
    rights = (
        "<d:resourcetype><c:calendar/></d:resourcetype><d:current-user-privilege-set><d:privilege><d:read/>"
        "</d:privilege></d:current-user-privilege-set>"
    )
    scripted.script = lambda ask: (207, {}, multistatus("/", rights))
    with pytest.raises(CalendarError, match="no calendar there that may be written"):
        find(ours, scripted.url)


def test_the_password_is_not_carried_to_another_host(scripted: Scripted, ours: CalendarServer) -> None:
    other = scripted.url.replace("127.0.0.1", "localhost")
    scripted.script = lambda ask: (302, {"Location": f"{other}/steal"}, b"")
    with pytest.raises(CalendarError, match="sends us on to localhost"):
        find(ours, scripted.url)
    assert not [path for _, path, _ in scripted.asked if path == "/steal"]


def test_the_password_is_not_carried_from_https_to_plain_http(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def answer(self: CalendarServer, verb: str, url: str, headers: dict[str, str], body: bytes) -> Reply:
        asked.append(url)
        return Reply(302, httpx.Headers({"Location": "http://cal.example.org/dav/"}), b"", url)

    monkeypatch.setattr(CalendarServer, "ask", answer)
    with CalendarServer(Guard(), Login("u", "p")) as server, pytest.raises(CalendarError, match="without https"):
        find(server, "cal.example.org")
    assert asked
    assert all(url.startswith("https://") for url in asked)


def test_going_round_in_circles_ends(scripted: Scripted, ours: CalendarServer) -> None:
    scripted.script = lambda ask: (301, {"Location": "/again"}, b"")
    with pytest.raises(CalendarError, match="circles"):
        find(ours, scripted.url)
    assert len(scripted.asked) < 20


def test_an_endless_answer_is_cut_off(scripted: Scripted, ours: CalendarServer) -> None:
    scripted.script = lambda ask: (207, {}, b" " * 3_000_000)
    with pytest.raises(CalendarError, match="too long"):
        find(ours, scripted.url)


def test_a_few_bytes_that_would_become_very_many_are_not_unpacked(scripted: Scripted, ours: CalendarServer) -> None:
    brotli = pytest.importorskip("brotli")
    body = brotli.compress(b" " * 100_000_000, quality=9)
    assert len(body) < 1_000, "a hundred megabytes"
    scripted.script = lambda ask: (207, {"Content-Encoding": "br"}, body)
    with pytest.raises(CalendarError, match="not asked for"):
        find(ours, scripted.url)
    assert {asked[2]["Accept-Encoding"] for asked in scripted.asked} == {"gzip"}


def test_a_slow_server_keeps_nobody_waiting_for_ever(scripted: Scripted) -> None:
    """A clock that jumps: after a minute of talk the rest is left for the next round; a dripping answer is cut off."""
    scripted.script = lambda ask: (204, {}, b"")
    now = [0.0]
    with CalendarServer(Guard(local=True), Login("u", "p"), clock=lambda: now[0]) as server:
        server.delete(scripted.url + "/a.ics", "")
        now[0] = 61.0
        with pytest.raises(CalendarError, match="slow") as caught:
            server.delete(scripted.url + "/b.ics", "")
        assert caught.value.again
    assert len(scripted.asked) == 1
    turns = iter(range(0, 10_000, 40))
    scripted.script = lambda ask: (200, {}, b"x" * 1000)
    with (
        CalendarServer(Guard(local=True), Login("u", "p"), clock=lambda: float(next(turns))) as server,
        pytest.raises(CalendarError, match="too slow"),
    ):
        server.get(scripted.url + "/a.ics")


@pytest.mark.parametrize("status", [500, 502, 503, 429])
def test_trouble_that_may_pass_is_told_from_trouble_that_will_not(
    scripted: Scripted, ours: CalendarServer, status: int
) -> None:
    scripted.script = lambda ask: (status, {}, b"")
    with pytest.raises(CalendarError) as caught:
        ours.put_new(scripted.url + "/a.ics", b"x")
    assert caught.value.again
    for lasting in (401, 403, 404, 409, 507):
        scripted.script = lambda ask, lasting=lasting: (lasting, {}, b"")
        with pytest.raises(CalendarError) as caught:
            ours.put_new(scripted.url + "/a.ics", b"x")
        assert not caught.value.again


@pytest.mark.parametrize(
    ("challenge", "named"),
    [
        ('Bearer realm="x"', "Bearer"),
        ('Digest realm="x, Basic", nonce="a", qop="auth"', "Digest"),
        ('Negotiate, Bearer realm="x", error="e"', "Negotiate, Bearer"),
        ('Basic realm="x"', ""),
        ('Bearer realm="x", basic realm="y"', ""),
        ("", ""),
    ],
)
def test_a_server_that_takes_no_password_at_all_is_not_said_to_refuse_this_one(
    scripted: Scripted, ours: CalendarServer, challenge: str, named: str
) -> None:
    """RFC 9110 11.6.1: the challenges of a 401 are the kinds of sign-in that the server knows."""
    scripted.script = lambda ask: (401, {"WWW-Authenticate": challenge} if challenge else {}, b"")
    with pytest.raises(CalendarError) as caught:
        find(ours, scripted.url)
    assert caught.value.login is not bool(named)
    assert (f"another kind of sign-in ({named})" in str(caught.value)) is bool(named)
    assert ("made just for one app" in str(caught.value)) is bool(named)


def test_every_write_carries_its_condition(scripted: Scripted, ours: CalendarServer) -> None:
    """RFC 4791 5.3.2: If-None-Match: * for a new event, If-Match for a known one."""
    scripted.script = lambda ask: (204, {"ETag": '"2"'}, b"")
    assert ours.put_new(scripted.url + "/a.ics", b"x").etag == '"2"'
    ours.put_changed(scripted.url + "/a.ics", b"x", '"1"')
    ours.delete(scripted.url + "/a.ics", '"2"')
    new, changed, gone = (headers for _, _, headers in scripted.asked)
    assert new["If-None-Match"] == "*"
    assert new["Content-Type"] == "text/calendar; charset=utf-8"
    assert (changed["If-Match"], gone["If-Match"]) == ('"1"', '"2"')
    assert all(headers["Host"] == scripted.url.removeprefix("http://") for _, _, headers in scripted.asked)


def test_the_same_event_elsewhere_in_the_calendar_is_not_ours(scripted: Scripted, ours: CalendarServer) -> None:
    body = b'<d:error xmlns:d="DAV:" xmlns:c="urn:ietf:params:xml:ns:caldav"><c:no-uid-conflict/></d:error>'
    scripted.script = lambda ask: (409, {}, body)
    with pytest.raises(ChangedError):
        ours.put_new(scripted.url + "/a.ics", b"x")


def test_an_event_already_gone_is_as_good_as_deleted(scripted: Scripted, ours: CalendarServer) -> None:
    ours.delete(scripted.url + "/a.ics", '"1"')
    assert ours.get(scripted.url + "/a.ics") is None


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"<html>not at all</html>",
        b"<unclosed",
        b'<!DOCTYPE x [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]><d:multistatus xmlns:d="DAV:">&b;</d:multistatus>',
        b'<!DOCTYPE x SYSTEM "http://127.0.0.1/x"><d:multistatus xmlns:d="DAV:"/>',
    ],
)
def test_answers_that_are_no_plain_multistatus_are_refused(body: bytes) -> None:
    with pytest.raises(NotDavError):
        answers(body)


def test_an_answer_with_holes_is_read_as_far_as_it_goes() -> None:
    (one,) = answers(multistatus("", "<d:displayname/><d:resourcetype/>"))
    assert (one.href, one.name, one.is_calendar, one.is_writable) == ("", "", False, True)


def test_a_calendar_is_looked_at_without_asking_what_is_in_it(scripted: Scripted, ours: CalendarServer) -> None:
    """RFC 4918 9.1: Depth 0 is the resource alone; a main calendar of 5,000 events must not be listed to be chosen."""
    kind = "<d:resourcetype><d:collection/><c:calendar/></d:resourcetype><d:displayname>Main</d:displayname>"
    events = b"<d:response><d:href>/main/x.ics</d:href></d:response>" * 60_000
    whole = multistatus("/main/", kind).replace(b"</d:multistatus>", events + b"</d:multistatus>")
    scripted.script = lambda ask: (207, {}, whole if ask.headers["Depth"] != "0" else multistatus("/main/", kind))
    (found,) = find(ours, f"{scripted.url}/main/")
    assert calendar_at(ours, found.url) == found
    assert {headers["Depth"] for _, _, headers in scripted.asked} == {"0"}


@pytest.mark.parametrize(
    ("there", "kept_in"),
    [
        ("https://p34-cal.example.org/dav/", True),
        ("https://example.org/dav/", True),
        ("https://evil.example.net/dav/", False),
        ("https://example.org.evil.example.net/", False),
    ],
)
def test_a_password_travels_within_one_household_of_names_only(there: str, kept_in: bool) -> None:
    with CalendarServer(Guard(), Login("u", "p")) as server:
        if kept_in:
            assert server.onward("https://cal.example.org/", there) == there
        else:
            with pytest.raises(CalendarError, match="If you trust it, enter that address"):
                server.onward("https://cal.example.org/", there)


def test_a_redirect_without_an_address_is_told_so(scripted: Scripted, ours: CalendarServer) -> None:
    scripted.script = lambda ask: (301, {}, b"")
    with pytest.raises(CalendarError, match="moved, but not where to"):
        find(ours, scripted.url)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("example.co.uk", "evil.co.uk"),  # co.uk, com.au, github.io: public suffixes of the list (publicsuffix.org)
        ("cal.example.co.uk", "cal.evil.co.uk"),
        ("shop.com.au", "other.com.au"),
        ("ada.github.io", "evil.github.io"),
        ("10.0.0.1", "10.0.0.2"),
        ("192.168.0.1", "0.1"),
        ("nas.local", "evil.local"),
        ("localhost", "127.0.0.1"),
    ],
)
def test_a_suffix_under_which_everybody_may_register_makes_no_household(one: str, other: str) -> None:
    assert not same_household(one, other)
    assert same_household(one, one.upper())


def test_a_name_with_other_letters_is_one_household_with_its_other_form() -> None:
    assert same_household("cal.b\u00fccher.example", "xn--bcher-kva.example")
    assert not same_household("b\u00fccher.example", "bucher.example")
    assert not same_household("b\u2260c.example", "b\u2260d.example")


def test_what_a_provider_says_by_its_names_is_asked_first(scripted: Scripted, ours: CalendarServer) -> None:
    """RFC 6764 6: for name@provider the SRV record names the host and the TXT record the path."""
    kind = "<d:resourcetype><d:collection/><c:calendar/></d:resourcetype><d:displayname>Own</d:displayname>"
    scripted.script = lambda ask: (207, {}, multistatus(ask.path, kind))
    asked: list[str] = []

    def look_up(provider: str) -> str:
        asked.append(provider)
        return f"{scripted.url}/dav/"

    (found,) = find(ours, "ada@127.0.0.1", look_up)
    assert asked == ["127.0.0.1"]
    assert found.url == f"{scripted.url}/dav/"
    with pytest.raises(CalendarError, match=r"keeps its calendars at dav\.example\.net\. If you trust it"):
        find(ours, "ada@example.org", lambda _: "https://dav.example.net/")


def test_a_certificate_that_nobody_vouches_for_is_told_with_what_to_do(tmp_path: Path) -> None:
    authority = CertificateAuthority(tmp_path)
    with authority.serving() as url:
        with CalendarServer(Guard(local=True), Login("u", "p")) as server, pytest.raises(CalendarError) as caught:
            server.get(f"{url}/a.ics")
        assert "certificate comes from an authority that this server does not trust" in str(caught.value)
        assert "SUPPERTIDE_CALENDAR_AUTHORITY" in str(caught.value)
        assert not caught.value.again
        trust = trusting(authority.file)
        with CalendarServer(Guard(local=True), Login("u", "p"), trust=trust) as server:
            assert server.get(f"{url}/a.ics") is None
    assert trusting(None) is None


@pytest.mark.parametrize(
    ("holds_for", "until", "said", "to_do"),
    [
        ("127.0.0.9", timedelta(1), "is for another address (", "Enter the address that the certificate names"),
        ("127.0.0.1", timedelta(-1), "does not hold today (", "has to renew it"),
    ],
)
def test_a_certificate_that_does_not_hold_here_or_today_is_told_with_what_to_do(
    tmp_path: Path, holds_for: str, until: timedelta, said: str, to_do: str
) -> None:
    """RFC 9110 4.3.4: a client checks that a certificate is for the host that it asked, and that it holds today."""
    authority = CertificateAuthority(tmp_path, holds_for, until)
    with (
        authority.serving() as url,
        CalendarServer(Guard(local=True), Login("u", "p"), trust=trusting(authority.file)) as server,
        pytest.raises(CalendarError) as caught,
    ):
        server.get(f"{url}/a.ics")
    assert said in str(caught.value)
    assert to_do in str(caught.value)
    assert ".." not in str(caught.value)
    assert caught.value.final


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (26, "is not in order (in other words). Who runs"),  # X509_V_ERR_INVALID_PURPOSE
        (20, "does not trust (in other words)"),  # X509_V_ERR_UNABLE_TO_GET_ISSUER_CERT_LOCALLY
        (62, "is for another address (in other words)"),  # X509_V_ERR_HOSTNAME_MISMATCH
        (9, "does not hold today (in other words)"),  # X509_V_ERR_CERT_NOT_YET_VALID
    ],
)
def test_what_is_wrong_with_a_certificate_is_told_by_its_number_and_ends_with_one_full_stop(
    code: int, said: str
) -> None:
    """Numbers of OpenSSL, x509_vfy.h; its words may change with any version."""
    error = ssl.SSLCertVerificationError(1, "x")
    error.verify_code, error.verify_message = code, "in other words."
    refused = httpx.ConnectError("x")
    refused.__cause__ = error
    assert said in str(wire._no_connection(refused))


class CertificateAuthority:
    """A household's own certificate for 127.0.0.1, made with `cryptography`, and a server that shows it."""

    def __init__(self, folder: Path, holds_for: str = "127.0.0.1", until: timedelta = timedelta(1)) -> None:
        key = ec.generate_private_key(ec.SECP256R1())
        name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "Household")])
        now = datetime.now(UTC)
        address = x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(holds_for))])
        builder = x509.CertificateBuilder(name, name, key.public_key(), 1, now - timedelta(2), now + until)
        made = builder.add_extension(address, False).add_extension(x509.BasicConstraints(True, None), True)
        self.file = folder / "authority.pem"
        self.key = folder / "key.pem"
        self.file.write_bytes(made.sign(key, hashes.SHA256()).public_bytes(serialization.Encoding.PEM))
        self.key.write_bytes(
            key.private_bytes(
                serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
            )
        )

    @contextmanager
    def serving(self) -> Iterator[str]:
        scripted = Scripted()
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self.file, self.key)
        scripted.http.socket = context.wrap_socket(scripted.http.socket, server_side=True)
        try:
            yield scripted.url.replace("http://", "https://")
        finally:
            scripted.stop()
