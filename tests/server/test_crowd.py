"""One address has so many connections, and all together so many; whoever there is no room for finds the door shut."""

from __future__ import annotations

import logging
import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing

import h2.connection
import httpx
import pytest

from tests.server.running import Running, running
from webapp.machine.settings import Settings
from webapp.server.serve import _MOST_STREAMS
from webapp.server.sockets import MOST_IN_ALL, MOST_OF_ONE, Crowd, Door, bind

GREEDY = "127.0.9.1"


@pytest.fixture
def server(settings: Settings) -> Iterator[Running]:
    with running(settings) as run:
        yield run


def came(server: Running, stack: ExitStack, address: str = GREEDY) -> socket.socket:
    """One more connection of this address."""
    port = server.house.sockets.port
    return stack.enter_context(closing(socket.create_connection(("127.0.0.1", port), 20, (address, 0))))


def is_shut(one: socket.socket) -> bool:
    """Whether the server has ended it; waits for that."""
    try:
        return one.recv(1) == b""
    except ConnectionError:
        return True


def is_answered(server: Running, address: str) -> bool:
    with ExitStack() as stack:
        one = came(server, stack, address)
        try:
            one.sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
            return one.recv(12).endswith(b"200")
        except ConnectionError:
            return False


def test_one_address_has_so_many_connections_and_others_come_in(
    server: Running, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.WARNING):
        with ExitStack() as stack:
            inside = [came(server, stack) for _ in range(MOST_OF_ONE)]
            more = [came(server, stack) for _ in range(100)]
            assert all(is_shut(one) for one in more)
            assert httpx.get(f"{server.plain}/health", timeout=20).status_code == 200
            inside[0].sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            assert inside[0].recv(12) == b"HTTP/1.1 200", "those that came first stay"
        until = time.monotonic() + 20
        while not is_answered(server, GREEDY):  # once its connections are gone there is room again
            assert time.monotonic() < until
    assert not caplog.records


def test_all_together_have_so_many_and_a_proxy_as_many_as_there_are() -> None:
    crowd = Crowd(5, 3)
    assert [crowd.let_in("one") for _ in range(4)] == [True, True, True, False]
    assert [crowd.let_in("two") for _ in range(3)] == [True, True, False]
    crowd.left("one")
    assert crowd.let_in("two")
    with closing(bind(0, None, network=False, proxied=True)) as proxied, ExitStack() as stack:
        wanted = MOST_OF_ONE + 10
        for _ in range(wanted):
            stack.enter_context(closing(socket.create_connection(("127.0.0.1", proxied.port), 20)))
        assert len([stack.enter_context(closing(accepted(proxied.plain))) for _ in range(wanted)]) == wanted


def accepted(door: Door) -> socket.socket:
    """The next one who waits at the door."""
    door.settimeout(20)
    return door.accept()[0]


def test_where_few_files_may_be_open_fewer_connections_are_let_in() -> None:
    with closing(bind(0, None, network=False, proxied=True, most_files=228)) as few, ExitStack() as stack:
        for _ in range(100):
            stack.enter_context(closing(socket.create_connection(("127.0.0.1", few.port), 20)))
            stack.enter_context(closing(accepted(few.plain)))
        stack.enter_context(closing(socket.create_connection(("127.0.0.1", few.port), 20)))
        few.plain.setblocking(False)
        with pytest.raises(BlockingIOError):
            few.plain.accept()
    assert MOST_IN_ALL > 100


def test_whoever_asks_much_over_http_2_is_taken_up_in_turns(server: Running) -> None:
    """Streams without end of one address: plain HTTP/2 by prior knowledge (RFC 9113, 3.3)."""
    with ExitStack() as stack:
        for _ in range(MOST_OF_ONE):
            talk = h2.connection.H2Connection()
            talk.initiate_connection()
            for stream in range(1, 2 * _MOST_STREAMS, 2):
                head = [(":method", "GET"), (":path", "/week"), (":scheme", "http"), (":authority", "127.0.0.1")]
                talk.send_headers(stream, head, end_stream=True)
            came(server, stack).sendall(talk.data_to_send())
        assert httpx.get(f"{server.plain}/health", timeout=20).status_code == 200
