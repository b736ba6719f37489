"""The bake: its offers until one is picked, then itself and its print view (`templates/bakes/`)."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.plan.whose import as_it_stands
from webapp.core.scale.as_made import as_made
from webapp.forms.wish import in_todays_pans
from webapp.kitchens import bakes, book, spare
from webapp.kitchens.access import Home
from webapp.kitchens.unbegun import is_past, never_begun
from webapp.planning import evenings, kept_part
from webapp.planning.asked import is_wish_of, wish_followed
from webapp.planning.changed.misfits import misfit_lines, true_now
from webapp.planning.changed.news import beside_others
from webapp.planning.spare import cut_off
from webapp.planning.tonight import awaited, day_of
from webapp.web import forms
from webapp.web.door import around, must_have, world
from webapp.web.forms import flash_problems
from webapp.web.origin import comes_from_us
from webapp.web.reminder_tools import left_in_calendar
from webapp.words.pages import questions as said
from webapp.words.plan.kept_part import over_pan_words
from webapp.words.problems.told import in_words
from webapp.words.shared import UNCALLED_PAN
from webapp.words.spoken import bake_title, spoken

bp = Blueprint("bake_pages", __name__)


@bp.get("/bakes/<bake_id>")
def bake(bake_id: str) -> str | AnyResponse:
    """Up to three offers until one is picked, then the bake."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    now = here.now()
    if held.plan is None and not held.offers:
        return redirect(url_for("form.show", again=bake_id))  # brought in from a file, with nothing to choose from
    standing = bakes.followed_bake(here.store, now, inside.kitchen_id, bake_id) if held.plan else None
    if standing is None or (held.offers and "offers" in request.args and not standing.is_fixed):
        return _offers_page(inside, held, now)
    return render_template(
        "bakes/bake.html",
        bake=_shown(held, standing),
        press=forms.Press(),
        spare=_spare(standing, held, inside, now),
        misfits=true_now(misfit_lines(here.store, now, inside.kitchen_id, standing)),
        at_once="anew" in request.args and comes_from_us(request),  # a tap of ours
        never_begun=never_begun(standing.state) and is_past(standing.plan, standing.state, now),
        **_as_it_stands(standing, inside),
        **around(inside, now),
    )


@bp.get("/bakes/<bake_id>/anew")
def to_anew(bake_id: str) -> AnyResponse:
    """The kitchen screen leads here: on to the page with the form for it, which is sent from there at once, or to the
    ways of a mixed dough. Makes nothing."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    stands = bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id) if held.plan else None
    if stands and stands.is_fixed and not held.dropped_at:
        return redirect(f"/kitchen?ways#{bake_id}")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id, anew="", _anchor="misfits"))


@bp.post("/bakes/<bake_id>/anew")
def anew(bake_id: str) -> AnyResponse:
    """Offers for the same wish with the household's settings of now; what is followed stays until one is picked."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    if held.plan and bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id).is_fixed:
        return _is_fixed(bake_id)
    wish = in_todays_pans(wish_followed(here.store, inside.kitchen_id, held, inside.kitchen), inside.kitchen)
    try:
        evenings.set_plan(here.store, here.now(), here.new_id, inside.kitchen_id, wish, here.planner, bake_id)
    except PlanError as error:
        flash(" ".join(in_words(one).message for one in error.problems), "careful")
        return redirect(url_for("form.show", again=bake_id), 303)
    return redirect(url_for("bake_pages.bake", bake_id=bake_id) + "?offers", 303)


def _spare(standing: bakes.FollowedBake, held: bakes.Bake, inside: Home, now: int) -> dict[str, Any]:
    """Whether a piece of the dough can be planned for another evening, and how much is more than its pan takes."""
    parted = cut_off.other_is_on(world().store, inside.kitchen_id, held.bake_id)
    if held.dropped_at or cut_off.why_not(standing, now, parted):
        return {"can": False, "parted": parted}
    over_g = spare.in_bowl(standing)[1]
    return {"can": True, "parted": parted, "over_g": over_g if over_g >= cut_off.LEAST_G else 0.0}


@bp.post("/bakes/<bake_id>/pick")
def pick(bake_id: str) -> AnyResponse:
    """Make the offer that was seen the plan; when it is not there any more, show what is offered now."""
    inside, here = must_have(), world()
    said, seen = request.form.get("place", ""), request.form.get("seen", "")
    place = int(said) if said in ("0", "1", "2") else -1
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    followed = held.plan
    before = bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id) if followed else None
    try:
        evenings.check_room(here.store, here.now(), inside.kitchen_id, evenings.made_by(held.wish), bake_id)
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            plan = bakes.pick(here.store, here.now(), inside.kitchen_id, bake_id, place, seen)
            if before is not None and plan.revision != before.plan.revision:
                book.carry_on(here.store, here.now(), here.new_id, inside.kitchen_id, before, plan)
        kept_part.keep(here.store, here.now(), inside.kitchen_id, bake_id)
    except bakes.DoughMixed:
        return _is_fixed(bake_id)
    except PlanError as error:
        flash_problems(error)
        return make_response(_offers_page(inside, held, here.now()), 422)
    except bakes.OffersChanged:
        held = bakes.bake(here.store, inside.kitchen_id, bake_id)
        return make_response(_offers_page(inside, held, here.now(), changed=True), 409)
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


def _is_fixed(bake_id: str) -> AnyResponse:
    """On to what can still be changed; nothing was."""
    inside, here = must_have(), world()
    stands = bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id)
    if bakes.bake(here.store, inside.kitchen_id, bake_id).dropped_at is not None:
        flash(said.GIVEN_UP_MIXED, "careful")
        return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)
    flash(said.MIXED_BEFORE_TAKING if stands.is_mixed else said.GOES_WITH_THE_OTHER, "careful")
    return redirect(url_for("mixed.show", bake_id=bake_id), 303)


def _offers_page(inside: Home, held: bakes.Bake, now: int, changed: bool = False) -> str:
    offers = [day_of(offer) for offer in held.offers]
    unlearned = book.unlearned_percent(world().store, now, inside.kitchen_id)
    shown = {"bake": held, "offers": offers, "unlearned": unlearned, "changed": changed}
    return render_template("plan/offers.html", press=forms.Press(), **shown, **around(inside, now))


@bp.get("/bakes/<bake_id>/print")
def print_view(bake_id: str) -> str:
    """One page for the fridge door."""
    inside, here = must_have(), world()
    standing = bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id)
    unfit = true_now(misfit_lines(here.store, here.now(), inside.kitchen_id, standing))
    shown = _as_it_stands(standing, inside) | around(inside, here.now())
    return render_template("bakes/print.html", misfits=unfit, **shown)


@bp.post("/bakes/<bake_id>/drop")
def drop(bake_id: str) -> AnyResponse:
    """Give the bake up. Its page says what becomes of its steps in calendars, so that is shown next."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    if held.plan and not bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id).retimed.current:
        flash(said.EATEN_STAYS, "careful")
        return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)
    with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
        bakes.drop(here.store, here.now(), inside.kitchen_id, bake_id)
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


@bp.post("/bakes/<bake_id>/delete")
def delete(bake_id: str) -> AnyResponse:
    """Forget the bake and its journal."""
    inside, here = must_have(), world()
    to_come = any(row.bake_id == bake_id for row in bakes.coming(here.store, inside.kitchen_id, here.now()))
    written = left_in_calendar(bake_id)
    with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
        bakes.forget(here.store, here.now(), inside.kitchen_id, bake_id)
    if written and written[1]:
        flash(said.still_in_calendar(written[1], written[0]), "good")
    if to_come:
        flash(said.FORGOTTEN, "good")
    return redirect(url_for("home.show"), 303)


def _shown(held: bakes.Bake, standing: bakes.FollowedBake) -> bakes.Bake:
    """With the words of the other days; none where another dish was asked for since."""
    plan = standing.plan
    alike = [one for one in held.offers if is_wish_of(plan, held.wish) and one.supper == plan.supper]
    return replace(held, offers=tuple(map(spoken, alike)))


def _as_it_stands(standing: bakes.FollowedBake, inside: Home) -> dict[str, Any]:
    made = as_made(standing.plan, standing.state, UNCALLED_PAN)
    made = replace(made, title=bake_title(made, standing.state.supper))
    plan, state, retimed = standing.plan, standing.state, standing.retimed
    made = as_it_stands(made, state, retimed, world().now())
    return {
        "plan": spoken(made, inside.kitchen, retimed=retimed, proof=state.proof),
        "over_pan": over_pan_words(plan, spare.over_the_pan_g(plan, state), inside.kitchen.mass_unit),
        "events": standing.events,
        "state": standing.state,
        "retimed": standing.retimed,
        "standing": standing,
        "home": awaited(plan, retimed, world().now()),
    }
