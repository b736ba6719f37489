"""Ways of making a dough: those of the house as readable chains, and our own, written down step by step.

The form works without scripts: a row is added, moved or dropped by a button that sends the form and shows it again.
"""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.formula.method import KINDS, MOST_STEPS, Method
from webapp.core.kinds import RESTING_PLACES
from webapp.data import doughs
from webapp.doughs import own as own_things
from webapp.doughs.larder import METHODS
from webapp.forms import method
from webapp.forms.choices import choices
from webapp.kitchens.access import Home
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.words.kinds import place_word
from webapp.words.steps import templates
from webapp.words.times import span_words

bp = Blueprint("methods", __name__, url_prefix="/larder/methods")


@bp.get("")
def show() -> str:
    """Every method as a chain; own ones with their earlier versions."""
    inside, store = visit(), world().store
    own = own_things.own(store, inside.kitchen_id, METHODS)
    return render_template(
        "doughs/methods.html",
        kitchen=inside.kitchen,
        now=world().now(),
        own=[(one, own_things.versions(store, inside.kitchen_id, METHODS, key)[1:]) for key, one in own.items()],
        shipped=doughs.methods().values(),
        unreadable=own_things.unreadable(store, inside.kitchen_id, METHODS),
        titles=_titles(),
        place=place_word,
        span=lambda minutes: span_words(60 * minutes),
        press=forms.Press(),
    )


@bp.get("/new")
def new() -> str:
    """Mix, press and load to begin from, or a copy of the method named by `from`."""
    inside = visit()
    source = request.args.get("from", "")
    if not source:
        kinds = method.STARTING_KINDS
        typed = {f"{place}-kind": kind for place, kind in enumerate(kinds)}
        return _edit_page(inside, _form(len(kinds), typed), len(kinds), "")
    every = own_things.own(world().store, inside.kitchen_id, METHODS) | doughs.methods()
    if source not in every:
        raise NotHere(source)
    chosen = every[source]
    typed = method.typed_method(chosen) | {"name": f"{chosen.name[:50]}, ours"}
    return _edit_page(inside, _form(len(chosen.steps), typed), len(chosen.steps), "")


@bp.post("")
def save_new() -> AnyResponse:
    """Write down a new method, or change its rows."""
    return _save(enter(), "")


@bp.get("/<key>/edit")
def edit(key: str) -> str:
    """Change an own method; its versions are kept."""
    inside = must_have()
    chosen = _own(inside, key)
    rows = len(chosen.steps)
    return _edit_page(inside, _form(rows, method.typed_method(chosen)), rows, key)


@bp.post("/<key>/edit")
def save(key: str) -> AnyResponse:
    """Save a new version, or change its rows."""
    inside = must_have()
    _own(inside, key)
    return _save(inside, key)


@bp.post("/<key>/put-away")
def put_away(key: str) -> AnyResponse:
    """Take an own method off the shelf."""
    own_things.put_away(world().store, must_have().kitchen_id, METHODS, key)
    flash("Put away. Bakes planned with it keep it.", "good")
    return redirect(url_for("methods.show"), 303)


def _own(inside: Home, key: str) -> Method:
    return own_things.own_one(world().store, inside.kitchen_id, METHODS, key)


def _save(inside: Home, key: str) -> AnyResponse:
    here, rows = world(), method.rows_posted(request.form)
    form = _form(rows, {})
    wanted = request.form.get("rows", "")
    if wanted:
        typed, rows = method.rearranged(forms.answers_of(form), rows, wanted)
        return make_response(_edit_page(inside, _form(rows, typed, posted=False), rows, key))
    try:
        read = method.read_method(forms.answers_of(form), rows, key or "new")
        own_things.save(here.store, here.now(), here.new_id, inside.kitchen_id, METHODS, read, key)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_edit_page(inside, form, rows, key), 422)
    flash("Saved: it can be chosen on the plan form.", "good")
    return redirect(url_for("methods.show"), 303)


def _titles() -> dict[str, str]:
    """What the steps are called, in the words of a plan."""
    return {kind: template.title for kind, template in templates().items() if kind in KINDS}


def _form(rows: int, typed: dict[str, str], *, posted: bool = True) -> Any:
    fields = {
        "name": forms.text("Name"),
        "note": forms.text("Note"),
        "through_night": forms.tick("The longest wait has a night in it"),
    }
    kinds = (("", "– (leave this row out)"), *_titles().items())
    places = choices(RESTING_PLACES, place_word, "Where this step puts it")
    for place in range(rows):
        step = f"Step {place + 1}"
        fields |= {
            f"{place}-kind": forms.one_of(f"{step}: kind of step", kinds),
            f"{place}-least": forms.text(f"{step}: wait, at least", **{"class": "short"}),
            f"{place}-best": forms.text(f"{step}: wait, best", **{"class": "short"}),
            f"{place}-most": forms.text(f"{step}: wait, at most", **{"class": "short"}),
            f"{place}-hands": forms.count(f"{step}: work"),
            f"{place}-place": forms.one_of(f"{step}: place", places),
            f"{place}-optional": forms.tick("May be left out when the day has no room for it"),
            f"{place}-alarm": forms.count(f"{step}: ringing"),
        }
    return forms.form_of(fields, typed, posted)


def _edit_page(inside: Home, form: Any, rows: int, key: str) -> str:
    return render_template(
        "doughs/methods_edit.html", kitchen=inside.kitchen, form=form, key=key, rows=range(rows), most=MOST_STEPS,
        titles=_titles(),
    )  # fmt: skip
