"""Changes accepted from past bakes, and what they do to the next plan.

A habit is one field moved by what a diagnosis suggested (diagnosis.py). Accepting the same change again moves it
further, within bounds; what cannot be reckoned with ("note") is carried as words.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from webapp.core.errors import PlanError
from webapp.core.formula.ingredients import Formula
from webapp.core.kinds import HabitField
from webapp.core.learning.diagnosis import Suggestion
from webapp.core.oven.profile import Adjust
from webapp.core.plan.plan import Habit

NOTE: HabitField = "note"
FIELDS: dict[HabitField, tuple[float, float]] = {
    "preheat_min": (-30.0, 60.0),  # minutes added to the preheat
    "bake_min": (-10.0, 20.0),  # minutes added to the bake
    "bake_c": (-40.0, 40.0),  # C added to the heat after turning down
    "shelf_low": (0.0, 1.0),  # 1 = the lowest shelf, whatever the style says
    "topping_times": (0.5, 1.5),  # multiplies every topping
    "loading_times": (0.7, 1.3),  # multiplies the dough on the tray
    "rise_times": (0.6, 1.4),  # multiplies the wanted increase of the bulk
    "water_percent": (-8.0, 8.0),  # added to the water, of the flour
    NOTE: (0.0, 0.0),  # words alone
}
FACTORS = frozenset(name for name in FIELDS if name.endswith("_times"))
MOST_NOTES = 5


def none_of(field: HabitField) -> float:
    """The value that changes nothing."""
    return 1.0 if field in FACTORS else 0.0


def value(habits: Iterable[Habit], field: HabitField) -> float:
    """How far this field is moved."""
    return next((habit.value for habit in habits if habit.field == field), none_of(field))


def accepted(habits: Iterable[Habit], change: Suggestion, bake_id: str) -> bool:
    """Was this change accepted after that bake already?"""
    return any(h.field == change.field and h.bake_id == bake_id and h.text == change.text for h in habits)


def accept(habits: tuple[Habit, ...], change: Suggestion, bake_id: str = "") -> tuple[Habit, ...]:
    """Habits with one more change, the newest last; a field that is back where it began is dropped.

    Accepting the same change of the same bake again changes nothing. Raises PlanError at `change` for an unknown field.
    """
    if change.field not in FIELDS:
        raise PlanError.at("change", "no-habit", name=change.field)
    if bake_id and accepted(habits, change, bake_id):
        return habits
    if change.field == NOTE:
        notes = [h for h in habits if h.field == NOTE and h.text != change.text][1 - MOST_NOTES :]
        return (*(h for h in habits if h.field != NOTE), *notes, Habit(NOTE, 0.0, change.text, bake_id, change.step))
    low, high = FIELDS[change.field]
    before = value(habits, change.field)
    moved = before * change.amount if change.field in FACTORS else before + change.amount
    after = min(high, max(low, moved))
    rest = tuple(habit for habit in habits if habit.field != change.field)
    same = abs(after - none_of(change.field)) < 1e-9
    return rest if same else (*rest, Habit(change.field, after, change.text, bake_id))


def drop(habits: tuple[Habit, ...], place: int) -> tuple[Habit, ...]:
    """Habits without the one at this place; the same habits when there is none."""
    return tuple(habit for i, habit in enumerate(habits) if i != place)


def adjust_of(habits: tuple[Habit, ...]) -> Adjust:
    """The part of it that the oven step needs."""
    return Adjust(
        round(value(habits, "preheat_min")),
        round(value(habits, "bake_min")),
        value(habits, "bake_c"),
        "low" if value(habits, "shelf_low") else "",
    )


def formula_with(formula: Formula, habits: tuple[Habit, ...]) -> Formula:
    """The formula with its water and its wanted rise moved; its own record elsewhere stays as it is."""
    extra, times = value(habits, "water_percent"), value(habits, "rise_times")
    first = next((i for i, one in enumerate(formula.ingredients) if one.kind == "water"), None)
    ingredients = tuple(
        replace(one, percent=max(1.0, one.percent + extra)) if i == first else one
        for i, one in enumerate(formula.ingredients)
    )
    return replace(formula, ingredients=ingredients, target_increase=formula.target_increase * times)
