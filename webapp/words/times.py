"""Instants and lengths of time in words: one of the rims at which an instant (int, UTC seconds) becomes a local time.

Nothing is computed with the result. Names of days and months stand here and nowhere else in Python.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from webapp.core.kinds import ClockStyle
from webapp.core.plan.steps import GRID_S

NOON_H, EVENING_H = 12, 17
HELD = "\u00a0"  # a number and its unit stay on one line
NEAR_DAYS = {-1: "yesterday", 0: "today", 1: "tomorrow"}  # by whole days from today
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_UNIT = re.compile(r"(?<=\d) (?=(?:%|g|kg|oz|h|min|mm|cm|tsp|tbsp|°C|°F)(?!\w))")
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip


def held(text: str) -> str:
    """The text with every number held to its unit."""
    return _UNIT.sub(HELD, text)


def five(at: int) -> int:
    """To the nearest five minutes: no dough is more exact than that."""
    return (at + GRID_S // 2) // GRID_S * GRID_S


def local_time(instant: int, zone: str) -> datetime:
    """That instant on the wall clock of the zone."""
    return datetime.fromtimestamp(instant, UTC).astimezone(ZoneInfo(zone))


def clock(instant: int, zone: str, style: ClockStyle = "24") -> str:
    """Wall-clock time in the zone: "19:30", or "7:30 pm" in style "12".

    On the night the clock goes back a time that comes twice says which one it is.
    """
    return clock_of(local_time(instant, zone), style)


def clock_of(local: datetime, style: ClockStyle = "24") -> str:
    """The same of an instant that stands on its wall clock already."""
    text = wall_clock(local, style)
    if _twice(local):
        text += " (second time)" if local.fold else " (first time)"
    return text


def clock_face(local: datetime, style: ClockStyle = "24") -> str:
    """ "19:30", or "7:30" in style "12": the figures alone."""
    return f"{local.hour % 12 or 12}:{local:%M}" if style == "12" else f"{local:%H:%M}"


def wall_clock(local: datetime, style: ClockStyle = "24") -> str:
    """ "19:30", or "7:30 pm" in style "12"."""
    half = f" {'am' if local.hour < 12 else 'pm'}" if style == "12" else ""
    return f"{clock_face(local, style)}{half}"


def wall_minute(minute: int, style: ClockStyle = "24") -> str:
    """A minute of the day on the wall clock: "17:45", or "5:45 pm"; past midnight it starts again."""
    hour, rest = divmod(minute % 1440, 60)
    return f"{hour % 12 or 12}:{rest:02} {'am' if hour < 12 else 'pm'}" if style == "12" else f"{hour:02}:{rest:02}"


def _twice(local: datetime) -> bool:
    """Whether this wall time happens twice (the night the clock goes back)."""
    return local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset() and _exists(local)


def _exists(local: datetime) -> bool:
    back = local.astimezone(UTC).astimezone(local.tzinfo)
    return back.replace(tzinfo=None) == local.replace(tzinfo=None)


def other_clock(instant: int, zone: str, here: str, style: ClockStyle) -> str:
    """Whose clock a bake goes by, and supper by the kitchen's own; "" where both show the same then."""
    there, own = (local_time(instant, one).replace(tzinfo=None) for one in (zone, here))
    if there == own:
        return ""
    one, other = (name.replace("_", " ") for name in (zone, here))
    at = clock(instant, here, style)
    supper = at if there.date() == own.date() else f"{weekday(instant, here)} {at}"
    return f"Times here are by the clock of {one}; by that of {other} supper is at {supper}."


def clock_beside(instant: int, zone: str, style: ClockStyle, beside: int) -> str:
    """ "19:30"; "Thursday 19:30" when `beside` lies on another local date."""
    local, text = local_time(instant, zone), clock(instant, zone, style)
    return text if local.date() == local_time(beside, zone).date() else f"{weekday(instant, zone)} {text}"


def weekday(instant: int, zone: str) -> str:
    """ "Wednesday"."""
    return WEEKDAYS[local_time(instant, zone).weekday()]


def date_words(local: datetime) -> str:
    """ "Wednesday 25 November"."""
    return f"{WEEKDAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"


def days_off(instant: int, zone: str, now: int) -> int:
    """Whole days from today to that instant's day, by the calendar of the zone: 0 is today, 1 tomorrow."""
    return (local_time(instant, zone).date() - local_time(now, zone).date()) // timedelta(days=1)


def day_name(instant: int, zone: str, now: int | None = None) -> str:
    """ "today", "tomorrow", "yesterday", else the weekday; farther than six days off, with the date."""
    local = local_time(instant, zone)
    if now is None:
        return date_words(local)
    off = days_off(instant, zone, now)
    if off in NEAR_DAYS:
        return NEAR_DAYS[off]
    return WEEKDAYS[local.weekday()] if 0 < off <= 6 else date_words(local)


def part_of_day(at: int, zone: str, now: int) -> str:
    """ "this morning", "yesterday evening", "last Thursday evening", "on Monday 16 November": of an instant gone by."""
    local, days = local_time(at, zone), -days_off(at, zone, now)
    part = "morning" if local.hour < NOON_H else "afternoon" if local.hour < EVENING_H else "evening"
    if days == 0:
        return f"this {part}"
    if days == 1:
        return f"{NEAR_DAYS[-1]} {part}"
    return f"last {weekday(at, zone)} {part}" if days < 7 else f"on {date_words(local)}"


def short_days(first: int, last: int) -> str:
    """ "Mon", "Mon–Fri": days of an ordinary week, 0 is Monday."""
    names = [WEEKDAYS[day][:3] for day in ((first, last) if last > first else (first,))]
    return "–".join(names)


def short_day(instant: int, zone: str) -> str:
    """ "Wed 25 Nov", for narrow columns."""
    local = local_time(instant, zone)
    return f"{WEEKDAYS[local.weekday()][:3]} {local.day} {MONTHS[local.month - 1][:3]}"


def day_clock(instant: int, zone: str, style: ClockStyle = "24", now: int | None = None) -> str:
    """Day and time: "tomorrow 07:15"; with `now` given, today goes without saying: "07:15"."""
    today = now is not None and days_off(instant, zone, now) == 0
    text = clock(instant, zone, style)
    return text if today else f"{day_name(instant, zone, now)} {text}"


def duration(seconds: float) -> str:
    """ "2 h 15 min", "45 min", "3 days 2 h": whole minutes, the nearest; under a minute "less than a minute"."""
    minutes = int((abs(seconds) + 30) // 60)
    if minutes == 0:
        return "less than a minute"
    hours, rest = divmod(minutes, 60)
    if hours >= 48:
        days, hours = divmod(hours, 24)
        return f"{days}{HELD}days" + (f" {hours}{HELD}h" if hours else "")
    return " ".join(part for part in (f"{hours}{HELD}h" if hours else "", f"{rest}{HELD}min" if rest else "") if part)


def span_words(seconds: int) -> str:
    """A length that is promised, in whole minutes that have passed: "50 min", "3 h", "2 h 30 min"."""
    minutes = seconds // 60
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def hours_words(seconds: int) -> str:
    """A length of time that is only about so long, to the half hour: "6 h 30 min"."""
    return span_words(max(1, round(seconds / 1800)) * 1800)


_ONE = {1: "minute", 60: "hour"}


def every_words(seconds: int) -> str:
    """How often: "every hour", "every 20 minutes"."""
    minutes = (seconds + 30) // 60
    return f"every {_ONE.get(minutes) or duration_words(seconds)}"


def duration_words(seconds: int) -> str:
    """In full, for the text of a step: "25 minutes", "1 hour", "9 hours 15 minutes"; rounded to the minute."""
    minutes = (seconds + 30) // 60
    hours, rest = divmod(minutes, 60)
    parts = []
    if hours:
        parts.append(f"{hours} hour{'s' if hours != 1 else ''}")
    if rest or not hours:
        parts.append(f"{rest} minute{'s' if rest != 1 else ''}")
    return " ".join(parts)
