"""Push messages to this browser: on, off, and a test ring. JSON from our own pages, like the rest of the API."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, abort, jsonify, request

from webapp.machine.bounded_json import read_json
from webapp.reminders.push import message, sending
from webapp.reminders.push.message import Receiver
from webapp.web.door import must_be_known, world
from webapp.web.origin import only_our_json
from webapp.words.problems.told import refused

bp = Blueprint("push", __name__, url_prefix="/api/push")


@bp.before_request
def guard() -> None:
    """Changes come from our own pages; without the extra nothing is here."""
    only_our_json(world().settings.public_url)
    if not message.available():
        abort(404)


@bp.after_request
def keep_nothing(response: Response) -> Response:
    """Subscriptions are nobody else's business."""
    response.headers["Cache-Control"] = "no-store"
    return response


@bp.get("")
def key() -> Response:
    """The server's public key, and how many browsers of this kitchen have messages."""
    inside, here = must_be_known(), world()
    count, mine = sending.how_many(here.store, inside.kitchen_id, inside.phone_id)
    return jsonify({"key": message.public_key(here.settings.data), "browsers": count, "here": mine})


@bp.post("")
def subscribe() -> Response:
    """Send messages to this browser from now on."""
    inside, here = must_be_known(), world()
    sent = _sent()
    keys = sent.get("keys")
    keys = keys if isinstance(keys, dict) else {}
    to = Receiver(_text(sent, "endpoint"), _text(keys, "p256dh"), _text(keys, "auth"))
    hosts = frozenset(here.settings.push_hosts)
    sending.subscribe(here.store, here.now(), here.new_id, inside.kitchen_id, inside.phone_id, to, hosts)
    return key()


@bp.post("/off")
def unsubscribe() -> Response:
    """No more messages to this browser."""
    inside = must_be_known()
    sending.unsubscribe(world().store, inside.kitchen_id, _text(_sent(), "endpoint"))
    return key()


@bp.post("/test")
def test_ring() -> Response:
    """A message to every browser of this kitchen in one minute."""
    inside, here = must_be_known(), world()
    count = sending.ring_in_a_minute(here.store, here.now(), inside.kitchen_id, here.new_id)
    return jsonify({"browsers": count, "rings_at": here.now() + sending.TEST_AFTER_S})


def _sent() -> dict[str, Any]:
    try:
        sent = read_json(request.get_data(), most_values=50, most_depth=4)
    except ValueError:
        sent = None
    if not isinstance(sent, dict):
        raise refused("request", "This is not a JSON object.", "Reload the page and try again.")
    return sent


def _text(sent: dict[str, Any], name: str) -> str:
    value = sent.get(name)
    return value if isinstance(value, str) else ""
