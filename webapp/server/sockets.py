"""The sockets: this machine only, unless asked for more."""

from __future__ import annotations

import errno
import os
import socket
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from weakref import WeakSet

BACKLOG = 1024
THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104  # only when asked for by --network or --phone


class Door(socket.socket):
    """A bound socket that knows who came in by it and is still there (not on Windows, where asyncio lets them in past
    `accept`)."""

    def __init__(self) -> None:
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self._inside = WeakSet[socket.socket]()

    def accept(self) -> tuple[socket.socket, tuple[str, int]]:
        """As any socket does."""
        came, address = super().accept()
        self._inside.add(came)
        return came, address

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


def bind(port: int, secure_port: int | None, network: bool) -> BoundSockets:
    """Bind; 0 picks a free port. Leaves with a sentence when a port is taken."""
    host = EVERYWHERE if network or secure_port is not None else THIS_MACHINE
    plain = _bound(host, port, "--port")
    if secure_port is None:
        return BoundSockets(plain)
    try:
        return BoundSockets(plain, _bound(host, secure_port, "--secure-port"))
    except BaseException:
        plain.close()
        raise


def _bound(host: str, port: int, option: str) -> Door:
    bound = Door()
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
