"""What if the kitchen were warmer, somebody came home later, supper moved? A wish with one of its answers changed.

The three levers are wall-clock minutes and degrees as the person sees them; the changed answers go through
`wish.read_wish` like any others, so that whatever is wrong with them is said in the same words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from webapp.core import units
from webapp.core.kinds import ClockStyle
from webapp.core.kitchen import AwaySpan, Kitchen, Wish
from webapp.core.units import number_text
from webapp.forms.typed import Answers, clock_text, spans_text
from webapp.forms.wish import room_at, typed_again
from webapp.planning.away import day_of_supper, usual_away
from webapp.words.times import wall_minute

REACH_MIN = 180  # a lever moves so far to either side
STEP_MIN = 15
LEAST_C, MOST_C = 14.0, 32.0
_DAY_MIN = 1440


@dataclass(frozen=True)
class Lever:
    """One slider: what it is called in the form, where it stands, how far it goes, and how that reads."""

    name: str
    at: float
    least: float
    most: float
    step: float
    text: str


def levers(wish: Wish, kitchen: Kitchen) -> tuple[Lever, ...]:
    """Room at supper, coming home (only when somebody is away that day), supper."""
    out = [_room(wish, kitchen)]
    away = _away(wish, kitchen)
    if away:
        out.append(_clock("home", away[-1].to_min, kitchen.clock))
    return (*out, _clock("supper", _supper_min(wish), kitchen.clock))


def changed(wish: Wish, kitchen: Kitchen, typed: Mapping[str, str]) -> Answers:
    """The wish's own answers with the levers' new places in them; raises PlanError for what no lever can say."""
    levers_typed = Answers(typed)
    answers = typed_again(wish, kitchen)
    if levers_typed.text("room"):
        room = levers_typed.text("room")
        answers |= {"room": room, "room_at": room_at(room, _supper_min(wish))}
    supper_min = _supper_min(wish)
    if levers_typed.text("supper"):
        supper_min = levers_typed.whole("supper", 0, _DAY_MIN - 1)
    answers["supper"] = f"{wish.supper_local[:10]}T{clock_text(supper_min)}"
    away = _away(wish, kitchen)
    if levers_typed.text("home") and away:
        home_min = levers_typed.whole("home", away[-1].from_min + STEP_MIN, 2 * _DAY_MIN)
        spans = [*away[:-1], AwaySpan(away[-1].from_min, home_min)]
        if home_min != away[-1].to_min:
            answers |= {"hours": "differ", "away": spans_text([(span.from_min, span.to_min) for span in spans])}
    levers_typed.done()
    return Answers(answers)


def _room(wish: Wish, kitchen: Kitchen) -> Lever:
    supper_min = _supper_min(wish)
    celsius = kitchen.usual_c(supper_min)
    if wish.room_c is not None and wish.room_min is not None:
        celsius += wish.room_c - kitchen.usual_c(wish.room_min)
    celsius = round(celsius, 1)
    least, most = min(LEAST_C, celsius), max(MOST_C, celsius)
    if kitchen.heat_unit == "F":
        at, least, most = (float(round(units.f_from_c(c))) for c in (celsius, least, most))
        return Lever("room", at, least, most, 1.0, f"{number_text(at, 0)} °F")
    return Lever("room", celsius, least, most, 0.5, f"{number_text(celsius, 1)} °C")


def _clock(name: str, minute: int, clock: ClockStyle) -> Lever:
    least, most = max(0, minute - REACH_MIN), minute + REACH_MIN
    if name == "supper":
        most = min(most, _DAY_MIN - 1)
    return Lever(name, minute, least, most, STEP_MIN, wall_minute(minute, clock))


def _supper_min(wish: Wish) -> int:
    hour, minute = wish.supper_local[11:16].split(":")
    return int(hour) * 60 + int(minute)


def _away(wish: Wish, kitchen: Kitchen) -> tuple[AwaySpan, ...]:
    """Hours away on the day of supper."""
    if wish.away_today is not None:
        return wish.away_today
    if wish.away_person >= len(kitchen.people):
        return ()
    return usual_away(kitchen, day_of_supper(wish.supper_local), wish.away_person)
