"""Whether a name of ours leads to somebody's home or to the internet: told by what it stands for, not by how it ends.

A page asks this, so it waits a moment at most: a name that nobody answers for in time is judged by itself.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from queue import Empty, SimpleQueue

from webapp.machine.home_names import HOME_SUFFIXES, address_in
from webapp.machine.net_guard import Resolve, is_public, resolve

_WAIT_S = 1.0
_KEPT_S = 600.0
_MOST_KEPT = 64


class Reach:
    """Asks each name once in ten minutes, and never for two names at once."""

    def __init__(self, ask: Resolve = resolve, clock: Callable[[], float] = time.monotonic) -> None:
        self._ask, self._clock = ask, clock
        self._known: dict[str, tuple[float, bool]] = {}
        self._asking = threading.Lock()

    def is_at_home(self, host: str) -> bool:
        """Whether only this house's network reaches that host ("name", "name:port", "[address]:port")."""
        name = _name_of(host)
        until, known = self._known.get(name, (0.0, False))
        if self._clock() < until:
            return known
        addresses = self._addresses(name)
        if addresses is None:
            return _judged(name, [])  # it was not asked: nothing to keep
        answer = _judged(name, addresses)
        while len(self._known) >= _MOST_KEPT:
            self._known.pop(next(iter(self._known)))
        self._known[name] = (self._clock() + _KEPT_S, answer)
        return answer

    def _addresses(self, name: str) -> list[str] | None:
        """What the name stands for; [] when nobody says so in time, None while another name is being asked for."""
        if address_in(name):
            return [name]
        if not self._asking.acquire(blocking=False):
            return None
        told: SimpleQueue[list[str]] = SimpleQueue()
        threading.Thread(target=self._look_up, args=(name, told), daemon=True).start()
        try:
            return told.get(timeout=_WAIT_S)
        except Empty:
            return []

    def _look_up(self, name: str, told: SimpleQueue[list[str]]) -> None:
        try:
            told.put(self._ask(name, 443))
        except OSError:
            told.put([])
        finally:
            self._asking.release()


def _judged(name: str, addresses: list[str]) -> bool:
    found = [one for one in map(address_in, addresses) if one]
    # That a machine calls itself 127.0.1.1 says nothing of how others find it.
    outside = [one for one in found if not one.is_loopback or address_in(name)]
    if outside:
        return not any(is_public(one) for one in outside)
    return "." not in name or name.endswith(HOME_SUFFIXES)


def _name_of(host: str) -> str:
    if host.startswith("["):
        return host[1:].partition("]")[0]  # an address of the newer kind, with a port or without (RFC 3986 3.2.2)
    return (host.rpartition(":")[0] if host.count(":") == 1 else host).lower().rstrip(".")
