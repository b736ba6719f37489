"""Many questions over one connection, of either HTTP.

A connection of HTTP/1.1 that is over is over, also when its client has asked for more already: Hypercorn (0.18) waits
for ever for its turn to read the next question then, and with it whoever ends the server. Of HTTP/2 it takes up all
that came at once, of every connection, before anybody else has a turn. And a client that has left without a word it
counts as there until its time for being idle is over.
"""

from __future__ import annotations

import asyncio
from typing import Any
from weakref import WeakKeyDictionary

import h11
import hypercorn.protocol
from hypercorn.asyncio.tcp_server import TCPServer
from hypercorn.events import Event, RawData
from hypercorn.protocol.h2 import H2Protocol
from hypercorn.protocol.h11 import H11Protocol


class OneByOne(H11Protocol):
    """What was asked behind the last answer is thrown away."""

    _over = False

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        if not (self._over and isinstance(event, RawData)):
            await super().handle(event)

    async def _maybe_recycle(self) -> None:
        """After an answer: on to the next question, unless there is to be none."""
        theirs, ours = self.connection.their_state, self.connection.our_state
        if isinstance(self.connection, h11.Connection) and (
            self.context.terminated.is_set() or not theirs is ours is h11.DONE
        ):
            self._over = True
            self.connection = h11.Connection(h11.SERVER)
            self.connection.receive_data(b"")  # nothing follows
        await super()._maybe_recycle()


_TURNS: WeakKeyDictionary[asyncio.AbstractEventLoop, asyncio.Lock] = WeakKeyDictionary()


class InTurns(H2Protocol):
    """In each round of the loop one connection has what it sent read, or one question of it taken up: between those all
    others are heard, the one who asks for `/health` too."""

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        if isinstance(event, RawData):
            await self._turn()
        await super().handle(event)

    async def _create_stream(self, request: Any) -> None:
        await self._turn()
        await super()._create_stream(request)

    async def _turn(self) -> None:
        """First come, first served; a connection waits for one turn at a time, however much it has sent."""
        async with _TURNS.setdefault(asyncio.get_running_loop(), asyncio.Lock()):
            await asyncio.sleep(0)


_read_all = TCPServer._read_data


async def _read_and_leave(self: TCPServer) -> None:
    """All that comes; a client that sends nothing more is not waited for."""
    await _read_all(self)
    await self.idle_task.stop()


def install() -> None:
    """For every connection from now on."""
    setattr(TCPServer, "_read_data", _read_and_leave)  # noqa: B010  # a plain assignment is no type's
    for name, ours in (("H11Protocol", OneByOne), ("H2Protocol", InTurns)):
        setattr(hypercorn.protocol, name, ours)  # a plain assignment is no type's
