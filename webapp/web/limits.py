"""How often one address, and one household from however many, may ask for what costs the server something: far more
than a household ever does.

What the planner works at costs most. Of that the server in front answers few at once, and to one address one after the
other (`is_dear`, `webapp/server/fair.py`).
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import cast

from flask import Flask, current_app, request
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from limits import parse
from werkzeug.exceptions import HTTPException, TooManyRequests

_NAME = "suppertide-limits"
COUNTED = "suppertide.counted"  # written by the server in front: this request was tried from memory before
_HOUSEHOLDS = parse("60 per hour")
# Endpoint: how often. Counted in memory, for each process by itself; the address is the one the proxy of ours saw.
_OFTEN = {
    "form.plan": "60 per minute; 400 per hour",
    "home.show": "240 per minute; 4000 per hour",
    "home.take": "60 per minute; 400 per hour",
    "week.show": "60 per minute; 600 per hour",
    "what_if.ask": "240 per minute; 4000 per hour",
    "bake_pages.anew": "60 per minute; 400 per hour",
    "mixed.change": "60 per minute; 400 per hour",
    "spare.make": "60 per minute; 400 per hour",
    "kitchen_zone.save": "120 per minute; 1200 per hour",
    "join.join": "20 per minute; 60 per hour",
    "join.make_code": "20 per minute; 60 per hour",
    "push.test_ring": "6 per minute; 30 per hour",
    "reminders.find": "20 per minute; 60 per hour",
    "reminders.connect": "20 per minute; 60 per hour",
    "reminders.publish_now": "20 per minute; 200 per hour",
    "oven.hot": "60 per minute; 400 per hour",
    "export.bring_in": "6 per minute; 30 per hour",
    "export.export": "12 per minute; 120 per hour",
    "busy.upload": "6 per minute; 60 per hour",
    "busy.follow": "10 per minute; 60 per hour",
    "busy.look_now": "10 per minute; 60 per hour",
}
# Endpoints behind which the planner may have to work, or all is read that a household ever kept.
_DEAR = {
    "home.show", "home.take", "week.show", "form.plan", "what_if.ask", "bake_pages.anew", "mixed.show", "mixed.change",
    "spare.show", "spare.make", "kitchen_zone.save", "oven.hot", "export.export",
}  # fmt: skip
# Those of them that write nothing, and where all of the planner's work is remembered (`planning.remembered`).
_REMEMBERED = {"home.show", "week.show"}


def install(app: Flask, household: Callable[[], str]) -> None:
    """After the families of pages: each endpoint of the table gets its limit. `household`: the id of the kitchen that
    asks, "" for a newcomer, who has but an address."""
    limiter = Limiter(get_remote_address, app=app, storage_uri="memory://")
    app.extensions[_NAME] = limiter
    for endpoint, often in _OFTEN.items():
        view = app.view_functions[endpoint]
        view = limiter.limit(often, key_func=household, exempt_when=lambda: _is_counted() or not household())(view)  # type: ignore[assignment]  # same view
        app.view_functions[endpoint] = limiter.limit(often, exempt_when=_is_counted)(view)  # type: ignore[assignment]  # same view


def is_dear(app: Flask) -> Callable[[str, str], bool]:
    """Whether a request, of this method to this path, may cost the planner's work."""
    return _is_of(app, _DEAR)


def is_remembered(app: Flask) -> Callable[[str, str], bool]:
    """Whether such a request may be tried from memory alone (`planning.remembered.known_alone`) before it costs that
    work. It is counted once, when it is tried."""
    return _is_of(app, _REMEMBERED)


def _is_of(app: Flask, endpoints: set[str]) -> Callable[[str, str], bool]:
    rules = app.url_map.bind("")

    def asked(method: str, path: str) -> bool:
        try:
            return rules.match(path, method)[0] in endpoints
        except HTTPException:  # there is nothing there, or it is elsewhere
            return False

    return asked


def _is_counted() -> bool:
    return COUNTED in request.environ


def may_make_kitchen() -> None:
    """Stops the request with 429 when this address has made too many households."""
    limiter, address = _limiter().limiter, get_remote_address()
    if not limiter.test(_HOUSEHOLDS, "household", address):
        raise TooManyRequests(retry_after=_until(limiter.get_window_stats(_HOUSEHOLDS, "household", address)[0]))


def count_kitchen() -> None:
    """One more household from this address."""
    _limiter().limiter.hit(_HOUSEHOLDS, "household", get_remote_address())


def again_in_s() -> int:
    """Seconds until this address may ask again for what it was just refused."""
    limit = _limiter().current_limit
    return _until(limit.window[0]) if limit else 60


def _until(instant: float) -> int:
    return max(1, -int((time.time() - instant) // 1))  # upwards


def _limiter() -> Limiter:
    return cast(Limiter, current_app.extensions[_NAME])
