"""A hatch beside the door: calendars that ask for a feed which has not changed are answered before the app wakes up.

Subscribed calendars ask all day long and mostly hear 304. Whatever is not simply a feed that was composed before, for
the same key and the same address, goes on to the app: first askers, unknown keys, anything odd. So nothing is decided
here that the app did not decide before.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Flask
from werkzeug.http import parse_etags

from webapp.reminders.events import Feed, KeptFeeds, kept_feed
from webapp.reminders.ics import CONTENT_TYPE
from webapp.web.door import MOST_KEY, World

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

_USUAL_PORTS = {"http": ":80", "https": ":443"}


def feed_headers(found: Feed) -> list[tuple[str, str]]:
    """What goes with a feed, by the hatch or by the app."""
    return [
        ("Content-Type", CONTENT_TYPE),
        ("ETag", f'"{found.etag}"'),
        ("Cache-Control", "private, no-cache"),
        ("Referrer-Policy", "no-referrer"),
        ("X-Content-Type-Options", "nosniff"),
    ]


def install(app: Flask) -> None:
    """Put the hatch in front of the app; the world and the tools for reminders are in it already."""
    kept = app.extensions["suppertide-ringing"].feeds
    app.wsgi_app = UnchangedFeeds(app.wsgi_app, app.extensions["suppertide"], kept)  # type: ignore[method-assign]


class UnchangedFeeds:
    """WSGI in front of the app."""

    def __init__(self, app: WSGIApplication, here: World, feeds: KeptFeeds) -> None:
        self._app, self._store, self._feeds, self._now = app, here.store, feeds, here.now
        self._public_url = here.settings.public_url

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer a feed that is at hand, else ask the app."""
        key = _key(environ)
        found = kept_feed(self._store, self._feeds, self._now(), key, self._origin(environ)) if key else None
        if found is None:
            return self._app(environ, start_response)
        if parse_etags(environ.get("HTTP_IF_NONE_MATCH", "")).contains_weak(found.etag):  # RFC 9110 13.1.2
            start_response("304 NOT MODIFIED", feed_headers(found)[1:])
            return [b""]
        start_response("200 OK", [*feed_headers(found), ("Content-Length", str(len(found.body)))])
        return [b"" if environ["REQUEST_METHOD"] == "HEAD" else found.body]

    def _origin(self, environ: WSGIEnvironment) -> str:
        """As `our_origin` has it: only an address under which the app composed the feed finds it here."""
        scheme, host = environ["wsgi.url_scheme"], environ.get("HTTP_HOST", "")
        return self._public_url or f"{scheme}://{host.removesuffix(_USUAL_PORTS.get(scheme, ':'))}"


def _key(environ: WSGIEnvironment) -> str:
    """The key of a plain request for a feed, "" for everything else."""
    path = environ.get("PATH_INFO", "")
    plain = environ.get("REQUEST_METHOD") in ("GET", "HEAD") and not environ.get("SCRIPT_NAME")
    plain = plain and not environ.get("QUERY_STRING")  # one person's: the app has it
    if not plain or not path.startswith("/feed/") or not path.endswith(".ics"):
        return ""
    key = path[len("/feed/") : -len(".ics")]
    return key if len(key) <= MOST_KEY and "/" not in key else ""
