"""The sliders under the offers: the same wish with one answer changed, planned again."""

from __future__ import annotations

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.forms import wish
from webapp.kitchens import bakes
from webapp.kitchens.access import Home
from webapp.planning import evenings, what_if
from webapp.planning.tonight import day_of
from webapp.web import forms
from webapp.web.door import must_have, world
from webapp.web.plan import questions
from webapp.words.problems.told import one_line

bp = Blueprint("what_if", __name__)


@bp.post("/bakes/<bake_id>/what-if")
def ask(bake_id: str) -> AnyResponse:
    """New offers for the bake. A script asks for them alone (X-Part: offers), a browser is sent back to the page."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    said = ""
    try:
        answers = what_if.changed(held.wish, inside.kitchen, request.form)
        wanted = wish.read_wish(answers, inside.kitchen, questions.choices(inside), here.now())
        evenings.set_plan(here.store, here.now(), here.new_id, inside.kitchen_id, wanted, here.planner, bake_id=bake_id)
    except PlanError as error:
        said = one_line(error)
    if request.headers.get("X-Part") == "offers":
        return make_response(_offers(inside, bake_id, said), 422 if said else 200)
    if said:
        flash(said, "careful")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id, offers=""), 303)


def _offers(inside: Home, bake_id: str, said: str) -> str:
    here, kitchen = world(), inside.kitchen
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    return render_template(
        "plan/offer_rows.html",
        bake=held,
        offers=[day_of(offer) for offer in held.offers],
        press=forms.Press(),
        asked=said,
        kitchen=kitchen,
        now=here.now(),
        zone=kitchen.zone,
        clock=kitchen.clock,
    )
