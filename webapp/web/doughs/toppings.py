"""Sets of toppings: those of the house and our own, written down as grams for one of our trays."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.formula.toppings import ToppingSet, rim_cm, scale
from webapp.core.kinds import TOPPING_WHENS
from webapp.core.kitchen import Kitchen
from webapp.core.plan import Pan
from webapp.data import safety as safety_data
from webapp.data.toppings import topping_set, topping_sets
from webapp.doughs import own as own_things
from webapp.doughs.larder import TOPPINGS
from webapp.forms import toppings
from webapp.forms.choices import choices, when_word
from webapp.kitchens.access import Home
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.words.toppings import note

bp = Blueprint("toppings", __name__, url_prefix="/larder/toppings")

_STANDARD = Pan("standard", "A tray of 40 x 30 cm", "rectangle", 1200.0, 1, 40.0, 30.0)


@bp.get("")
def show() -> str:
    """Every set, scaled to the kitchen's first tray."""
    inside = visit()
    own = own_things.own(world().store, inside.kitchen_id, TOPPINGS)
    tray = _pans(inside.kitchen)[0]
    return render_template(
        "doughs/toppings.html",
        kitchen=inside.kitchen,
        tray=tray,
        own=[(one, _scaled(one, tray, inside.kitchen)) for one in own.values()],
        shipped=[(one, _scaled(one, tray, inside.kitchen)) for one in topping_sets().values() if one.items],
        unreadable=own_things.unreadable(world().store, inside.kitchen_id, TOPPINGS),
        names={one.key: one.short for one in safety_data.allergens()},
        press=forms.Press(),
    )


@bp.get("/new")
def new() -> str:
    """An empty sheet, or a copy of the set named by `from`."""
    inside = visit()
    source = request.args.get("from", "")
    if not source:
        return _edit_page(inside, _form(inside, None, {"pan": _pans(inside.kitchen)[0].key}), "")
    chosen = _every(inside).get(source)
    if chosen is None:
        raise NotHere(source)
    typed = _typed(inside, chosen) | {"name": f"{chosen.name[:50]}, ours"}
    return _edit_page(inside, _form(inside, chosen, typed), "")


@bp.post("")
def save_new() -> AnyResponse:
    """Write down a new set."""
    return _save(enter(), "")


@bp.get("/<key>/edit")
def edit(key: str) -> str:
    """Change an own set."""
    inside = must_have()
    chosen = own_things.own_one(world().store, inside.kitchen_id, TOPPINGS, key)
    return _edit_page(inside, _form(inside, chosen, _typed(inside, chosen)), key)


@bp.post("/<key>/edit")
def save(key: str) -> AnyResponse:
    """Save a new version of it."""
    inside = must_have()
    own_things.own_one(world().store, inside.kitchen_id, TOPPINGS, key)
    return _save(inside, key)


@bp.post("/<key>/put-away")
def put_away(key: str) -> AnyResponse:
    """Take an own set off the shelf."""
    own_things.put_away(world().store, must_have().kitchen_id, TOPPINGS, key)
    flash("Put away. Bakes planned with it keep it.", "good")
    return redirect(url_for("toppings.show"), 303)


def _save(inside: Home, key: str) -> AnyResponse:
    here = world()
    form = _form(inside, None, {})
    areas = {pan.key: pan.area_cm2 for pan in _pans(inside.kitchen)}
    allergens = tuple(one.key for one in safety_data.allergens())
    rim = topping_set("tomato-cheese").rim
    try:
        read = toppings.read_set(forms.answers_of(form), areas, allergens, rim)
        own_things.save(here.store, here.now(), here.new_id, inside.kitchen_id, TOPPINGS, read, key)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_edit_page(inside, form, key), 422)
    flash("Saved: it can be chosen on the plan form.", "good")
    return redirect(url_for("toppings.show"), 303)


def _every(inside: Home) -> dict[str, ToppingSet]:
    return own_things.own(world().store, inside.kitchen_id, TOPPINGS) | topping_sets()


def _pans(kitchen: Kitchen) -> tuple[Pan, ...]:
    return kitchen.pans or (_STANDARD,)


def _scaled(chosen: ToppingSet, tray: Pan, kitchen: Kitchen) -> Any:
    wall = rim_cm([tray]) if chosen.rim_on else 0.0
    scaled = scale(chosen, tray.area_cm2, "tray", wall)
    return [replace(one, note=note(one, kitchen.mass_unit)) for one in scaled]


def _typed(inside: Home, chosen: ToppingSet) -> dict[str, str]:
    tray = _pans(inside.kitchen)[0]
    return toppings.typed_set(chosen, tray.key, tray.area_cm2)


def _form(inside: Home, chosen: ToppingSet | None, typed: dict[str, str]) -> Any:
    fields = {
        "name": forms.text("Name"),
        "pan": forms.one_of("The grams below are for", [(pan.key, pan.name) for pan in _pans(inside.kitchen)]),
        "rim": forms.tick("With a crisp cheese rim"),
        "note": forms.text("Note"),
    }
    # A posted form has as many rows as were shown; the most are read, whatever was posted.
    rows = toppings.MOST_ROWS if request.method == "POST" else toppings.rows_for(chosen)
    for place in range(rows):
        fields |= {
            f"{place}-name": forms.text("What"),
            f"{place}-grams": forms.number("Grams, ready to use"),
            f"{place}-when": forms.one_of("It goes on", choices(TOPPING_WHENS, when_word)),
            f"{place}-keep": forms.one_of("It is kept", toppings.KEEPS),
            f"{place}-drained": forms.number("Left once drained, %"),
            f"{place}-allergens": forms.text("Allergens", list="allergens"),
            f"{place}-note": forms.text("How"),
        }
    return forms.form_of(fields, typed)


def _edit_page(inside: Home, form: Any, key: str) -> str:
    rows = [place for place in range(toppings.MOST_ROWS) if f"{place}-name" in form]
    allergens = [(one.key, one.short) for one in safety_data.allergens()]
    return render_template(
        "doughs/toppings_edit.html", kitchen=inside.kitchen, form=form, key=key, rows=rows, allergens=allergens
    )
