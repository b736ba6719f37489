"""What slow, greedy and hostile clients get, over real sockets; and what is written down about requests."""

from __future__ import annotations

import asyncio
import io
import itertools
import json
import re
import socket
import ssl
import threading
import time
import tracemalloc
from collections import Counter
from collections.abc import AsyncIterator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from contextlib import ExitStack, asynccontextmanager, closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.server.running import Running, running
from webapp.machine.settings import Settings
from webapp.planning.remembered import NotKnown, is_known_alone
from webapp.server.ending import ServerEnd
from webapp.server.fair import _LeastFirst
from webapp.server.front import Answered, Front
from webapp.server.pulse import Pulse
from webapp.server.serve import ServeWanted
from webapp.server.sockets import MOST_OF_ONE
from webapp.server.watching import access_log
from webapp.web import door


@pytest.fixture
def server(settings: Settings) -> Iterator[Running]:
    with running(settings) as run:
        yield run


def held_open(server: Running, count: int, said: bytes, stack: ExitStack) -> None:
    """So many connections, as many of each address as it may have."""
    for number in range(count):
        came = socket.create_connection(
            ("127.0.0.1", server.house.sockets.port), 10, (f"127.0.9.{1 + number // MOST_OF_ONE}", 0)
        )
        stack.enter_context(closing(came)).sendall(said)


def slowest_of(server: Running, path: str = "/health", times: int = 5) -> float:
    """Seconds of the slowest of a few requests, each over a connection of its own."""
    took = []
    for _ in range(times):
        begun = time.perf_counter()
        assert httpx.get(f"{server.plain}{path}", timeout=20).status_code == 200
        took.append(time.perf_counter() - begun)
    return max(took)


BODY = b"POST /plan HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: text/plain\r\nContent-Length: 1000\r\n\r\nabc"


@pytest.mark.parametrize(
    ("count", "said"),
    [(300, b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n"), (300, b""), (300, b"\x16\x03\x01"), (100, BODY)],
    ids=["half a head", "nothing", "half a handshake", "half a body"],
)
def test_requests_that_never_end_keep_nobody_waiting(server: Running, count: int, said: bytes) -> None:
    with ExitStack() as stack:
        held_open(server, count, said, stack)
        assert slowest_of(server) < 5
        assert slowest_of(server, "/", 1) < 10


def test_a_request_in_flight_is_answered_when_the_server_is_stopped(settings: Settings) -> None:
    begun, go_on = threading.Event(), threading.Event()
    with running(settings) as server:

        def slow(_: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
            begun.set()
            assert go_on.wait(30)
            start("200 OK", [("Content-Type", "text/plain")])
            return [b"to the end"]

        server.house._front._app = slow
        got: list[httpx.Response] = []
        asking = threading.Thread(target=lambda: got.append(httpx.get(f"{server.plain}/", timeout=30)))
        asking.start()
        assert begun.wait(20)
        server.stopper.stop()
        assert server.stopper.ending.wait(20)
        assert server.thread.is_alive()
        go_on.set()
        asking.join(30)
        server.thread.join(30)
    assert [one.text for one in got] == ["to the end"]


def test_what_only_waits_for_the_planner_is_not_begun_any_more_when_the_server_is_stopped(settings: Settings) -> None:
    """Those who look may look again; a form that was sent is answered."""
    begun, go_on = threading.Event(), threading.Event()

    def slow(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        if is_known_alone():
            raise NotKnown
        begun.set()
        assert go_on.wait(20)
        start("200 OK", [("Content-Type", "text/plain")])
        return [b"answered"]

    with running(settings) as server, ThreadPoolExecutor() as them:
        server.house._front._app = slow
        dear = f"{server.plain}/week"
        first = them.submit(httpx.get, dear, timeout=60)
        assert begun.wait(20)
        looks = [them.submit(httpx.get, dear, timeout=60) for _ in range(3)]
        sends = them.submit(httpx.post, f"{server.plain}/plan", timeout=60)
        until = time.monotonic() + 20
        while server.house._front._fair._inside < 5:
            assert time.monotonic() < until
        server.stopper.stop()
        assert server.stopper.ending.wait(20)
        while not server.house._front._ending.is_begun:
            assert time.monotonic() < until
        go_on.set()
        assert first.result().text == "answered"
        assert [one.result().status_code for one in looks] == [503] * 3
        assert {one.result().headers["retry-after"] for one in looks} == {"5"}
        assert sends.result().text == "answered"


def test_what_is_remembered_waits_for_nobody_who_plans(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    morning = int(datetime(2026, 11, 25, 7, 2, tzinfo=UTC).timestamp())
    monkeypatch.setattr(door, "seconds", lambda: morning)  # else a line of the planner's grid may be crossed
    known, new = ("/", "/week"), "/?supper=2026-11-26T20:10"
    with running(settings) as server, ThreadPoolExecutor() as them:
        before = [httpx.get(f"{server.plain}{path}", timeout=60).status_code for path in known]
        fair = server.house._front._fair
        fair._dear_places = taken = _LeastFirst(0)
        again = [httpx.get(f"{server.plain}{path}", timeout=60) for path in known]
        waits = them.submit(httpx.get, f"{server.plain}{new}", timeout=60)
        until = time.monotonic() + 20
        while not taken._waiting:
            assert time.monotonic() < until
        assert not waits.done()
        assert server.stopper.loop
        server.stopper.loop.call_soon_threadsafe(taken._next)
        assert [*before, *(one.status_code for one in again), waits.result().status_code] == [200] * 5
    assert all("<main" in one.text for one in [*again, waits.result()])


def test_what_is_looked_for_in_memory_first_is_counted_once(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Known or not."""
    monkeypatch.setattr(door, "seconds", lambda: int(datetime(2026, 11, 25, 7, 2, tzinfo=UTC).timestamp()))
    with running(settings) as server, httpx.Client(timeout=60) as client:
        limiter = server.house._app.extensions["suppertide-limits"]
        hits = Counter[object]()
        monkeypatch.setattr(limiter.limiter, "hit", lambda *said, **_: hits.update([said]) or True)
        for _ in range(5):
            assert client.get(f"{server.plain}/week?at=19:05").status_code == 200
    assert set(hits.values()) == {5}, "of a minute, and of an hour"


def test_a_body_that_is_too_long_is_counted_and_answered_with_the_page_about_it(server: Running) -> None:
    most = server.house.settings.max_body

    def pieces() -> Iterator[bytes]:
        for _ in range(most // 50_000 + 2):
            yield b"x" * 50_000

    head = {"Content-Type": "application/x-www-form-urlencoded", "Sec-Fetch-Site": "same-origin"}
    for body in (b"x" * (most + 1), pieces()):
        answer = httpx.post(f"{server.plain}/plan", content=body, headers=head, timeout=30)
        assert answer.status_code == 413
        assert "more than the server takes" in answer.text


def test_http_2_is_spoken_over_tls_and_nothing_older_than_tls_1_2(settings: Settings) -> None:
    with running(settings, ServeWanted(port=0, phone=True, secure_port=0)) as server:
        assert server.house.papers
        context = ssl.create_default_context(cadata=server.house.papers.issued.authority_der)
        context.set_alpn_protocols(["h2", "http/1.1"])
        address = ("127.0.0.1", server.house.sockets.secure_port)
        with (
            socket.create_connection(address, 10) as bare,
            context.wrap_socket(bare, server_hostname="127.0.0.1") as spoken,
        ):
            assert spoken.selected_alpn_protocol() == "h2"
            assert spoken.version() in ("TLSv1.2", "TLSv1.3")
        assert server.house._tls
        assert server.house._tls.minimum_version == ssl.TLSVersion.TLSv1_2


def test_a_renewed_certificate_is_in_use_without_a_new_start(settings: Settings) -> None:
    with running(settings, ServeWanted(port=0, phone=True, secure_port=0)) as server:
        papers = server.house.papers
        assert papers
        assert server.house._tls

        def shown() -> bytes:
            context = ssl.create_default_context(cadata=papers.issued.authority_der)
            address = ("127.0.0.1", server.house.sockets.secure_port)
            with socket.create_connection(address, 10) as bare:
                spoken = context.wrap_socket(bare, server_hostname="127.0.0.1")
                found = spoken.getpeercert(binary_form=True)
                spoken.close()
            assert found
            return found

        before = shown()
        assert not papers.renew(server.house._tls)
        assert shown() == before
        papers._also = ("10.20.30.40",)
        assert papers.renew(server.house._tls)
        assert shown() != before


# -- the parts alone


def test_health_answers_at_once_while_the_database_does_not() -> None:
    stuck = threading.Event()
    pulse = Pulse(lambda: stuck.wait(30))
    try:
        begun = time.perf_counter()
        assert asyncio.run(pulse.ready()) is False
        assert time.perf_counter() - begun < 5
    finally:
        stuck.set()
        pulse.close()


def test_health_asks_the_database_once_a_second_and_believes_a_busy_one_for_half_a_minute() -> None:
    now, asked, answers = [100.0], [], [True]

    def probe() -> bool:
        asked.append(now[0])
        if not answers[0]:
            raise OSError("gone")
        return True

    async def see() -> None:
        assert await pulse.ready()
        assert await pulse.ready()
        assert asked == [100.0]
        now[0] = 101.5
        assert await pulse.ready(), "by what was answered a second ago, while it is asked again"
        assert pulse._asked
        pulse._asked.result(20)
        assert asked == [100.0, 101.5]
        answers[0] = False
        now[0] = 105.0
        assert not await pulse.ready(), "nothing is known of the last seconds: its answer is waited for"
        assert asked == [100.0, 101.5, 105.0]

    pulse = Pulse(probe, lambda: now[0])
    asyncio.run(see())
    pulse.close()


def test_an_answer_that_comes_in_pieces_is_never_gathered(server: Running) -> None:
    pieces, each = 48, 1_000_000

    def export(_: dict[str, Any], start: Callable[..., Any]) -> Iterator[bytes]:
        start("200 OK", [("Content-Type", "text/plain"), ("Content-Length", str(pieces * each))])
        return (bytes(each) for _ in range(pieces))

    server.house._front._app = export
    tracemalloc.start()
    try:
        with httpx.stream("GET", server.plain, timeout=20) as answer:
            length = sum(map(len, answer.iter_raw()))
        assert tracemalloc.get_traced_memory()[1] < pieces * each / 4
    finally:
        tracemalloc.stop()
    assert length == pieces * each


def test_a_long_answer_lies_in_a_file_while_a_slow_reader_takes_it(server: Running) -> None:
    many, each = 12, 24_000_000
    made = threading.Semaphore(0)

    def export(_: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        start("200 OK", [("Content-Type", "text/plain"), ("Content-Length", str(each))])
        made.release()
        return [b"x" * 1_000_000] * (each // 1_000_000)

    server.house._front._app = export
    with ExitStack() as stack:
        tracemalloc.start()
        stack.callback(tracemalloc.stop)
        readers = []
        for number in range(many):
            one = socket.create_connection(("127.0.0.1", server.house.sockets.port), 20, (f"127.0.9.{1 + number}", 0))
            readers.append(stack.enter_context(closing(one)))
            one.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
            assert one.recv(12) == b"HTTP/1.1 200"
        assert tracemalloc.get_traced_memory()[0] < 3 * each, "of twelve that are being taken"
        length = 12
        while piece := readers[-1].recv(1_000_000):
            length += len(piece)
        assert length > each, "and it comes whole"


def test_all_of_an_answer_must_be_taken_in_time_not_only_each_piece(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.server.front._LEAST_BYTES_S", 1e12)
    given = list[float]()

    class Told(ServerEnd):
        @asynccontextmanager
        async def within(self, seconds: float) -> AsyncIterator[None]:
            given.append(seconds)
            yield

    def app(_: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        start("200 OK", [])
        return [b"x" * 1_000_000]

    assert asked(app, {}, ending=Told())[1] == b"x" * 1_000_000
    pieces = given[2:-1]  # behind the body of the question and the head of the answer, before the end
    assert len(pieces) > 10
    assert all(later < sooner <= 60.0 for sooner, later in itertools.pairwise(pieces))


def test_what_a_household_asks_for_is_counted_from_every_address(server: Running) -> None:
    """Its key comes from another address with each question: `/export.json` is answered twelve times in a minute."""
    with httpx.Client(base_url=server.plain) as browser:
        token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', browser.get("/join").text)
        assert token
        headers = {"Sec-Fetch-Site": "same-origin"}
        said = {"csrf_token": token[1], "zone": "Europe/London"}
        assert browser.post("/settings/zone", data=said, headers=headers).status_code == 303
        cookies = dict(browser.cookies)
    answers = []
    for number in range(13):
        transport = httpx.HTTPTransport(local_address=f"127.0.9.{1 + number}")
        with httpx.Client(base_url=server.plain, transport=transport, cookies=cookies) as browser:
            answers.append(browser.get("/export.json", timeout=20).status_code)
    assert answers == [200] * 12 + [429]


def test_who_is_refused_because_of_the_crowd_is_told_when_to_come_again(settings: Settings) -> None:
    """RFC 9110, 15.6.4: 503 may say how long to wait."""
    go_on = threading.Event()
    with running(settings) as server, ThreadPoolExecutor(24) as many:

        def slow(_: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
            if is_known_alone():
                raise NotKnown
            assert go_on.wait(60)
            start("200 OK", [("Content-Type", "text/plain")])
            return [b"planned"]

        server.house._front._app = slow
        waiting = [many.submit(httpx.get, f"{server.plain}/week", timeout=60) for _ in range(24)]
        refused = next(as_completed(waiting)).result()
        assert httpx.get(f"{server.plain}/health", timeout=20).status_code == 200
        go_on.set()
        answers = [one.result() for one in waiting]
    assert refused.status_code == 503
    assert "Try again in a moment." in refused.text
    assert int(refused.headers["Retry-After"]) > 0
    assert sorted({one.status_code for one in answers}) == [200, 503]
    assert sum(one.status_code == 200 for one in answers) >= 16


def asked(app: Any, scope: dict[str, Any], **more: Any) -> tuple[int, bytes]:
    """The answer of a front around `app`, by the ASGI protocol itself."""
    sent: list[dict[str, Any]] = []

    async def receive() -> Any:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    usual = {
        "type": "http", "method": "GET", "path": "/", "raw_path": b"/", "query_string": b"", "scheme": "http",
        "http_version": "1.1", "headers": [(b"host", b"127.0.0.1")], "client": ("127.0.0.1", 1), "server": ("x", 1),
    }  # fmt: skip
    front = Front(app, 2, lambda _: 1000, lambda: True, **more)
    asyncio.run(front(usual | scope, receive, send))  # type: ignore[arg-type]
    front.close()
    return sent[0]["status"], b"".join(one.get("body", b"") for one in sent[1:])


def test_a_header_with_an_underscore_does_not_pass_for_the_one_with_a_dash() -> None:
    def app(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        start("200 OK", [])
        return [environ.get("HTTP_X_FORWARDED_HOST", "none").encode()]

    assert asked(app, {"headers": [(b"x_forwarded_host", b"evil.example")]}) == (200, b"none")
    assert asked(app, {"headers": [(b"x-forwarded-host", b"seen.example")]}) == (200, b"seen.example")


def test_cookies_that_http_2_sends_one_by_one_are_all_read() -> None:
    """RFC 9113, 8.2.3: joined with "; " before they are passed on."""

    def app(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        start("200 OK", [])
        return [environ["HTTP_COOKIE"].encode()]

    assert asked(app, {"headers": [(b"cookie", b"a=1"), (b"cookie", b"b=2")]}) == (200, b"a=1; b=2")


def test_an_app_that_breaks_is_answered_for() -> None:
    def app(_: dict[str, Any], __: Callable[..., Any]) -> list[bytes]:
        raise RuntimeError("not even a page")

    assert asked(app, {})[0] == 500


def test_over_plain_http_other_machines_get_the_page_that_hands_over_and_this_one_the_app() -> None:
    def named(name: bytes) -> Any:
        def app(_: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
            start("200 OK", [])
            return [name]

        return app

    def got(host: bytes, client: str, scheme: str = "http") -> bytes:
        scope = {"headers": [(b"host", host)], "client": (client, 1), "scheme": scheme}
        return asked(named(b"app"), scope, hand_over=named(b"page"))[1]

    assert got(b"127.0.0.1:8080", "127.0.0.1") == b"app"
    assert got(b"localhost:8080", "127.0.0.1") == b"app"
    assert got(b"192.168.7.20:8080", "192.168.7.33") == b"page"
    assert got(b"192.168.7.20:8080", "127.0.0.1") == b"page"
    assert got(b"localhost", "192.168.7.33") == b"page"
    assert got(b"192.168.7.20:8443", "192.168.7.33", "https") == b"app"


def test_the_access_log_is_json_with_no_key_name_or_id_in_it(settings: Settings) -> None:
    out = io.StringIO()
    with running(settings) as server:
        server.house._front._watchers = (access_log(out),)
        for path in ("/feed/SECRET.ics", "/join?code=SECRET", "/bakes/SECRET", "/SECRET", "/health"):
            httpx.get(f"{server.plain}{path}", headers={"Cookie": "suppertide=SECRET", "Referer": "http://x/SECRET"})
    lines = [json.loads(line) for line in out.getvalue().splitlines()]
    assert [line["route"] for line in lines] == ["/feed/<key>.ics", "/join", "/bakes/<bake_id>", "(none)", "/health"]
    assert set(lines[0]) == {"at", "method", "route", "status", "bytes", "ms", "http"}
    assert "SECRET" not in out.getvalue()
    assert "127.0.0.1" not in out.getvalue()


def test_figures_are_counted_only_where_asked_for(settings: Settings) -> None:
    from webapp.server.watching import metrics, watchers

    assert watchers(settings) == []
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    count = metrics(("127.0.0.1", port))
    count(Answered("GET", "/bakes/<bake_id>", 200, 10, 0.25, "2"))
    count(Answered("BREW", "/", 405, 10, 0.25, "2"))
    text = httpx.get(f"http://127.0.0.1:{port}/metrics").text
    assert 'suppertide_requests_total{method="GET",route="/bakes/<bake_id>",status="200"} 1.0' in text
    assert 'method="OTHER"' in text
    assert "BREW" not in text


def test_pages_and_files_travel_compressed(server: Running) -> None:
    with httpx.Client(headers={"Accept-Encoding": "gzip"}, timeout=60) as browser:
        for path in ("/", "/static/css/base.css", "/static/js/pages/share.js", "/sw.js"):
            answer = browser.get(f"{server.plain}{path}")
            assert answer.headers["Content-Encoding"] == "gzip", path
            plain = httpx.get(f"{server.plain}{path}", headers={"Accept-Encoding": "identity"}, timeout=60)
            assert "Content-Encoding" not in plain.headers
            assert "Accept-Encoding" in answer.headers["Vary"]
            # A style sheet leaves its comments and the room between its signs at home when it is packed.
            sent, told = plain.text, answer.text
            if path.endswith(".css"):
                sent = re.sub(r"/\*.*?\*/", "", sent, flags=re.DOTALL)
                sent, told = (re.sub(r"\s+|;(?=\s*\})", "", text) for text in (sent, told))
            assert path == "/" or sent == told
            again = browser.get(f"{server.plain}{path}", headers={"If-None-Match": answer.headers.get("ETag", "-")})
            assert again.status_code == (200 if path == "/" else 304)


def test_any_wsgi_server_can_run_the_app(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import importlib

    monkeypatch.setenv("SUPPERTIDE_DATA", str(tmp_path))
    app = importlib.reload(importlib.import_module("webapp.wsgi")).app
    assert app.test_client().get("/health").status_code == 200


def test_a_fault_before_the_app_is_told_to_the_api_in_the_apis_own_shape() -> None:
    def app(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        raise RuntimeError("broken")

    for path, shaped in (("/api/bakes", True), ("/week", False)):
        status, body = asked(app, {"path": path, "raw_path": path.encode()})
        assert status == 500
        assert body.startswith(b'{"error": {"field": "request"') == shaped
