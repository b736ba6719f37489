"""Many questions over one connection, of either HTTP.

A connection of HTTP/1.1 that is over is over, also when its client has asked for more already: Hypercorn (0.18) waits
for ever for its turn to read the next question then, and with it whoever ends the server. To a client that has left it
goes on answering what that had asked, a thousand pages for one packet. Of HTTP/2 it takes up all that came at once, of
every connection, before anybody else has a turn, and fails where it has ended one meanwhile; of one that is sent away
it does not say which questions were heard. And a client that has left without a word it counts as there until its time
for being idle is over.
"""

from __future__ import annotations

import asyncio
from typing import Any
from weakref import WeakKeyDictionary, WeakValueDictionary

import h11
import hypercorn.protocol
from h2.exceptions import ProtocolError
from hypercorn.asyncio.tcp_server import TCPServer
from hypercorn.events import Closed, Event, RawData
from hypercorn.protocol.h2 import H2Protocol
from hypercorn.protocol.h11 import H11Protocol

from webapp.server.sockets import OneInside, Peer

_LEAVE_S = 1.0  # to take the word that it is over


_TURNS: WeakKeyDictionary[asyncio.AbstractEventLoop, asyncio.Lock] = WeakKeyDictionary()


async def _turn() -> None:
    """First come, first served; a connection waits for one turn at a time, however much it has sent."""
    async with _TURNS.setdefault(asyncio.get_running_loop(), asyncio.Lock()):
        await asyncio.sleep(0)


class OneByOne(H11Protocol):
    """What was asked behind the last answer is thrown away, and so is what was asked by a client that has left."""

    _over = _left = False

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        self._left = self._left or isinstance(event, Closed)
        if not (self._over and isinstance(event, RawData)):
            await super().handle(event)

    async def _maybe_recycle(self) -> None:
        """After an answer: on to the next question, unless there is to be none."""
        if isinstance(self.connection, h11.Connection) and self.connection.trailing_data[0]:
            await _turn()  # the next question is there: between two of those everybody else is heard
        theirs, ours = self.connection.their_state, self.connection.our_state
        if isinstance(self.connection, h11.Connection) and (
            self._left or self.context.terminated.is_set() or not theirs is ours is h11.DONE
        ):
            self._over = True
            self.connection = h11.Connection(h11.SERVER)
            self.connection.receive_data(b"")  # nothing follows
        await super()._maybe_recycle()


class InTurns(H2Protocol):
    """In each round of the loop one connection has what it sent read, or one question of it taken up: between those all
    others are heard, the one who asks for `/health` too."""

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        if isinstance(event, RawData):
            await _turn()
        try:
            await super().handle(event)
        except ProtocolError:  # something of it was refused, over a connection that is over by our own word already
            await self.send(Closed())

    async def initiate(self, *first: Any, **more: Any) -> None:
        """It begins."""
        if self.client:
            _TALKS[self.client] = self
        await super().initiate(*first, **more)

    async def leave(self) -> None:
        """It is over: a question that was not heard may be asked again (GOAWAY, RFC 9113, 6.8)."""
        self.connection.close_connection()
        await self._flush()
        await self.send(Closed())

    async def _create_stream(self, request: Any) -> None:
        await _turn()
        await super()._create_stream(request)


_TALKS: WeakValueDictionary[Peer, InTurns] = WeakValueDictionary()
_LEAVING = set[asyncio.Task[None]]()


def send_away(one: OneInside) -> None:
    """End a connection that nothing is asked over, in the words of HTTP where it has some for that."""
    if talk := _TALKS.get(one.peer):
        loop = asyncio.get_running_loop()
        leaving = loop.create_task(talk.leave())
        _LEAVING.add(leaving)
        leaving.add_done_callback(_LEAVING.discard)
        loop.call_later(_LEAVE_S, one.hang_up)
    else:
        one.hang_up()


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
