"""How a server ends: what is being answered is answered, and whoever takes or sends nothing any more is let go."""

from __future__ import annotations

import asyncio
import signal
import time
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

from webapp.server.sockets import BoundSockets, Peer

GRACE_S = 30.0  # what is being answered when the server is stopped has so long to be finished
LAST_S = 5.0  # a client that takes or sends nothing for so long then is let go; so is one that sleeps
_LOOK_S = 0.25  # between looks at who is still there

Trigger = Callable[[], Awaitable[object]]


class StuckError(ConnectionError):
    """A client that takes nothing of what it is sent."""


class Answering:
    """One request that is being answered: a turn of ours, and turns of its client."""

    def __init__(self, end: ServerEnd) -> None:
        self._end = end
        self.theirs_since: float | None = None  # None while the client waits for us

    @asynccontextmanager
    async def theirs(self, seconds: float) -> AsyncIterator[None]:
        """For what the client must do, and go on doing until it is ours. Raises TimeoutError."""
        if self.theirs_since is None:
            self.theirs_since = time.monotonic()
        async with self._end.within(seconds):
            yield

    def is_ours(self) -> None:
        """From here on the client waits for us."""
        self.theirs_since = None


class ServerEnd:
    """Of one server. Until it ends each client has the time that it is given, from then on `LAST_S` at most."""

    def __init__(self, sockets: BoundSockets | None = None) -> None:
        self._sockets = sockets
        self._begun = False
        self._limits: set[asyncio.Timeout] = set()
        self._answered: dict[Peer, set[Answering]] = {}
        self._letting_go: asyncio.Task[None] | None = None
        if sockets:
            sockets.crowd.is_answered = self._answered.__contains__
            sockets.crowd.keeps_us_s = self._keeps_us_s

    @property
    def is_begun(self) -> bool:
        """Whether no more is begun that takes long."""
        return self._begun

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
    async def answering(self, peer: Peer | None) -> AsyncIterator[Answering]:
        """While this client is being answered its connection is cut only when it is stuck, when it keeps a place that
        somebody else wants, or `GRACE_S` is over."""
        who, turn = peer or ("", 0), Answering(self)
        turns = self._answered.setdefault(who, set())
        turns.add(turn)
        try:
            yield turn
        except StuckError:
            if self._sockets:
                self._sockets.cut(lambda one: one == who)
            raise
        finally:
            turns.discard(turn)
            if not turns:
                del self._answered[who]
                if self._sockets:
                    self._sockets.crowd.was_answered(who)

    def _keeps_us_s(self, peer: Peer) -> float:
        """For how long everything that is being answered over this connection has waited for its client."""
        since = [turn.theirs_since for turn in self._answered.get(peer, ())]
        told = [one for one in since if one is not None]
        return time.monotonic() - max(told) if told and len(told) == len(since) else 0.0

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
