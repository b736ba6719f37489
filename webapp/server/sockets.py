"""The sockets: this machine only, unless asked for more."""

from __future__ import annotations

import errno
import os
import socket
from dataclasses import dataclass

BACKLOG = 1024
THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104  # only when asked for by --network or --phone


@dataclass(frozen=True)
class BoundSockets:
    """Bound sockets: plain http, and https when there is a certificate."""

    plain: socket.socket
    secure: socket.socket | None = None

    @property
    def port(self) -> int:
        """Of plain http."""
        return int(self.plain.getsockname()[1])

    @property
    def secure_port(self) -> int:
        """Of https; 0 without."""
        return int(self.secure.getsockname()[1]) if self.secure else 0

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


def _bound(host: str, port: int, option: str) -> socket.socket:
    bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
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
