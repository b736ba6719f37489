"""Supper of a bake, moved: planned anew until its dough is mixed, from then on changed from where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.day.day import clock_text, date_text, instant_of
from webapp.core.errors import PlanError
from webapp.core.kinds import ClockStyle
from webapp.core.plan.retimed import timed_steps
from webapp.core.plan.whose import as_it_stands
from webapp.core.scale.as_made import as_made
from webapp.kitchens import bakes, book
from webapp.kitchens.access import Home
from webapp.planning.changed import supper as supper_of_bake
from webapp.planning.changed.news import beside_others
from webapp.planning.full_plan import NothingFits
from webapp.web import forms
from webapp.web.door import around, must_have, world
from webapp.web.plan import when
from webapp.web.plan.followed import followed, is_given_up, to_its_page
from webapp.words.kinds.flags import flag_words
from webapp.words.pages import questions as said
from webapp.words.plan.weights import yeast_words
from webapp.words.problems.refusal import near_words
from webapp.words.problems.told import refused
from webapp.words.problems.typed import OVER_ALREADY
from webapp.words.shared import UNCALLED_PAN
from webapp.words.spoken import bake_title, spoken
from webapp.words.times import clock, day_clock, wall_minute

bp = Blueprint("mixed", __name__)

TAPS_MIN = (-60, -30, 30, 60)  # from the supper that stands


@bp.get("/bakes/<bake_id>/change")
def show(bake_id: str) -> str | AnyResponse:
    """When supper is, to be changed."""
    inside = must_have()
    if is_given_up(inside, bake_id):
        return to_its_page(bake_id, said.GIVEN_UP_STAYS)
    stands = followed(inside, bake_id)
    typed = request.args.get("supper", "")
    try:
        supper = instant_of(typed, stands.plan.zone, 0) if typed else stands.state.supper
    except PlanError:
        supper = stands.state.supper
    return _page(inside, stands, _form(inside, stands, supper))


@bp.post("/bakes/<bake_id>/change")
def change(bake_id: str) -> AnyResponse:
    """Move supper. Of a mixed dough the best way there is taken; before, its day is planned anew, in the same way."""
    inside, here = must_have(), world()
    if is_given_up(inside, bake_id):
        return to_its_page(bake_id, said.GIVEN_UP_STAYS)
    stands = followed(inside, bake_id)
    form = _form(inside, stands, stands.state.supper)
    try:
        supper = _supper(form, stands, here.now())
        if not stands.is_fixed:
            return _plan_anew(inside, bake_id, supper)
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            book.move_supper(here.store, here.now(), here.new_id, inside.kitchen_id, bake_id, supper)
    except PlanError as error:
        forms.show(form, error.problems, {"supper": "at", "when": "at", "method": "at"})
        near = [one for one in error.nearest if one.change.at] if isinstance(error, NothingFits) else []
        ways = [(near_words(one.change, inside.kitchen), one.wish.supper_local) for one in near
                if one.change.kind != "home-earlier"]  # fmt: skip
        return make_response(_page(inside, stands, form, ways), 422)
    after = followed(inside, bake_id)
    asked, at = (_named(inside, after, when) for when in (supper, after.retimed.eat_at))
    flash(said.supper_moved(asked, at, stands.retimed.place == "oven", _oven_off(inside, after)), "good")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


def _plan_anew(inside: Home, bake_id: str, supper: int) -> AnyResponse:
    """Take the day of that supper made in the same way; where only other ways meet it, they are shown."""
    here, zone = world(), inside.kitchen.zone
    local = f"{date_text(supper, zone)}T{clock_text(supper, zone)}"
    where = url_for("bake_pages.bake", bake_id=bake_id)
    before = followed(inside, bake_id)
    try:
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            taken = supper_of_bake.move(
                here.store,
                here.now(),
                here.new_id,
                inside.kitchen_id,
                bake_id,
                local,
                here.remembered,
                any_way="near" in request.form,
            )
    except bakes.DoughMixed:
        flash(said.MIXED_BEFORE_MOVING, "careful")
        return redirect(url_for("mixed.show", bake_id=bake_id, supper=local), 303)
    if taken:
        after = followed(inside, bake_id)
        is_lost = before.state.later > after.plan.steps[0].start
        flash(said.supper_planned(_named(inside, after, supper), is_lost), "good")
        return redirect(where, 303)
    flash(said.OTHER_WAYS_FIT, "careful")
    return redirect(f"{where}?offers", 303)


def _named(inside: Home, stands: bakes.FollowedBake, supper: int) -> str:
    """ "tomorrow 19:30"."""
    return day_clock(supper, stands.plan.zone, inside.kitchen.clock, world().now())


def _oven_off(inside: Home, stands: bakes.FollowedBake) -> str:
    """What to do with an oven that is on, and is now to be lit later; "" where there is nothing to be done."""
    for step, timed in timed_steps(stands.plan, stands.retimed):
        if timed.flag in ("off", "off-then"):
            at = clock(timed.start, stands.plan.zone, inside.kitchen.clock)
            return flag_words(timed.flag, step.kind, False, at)
    return ""


def _supper(form: Any, stands: bakes.FollowedBake, now: int) -> int:
    """As it was tapped or typed; PlanError at "at" for one that is over."""
    supper = instant_of(
        request.form.get("to") or request.form.get("near") or when.supper_typed(form), stands.plan.zone, 0, "supper"
    )
    if supper <= now:
        raise refused("supper", *OVER_ALREADY)
    return supper


def _sooner_or_later(stands: bakes.FollowedBake, style: ClockStyle, now: int) -> list[tuple[str, str]]:
    """Suppers around the one that stands, each a tap: its clock, and what is sent for it."""
    zone, supper = stands.plan.zone, stands.state.supper
    around_it = (supper + minutes * 60 for minutes in TAPS_MIN)
    return [(clock(at, zone, style), f"{date_text(at, zone)}T{clock_text(at, zone)}") for at in around_it if at > now]


def _form(inside: Home, stands: bakes.FollowedBake, supper: int) -> Any:
    zone, style = stands.plan.zone, inside.kitchen.clock
    day, at = date_text(supper, zone), clock_text(supper, zone)
    fields = when.fields(replace(inside.kitchen, zone=zone), world().now(), at, day, lambda: supper)
    minute = int(at[:2]) * 60 + int(at[3:])
    return forms.form_of(fields, {"day": day, "at": wall_minute(minute, style)})


def _page(inside: Home, stands: bakes.FollowedBake, form: Any, ways: Sequence[tuple[str, str]] = ()) -> str:
    now = world().now()
    made = as_made(stands.plan, stands.state, UNCALLED_PAN)
    made = replace(made, title=bake_title(made, stands.state.supper))
    made = as_it_stands(made, stands.state, stands.retimed, now)
    plan = spoken(made, inside.kitchen, retimed=stands.retimed, proof=stands.state.proof)
    return render_template(
        "plan/mixed.html",
        plan=plan,
        yeast=yeast_words(plan),
        form=form,
        stands=stands,
        taps=_sooner_or_later(stands, inside.kitchen.clock, now),
        ways=ways,
        **around(inside, now),
    )
