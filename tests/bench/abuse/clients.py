"""Clients that abuse a server: each comes from an address of its own, and goes on until it is ended."""

from __future__ import annotations

import asyncio
import itertools
import os
import random
from collections import Counter
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress
from datetime import date, timedelta
from urllib.parse import urlencode

import h2.connection
import h2.events

Door = tuple[asyncio.StreamReader, asyncio.StreamWriter]
_HEAD = "Host: 127.0.0.1\r\nSec-Fetch-Site: same-origin\r\n"
_OPEN = 60  # connections that a slow client holds
_TOGETHER = 4  # requests that a greedy one has on their way


class Abuser:
    """One client at `source`; `said` counts what it was answered, by status."""

    def __init__(self, port: int, source: str, said: Counter[str]) -> None:
        self.port, self.source, self.said = port, source, said
        self.draw = random.Random(source)

    async def door(self) -> Door:
        return await asyncio.open_connection("127.0.0.1", self.port, local_addr=(self.source, 0))

    async def held(self, begun: str, drop: bytes) -> None:
        """A connection over which one byte comes each second."""
        reader, writer = await self.door()
        writer.write(begun.encode())
        while not reader.at_eof():
            writer.write(drop)
            await writer.drain()
            with suppress(TimeoutError):
                if not await asyncio.wait_for(reader.read(4096), 1):
                    break
        writer.close()

    async def asked(self, method: str, path: str, more: str = "", body: str = "") -> str:
        """The whole answer."""
        reader, writer = await self.door()
        sized = f"Content-Length: {len(body)}\r\nContent-Type: application/x-www-form-urlencoded\r\n" if body else ""
        writer.write(f"{method} {path} HTTP/1.1\r\n{_HEAD}{more}{sized}Connection: close\r\n\r\n{body}".encode())
        text = (await reader.read()).decode("utf-8", "replace")
        writer.close()
        self.said[f"{method} {text[9:12]}"] += 1
        return text

    async def slow_heads(self) -> None:
        await self.at_once(_OPEN, lambda: self.held(f"GET / HTTP/1.1\r\n{_HEAD}X-Long: ", b"x"))

    async def slow_bodies(self) -> None:
        begun = f"POST /plan HTTP/1.1\r\n{_HEAD}Content-Length: 100000\r\n\r\n"
        await self.at_once(_OPEN, lambda: self.held(begun, b"x"))

    async def half_open(self) -> None:
        async def nothing() -> None:
            reader, writer = await self.door()
            await reader.read()
            writer.close()

        await self.at_once(200, nothing)

    async def unread(self) -> None:
        """HTTP/2 without TLS, by prior knowledge (RFC 9113, 3.3): sixty-four pages at once, none of them read."""

        async def streams() -> None:
            _, writer = await self.door()
            spoken = h2.connection.H2Connection()
            spoken.initiate_connection()
            for stream in range(1, 129, 2):
                head = [(":method", "GET"), (":path", "/"), (":scheme", "http"), (":authority", "127.0.0.1")]
                spoken.send_headers(stream, head, end_stream=True)
            writer.write(spoken.data_to_send())
            await asyncio.sleep(90)
            writer.close()

        await self.at_once(8, streams)

    async def dear_gets(self) -> None:
        """A new supper each time: nothing is remembered of it."""

        async def one() -> None:
            minute = self.draw.randrange(0, 60, 5)
            at = f"{self.draw.randrange(12, 22)}:{minute:02d}"
            await self.asked("GET", self.draw.choice([f"/week?at={at}", f"/?at={at}"]))

        await self.at_once(_TOGETHER, one)

    async def dear_posts(self) -> None:
        """The form of all questions, planned anew each time."""
        page = await self.asked("GET", "/plan")
        cookie = page.split("Set-Cookie: ")[-1] if "Set-Cookie: " in page else page.split("set-cookie: ")[-1]
        more = f"Cookie: {cookie.split(';')[0]}\r\nAccept-Encoding: identity\r\n"
        token = page.split('name="csrf_token"')[1].split('value="')[1].split('"')[0]

        async def one() -> None:
            evening = f"{date.today() + timedelta(days=self.draw.randrange(1, 4))}"
            when, pans = f"{self.draw.randrange(18, 22)}:30", str(self.draw.randrange(1, 4))
            answers = {"csrf_token": token, "formula_key": "bench-tray", "hours": "usual", "day": evening, "at": when}
            await self.asked("POST", "/plan", more, urlencode(answers | {"pan-oven-tray": pans}))

        await self.at_once(_TOGETHER, one)

    async def greedy(self) -> None:
        await self.at_once(_TOGETHER, lambda: self.asked("GET", self.draw.choice(["/more", "/book", "/larder"])))

    async def too_long(self) -> None:
        """Bodies of ten megabytes for a form."""
        body = "a=" + "x" * 10_000_000
        await self.at_once(2, lambda: self.asked("POST", "/plan", body=body))

    async def at_once(self, count: int, job: Callable[[], Awaitable[object]]) -> None:
        """So many side by side, each begun anew when it ends."""

        async def again() -> None:
            while True:
                try:
                    await job()
                except OSError:
                    self.said["refused"] += 1
                    await asyncio.sleep(0.2)

        async with asyncio.TaskGroup() as all_of_them:
            for _ in range(count):
                all_of_them.create_task(again())


KINDS = ("slow_heads", "slow_bodies", "half_open", "unread", "dear_gets", "dear_posts", "greedy", "too_long")


PLANNERS = ("dear_gets", "dear_posts")


def sixteen(port: int, seconds: float, kinds: Sequence[str] = KINDS) -> None:
    """As many of each kind, for so long. Prints what they were answered."""
    os.nice(10)  # in truth they are other machines: theirs is not the time of the server's processor
    said: Counter[str] = Counter()

    async def all_of_them() -> None:
        clients = zip(itertools.islice(itertools.cycle(kinds), 16), range(2, 18), strict=True)
        tasks = [getattr(Abuser(port, f"127.0.1.{number}", said), kind)() for kind, number in clients]
        with suppress(TimeoutError):
            await asyncio.wait_for(asyncio.gather(*tasks), seconds)

    asyncio.run(all_of_them())
    print("  they were answered:", dict(sorted(said.items())), flush=True)
