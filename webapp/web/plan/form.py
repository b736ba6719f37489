"""The form with all questions at once: for whoever likes to answer in one go, and to plan a bake again."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.day.day import instant_of
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.doughs import larder
from webapp.forms import wish
from webapp.forms.typed import clock_minutes
from webapp.kitchens import bakes
from webapp.kitchens.access import Home
from webapp.planning import evenings
from webapp.planning.asked import wish_followed
from webapp.planning.full_plan import NothingFits
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.web.plan import pans, questions, warmth, when
from webapp.words.pages import questions as said
from webapp.words.pages.usual import room_in_words
from webapp.words.plan.rise import still_so
from webapp.words.problems.refusal import change_words
from webapp.words.times import wall_minute

bp = Blueprint("form", __name__)


@bp.get("/plan")
def show() -> str | AnyResponse:
    """The questions with yesterday's answers; to plan a bake again, with its own."""
    again = request.args.get("again", "")
    inside = must_have() if again else visit()
    if again and _is_fixed(inside, again):
        return redirect(url_for("mixed.show", bake_id=again))
    return _form_page(inside, _form(inside, again))


@bp.post("/plan")
def plan() -> AnyResponse:
    """Plan the wish; on to its offers. What is wrong comes back to the form with everything typed."""
    inside, here = enter(), world()
    form = _form(inside)
    again = form.again.data or ""
    if form.room_still.data and not (form.room.data or "").strip():
        form.room.data, form.room_at.data = warmth.room_typed(inside)
    try:
        _join_supper(form)
        if again and _is_fixed(inside, again):
            flash(said.MIXED_MEANWHILE, "careful")
            return redirect(url_for("mixed.show", bake_id=again, supper=form.supper.data), 303)
        _join_pan(form, inside.kitchen)
        wanted = wish.read_wish(forms.answers_of(form), inside.kitchen, questions.choices(inside), here.now())
        bake_id = _planned(inside, wanted, again, form.once.data or "")
    except PlanError as error:
        forms.show(form, error.problems, questions.ALSO)
        kinds = {problem.kind for problem in error.problems}
        return make_response(_form_page(inside, form, _ways_out(error, inside.kitchen, again), kinds), 422)
    return redirect(url_for("bake_pages.bake", bake_id=bake_id, offers="again" if again else None), 303)


def _is_fixed(inside: Home, bake_id: str) -> bool:
    """Whether this bake has a dough already, or the half of another: it is changed from where it stands."""
    here = world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    return held.plan is not None and bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id).is_fixed


def _join_supper(form: Any) -> None:
    """Day and time as they were answered are the supper of this form; PlanError when the time is none."""
    typed = {name: form[name].data or "" for name in ("supper", "day", "date", "at")}
    when.join_supper(typed)
    form.supper.data = typed["supper"]


def _join_pan(form: Any, kitchen: Kitchen) -> None:
    """The pan that was tapped on this form is the only one, unless counts were typed."""
    counts = [f"pan-{pan.key}" for pan in kitchen.pans]
    typed = {name: form[name].data or "" for name in (pans.ONE, pans.WAS, *counts)}
    pans.join(typed, kitchen)
    for name in counts:
        form[name].data = typed[name]


def _planned(inside: Home, wanted: Wish, again: str, once: str) -> str:
    """The bake of this wish. A form that is sent twice asks for one bake, with other answers for another."""
    here = world()
    make_id = here.new_id
    if once and not again:
        asked = bakes.asked_once(inside.kitchen_id, once, wanted)
        if bakes.is_here(here.store, inside.kitchen_id, asked):
            return asked

        def make_id() -> str:
            return asked

    return evenings.set_plan(here.store, here.now(), make_id, inside.kitchen_id, wanted, here.planner, again)


def _form(inside: Home, again: str = "") -> Any:
    """The plan form with this kitchen's pans and doughs, filled in from the last wish, or from that of a bake."""
    carried = {"again": forms.hidden(), "once": forms.hidden()}  # which form this is: see _planned
    typed, kitchen, now = _typed(inside, again), inside.kitchen, world().now()
    local = typed["supper"]
    asked = when.fields(kitchen, now, local[11:16], local[:10], lambda: instant_of(local, kitchen.zone, 0))
    split = {"day": local[:10], "at": wall_minute(clock_minutes(local[11:16]) or 0, kitchen.clock)}
    fields = questions.fields_of(inside) | asked | pans.fields(kitchen) | carried
    return forms.form_of(fields, split | typed | pans.shown(typed, kitchen))


def _typed(inside: Home, again: str) -> dict[str, str]:
    here = world()
    if again:
        held = bakes.bake(here.store, inside.kitchen_id, again)
        last = "offers" in request.args  # from the days of what was asked last, back to its answers
        asked = held.wish if last else wish_followed(here.store, inside.kitchen_id, held, inside.kitchen)
        typed = wish.typed_again(asked, inside.kitchen)
        return typed | {"again": again, "away_was": typed["away"]}
    known = bakes.last_wish(here.store, inside.kitchen_id)
    typed = wish.filled_in(known, inside.kitchen, here.now(), questions.choices(inside))
    typed |= {"once": here.new_id(), "away_was": typed.get("away", "")}
    if request.method == "GET":
        typed["supper"] = _evening(inside, typed["supper"]) or typed["supper"]
    return typed


def _put_away(inside: Home, again: str) -> list[str]:
    held = bakes.bake(world().store, inside.kitchen_id, again) if again else None
    return questions.put_away(held.wish, inside) if held else []


def _evening(inside: Home, proposed: str) -> str:
    """The first evening that could have bread at the hour proposed; "" when the planner cannot say."""
    here = world()
    try:
        return evenings.first_evening(here.store, here.now(), inside.kitchen_id, proposed[11:16])
    except PlanError:
        return ""


def _ways_out(error: PlanError, kitchen: Kitchen, again: str) -> list[tuple[str, dict[str, str]]]:
    """Wishes that would work: their words, and the answers to send for them."""
    ways = error.nearest if isinstance(error, NothingFits) else ()
    return [(change_words(way.change, kitchen), wish.typed_again(way.wish, kitchen) | {"again": again}) for way in ways]


def _form_page(inside: Home, form: Any, nearest: Any = (), kinds: Collection[str] = ()) -> str:
    here = world()
    now = here.now()
    found = warmth.last_read(inside)
    return render_template(
        "plan/wish.html",
        form=form,
        nearest=nearest,
        refused="refused" in kinds,
        comes_twice="twice" in kinds,
        pan_fields=[(pan, f"pan-{pan.key}") for pan in inside.kitchen.pans],
        stock=larder.of_kitchen(here.store, inside.kitchen_id),
        put_away=_put_away(inside, form.again.data or ""),
        usual_room=room_in_words(inside.kitchen),
        room_hour=warmth.hour_asked(form, inside),
        room_still="" if found is None else still_so(found, inside.kitchen, now),
        usual_hours=questions.usual_hours(inside),
        kitchen=inside.kitchen,
        now=now,
        zone=inside.kitchen.zone,
        clock=inside.kitchen.clock,
    )
