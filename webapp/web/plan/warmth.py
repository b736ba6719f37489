"""How warm the kitchen is: for which hour that is asked, what was read last, from which day it is told."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from webapp.core.day.day import date_text, instant_of, minute_of_day
from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.core.plan.rise import RoomSpan
from webapp.forms import wish
from webapp.forms.in_units import heat_text
from webapp.forms.typed import clock_minutes, clock_text
from webapp.kitchens import room_read
from webapp.kitchens.access import Home
from webapp.planning import tonight
from webapp.planning.question import warmed
from webapp.web.door import world
from webapp.words.pages.questions import another_figure, hour_words
from webapp.words.pages.usual import WARM_THAT_DAY, WARM_TODAY, warm_as
from webapp.words.plan.rise import still_so
from webapp.words.rests_on import AS_USUAL_C, effect_words, warmth_words
from webapp.words.times import day_name, part_of_day, wall_minute


def last_read(inside: Home) -> RoomSpan | None:
    """The last reading of the room that still counts."""
    return room_read.room_read(world().store, world().now(), inside.kitchen_id)


def still_asked(inside: Home) -> str:
    """The same, asked about; "" when there is none."""
    found = last_read(inside)
    return "" if found is None else f"{still_so(found, inside.kitchen, world().now())}? "


def room_typed(inside: Home) -> tuple[str, str]:
    """The same as it would be typed, and when it was read; "" when there is none."""
    found = last_read(inside)
    if found is None:
        return "", ""
    room = heat_text(found.temp_c, inside.kitchen)
    return room, wish.room_at(room, minute_of_day(found.start, inside.kitchen.zone))


@dataclass(frozen=True)
class HourAsked:
    """For which hour the figure in a form is: now; when it was read; or supper's, where that is on another day."""

    words: str
    is_read: bool = False
    ahead: str = ""  # "20:15": that hour of another day

    @property
    def other(self) -> str:
        """What another figure than the one that was read is for."""
        return another_figure(bool(self.ahead)) if self.is_read else ""


def hour_asked(form: Any, inside: Home, supper: str = "") -> HourAsked:
    """ "The kitchen now, at 05:10"; when the figure that the form came with was read; "Monday, at 20:15" of a `supper`
    then."""
    kitchen, now = inside.kitchen, world().now()
    read = wish.room_min_of({"room": form.room.data, "room_at": form.room_at.data})
    ahead = None if supper[:10] in ("", date_text(now, kitchen.zone)) else clock_minutes(supper[11:16])
    hour = "" if ahead is None else clock_text(ahead)
    if read is not None and read != ahead:
        return HourAsked(hour_words(wall_minute(read, kitchen.clock), "read"), is_read=True, ahead=hour)
    if ahead is not None:
        with suppress(PlanError):
            day = day_name(instant_of(supper, kitchen.zone, 0), kitchen.zone, now)
            return HourAsked(hour_words(wall_minute(ahead, kitchen.clock), day), ahead=hour)
    return HourAsked(hour_words(wall_minute(minute_of_day(now, kitchen.zone), kitchen.clock), "now"))


def told(inside: Home, wanted: Wish) -> str:
    """How warm the kitchen is through the day of this wish, and which day that is where it is not as usual."""
    return warmth_words(warmed(inside.kitchen, wanted, world().now()), _whose_day(inside, wanted))


def effect(inside: Home, wanted: Wish, day: tonight.ShownDay, is_first: bool) -> str:
    """What a kitchen warmer or cooler than usual did to this day; "" when it is as usual, or that cannot be compared.

    The best day then with the best one now; another way with itself.
    """
    here = world()
    apart = warmed(inside.kitchen, wanted, here.now()).room[0].temp_c - inside.kitchen.room[0].temp_c
    if abs(apart) < AS_USUAL_C:
        return ""
    before = tonight.at_usual_warmth(here.store, here.now(), inside.kitchen_id, wanted, day.plan, is_first, here.first)
    return effect_words(day.plan, before, apart, inside.kitchen.clock) if before else ""


def _whose_day(inside: Home, wanted: Wish) -> str:
    now, zone = world().now(), inside.kitchen.zone
    if wanted.room_c is None:
        return ""
    found = last_read(inside)
    if found and (found.temp_c, minute_of_day(found.start, zone)) == (wanted.room_c, wanted.room_min):
        return warm_as(part_of_day(found.start, zone, now))
    return WARM_TODAY if wanted.supper_local[:10] == date_text(now, zone) else WARM_THAT_DAY
