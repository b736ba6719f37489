"""A server in a thread of the test: the real sockets, the real front, stopped at the end as a signal would."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from webapp.machine.settings import Settings
from webapp.server.serve import House, ServeWanted


@dataclass
class Stopper:
    """Called from the test, heard by the server's own loop."""

    loop: asyncio.AbstractEventLoop | None = None
    over: asyncio.Event | None = None
    heard: threading.Event = field(default_factory=threading.Event)
    ending: threading.Event = field(default_factory=threading.Event)

    async def __call__(self) -> None:
        self.loop, self.over = asyncio.get_running_loop(), asyncio.Event()
        self.heard.set()
        await self.over.wait()
        self.ending.set()

    def stop(self) -> None:
        assert self.heard.wait(20)
        assert self.loop
        assert self.over
        self.loop.call_soon_threadsafe(self.over.set)


@dataclass(frozen=True)
class Running:
    """`plain` and `secure` are addresses without a slash at the end."""

    house: House
    stopper: Stopper
    thread: threading.Thread

    @property
    def plain(self) -> str:
        return f"http://127.0.0.1:{self.house.sockets.port}"

    @property
    def secure(self) -> str:
        return f"https://127.0.0.1:{self.house.sockets.secure_port}"

    def stop(self) -> None:
        """Ask for the end and wait for it."""
        if self.thread.is_alive():
            self.stopper.stop()
            self.thread.join(60)
        assert not self.thread.is_alive()


@contextmanager
def running(settings: Settings, wanted: ServeWanted | None = None) -> Iterator[Running]:
    """The server, answering."""
    stopper = Stopper()
    with House(settings, wanted or ServeWanted(port=0, secure_port=0)) as house:
        thread = threading.Thread(target=house.run, args=(stopper,))
        thread.start()
        assert stopper.heard.wait(20)
        run = Running(house, stopper, thread)
        try:
            yield run
        finally:
            run.stop()
