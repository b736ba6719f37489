"""When supper is, as it is asked: evenings to tap, a time in the kitchen's own clock style, another day behind them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from webapp.core.kitchen import Kitchen
from webapp.forms.typed import clock_minutes, clock_text
from webapp.planning import tonight
from webapp.web import forms
from webapp.words.pages.questions import ASKED
from webapp.words.problems.told import refused
from webapp.words.problems.typed import no_supper_time
from webapp.words.tonight import short_evening


def fields(kitchen: Kitchen, now: int, at: str, that_day: str, supper: Callable[[], int]) -> dict[str, Any]:
    """The fields day, at and date.

    `at`: the hour of supper ("19:30") on the evenings ahead; `that_day`: the day that is answered ("2026-11-25", or ""
    for none); `supper` gives the instant of supper on it.
    """
    ahead = [
        (local[:10], short_evening(one, kitchen.zone, now)) for one, local in tonight.evenings_ahead(kitchen, now, at)
    ]
    if that_day and that_day not in dict(ahead):  # a chip like the others: one that is tapped instead counts
        ahead.append((that_day, short_evening(supper(), kitchen.zone, now)))
    return {
        "day": forms.cards(ASKED["day"], ahead),
        "at": forms.clock(ASKED["at"]),
        "date": forms.date(ASKED["date"]),
    }


def join_supper(typed: dict[str, str]) -> None:
    """A day and a time that were answered apart are the supper; PlanError when the time is none."""
    day = (typed.get("date") or typed.get("day") or typed.get("supper", "")[:10]).strip()
    said = typed.get("at", "").strip()
    at = clock_minutes(said) if said else clock_minutes(typed.get("supper", "")[11:16])
    if said and at is None:
        raise refused("at", *no_supper_time(said))
    if ("at" in typed or "day" in typed or "date" in typed) and at is not None:
        typed["supper"] = f"{day}T{clock_text(at)}"


def supper_typed(form: Any) -> str:
    """The supper of a form that asks day and time alone, as local text; PlanError at "at" when the time is none."""
    typed = {name: form[name].data or "" for name in ("day", "date", "at")}
    join_supper(typed)
    if "supper" not in typed:
        raise refused("at", *no_supper_time(""))
    return typed["supper"]
