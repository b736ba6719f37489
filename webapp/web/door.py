"""Who is knocking: the key in the cookie, the kitchen it opens, and the world that use cases are handed."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, cast

from flask import Flask, Response, abort, current_app, g, request

from webapp.kitchens import access
from webapp.kitchens.access import Home
from webapp.kitchens.bakes import NOBODYS, newcomers_kitchen
from webapp.machine.settings import Settings
from webapp.planning.evenings import FirstPlanner, Planner, WeekPlanner
from webapp.store.failure import DatabaseError
from webapp.store.ids import NewId, NotHere
from webapp.store.store import Store
from webapp.web import limits

COOKIE = "suppertide"
SAFE_COOKIE = f"__Host-{COOKIE}"  # over https: see `cookie_name`
KEY_COOKIES = (SAFE_COOKIE, COOKIE)  # the app takes the first of them that was sent
# Names under which the app writes for the server in front of it, into what WSGI hands on:
ROUTE = "suppertide.route"  # which of its routes answered
HOUSEHOLD = "suppertide.household"  # whose key was sent: the server is fair to all
_COOKIE_S = 400 * 86400  # browsers keep no cookie for longer
MOST_KEY = 100  # letters, of a cookie and of a feed's address


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
    remembered: Planner  # the same, for pages that are looked at again and again
    first: FirstPlanner  # its best plan alone, for a comparison; it remembers too
    weeks: WeekPlanner  # what plans the coming evenings; it remembers too
    now: Callable[[], int]
    new_id: NewId


def world() -> World:
    """The world of the running app."""
    return cast(World, current_app.extensions["suppertide"])


def keep_nothing(response: Response) -> Response:
    """For this browser alone, and for now: caches on the way and the browser's own hold nothing of it."""
    response.headers["Cache-Control"] = "no-store"
    return response


def known() -> Home | None:
    """The kitchen of the asking phone, None when its key opens nothing."""
    if "home" not in g:
        key, name = _key_sent()
        here = world()
        g.home = access.come_in(here.store, here.now(), key) if 0 < len(key) <= MOST_KEY else None
        if g.home:
            request.environ[HOUSEHOLD] = g.home.kitchen_id
        if g.home and (g.home.back_again or name != cookie_name()):
            hand_out(key)  # the cookie lives as long as the visits go on; an older name is changed for the present one
    return cast(Home | None, g.home)


def visit() -> Home:
    """The kitchen of the asking phone; for somebody new, a newcomer's kitchen that is kept nowhere. For GET."""
    return known() or Home(NOBODYS, "", "", newcomers_kitchen())


class ShutOut(Exception):  # noqa: N818  # an answer, not a fault
    """The phone has a key that opens nothing any more: it was taken off the list, or its kitchen is gone."""


def is_shut_out() -> bool:
    """Whether the asking phone was in a kitchen that does not know it any more."""
    return known() is None and bool(_key_sent()[0])


def enter(anew: bool = False) -> Home:
    """The kitchen of the asking phone; the first thing saved makes one (for forms, never for the API or the shell).
    One that is made for what is then refused goes again with the answer (`_unmake_refused`).

    ShutOut for a phone whose key opens nothing any more, unless it wants a kitchen of its own (`anew`): a tap on a page
    that was open must not put it into an empty kitchen.
    """
    home = known()
    if is_shut_out() and not anew:
        raise ShutOut
    if home is None:
        limits.may_make_kitchen()
        here, key = world(), new_key()
        home = g.home = access.make_kitchen(here.store, here.now(), here.new_id, key, newcomers_kitchen())
        hand_out(key)
        g.made = home.kitchen_id
    return home


def around(inside: Home, now: int) -> dict[str, Any]:
    """What most templates ask for: the kitchen, the instant, the zone and how its clock reads."""
    return {"kitchen": inside.kitchen, "now": now, "zone": inside.kitchen.zone, "clock": inside.kitchen.clock}


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


def cookie_name() -> str:
    """Over https a name that browsers let nobody else set: no sibling of our host, no page over plain http
    (RFC 6265bis 4.1.3.2)."""
    return SAFE_COOKIE if request.is_secure else COOKIE


def _key_sent() -> tuple[str, str]:
    """(key, name of its cookie); a cookie of before https, or of before that name, goes on working."""
    name = cookie_name()
    return (request.cookies[name], name) if name in request.cookies else (request.cookies.get(COOKIE, ""), COOKIE)


def set_cookie(response: Response) -> Response:
    """After each request: the new key, if there is one."""
    key = g.pop("new_key", None)
    if key is None:
        return response
    name, secure = cookie_name(), request.is_secure
    if key:
        response.set_cookie(name, key, max_age=_COOKIE_S, httponly=True, samesite="Lax", secure=secure, path="/")
    for old in {name, COOKIE} if not key else {COOKIE} - {name}:
        if old in request.cookies:
            response.delete_cookie(old, path="/", httponly=True, samesite="Lax", secure=secure)
    return response


def _unmake_refused(response: Response) -> Response:
    """After each request: a kitchen made for it stays only where something was saved, and only then is it counted."""
    made = g.pop("made", None)
    if made is None:
        return response
    if response.status_code < 400:
        limits.count_kitchen()
    else:
        g.pop("new_key", None)
        with suppress(DatabaseError):  # which is what is told of then; nobody has its key, so it is swept up
            access.delete_everything(world().store, made)
    return response


def install(app: Flask, here: World) -> None:
    """Put the world into the app."""
    app.extensions["suppertide"] = here
    app.after_request(set_cookie)
    app.after_request(_unmake_refused)  # runs first: Flask takes the last one registered before the others
