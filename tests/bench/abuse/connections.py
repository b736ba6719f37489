"""What connections can do that ask for nothing in earnest, or for the same without end, each kind by itself.

    .venv/bin/python -m tests.bench.abuse.connections [SECONDS [postgresql] [KIND...]]

A server with `--phone` (https beside http); one address at a time holds as many connections of a kind as it can get,
400 of most, and goes on for so long (8 s each); `slow_of_four` are 1,200 from four addresses, more than there are
places for. At the end all kinds at once, each from an address of its own. Printed
for each: `/health` and somebody else's plain page in the middle and at worst, how often either was refused, the memory
then, and how long the log is. A bare server in a process of its own, asked in the same run, tells what the machine
itself makes others wait. With `postgresql` the kitchen lies in a server of the tests' own.
"""

from __future__ import annotations

import asyncio
import itertools
import logging
import multiprocessing
import os
import socket
import ssl
import statistics
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from contextlib import ExitStack, closing, suppress
from pathlib import Path

import h2.connection
import h2.settings
import httpx

from tests.bench.abuse.__main__ import a_bare_server, log_of, memory_mb, started
from tests.databases import new_postgres
from tests.postgres_server import PostgresServer

_NEXT = itertools.count()
_MANY = 400  # connections that one tries to hold
_HEAD = "Host: 127.0.0.1\r\nSec-Fetch-Site: same-origin\r\n"
_HELLO = bytes.fromhex("16030100c8010000c40303") + bytes(40)  # the beginning of a TLS handshake (RFC 8446, 4.1.2)
Way = tuple[asyncio.StreamReader, asyncio.StreamWriter]


class One:
    """Who abuses a server, at an address of its own."""

    def __init__(self, ports: tuple[int, int], source: str) -> None:
        self.plain, self.secure = ports
        self.source = source

    async def way(self, secure: bool = False, speaks: str = "") -> Way:
        """A connection; with `speaks` over TLS."""
        tls = None
        if speaks:
            tls = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
            tls.check_hostname, tls.verify_mode = False, ssl.CERT_NONE
            tls.set_alpn_protocols([speaks])
        port = self.secure if secure or speaks else self.plain
        return await asyncio.open_connection("127.0.0.1", port, local_addr=(self.source, 0), ssl=tls)

    async def _drips(self, way: Way, begun: bytes, drop: bytes) -> None:
        reader, writer = way
        writer.write(begun)
        while not reader.at_eof():
            writer.write(drop)
            await writer.drain()
            await asyncio.sleep(1)
        writer.close()

    async def begun_lines(self) -> None:
        """A head whose last line never ends."""
        await self._drips(await self.way(), f"GET / HTTP/1.1\r\n{_HEAD}X-Long: ".encode(), b"x")

    async def slow_bodies(self) -> None:
        """A form that arrives a byte a second."""
        begun = f"POST /plan HTTP/1.1\r\n{_HEAD}Content-Length: 90000\r\n\r\n".encode()
        await self._drips(await self.way(), begun, b"x")

    async def slow_of_four(self) -> None:
        """The same from four addresses."""
        self.source = f"127.0.4.{2 + next(_NEXT) % 4}"
        await self.slow_bodies()

    async def half_open(self) -> None:
        """TLS that is begun, a byte a second."""
        await self._drips(await self.way(secure=True), _HELLO, b"\0")

    async def silent(self) -> None:
        """TLS of which nothing is said."""
        reader, writer = await self.way(secure=True)
        await reader.read()
        writer.close()

    async def handshakes(self) -> None:
        """TLS that is opened and shut, without end: the dearest that a connection can ask for."""
        _, writer = await self.way(speaks="h2")
        writer.close()

    def _talk(self) -> h2.connection.H2Connection:
        talk = h2.connection.H2Connection()
        talk.initiate_connection()
        return talk

    def _ask(self, talk: h2.connection.H2Connection, stream: int, path: str = "/") -> None:
        head = [(":method", "GET"), (":path", path), (":scheme", "https"), (":authority", "127.0.0.1")]
        talk.send_headers(stream, head, end_stream=True)

    async def streams(self) -> None:
        """Sixty-four questions at once over HTTP/2, and nothing of the answers is taken."""
        _, writer = await self.way(speaks="h2")
        talk = self._talk()
        talk.update_settings({h2.settings.SettingCodes.INITIAL_WINDOW_SIZE: 0})
        for stream in range(1, 129, 2):
            self._ask(talk, stream)
        writer.write(talk.data_to_send())
        await asyncio.sleep(60)
        writer.close()

    async def resets(self) -> None:
        """A question that is taken back as soon as it is asked, without end (RFC 9113, 10.5)."""
        _, writer = await self.way(speaks="h2")
        talk = self._talk()
        for stream in range(1, 20_001, 2):
            self._ask(talk, stream, "/more")
            talk.reset_stream(stream)
            if stream % 100 == 1:
                writer.write(talk.data_to_send())
                await writer.drain()
        writer.close()

    async def pings(self) -> None:
        """Frames that want an answer each, which nobody takes (RFC 9113, 10.5)."""
        _, writer = await self.way(speaks="h2")
        talk = self._talk()
        for _ in range(200):
            for number in range(200):
                talk.ping(number.to_bytes(8, "big"))
            writer.write(talk.data_to_send())
            await writer.drain()
        writer.close()

    async def in_a_row(self) -> None:
        """A thousand questions over HTTP/1.1 at once, and nothing of the answers is taken."""
        _, writer = await self.way()
        writer.write(f"GET /more HTTP/1.1\r\n{_HEAD}\r\n".encode() * 1000)
        await asyncio.sleep(60)
        writer.close()

    async def junk(self) -> None:
        """Bytes that are nothing, over one connection after the other."""
        _, writer = await self.way()
        writer.write(b"\x00\xff" * 100_000)
        writer.close()

    async def left(self) -> None:
        """Four hundred questions, and gone before one of them is answered, again and again."""
        _, writer = await self.way()
        writer.write(f"GET /health/live HTTP/1.1\r\n{_HEAD}\r\n".encode() * 400)
        writer.close()

    async def many_heads(self) -> None:
        """A head of lines without end."""
        _, writer = await self.way()
        writer.write(f"GET /more HTTP/1.1\r\n{_HEAD}".encode())
        for number in range(100_000):
            writer.write(f"X-{number}: {'x' * 60}\r\n".encode())
            await writer.drain()
        writer.close()


# How many of each at a time.
KINDS = {
    "begun_lines": _MANY, "slow_bodies": _MANY, "slow_of_four": 3 * _MANY, "half_open": _MANY,
    "silent": _MANY, "handshakes": 8, "streams": 100, "resets": 4, "pings": 4, "in_a_row": 100, "junk": 16,
    "left": 16, "many_heads": 16,
}  # fmt: skip


async def _again(job: Callable[[], Awaitable[object]]) -> None:
    while True:
        try:
            await job()
        except (OSError, EOFError):
            await asyncio.sleep(0.1)


def at_work(ports: tuple[int, int], kinds: tuple[str, ...], seconds: float) -> None:
    """Each kind from an address of its own, for so long."""
    os.nice(10)  # in truth they are other machines

    async def all_of_them() -> None:
        jobs = [
            _again(getattr(One(ports, f"127.0.3.{2 + number}"), kind))
            for number, kind in enumerate(kinds)
            for _ in range(KINDS[kind])
        ]
        with suppress(TimeoutError):
            await asyncio.wait_for(asyncio.gather(*jobs), seconds)

    logging.disable()  # asyncio has much to say of connections that were shut
    asyncio.run(all_of_them())


def noticed(urls: dict[str, str], seconds: float) -> str:
    """How long each took at worst, asked for in turn for so long."""
    took: dict[str, list[float]] = {name: [] for name in urls}
    refused, until = 0, time.monotonic() + seconds
    with httpx.Client(timeout=60, headers={"Connection": "close"}) as client:
        while time.monotonic() < until:
            for name, url in urls.items():
                begun = time.perf_counter()
                try:
                    refused += client.get(url).status_code not in (200, 501)
                except httpx.TransportError:
                    refused += 1
                took[name].append(time.perf_counter() - begun)
            time.sleep(0.05)
    each = (f"{name} {statistics.median(one) * 1000:.0f}, {max(one) * 1000:.0f}" for name, one in took.items())
    return f"{'; '.join(each)} ms; refused {refused}"


def main() -> None:
    """Measure and print."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 8.0
    with ExitStack() as stack:
        data = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        bare = stack.enter_context(a_bare_server())
        if "postgresql" in sys.argv:
            database = stack.enter_context(closing(PostgresServer()))
            database.start()
            os.environ["SUPPERTIDE_DATABASE"] = new_postgres(database.address).replace(
                "postgresql:", "postgresql+psycopg:"
            )
        with socket.create_server(("127.0.0.1", 0)) as free:
            secure = free.getsockname()[1]
        process, url = started(data, "--phone", "--secure-port", str(secure))
        stack.callback(process.wait)
        stack.callback(process.kill)
        urls = {"bare": bare, "/health": f"{url}/health", "/more": f"{url}/more"}
        print("middle and worst of each, in peace:")
        print(f"  {noticed(urls, 4)}; memory {memory_mb(process):.0f} MB")
        named = tuple(kind for kind in KINDS if kind in sys.argv)
        for kinds in [(kind,) for kind in named or KINDS] + ([] if named else [tuple(KINDS)]):
            ports = int(url.rpartition(":")[2]), secure
            them = multiprocessing.Process(target=at_work, args=(ports, kinds, seconds + 2))
            them.start()
            time.sleep(2)
            said = noticed(urls, seconds)
            name = kinds[0] if len(kinds) == 1 else "all at once"
            log_kb = log_of(data).stat().st_size / 1000
            print(f"  {name:12} {said}; memory {memory_mb(process):.0f} MB, log {log_kb:.0f} kB", flush=True)
            them.join()


if __name__ == "__main__":
    main()
