"""A supper that is not to be had as asked: why, and what would work."""

from __future__ import annotations

from typing import Any

from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.core.planner.offer import Change
from webapp.forms.typed import clock_minutes
from webapp.kitchens.access import Home
from webapp.planning import away, tonight
from webapp.planning.full_plan import NothingFits
from webapp.web.door import world
from webapp.web.plan.asked import SECOND, Asked, address
from webapp.words import tonight as words
from webapp.words.problems.refusal import near_words, not_at_words, one_reason, reasons
from webapp.words.problems.told import all_in_words
from webapp.words.times import wall_minute

Way = tuple[str, dict[str, str]]  # what a button says, and the address that it leads to


def shown(inside: Home, asked: Asked) -> dict[str, Any]:
    """The reason in a sentence and the others, what would work, and the way of somebody who is home by now."""
    home, found = _home_already(inside, asked), asked.error
    return {
        "why": _why(inside, found),
        "not_at": _not_at(inside, asked),
        "home_already": home,
        "nearest": [*([] if asked.later else home), *_nearest(inside, asked, found)]
        if isinstance(found, NothingFits)
        else [],
    }


def _nearest(inside: Home, asked: Asked, found: NothingFits) -> list[Way]:
    ways = [one for one in found.nearest if one.wish != asked.later]
    said = [(near_words(one.change, inside.kitchen), address(inside, asked, one.wish)) for one in ways]
    return said if asked.later else said or _another_evening(inside, asked, asked.wanted or asked.usual)


def _not_at(inside: Home, asked: Asked) -> str:
    """Of a day that is shown for a little later: why not when it was asked for; else ""."""
    if asked.later is None or asked.wanted is None or not isinstance(asked.error, NothingFits):
        return ""
    minute = clock_minutes(asked.wanted.supper_local[11:16]) or 0
    return not_at_words(
        wall_minute(minute, inside.kitchen.clock),
        asked.error.in_the_way,
        _why(inside, asked.error)[0],
        next((one.needs for one in asked.error.nearest if one.needs), None),
        inside.kitchen,
    )


def _home_already(inside: Home, asked: Asked) -> list[Way]:
    """The way of somebody whom the week has away just now, while the phone in their hand may say otherwise."""
    wish = away.home_by_now(asked.wanted, inside.kitchen, world().now()) if asked.wanted else None
    return [(words.HOME_ALREADY, address(inside, asked, wish))] if wish else []


def _another_evening(inside: Home, asked: Asked, wanted: Wish) -> list[Way]:
    """The nearest evening that works, where no smaller change of this one does: its words and its address."""
    here, kitchen = world(), inside.kitchen
    found = tonight.evening_that_works(
        here.store, here.now(), inside.kitchen_id, kitchen, wanted, asked.usual, here.first
    )
    if found is None:
        return []
    asked_for, works = (tonight.supper_of(one, kitchen, here.now()) for one in (wanted, found))
    change = Change("another-day", asked_for, works)
    return [(near_words(change, kitchen), {**address(inside, asked, found), SECOND: ""})]


def _why(inside: Home, found: PlanError | None) -> tuple[str, tuple[str, ...]]:
    """One sentence, and the rest for whoever asks."""
    if found is None:
        return "", ()
    if isinstance(found, NothingFits) and found.in_the_way:
        hindered = found.in_the_way
        return one_reason(hindered, inside.kitchen), reasons(hindered, inside.kitchen)
    first, *rest = all_in_words(found.problems)
    more = tuple(f"{one.message} {one.way_out}".strip() for one in rest)
    return f"{first.message} {first.way_out}".strip(), more
