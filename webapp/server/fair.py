"""Turns at the threads: one client gets half of them at most, and nobody waits in an endless queue.

A client is an address, and a household is one too: whoever asks in its name from many addresses gets no more.

What costs the planner's work is answered to one client one after the other, and takes half of the threads at most: more
would not be quicker, and whoever asks for a plain page would wait for it. All whose last dear answer took long
share one place, from however many addresses they come: the others are for everybody else.
"""

from __future__ import annotations

import asyncio
import time
from collections import OrderedDict
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AsyncExitStack, asynccontextmanager, contextmanager
from dataclasses import dataclass

from webapp.kitchens.access import hash_of

_MOST_WAITING = 32  # for each thread
KEY_COOKIES = ("__Host-suppertide", "suppertide")  # `cookie_name` in webapp/web/door.py
_LONG_S = 0.5  # a dear answer: an ordinary household's takes less, on a machine that is not busy
_LONG_FOR_S = 60.0  # whose answer took long shares a place with the like for so long
_MOST_LONG = 10_000  # of those are remembered
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
    async def turn(self, *clients: str, dear: bool = False) -> AsyncIterator[None]:
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
                dear_places = self._dear(clients, own) if dear else ()
                for place in (*dear_places, *(one.places for one in own), self._places):
                    await turns.enter_async_context(place)
                begun = self._clock()
                try:
                    yield
                finally:
                    if dear:
                        self._note(clients, begun)

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

    def _dear(self, clients: tuple[str, ...], own: list[_Client]) -> tuple[asyncio.Semaphore, ...]:
        """The places that a dear answer of these needs, in this order."""
        now = self._clock()
        took_long = any(now - self._long.get(one, float("-inf")) < _LONG_FOR_S for one in clients)
        return (*(one.dear_place for one in own), *((self._long_place,) if took_long else ()), self._dear_places)

    def _note(self, clients: tuple[str, ...], begun: float) -> None:
        """Remember how long their answer took."""
        now = self._clock()
        for one in clients:
            self._long.pop(one, None)
            if now - begun > _LONG_S:
                self._long[one] = now
                if len(self._long) > _MOST_LONG:
                    self._long.popitem(last=False)


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
