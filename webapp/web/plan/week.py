"""The week: which of the coming evenings could have bread, with the hours of everybody in the kitchen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.day.day import date_text
from webapp.core.errors import PlanError
from webapp.doughs import larder
from webapp.forms.typed import clock_minutes, clock_text
from webapp.kitchens import bakes, book
from webapp.kitchens.access import Home
from webapp.kitchens.kept import is_zone
from webapp.planning import evenings as evenings_of
from webapp.planning.changed.news import STILL_SHOWN_S
from webapp.store.bakes import PickedRow
from webapp.web.door import visit, world
from webapp.words.problems.refusal import by_method
from webapp.words.problems.told import in_words
from webapp.words.times import wall_minute

bp = Blueprint("week", __name__, url_prefix="/week")


@bp.get("")
def show() -> str | AnyResponse:
    """The evenings of a week, each with its best way, and one tap to plan it; the week after it behind a link."""
    inside, here = visit(), world()
    kitchen, now = inside.kitchen, here.now()
    at, later = _supper_time(inside), request.args.get("from") == "later"
    try:
        evenings = evenings_of.week(
            here.store, now, inside.kitchen_id, at, here.weeks, evenings_of.WEEK if later else 0
        )
    except PlanError as error:
        flash(in_words(error.problems[0]).message, "careful")
        return redirect(url_for("home.show"))
    taken = _taken(inside.kitchen_id, kitchen.zone)
    formulas = larder.of_kitchen(here.store, inside.kitchen_id).formulas
    first = "" if later or not evenings else date_text(evenings[0].supper, kitchen.zone)
    return render_template(
        "plan/week.html",
        evenings=[
            (one, _address(one), by_method(one.in_the_way, kitchen), taken[date_text(one.supper, kitchen.zone)])
            for one in evenings
        ],
        before=[row for date in sorted(taken) if date < first for row in taken[date]],
        dough=formulas[evenings[0].wish.formula_key].name if evenings else "",
        later=later,
        supper_time=wall_minute(clock_minutes(at) or 0, kitchen.clock),
        unlearned=book.unlearned_percent(here.store, now, inside.kitchen_id),
        kitchen=kitchen,
        now=now,
        zone=kitchen.zone,
        clock=kitchen.clock,
    )


def _taken(kitchen_id: str, zone: str) -> Mapping[str, list[PickedRow]]:
    """By the kitchen's date, the bakes that its evening has already, as their suppers stand.

    A zone that nobody knows gives way to its own.
    """
    here, by_date = world(), defaultdict[str, list[PickedRow]](list)
    now = here.now()
    rows = bakes.coming(here.store, kitchen_id, now - STILL_SHOWN_S)
    standing = bakes.followed_bakes(here.store, now, kitchen_id, [row.bake_id for row in rows])
    suppers = {one.plan.bake_id: one.state.supper for one in standing}
    for row in rows:
        known = row if is_zone(row.zone) else replace(row, zone=zone)
        moved = replace(known, supper=suppers.get(row.bake_id, row.supper))
        if moved.supper >= now:
            by_date[date_text(moved.supper, zone)].append(moved)
    return by_date


def _address(one: evenings_of.EveningView) -> dict[str, str]:
    """What the home page is asked for this evening."""
    return {"supper": one.wish.supper_local, "method_key": one.wish.method_key}


def _supper_time(inside: Home) -> str:
    """As asked for, else the kitchen's usual time."""
    asked = clock_minutes(request.args.get("at", ""))
    if asked is not None:
        return clock_text(asked)
    return evenings_of.usual_hour(world().store, world().now(), inside.kitchen_id, inside.kitchen.zone)
