"""Text travels compressed: files of static/ packed once and kept, pages as they are made."""

from __future__ import annotations

import gzip
import io
import re
import secrets
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app, request

_TEXT = ("text/", "application/json", "application/javascript", "application/manifest+json", "image/svg+xml")
_COMMENT = re.compile(rb"/\*.*?\*/\s*", re.DOTALL)  # of a style sheet: for those who change it, not for the way
_LEAST = 500  # bytes: below that the head of a packed file outweighs what it saves


def install(app: Flask) -> None:
    """Pack what the browser takes packed and nobody has packed yet."""
    app.after_request(_pack)


def _pack(response: Response) -> Response:
    if not (response.mimetype or "").startswith(_TEXT):
        return response
    response.vary.add("Accept-Encoding")
    fits = response.status_code == 200 and "Content-Encoding" not in response.headers
    if not fits or request.accept_encodings["gzip"] <= 0 or "Content-Range" in response.headers:
        return response
    if request.endpoint == "static":
        return _file(response)
    body = response.get_data()
    if len(body) >= _LEAST:
        _swap(response, _page(body))
    return response


def _file(response: Response) -> Response:
    found = Path(str(current_app.static_folder)) / (request.view_args or {})["filename"]
    stat = found.stat()
    packed = _packed(found, stat.st_mtime_ns, stat.st_size)
    response.direct_passthrough = False
    response.response.close()  # type: ignore[union-attr]  # the open file that would have been sent
    _swap(response, packed)
    return response.make_conditional(request)  # type: ignore[return-value]  # it returns the response itself


def _swap(response: Response, packed: bytes) -> None:
    tag, weak = response.get_etag()
    response.set_data(packed)
    response.headers["Content-Encoding"] = "gzip"
    if tag is not None:
        response.set_etag(f"{tag}-gz", weak=bool(weak))


@lru_cache(maxsize=256)
def _packed(path: Path, changed: int, size: int) -> bytes:
    del changed, size  # part of the key: a changed file is packed anew
    body = path.read_bytes()
    return gzip.compress(_COMMENT.sub(b"", body) if path.suffix == ".css" else body, 9, mtime=0)


def _page(body: bytes) -> bytes:
    """A page holds a form token and may repeat what was typed: a name of random length in the head of the packed page
    hides how well the one goes with the other (the length of an encrypted answer can be seen on the way)."""
    out = io.BytesIO()
    name = secrets.token_hex(secrets.randbelow(32))
    with gzip.GzipFile(filename=name, mode="wb", compresslevel=6, fileobj=out, mtime=0) as file:
        file.write(body)
    return out.getvalue()
