"""The JSON API of the kitchen screen: which bakes there are, one bake's bundle, its journal both ways.

Every failure has the one error shape of `errors.py`. Nothing here makes a kitchen: a phone without one is told so.
"""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, request

from webapp.kitchens import bakes as kitchen_bakes
from webapp.kitchens import kept
from webapp.kitchens.access import Home, hash_of
from webapp.kitchens.lateness import meeting
from webapp.planning.changed.misfits import misfit_lines
from webapp.planning.changed.news import STILL_SHOWN_S, beside_others
from webapp.planning.tonight import awaited
from webapp.records import SCHEMA, to_plain
from webapp.web.door import keep_nothing, must_be_known, world
from webapp.web.filters import come_until
from webapp.web.origin import only_our_json
from webapp.web.phone import answers
from webapp.web.phone.described.route import described
from webapp.web.phone.schemas import EVENT_KINDS, EventBatch, EventIn, read_events
from webapp.web.phone.worded import worded
from webapp.words.plan.stands import by_place
from webapp.words.screen.bundle import rings_words
from webapp.words.tonight import late_words

_MOST_LISTED = 2 * kitchen_bakes.MOST_COMING  # those given up too

bp = Blueprint("api", __name__, url_prefix="/api")


@bp.before_request
def guard() -> None:
    """Changes come from our own pages."""
    only_our_json(world().settings.public_url)


bp.after_request(keep_nothing)  # the phone's own database is the copy to keep


@bp.get("/bakes")
@described(answers.BakeList)
def bakes() -> Response:
    """Picked bakes that are still of interest, the next one first, the given-up ones marked.

    `told`: how many events each journal holds, so that a phone asks only for those that have grown. `worded`: a bundle
    that another version worded is asked for again.
    """
    home, here = must_be_known(), world()
    now = here.now()
    rows = here.store.picked(home.kitchen_id, since=now - STILL_SHOWN_S, most=_MOST_LISTED)
    plain = [to_plain(row) | {"told": here.store.count_events(row.bake_id)} for row in rows]
    return jsonify({"schema": SCHEMA, "bakes": plain, "served_at": now, "home": _name_of(home), "worded": worded()})


@bp.get("/bakes/<bake_id>/bundle")
@described(answers.Bundle, fails=(404, 422))
def bundle(bake_id: str) -> Response:
    """The plan, its journal, how this kitchen reads numbers, and what its calendar rings by once steps have moved."""
    home, here = must_be_known(), world()
    found = kitchen_bakes.bundle_for(here.store, here.now(), home.kitchen_id, bake_id)
    _, fetched = here.store.sealed_feed(home.kitchen_id) or ("", 0)
    follows = here.store.account(home.kitchen_id) is not None or fetched > 0
    standing = kitchen_bakes.followed_bake(here.store, here.now(), home.kitchen_id, bake_id)
    unfit = misfit_lines(here.store, here.now(), home.kitchen_id, standing)
    called = {"calendar": rings_words(follows), "home": _name_of(home), "unfit": [to_plain(one) for one in unfit]}
    places = by_place(standing.plan, home.kitchen)
    more = {"home_by": _home_by(standing, home, here.now()), "stands": places, "worded": worded()}
    return jsonify(found | called | more)


@bp.get("/bakes/<bake_id>/events")
@described(answers.Journal, fails=(404, 422))
def events(bake_id: str) -> Response:
    """The journal, and the revision of the plan, so that a phone sees when it needs a new bundle."""
    return _journal(bake_id)


@bp.post("/bakes/<bake_id>/events")
@described(answers.JoinedJournal, takes=EventBatch, fails=(404, 422), one_of={EventIn: EVENT_KINDS})
def add_events(bake_id: str) -> Response:
    """Join events to the journal (repeating changes nothing); answers like GET, with `added`."""
    home, here = must_be_known(), world()
    sent = read_events(request.get_data(), bake_id)
    if sent:
        here.store.says_as(home.phone_id, sent[-1].phone)
    with beside_others(here.store, here.now(), home.kitchen_id, bake_id):
        added = kitchen_bakes.add_to_journal(here.store, here.now(), home.kitchen_id, bake_id, sent)
    return _journal(bake_id, added=added)


def _home_by(standing: kitchen_bakes.FollowedBake, home: Home, now: int) -> dict[str, str | int] | None:
    """By when to be home, in words, for which step, while that stands where it stood when this was said."""
    plan, stands = standing.plan, standing.retimed
    met = awaited(plan, stands, now)
    if met is None:
        return None
    step_id = meeting(plan).step_id
    start = next(one.start for one in stands.steps if one.step_id == step_id)
    words = late_words(met, home.kitchen.clock, start)
    until = come_until(met)
    return {"step_id": step_id, "start": start, "supper": stands.supper, "words": words, "until": until}


def _name_of(home: Home) -> str:
    """By which a phone tells the bakes of a kitchen that it has left from its own that are gone; says nothing else."""
    return hash_of(home.kitchen_id)[:12]


def _journal(bake_id: str, **more: int) -> Response:
    home, here = must_be_known(), world()
    plan = kitchen_bakes.picked(here.store, home.kitchen_id, bake_id)
    lines = [to_plain(event) for event in kept.journal(here.store, home.kitchen_id, bake_id)]
    answer = {"schema": SCHEMA, "events": lines, "revision": plan.revision, "served_at": here.now()}
    return jsonify(answer | more)
