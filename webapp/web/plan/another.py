"""Somebody else who is home on the day of supper: from then on the hours away of whoever answers hinder nothing."""

from __future__ import annotations

from contextlib import suppress

from webapp.core.kitchen import AwaySpan, Kitchen
from webapp.forms.typed import Answers, clock_minutes, spans_text
from webapp.planning.away import day_of_supper, usual_away
from webapp.words.problems.told import refused


def join_another(typed: dict[str, str], kitchen: Kitchen) -> None:
    """Cut the hours away, typed or usual, off at `else_from`; PlanError when that is no time of day.

    Hours that cannot be read stay as they are: whoever reads the answers next says what is wrong with them.
    """
    said = typed.get("else_from", "").strip()
    if not said:
        return
    at = clock_minutes(said)
    if at is None:
        raise refused("else_from", f"“{said[:40]}” is not a time of day.", "Write it like 16:00 or 4 pm.")
    typed["else_from"] = ""
    away = _away(typed, kitchen)
    if away is not None:
        left = [(one.from_min, min(one.to_min, at)) for one in away if one.from_min < at]
        typed.update(hours="differ" if left else "home", away=spans_text(left), away_was="")


def _away(typed: dict[str, str], kitchen: Kitchen) -> tuple[AwaySpan, ...] | None:
    """The hours away as they were answered; None where they cannot be read, or there are none to cut."""
    if typed.get("hours") == "differ" or typed.get("away", "") != typed.get("away_was", ""):
        answers = Answers(typed)
        spans = answers.spans("away")
        return None if answers.problems else tuple(AwaySpan(start, end) for start, end in spans)
    if typed.get("hours") == "home":
        return None
    with suppress(ValueError, IndexError):  # a day, or a person, that is none
        return usual_away(kitchen, day_of_supper(typed.get("supper", "")), int(typed.get("who") or 0))
    return None
