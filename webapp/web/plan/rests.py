"""The four things that a day rests on, as the home page shows them: which question each is, and its answer in words."""

from __future__ import annotations

from functools import partial

from webapp.core.kitchen import Wish
from webapp.doughs import larder
from webapp.forms import wish
from webapp.forms.typed import clock_minutes
from webapp.kitchens.access import Home
from webapp.planning.away import day_of_supper, usual_away
from webapp.web.door import world
from webapp.web.plan import warmth
from webapp.words import rests_on
from webapp.words.times import wall_minute


def four(inside: Home, wanted: Wish) -> tuple[tuple[str, str], ...]:
    """Pan, dough, warmth, and who is where."""
    stock = larder.of_kitchen(world().store, inside.kitchen_id)
    dough, on_top = stock.formulas[wanted.formula_key].name, stock.toppings.get(wanted.toppings_key)
    at_once = wanted.at_once or inside.kitchen.oven.trays_at_once
    return (
        ("pan", rests_on.baked_words(wanted.pans, at_once, wanted.as_they_come, wish.evenings_between(wanted))),
        ("dough", rests_on.dough_words(dough, on_top.name if on_top else "")),
        ("warm", warmth.told(inside, wanted)),
        ("who", _who(inside, wanted)),
    )


def _who(inside: Home, wanted: Wish) -> str:
    kitchen, day = inside.kitchen, day_of_supper(wanted.supper_local)
    told = {} if wanted.away_today is None else {wanted.away_person: wanted.away_today}
    hours = [(one.name, told.get(i, usual_away(kitchen, day, i))) for i, one in enumerate(kitchen.people)]
    supper = clock_minutes(wanted.supper_local[11:16]) or 0
    return rests_on.who_words(hours, supper, partial(wall_minute, style=kitchen.clock), wanted.else_from_min)
