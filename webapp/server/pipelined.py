"""Many questions over one connection, of either HTTP.

A connection of HTTP/1.1 that is over is over, also when its client has asked for more already: Hypercorn (0.18) waits
for ever for its turn to read the next question then, and with it whoever ends the server. To a client that has left it
goes on answering what that had asked, a thousand pages for one packet. Of HTTP/2 it takes up all that came at once, of
every connection, before anybody else has a turn, and fails where it has ended one meanwhile; frames that ask for
nothing it answers without end; a piece of a form whose answer is sent already, and a head that is not ASCII, break it;
of one that is sent away it does not say which questions were heard. And a client that
has left without a word it counts as there until its time for being idle is over.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict, deque
from typing import Any
from weakref import WeakKeyDictionary, WeakValueDictionary

import h2.events
import h11
import hypercorn.protocol
from h2.errors import ErrorCodes
from h2.exceptions import ProtocolError
from hypercorn.asyncio.tcp_server import TCPServer
from hypercorn.events import Closed, Event, RawData
from hypercorn.protocol.h2 import H2Protocol
from hypercorn.protocol.h11 import H11Protocol

from webapp.server.fair import until_called
from webapp.server.sockets import OneInside, Peer

_LEAVE_S = 1.0  # to take the word that it is over
_READ_AT_ONCE = 8192  # bytes of what came: thousands of frames may be in what the system hands over
_TALK = 200  # frames that ask for nothing may come over a connection,
_TALK_A_QUESTION = 20  # and so many more for each question that was asked,
_BYTES_A_WORD = 256  # and one for so many bytes that were sent: a reader says how much more it has room for
_SMALL = 64  # a piece of a body that is shorter asks for nothing either


class _Turns:
    """In each round of the loop one of those who wait goes on, and of all addresses that have some who wait each is as
    often: an address that sends without end, over however many connections, is one of them."""

    def __init__(self) -> None:
        self._waiting = OrderedDict[str, deque[asyncio.Future[None]]]()
        self._is_taken = False

    async def one(self, client: Peer | None) -> None:
        """Wait for it; a connection waits for one turn at a time, however much it has sent."""
        if self._is_taken:
            called = asyncio.get_running_loop().create_future()
            self._waiting.setdefault(client[0] if client else "", deque()).append(called)
            await until_called(called, self._next)
        self._is_taken = True
        try:
            await asyncio.sleep(0)
        finally:
            self._next()

    def _next(self) -> None:
        self._is_taken = False
        while self._waiting and not self._is_taken:
            host, those = self._waiting.popitem(last=False)
            if not (called := those.popleft()).done():
                called.set_result(None)
                self._is_taken = True
            if those:
                self._waiting[host] = those


_TURNS: WeakKeyDictionary[asyncio.AbstractEventLoop, _Turns] = WeakKeyDictionary()


async def _turn(client: Peer | None) -> None:
    loop = asyncio.get_running_loop()
    if loop not in _TURNS:
        _TURNS[loop] = _Turns()
    await _TURNS[loop].one(client)


class OneByOne(H11Protocol):
    """What was asked behind the last answer is thrown away, and so is what was asked by a client that has left."""

    _over = _left = False

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        self._left = self._left or isinstance(event, Closed)
        if isinstance(event, RawData) and not self._over:
            await _turn(self.client)
        if not (self._over and isinstance(event, RawData)):
            await super().handle(event)

    async def _maybe_recycle(self) -> None:
        """After an answer: on to the next question, unless there is to be none."""
        if isinstance(self.connection, h11.Connection) and self.connection.trailing_data[0]:
            await _turn(self.client)  # the next question is there: between two of those everybody else is heard
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
    others are heard, the one who asks for `/health` too. Whoever talks on and asks for nothing is sent away."""

    _talked = _sent = _asked = 0
    _is_over = False

    async def handle(self, event: Event) -> None:
        """What came, or that the client has left."""
        if not isinstance(event, RawData):
            await self._heard(event)
            return
        for at in range(0, len(event.data), _READ_AT_ONCE):
            await _turn(self.client)
            if self._is_over or self.closed:
                break
            await self._heard(RawData(data=event.data[at : at + _READ_AT_ONCE]))

    async def _heard(self, event: Event) -> None:
        try:
            await super().handle(event)
        except ProtocolError:  # something of it was refused, over a connection that is over by our own word already
            await self.send(Closed())

    async def _handle_events(self, events: list[h2.events.Event]) -> None:
        self._talked += sum(map(_asks_nothing, events))
        if self._talked > _TALK + _TALK_A_QUESTION * self._asked + self._sent // _BYTES_A_WORD:
            self._is_over = True
            self.connection.close_connection(ErrorCodes.ENHANCE_YOUR_CALM)  # RFC 9113, 10.5
            await self._flush()
            await self.send(Closed())
        else:
            await super()._handle_events(events)

    async def _flush(self) -> None:
        if data := self.connection.data_to_send():
            self._sent += len(data)
            await self.send(RawData(data=data))

    async def initiate(self, *first: Any, **more: Any) -> None:
        """It begins."""
        if self.client:
            _TALKS[self.client] = self
        self.streams = _Heard()
        await super().initiate(*first, **more)

    async def leave(self) -> None:
        """It is over: a question that was not heard may be asked again (GOAWAY, RFC 9113, 6.8)."""
        self.connection.close_connection()
        await self._flush()
        await self.send(Closed())

    async def _create_stream(self, request: Any) -> None:
        await _turn(self.client)
        self._asked += 1
        head = dict(request.headers)
        if all(head.get(name, b"").isascii() for name in (b":method", b":path")):
            await super()._create_stream(request)
        else:  # malformed (RFC 9113, 8.1.1)
            self.connection.reset_stream(request.stream_id, ErrorCodes.PROTOCOL_ERROR)


class _Heard(dict[int, Any]):
    """Questions by their numbers; of one that is over nothing more is heard."""

    def __missing__(self, _: int) -> _Over:
        return _OVER


class _Over:
    async def handle(self, _: Event) -> None:
        """What still comes of it is thrown away."""


_OVER = _Over()


def _asks_nothing(event: h2.events.Event) -> bool:
    if isinstance(event, h2.events.DataReceived):
        return len(event.data or b"") < _SMALL and event.stream_ended is None
    return isinstance(event, _TALKING)


_TALKING = (
    h2.events.PingReceived,
    h2.events.PingAckReceived,
    h2.events.PriorityUpdated,
    h2.events.RemoteSettingsChanged,
    h2.events.SettingsAcknowledged,
    h2.events.StreamReset,
    h2.events.UnknownFrameReceived,
    h2.events.WindowUpdated,
)


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
