"""The sockets: this machine only, unless asked for more."""

from __future__ import annotations

import errno
import os
import socket
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from weakref import WeakSet

BACKLOG = 1024
MOST_OF_ONE = 48  # connections of one address: eight browsers of a household, with six each (over HTTP/2 they have one)
MOST_IN_ALL = 1024  # half-open ones over TLS take 0.3 MB each
_OTHER_FILES = 128  # what the server itself has open: the database, sources, what it is asked to fetch
_REFUSED_AT_ONCE = 32  # connections over the limit that are shut before others get their turn
THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104  # only when asked for by --network or --phone


class Crowd:
    """How many connections are open, by address: `most` in all, `of_one` of them of one address."""

    def __init__(self, most: int, of_one: int) -> None:
        self._most, self._of_one = most, of_one
        self._inside = Counter[str]()
        self._all = 0

    def let_in(self, host: str) -> bool:
        """Whether there is room for one more of this address; it is counted then, until `left`."""
        if self._all >= self._most or self._inside[host] >= self._of_one:
            return False
        self._inside[host] += 1
        self._all += 1
        return True

    def left(self, host: str) -> None:
        """One of its connections is shut."""
        self._all -= 1
        self._inside[host] -= 1
        if not self._inside[host]:
            del self._inside[host]


class _Guest(socket.socket):
    """A connection that says when it is shut."""

    def __init__(self, came: socket.socket, leave: Callable[[], None]) -> None:
        super().__init__(came.family, came.type, came.proto, came.detach())
        self._leave: Callable[[], None] | None = leave

    def close(self) -> None:
        super().close()
        leave, self._leave = self._leave, None
        if leave:
            leave()


class Door(socket.socket):
    """A bound socket that knows who came in by it and is still there (not on Windows, where asyncio lets them in past
    `accept`). Whoever there is no room for finds the connection shut: a queue of those would keep others out."""

    def __init__(self, crowd: Crowd) -> None:
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self._crowd = crowd
        self._inside = WeakSet[socket.socket]()

    def accept(self) -> tuple[socket.socket, tuple[str, int]]:
        """The next one there is room for. Raises BlockingIOError when nobody else is waiting, or for now enough were
        sent away."""
        for _ in range(_REFUSED_AT_ONCE):
            came, address = super().accept()
            host: str = address[0]
            if self._crowd.let_in(host):
                guest = _Guest(came, lambda: self._crowd.left(host))  # noqa: B023  # it is this one's: we return
                self._inside.add(guest)
                return guest, address
            came.close()
        raise BlockingIOError

    def cut(self, which: Callable[[tuple[str, int]], bool]) -> None:
        """Shut the connections of those whose (address, port) is meant, whatever waits to be sent to them."""
        for one in tuple(self._inside):
            with suppress(OSError):  # it has left by itself
                if which(one.getpeername()):
                    one.shutdown(socket.SHUT_RDWR)


@dataclass(frozen=True)
class BoundSockets:
    """Bound sockets: plain http, and https when there is a certificate."""

    plain: Door
    secure: Door | None = None

    @property
    def port(self) -> int:
        """Of plain http."""
        return int(self.plain.getsockname()[1])

    @property
    def secure_port(self) -> int:
        """Of https; 0 without."""
        return int(self.secure.getsockname()[1]) if self.secure else 0

    def cut(self, which: Callable[[tuple[str, int]], bool]) -> None:
        """Shut the connections of those whose (address, port) is meant."""
        self.plain.cut(which)
        if self.secure:
            self.secure.cut(which)

    def close(self) -> None:
        """Both."""
        self.plain.close()
        if self.secure:
            self.secure.close()


def bind(port: int, secure_port: int | None, network: bool, proxied: bool = False, most_files: int = 0) -> BoundSockets:
    """Bind; 0 picks a free port. Leaves with a sentence when a port is taken.

    `proxied`: all come from the address of a proxy of ours, which may have as many connections as there are.
    `most_files`: how many this process may have open; 0 is more than ever needed.
    """
    most = max(MOST_OF_ONE, min(MOST_IN_ALL, (most_files or 2 * MOST_IN_ALL) - _OTHER_FILES))
    crowd = Crowd(most, most if proxied else MOST_OF_ONE)
    host = EVERYWHERE if network or secure_port is not None else THIS_MACHINE
    plain = _bound(host, port, "--port", crowd)
    if secure_port is None:
        return BoundSockets(plain)
    try:
        return BoundSockets(plain, _bound(host, secure_port, "--secure-port", crowd))
    except BaseException:
        plain.close()
        raise


def _bound(host: str, port: int, option: str, crowd: Crowd) -> Door:
    bound = Door(crowd)
    try:
        if os.name != "nt":  # there it would let two servers share a port
            bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        bound.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        bound.bind((host, port))
        bound.listen(BACKLOG)  # from here on clients wait, instead of being turned away until the server has started
        bound.setblocking(False)
    except OSError as error:
        bound.close()
        if error.errno in (errno.EADDRINUSE, errno.EACCES):
            another = port + 1 if 1024 <= port < 65535 else 8080
            said = f"Port {port} cannot be used ({error.strerror}). Try another: {option} {another}"
            raise SystemExit(said) from None
        raise
    return bound
