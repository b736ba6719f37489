"""Many questions over one connection: in turns, and for nobody who has left."""

from __future__ import annotations

import asyncio
import itertools
import logging
import socket
import struct
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from typing import Any

import h2.connection
import pytest
from hypercorn.protocol.h2 import H2Protocol

from tests.server.running import Running, running
from webapp.machine.settings import Settings
from webapp.server.front import Front


@pytest.fixture
def server(settings: Settings) -> Iterator[Running]:
    with running(settings) as run:
        yield run


def test_who_has_left_is_answered_no_further(server: Running) -> None:
    """Many questions in one packet (RFC 9112, 9.3.2), from a client that is gone when the first of them is answered."""
    first, go_on, asked = threading.Event(), threading.Event(), list[str]()

    def page(environ: dict[str, Any], start: Callable[..., Any]) -> list[bytes]:
        asked.append(environ["PATH_INFO"])
        first.set()
        assert go_on.wait(20)
        start("200 OK", [("Content-Type", "text/plain"), ("Content-Length", "100000")])
        return [bytes(100_000)]

    async def over() -> None:
        talks = [one for one in asyncio.all_tasks() if getattr(one.get_coro(), "__name__", "") == "_server_callback"]
        if talks:
            await asyncio.wait(talks, timeout=60)

    server.house._front._app = page
    with closing(socket.create_connection(("127.0.0.1", server.house.sockets.port), 20)) as one:
        one.sendall(b"GET /more HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n" * 300)
        assert first.wait(20)
        one.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # it leaves at once: RST
    go_on.set()
    assert server.stopper.loop
    asyncio.run_coroutine_threadsafe(over(), server.stopper.loop).result(90)
    assert 1 <= len(asked) <= 8, "some more were taken up before that was noticed"


def test_questions_in_a_row_are_taken_up_in_turns(server: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a round of the loop one of them, from however many connections: all others are heard between."""
    many, each, rounds = 20, 6, list[int]()
    loop_round, all_there = itertools.count(), asyncio.Event()

    async def count() -> None:
        while True:
            next(loop_round)
            await asyncio.sleep(0)

    async def health(self: Front, path: str) -> Any:
        rounds.append(next(loop_round) - len(rounds))  # less those that were counted here
        if len(rounds) == many:
            all_there.set()
        await all_there.wait()
        return 200, [(b"content-length", b"2")], b"ok"

    monkeypatch.setattr(Front, "_health", health)
    assert server.stopper.loop
    counting = asyncio.run_coroutine_threadsafe(count(), server.stopper.loop)
    with ExitStack() as stack:
        talks = []
        for _ in range(many):
            one = socket.create_connection(("127.0.0.1", server.house.sockets.port), 20)
            talks.append(stack.enter_context(closing(one)))
            one.sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n" * each)
        for one in talks:
            said = b""
            while said.count(b"ok") < each:
                said += one.recv(65_536)
    counting.cancel()
    assert len(rounds) == many * each
    assert max(Counter(rounds[many:]).values()) <= 2


def test_of_a_client_that_has_left_no_line_is_written_for_each_piece(
    server: Running, caplog: pytest.LogCaptureFixture
) -> None:
    """In the words of asyncio, of its plain transports and of those over TLS (Python 3.11 to 3.14, from memory)."""
    assert server.house
    said = logging.getLogger("asyncio")
    with caplog.at_level(logging.WARNING):
        said.warning("socket.send() raised exception.")
        said.warning("SSL connection is closed")
        said.warning("something else")
    assert caplog.messages == ["something else"]


def test_a_question_over_http_2_that_is_taken_up_when_it_is_over_is_no_failure(
    server: Running, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Of one packet some questions are heard before the end, some after it (GOAWAY, RFC 9113, 6.8)."""

    async def ended_meanwhile(self: H2Protocol, _: object) -> None:
        self.connection.close_connection()
        self.connection.reset_stream(1)

    monkeypatch.setattr(H2Protocol, "_handle_events", ended_meanwhile)
    talk = h2.connection.H2Connection()
    talk.initiate_connection()
    head = [(":method", "GET"), (":path", "/health/live"), (":scheme", "http"), (":authority", "127.0.0.1")]
    talk.send_headers(1, head, end_stream=True)
    with caplog.at_level(logging.WARNING):
        with closing(socket.create_connection(("127.0.0.1", server.house.sockets.port), 20)) as one:
            one.sendall(talk.data_to_send())
            while one.recv(65_536):
                pass
        server.stop()
    assert not caplog.records
