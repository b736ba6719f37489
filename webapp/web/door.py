"""Who is knocking: the key in the cookie, the kitchen it opens, and the world that use cases are handed."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from flask import Flask, Response, abort, current_app, g, request

from webapp.core.kitchen import Kitchen
from webapp.kitchens import access
from webapp.kitchens.access import Home
from webapp.machine.local_zone import zone_here
from webapp.machine.settings import Settings
from webapp.planning.evenings import Planner
from webapp.store.ids import NewId, NotHere
from webapp.store.store import Store

COOKIE = "suppertide"
_COOKIE_S = 400 * 86400  # browsers keep no cookie for longer
_MOST_KEY = 100


def seconds() -> int:
    """The clock of this machine, UTC seconds."""
    return int(time.time())


def random_id() -> str:
    """128 random bits, 22 characters that are safe in an address."""
    return secrets.token_urlsafe(16)


@dataclass(frozen=True)
class World:
    """What this app hands to use cases. Tests put in their own clock, ids and planner."""

    settings: Settings
    store: Store
    planner: Planner
    now: Callable[[], int]
    new_id: NewId


def world() -> World:
    """The world of the running app."""
    return cast(World, current_app.extensions["suppertide"])


def known() -> Home | None:
    """The kitchen of the asking phone, None when its key opens nothing."""
    if "home" not in g:
        key = request.cookies.get(COOKIE, "")
        here = world()
        g.home = access.come_in(here.store, here.now(), key) if 0 < len(key) <= _MOST_KEY else None
        if g.home and g.home.back_again:
            hand_out(key)  # the cookie lives as long as the visits go on
    return cast(Home | None, g.home)


def enter() -> Home:
    """The kitchen of the asking phone; a first visit makes one (for pages, never for the API or the shell)."""
    home = known()
    if home is None:
        here, key = world(), new_key()
        kitchen = Kitchen(zone=zone_here() or Kitchen().zone)
        home = g.home = access.make_kitchen(here.store, here.now(), here.new_id, key, kitchen)
        hand_out(key)
    return home


def must_be_known() -> Home:
    """The kitchen of the asking phone, else 401: for the API."""
    home = known()
    if home is None:
        abort(401)
    return home


def must_have() -> Home:
    """The kitchen of the asking phone, else 404: for pages of things that only a known kitchen can have."""
    home = known()
    if home is None:
        raise NotHere
    return home


def new_key() -> str:
    """256 random bits, safe in a cookie."""
    return secrets.token_urlsafe(32)


def hand_out(key: str) -> None:
    """Give the phone this key with the answer to the present request ("" takes its key away)."""
    g.new_key = key


def set_cookie(response: Response) -> Response:
    """After each request: the new key, if there is one."""
    key = g.pop("new_key", None)
    if key is None:
        return response
    if key:
        response.set_cookie(
            COOKIE, key, max_age=_COOKIE_S, httponly=True, samesite="Lax", secure=request.is_secure, path="/"
        )
    else:
        response.delete_cookie(COOKIE, path="/", httponly=True, samesite="Lax", secure=request.is_secure)
    return response


def install(app: Flask, here: World) -> None:
    """Put the world into the app."""
    app.extensions["suppertide"] = here
    app.after_request(set_cookie)
