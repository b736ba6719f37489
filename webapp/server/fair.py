"""Turns at the threads: one client gets half of them at most, and nobody waits in an endless queue.

A client is an address, and a household is one too: whoever asks in its name from many addresses gets no more.

What costs the planner's work is answered to one client one after the other, and takes half of the threads at most: more
would not be quicker, and whoever asks for a plain page would wait for it. What the app remembers waits for none of that
(`front`). All whose last dear answer was much work share one place, from however many addresses they come: the others
are for everybody else. Of those who wait the one is next for whom least was worked in the last minutes. Work is time of
the processor: how long an answer took says more of how busy the machine was.
"""

from __future__ import annotations

import asyncio
import itertools
import time
from collections import OrderedDict
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AsyncExitStack, asynccontextmanager, contextmanager
from dataclasses import dataclass

from webapp.kitchens.access import hash_of
from webapp.web.door import KEY_COOKIES

_MOST_WAITING = 32  # for each thread
_LONG_S = 0.5  # of work for a dear answer: an ordinary household's takes less
_LONG_FOR_S = 60.0  # whose answer was much work shares a place with the like for so long
_FORGOTTEN_S = 60.0  # of the work for a client half is left after so long
_MOST_WORKED = 10_000  # clients for whom it is remembered
_MOST_KNOWN = 10_000  # keys of which it is remembered whose they are
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


@dataclass
class Turn:
    """A place that is kept."""

    worked_s: float = 0.0  # of the processor: set by whoever has it


@dataclass(frozen=True)
class _Worked:
    """For one client."""

    at: float
    last_s: float  # at its last dear answer
    in_all_s: float  # at all of them, less what is forgotten

    def left_s(self, now: float) -> float:
        return float(self.in_all_s * 0.5 ** ((now - self.at) / _FORGOTTEN_S))


async def until_called(called: asyncio.Future[None], pass_on: Callable[[], None]) -> None:
    """Wait in a queue; whoever was called and is gone at once passes the turn on."""
    try:
        await called
    except asyncio.CancelledError:
        if called.done() and not called.cancelled():
            pass_on()
        raise


class _LeastFirst:
    """Places; of those who wait, the one for whom least was worked is next."""

    def __init__(self, places: int) -> None:
        self._free = places
        self._waiting: list[tuple[float, int, asyncio.Future[None]]] = []
        self._came = itertools.count()

    @asynccontextmanager
    async def turn(self, worked_s: float) -> AsyncIterator[None]:
        if self._free:
            self._free -= 1
        else:
            called = asyncio.get_running_loop().create_future()
            self._waiting.append((worked_s, next(self._came), called))
            await until_called(called, self._next)
        try:
            yield
        finally:
            self._next()

    def _next(self) -> None:
        while self._waiting:
            first = min(self._waiting)
            self._waiting.remove(first)
            if not (called := first[2]).done():
                called.set_result(None)
                return
        self._free += 1


class Fair:
    """Of `threads` places, one client takes `max(1, threads // 2)` at most; the rest of its requests wait."""

    def __init__(self, threads: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._each = max(1, threads // 2)
        self._most = threads * _MOST_WAITING
        self._places = asyncio.Semaphore(threads)
        self._dear_places = _LeastFirst(self._each)
        self._long_place = _LeastFirst(1)
        self._worked = OrderedDict[str, _Worked]()  # by client
        self._clock = clock
        self._clients: dict[str, _Client] = {}
        self._inside = 0

    @asynccontextmanager
    async def turn(self, *clients: str, dear: bool = False) -> AsyncIterator[Turn]:
        """Wait for a place, keep it for as long as the block runs. `clients`: the address that asks, and in whose name.
        `dear`: it may cost much work. Raises Crowded."""
        # One client may fill half of the queue at most, so that there is always room for another.
        known = [self._clients[one] for one in clients if one in self._clients]
        if self._inside >= self._most or any(
            one.users >= self._most // 2 or (dear and one.dear_users >= _MOST_DEAR) for one in known
        ):
            raise Crowded
        with self._counted(clients, dear) as own:
            async with AsyncExitStack() as turns:
                # Its own turn first: so each client stands in the queue for all with one of its requests alone.
                if dear:
                    await self._dear_turn(turns, clients, own)
                for place in (*(one.places for one in own), self._places):
                    await turns.enter_async_context(place)
                kept = Turn()
                try:
                    yield kept
                finally:
                    if dear:
                        self._note(clients, kept.worked_s)

    @contextmanager
    def _counted(self, clients: tuple[str, ...], dear: bool) -> Iterator[list[_Client]]:
        """They are inside for as long as the block runs."""
        own = []
        for one in clients:
            if one not in self._clients:
                self._clients[one] = _Client(asyncio.Semaphore(self._each), asyncio.Semaphore(1))
            own.append(self._clients[one])
        self._inside += 1
        for client in own:
            client.users += 1
            client.dear_users += dear
        try:
            yield own
        finally:
            self._inside -= 1
            for one, client in zip(clients, own, strict=True):
                client.users -= 1
                client.dear_users -= dear
                if not client.users:
                    del self._clients[one]

    async def _dear_turn(self, turns: AsyncExitStack, clients: tuple[str, ...], own: list[_Client]) -> None:
        for client in own:
            await turns.enter_async_context(client.dear_place)
        now = self._clock()
        known = [self._worked[one] for one in clients if one in self._worked]
        worked_s = max((one.left_s(now) for one in known), default=0.0)
        if any(one.last_s > _LONG_S and now - one.at < _LONG_FOR_S for one in known):
            await turns.enter_async_context(self._long_place.turn(worked_s))
        await turns.enter_async_context(self._dear_places.turn(worked_s))

    def _note(self, clients: tuple[str, ...], worked_s: float) -> None:
        now = self._clock()
        for one in clients:
            before = self._worked.pop(one, None)
            self._worked[one] = _Worked(now, worked_s, worked_s + (before.left_s(now) if before else 0.0))
            if len(self._worked) > _MOST_WORKED:
                self._worked.popitem(last=False)


class Households:
    """In whose name a request is made, by the keys in its cookies: known once the app has answered to such a key."""

    def __init__(self) -> None:
        self._by_key = OrderedDict[str, str]()

    def of(self, cookies: str) -> tuple[str, ...]:
        """The households, each as a client, in an order that is always the same; none before they are known."""
        return tuple(sorted({self._by_key[key] for key in _keys(cookies) if key in self._by_key}))

    def learn(self, cookies: str, household: str) -> None:
        """The app found that they open this household."""
        for key in _keys(cookies):
            self._by_key[key] = f"household {household}"
            self._by_key.move_to_end(key)
            if len(self._by_key) > _MOST_KNOWN:
                self._by_key.popitem(last=False)


def _keys(cookies: str) -> list[str]:
    """Digests of the keys, one of each name at most, as the app reads them."""
    sent = [name_value.partition("=") for name_value in cookies.split(";")]
    found = {name.strip(): value.strip() for name, _, value in reversed(sent)}
    return [hash_of(found[name]) for name in KEY_COOKIES if found.get(name)]
