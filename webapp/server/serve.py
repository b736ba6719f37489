"""The server process: waitress in front of the app, the address on the terminal, a QR picture of it for phones."""

from __future__ import annotations

import errno
import os
import socket
import sys
from typing import Any, TextIO

import segno
import waitress  # type: ignore[import-untyped]  # ships no types

from webapp.machine.settings import Settings
from webapp.server.background import Bell
from webapp.web.app import create_app

THIS_MACHINE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104  # only when asked for by --network
_LARGEST_BODY = 64_000_000  # the app's own, smaller limits answer with a page; this one only guards the machine


def serve(settings: Settings, port: int = 8080, network: bool = False, out: TextIO | None = None) -> None:
    """Answer requests until interrupted. `port` 0 picks a free one. Leaves with a sentence when the port is taken."""
    server = make_server(settings, port, network)
    print(greeting(settings, server.effective_port, network), file=out or sys.stdout, flush=True)
    try:
        with Bell(settings):
            server.run()
    finally:
        server.close()


def make_server(settings: Settings, port: int, network: bool) -> Any:
    """The bound server, not yet answering."""
    app = create_app(settings)
    # Bound before the server is made: one that fails to bind its own socket leaves it, and a pipe, lying around.
    door = _bound(EVERYWHERE if network else THIS_MACHINE, port)
    return waitress.create_server(
        app,
        sockets=[door],
        threads=settings.threads,
        ident=None,
        max_request_body_size=_LARGEST_BODY,
        # With a proxy in front its headers are read by the app (settings.proxies); without one they are lies.
        clear_untrusted_proxy_headers=not settings.proxies,
    )


def _bound(host: str, port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name != "nt":  # there it would let two servers share a port
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((host, port))
    except OSError as error:
        door.close()
        if error.errno in (errno.EADDRINUSE, errno.EACCES):
            another = port + 1 if 1024 <= port < 65535 else 8080
            raise SystemExit(f"Port {port} cannot be used ({error.strerror}). Try another: --port {another}") from None
        raise
    return door


def greeting(settings: Settings, port: int, network: bool) -> str:
    """What the terminal shows: where to go, and, for phones, the same as a picture."""
    here = f"http://{THIS_MACHINE}:{port}/"
    lines = [f"Suppertide is at {here}", f"Everything is kept in {settings.data}", "Stop it with Ctrl+C."]
    for_phones = settings.public_url or (f"http://{home_address()}:{port}" if network else "")
    if for_phones:
        lines.insert(1, f"On the phone: {for_phones}/")
        lines.insert(2, qr_text(f"{for_phones}/"))
    if network and not settings.public_url.startswith("https:"):
        lines.append("Phones keep the app for offline use only over https: see “On the phone” in README.md.")
    return "\n".join(lines)


def qr_text(address: str) -> str:
    """A QR picture in half-block characters, with its quiet zone, readable on dark and light terminals."""
    code = segno.make(address, error="m", micro=False)
    rows = [[bool(cell) for cell in row] for row in code.matrix_iter(border=4)]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    # White on black by escape codes, so that the picture is the same whatever the terminal's own colours are.
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join("\x1b[38;5;16;48;5;231m" + "".join(map(_cell, *pair)) + "\x1b[0m" for pair in pairs)


def home_address() -> str:
    """This machine's address on the home network; no packet is sent to learn it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1, RFC 5737: an address nobody has
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()


def _cell(upper: bool, lower: bool) -> str:
    return {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}[upper, lower]
