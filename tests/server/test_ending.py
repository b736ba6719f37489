"""A server that is stopped leaves in time and with status 0, whatever its clients do or leave undone."""

from __future__ import annotations

import os
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import h2.connection
import h2.events
import httpx
import pytest

from webapp.server.certificates import FOLDER
from webapp.server.ending import GRACE_S, LAST_S

ROOT = Path(__file__).resolve().parents[2]
LOADED_S = 6.0  # what a machine with much else to do may be late by
WINDOWS = pytest.mark.skipif(os.name == "nt", reason="there is no SIGTERM to hear on Windows")


class Started:
    """`suppertide serve --phone` as a process, with the sockets of clients who do not leave."""

    def __init__(self, data: Path) -> None:
        self.data = data
        self.plain, self.secure = free_ports()
        ports = ["--port", str(self.plain), "--secure-port", str(self.secure)]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "webapp", "serve", "--phone", "--data", str(data), *ports],
            cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        self.clients: list[socket.socket] = []
        until = time.monotonic() + 60
        while not answers(self.plain):
            assert time.monotonic() < until
            assert self.process.poll() is None

    def came(self) -> socket.socket:
        """One more client at the plain door."""
        client = socket.socket()
        client.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)  # before it connects: so its window stays small
        client.connect(("127.0.0.1", self.plain))
        self.clients.append(client)
        return client

    def came_over_tls(self, protocol: str) -> ssl.SSLSocket:
        context = ssl.create_default_context(cafile=str(self.data / FOLDER / "authority.pem"))
        context.set_alpn_protocols([protocol])
        bare = socket.create_connection(("127.0.0.1", self.secure), 20)
        client = context.wrap_socket(bare, server_hostname="127.0.0.1")
        assert client.selected_alpn_protocol() == protocol
        self.clients.append(client)
        return client

    def stopped(self) -> tuple[int, float, str]:
        """(status, seconds until it was over, what was said on the error stream)."""
        begun = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        _, said = self.process.communicate(timeout=GRACE_S + 30)
        return self.process.returncode, time.monotonic() - begun, said


def free_ports() -> tuple[int, int]:
    """Two, held until both are known: of one after the other the second may be the first again. Free at every address:
    a phone's server listens at all of them, and clients of other tests may have left one behind."""
    with closing(socket.socket()) as one, closing(socket.socket()) as other:
        for each in (one, other):
            each.bind(("0.0.0.0", 0))
        return int(one.getsockname()[1]), int(other.getsockname()[1])


def answers(port: int) -> bool:
    try:
        return httpx.get(f"http://127.0.0.1:{port}/health/live", timeout=5).status_code == 200
    except httpx.TransportError:
        return False


@pytest.fixture
def server(settings: object, tmp_path: Path) -> Iterator[Started]:
    del settings  # the folder with an empty database in it
    one = Started(tmp_path)
    yield one
    for client in one.clients:
        client.close()
    if one.process.poll() is None:
        one.process.kill()
        one.process.communicate()


def asks_by_http_2_and_reads_nothing(server: Started) -> None:
    """RFC 9113, 5.2: more than 65,535 octets are not sent to somebody who says nothing of having room for them."""
    client = server.came_over_tls("h2")
    spoken = h2.connection.H2Connection()
    spoken.initiate_connection()
    for stream in range(1, 41, 2):
        head = [(":method", "GET"), (":path", "/"), (":scheme", "https"), (":authority", "127.0.0.1")]
        spoken.send_headers(stream, head, end_stream=True)
    client.sendall(spoken.data_to_send())
    heard = 0
    while heard < 60_000:  # as much as it may be sent has come, and waits for more
        for event in spoken.receive_data(client.recv(65_536)):
            heard += len(event.data) if isinstance(event, h2.events.DataReceived) else 0


def asks_by_http_1_and_reads_nothing(server: Started) -> None:
    """More answers than a connection's buffers hold."""
    client = server.came()
    client.settimeout(0.5)
    try:
        for _ in range(2000):
            client.sendall(b"GET /static/css/base.css HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
    except TimeoutError:
        pass  # nobody reads its questions any more, since nobody takes the answers


def sends_half_of_a_body(server: Started) -> None:
    server.came().sendall(b"POST /plan HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\nabc")


def sends_half_of_a_head(server: Started) -> None:
    server.came().sendall(b"GET / HTTP/1.1\r\nHost: 127.")


def is_asleep_after_an_answer(server: Started) -> None:
    """A phone in a pocket: it will not say goodbye when it is told that the connection ends."""
    client = server.came_over_tls("http/1.1")
    client.sendall(b"GET /health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
    assert client.recv(65_536).startswith(b"HTTP/1.1 200")


@WINDOWS
@pytest.mark.parametrize(
    "does",
    [
        asks_by_http_2_and_reads_nothing,
        asks_by_http_1_and_reads_nothing,
        sends_half_of_a_body,
        sends_half_of_a_head,
        is_asleep_after_an_answer,
    ],
)
def test_a_client_that_does_not_leave_delays_the_end_by_seconds_only(
    server: Started, does: Callable[[Started], None]
) -> None:
    does(server)
    status, took, said = server.stopped()
    assert (status, said) == (0, "")
    assert took < LAST_S + LOADED_S < GRACE_S


STUCK = """
import sys, time
from pathlib import Path
from webapp.machine.settings import Settings
from webapp.server import ending, front, serve
ending.LAST_S, ending.GRACE_S, serve.GRACE_S = 0.2, 1.0, 1.0
def stuck(app, environ):
    print("at work", flush=True)
    time.sleep(300)
front._run = stuck
serve.serve(Settings(data=Path(sys.argv[1])), serve.ServeWanted(port=int(sys.argv[2]), background=False))
"""


@WINDOWS
def test_an_answer_that_takes_for_ever_does_not_keep_a_server_that_is_stopped(tmp_path: Path) -> None:
    port, _ = free_ports()
    command = [sys.executable, "-c", STUCK, str(tmp_path), str(port)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        until = time.monotonic() + 60
        while not answers(port):
            assert time.monotonic() < until
        with closing(socket.create_connection(("127.0.0.1", port), 20)) as client:
            client.sendall(b"GET /week HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            assert process.stdout
            assert any("at work" in line for line in iter(process.stdout.readline, ""))
            process.send_signal(signal.SIGTERM)
            begun = time.monotonic()
            assert process.wait(60) == 0
        assert time.monotonic() - begun < 3 + LOADED_S
        assert process.stderr
        assert "given up" in process.stderr.read()
