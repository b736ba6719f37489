"""Collecting garbage stops every thread, the one that answers `/health` too: it is kept short.

What a server has once it has started (modules, routes, templates) stays for ever. To look through all of it whenever
the planner has made many small things took 110 ms of the processor at a time; passed over, it takes 17.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_NEW = 5000  # things made until the youngest are looked through: the planner makes thousands that are gone at once


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
