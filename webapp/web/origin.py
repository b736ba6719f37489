"""Which requests are let through: sensible hosts, and changes only from our own pages.

A page of another site can make a browser send our cookie; it cannot forge `Sec-Fetch-Site` or `Origin`. Forms carry a
token besides; the JSON API, called by a cached shell that can hold no token, rests on this and on its content type.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from flask import Flask, Request, abort, request

from webapp.machine.home_names import HOME_SUFFIXES
from webapp.machine.settings import Settings

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

_SAFE = {"GET", "HEAD", "OPTIONS"}


def host_is_sensible(host: str, settings: Settings) -> bool:
    """Whether to answer to this Host header.

    Names that only exist at home (an address, a single label, .local and its like) always; anything else must be
    named in the settings, so that a stranger's domain pointed at this machine gets nothing.
    """
    name = (urlsplit(f"//{host}").hostname or "") if host else ""
    return (
        name in _named(settings)
        or _is_address(name)
        or (bool(name) and "." not in name)
        or name.endswith(HOME_SUFFIXES)
    )


def is_named(host: str, public_url: str) -> bool:
    """Whether the owner gave the server this name, for https."""
    named = urlsplit(public_url)
    return named.scheme == "https" and (urlsplit(f"//{host}").hostname or "") == (named.hostname or "").lower() != ""


class OnlyNamedHosts:
    """WSGI in front of what believes a proxy: a forwarded host counts only if the owner has named it.

    Proxies pass on headers that they do not set themselves; so a stranger could choose what stands in our links.
    """

    def __init__(self, app: WSGIApplication, settings: Settings) -> None:
        self._app = app
        self._named = _named(settings)

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Without the header, unless each host in it is named."""
        hosts = [one.strip().lower() for one in environ.get("HTTP_X_FORWARDED_HOST", "").split(",")]
        if not all(_bare(host) in self._named for host in hosts):
            environ.pop("HTTP_X_FORWARDED_HOST", None)
        return self._app(environ, start_response)


def is_this_machine(host: str) -> bool:
    """Whether a browser takes this host for its own machine, where it needs no https (W3C Secure Contexts, 3.1)."""
    name = urlsplit(f"//{host}").hostname or ""
    return name in ("localhost", "::1") or name.endswith(".localhost") or (_is_address(name) and name[:4] == "127.")


def comes_from_us(asked: Request, public_url: str = "") -> bool:
    """Whether a browser sent this request from one of our own pages (by its own word, which pages cannot change).

    `Sec-Fetch-Site` is sent over https and to this machine only; on a plain-http home network `Origin` has to do.
    """
    site = asked.headers.get("Sec-Fetch-Site")
    if site is not None:
        return site == "same-origin"
    origin = asked.headers.get("Origin")
    return bool(origin) and origin in (asked.host_url.rstrip("/"), public_url)


def only_our_json(public_url: str) -> None:
    """For the JSON routes: a change comes from our own pages, as JSON (no form of another site can send that).

    Stops the request with 403 or 415.
    """
    if request.method not in _SAFE:
        if not comes_from_us(request, public_url):
            abort(403)
        if request.mimetype != "application/json":
            abort(415)


def comes_from_elsewhere(asked: Request, public_url: str = "") -> bool:
    """Whether the browser says that another site sent this; without any word (an old browser) it may be ours."""
    spoke = "Sec-Fetch-Site" in asked.headers or "Origin" in asked.headers
    typed_in = asked.headers.get("Sec-Fetch-Site") == "none"
    return spoke and not typed_in and not comes_from_us(asked, public_url)


def install(app: Flask, settings: Settings) -> None:
    """Check every request before anything else looks at it."""

    @app.before_request
    def check() -> None:
        try:
            sensible = host_is_sensible(request.host, settings)
        except ValueError:
            sensible = False
        if not sensible:
            abort(421)
        if request.method not in _SAFE and comes_from_elsewhere(request, settings.public_url):
            abort(403)


def _named(settings: Settings) -> set[str]:
    named = {settings_host.lower() for settings_host in settings.trusted_hosts}
    if settings.public_url:
        named.add((urlsplit(settings.public_url).hostname or "").lower())
    return named


def _bare(host: str) -> str:
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
