"""Turns at the threads: one client gets half of them at most, and nobody waits in an endless queue."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

_MOST_WAITING = 32  # for each thread


class Crowded(RuntimeError):  # noqa: N818  # said to the client as 503, not a fault
    """So many wait already that one more would only wait in vain."""


class Fair:
    """Of `threads` places, one client takes `max(1, threads // 2)` at most; the rest of its requests wait."""

    def __init__(self, threads: int) -> None:
        self._each = max(1, threads // 2)
        self._most = threads * _MOST_WAITING
        self._places = asyncio.Semaphore(threads)
        self._clients: dict[str, tuple[asyncio.Semaphore, int]] = {}
        self._inside = 0

    @asynccontextmanager
    async def turn(self, client: str) -> AsyncIterator[None]:
        """Wait for a place, keep it for as long as the block runs. Raises Crowded."""
        own, users = self._clients.get(client) or (asyncio.Semaphore(self._each), 0)
        # One client may fill half of the queue at most, so that there is always room for another.
        if self._inside >= self._most or users >= self._most // 2:
            raise Crowded
        self._clients[client] = own, users + 1
        self._inside += 1
        try:
            async with own, self._places:
                yield
        finally:
            self._inside -= 1
            own, users = self._clients.pop(client)
            if users > 1:
                self._clients[client] = own, users - 1
