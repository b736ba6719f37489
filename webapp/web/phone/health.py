"""`/health`, for whoever watches the app at another server; the one that comes with it answers for itself."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify
from marshmallow import fields

from webapp.web.door import keep_nothing, world
from webapp.web.phone.described.route import described
from webapp.web.phone.described.shapes import AnswerShape

bp = Blueprint("health", __name__)


class Health(AnswerShape):
    """How the server is: the one that comes with the app says `live` and `ready` too."""

    ok = fields.Boolean(required=True)
    live = fields.Boolean()
    ready = fields.Boolean()


@bp.get("/health")
@described(Health, for_anybody=True, also={503: Health})
def health() -> Response:
    """For whoever watches the server: the database answers."""
    return keep_nothing(jsonify({"ok": world().store.check()}))
