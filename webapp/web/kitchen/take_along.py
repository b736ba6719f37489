"""Take everything along as JSON, bring it in on another server, delete everything."""

from __future__ import annotations

from contextlib import closing

from flask import Blueprint, Response, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.doughs import larder
from webapp.kitchens import access, sample_glass, take_along
from webapp.kitchens.access import Home
from webapp.machine.bounded_json import read_json
from webapp.reminders.caldav import leaving
from webapp.web import forms
from webapp.web.door import enter, hand_out, is_shut_out, keep_nothing, must_have, visit, world
from webapp.web.files import packing
from webapp.web.reminder_tools import ringing
from webapp.words.pages import kitchen as words
from webapp.words.problems.files import no_kitchen
from webapp.words.problems.told import LEFT_OUT, Told, all_in_words, refused

bp = Blueprint("export", __name__)

MOST_BROUGHT_BYTES = 24_000_000  # bytes of a file of a kitchen: more than a thousand bakes
_MOST_VALUES, _MOST_NESTED = 1_500_000, 40


@bp.get("/take-along")
def show() -> str:
    """The three things one can do with everything."""
    return _page(visit())


@bp.get("/export.json")
def export() -> Response:
    """The whole kitchen as one JSON file."""
    inside, here = must_have(), world()
    response = packing.written(lambda out: take_along.everything(here.store, here.now(), inside.kitchen_id, out))
    response.mimetype = "application/json"
    response.headers["Content-Disposition"] = 'attachment; filename="suppertide-kitchen.json"'
    return keep_nothing(response)


@bp.post("/import")
def bring_in() -> AnyResponse:
    """Bring an exported kitchen into this one. A phone that was shut out gets another one only when it says so."""
    if is_shut_out() and "anew" not in request.form:
        return make_response(_page(visit(), refused("anew", *words.ANOTHER_KITCHEN)), 422)
    inside, here = enter(anew=True), world()
    try:
        with take_along.one_at_a_time():
            document = _json(_sent_file())
            brought = take_along.bring_in(here.store, here.now(), here.new_id, inside.kitchen_id, document)
    except PlanError as error:
        return make_response(_page(inside, error), 422)
    flash(words.brought_in(brought.bakes, brought.unmade), "good")
    if brought.left_out:
        flash(f"{', '.join(brought.left_out)}: {LEFT_OUT}.", "careful")
    return redirect(url_for("home.show"), 303)


@bp.post("/delete-everything")
def delete_everything() -> AnyResponse:
    """Forget the kitchen. The word has to be typed, so that no slip of a thumb does it."""
    inside = must_have()
    if request.form.get("word", "").strip().lower() != "delete":
        error = refused("word", *words.NOTHING_DELETED)
        return make_response(_page(inside, error), 422)
    here = world()
    # First out of the person's own calendar, as far as its server answers: afterwards nobody knows the password.
    leaving.disconnect(here.store, ringing().tools, here.now(), inside.kitchen_id)
    left = leaving.leavings(here.store, here.now(), inside.kitchen_id)
    if any(one.until for one in left) and not request.form.get("anyway"):
        return make_response(_page(inside, _still_leaving(left), anyway=True), 422)
    access.delete_everything(here.store, inside.kitchen_id)
    hand_out("")
    response = make_response(render_template("gone.html", left=" ".join(one.said for one in left)))
    # What this phone had packed goes too, where the browser knows how (W3C Clear Site Data).
    response.headers["Clear-Site-Data"] = '"storage"'
    return response


def _still_leaving(left: tuple[leaving.Leaving, ...]) -> PlanError:
    """The kitchen waits for its calendars: with it the login goes, and nobody could take our events out any more."""
    going = [one for one in left if one.until]
    titles = sum(len(one.titles) for one in going)
    return refused("word", *words.still_leaving(titles, [one.name for one in going], going[0].why))


def _sent_file() -> bytes:
    sent = request.files.get("file")
    if sent is None:
        return b""
    with closing(sent):
        return bytes(sent.read())


def _page(inside: Home, error: PlanError | None = None, anyway: bool = False) -> str:
    return render_template(
        "kitchen/take_along.html", press=forms.Press(), kitchen=inside.kitchen, problems=_problems(error),
        anyway=anyway, word=request.form.get("word", ""),
        unreadable=larder.of_kitchen(world().store, inside.kitchen_id).unreadable
        + sample_glass.unreadable(world().store, inside.kitchen_id),
    )  # fmt: skip


def _problems(error: PlanError | None) -> tuple[Told, ...]:
    return all_in_words(error.problems) if error else ()


def _json(data: bytes) -> object:
    try:
        # Of a damaged row an export holds what stands there: left out by itself, not with all the others.
        return read_json(data, _MOST_VALUES, _MOST_NESTED, strict=False)
    except ValueError:
        raise refused("file", *no_kitchen(empty=not data)) from None
