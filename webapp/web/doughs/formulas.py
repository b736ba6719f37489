"""The larder: formulas in baker's percentages, shipped and our own; writing one down, changing it, its versions."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.formula.cold_way import perishables
from webapp.core.formula.formula import hydration_percent
from webapp.core.formula.ingredients import Formula
from webapp.core.kinds import BREAD_STYLES, INGREDIENT_KINDS, PREFERMENT_STYLES, TYPED_UNITS, YEAST_KINDS
from webapp.data import safety as safety_data
from webapp.doughs import larder
from webapp.doughs import own as own_things
from webapp.forms import formula as formula_form
from webapp.forms.choices import choices, ingredient_word, preferment_word, style_word, typed_unit_word, yeast_word
from webapp.forms.wish import heat_text
from webapp.kitchens.access import Home
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.words.lists import joined

bp = Blueprint("larder", __name__, url_prefix="/larder")

_STARTING_ROWS = ("flour", "water", "salt", "fat")


@bp.get("")
def show() -> str:
    """Everything on the shelves."""
    inside = visit()
    shelf = larder.shelf(world().store, inside.kitchen_id)
    return render_template(
        "doughs/formulas.html",
        kitchen=inside.kitchen,
        unreadable=own_things.unreadable(world().store, inside.kitchen_id, larder.FORMULAS),
        **_split(shelf.formulas.values()),
    )


@bp.get("/<key>")
def formula(key: str) -> str:
    """One formula in baker's percentages; an own one with its versions."""
    inside = visit()
    chosen = _formula(inside, key)
    own = key.startswith(own_things.OWN)
    versions = own_things.versions(world().store, inside.kitchen_id, larder.FORMULAS, key) if own else ()
    return render_template(
        "doughs/formula.html", formula=chosen, hydration=hydration_percent(chosen), own=own, versions=versions,
        names={one.key: one.short for one in safety_data.allergens()}, press=forms.Press(), kitchen=inside.kitchen,
        now=world().now(), shelf=larder.shelf(world().store, inside.kitchen_id),
        flour_g=formula_form.flour_shown_g(chosen),
    )  # fmt: skip


@bp.get("/new")
def new() -> str:
    """An empty sheet, or a copy of the formula named by `from`."""
    inside = visit()
    source = request.args.get("from", "")
    chosen = _formula(inside, source) if source else None
    typed = _empty_sheet(inside)
    if chosen:
        typed = formula_form.typed_formula(chosen, inside.kitchen) | {"name": f"{chosen.name}, ours"}
    return _edit_page(inside, _form(inside, chosen, typed), "")


@bp.post("")
def save_new() -> AnyResponse:
    """Write down a new formula."""
    return _save(enter(), "")


@bp.get("/<key>/edit")
def edit(key: str) -> str:
    """Change an own formula; its versions are kept."""
    inside = must_have()
    chosen = _own(inside, key)
    return _edit_page(inside, _form(inside, chosen, formula_form.typed_formula(chosen, inside.kitchen)), key)


@bp.post("/<key>/edit")
def save(key: str) -> AnyResponse:
    """Save a new version."""
    inside = must_have()
    _own(inside, key)
    return _save(inside, key)


@bp.post("/<key>/put-away")
def put_away(key: str) -> AnyResponse:
    """Take an own formula off the shelf."""
    own_things.put_away(world().store, must_have().kitchen_id, larder.FORMULAS, key)
    flash("Put away. Bakes made with it keep it.", "good")
    return redirect(url_for("larder.show"), 303)


def _save(inside: Home, key: str) -> AnyResponse:
    here = world()
    shelf = larder.shelf(here.store, inside.kitchen_id)
    form = _form(inside, None, {})
    try:
        allergens = tuple(one.key for one in safety_data.allergens())
        read = formula_form.read_formula(
            forms.answers_of(form), allergens, tuple(shelf.toppings), key or "new", inside.kitchen
        )
        saved = own_things.save(here.store, here.now(), here.new_id, inside.kitchen_id, larder.FORMULAS, read, key)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_edit_page(inside, form, key), 422)
    cold = perishables(read.ingredients)
    kept = f" With {joined(cold)} in it it rises in the fridge, not for hours at room temperature." if cold else ""
    flash(f"Saved.{kept}", "good")
    return redirect(url_for("larder.formula", key=saved), 303)


def _formula(inside: Home, key: str) -> Formula:
    shelf = larder.shelf(world().store, inside.kitchen_id)
    if key not in shelf.formulas:
        raise NotHere(key)
    return shelf.formulas[key]


def _own(inside: Home, key: str) -> Formula:
    return own_things.own_one(world().store, inside.kitchen_id, larder.FORMULAS, key)


def _split(formulas: Any) -> dict[str, list[Formula]]:
    every = list(formulas)
    own = [one for one in every if one.key.startswith(own_things.OWN)]
    return {"own": own, "shipped": [one for one in every if one not in own]}


def _empty_sheet(inside: Home) -> dict[str, str]:
    typed = {
        "unit": "oz" if inside.kitchen.mass_unit == "oz" else "grams",
        "wanted": heat_text(Formula.wanted_dough_c, inside.kitchen),
        "style": "tray", "yeast_kind": "instant", "loading_low": "0.62", "loading": "0.7", "loading_high": "0.82",
        "target_times": "2.5", "past_times": "4",
    }  # fmt: skip
    return typed | {f"{place}-kind": kind for place, kind in enumerate(_STARTING_ROWS)}


def _form(inside: Home, chosen: Formula | None, typed: dict[str, str]) -> Any:
    shelf = larder.shelf(world().store, inside.kitchen_id)
    toppings = [("none", "Nothing, or decided later"), *((k, v) for k, v in shelf.topping_names() if k != "none")]
    fields = {
        "name": forms.text("Name"),
        "style": forms.one_of("Kind of bread", choices(BREAD_STYLES, style_word)),
        "unit": forms.one_of("Amounts are", choices(TYPED_UNITS, typed_unit_word)),
        "yeast_kind": forms.one_of("Yeast", choices(YEAST_KINDS, yeast_word)),
        "yeast": forms.number("How much of it"),
        "loading_low": forms.number("At least"),
        "loading": forms.number("Usually"),
        "loading_high": forms.number("At most"),
        "target_times": forms.number("Press it out when it has grown to"),
        "past_times": forms.number("It is past its best at"),
        "wanted": forms.number("How warm it is when it is mixed"),
        "cold_only": forms.tick("Milk, egg, cheese or garlic in oil in the dough: not for hours at room temperature"),
        "toppings_key": forms.one_of("Usually on top", toppings),
        "note": forms.area("Note"),
        "pre_style": forms.one_of("Preferment", choices(PREFERMENT_STYLES, preferment_word, "None")),
        "pre_flour": forms.number("Its flour"),
        "pre_water": forms.number("Its water"),
        "pre_yeast": forms.number("Its yeast"),
    }
    # A posted form has as many rows as were shown; the most are read, whatever was posted.
    rows = formula_form.MOST_ROWS if request.method == "POST" else formula_form.rows_for(chosen)
    for place in range(rows):
        fields |= _row_fields(place)
    return forms.form_of(fields, typed)


def _row_fields(place: int) -> dict[str, Any]:
    return {
        f"{place}-name": forms.text("Ingredient"),
        f"{place}-kind": forms.one_of("It is", choices(INGREDIENT_KINDS, ingredient_word, "–")),
        f"{place}-amount": forms.number("Amount"),
        f"{place}-water": forms.number("Water in it, %"),
        f"{place}-whole": forms.number("Whole grain, %"),
        f"{place}-allergens": forms.text("Allergens", list="allergens"),
    }


def _edit_page(inside: Home, form: Any, key: str) -> str:
    rows = [place for place in range(formula_form.MOST_ROWS) if f"{place}-name" in form]
    used = [place for place in rows if form[f"{place}-name"].data or form[f"{place}-amount"].data]
    shown = rows[: max(formula_form.LEAST_ROWS, max(used, default=0) + 1 + formula_form.SPARE_ROWS)]
    allergens = [(one.key, one.short) for one in safety_data.allergens()]
    return render_template(
        "doughs/formula_edit.html", form=form, rows=shown, key=key, allergens=allergens, kitchen=inside.kitchen,
        flour_g=formula_form.USUAL_FLOUR_G,
    )  # fmt: skip
