"""Between the sockets and the app: what a slow, greedy or hostile client does ends here and costs the app no thread.

An ASGI application around the WSGI app. A body is counted and read whole before a thread is asked for; an answer is
complete before it is sent, and lies in a file when it is long, so that a slow reader holds neither a thread nor much
memory; one client gets half of the threads at most; `/health` is answered here, whatever the app is busy with.
"""

from __future__ import annotations

import asyncio
import json
import logging
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack, nullcontext, suppress
from dataclasses import dataclass
from tempfile import SpooledTemporaryFile
from typing import IO, Any, TypeVar, cast

from hypercorn.typing import ASGIReceiveCallable, ASGISendCallable, HTTPScope, Scope

from webapp.planning.remembered import NotKnown, known_alone
from webapp.server.ending import Answering, ServerEnd, StuckError
from webapp.server.environ import Environ, as_asked_here, client_of, environ_of, is_from_outside
from webapp.server.fair import Crowded, Fair, Households
from webapp.server.pulse import Pulse
from webapp.web.door import HOUSEHOLD, ROUTE
from webapp.web.limits import COUNTED
from webapp.words.problems.told import BROKE

Wsgi = Callable[[Environ, Callable[..., Any]], Iterable[bytes]]

_WORKED = "suppertide.worked"  # here stands how long the processor was at it
_IN_MEMORY = 256_000  # bytes of a body, or of an answer; what is longer lies in a temporary file
_DRAINED = 64_000_000  # bytes of a body that is too long are read and thrown away, so that the browser sees the answer
_AGAIN = "Try again in a moment."
_PIECE = 65_536
_LEAST_BYTES_S = 50_000  # a body may take 30 s and one second more for so many bytes of what is allowed
_SEND_S = 60.0  # for a reader to take one piece; for all of them so long and one second more for `_LEAST_BYTES_S`

log = logging.getLogger(__name__)

T = TypeVar("T")


@dataclass(frozen=True)
class Answered:
    """One request as the log and the metrics see it: no address of a person, no key, no name."""

    method: str
    route: str
    status: int
    sent: int  # bytes of the body
    seconds: float
    protocol: str


class GoneError(ConnectionError):
    """The client went away."""


class Front:
    """The ASGI application."""

    def __init__(
        self,
        app: Wsgi,
        threads: int,
        most: Callable[[str], int],
        ready: Callable[[], bool],
        proxies: int = 0,
        hand_over: Wsgi | None = None,
        watchers: Sequence[Callable[[Answered], None]] = (),
        ending: ServerEnd | None = None,
        is_dear: Callable[[str, str], bool] = lambda _method, _path: False,
        is_remembered: Callable[[str, str], bool] = lambda _method, _path: False,
    ) -> None:
        """`most`: largest body in bytes for a path. `hand_over`: what the plain-http socket shows to other machines.
        `is_dear`: whether a request, by method and path, may cost much work; `is_remembered`: whether it is first to be
        answered from what the app remembers, if it can be: that waits for nobody's work."""
        self._app = app
        self._hand_over = hand_over
        self._most = most
        self._proxies = proxies
        self._pulse = Pulse(ready)
        self._fair = Fair(threads)
        self._households = Households()
        self._threads = ThreadPoolExecutor(threads, thread_name_prefix="answers")
        self._at_work = set[Future[Any]]()
        self._watchers = watchers
        self._ending = ending or ServerEnd()
        self._is_dear = is_dear
        self._is_remembered = is_remembered

    def close(self) -> None:
        """No more requests."""
        self._threads.shutdown(wait=False, cancel_futures=True)
        self._pulse.close()

    def is_at_work(self) -> bool:
        """Whether a thread still works at an answer."""
        return any(not one.done() for one in tuple(self._at_work))

    async def __call__(self, scope: Scope, receive: ASGIReceiveCallable, send: ASGISendCallable) -> None:
        """One request; other kinds of connections there are none."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1000, "reason": None})
        elif scope["type"] == "http":
            with suppress(GoneError, StuckError):
                async with self._ending.answering(scope.get("client")) as turn:
                    await self._answer(as_asked_here(scope), receive, send, turn)

    async def _answer(
        self, scope: HTTPScope, receive: ASGIReceiveCallable, send: ASGISendCallable, turn: Answering
    ) -> None:
        begun = time.perf_counter()
        environ: Environ = {}
        if scope["path"] in ("/health", "/health/live") and scope["method"] in ("GET", "HEAD"):
            answer = await self._health(scope["path"])
        else:
            answer = await self._from_app(scope, receive, environ, turn)
        status, headers, body = answer
        if scope["http_version"] != "2" and self._ending.is_crowded(scope.get("client")):
            headers = [*headers, (b"connection", b"close")]  # else it may be sent away while it asks its next question
        sent, made = 0, time.perf_counter()
        with nullcontext() if isinstance(body, bytes) else body:
            await _sent(turn, send, {"type": "http.response.start", "status": status, "headers": headers})
            for piece in _pieces(body):
                sent += len(piece)
                left_s = made + _SEND_S + sent / _LEAST_BYTES_S - time.perf_counter()
                await _sent(turn, send, {"type": "http.response.body", "body": piece, "more_body": True}, left_s)
            await _sent(turn, send, {"type": "http.response.body", "body": b"", "more_body": False})
        route = scope["path"] if not environ else str(environ.get(ROUTE, "(none)"))
        took = time.perf_counter() - begun
        for watcher in self._watchers:
            watcher(Answered(scope["method"], route, status, sent, took, scope["http_version"]))

    async def _health(self, path: str) -> Answer:
        ready = path == "/health/live" or await self._pulse.ready()
        said = {"ok": ready, "live": True} | ({"ready": ready} if path == "/health" else {})
        return _plain(200 if ready else 503, json.dumps(said), "application/json")

    async def _from_app(
        self, scope: HTTPScope, receive: ASGIReceiveCallable, environ: Environ, turn: Answering
    ) -> Answer:
        app = self._hand_over if self._hand_over and is_from_outside(scope) else self._app
        most = self._most(scope["path"])
        body = SpooledTemporaryFile(_IN_MEMORY)  # noqa: SIM115  # closed below, in the thread that reads it
        try:
            try:
                async with turn.theirs(30 + most / _LEAST_BYTES_S):
                    length = await _read(receive, body, most)
            except TimeoutError:
                return _failed(
                    scope["path"], 408, "This took too long to arrive.", "Try again with a better connection."
                )
            turn.is_ours()
            environ.update(environ_of(scope, cast(IO[bytes], body), length))
            try:
                dear = app is self._app and self._is_dear(scope["method"], scope["path"])
                cookies = environ.get("HTTP_COOKIE", "")
                who = (client_of(scope, self._proxies), *self._households.of(cookies))
                answer = None
                if dear and not length and self._is_remembered(scope["method"], scope["path"]):
                    async with self._fair.turn(*who):
                        answer = await self._work(_from_memory, app, environ)
                if answer is None:
                    async with self._fair.turn(*who, dear=dear) as kept:
                        if dear and self._ending.is_begun and scope["method"] in ("GET", "HEAD"):
                            return _failed(scope["path"], 503, "The server is being stopped.", _AGAIN, retry="5")
                        answer = await self._work(_run, app, environ)
                        kept.worked_s = environ.get(_WORKED, 0.0)
                if household := environ.get(HOUSEHOLD):
                    self._households.learn(cookies, household)
                return answer
            except Crowded:
                return _failed(scope["path"], 503, "Too many are asking at once.", _AGAIN, retry="5")
        finally:
            body.close()

    async def _work(self, job: Callable[[Wsgi, Environ], T], app: Wsgi, environ: Environ) -> T:
        """In a thread."""
        work = self._threads.submit(job, app, environ)
        self._at_work.add(work)
        work.add_done_callback(self._at_work.discard)
        return await asyncio.wrap_future(work)


Answer = tuple[int, list[tuple[bytes, bytes]], bytes | IO[bytes]]


async def _sent(turn: Answering, send: ASGISendCallable, message: Any, seconds: float = _SEND_S) -> None:
    try:
        async with turn.theirs(min(seconds, _SEND_S)):
            await send(message)
    except TimeoutError:
        raise StuckError from None


async def _read(receive: ASGIReceiveCallable, into: SpooledTemporaryFile[bytes], most: int) -> int:
    """The length of the body, which then lies in `into`. One that is too long leaves `into` empty."""
    length = 0
    while True:
        message = await receive()
        if message["type"] != "http.request":
            raise GoneError
        piece = message.get("body", b"")
        length += len(piece)
        if length <= most:
            into.write(piece)
        if length > _DRAINED or not message.get("more_body", False):
            break
    if length > most:
        into.seek(0)
        into.truncate()
    into.seek(0)
    return length


def _from_memory(app: Wsgi, environ: Environ) -> Answer | None:
    """In a thread: the whole answer, where nothing has to be worked out for it. Of a request that has no body."""
    tried = dict(environ)  # the app writes in it
    with known_alone(), suppress(NotKnown):
        answer = _run(app, tried)
        environ.update(tried)
        return answer
    environ[COUNTED] = True
    return None


def _run(app: Wsgi, environ: Environ) -> Answer:
    """In a thread: the whole answer."""
    begun: list[Any] = []
    before = time.thread_time()

    def start_response(status: str, headers: list[tuple[str, str]], _: object = None) -> None:
        begun[:] = [int(status.split(" ", 1)[0]), headers]

    try:
        pieces = app(environ, start_response)
        try:
            kept = _kept(pieces)
        finally:
            getattr(pieces, "close", lambda: None)()
            environ[_WORKED] = time.thread_time() - before
        status, headers = begun
    except Exception:  # the app answers for its own mistakes; this is the last wall
        log.exception("a request was not answered")
        return _failed(environ["PATH_INFO"], 500, BROKE, "Try again. If it stays, its log says why.")
    return status, [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in headers], kept


def _kept(pieces: Iterable[bytes]) -> bytes | IO[bytes]:
    with ExitStack() as closed:
        file = closed.enter_context(SpooledTemporaryFile(_IN_MEMORY))
        length = sum(map(file.write, pieces))
        file.seek(0)
        if length <= _IN_MEMORY:
            return file.read()
        closed.pop_all()  # whoever sends it closes it
        return cast(IO[bytes], file)


def _pieces(body: bytes | IO[bytes]) -> Iterator[bytes]:
    if isinstance(body, bytes):
        return (body[at : at + _PIECE] for at in range(0, len(body), _PIECE))
    return iter(lambda: body.read(_PIECE), b"")


def _plain(status: int, text: str, kind: str = "text/plain; charset=utf-8", retry: str = "") -> Answer:
    body = text.encode()
    headers = [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode())]
    headers += [(b"cache-control", b"no-store"), (b"x-content-type-options", b"nosniff")]
    return status, headers + ([(b"retry-after", retry.encode())] if retry else []), body


def _failed(path: str, status: int, message: str, way_out: str, retry: str = "") -> Answer:
    """In the shape that the JSON API has for every failure (webapp/web/errors.py), or as a line for people."""
    if not path.startswith("/api/"):
        return _plain(status, f"{message} {way_out}", retry=retry)
    said = {"field": "request", "message": message, "way_out": way_out}
    return _plain(status, json.dumps({"error": said, "errors": [said]}), "application/json", retry)
