"""Sets of toppings: those of the house and our own, written down as grams for one of our trays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, ClassVar

from flask import Blueprint, render_template, request

from webapp.core.formula.toppings import ToppingSet, scale
from webapp.core.kinds import TOPPING_RISKS, TOPPING_WHENS
from webapp.core.kitchen import Kitchen
from webapp.core.plan.tray import Pan
from webapp.core.scale.pans import wall_cm
from webapp.data import safety as safety_data
from webapp.data.toppings import topping_set, topping_sets
from webapp.doughs.own_kinds import TOPPINGS
from webapp.forms import toppings
from webapp.kitchens.access import Home
from webapp.web import forms
from webapp.web.door import visit
from webapp.web.doughs.own_pages import OwnPages
from webapp.words.cautions import topping_rule
from webapp.words.kinds.dough import risk_word, when_word
from webapp.words.kinds.settings import unit_word
from webapp.words.pages import larder as words
from webapp.words.plan.toppings import note

bp = Blueprint("toppings", __name__, url_prefix="/larder/toppings")

_TYPED = ("name", "grams", "drained", "allergens", "note")  # what a row is seen to be used by


def _pans(kitchen: Kitchen) -> tuple[Pan, ...]:
    return kitchen.pans or Kitchen().pans[:1]


def _scaled(chosen: ToppingSet, tray: Pan, kitchen: Kitchen) -> Any:
    wall = wall_cm([tray]) if chosen.rim_on else 0.0
    scaled = scale(chosen, tray.area_cm2, "tray", wall)
    return [replace(one, note=note(one, kitchen.mass_unit)) for one in scaled]


class ToppingPages(OwnPages[ToppingSet]):
    """A set as it is written down: grams for one of our trays."""

    kind = TOPPINGS
    home: ClassVar[str] = "toppings.show"

    def shipped(self) -> Mapping[str, ToppingSet]:
        """Those of the house."""
        return topping_sets()

    def blank(self, inside: Home) -> dict[str, str]:
        """For the first tray."""
        return {"pan": _pans(inside.kitchen)[0].key}

    def typed(self, inside: Home, thing: ToppingSet) -> dict[str, str]:
        """Grams for the first tray."""
        tray = _pans(inside.kitchen)[0]
        return toppings.typed_set(thing, tray.key, tray.area_cm2, inside.kitchen)

    def form(self, inside: Home, chosen: ToppingSet | None, typed: dict[str, str]) -> Any:
        """As many rows as it has toppings, and some empty ones."""
        grams = unit_word(inside.kitchen.mass_unit)
        fields = {
            "name": forms.text(words.OF_TOPPINGS["name"]),
            "pan": forms.one_of(words.grams_for(grams), [(pan.key, pan.name) for pan in _pans(inside.kitchen)]),
            "rim": forms.tick(words.OF_TOPPINGS["rim"]),
            "note": forms.text(words.OF_TOPPINGS["note"]),
        }
        # A posted form has as many rows as were shown; the most are read, whatever was posted.
        rows = toppings.MOST_TOPPINGS if request.method == "POST" else toppings.rows_for(chosen)
        for place in range(rows):
            fields |= {
                f"{place}-name": forms.text(words.OF_TOPPING["name"]),
                f"{place}-grams": forms.number(words.ready(grams)),
                f"{place}-when": forms.one_of(words.OF_TOPPING["when"], forms.choices(TOPPING_WHENS, when_word)),
                f"{place}-keep": forms.one_of(words.OF_TOPPING["keep"], words.KEPT.items()),
                f"{place}-risk": forms.one_of(words.OF_TOPPING["risk"], forms.choices(TOPPING_RISKS, risk_word)),
                f"{place}-drained": forms.number(words.OF_TOPPING["drained"]),
                f"{place}-allergens": forms.text(words.OF_TOPPING["allergens"], list="allergens"),
                f"{place}-note": forms.text(words.OF_TOPPING["note"]),
            }
        return forms.form_of(fields, typed)

    def sheet(self, inside: Home, form: Any, key: str) -> str:
        """Its rows in order, up to the last with something in it; empty rows at the end are few."""
        rows = [place for place in range(toppings.MOST_TOPPINGS) if f"{place}-name" in form]
        used = [place for place in rows for part in _TYPED if (one := form[f"{place}-{part}"]).data or one.errors]
        rows = rows[: max(used, default=0) + 1 + toppings.SPARE_ROWS]
        allergens = [(one.key, one.short) for one in safety_data.allergens()]
        return render_template(
            "doughs/toppings_edit.html", kitchen=inside.kitchen, form=form, key=key, rows=rows, allergens=allergens
        )

    def read(self, inside: Home, form: Any, key: str) -> ToppingSet:
        """Grams for each square centimetre, whichever tray they were typed for."""
        areas = {pan.key: pan.area_cm2 for pan in _pans(inside.kitchen)}
        allergens = tuple(one.key for one in safety_data.allergens())
        rim, before = topping_set("tomato-cheese").rim, self.of(inside).get(key)
        return toppings.read_set(forms.answers_of(form), areas, allergens, rim, inside.kitchen, before=before)


_PAGES = ToppingPages()


@bp.get("")
def show() -> str:
    """Every set, scaled to the kitchen's first tray."""
    inside = visit()
    tray = _pans(inside.kitchen)[0]
    return render_template(
        "doughs/toppings.html",
        kitchen=inside.kitchen,
        tray=tray,
        own=[(one, _scaled(one, tray, inside.kitchen)) for one in _PAGES.of(inside).values()],
        shipped=[(one, _scaled(one, tray, inside.kitchen)) for one in _PAGES.shipped().values() if one.items],
        unreadable=_PAGES.unreadable(inside),
        names={one.key: one.short for one in safety_data.allergens()},
        fridge_rule=topping_rule(),
        press=forms.Press(),
    )


_PAGES.routes(bp)
