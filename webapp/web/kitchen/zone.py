"""Another clock for the kitchen: asked about first where planned bakes would read otherwise by it."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.day.day import zone_of
from webapp.core.errors import PlanError
from webapp.kitchens.access import change_kitchen
from webapp.planning.changed import clock
from webapp.planning.changed.news import beside_others, settings_changed
from webapp.web import forms
from webapp.web.door import around, enter, visit, world
from webapp.words.pages import kitchen as said
from webapp.words.problems.told import in_words

bp = Blueprint("kitchen_zone", __name__, url_prefix="/settings/zone")


@bp.get("")
def show() -> str | AnyResponse:
    """What the new clock moves, and each planned bake by both."""
    inside, here = visit(), world()
    zone = request.args.get("zone", "")
    zone_of(zone)
    moved = clock.behind(here.store, here.now(), inside.kitchen_id, zone)
    if not moved and zone == inside.kitchen.zone:
        return redirect(url_for("home.show"))
    return render_template(
        "kitchen/zone.html", new_zone=zone, moved=moved, press=forms.Press(), **around(inside, here.now())
    )


@bp.post("")
def save() -> AnyResponse:
    """Set the clock (offered by static/js/pages/zone.js when a phone's is another one).

    With bakes that would read otherwise, and neither `keep` nor `move` (the bake that moves to the same hour by the
    new clock) answered, the question is shown and nothing changed.
    """
    zone, move = request.form.get("zone", ""), request.form.get("move", "")
    zone_of(zone)
    inside, here = enter(), world()
    asked = url_for("kitchen_zone.show", zone=zone)
    if not (move or request.form.get("keep")) and clock.behind(here.store, here.now(), inside.kitchen_id, zone):
        return redirect(asked, 303)
    change_kitchen(here.store, inside.kitchen_id, lambda kitchen: replace(kitchen, zone=zone))
    settings_changed(here.store, here.now(), inside.kitchen_id, inside.kitchen)
    if move:
        _move(inside.kitchen_id, move)
        if clock.behind(here.store, here.now(), inside.kitchen_id, zone):
            return redirect(asked, 303)
    return redirect(url_for("home.show"), 303)


def _move(kitchen_id: str, bake_id: str) -> None:
    here = world()
    try:
        with beside_others(here.store, here.now(), kitchen_id, bake_id):
            clock.move(here.store, here.now(), here.new_id, kitchen_id, bake_id, here.planner)
    except PlanError as error:
        flash(said.zone_set_alone(in_words(error.problems[0]).message), "careful")
        return
    flash(said.ZONE_SET, "good")
