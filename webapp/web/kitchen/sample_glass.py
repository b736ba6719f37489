"""The test glass: what to weigh tonight, when to look, and what it showed. All of it without JavaScript."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.learning.sample_glass import LAST_LOOK, LONGEST_GLASS_S, SampleGlass, expected_at, lessons_of, when
from webapp.data.safety import allergens
from webapp.forms import sample_glass as answers
from webapp.forms.in_units import heat_text
from webapp.forms.typed import Answers
from webapp.kitchens import book, sample_glass
from webapp.kitchens.access import Home
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, world
from webapp.words import learned as words
from webapp.words.cautions import rule_words
from webapp.words.pages import kitchen as said

bp = Blueprint("sample_glass", __name__, url_prefix="/test-glass")

_HALF_HOUR_S = 1800


@bp.get("")
def show() -> str | AnyResponse:
    """What to weigh, in a kitchen as warm as usual or as `room` says, and the glasses so far."""
    inside = enter()
    typed = Answers({"room": request.args.get("room", "")})
    form = _room_form({"room": request.args.get("room", "")})
    try:
        return _page(inside, room_c=answers.read_room(typed, inside.kitchen), room_form=form)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, room_form=form), 422)


@bp.post("")
def start() -> AnyResponse:
    """The line is drawn."""
    inside, here = must_have(), world()
    form = _room_form(None)
    try:
        room_c = answers.read_room(forms.answers_of(form), inside.kitchen)
        key = sample_glass.start(here.store, here.now(), here.new_id, inside.kitchen_id, room_c)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, room_form=form), 422)
    flash(said.GLASS_BEGUN, "good")
    return redirect(url_for("sample_glass.show", _anchor=key), 303)


@bp.post("/<key>")
def read(key: str) -> AnyResponse:
    """One reading."""
    inside, here = must_have(), world()
    if key not in dict(sample_glass.glasses(here.store, inside.kitchen_id)):
        raise NotHere(key)  # thrown away on another phone: said before anything is said of what was typed
    form = _reading_form(None)
    try:
        typed = forms.answers_of(form)
        at, times, room_c = answers.read_reading(typed, inside.kitchen, here.now())
        sample_glass.read(here.store, here.now(), here.new_id, inside.kitchen_id, key, at, times, room_c)
    except PlanError as error:
        forms.show(form, error.problems, {"times": "height", "now": "height"})
        return make_response(_page(inside, key, form), 422)
    flash(said.GLASS_READ, "good")
    return redirect(url_for("sample_glass.show", _anchor=key), 303)


@bp.post("/<key>/readings/<int:at>/drop")
def take_back(key: str, at: int) -> AnyResponse:
    """Take one reading back."""
    inside, here = must_have(), world()
    sample_glass.take_back(here.store, here.now(), here.new_id, inside.kitchen_id, key, at)
    flash(said.GLASS_TAKEN_BACK, "good")
    return redirect(url_for("sample_glass.show", _anchor=key), 303)


@bp.post("/<key>/drop")
def throw_away(key: str) -> AnyResponse:
    """Forget the glass: nothing is learned from it any more."""
    inside, here = must_have(), world()
    sample_glass.throw_away(here.store, inside.kitchen_id, key)
    flash(said.GLASS_THROWN_AWAY, "good")
    return redirect(url_for("sample_glass.show"), 303)


def _room_form(typed: dict[str, str] | None) -> Any:
    return forms.form_of({"room": forms.number(said.GLASS_ROOM)}, typed, posted=typed is None)


def _reading_form(typed: dict[str, str] | None) -> Any:
    fields = {
        "first": forms.number(said.GLASS_LINE),
        "height": forms.number(said.GLASS_NOW),
        "at": forms.clock(said.GLASS_AT),
        "room": forms.number(said.GLASS_ROOM),
    }
    return forms.form_of(fields, typed, posted=typed is None)


def _page(
    inside: Home, wrong: str = "", reading_form: Any = None, room_c: float | None = None, room_form: Any = None
) -> str:
    here, kitchen = world(), inside.kitchen
    now = here.now()
    taught = book.taught(here.store, now, inside.kitchen_id)
    recipe = sample_glass.proposed(kitchen, now, room_c)
    return render_template(
        "kitchen/sample_glass.html",
        recipe_rows=words.weigh_rows(recipe, kitchen),
        into_glass=words.into_glass(recipe, kitchen),
        room_form=room_form or _room_form({}),
        room_typed="" if room_c is None else heat_text(room_c, kitchen),
        usual_room=heat_text(sample_glass.usual_room_c(kitchen, now), kitchen),
        glasses=[
            _shown(inside, key, glass, now, taught, reading_form if key == wrong else None)
            for key, glass in sample_glass.glasses(here.store, inside.kitchen_id)
        ],
        unreadable=sample_glass.unreadable(here.store, inside.kitchen_id),
        taught=taught,
        cautions=[rule_words("raw-flour")],
        allergen=next(one.short for one in allergens() if one.key == "gluten"),
        press=forms.Press(),
        kitchen=kitchen,
        now=now,
        zone=kitchen.zone,
        clock=kitchen.clock,
    )


def _shown(inside: Home, key: str, glass: SampleGlass, now: int, taught: book.Taught, form: Any) -> dict[str, Any]:
    """One glass as the page shows it."""
    kitchen = inside.kitchen
    mean, sd = taught.kitchen.vigour_ln_mean, taught.kitchen.vigour_ln_sd
    ends = min(when(glass, LAST_LOOK), glass.started_at + LONGEST_GLASS_S)
    at_half_hours = range(glass.started_at + 2 * _HALF_HOUR_S, ends + _HALF_HOUR_S, _HALF_HOUR_S)
    return {
        "key": key,
        "glass": glass,
        "open": now <= glass.started_at + LONGEST_GLASS_S,
        "look": words.when_to_look(glass, mean, kitchen),
        "rows": [words.look_row(expected_at(glass, at, mean, sd), kitchen) for at in at_half_hours],
        "lessons": [(one, words.quicker_words(one.quicker)) for one in lessons_of(key, glass)],
        "form": form or _reading_form({}),
        "wrong": form is not None,
    }
