"""The larder: formulas in baker's percentages, shipped and our own; writing one down, changing it, its versions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from flask import Blueprint, render_template, request, url_for

from webapp.core.formula.check import hydration_percent
from webapp.core.formula.cold_way import perishables
from webapp.core.formula.ingredients import Formula
from webapp.core.kinds import BREAD_STYLES, INGREDIENT_KINDS, PREFERMENT_STYLES, TYPED_UNITS, YEAST_KINDS
from webapp.data import doughs
from webapp.data import safety as safety_data
from webapp.doughs import larder
from webapp.doughs.own import OWN
from webapp.doughs.own_kinds import FORMULAS
from webapp.forms import formula as formula_form
from webapp.forms.in_units import heat_text, loading_text
from webapp.kitchens.access import Home
from webapp.web import forms
from webapp.web.door import visit, world
from webapp.web.doughs.own_pages import OwnPages
from webapp.words.kinds.dough import ingredient_word, preferment_word, style_word, typed_unit_word, yeast_word
from webapp.words.pages import larder as words
from webapp.words.pages.questions import NO_TOPPINGS

bp = Blueprint("larder", __name__, url_prefix="/larder")

_STARTING_ROWS = ("flour", "water", "salt", "fat")


def _row_fields(place: int) -> dict[str, Any]:
    row = words.OF_INGREDIENT
    return {
        f"{place}-name": forms.text(row["name"]),
        f"{place}-kind": forms.one_of(row["kind"], forms.choices(INGREDIENT_KINDS, ingredient_word, "–")),
        f"{place}-amount": forms.number(row["amount"]),
        f"{place}-water": forms.number(row["water"]),
        f"{place}-whole": forms.number(row["whole"]),
        f"{place}-allergens": forms.text(row["allergens"], list="allergens"),
    }


class FormulaPages(OwnPages[Formula]):
    """A formula as it is written down: ingredients in rows, as grams, ounces or percent."""

    kind = FORMULAS
    home: ClassVar[str] = "larder.show"
    put_away_said: ClassVar[str] = words.FORMULA_PUT_AWAY

    def shipped(self) -> Mapping[str, Formula]:
        """Those of the house."""
        return {one.key: one for one in doughs.formulas()}

    def blank(self, inside: Home) -> dict[str, str]:
        """Flour, water, salt and fat to begin from."""
        typed = {
            "unit": "oz" if inside.kitchen.mass_unit == "oz" else "grams",
            "wanted": heat_text(Formula.wanted_dough_c, inside.kitchen),
            "style": "tray", "yeast_kind": "instant",
            "target_times": "2.5", "past_times": "4",
        }  # fmt: skip
        usual = {"loading_low": 0.62, "loading": 0.7, "loading_high": 0.82}
        typed |= {name: loading_text(g_cm2, inside.kitchen) for name, g_cm2 in usual.items()}
        return typed | {f"{place}-kind": kind for place, kind in enumerate(_STARTING_ROWS)}

    def typed(self, inside: Home, thing: Formula) -> dict[str, str]:
        """In the unit that it was written down in."""
        return formula_form.typed_formula(thing, inside.kitchen)

    def form(self, inside: Home, chosen: Formula | None, typed: dict[str, str]) -> Any:
        """As many rows as it has ingredients, and some empty ones."""
        stock = larder.of_kitchen(world().store, inside.kitchen_id)
        toppings = [("none", NO_TOPPINGS), *((k, v) for k, v in stock.topping_names() if k != "none")]
        preferments = forms.choices(PREFERMENT_STYLES, preferment_word, words.NO_PREFERMENT)
        asked = words.OF_FORMULA
        fields = {
            "name": forms.text(asked["name"]),
            "style": forms.one_of(asked["style"], forms.choices(BREAD_STYLES, style_word)),
            "unit": forms.one_of(asked["unit"], forms.choices(TYPED_UNITS, typed_unit_word)),
            "yeast_kind": forms.one_of(asked["yeast_kind"], forms.choices(YEAST_KINDS, yeast_word)),
            "yeast": forms.number(asked["yeast"]),
            "loading_low": forms.number(asked["loading_low"]),
            "loading": forms.number(asked["loading"]),
            "loading_high": forms.number(asked["loading_high"]),
            "target_times": forms.number(asked["target_times"]),
            "past_times": forms.number(asked["past_times"]),
            "wanted": forms.number(asked["wanted"]),
            "cold_only": forms.tick(asked["cold_only"]),
            "toppings_key": forms.one_of(asked["toppings_key"], toppings),
            "note": forms.area(asked["note"]),
            "pre_style": forms.one_of(asked["pre_style"], preferments),
            "pre_flour": forms.number(asked["pre_flour"]),
            "pre_water": forms.number(asked["pre_water"]),
            "pre_yeast": forms.number(asked["pre_yeast"]),
        }
        # A posted form has as many rows as were shown; the most are read, whatever was posted.
        rows = formula_form.MOST_INGREDIENTS if request.method == "POST" else formula_form.rows_for(chosen)
        for place in range(rows):
            fields |= _row_fields(place)
        return forms.form_of(fields, typed)

    def sheet(self, inside: Home, form: Any, key: str) -> str:
        """Empty rows at the end are few."""
        rows = [place for place in range(formula_form.MOST_INGREDIENTS) if f"{place}-name" in form]
        typed = forms.answers_of(form)
        used = [place for place in rows if formula_form.is_filled(typed, place)]
        shown = rows[: max(formula_form.LEAST_ROWS, max(used, default=0) + 1 + formula_form.SPARE_ROWS)]
        allergens = [(one.key, one.short) for one in safety_data.allergens()]
        return render_template(
            "doughs/formula_edit.html", form=form, rows=shown, key=key, allergens=allergens, kitchen=inside.kitchen,
            flour_g=formula_form.USUAL_FLOUR_G,
        )  # fmt: skip

    def read(self, inside: Home, form: Any, key: str) -> Formula:
        """In baker's percentages, whatever it was typed in."""
        allergens = tuple(one.key for one in safety_data.allergens())
        toppings = tuple(larder.of_kitchen(world().store, inside.kitchen_id).toppings)
        typed, before = forms.answers_of(form), self.of(inside).get(key)
        return formula_form.read_formula(typed, allergens, toppings, key or "new", inside.kitchen, before)

    def saved(self, key: str, thing: Formula) -> tuple[str, str]:
        """What keeps it from standing warm is said at once."""
        return words.formula_saved(perishables(thing.ingredients)), url_for("larder.formula", key=key)


_PAGES = FormulaPages()


@bp.get("")
def show() -> str:
    """Every formula of the larder."""
    inside = visit()
    return render_template(
        "doughs/formulas.html", kitchen=inside.kitchen, unreadable=_PAGES.unreadable(inside),
        own=list(_PAGES.of(inside).values()), shipped=list(_PAGES.shipped().values()),
    )  # fmt: skip


@bp.get("/<key>")
def formula(key: str) -> str:
    """One formula in baker's percentages; an own one with its versions."""
    inside = visit()
    chosen, own = _PAGES.one(inside, key), key.startswith(OWN)
    return render_template(
        "doughs/formula.html", formula=chosen, hydration=hydration_percent(chosen), own=own,
        versions=_PAGES.versions(inside, key) if own else (),
        names={one.key: one.short for one in safety_data.allergens()}, press=forms.Press(), kitchen=inside.kitchen,
        now=world().now(), stock=larder.of_kitchen(world().store, inside.kitchen_id),
        flour_g=formula_form.flour_shown_g(chosen),
    )  # fmt: skip


_PAGES.routes(bp)
