"""The server process: sockets, the front before the app, the address on the terminal, a QR picture of it for phones.

Hypercorn speaks HTTP/1.1, HTTP/2 and TLS; `front` stands between it and the app. With `phone` there are two sockets:
the app over https for everybody, and over plain http one page that hands phones the household's certificate (this
machine itself gets the app there too: a browser asks for no certificate on 127.0.0.1).
"""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import logging
import os
import socket
import ssl
import sys
from asyncio.sslproto import SSLProtocol
from dataclasses import dataclass
from typing import TextIO

from hypercorn.asyncio import serve as answer_at
from hypercorn.config import Config, Sockets

from webapp.machine import redact
from webapp.machine.settings import Settings
from webapp.server import pipelined, watching
from webapp.server.background import Background
from webapp.server.beforehand import Beforehand
from webapp.server.certificate_in_use import HousePapers
from webapp.server.collecting import Leavings, settle, short_stops
from webapp.server.ending import GRACE_S, ServerEnd, Trigger
from webapp.server.front import Front
from webapp.server.greeting import greeting
from webapp.server.sockets import BACKLOG, BoundSockets, bind
from webapp.web.app import beforehand, create_app, most_bytes, store_of
from webapp.web.limits import is_dear, is_remembered
from webapp.web.phone.hand_over import create_hand_over

_LOOK_AT_PAPERS_S = 3600.0
_MOST_STREAMS = 64  # questions of one connection at once, over HTTP/2: more than the shell has files
_TLS_BYTES = 32_768  # are read at a time; each connection keeps room for them (asyncio's own: 256 kB)
_TURN_S = (
    0.001  # of a thread that works while others wait: whoever answers at the sockets is one of those, all the time
)

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class ServeWanted:
    """How to serve. `port` 0 picks a free one; `secure_port` counts with `phone` only."""

    port: int = 8080
    network: bool = False
    phone: bool = False
    secure_port: int = 8443
    forget_authority: bool = False
    background: bool = True


def serve(settings: Settings, wanted: ServeWanted, out: TextIO | None = None) -> None:
    """Answer requests until interrupted or terminated. Leaves with a sentence when a port is taken."""
    with House(settings, wanted) as house:
        settings.port_note.write_text(f"{house.sockets.port}\n", encoding="ascii")
        print(house.greeting(), file=out or sys.stdout, flush=True)
        with Background(settings) if wanted.background else contextlib.nullcontext():
            house.run()
        house.leave()


class House:
    """The bound server, not yet answering: `run` does, until `until` returns (without it: until a signal comes)."""

    def __init__(self, settings: Settings, wanted: ServeWanted) -> None:
        watching.raise_limits()
        self.settings = settings
        self.wanted = wanted
        app = create_app(settings)
        watchers = watching.watchers(settings)
        self.sockets: BoundSockets = bind(
            wanted.port, wanted.secure_port if wanted.phone else None, wanted.network,
            settings.proxies > 0, watching.most_files(),
        )  # fmt: skip
        self.papers: HousePapers | None = None
        if wanted.phone:
            try:
                self.papers = HousePapers(settings, self.sockets.secure_port, wanted.forget_authority)
            except BaseException:
                self.sockets.close()
                raise
        self.sockets.crowd.send_away = pipelined.send_away
        self.sockets.crowd.is_over = Leavings().one_more
        self._tls = self.papers.context() if self.papers else None
        self._ending = ServerEnd(self.sockets)
        self._front = Front(
            app,
            threads=settings.threads,
            most=most_bytes(settings),
            ready=store_of(app).check,
            proxies=settings.proxies,
            hand_over=create_hand_over(self.papers.to_hand_over()) if self.papers else None,
            watchers=watchers,
            ending=self._ending,
            is_dear=is_dear(app),
            is_remembered=is_remembered(app),
        )
        self._app = app
        redact.install()
        logging.getLogger("asyncio").addFilter(_says_more)

    def __enter__(self) -> House:
        return self

    def __exit__(self, *_: object) -> None:
        self._front.close()
        self.sockets.close()

    def greeting(self) -> str:
        """What the terminal shows."""
        return greeting(self.settings, self.sockets, self.wanted.network, self.papers)

    def run(self, until: Trigger | None = None) -> None:
        """Answer. What is being answered when it ends is finished first."""
        sys.setswitchinterval(_TURN_S)
        with short_stops():
            asyncio.run(self._run(until))

    def leave(self) -> None:
        """Give up what is worked on still, long after the end was wanted: Python would wait for such a thread for ever.
        What it had begun to write in the database is undone by that, as after a power cut."""
        self.__exit__()
        if self._front.is_at_work():
            log.warning("answers that took longer than %d s after the stop were given up", GRACE_S)
            logging.shutdown()
            for stream in (sys.stdout, sys.stderr):
                stream.flush()
            os._exit(0)

    async def _run(self, until: Trigger | None) -> None:
        asyncio.get_running_loop().set_exception_handler(_quiet)
        config = ServedSockets(self.sockets, self._tls)
        look = asyncio.create_task(self._look_at_papers())
        ahead = Beforehand(itertools.chain(beforehand(self._app), [settle]))
        try:
            await answer_at(self._front, config, shutdown_trigger=lambda: self._ending.wait(until), mode="asgi")
        except asyncio.CancelledError:
            # Hypercorn's word for connections that were still there at the end of the time that we gave them.
            if (this := asyncio.current_task()) is None or this.cancelling():
                raise
        finally:
            self._ending.over()
            look.cancel()
            ahead.close()
            await asyncio.sleep(0.05)  # connections that were just closed take leave of the loop in its next rounds

    async def _look_at_papers(self) -> None:
        """Renew the certificate before it ends, and when this machine's address changes; connections go on."""
        while self.papers and self._tls:
            await asyncio.sleep(_LOOK_AT_PAPERS_S)
            try:
                self.papers.renew(self._tls)
            except Exception:  # the old one still holds for a month: tried again in an hour
                log.exception("the certificate could not be renewed")


class ServedSockets(Config):
    """Hypercorn on sockets that are open already, with a TLS context that we can give a new certificate."""

    def __init__(self, sockets: BoundSockets, tls: ssl.SSLContext | None) -> None:
        super().__init__()
        self._sockets = sockets
        self._tls = tls
        self.include_server_header = False  # no need to say what it runs on
        self.backlog = BACKLOG
        self.keep_alive_timeout = 20.0
        self.ssl_handshake_timeout = 10.0
        self.graceful_timeout = GRACE_S + 1  # by then each connection was cut
        self.h2_max_concurrent_streams = _MOST_STREAMS
        self.errorlog = logging.getLogger("hypercorn.error")
        self.loglevel = "WARNING"
        SSLProtocol.max_size = _TLS_BYTES
        pipelined.install()

    @property
    def ssl_enabled(self) -> bool:
        return self._tls is not None

    def create_ssl_context(self) -> ssl.SSLContext | None:
        return self._tls

    def create_sockets(self) -> Sockets:
        secure: list[socket.socket] = [self._sockets.secure] if self._sockets.secure else []
        return Sockets(secure, [self._sockets.plain], [])


def _says_more(record: logging.LogRecord) -> bool:
    """Of a client that has left asyncio writes one line for each piece that it does not get any more: megabytes, where
    somebody leaves in the middle of much on purpose."""
    return record.msg not in ("socket.send() raised exception.", "SSL connection is closed")


def _quiet(loop: asyncio.AbstractEventLoop, context: dict[str, object]) -> None:
    """Clients that go away in the middle of anything are everyday."""
    everyday = ssl.SSLError | ConnectionError | TimeoutError | socket.timeout | asyncio.CancelledError
    if not isinstance(context.get("exception"), everyday):
        loop.default_exception_handler(context)
