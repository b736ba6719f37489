"""The questions of a plan, all on one form or one at a time: their fields, what may be answered, what is usual."""

from __future__ import annotations

from typing import Any

from webapp.core.kinds import PAN_SHAPES
from webapp.core.kitchen import Wish
from webapp.doughs import larder
from webapp.doughs.own import OWN, last_name
from webapp.doughs.own_kinds import FORMULAS, METHODS, TOPPINGS
from webapp.forms import wish
from webapp.kitchens.access import Home
from webapp.web import forms
from webapp.web.door import world
from webapp.words.kinds.pans import LOADING, shape_word
from webapp.words.pages import questions as said
from webapp.words.pages.usual import hours_in_words

# Where the form shows what the planner calls something else.
ALSO = {
    "supper_local": "supper", "when": "supper", "pan": "pans", "room_c": "room", "away_today": "away",
    "people": "hours", "loading_g_cm2": "loading", "formula": "formula_key", "method": "method_key",
    "toppings": "toppings_key", "start_local": "start", "count": "pans",
}  # fmt: skip
# One question at a time: its fields beside the pans of the kitchen, which belong to "pan".
ONE_BY_ONE = {
    "when": ("day", "at", "date", "supper", "supper_fold"),
    "pan": (
        "pans",
        "other_shape",
        "other_length",
        "other_width",
        "other_water_g",
        "other_count",
        "other_too",
        "other_was",
        "at_once",
        "as_they_come",
        "kept_for",
        "loss_percent",
    ),
    "dough": ("formula_key", "toppings_key", "method_key", "loading"),
    "warm": ("room", "room_at", "room_for"),
    "who": ("hours", "away", "who", "else_from", "start"),
}


def question_of(field: str) -> str:
    """The question in which this field is answered."""
    name = ALSO.get(field, field)
    return next(
        (one for one, names in ONE_BY_ONE.items() if name in names), "pan" if name.startswith("pan-") else "when"
    )


def choices(inside: Home) -> wish.Choices:
    """What may be answered in this kitchen."""
    stock = larder.of_kitchen(world().store, inside.kitchen_id)
    usual = {key: one.toppings_key for key, one in stock.formulas.items()}
    return wish.Choices(usual, tuple(stock.toppings), tuple(stock.methods))


def put_away(wanted: Wish, inside: Home) -> list[str]:
    """Names of what the wish has of our own and what can be chosen no more: dough, toppings, way of making it."""
    known, store = choices(inside), world().store
    asked = ((FORMULAS, wanted.formula_key, known.formulas), (TOPPINGS, wanted.toppings_key, known.toppings),
             (METHODS, wanted.method_key, known.methods))  # fmt: skip
    gone = ((kind, key) for kind, key, there in asked if key.startswith(OWN) and key not in there)
    return [last_name(store, inside.kitchen_id, kind, key) for kind, key in gone]


def fields_of(inside: Home) -> dict[str, Any]:
    """Every field, with this kitchen's pans, doughs and people."""
    stock = larder.of_kitchen(world().store, inside.kitchen_id)
    usual = (("", said.USUAL_TOPPINGS), (wish.NOTHING, said.NO_TOPPINGS))
    inch = inside.kitchen.mass_unit == "oz"
    asked = said.ASKED
    fields = {
        "supper": forms.moment(asked["supper"]),
        "supper_fold": forms.one_of(asked["supper_fold"], said.FOLDS),
        "pans": forms.text(asked["pans"]),
        "other_shape": forms.one_of(asked["other_shape"], forms.choices(PAN_SHAPES, shape_word, said.NO_OTHER_PAN)),
        "other_length": forms.number(said.other_length(inch)),
        "other_width": forms.number(said.other_width(inch)),
        "other_water_g": forms.number(said.other_water(inch)),
        "other_count": forms.count(asked["other_count"]),
        "other_too": forms.tick(asked["other_too"]),
        "at_once": forms.count(asked["at_once"]),
        "kept_for": forms.one_of(asked["kept_for"], said.OTHER_EVENINGS),
        "as_they_come": forms.tick(asked["as_they_come"]),
        "formula_key": forms.cards(asked["formula_key"], ((key, one.name) for key, one in stock.formulas.items())),
        "toppings_key": forms.one_of(asked["toppings_key"], (*usual, *stock.topping_names())),
        "room": forms.number(asked["room"]),
        "room_at": forms.hidden(),  # when the figure that the form came with was read: see forms/wish.py
        "room_for": forms.hidden(),  # for which hour of another day a new figure is asked
        "room_still": forms.tick(asked["room_still"]),
        "hours": forms.cards(
            asked["hours"],
            said.HOURS,
        ),
        "away": forms.text(asked["away"]),
        "else_from": forms.clock(asked["else_from"]),
        "other_was": forms.hidden(),
        "away_was": forms.hidden(),  # what the form filled in there: see forms/wish.py
        "who": forms.one_of(asked["who"], people(inside)),
        "method_key": forms.one_of(asked["method_key"], (("", said.ANY_METHOD), *stock.method_names())),
        "loading": forms.number(LOADING),
        "loss_percent": forms.number(asked["loss_percent"]),
        "start": forms.moment(asked["start"]),
    }
    return fields | {f"pan-{pan.key}": forms.count(pan.name) for pan in inside.kitchen.pans}


def people(inside: Home) -> list[tuple[str, str]]:
    """Everybody in the house, by place."""
    return [(str(place), one.name) for place, one in enumerate(inside.kitchen.people)]


def usual_hours(inside: Home) -> str:
    """The week of everybody in the house, with names when there are several."""
    who = inside.kitchen.people
    said = [hours_in_words(one, inside.kitchen.clock) for one in who]
    return said[0] if len(said) == 1 else " ".join(f"{one.name}: {say}." for one, say in zip(who, said, strict=True))


def typed_of(wanted: Wish, inside: Home) -> dict[str, str]:
    """A wish as answers; toppings that its dough usually has go with the dough."""
    typed = wish.typed_again(wanted, inside.kitchen)
    usual = larder.of_kitchen(world().store, inside.kitchen_id).formulas.get(wanted.formula_key)
    if usual is not None and wanted.toppings_key == usual.toppings_key:
        typed["toppings_key"] = ""
    return typed | {"away_was": typed["away"]}
