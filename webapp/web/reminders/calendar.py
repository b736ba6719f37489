"""Calendar files: a bake, one of its steps, a test ring, and the feed that follows every plan of a kitchen."""

from __future__ import annotations

from flask import Blueprint, Response, request

from webapp.kitchens.bakes import picked
from webapp.reminders import events as reminders
from webapp.reminders.ics import CONTENT_TYPE, write_calendar
from webapp.reminders.moments import for_another
from webapp.store.ids import NotHere
from webapp.web.door import MOST_KEY, keep_nothing, must_have, world
from webapp.web.reminder_tools import our_origin, ringing
from webapp.web.reminders.unchanged_feed import feed_headers

bp = Blueprint("calendar", __name__)


@bp.get("/bakes/<bake_id>/bake.ics")
def bake(bake_id: str) -> Response:
    """Every step of the bake in one file."""
    inside, here = must_have(), world()
    body = reminders.bake_file(here.store, here.now(), inside.kitchen_id, bake_id, our_origin())
    return _file(body, "bake.ics")


@bp.get("/bakes/<bake_id>/another.ics")
def another(bake_id: str) -> Response:
    """What suits only somebody else, who is home that day: for their phone, where it rings."""
    inside, here = must_have(), world()
    shown = reminders.entries_of_bake(here.store, here.now(), inside.kitchen_id, bake_id)
    plan = picked(here.store, inside.kitchen_id, bake_id)
    theirs = for_another(shown, plan, inside.kitchen, here.now())
    if not theirs:
        raise NotHere(bake_id)
    return _file(write_calendar(theirs, origin=our_origin()), "another.ics")


@bp.get("/bakes/<bake_id>/called-off.ics")
def calling_off(bake_id: str) -> Response:
    """For a calendar that shows the steps of an added file twice once the plan moved: the former ones are off."""
    inside, here = must_have(), world()
    body = reminders.calling_off_file(here.store, here.now(), inside.kitchen_id, bake_id, our_origin())
    return _file(body, "called-off.ics")


@bp.get("/bakes/<bake_id>/steps/<step_id>.ics")
def step(bake_id: str, step_id: str) -> Response:
    """One step alone, for phones that import only a file's first event."""
    inside, here = must_have(), world()
    body = reminders.step_file(here.store, here.now(), inside.kitchen_id, bake_id, step_id, our_origin())
    return _file(body, f"{step_id}.ics")


@bp.get("/reminders/test.ics")
def test_file() -> Response:
    """An event that rings in one to two minutes."""
    here = world()
    body = write_calendar([reminders.ring_soon(here.now(), here.new_id())], origin=our_origin())
    return keep_nothing(_file(body, "test.ics"))


@bp.get("/feed/<key>.ics")
def feed(key: str) -> Response:
    """All bakes of the kitchen behind the key; no cookie, no kitchen made. 304 when nothing changed. `?person=Bo`: less
    what suits only others of the house. By the name: a place would be another's once somebody moved out."""
    if len(key) > MOST_KEY:
        raise NotHere("feed")
    here = world()
    found = reminders.feed(here.store, ringing().feeds, here.now(), key, our_origin(), request.args.get("person", ""))
    response = Response(found.body, headers=feed_headers(found))
    return response.make_conditional(request)  # type: ignore[return-value]  # it returns the response itself


def _file(body: bytes, name: str) -> Response:
    response = Response(body, content_type=CONTENT_TYPE)
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    response.headers["Cache-Control"] = "private, no-cache"
    response.add_etag()
    return response.make_conditional(request)  # type: ignore[return-value]  # it returns the response itself
