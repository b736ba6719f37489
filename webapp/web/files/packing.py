"""With brotli where a browser takes it, a tenth smaller than with gzip: what never changes, packed once, and pages."""

from __future__ import annotations

import gzip
import io
import secrets
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from tempfile import TemporaryFile
from typing import IO, TextIO

from flask import Response, request

try:
    import brotli
except ImportError:  # on a system that nobody builds it for; gzip alone is right too
    brotli = None


_MOST_KEPT = 256  # packed; anybody can ask for joined files in another order
_PAGE_QUALITY = 6  # of 11: smaller by a fifteenth than gzip in the same time; the next ones cost more than they win
_PIECE = 65_536  # bytes of a long answer that are in memory at a time
_MOST_HIDING = 64  # bytes of chance, each two letters that no packing makes smaller than half


@dataclass(frozen=True)
class Packed:
    """The same bytes as every browser takes them: as they are, with gzip, with brotli (none where there is none)."""

    body: bytes
    gzip: bytes
    br: bytes | None

    @property
    def smallest(self) -> int:
        """Bytes on the way to a browser of today over an encrypted connection, where all of them take brotli."""
        return len(self.br or self.gzip)


@lru_cache(maxsize=_MOST_KEPT)
def packed(body: bytes) -> Packed:
    """Packed as small as it goes: some 200 ms of brotli for 100 kB of text, which it guesses at in two ways: which of
    them is the smaller one, by some hundred bytes, turns with every line that is changed."""
    return Packed(body, gzip.compress(body, 9, mtime=0), _by_brotli(body) if brotli else None)


def _by_brotli(body: bytes) -> bytes:
    ways = (brotli.MODE_GENERIC, brotli.MODE_FONT)
    return min((bytes(brotli.compress(body, mode=way, quality=11)) for way in ways), key=len)


def takes_brotli() -> bool:
    """Can it be packed so here, and does the one who asks take it?"""
    return brotli is not None and request.accept_encodings["br"] > 0


def page(body: bytes) -> bytes:
    """A page that is packed each time. It holds a form token and may repeat what was typed: a comment of random length
    at its end hides how well the one goes with the other (the length of an encrypted answer can be seen on the way)."""
    hiding = f"<!-- {secrets.token_hex(secrets.randbelow(_MOST_HIDING))} -->"
    return bytes(brotli.compress(body + hiding.encode(), quality=_PAGE_QUALITY))


def pack(response: Response, ready: Packed) -> None:
    """Send it as the one who asks takes it."""
    accepted = request.accept_encodings
    if ready.br is not None and takes_brotli():
        encoding, body = "br", ready.br
    elif accepted["gzip"] > 0:
        encoding, body = "gzip", ready.gzip
    else:
        encoding, body = "", ready.body
    response.set_data(body)
    if encoding:
        response.headers["Content-Encoding"] = encoding
    response.vary.add("Accept-Encoding")


def written(write: Callable[[TextIO], None]) -> Response:
    """A text that may be long, as `write` writes it: it lies in a file, packed where whoever asks takes that, before
    the first of it is sent. So no more than a piece of it is in memory, and what fails on the way is told as a failure.
    """
    file = TemporaryFile()  # noqa: SIM115  # closed with the answer
    try:
        packs = request.accept_encodings["gzip"] > 0
        with _packing(file) if packs else open(file.fileno(), "w", encoding="utf-8", newline="", closefd=False) as text:
            write(text)
        file.seek(0, io.SEEK_END)
        length = file.tell()
        file.seek(0)
    except BaseException:
        file.close()
        raise
    response = Response(_pieces(file))
    response.call_on_close(file.close)
    response.content_length = length
    if packs:
        response.headers["Content-Encoding"] = "gzip"
    return response


def _packing(file: IO[bytes]) -> TextIO:
    return io.TextIOWrapper(gzip.GzipFile(fileobj=file, mode="wb", compresslevel=6, mtime=0), "utf-8", newline="")


def _pieces(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(_PIECE):
            yield piece
