"""Turns at the threads: one client gets half of them at most, and nobody waits in an endless queue.

What costs the planner's work is answered to one client one after the other, and takes half of the threads at most: more
would not be quicker, and whoever asks for a plain page would wait for it. All whose last dear answer took long
share one place, from however many addresses they come: the others are for everybody else.
"""

from __future__ import annotations

import asyncio
import time
from collections import OrderedDict
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack, asynccontextmanager
from dataclasses import dataclass

_MOST_WAITING = 32  # for each thread
_LONG_S = 0.5  # a dear answer: an ordinary household's takes less, on a machine that is not busy
_LONG_FOR_S = 60.0  # whose answer took long shares a place with the like for so long
_MOST_LONG = 10_000  # of those are remembered
_MOST_DEAR = 16  # of one client inside: more than the phones of a household ask for together


class Crowded(RuntimeError):  # noqa: N818  # said to the client as 503, not a fault
    """So many wait already that one more would only wait in vain."""


@dataclass
class _Client:
    """One of those who ask: its places, and how many of its requests are inside."""

    places: asyncio.Semaphore
    dear_place: asyncio.Semaphore
    users: int = 0
    dear_users: int = 0


class Fair:
    """Of `threads` places, one client takes `max(1, threads // 2)` at most; the rest of its requests wait."""

    def __init__(self, threads: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._each = max(1, threads // 2)
        self._most = threads * _MOST_WAITING
        self._places = asyncio.Semaphore(threads)
        self._dear_places = asyncio.Semaphore(self._each)
        self._long_place = asyncio.Semaphore(1)
        self._long = OrderedDict[str, float]()  # by client, when its answer took long
        self._clock = clock
        self._clients: dict[str, _Client] = {}
        self._inside = 0

    @asynccontextmanager
    async def turn(self, client: str, dear: bool = False) -> AsyncIterator[None]:
        """Wait for a place, keep it for as long as the block runs. `dear`: it may cost much work. Raises Crowded."""
        own = self._clients.get(client) or _Client(asyncio.Semaphore(self._each), asyncio.Semaphore(1))
        # One client may fill half of the queue at most, so that there is always room for another.
        if self._inside >= self._most or own.users >= self._most // 2 or (dear and own.dear_users >= _MOST_DEAR):
            raise Crowded
        self._clients[client] = own
        own.users += 1
        own.dear_users += dear
        self._inside += 1
        try:
            async with AsyncExitStack() as turns:
                # Its own turn first: so each client stands in the queue for all with one of its requests alone.
                for place in (*(self._dear(client, own) if dear else ()), own.places, self._places):
                    await turns.enter_async_context(place)
                begun = self._clock()
                try:
                    yield
                finally:
                    if dear:
                        self._note(client, begun)
        finally:
            self._inside -= 1
            own.users -= 1
            own.dear_users -= dear
            if not own.users:
                del self._clients[client]

    def _dear(self, client: str, own: _Client) -> tuple[asyncio.Semaphore, ...]:
        """The places that a dear answer of this client needs, in this order."""
        took_long = self._clock() - self._long.get(client, float("-inf")) < _LONG_FOR_S
        return (own.dear_place, *((self._long_place,) if took_long else ()), self._dear_places)

    def _note(self, client: str, begun: float) -> None:
        """Remember how long its answer took."""
        now = self._clock()
        self._long.pop(client, None)
        if now - begun > _LONG_S:
            self._long[client] = now
            if len(self._long) > _MOST_LONG:
                self._long.popitem(last=False)
