"""Collecting garbage stops every thread, the one that answers `/health` too: it is kept short.

What a server has once it has started (modules, routes, templates) stays for ever. To look through all of it whenever
the planner has made many small things took 110 ms of the processor at a time; passed over, it takes 17.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

_NEW = 5000  # things made until the youngest are looked through: the planner makes thousands that are gone at once
_LEFT = 256  # connections that are over until what they left is collected,
_REST_S = 2.0  # and not sooner than that after the last time: who opens and shuts them without end has it done for ever


def settle() -> None:
    """What is there now is passed over from here on."""
    gc.collect()
    gc.freeze()


@contextmanager
def short_stops() -> Iterator[None]:
    """For as long as a server answers."""
    before = gc.get_threshold()
    settle()
    gc.set_threshold(_NEW, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


class Leavings:
    """What connections leave behind when they are over.

    TLS that was never agreed on ends with an error that holds the very frame it came through, and with it some 70 kB of
    the connection. By the number of things that is not much, so it lay about for thousands of such connections.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._over, self._last = 0, float("-inf")

    def one_more(self) -> None:
        """One more is over."""
        self._over += 1
        if self._over >= _LEFT and (now := self._clock()) - self._last >= _REST_S:
            self._over, self._last = 0, now
            gc.collect()
