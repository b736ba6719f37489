"""A request of ASGI as the app reads it (WSGI, PEP 3333), and who it is from."""

from __future__ import annotations

import re
import sys
from typing import IO, Any, cast
from urllib.parse import unquote, unquote_to_bytes

from hypercorn.typing import HTTPScope

Environ = dict[str, Any]

_WHOLE = re.compile(rb"https?://([^/?#@]+)(/.*)?", re.IGNORECASE | re.DOTALL)


def as_asked_here(scope: HTTPScope) -> HTTPScope:
    """A request whose target is a whole address, as clients send it to a proxy, and every server has to take it
    (RFC 9112, 3.2.2): its host counts, whatever stands in the header, and which way it came is told by the socket."""
    if scope["raw_path"][:1] == b"/" or not (whole := _WHOLE.fullmatch(scope["raw_path"])):
        return scope
    path = whole[2] or b"/"
    others = [one for one in scope["headers"] if one[0].lower() != b"host"]
    told: Any = {"raw_path": path, "path": unquote(path.decode("ascii")), "headers": [(b"host", whole[1]), *others]}
    return cast(HTTPScope, {**scope, **told})


def environ_of(scope: HTTPScope, body: IO[bytes], length: int) -> Environ:
    """The WSGI environment (PEP 3333) of an ASGI scope, with its path as it was meant."""
    server = scope.get("server") or ("localhost", 80)
    environ: Environ = {
        "REQUEST_METHOD": scope["method"],
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(scope["raw_path"]).decode("latin-1"),
        "QUERY_STRING": scope["query_string"].decode("latin-1"),
        "SERVER_NAME": server[0],
        "SERVER_PORT": str(server[1]),
        "SERVER_PROTOCOL": f"HTTP/{scope['http_version']}",
        "REMOTE_ADDR": (scope.get("client") or ("", 0))[0],
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope["scheme"],
        "wsgi.input": body,
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }
    for raw, value in scope["headers"]:
        name = raw.decode("latin-1").upper()
        if "_" in name:  # would pass for the header with a dash, which a proxy may have checked
            continue
        key = name.replace("-", "_")
        key = key if key in ("CONTENT_TYPE", "CONTENT_LENGTH") else f"HTTP_{key}"
        text = value.decode("latin-1")
        between = "; " if key == "HTTP_COOKIE" else ","  # HTTP/2 may send each cookie by itself (RFC 9113, 8.2.3)
        environ[key] = f"{environ[key]}{between}{text}" if key in environ else text
    environ.pop("HTTP_TRANSFER_ENCODING", None)
    environ["CONTENT_LENGTH"] = str(length)  # as counted, whatever was said; also of a body that came in pieces
    return environ


def _header(scope: HTTPScope, name: bytes) -> str:
    return next((value.decode("latin-1") for key, value in scope["headers"] if key.lower() == name), "")


def client_of(scope: HTTPScope, proxies: int) -> str:
    """Who asks: the address that the outermost proxy of ours saw, else that of the connection."""
    told = [one.strip() for one in _header(scope, b"x-forwarded-for").split(",")]
    if proxies and len(told) >= proxies:
        return told[-proxies]
    return (scope.get("client") or ("", 0))[0]


def is_from_outside(scope: HTTPScope) -> bool:
    """Over plain http and not on this machine itself, where a browser needs no certificate."""
    host = _header(scope, b"host").rsplit(":", 1)[0].lower()
    here = (scope.get("client") or ("", 0))[0].startswith("127.") and host in ("127.0.0.1", "localhost")
    return scope["scheme"] == "http" and not here
