"""A bake whose dough is mixed: it is changed from where it stands, never replaced by another plan."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.day.day import clock_text, date_text, instant_of
from webapp.core.errors import PlanError
from webapp.core.scale.as_made import as_made
from webapp.kitchens import bakes, book
from webapp.kitchens.access import Home
from webapp.planning.changed.told import beside_others
from webapp.web import forms
from webapp.web.door import around, must_have, world
from webapp.web.plan import when
from webapp.words.kinds.flags import flag_words
from webapp.words.plan.weights import yeast_words
from webapp.words.problems.told import refused
from webapp.words.shared import UNCALLED_PAN
from webapp.words.spoken import spoken
from webapp.words.times import wall_minute

bp = Blueprint("mixed", __name__)


@bp.get("/bakes/<bake_id>/change")
def show(bake_id: str) -> str | AnyResponse:
    """When supper is, to be changed; of a dough that is not mixed yet all the questions, as they were answered."""
    inside = must_have()
    stands = _standing(inside, bake_id)
    if not stands.is_mixed:
        return redirect(url_for("form.show", again=bake_id))
    typed = request.args.get("supper", "")
    try:
        supper = instant_of(typed, stands.plan.zone, 0) if typed else stands.state.supper
    except PlanError:
        supper = stands.state.supper
    return _page(inside, stands, _form(inside, stands, supper))


@bp.post("/bakes/<bake_id>/change")
def change(bake_id: str) -> AnyResponse:
    """Move supper; the best way there is taken, and both phones follow it."""
    inside, here = must_have(), world()
    stands = _standing(inside, bake_id)
    form = _form(inside, stands, stands.state.supper)
    try:
        supper = _supper(form, stands, here.now())
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            book.move_supper(here.store, here.now(), here.new_id, inside.kitchen_id, bake_id, supper)
    except PlanError as error:
        forms.show(form, error.problems, {"supper": "at"})
        return make_response(_page(inside, stands, form), 422)
    in_oven = " What is in the oven comes out in its own time." if stands.retimed.place == "oven" else ""
    flash(f"Supper is moved, and the steps that are still open with it.{in_oven}{_oven_off(inside, bake_id)}", "good")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


def _standing(inside: Home, bake_id: str) -> bakes.FollowedBake:
    here = world()
    return bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id)


def _oven_off(inside: Home, bake_id: str) -> str:
    """What to do with an oven that is on, and is now to be lit later; "" where there is nothing to be done."""
    stands = _standing(inside, bake_id)
    for step, timed in zip(stands.plan.steps, stands.retimed.steps, strict=True):
        if timed.flag == "off":
            clock = clock_text(timed.start, stands.plan.zone)
            at = wall_minute(int(clock[:2]) * 60 + int(clock[3:]), inside.kitchen.clock)
            return " The oven: " + flag_words(timed.flag, step.kind, False, at)
    return ""


def _supper(form: Any, stands: bakes.FollowedBake, now: int) -> int:
    supper = instant_of(when.supper_typed(form), stands.plan.zone, 0, "supper")
    if supper <= now:
        raise refused("supper", "That is over already.", "Choose a time that is still to come.")
    return supper


def _form(inside: Home, stands: bakes.FollowedBake, supper: int) -> Any:
    zone, clock = stands.plan.zone, inside.kitchen.clock
    day, at = date_text(supper, zone), clock_text(supper, zone)
    fields = when.fields(inside.kitchen, world().now(), at, day, lambda: supper)
    minute = int(at[:2]) * 60 + int(at[3:])
    return forms.form_of(fields, {"day": day, "at": wall_minute(minute, clock)})


def _page(inside: Home, stands: bakes.FollowedBake, form: Any) -> str:
    now = world().now()
    plan = spoken(as_made(stands.plan, stands.state, UNCALLED_PAN), inside.kitchen)
    return render_template(
        "plan/mixed.html", plan=plan, yeast=yeast_words(plan), form=form, stands=stands, **around(inside, now)
    )
