"""How a server ends: what is being answered is answered, and whoever takes or sends nothing any more is let go."""

from __future__ import annotations

import asyncio
import signal
from collections import Counter
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

from webapp.server.sockets import BoundSockets, Peer

GRACE_S = 30.0  # what is being answered when the server is stopped has so long to be finished
LAST_S = 5.0  # a client that takes or sends nothing for so long then is let go; so is one that sleeps
_LOOK_S = 0.25  # between looks at who is still there

Trigger = Callable[[], Awaitable[object]]


class StuckError(ConnectionError):
    """A client that takes nothing of what it is sent."""


class ServerEnd:
    """Of one server. Until it ends each client has the time that it is given, from then on `LAST_S` at most."""

    def __init__(self, sockets: BoundSockets | None = None) -> None:
        self._sockets = sockets
        self._begun = False
        self._limits: set[asyncio.Timeout] = set()
        self._answered: Counter[Peer] = Counter()
        self._letting_go: asyncio.Task[None] | None = None
        if sockets:
            sockets.crowd.is_answered = self._answered.__contains__

    @asynccontextmanager
    async def within(self, seconds: float) -> AsyncIterator[None]:
        """For what a client must do. Raises TimeoutError."""
        async with asyncio.timeout(min(seconds, LAST_S) if self._begun else seconds) as limit:
            self._limits.add(limit)
            try:
                yield
            finally:
                self._limits.discard(limit)

    @asynccontextmanager
    async def answering(self, peer: Peer | None) -> AsyncIterator[None]:
        """While this client is being answered its connection is cut only when it is stuck, or `GRACE_S` is over."""
        who = peer or ("", 0)
        self._answered[who] += 1
        try:
            yield
        except StuckError:
            if self._sockets:
                self._sockets.cut(lambda one: one == who)
            raise
        finally:
            self._answered[who] -= 1
            if not self._answered[who]:
                del self._answered[who]
                if self._sockets:
                    self._sockets.crowd.was_answered(who)

    def is_crowded(self, peer: Peer | None) -> bool:
        """Whether this client had better ask over another connection next time."""
        return bool(peer and self._sockets and self._sockets.crowd.is_nearly_full(peer[0]))

    async def wait(self, until: Trigger | None) -> None:
        """Until the end is wanted (without `until`: by a signal). It is begun then."""
        await (until or _signalled)()
        self._begin()
        self._letting_go = asyncio.create_task(self._let_go(self._sockets)) if self._sockets else None

    def over(self) -> None:
        """All have left."""
        if self._letting_go:
            self._letting_go.cancel()

    async def _let_go(self, sockets: BoundSockets) -> None:
        """Cut connections of clients who are not being answered after `LAST_S`, all of them after `GRACE_S`."""
        loop = asyncio.get_running_loop()
        end = loop.time() + GRACE_S
        await asyncio.sleep(LAST_S)
        while loop.time() < end:
            sockets.cut(lambda peer: peer not in self._answered)
            await asyncio.sleep(_LOOK_S)
        sockets.cut(lambda _: True)

    def _begin(self) -> None:
        self._begun = True
        last = asyncio.get_running_loop().time() + LAST_S
        for limit in self._limits:
            limit.reschedule(min(limit.when() or last, last))


async def _signalled() -> None:
    """Until SIGTERM, Ctrl+C, or on Windows Ctrl+Break."""
    over, loop = asyncio.Event(), asyncio.get_running_loop()
    for name in ("SIGINT", "SIGTERM", "SIGBREAK"):
        number = getattr(signal, name, None)
        if number is None:
            continue
        try:
            loop.add_signal_handler(number, over.set)
        except NotImplementedError:  # Windows
            signal.signal(number, lambda *_: loop.call_soon_threadsafe(over.set))
    await over.wait()
