"""Push messages to this browser: on, off, and a test ring. JSON from our own pages, like the rest of the API."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, abort, jsonify, request
from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields

from webapp.machine.bounded_json import read_json
from webapp.reminders.push import message, sending
from webapp.reminders.push.message import Receiver
from webapp.web.door import keep_nothing, must_be_known, world
from webapp.web.origin import only_our_json
from webapp.web.phone.described.route import described
from webapp.web.phone.described.shapes import AnswerShape
from webapp.words.pages import reminders as said
from webapp.words.problems.told import refused


class Keys(Schema):
    """How messages to this browser are encrypted (RFC 8291), base64url."""

    class Meta:
        unknown = EXCLUDE

    p256dh = fields.String(required=True)
    auth = fields.String(required=True)


class Browser(Schema):
    """A browser that has messages, by where they are sent."""

    class Meta:
        unknown = EXCLUDE

    endpoint = fields.String(required=True)


class Subscription(Browser):
    """What `PushSubscription.toJSON()` of a browser gives (W3C Push API)."""

    keys = fields.Nested(Keys, required=True)


class Nothing(Schema):
    """An empty group: there is nothing to say."""

    class Meta:
        unknown = RAISE


class Messages(AnswerShape):
    """`key`: the server's public one. `browsers` of this kitchen have messages; `here`: this one too."""

    key = fields.String(required=True)
    browsers = fields.Integer(required=True, strict=True)
    here = fields.Boolean(required=True)


class RingsAt(AnswerShape):
    """How many browsers ring, and when."""

    browsers = fields.Integer(required=True, strict=True)
    rings_at = fields.Integer(required=True, strict=True)


_MOST_VALUES, _MOST_NESTED = 1000, 30  # of what a browser may add to its subscription
bp = Blueprint("push", __name__, url_prefix="/api/push")


@bp.before_request
def guard() -> None:
    """Changes come from our own pages; without the extra nothing is here."""
    only_our_json(world().settings.public_url)
    if not message.available():
        abort(404)


bp.after_request(keep_nothing)  # subscriptions are nobody else's business


@bp.get("")
@described(Messages, fails=(404,))
def key() -> Response:
    """The server's public key, and how many browsers of this kitchen have messages."""
    inside, here = must_be_known(), world()
    count, mine = sending.how_many(here.store, inside.kitchen_id, inside.phone_id)
    return jsonify({"key": message.public_key(here.settings.data), "browsers": count, "here": mine})


@bp.post("")
@described(Messages, takes=Subscription, fails=(404, 422))
def subscribe() -> Response:
    """Send messages to this browser from now on."""
    inside, here = must_be_known(), world()
    sent = _sent(Subscription)
    to = Receiver(sent["endpoint"], sent["keys"]["p256dh"], sent["keys"]["auth"])
    hosts = frozenset(here.settings.push_hosts)
    sending.subscribe(here.store, here.now(), here.new_id, inside.kitchen_id, inside.phone_id, to, hosts)
    return key()


@bp.post("/off")
@described(Messages, takes=Browser, fails=(404, 422))
def unsubscribe() -> Response:
    """No more messages to this browser."""
    inside = must_be_known()
    sending.unsubscribe(world().store, inside.kitchen_id, _sent(Browser)["endpoint"])
    return key()


@bp.post("/test")
@described(RingsAt, takes=Nothing, fails=(404, 422))
def test_ring() -> Response:
    """A message to every browser of this kitchen in one minute."""
    inside, here = must_be_known(), world()
    _sent(Nothing)
    count = sending.ring_in_a_minute(here.store, here.now(), inside.kitchen_id, here.new_id)
    return jsonify({"browsers": count, "rings_at": here.now() + sending.TEST_AFTER_S})


def _sent(schema: type[Schema]) -> dict[str, Any]:
    try:
        sent = read_json(request.get_data(), _MOST_VALUES, _MOST_NESTED)
    except ValueError:
        sent = None
    if not isinstance(sent, dict):
        raise refused("request", *said.NO_OBJECT)
    try:
        return dict(schema().load(sent))
    except ValidationError as error:
        (field, *_) = sorted(map(str, error.messages))
        raise refused(field, *said.NOT_A_BROWSERS) from None
