"""How often one address may ask for what costs the server something: far more than a household ever does."""

from __future__ import annotations

from typing import cast

from flask import Flask, abort, current_app
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from limits import parse

_NAME = "suppertide-limits"
_HOUSEHOLDS = parse("60 per hour")
# Endpoint: how often. Counted in memory, for each process by itself; the address is the one the proxy of ours saw.
_OFTEN = {
    "form.plan": "60 per minute; 400 per hour",
    "home.show": "240 per minute; 4000 per hour",
    "home.take": "60 per minute; 400 per hour",
    "join.join": "20 per minute; 60 per hour",
    "join.make_code": "20 per minute; 60 per hour",
    "push.test_ring": "6 per minute; 30 per hour",
    "reminders.find": "20 per minute; 60 per hour",
    "export.bring_in": "6 per minute; 30 per hour",
    "busy.upload": "6 per minute; 60 per hour",
    "busy.follow": "10 per minute; 60 per hour",
    "busy.look_now": "10 per minute; 60 per hour",
}


def install(app: Flask) -> None:
    """After the families of pages: each endpoint of the table gets its limit."""
    limiter = Limiter(get_remote_address, app=app, storage_uri="memory://")
    app.extensions[_NAME] = limiter
    for endpoint, often in _OFTEN.items():
        app.view_functions[endpoint] = limiter.limit(often)(app.view_functions[endpoint])  # type: ignore[assignment]  # same view


def new_kitchen() -> None:
    """One more household from this address; stops the request with 429 when there were too many."""
    limiter = cast(Limiter, current_app.extensions[_NAME])
    if not limiter.limiter.hit(_HOUSEHOLDS, "household", get_remote_address()):
        abort(429)
