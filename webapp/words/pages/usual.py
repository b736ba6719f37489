"""What a kitchen usually is: how warm by the clock, when its people are away; in a line."""

from __future__ import annotations

from webapp.core.kinds import ClockStyle
from webapp.core.kitchen import Kitchen, Person
from webapp.core.units import f_from_c, number_text
from webapp.words.times import short_days, wall_minute


def room_in_words(kitchen: Kitchen) -> str:
    """ "18 °C, from 07:00 20 °C": the usual warmth of the kitchen, on its clock and in its degrees."""
    parts = sorted(kitchen.room, key=lambda part: part.from_min)
    said = [f"{_degrees(part.temp_c, kitchen)} °{kitchen.heat_unit}" for part in parts]
    return ", ".join(
        warmth if place == 0 and part.from_min == 0 else f"from {wall_minute(part.from_min, kitchen.clock)} {warmth}"
        for place, (part, warmth) in enumerate(zip(parts, said, strict=True))
    )


WARM_TODAY, WARM_THAT_DAY = "today", "that day"  # a warmth that was given for one day alone


def warm_as(when: str) -> str:
    """A warmth that was read: as it was then."""
    return f"as {when}"


def hours_in_words(person: Person, style: ClockStyle) -> str:
    """A person's week in one line: equal days together."""
    return "; ".join(hours_lines(person, style))


def hours_lines(person: Person, style: ClockStyle) -> list[str]:
    """The same, a line for each run of equal days."""
    runs: list[tuple[int, int, str]] = []
    for day, hours in enumerate(person.week):
        said = ", ".join(
            f"{wall_minute(span.from_min, style)}–{wall_minute(span.to_min, style)}" for span in hours.away
        )
        said = f"away {said}" if said else "at home"
        if runs and runs[-1][2] == said:
            runs[-1] = (runs[-1][0], day, said)
        else:
            runs.append((day, day, said))
    return [f"{short_days(a, b)} {said}" for a, b, said in runs]


def _degrees(celsius: float, kitchen: Kitchen) -> str:
    return number_text(f_from_c(celsius) if kitchen.heat_unit == "F" else celsius, 1)
