"""A piece of a dough that is mixed, for another evening: asked for on the page of its bake."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core import units
from webapp.core.day.day import clock_text, date_text, instant_of, same_clock
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen
from webapp.kitchens import bakes, spare
from webapp.kitchens.access import Home
from webapp.kitchens.mixed import other_half
from webapp.planning.changed.news import beside_others
from webapp.planning.evenings import check_room
from webapp.planning.spare import cut_off
from webapp.web import forms
from webapp.web.door import around, must_have, world
from webapp.web.plan import when
from webapp.web.plan.followed import followed, is_given_up, to_its_page
from webapp.words.pages import questions as words
from webapp.words.problems import fields
from webapp.words.spoken import spoken
from webapp.words.times import wall_minute

bp = Blueprint("spare", __name__)


@bp.get("/bakes/<bake_id>/spare")
def show(bake_id: str) -> str | AnyResponse:
    """How much, baked in what, for which evening; with "supper", an evening that was named before."""
    inside = must_have()
    if is_given_up(inside, bake_id):
        return to_its_page(bake_id, words.GIVEN_UP_WHOLE)
    stands = followed(inside, bake_id)
    return _page(inside, stands, _form(inside, stands, request.args))


@bp.post("/bakes/<bake_id>/spare")
def make(bake_id: str) -> AnyResponse:
    """Make the second bake; where it does not fit that evening, say why and name the nearest that it fits."""
    inside, here = must_have(), world()
    if is_given_up(inside, bake_id):
        return to_its_page(bake_id, words.GIVEN_UP_WHOLE)
    stands = followed(inside, bake_id)
    form = _form(inside, stands, {})
    try:
        asked = _asked(form, inside, stands)
        check_room(here.store, here.now(), inside.kitchen_id, 1, other_half(bake_id))
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            other_id = cut_off.cut_off(here.store, here.now(), inside.kitchen_id, bake_id, asked)
    except PlanError as error:
        forms.show(form, error.problems, {"supper": "at"})
        if why := cut_off.why_not(stands, here.now(), cut_off.other_is_on(here.store, inside.kitchen_id, bake_id)):
            form.form_errors.append(why)  # the form was open when its dough was parted, baked or past its best
        near = error.nearest if isinstance(error, cut_off.NoEvening) else ""
        return make_response(_page(inside, stands, form, near), 422)
    flash(_made(here.store, inside, other_id), "good")
    return redirect(url_for("bake_pages.bake", bake_id=other_id), 303)


def _made(store: Any, inside: Home, other_id: str) -> str:
    kept = bakes.picked(store, inside.kitchen_id, other_id).kept
    if kept is None or kept.at == "mix":
        return words.CUT_NOW
    return words.CUT_LATER


def _asked(form: Any, inside: Home, stands: bakes.FollowedBake) -> cut_off.PieceAsked:
    answers = forms.answers_of(form)
    grams = _read_grams(answers, inside.kitchen)
    if answers.problems:
        raise PlanError(*answers.problems)
    supper = when.supper_typed(form)
    pan = cut_off.chosen_pan(form.pan.data or "", grams, stands.plan.loading_g_cm2, inside.kitchen)
    return cut_off.PieceAsked(grams, supper, pan)


def _read_grams(answers: Any, kitchen: Kitchen) -> float:
    if kitchen.mass_unit == "oz":
        return units.g_from_oz(float(answers.number("grams", 1, 400, "oz", what=fields.PIECE)))
    return float(answers.number("grams", 1, 10_000, "g", what=fields.PIECE))


def _form(inside: Home, stands: bakes.FollowedBake, said: Any) -> Any:
    kitchen, now = inside.kitchen, world().now()
    zone, plan = kitchen.zone, stands.plan  # the piece is planned by it, whatever clock its dough goes by
    day, at = _evening(said.get("supper", ""), zone, plan.supper)
    grams = _grams(stands)
    fields = when.fields(kitchen, now, at, day, lambda: instant_of(f"{day}T{at}", zone, 0))
    minute = int(at[:2]) * 60 + int(at[3:])
    in_what = [(pan.key, pan.name) for pan in _every_pan(grams, plan.loading_g_cm2, kitchen)]
    fields |= {"grams": forms.number(words.ASKED["grams"]), "pan": forms.one_of(words.ASKED["pan"], in_what)}
    typed = units.mass_number(grams, kitchen.mass_unit)
    filled = {"day": day, "at": wall_minute(minute, kitchen.clock), "grams": said.get("grams", typed)}
    return forms.form_of(fields, filled | {"pan": said.get("pan", in_what[0][0])})


def _grams(stands: bakes.FollowedBake) -> float:
    """What is more than tonight's pan takes, where that is a piece; else a third of it."""
    mixed_g, over_g = spare.in_bowl(stands)
    return round(over_g if over_g >= cut_off.LEAST_G else mixed_g / 3.0)


def _every_pan(grams: float, loading: float, kitchen: Kitchen) -> Any:
    """What such a piece fits first, then the kitchen's other pans: the grams may be typed anew."""
    fit = cut_off.pans_for(grams, loading, kitchen)
    named = [pan.key for pan in fit]
    return [*fit, *(pan for pan in kitchen.pans if pan.key not in named)]


def _evening(said: str, zone: str, supper: int) -> tuple[str, str]:
    """Day and hour that the form begins with: what was named, else the day after this supper at the same hour."""
    try:
        there = instant_of(said, zone, 0) if said else same_clock(zone, supper, 1)
    except PlanError:
        there = same_clock(zone, supper, 1)
    return date_text(there, zone), clock_text(there, zone)


def _page(inside: Home, stands: bakes.FollowedBake, form: Any, near: str = "") -> str:
    here = world()
    plan = spoken(stands.plan, inside.kitchen)
    mixed_g, over_g = spare.in_bowl(stands)
    parted = cut_off.other_is_on(here.store, inside.kitchen_id, plan.bake_id)
    return render_template(
        "plan/spare.html",
        plan=plan,
        form=form,
        why_not=cut_off.why_not(stands, here.now(), parted),
        mixed_g=mixed_g,
        over_g=over_g if over_g >= cut_off.LEAST_G else 0.0,
        other=other_half(plan.bake_id) if parted else "",
        near=near,
        near_at=instant_of(near, inside.kitchen.zone, 0) if near else 0,
        **around(inside, here.now()),
    )
