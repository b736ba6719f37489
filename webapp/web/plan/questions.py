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
from webapp.words.kinds.pans import shape_word
from webapp.words.plan.weights import LOADING

# Where the form shows what the planner calls something else.
ALSO = {
    "supper_local": "supper", "when": "supper", "pan": "pans", "room_c": "room", "away_today": "away",
    "people": "hours", "loading_g_cm2": "loading", "formula": "formula_key", "method": "method_key",
    "toppings": "toppings_key", "start_local": "start", "count": "pans",
}  # fmt: skip
OTHER_EVENINGS = (
    ("", "No other evening"), ("1", "The evening after"), ("2", "Two evenings later"), ("3", "Three evenings later"),
)  # fmt: skip
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
    usual = (("", "What it usually has"), (wish.NOTHING, "Nothing, or decided later"))
    inch = inside.kitchen.mass_unit == "oz"
    fields = {
        "supper": forms.moment("When do we eat?"),
        "supper_fold": forms.one_of("Which of the two?", (("", "–"), ("0", "The first"), ("1", "The second"))),
        "pans": forms.text("What do we bake in?"),
        "other_shape": forms.one_of("Another pan, just today", forms.choices(PAN_SHAPES, shape_word, "No other pan")),
        "other_length": forms.number("Length, or across" + (", inches" if inch else ", cm")),
        "other_width": forms.number("Width" + (", inches" if inch else ", cm")),
        "other_water_g": forms.number("Water that fills it 1 cm deep, " + ("ounces" if inch else "grams")),
        "other_count": forms.count("How many of them"),
        "other_too": forms.tick("As well as those above, not in their place"),
        "at_once": forms.count("How many go into the oven together?"),
        "kept_for": forms.one_of("As much dough again, for", OTHER_EVENINGS),
        "as_they_come": forms.tick("Eat them as they come"),
        "formula_key": forms.cards("Which dough?", ((key, one.name) for key, one in stock.formulas.items())),
        "toppings_key": forms.one_of("What goes on top?", (*usual, *stock.topping_names())),
        "room": forms.number("How warm is the kitchen?"),
        "room_at": forms.hidden(),  # when the figure that the form came with was read: see forms/wish.py
        "room_for": forms.hidden(),  # for which hour of another day a new figure is asked
        "room_still": forms.tick("As it was read last"),
        "hours": forms.cards(
            "When am I there?",
            (("usual", "As usual that day"), ("home", "At home all day"), ("differ", "That day I am away ...")),
        ),
        "away": forms.text("Away", placeholder="8:00-17:45"),
        "else_from": forms.clock("Somebody else is home from"),
        "other_was": forms.hidden(),
        "away_was": forms.hidden(),  # what the form filled in there: see forms/wish.py
        "who": forms.one_of("Whose day is different?", people(inside)),
        "method_key": forms.one_of("Way of making it", (("", "Whichever fits best"), *stock.method_names())),
        "loading": forms.number(LOADING),
        "loss_percent": forms.number("Sticks to bowl and hands, %"),
        "start": forms.moment("Earliest start"),
    }
    return fields | {f"pan-{pan.key}": forms.count(pan.name) for pan in inside.kitchen.pans}


def people(inside: Home) -> list[tuple[str, str]]:
    """Everybody in the house, by place."""
    return [(str(place), one.name) for place, one in enumerate(inside.kitchen.people)]


def usual_hours(inside: Home) -> str:
    """The week of everybody in the house, with names when there are several."""
    who = inside.kitchen.people
    said = [wish.hours_in_words(one, inside.kitchen.clock) for one in who]
    return said[0] if len(said) == 1 else " ".join(f"{one.name}: {say}." for one, say in zip(who, said, strict=True))


def typed_of(wanted: Wish, inside: Home) -> dict[str, str]:
    """A wish as answers; toppings that its dough usually has go with the dough."""
    typed = wish.typed_again(wanted, inside.kitchen)
    usual = larder.of_kitchen(world().store, inside.kitchen_id).formulas.get(wanted.formula_key)
    if usual is not None and wanted.toppings_key == usual.toppings_key:
        typed["toppings_key"] = ""
    return typed | {"away_was": typed["away"]}
