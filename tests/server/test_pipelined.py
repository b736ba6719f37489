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
import h2.events
import h2.settings
import pytest
from hypercorn.protocol.h2 import H2Protocol

from tests.server.running import Running, running
from webapp.machine.settings import Settings
from webapp.server.front import Front
from webapp.server.pipelined import _Turns


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


def test_an_address_that_sends_without_end_is_one_of_those_who_take_turns() -> None:
    async def see() -> list[str]:
        turns, went = _Turns(), list[str]()

        async def goes(host: str) -> None:
            await turns.one((host, 1))
            went.append(host)

        those = ["many"] * 5 + ["some"] * 2 + ["one"]
        tasks = [asyncio.create_task(goes(host)) for host in those]
        await asyncio.sleep(0)
        gone = asyncio.create_task(goes("gone"))
        await asyncio.sleep(0)
        gone.cancel()
        await asyncio.gather(*tasks, gone, return_exceptions=True)
        await asyncio.wait_for(goes("last"), 20)
        return went

    went = asyncio.run(see())
    assert sorted(went) == sorted(["many"] * 5 + ["some"] * 2 + ["one", "last"])
    assert went.index("one") <= 3, "not behind all of the many"
    assert went[-1] == "last"


def test_many_connections_of_one_address_that_send_nothing_of_use_keep_nobody_waiting(server: Running) -> None:
    """Junk that is parsed a piece at a time; somebody else is heard within so many rounds of the loop as there are
    addresses, not connections."""
    rounds, health = itertools.count(), list[int]()

    async def count() -> None:
        while True:
            next(rounds)
            await asyncio.sleep(0)

    assert server.stopper.loop
    counting = asyncio.run_coroutine_threadsafe(count(), server.stopper.loop)
    with ExitStack() as stack:
        for _ in range(100):
            one = stack.enter_context(
                closing(socket.create_connection(("127.0.0.1", server.house.sockets.port), 20, ("127.0.9.1", 0)))
            )
            one.sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n" * 50)
        begun = next(rounds)
        other = stack.enter_context(closing(socket.create_connection(("127.0.0.1", server.house.sockets.port), 20)))
        other.sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        assert other.recv(12) == b"HTTP/1.1 200"
        health.append(next(rounds) - begun)
    counting.cancel()
    assert health[0] < 100


def talk_of(server: Running) -> tuple[socket.socket, h2.connection.H2Connection]:
    """HTTP/2 by prior knowledge (RFC 9113, 3.3), and what a client says first was heard."""
    talk = h2.connection.H2Connection()
    talk.initiate_connection()
    one = socket.create_connection(("127.0.0.1", server.house.sockets.port), 20)
    one.sendall(talk.data_to_send())
    return one, talk


def pings(talk: h2.connection.H2Connection, number: int) -> None:
    talk.ping(number.to_bytes(8, "big"))


def settings_again(talk: h2.connection.H2Connection, number: int) -> None:
    talk.update_settings({h2.settings.SettingCodes.INITIAL_WINDOW_SIZE: 60_000 + number})


def priorities(talk: h2.connection.H2Connection, number: int) -> None:
    talk.prioritize(1, weight=1 + number % 200)


def windows(talk: h2.connection.H2Connection, _: int) -> None:
    talk.increment_flow_control_window(1)


def of_no_known_kind(talk: h2.connection.H2Connection, _: int) -> None:
    talk._data_to_send += bytes.fromhex("000000 ee 00 00000000")


@pytest.mark.parametrize("says", [pings, settings_again, priorities, windows, of_no_known_kind])
def test_who_talks_on_over_http_2_and_asks_for_nothing_is_sent_away(
    server: Running, says: Callable[[h2.connection.H2Connection, int], None]
) -> None:
    """ENHANCE_YOUR_CALM is the word for it (RFC 9113, 7 and 10.5)."""
    one, talk = talk_of(server)
    told = list[h2.events.Event]()
    with closing(one):
        for number in range(1000):
            says(talk, number)
        one.sendall(talk.data_to_send())
        while data := one.recv(65_536):
            told += talk.receive_data(data)
    (gone,) = [event for event in told if isinstance(event, h2.events.ConnectionTerminated)]
    assert gone.error_code == 11
    assert sum(isinstance(event, h2.events.PingAckReceived) for event in told) < 1000


def test_pieces_of_a_form_of_a_byte_each_are_talk_too(server: Running) -> None:
    one, talk = talk_of(server)
    head = [(":method", "POST"), (":path", "/plan"), (":scheme", "http"), (":authority", "127.0.0.1")]
    told = list[h2.events.Event]()
    with closing(one):
        talk.send_headers(1, head)
        for _ in range(1000):
            talk.send_data(1, b"a")
        one.sendall(talk.data_to_send())
        while data := one.recv(65_536):
            told += talk.receive_data(data)
    (gone,) = [event for event in told if isinstance(event, h2.events.ConnectionTerminated)]
    assert gone.error_code == 11


def test_who_asks_may_talk_as_browsers_do(server: Running) -> None:
    """A ping between questions, a priority with each, and for each piece that came a word that there is room for more
    (RFC 9113, 6.9): over a connection of three hundred questions."""
    one, talk = talk_of(server)
    head = [(":method", "GET"), (":path", "/static/js/lib/clock.js"), (":scheme", "http"), (":authority", "127.0.0.1")]
    ended = 0
    with closing(one):
        for number in range(300):
            talk.send_headers(2 * number + 1, head, end_stream=True, priority_weight=200)
            pings(talk, number)
            one.sendall(talk.data_to_send())
            while ended <= number:
                data = one.recv(65_536)
                assert data, f"sent away after {number}"
                for event in talk.receive_data(data):
                    ended += isinstance(event, h2.events.StreamEnded)
                    if isinstance(event, h2.events.DataReceived):
                        talk.acknowledge_received_data(event.flow_controlled_length, event.stream_id)
                one.sendall(talk.data_to_send())


@pytest.mark.parametrize(
    "odd",
    [{b":method": b"G\xffT"}, {b":path": b"/\xff"}, {b":path": "/kitchen/ä".encode()}],
    ids=["method", "path", "utf-8"],
)
def test_a_head_that_is_not_ascii_is_refused_and_the_connection_goes_on(
    server: Running, odd: dict[bytes, bytes], caplog: pytest.LogCaptureFixture
) -> None:
    """RST_STREAM with PROTOCOL_ERROR (RFC 9113, 8.1.1)."""
    one, talk = talk_of(server)
    talk.config.validate_outbound_headers = talk.config.normalize_outbound_headers = False
    head = {b":method": b"GET", b":path": b"/health/live", b":scheme": b"http", b":authority": b"127.0.0.1"}
    told = list[h2.events.Event]()
    with caplog.at_level(logging.WARNING), closing(one):
        talk.send_headers(1, list((head | odd).items()))
        talk.send_data(1, b"a" * 100, end_stream=True)
        talk.send_headers(3, list(head.items()), end_stream=True)
        one.sendall(talk.data_to_send())
        while not any(isinstance(event, h2.events.StreamEnded) for event in told):
            data = one.recv(65_536)
            assert data
            told += talk.receive_data(data)
    assert [(event.stream_id, event.error_code) for event in told if isinstance(event, h2.events.StreamReset)] == [
        (1, 1)
    ]
    assert not caplog.records


def test_a_form_that_goes_on_behind_its_answer_breaks_nothing(
    server: Running, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Over HTTP/2: it is answered before all of it was sent (RFC 9113, 8.1), and the next question is heard."""
    monkeypatch.setattr("webapp.server.front._DRAINED", 300_000)
    server.house._front._most = lambda _: 1000
    one, talk = talk_of(server)
    head = [(":path", "/plan"), (":scheme", "http"), (":authority", "127.0.0.1")]
    told = list[h2.events.Event]()

    def heard(stream: int) -> bool:
        return any(isinstance(event, h2.events.StreamEnded) and event.stream_id == stream for event in told)

    def hear() -> None:
        data = one.recv(65_536)
        assert data
        told.extend(talk.receive_data(data))
        one.sendall(talk.data_to_send())

    with caplog.at_level(logging.WARNING), closing(one):
        talk.send_headers(1, [(":method", "POST"), *head])
        for _ in range(100):
            while talk.local_flow_control_window(1) < 10_000:
                hear()
            talk.send_data(1, b"a" * 10_000)
            one.sendall(talk.data_to_send())
        talk.end_stream(1)
        talk.send_headers(3, [(":method", "GET"), *head[1:], (":path", "/health/live")], end_stream=True)
        one.sendall(talk.data_to_send())
        while not heard(3):
            hear()
    assert heard(1)
    assert not caplog.records
