"""Paths that climb out of their folder, sent over a real socket as no client library would send them."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest

from tests.server.running import Running, running
from webapp.machine.settings import Settings


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    with running(Settings(data=tmp_path_factory.mktemp("paths") / "data")) as started:
        yield started


def answer(server: Running, line: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", server.house.sockets.port), timeout=30) as talk:
        talk.sendall(line + b"\r\nHost: localhost\r\nConnection: close\r\n\r\n")
        got = b""
        while piece := talk.recv(65536):
            got += piece
        return got


CLIMBS = [
    b"/static/../pyproject", b"/static/%2e%2e/pyproject", b"/static/..%2fpyproject",
    b"/static/%2e%2e%2fpyproject", b"/static/..%5cpyproject", b"/static/....//pyproject",
    b"/static/%252e%252e/pyproject", b"/static//etc/passwd", b"/static/%2fetc/passwd",
    b"/static/js/../../pyproject", b"/static/%c0%ae%c0%ae/pyproject", b"/static/x%00/../../pyproject",
    b"/../../../../etc/passwd", b"/shell/x/../../pyproject", b"/shell/x/%2e%2e/%2e%2e/pyproject",
    b"/files/x/js/../../../pyproject", b"/files/x/js/%2e%2e/%2e%2e/pyproject",
    b"/files/x/..%2f..%2fpyproject", b"/feed/..%2f..%2fsession.key.ics", b"//localhost/static/../pyproject",
    b"http://localhost/static/../pyproject", b"/static/js", b"/static/",
]  # fmt: skip


def test_no_path_climbs_out_of_its_folder(server: Running) -> None:
    for path in CLIMBS:
        got = answer(server, b"GET " + path + b" HTTP/1.1")
        status = int(got.split(b" ", 2)[1])
        to_our_own = b"\r\nlocation: http://localhost/static/etc/passwd\r\n" in got  # two slashes made one
        assert status in (400, 404) or (status == 308 and to_our_own), (path, got[:200])
        assert b"[project]" not in got, path
        assert b"root:" not in got, path


def test_a_file_below_the_folder_is_served(server: Running) -> None:
    """So that the test above cannot pass by serving nothing."""
    assert answer(server, b"GET /static/css/base.css HTTP/1.1").startswith(b"HTTP/1.1 200")


def test_a_whole_address_is_taken_as_its_path_at_that_host(server: Running) -> None:
    """RFC 9112, 3.2.2: a server MUST accept the absolute-form, and ignore the Host field beside it; RFC 9110, 4.2.3: an
    empty path is "/", and a scheme in capitals is the same. The Host field that is sent beside it is "localhost"."""
    head = b"GET %s HTTP/1.1"
    assert answer(server, head % b"http://localhost/more").startswith(b"HTTP/1.1 200")
    assert answer(server, head % b"HTTP://127.0.0.1:8080/health/live").startswith(b"HTTP/1.1 200")
    at_home, asked = b'<a href="/" aria-current="page"', head % b"http://localhost"
    assert at_home in answer(server, asked)
    assert b"\r\nlocation: /plan?again=b\r\n" in answer(server, head % b"http://localhost?again=b")
    assert answer(server, head % b"http://elsewhere.example/more").startswith(b"HTTP/1.1 421")
    assert b"\r\nHost: localhost\r\n" not in answer(server, asked)
    for wrong in (b"http:///more", b"http://me@localhost/more", b"ftp://localhost/more", b"http:/more"):
        assert answer(server, head % wrong).startswith(b"HTTP/1.1 404"), wrong


LINES = [
    b"GET / HTTP/1.1\r\nX-A: b\x00c", b"GET /\x00 HTTP/1.1", b"GET / HTTP/1.1\r\nTransfer-Encoding: gzip, chunked",
    b"GET / HTTP/1.1\r\nContent-Length: 5\r\nContent-Length: 6", b"GET / HTTP/1.1\r\n folded: x",
    b"GET / HTTP/1.1\r\nContent-Length: +5", b"GET / HTTP/1.1\r\nHost : x",
]  # fmt: skip


def test_a_request_that_two_servers_could_read_in_two_ways_is_refused(server: Running) -> None:
    """RFC 9112, 5.1, 5.2, 6.1, 6.3 and 11.2 (request smuggling); RFC 9110, 5.5 (NUL in a field)."""
    for line in LINES:
        got = answer(server, line)
        assert not got or int(got.split(b" ", 2)[1]) in (400, 501), (line, got[:100])
