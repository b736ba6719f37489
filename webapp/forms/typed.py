"""Reading what people typed: text into values, every mistake found at once, each with a way out.

Pages and the command line hand in text; nothing here knows a web framework. Decimal commas are as good as points.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping
from datetime import datetime
from typing import TypeVar, cast

from webapp.core.errors import PlanError, Problem
from webapp.words.problems import fields
from webapp.words.problems import typed as words
from webapp.words.problems.told import told

_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|a\.m\.|p\.m\.)?", re.IGNORECASE | re.ASCII)
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)", re.ASCII)
_SPAN_END = re.compile(
    r" ?(?:-|–|to|until) ?"
)  # of one space at most, or long rows of them would be looked at again and again


JOINER = "\u200d"  # makes one picture of several: a cook of a person and a pan (UTS #51)
S = TypeVar("S", bound=str)


class Answers:
    """Typed answers by field name. Ask for each value, then call `done()`; a wrong value reads as its fallback."""

    def __init__(self, typed: Mapping[str, str | None]) -> None:
        """`typed` maps field names to text; a missing field is an empty one."""
        self._typed = typed
        self.problems: list[Problem] = []

    def text(self, field: str) -> str:
        """As typed, without spaces around."""
        return (self._typed.get(field) or "").strip()

    def any_of(self, *fields: str) -> bool:
        """Whether something was typed into one of these."""
        return any(self.text(field) for field in fields)

    def wrong(self, field: str, message: str, way_out: str = "") -> None:
        """Note a mistake."""
        self.problems.append(told(field, message, way_out))

    def done(self) -> None:
        """Raise PlanError when anything was wrong."""
        if self.problems:
            raise PlanError(*self.problems)

    def number(
        self, field: str, least: float, most: float, unit: str = "",
        *, empty: float | None = None, what: str = fields.THIS,
    ) -> float:  # fmt: skip
        """A number in [least, most]; an empty field reads as `empty` when that is given."""
        typed = self.text(field)
        between = words.between(least, most, unit)
        if not typed and empty is not None:
            return empty
        if not _NUMBER.fullmatch(typed):
            self.wrong(field, words.no_number(typed, what), between)
            return least
        value = float(typed.replace(",", "."))
        if not math.isfinite(value) or not least <= value <= most:
            self.wrong(field, words.out_of_reach(typed), between)
            return least
        return value

    def whole(self, field: str, least: int, most: int, *, empty: int | None = None, what: str = fields.THIS) -> int:
        """A whole number in [least, most]."""
        typed = self.text(field)
        if not typed and empty is not None:
            return empty
        if not re.fullmatch(r"\d{1,9}", typed, re.ASCII) or not least <= int(typed) <= most:
            self.wrong(field, *words.no_whole_number(typed, what, least, most))
            return least
        return int(typed)

    def choice(self, field: str, options: Collection[S], *, empty: S | None = None, what: str = fields.THIS) -> S:
        """One of the options, of their own type."""
        typed = self.text(field)
        for option in options:
            if option == typed:
                return option
        if not typed and empty is not None:
            return empty
        self.wrong(field, *words.not_on_the_list(typed, what))
        return next(iter(options), cast(S, ""))

    def yes(self, field: str) -> bool:
        """A tick box: anything but empty, 0, false, n and no."""
        return self.text(field).lower() not in {"", "0", "false", "n", "no"}

    def name(self, field: str, most: int = 60, *, what: str = fields.THIS) -> str:
        """A short text on one line, not empty."""
        typed = " ".join(self.text(field).split())
        letters = typed.replace(JOINER, "")
        if not letters or not letters.isprintable():
            self.wrong(field, *words.no_name(what, most))
        elif len(typed) > most:
            self.wrong(field, *words.long_name(len(typed), most))
        return typed[:most]

    def clock(self, field: str, *, empty: int | None = None) -> int:
        """A time of day as minutes after midnight."""
        typed = self.text(field)
        if not typed and empty is not None:
            return empty
        minutes = clock_minutes(typed)
        if minutes is None:
            self.wrong(field, *words.no_time(typed))
            return 0
        return minutes

    def spans(self, field: str, most: int = 4) -> tuple[tuple[int, int], ...]:
        """Stretches of a day such as "8:00-17:45, 19:00-20:15" as minutes; one over midnight ends past 1440."""
        found = []
        for part in (" ".join(one.split()) for one in re.split(r"[,;\n]", self.text(field)) if one.strip()):
            ends = [clock_minutes(one) for one in _SPAN_END.split(part)]
            if len(ends) != 2 or ends[0] is None or ends[1] is None or ends[0] == ends[1]:
                self.wrong(field, *words.no_stretch(part))
                return ()
            found.append((ends[0], ends[1] if ends[1] > ends[0] else ends[1] + 1440))
        if len(found) > most:
            self.wrong(field, *words.many_stretches(len(found), most))
        return tuple(sorted(found))

    def moment(self, field: str, *, what: str = fields.THIS) -> str:
        """A local date and time as `YYYY-MM-DDTHH:MM` (which instant that is depends on the zone: core/day/day.py)."""
        typed = self.text(field)
        for shape in ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"):
            try:
                # Wall clock on purpose: the zone is applied by core/day/day.py.
                return datetime.strptime(typed, shape).isoformat(timespec="minutes")  # noqa: DTZ007
            except ValueError:
                continue
        self.wrong(field, *words.no_moment(typed, what))
        return ""


def clock_minutes(typed: str) -> int | None:
    """ "17:45", "5:45 pm", "17.45", "8" as minutes after midnight (24:00 is 1440); None when it is none of these."""
    match = _CLOCK.fullmatch(typed.strip())
    if not match:
        return None
    hour, minute, half = int(match[1]), int(match[2] or 0), (match[3] or "").replace(".", "").lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    if minute > 59 or hour * 60 + minute > 1440:
        return None
    return hour * 60 + minute


def clock_text(minutes: int) -> str:
    """Minutes after midnight as "17:45", for filling in a form; past midnight it starts again."""
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def spans_text(spans: Collection[tuple[int, int]]) -> str:
    """What `Answers.spans` reads."""
    return ", ".join(f"{clock_text(start)}-{clock_text(end)}" for start, end in spans)


def key_word(name: str, most: int) -> str:
    """What a thing is called, as the beginning of its key: small letters and figures; "" where it has none."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:most]
