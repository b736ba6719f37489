"""The sockets: this machine only, unless asked for more."""

from __future__ import annotations

import errno
import os
import socket
import time
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass

BACKLOG = 1024
# Connections of one address. With few, who wants more comes again and again: that costs everybody more than they do.
MOST_OF_ONE = 384
MOST_IN_ALL = 1024  # half-open ones over TLS take 0.3 MB each
_LEAST_IN_ALL = 64  # however few files may be open
_OTHER_FILES = 128  # what the server itself has open: the database, sources, what it is asked to fetch
_MOST_SENT_AWAY = 48  # and not shut yet: an address that has its share and comes faster than those go is refused
_FOR_OTHERS = 16  # more of those, for whoever has less: they are not kept out by one that comes without end
_SLOW_S = 2.0  # whoever takes or sends that slowly gives its place to somebody who wants one,
_SLOW_FOR_FEW_S = 0.2  # or so slowly, to somebody who has few
_REFUSED_AT_ONCE = 256  # connections over the limit that are shut before others get their turn
_LET_IN_AT_ONCE = 32  # and that are let in
_AT_FIRST = 128  # new ones of an address at once: more than all phones of a household open
_AGAIN_PER_S = 50.0  # and so many more from then on
_MOST_HOSTS = 4096  # of which it is remembered how often they came
Peer = tuple[str, int]  # address and port
THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104  # only when asked for by --network or --phone


class Crowd:
    """Who is inside: `most` connections in all, `of_one` of them of one address.

    Where these are all there, the one that has asked for nothing for longest goes for the one that comes: a browser
    keeps connections open that it may never use again, and opens another where one is gone. One that was opened ahead,
    and is just about to be used, has not been there for long. With none of those it is one whose answer waits for its
    client, a form that arrives a byte at a time or a page that is not taken, for longest.
    """

    def __init__(self, most: int, of_one: int) -> None:
        self.clock: Callable[[], float] = time.monotonic
        self.is_answered: Callable[[Peer], bool] = lambda _: False
        self.keeps_us_s: Callable[[Peer], float] = lambda _: 0.0  # for how long its answers have waited for it alone
        self.send_away: Callable[[OneInside], None] = OneInside.hang_up
        self.is_over: Callable[[], None] = lambda: None  # called when one has left
        self._most, self._of_one = most, of_one
        self._inside: dict[OneInside, None] = {}  # the one that was idle for longest first
        self._known: dict[Peer, OneInside] = {}
        self._hosts = Counter[str]()
        self._sent_away: set[OneInside] = set()  # and not shut yet
        self._came = OrderedDict[str, tuple[float, float]]()  # when last, and how many more may come at once then

    def has_room(self, host: str) -> bool:
        """Whether there is room for one more of this address, or room was made."""
        has_all = self._hosts[host] >= self._of_one
        if not has_all and len(self._inside) < self._most:
            return True
        has_many = has_all or 2 * self._hosts[host] * len(self._hosts) >= self._most  # half of its even share
        if len(self._sent_away) >= _MOST_SENT_AWAY + (0 if has_many else _FOR_OTHERS):
            return False
        if has_all:
            return self._goes(next(self._free(host, _SLOW_S), None))
        slow_s = _SLOW_S if has_many else _SLOW_FOR_FEW_S
        # Of those who have most; one whose connections are all just being answered gives none, nor does one who has
        # fewer than who comes: its only one may be about to be used.
        those = (one for one in self._free("", slow_s) if self._hosts[one.host] >= self._hosts[host])
        first = {one.host: one for one in reversed(tuple(those))}
        return self._goes(max(first.values(), key=lambda one: self._hosts[one.host], default=None))

    def comes_too_often(self, host: str) -> bool:
        """Whether this address opens connections faster than anybody uses them: each costs more than a refused one.
        This machine and a proxy of ours speak for others."""
        if host == THIS_MACHINE or self._of_one >= self._most:
            return False
        now = self.clock()
        most = float(min(_AT_FIRST, self._of_one))
        last, left = self._came.pop(host, (now, most))
        left = min(most, left + (now - last) * _AGAIN_PER_S)
        self._came[host] = now, max(0.0, left - 1.0)
        if len(self._came) > _MOST_HOSTS:
            self._came.popitem(last=False)
        return left < 1.0

    def is_nearly_full(self, host: str) -> bool:
        """Whether this address has three quarters of what it may have."""
        return 4 * self._hosts[host] >= 3 * self._of_one

    def enter(self, guest: OneInside) -> None:
        """There is room for it; it is counted until it is shut."""
        self._inside[guest] = None
        self._known[guest.peer] = guest
        self._hosts[guest.host] += 1

    def was_answered(self, peer: Peer) -> None:
        """Just now: from here on it is idle."""
        guest = self._known.get(peer)
        if guest in self._inside:
            del self._inside[guest]
            self._inside[guest] = None

    def left(self, guest: OneInside) -> None:
        """It is shut."""
        if guest in self._inside:
            self._out(guest)
        self._sent_away.discard(guest)
        if self._known.get(guest.peer) is guest:
            del self._known[guest.peer]
        self.is_over()

    def of(self, door: Door) -> Iterator[OneInside]:
        """Those who came in by it."""
        return (one for one in tuple(self._inside) if one.door is door)

    def _free(self, host: str, slow_s: float) -> Iterator[OneInside]:
        """Those that may go, of that address or of any: that nothing is asked over, idle for longest first; then those
        that are slow."""
        slow = list[tuple[float, OneInside]]()
        for one in self._inside:
            if host not in ("", one.host):
                continue
            if not self.is_answered(one.peer):
                yield one
            elif (waited := self.keeps_us_s(one.peer)) >= slow_s:
                slow.append((waited, one))
        yield from (one for _, one in sorted(slow, key=lambda found: -found[0]))

    def _goes(self, one: OneInside | None) -> bool:
        if one is not None:
            self._out(one)
            self._sent_away.add(one)
            self.send_away(one)
        return one is not None

    def _out(self, guest: OneInside) -> None:
        del self._inside[guest]
        self._hosts -= Counter((guest.host,))


class OneInside(socket.socket):
    """A connection that says when it is shut."""

    def __init__(self, came: socket.socket, peer: Peer, door: Door) -> None:
        super().__init__(came.family, came.type, came.proto, came.detach())
        self.peer, self.host, self.door = peer, peer[0], door
        self._is_open = True

    def close(self) -> None:
        super().close()
        if self._is_open:
            self._is_open = False
            self.door.crowd.left(self)

    def hang_up(self) -> None:
        """It is over for both sides, whatever waits to be sent."""
        with suppress(OSError):  # it has left by itself
            self.shutdown(socket.SHUT_RDWR)


class Door(socket.socket):
    """A bound socket that knows who came in by it and is still there (not on Windows, where asyncio lets them in past
    `accept`). Whoever there is no room for finds the connection shut: a queue of those would keep others out."""

    def __init__(self, crowd: Crowd) -> None:
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self.crowd = crowd
        self._let_in = 0  # since others had their turn

    def accept(self) -> tuple[socket.socket, Peer]:
        """The next one there is room for. Raises BlockingIOError when nobody else is waiting, or for now enough were
        sent away."""
        for _ in range(_REFUSED_AT_ONCE if self._let_in < _LET_IN_AT_ONCE else 0):
            try:
                came, peer = super().accept()
            except BlockingIOError:
                break
            if not self.crowd.comes_too_often(peer[0]) and self.crowd.has_room(peer[0]):
                guest = OneInside(came, peer, self)
                self.crowd.enter(guest)
                self._let_in += 1
                return guest, peer
            came.close()
        self._let_in = 0
        raise BlockingIOError

    def cut(self, which: Callable[[Peer], bool]) -> None:
        """Shut the connections of those who are meant, whatever waits to be sent to them."""
        for one in self.crowd.of(self):
            if which(one.peer):
                one.hang_up()


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

    @property
    def crowd(self) -> Crowd:
        """Who is inside, by whichever door."""
        return self.plain.crowd

    def cut(self, which: Callable[[Peer], bool]) -> None:
        """Shut the connections of those who are meant."""
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
    most = max(_LEAST_IN_ALL, min(MOST_IN_ALL, (most_files or 2 * MOST_IN_ALL) - _OTHER_FILES))
    crowd = Crowd(most, most if proxied else min(MOST_OF_ONE, most // 2))
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
