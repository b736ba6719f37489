"""What a request that failed is told: one JSON shape for the API, one page for everybody else.

{"error": {"field": "...", "message": "...", "way_out": "..."}, "errors": [the same shape, all of them]}
"""

from __future__ import annotations

from collections.abc import Sequence

from flask import Flask, Response, current_app, jsonify, make_response, render_template, request
from flask_wtf.csrf import CSRFError  # type: ignore[import-untyped]  # ships no types
from werkzeug.exceptions import HTTPException

from webapp.core.errors import PlanError, Problem
from webapp.records import ShapeError
from webapp.store.failure import DatabaseError, why
from webapp.store.ids import NotHere
from webapp.web import limits
from webapp.web.door import ShutOut, is_shut_out, keep_nothing
from webapp.words.pages import requests
from webapp.words.problems.told import all_in_words, told


def wants_json() -> bool:
    """API routes answer in JSON whatever happens, also when they do not exist; so does what watchers ask."""
    return request.path.startswith("/api/") or request.path == "/health"


def json_error(status: int, problems: Sequence[Problem]) -> Response:
    """The one error shape of the API."""
    shapes = [{"field": one.field, "message": one.message, "way_out": one.way_out} for one in all_in_words(problems)]
    response = jsonify({"error": shapes[0], "errors": shapes})
    response.status_code = status
    return keep_nothing(response)


def page_error(status: int, problems: Sequence[Problem]) -> Response:
    """The one error page."""
    return make_response(render_template("error.html", status=status, problems=all_in_words(problems)), status)


def answer(status: int, problems: Sequence[Problem]) -> Response:
    """In the shape that this route speaks."""
    return json_error(status, problems) if wants_json() else page_error(status, problems)


def install(app: Flask) -> None:
    """Handlers for everything that can be raised; pages can ask whether the phone was shut out."""
    app.jinja_env.globals["is_shut_out"] = is_shut_out
    app.register_error_handler(PlanError, _plan_error)
    app.register_error_handler(NotHere, _not_here)
    app.register_error_handler(ShutOut, _shut_out)
    app.register_error_handler(CSRFError, _stale_form)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(DatabaseError, _no_database)
    app.register_error_handler(Exception, _broken)


def _plan_error(error: PlanError) -> Response:
    bake_id = (request.view_args or {}).get("bake_id")
    if isinstance(error, ShapeError) and bake_id and request.method == "GET" and not wants_json():
        return make_response(render_template("bakes/lost.html", bake_id=bake_id), 422)
    return answer(422, error.problems)


def _not_here(_: NotHere) -> Response:
    return answer(404, [_problem(404)])


def _shut_out(_: ShutOut) -> Response:
    return make_response(render_template("kitchen/shut_out.html"), 403)


def _stale_form(_: CSRFError) -> Response:
    return answer(400, [told("form", *requests.STALE_FORM)])


def _http(error: HTTPException) -> Response | HTTPException:
    status = error.code or 500
    if status < 400:
        return error
    response = answer(status, [_problem(status)])
    for name, value in error.get_headers():
        if name in ("Allow", "Retry-After"):
            response.headers[name] = value
    if status == 429:
        response.headers.setdefault("Retry-After", str(limits.again_in_s()))
    return response


def _no_database(error: Exception) -> Response:
    """A disk that is full, a file that is locked: not for ever, and nothing was changed, so 503 (RFC 9110, 15.6.4)."""
    said = why(error)
    if said is None:
        return _broken(error)
    current_app.logger.error("the database cannot be used: %s", error)
    typed = request.method == "POST" and not wants_json()
    response = answer(503, [told("request", *requests.database_trouble(*said, typed))])
    response.headers["Retry-After"] = "10"
    return response


def _broken(error: Exception) -> Response:
    current_app.logger.error("request failed", exc_info=error)
    if current_app.testing:
        raise error
    return answer(500, [_problem(500)])


def _problem(status: int) -> Problem:
    return told("request", *requests.STATUS_SAID.get(status, requests.STATUS_SAID[400 if status < 500 else 500]))
