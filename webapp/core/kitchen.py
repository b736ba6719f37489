"""What a kitchen is: its warmth, its scales, its pans, its oven, the people in it and their week.

Plain frozen records with defaults that suit a newcomer; the settings page edits them, `records.py` stores them.
Wall-clock times are minutes after local midnight (`_min`); 1500 is one in the morning of the next day.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import (
    BulkVessel,
    ClockStyle,
    DialUnit,
    HeatUnit,
    MassUnit,
    Mixing,
    OvenFunction,
    SlabKind,
    YeastKind,
)
from webapp.core.plan.plan import Habit
from webapp.core.plan.tray import Pan

NO_ALARM = -1  # minutes before the start of a step: it stays silent
MOST_ALARM_MIN = 24 * 60
OTHER_FRIDGE_C = 1.0  # its own swing is as much (common practice)
USUAL_SUPPER = "19:30"  # what is asked begins with it, until a kitchen has planned one


@dataclass(frozen=True)
class PartOfDay:
    """From `from_min` (local wall clock, repeated daily) the room is at `temp_c`."""

    from_min: int
    temp_c: float


@dataclass(frozen=True)
class AwaySpan:
    """Away from home, minutes after local midnight; `to_min` may pass 1440."""

    from_min: int
    to_min: int


@dataclass(frozen=True)
class DayHours:
    """One person's ordinary day."""

    wake_min: int = 6 * 60 + 30
    sleep_min: int = 22 * 60 + 30
    away: tuple[AwaySpan, ...] = ()


_WORKDAY = DayHours(away=(AwaySpan(8 * 60, 17 * 60 + 45),))
_FREE_DAY = DayHours(wake_min=8 * 60, sleep_min=23 * 60)


@dataclass(frozen=True)
class Person:
    """Somebody who may do a step. `week[0]` is Monday."""

    name: str = "Me"
    week: tuple[DayHours, ...] = (_WORKDAY,) * 5 + (_FREE_DAY,) * 2

    @property
    def is_reader(self) -> bool:
        """Whoever reads it: the one that a kitchen begins with, still by that name."""
        return self.name.casefold() == Person.name.casefold()


@dataclass(frozen=True)
class Oven:
    """The oven and what lies in it."""

    function: OvenFunction = "still"  # the one that is usually on
    dial_unit: DialUnit = "C"
    dial_said: bool = False  # what it shows was saved by itself; until then it goes with the household's degrees
    highest_c: float = 250.0
    slab: SlabKind = "tray"
    slab_mm: float = 0.0
    slab_width_cm: float = 0.0
    slab_depth_cm: float = 0.0
    shelves: int = 4
    power_w: float = 0.0  # 0 = unknown
    measured_preheat_min: int = 0  # 0 = not measured yet
    dial_error_c: float = 0.0  # thermometer minus dial
    trays_at_once: int = 1


@dataclass(frozen=True)
class Kitchen:
    """One kitchen. No names of real people are needed anywhere."""

    zone: str = "Europe/London"
    room: tuple[PartOfDay, ...] = (PartOfDay(0, 18.0), PartOfDay(7 * 60, 20.0), PartOfDay(17 * 60, 21.0))
    fridge_c: float = 5.0
    warm_c: float = 28.0
    has_warm_spot: bool = True  # oven with the light on, a shelf over the boiler, ...
    warm_is_oven: bool = True  # it is the oven: what stands there comes out before the oven is lit
    tap_c: float = 15.0
    mixing: Mixing = "hand"
    mixing_rise_c: float = 1.0
    vessel: BulkVessel = "bowl"
    scale_step_g: float = 1.0
    micro_step_g: float = 0.0  # 0 = no micro scale
    has_spoons: bool = True
    yeast_kind: YeastKind = "instant"
    vigour_ln_mean: float = 0.0
    vigour_ln_sd: float = 0.35
    pans: tuple[Pan, ...] = (  # a size of home ovens' trays in ironmongers' lists, from memory; common practice
        Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0, "Oven tray"),
        Pan("round-28", "Round pan 28 cm", "round", 615.8, 1, 28.0, 28.0, "Round pan"),
    )
    oven: Oven = Oven()
    people: tuple[Person, ...] = (Person(),)
    mass_unit: MassUnit = "g"
    heat_unit: HeatUnit = "C"
    clock: ClockStyle = "24"
    alarms: tuple[tuple[str, int], ...] = ()  # (step kind, minutes before); the rest from tables/methods.toml
    every_step: bool = False  # every step has a calendar event and rings, not only where somebody must come
    avoid: tuple[str, ...] = ()  # allergens to point out
    habits: tuple[Habit, ...] = ()  # changes accepted from past bakes

    def usual_c(self, minute: int) -> float:
        """How warm it usually is so many minutes after midnight, C."""
        parts = sorted(self.room, key=lambda part: part.from_min)
        return ([part for part in parts if part.from_min <= minute] or parts)[-1].temp_c

    def has_other_fridge(self, was_c: float) -> bool:
        """Is the fridge so much warmer or colder than that, that a dough in it goes on otherwise?"""
        return abs(was_c - self.fridge_c) >= OTHER_FRIDGE_C


@dataclass(frozen=True)
class Wish:
    """The five answers of the morning, plus what the person added. Local times are text, as typed."""

    supper_local: str  # "2026-11-25T19:30", wall clock in the kitchen's zone
    pans: tuple[Pan, ...]
    formula_key: str
    toppings_key: str = ""  # key of tables/toppings.toml, "" = none
    room_c: float | None = None  # as warm as the kitchen is at `room_min`: the whole day differs by as much as that
    away_today: tuple[AwaySpan, ...] | None = None  # hours away on the day of supper, over the week's
    method_key: str = ""  # "" = whichever fits best
    loading_g_cm2: float | None = None  # None = the style's
    supper_fold: int | None = None  # 0 first, 1 second, when the time exists twice
    loss_percent: float = 0.0
    start_local: str = ""  # earliest start, "" = now
    at_once: int = 0  # trays that go into the oven together today; 0 = as usual in this kitchen
    as_they_come: bool = False  # of several loads each is eaten when it is out; else all together
    kept_local: str = ""  # as much dough again is kept in the fridge for this supper, wall clock; "" = none is
    room_min: int | None = None  # the minute of the day at which it was so warm; None: when it was asked
    away_person: int = 0  # whose day `away_today` is, by place in the list of people
    else_from_min: int | None = None  # from that minute of the day of supper somebody is home who is not of the house
