"""One address has so many connections, and all together so many; for one more the one that is idle for longest goes."""

from __future__ import annotations

import logging
import socket
import time
import tracemalloc
from collections.abc import Iterator
from contextlib import ExitStack, closing

import h2.connection
import h2.events
import h2.settings
import httpx
import pytest

from tests.server.running import Running, running
from webapp.machine.settings import Settings
from webapp.server.serve import _MOST_STREAMS, ServeWanted
from webapp.server.sockets import MOST_IN_ALL, MOST_OF_ONE, Crowd, Door, OneInside, bind

GREEDY = "127.0.9.1"


@pytest.fixture(autouse=True)
def as_fast_as_they_come(monkeypatch: pytest.MonkeyPatch) -> None:
    """How many there may be is asked here, not how soon."""
    monkeypatch.setattr("webapp.server.sockets._AT_FIRST", 10_000)


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


def begun(server: Running, stack: ExitStack, address: str = GREEDY) -> socket.socket:
    """The same, and it is being answered: what it sends is not all there yet."""
    one = came(server, stack, address)
    one.sendall(b"POST /plan HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\na=")
    return one


def test_one_more_connection_than_an_address_has_goes_for_the_one_that_was_idle_for_longest(
    server: Running, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.WARNING), ExitStack() as stack:
        inside = [came(server, stack) for _ in range(MOST_OF_ONE)]
        other = came(server, stack, "127.0.9.2")
        assert is_answered(server, GREEDY), "a browser of the same house comes in"
        assert is_shut(inside[0])
        for one in (inside[1], inside[-1], other):
            one.sendall(b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            assert one.recv(12) == b"HTTP/1.1 200", "all others stay"
    assert not caplog.records


ASKED = b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"


def answered(one: socket.socket) -> str:
    """The head of the answer to one question more."""
    one.sendall(ASKED)
    said = b""
    while not said.endswith(b"}"):
        said += one.recv(4096)
    return said.partition(b"\r\n\r\n")[0].decode().lower()


def test_of_two_that_came_at_once_the_one_that_was_used_since_stays(server: Running) -> None:
    with ExitStack() as stack:
        used, opened_ahead = came(server, stack), came(server, stack)
        answered(used)
        more = [came(server, stack) for _ in range(MOST_OF_ONE - 1)]
        assert is_shut(opened_ahead)
        assert answered(used)
        assert answered(more[0])


def test_an_address_with_many_connections_is_asked_to_open_others(server: Running) -> None:
    with ExitStack() as stack:
        first = came(server, stack)
        assert "connection:" not in answered(first)
        assert "connection:" not in answered(first)
        inside = [came(server, stack) for _ in range(3 * MOST_OF_ONE // 4)]
        assert answered(inside[-1]).startswith("http/1.1 200")
        assert "connection: close" in answered(first)
        assert is_shut(first), "behind a whole answer, not in the middle of the next question"
        assert "connection:" not in answered(came(server, stack, "127.0.9.2"))


def test_over_http_2_one_that_is_sent_away_hears_what_was_not_heard(server: Running) -> None:
    """GOAWAY with the last question that was taken up (RFC 9113, 6.8): the next one may be asked again elsewhere."""
    talk = h2.connection.H2Connection()
    talk.initiate_connection()
    with ExitStack() as stack:
        one = came(server, stack)
        head = [(":method", "GET"), (":path", "/health/live"), (":scheme", "http"), (":authority", "127.0.0.1")]
        talk.send_headers(1, head, end_stream=True)
        one.sendall(talk.data_to_send())
        told = list[h2.events.Event]()
        while not any(isinstance(event, h2.events.StreamEnded) for event in told):
            told += talk.receive_data(one.recv(65_536))
        for _ in range(MOST_OF_ONE):
            came(server, stack)
        one.settimeout(20)
        while data := one.recv(65_536):
            told += talk.receive_data(data)
        gone = [event for event in told if isinstance(event, h2.events.ConnectionTerminated)]
        assert [(event.error_code, event.last_stream_id) for event in gone] == [(0, 1)]


def test_what_is_being_answered_does_not_go_for_somebody_else(
    server: Running, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.server.sockets._SLOW_S", 600.0)  # however busy the machine is, all of this is sooner
    with caplog.at_level(logging.WARNING):
        with ExitStack() as stack:
            asking = [begun(server, stack) for _ in range(MOST_OF_ONE)]
            until = time.monotonic() + 20
            while not all(server.house.sockets.plain.crowd.is_answered(one.getsockname()) for one in asking):
                assert time.monotonic() < until
            more = [came(server, stack) for _ in range(100)]
            assert all(is_shut(one) for one in more)
            assert httpx.get(f"{server.plain}/health", timeout=20).status_code == 200
            asking[0].sendall(b"b" * 998)
            assert asking[0].recv(9) == b"HTTP/1.1 ", "those that came first are answered"
        until = time.monotonic() + 20
        while not is_answered(server, GREEDY):  # once its connections are gone there is room again
            assert time.monotonic() < until
    assert not caplog.records


@pytest.mark.parametrize(
    "said",
    [
        b"POST /plan HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 90000\r\n\r\na=",
        b"POST /plan HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n2\r\na=\r\n",
    ],
    ids=["long", "in pieces"],
)
def test_forms_that_never_arrive_take_no_place_from_somebody_else(server: Running, said: bytes) -> None:
    """From so many addresses that they have every place among them; each may take longer than this test waits."""
    with ExitStack() as stack:
        asking = []
        for number in range(MOST_IN_ALL):
            asking.append(came(server, stack, f"127.0.9.{10 + number // (MOST_OF_ONE - 1)}"))
            asking[-1].sendall(said)
        until = time.monotonic() + 20
        while not all(server.house.sockets.crowd.is_answered(one.getsockname()) for one in asking):
            assert time.monotonic() < until
        for address in ("127.0.9.2", "127.0.9.3", "127.0.9.10"):
            until = time.monotonic() + 20
            while not is_answered(server, address):
                assert time.monotonic() < until


def test_answers_that_are_not_taken_take_no_place_from_somebody_else(
    server: Running, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Over HTTP/2 with a window of nothing (RFC 9113, 6.9.2)."""
    monkeypatch.setattr("webapp.server.sockets._SLOW_S", 0.5)
    talk = h2.connection.H2Connection()
    talk.initiate_connection()
    talk.update_settings({h2.settings.SettingCodes.INITIAL_WINDOW_SIZE: 0})
    head = [(":method", "GET"), (":path", "/health/live"), (":scheme", "http"), (":authority", "127.0.0.1")]
    talk.send_headers(1, head, end_stream=True)
    said = talk.data_to_send()
    with ExitStack() as stack:
        asking = [came(server, stack) for _ in range(MOST_OF_ONE)]
        for one in asking:
            one.sendall(said)
        until = time.monotonic() + 20
        while not all(server.house.sockets.crowd.is_answered(one.getsockname()) for one in asking):
            assert time.monotonic() < until
        until = time.monotonic() + 20
        while not is_answered(server, GREEDY):
            assert time.monotonic() < until


def test_of_those_that_are_answered_the_slowest_of_whoever_has_most_goes_once_nothing_is_idle() -> None:
    with closing(Inside(5, 3)) as inside:
        assert [inside.comes(host) for host in ("two", "one", "one", "two", "one")] == [True] * 5
        inside.crowd.is_answered = lambda peer: peer[1] < 5
        waits = {0: 60.0, 1: 5.0, 2: 30.0, 3: 1.0, 4: 1.0}
        inside.crowd.keeps_us_s = lambda peer: waits.get(peer[1], 0.0)
        assert inside.comes("three")
        assert inside.there == [0, 1, 3, 4, 5], "of the one with most, the one that is slow for longest"
        inside.guests[5].close()
        inside.comes("one")
        assert inside.comes("one"), "its own that nothing is asked over goes before one that is slow"
        assert inside.there == [0, 1, 3, 4, 7]


def test_connections_without_end_are_never_more_than_twice_as_many(server: Running) -> None:
    crowd = server.house.sockets.plain.crowd
    with ExitStack() as stack:
        for _ in range(5 * MOST_OF_ONE):
            came(server, stack)
        assert is_answered(server, "127.0.9.2")
        assert len(list(crowd.of(server.house.sockets.plain))) <= MOST_OF_ONE + 1


@pytest.mark.parametrize("sent", [b"", b"GET /health/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"])
def test_whoever_has_left_is_counted_no_more(server: Running, sent: bytes) -> None:
    """A browser opens connections that it may never use, and shuts them."""
    crowd = server.house.sockets.plain.crowd
    with ExitStack() as stack:
        one = came(server, stack)
        one.sendall(sent)
        assert not sent or one.recv(12) == b"HTTP/1.1 200"
        until = time.monotonic() + 10
        while one.getsockname() not in {inside.peer for inside in crowd.of(server.house.sockets.plain)}:
            assert time.monotonic() < until
    until = time.monotonic() + 10  # half of the time that it may be idle
    while any(inside.host == GREEDY for inside in crowd.of(server.house.sockets.plain)):
        assert time.monotonic() < until
        assert httpx.get(f"{server.plain}/health/live", timeout=20).status_code == 200


class Inside:
    """Sockets by the numbers of their peers, let in by a crowd."""

    def __init__(self, most: int, of_one: int) -> None:
        self.crowd = Crowd(most, of_one)
        self.door = Door(self.crowd)
        self.guests: list[OneInside] = []

    def close(self) -> None:
        for one in (self.door, *self.guests):
            one.close()

    def comes(self, host: str) -> bool:
        if not self.crowd.has_room(host):
            return False
        guest = OneInside(socket.socket(), (host, len(self.guests)), self.door)
        self.crowd.enter(guest)
        self.guests.append(guest)
        return True

    @property
    def there(self) -> list[int]:
        return [one.peer[1] for one in self.crowd.of(self.door)]


def test_of_all_together_one_of_the_address_that_has_most_goes() -> None:
    with closing(Inside(5, 3)) as inside:
        assert [inside.comes(host) for host in ("one", "two", "one", "two", "one")] == [True] * 5
        assert inside.comes("three")
        assert inside.there == [1, 2, 3, 4, 5]
        inside.crowd.is_answered = lambda _: True
        assert not inside.comes("four"), "all are being answered"
        inside.guests[2].close()
        inside.guests[2].close()
        assert inside.comes("four")
        assert inside.there == [1, 3, 4, 5, 6]


def test_where_all_of_the_address_that_has_most_are_being_answered_one_of_the_next_goes() -> None:
    with closing(Inside(5, 3)) as inside:
        assert [inside.comes(host) for host in ("one", "two", "one", "two", "one")] == [True] * 5
        inside.crowd.is_answered = lambda peer: peer[0] == "one"
        assert inside.comes("three"), "a stranger is not kept out by one who is busy"
        assert inside.there == [0, 2, 3, 4, 5]


def test_whoever_has_many_takes_no_place_from_one_who_has_fewer() -> None:
    with closing(Inside(5, 4)) as inside:
        assert [inside.comes(host) for host in ("one", "two", "one", "one", "two")] == [True] * 5
        inside.crowd.is_answered = lambda peer: peer[0] == "one"
        assert not inside.comes("one"), "what is being asked by two was not heard yet"
        assert inside.comes("two")
        assert inside.there == [0, 2, 3, 4, 5]


def test_one_that_comes_without_end_keeps_no_other_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.server.sockets._MOST_SENT_AWAY", 3)
    with closing(Inside(5, 4)) as inside:
        assert [inside.comes("one") for _ in range(9)] == [True] * 7 + [False] * 2
        assert inside.comes("two")
        assert inside.comes("three"), "all places are taken, and one more is made"


def test_nor_do_several_that_have_all_places_among_them(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.server.sockets._MOST_SENT_AWAY", 3)
    with closing(Inside(6, 5)) as inside:
        assert [inside.comes(host) for _ in range(6) for host in ("one", "two")] == [True] * 9 + [False] * 3
        assert inside.comes("three")


def test_whoever_comes_faster_than_connections_can_be_shut_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.server.sockets._MOST_SENT_AWAY", 3)
    with closing(Inside(50, 3)) as inside:
        assert [inside.comes("one") for _ in range(8)] == [True] * 6 + [False] * 2
        inside.guests[0].close()
        assert inside.comes("one")
        assert inside.there == [4, 5, 6]


def test_a_proxy_has_as_many_as_there_are() -> None:
    with closing(bind(0, None, network=False, proxied=True)) as proxied, ExitStack() as stack:
        wanted = MOST_OF_ONE + 10
        for _ in range(wanted):
            stack.enter_context(closing(socket.create_connection(("127.0.0.1", proxied.port), 20)))
        for _ in range(wanted):
            stack.enter_context(closing(accepted(proxied.plain)))
        assert len(list(proxied.plain.crowd.of(proxied.plain))) == wanted


def accepted(door: Door) -> socket.socket:
    """The next one who waits at the door."""
    door.settimeout(20)
    try:
        return door.accept()[0]
    except BlockingIOError:  # so many were let in that others have their turn now
        return door.accept()[0]


def test_of_many_who_wait_at_the_door_some_come_in_and_then_others_have_their_turn() -> None:
    with closing(bind(0, None, network=False)) as bound, ExitStack() as stack:
        for _ in range(100):
            stack.enter_context(closing(socket.create_connection(("127.0.0.1", bound.port), 20, (GREEDY, 0))))
        came = [0]
        bound.plain.settimeout(20)
        while sum(came) < 100:
            try:
                stack.enter_context(closing(bound.plain.accept()[0]))
                came[-1] += 1
            except BlockingIOError:
                came.append(0)
    assert came[:4] == [32, 32, 32, 4]


def test_whoever_opens_connections_faster_than_they_are_used_is_refused_and_nobody_else_is() -> None:
    now = [0.0]
    crowd = Crowd(1000, 100)
    crowd.clock = lambda: now[0]
    came = [crowd.comes_too_often("one") for _ in range(150)]
    assert came == [False] * 100 + [True] * 50
    assert not crowd.comes_too_often("two")
    assert not any(crowd.comes_too_often("127.0.0.1") for _ in range(500)), "what stands before us on this machine"
    now[0] += 1.0
    came = [crowd.comes_too_often("one") for _ in range(60)]
    assert came == [False] * 50 + [True] * 10
    now[0] += 3600.0
    assert [crowd.comes_too_often("one") for _ in range(101)] == [False] * 100 + [True]
    proxied = Crowd(100, 100)
    assert not any(proxied.comes_too_often("one") for _ in range(500))


def test_where_few_files_may_be_open_fewer_connections_are_let_in() -> None:
    with closing(bind(0, None, network=False, proxied=True, most_files=228)) as few, ExitStack() as stack:
        for _ in range(100):
            stack.enter_context(closing(socket.create_connection(("127.0.0.1", few.port), 20)))
            stack.enter_context(closing(accepted(few.plain)))
        stack.enter_context(closing(socket.create_connection(("127.0.0.1", few.port), 20)))
        few.crowd.is_answered = lambda _: True
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


def test_a_handshake_that_is_never_ended_takes_little_memory(settings: Settings) -> None:
    with running(settings, ServeWanted(port=0, phone=True, secure_port=0)) as server, ExitStack() as stack:
        sockets = server.house.sockets
        assert sockets.secure
        tracemalloc.start()
        stack.callback(tracemalloc.stop)
        for _ in range(MOST_OF_ONE):
            one = socket.create_connection(("127.0.0.1", sockets.secure_port), 20, (GREEDY, 0))
            stack.enter_context(closing(one)).sendall(b"\x16\x03\x01\x02\x00")
        until = time.monotonic() + 20
        while len(list(sockets.secure.crowd.of(sockets.secure))) < MOST_OF_ONE:
            assert time.monotonic() < until
        assert httpx.get(f"{server.plain}/health/live", timeout=20).status_code == 200
        assert tracemalloc.get_traced_memory()[1] < MOST_OF_ONE * 100_000
