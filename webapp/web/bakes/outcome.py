"""Why a bake came out as it did: causes by its own numbers, and one suggestion to accept for the next."""

from __future__ import annotations

from flask import Blueprint, flash, redirect, render_template, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.kitchens import outcome
from webapp.web import forms
from webapp.web.door import must_have, world
from webapp.words.pages import book as words
from webapp.words.problems.told import one_line

bp = Blueprint("outcome", __name__, url_prefix="/bakes/<bake_id>/outcome")


@bp.get("")
def show(bake_id: str) -> str:
    """The causes of what was ticked in the book."""
    inside, here = must_have(), world()
    now = here.now()
    return render_template(
        "bakes/outcome.html",
        bake_id=bake_id,
        found=outcome.findings(here.store, now, inside.kitchen_id, bake_id),
        signs=outcome.sign_names(),
        press=forms.Press(),
        kitchen=inside.kitchen,
        now=now,
        zone=inside.kitchen.zone,
        clock=inside.kitchen.clock,
    )


@bp.post("/accept")
def accept(bake_id: str) -> AnyResponse:
    """Take the suggestion into the next plan."""
    inside, here = must_have(), world()
    try:
        change = outcome.take_along(here.store, here.now(), inside.kitchen_id, bake_id)
        flash(words.taken_along(change.text), "good")
    except PlanError as error:
        flash(one_line(error), "careful")
    return redirect(url_for("outcome.show", bake_id=bake_id), 303)
