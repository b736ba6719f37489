"""A person's day: wall clock and zone in, free, away, asleep and busy intervals out. Alone in core in knowing zones.

Everything beyond this door is an int of UTC seconds. Hours of the week are minutes after local midnight, as
kitchen.py has them. A wall-clock time that does not exist or exists twice (the nights the clocks change) is asked
about when a person typed it for one evening; in the hours of the week, which repeat by themselves, the reading that
leaves the person *less* free time is taken, so that no step lands in a doubtful hour.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from webapp.core.day.free_time import Day, PersonDay
from webapp.core.day.hours import DAY_MIN, DayException, exception_problems, hours_problems
from webapp.core.day.span import Span, minus, union
from webapp.core.errors import PlanError, Problem
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person
from webapp.core.plan.rise import RoomSpan

# Files beside the zones that are no place's time, or count leap seconds: no browser knows them by these names.
_NO_ZONES = frozenset({"Factory", "localtime", "posixrules"})
_OTHER_CLOCKS = ("right/", "posix/")
MOST_DAYS = 60  # a horizon past this is a slip of the pen
PLANS_S = 14 * 86400  # how far ahead anything can be planned
NIGHT_MIN = 3 * 60  # 03:00: who waits past it has waited overnight


# --- wall clock -> instant ----------------------------------------------------------------------------------------


def zone_of(name: str, field: str = "zone") -> ZoneInfo:
    """The zone of that IANA name; PlanError at `field` when there is none."""
    try:
        if name in _NO_ZONES or name.startswith(_OTHER_CLOCKS):
            raise ZoneInfoNotFoundError(name)
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise PlanError.at(field, "no-zone", name=name) from None


def instants_of(wall: datetime, zone: ZoneInfo) -> tuple[int, ...]:
    """Every instant at which clocks in `zone` show the naive `wall`: none, one or two, ascending."""
    found = set()
    for fold in (0, 1):
        instant = int(wall.replace(tzinfo=zone, fold=fold).timestamp())
        if datetime.fromtimestamp(instant, zone).replace(tzinfo=None, fold=0) == wall:
            found.add(instant)
    return tuple(sorted(found))


def instant_of(text: str, zone_name: str, fold: int | None = None, field: str = "supper") -> int:
    """The instant of a typed wall-clock time ("2026-11-25T19:30").

    Raises PlanError at `field` for what is no time at all, and, with the two choices spelled out, for a time that
    the clocks skip; for one they show twice unless `fold` says which (0 the first, 1 the second).
    """
    zone = zone_of(zone_name)
    wall = _wall(text, field)
    found = instants_of(wall, zone)
    if not found:
        earlier, later = (_skipped(wall, zone, fold) for fold in (1, 0))
        raise PlanError.at(field, "skipped", clock=_hm(wall), date=_date(wall), earlier=_hm(earlier), later=_hm(later))
    if len(found) == 2 and fold not in (0, 1):
        offsets = [_offset_text(i, zone) for i in found]
        raise PlanError.at(field, "twice", clock=_hm(wall), date=_date(wall), first=offsets[0], second=offsets[1])
    return found[1] if len(found) == 2 and fold == 1 else found[0]


def supper_instant(text: str, zone_name: str, now: int, fold: int | None = None) -> int:
    """The instant of supper; PlanError at "supper" also when it is past or more than a fortnight away."""
    supper = instant_of(text, zone_name, fold, "supper")
    if supper <= now:
        raise PlanError.at("supper", "time-past", clock=clock_text(supper, zone_name))
    if supper - now > PLANS_S:
        raise PlanError.at("supper", "weeks-away")
    return supper


def _wall(text: str, field: str) -> datetime:
    try:
        wall = datetime.fromisoformat(text.strip())
        if wall.tzinfo is not None or not 1970 < wall.year < 2200:
            raise ValueError
    except ValueError:
        raise PlanError.at(field, "no-date-time", typed=text) from None
    return wall.replace(second=0, microsecond=0, fold=0)


def _skipped(wall: datetime, zone: ZoneInfo, fold: int) -> datetime:
    """Where the clock stands when the skipped `wall` is read by the offset before (0) or after (1) the jump."""
    instant = wall.replace(tzinfo=zone, fold=fold).timestamp()
    return datetime.fromtimestamp(instant, zone)


def _hm(wall: datetime) -> str:
    return f"{wall:%H:%M}"


def _date(wall: datetime) -> str:
    return f"{wall:%Y-%m-%d}"


def _offset_text(instant: int, zone: ZoneInfo) -> str:
    return f"{datetime.fromtimestamp(instant, zone):%Z}"


# --- instant -> wall clock, as answers are typed ------------------------------------------------------------------


def clock_text(instant: int, zone_name: str) -> str:
    """The local wall clock as answers are typed, "18:30"."""
    return f"{datetime.fromtimestamp(instant, zone_of(zone_name)):%H:%M}"


def date_text(instant: int, zone_name: str) -> str:
    """The local date, "2026-11-25"."""
    return f"{datetime.fromtimestamp(instant, zone_of(zone_name)):%Y-%m-%d}"


def minute_of_day(instant: int, zone_name: str) -> int:
    """Minutes on the local clock since midnight."""
    local = datetime.fromtimestamp(instant, zone_of(zone_name))
    return local.hour * 60 + local.minute


def same_clock(zone_name: str, instant: int, days: int) -> int:
    """The instant at which the local clock shows the same time so many days on; a skipped time moves an hour on."""
    zone = zone_of(zone_name)
    wall = datetime.fromtimestamp(instant, zone).replace(tzinfo=None, fold=0) + timedelta(days=days)
    return instants_of(wall, zone)[0] if instants_of(wall, zone) else int(wall.replace(tzinfo=zone).timestamp())


def half_days(zone_name: str, start: int, end: int) -> tuple[int, ...]:
    """Every local midnight and noon from the day of `start` to that of `end`, ascending."""
    zone = zone_of(zone_name)
    days = _dates(zone, Span(start, end), 0)
    return tuple(_readings(day, minute, zone)[0] for day in days for minute in (0, DAY_MIN // 2))


def nights(zone_name: str, start: int, end: int) -> tuple[int, ...]:
    """Every local 03:00 from the day of `start` to that of `end`, ascending: what waits past one waits overnight."""
    zone = zone_of(zone_name)
    return tuple(_readings(day, NIGHT_MIN, zone)[-1] for day in _dates(zone, Span(start, end), 0))


# --- hours of the week -> intervals -------------------------------------------------------------------------------


def day_of(
    kitchen: Kitchen,
    start: int,
    end: int,
    *,
    exceptions: Sequence[DayException] = (),
    busy: Sequence[Iterable[Span]] = (),
    room_c: float | None = None,
) -> Day:
    """The kitchen's people and warmth between two instants.

    `busy[i]` are person i's busy times, of a calendar and of other bakes; `room_c` is today's kitchen over the usual
    parts of the day.
    Raises PlanError, every problem at once, for an unknown zone, hours that make no day, or a horizon past sixty days.
    """
    zone = zone_of(kitchen.zone)
    problems = [*hours_problems(kitchen.people), *exception_problems(exceptions, len(kitchen.people))]
    if not kitchen.room and room_c is None:
        problems.append(Problem("room", "no-room-temperature"))
    if not 0 < end - start <= MOST_DAYS * 86400:
        problems.append(Problem("supper", "too-far-away"))
    if problems:
        raise PlanError(*problems)
    whole = Span(start, end)
    people = tuple(
        _person_day(person, zone, whole, [e for e in exceptions if e.person == i], busy[i] if i < len(busy) else ())
        for i, person in enumerate(kitchen.people)
    )
    parts = kitchen.room if room_c is None else (PartOfDay(0, room_c),)
    return Day(kitchen.zone, start, end, people, room_path(parts, zone, whole))


def with_away(kitchen: Kitchen, date_iso: str, away: tuple[AwaySpan, ...], person: int = 0) -> DayException:
    """That date with other hours away, awake as usual."""
    usual = kitchen.people[person].week[date.fromisoformat(date_iso).weekday()]
    return DayException(date_iso, DayHours(usual.wake_min, usual.sleep_min, away), person)


def _person_day(
    person: Person, zone: ZoneInfo, whole: Span, exceptions: Sequence[DayException], busy: Iterable[Span]
) -> PersonDay:
    by_date = {e.date: e.hours for e in exceptions}
    awake, away = [], []
    for day in _dates(zone, whole):
        hours = by_date.get(day.isoformat(), person.week[day.weekday()])
        awake.append(_narrow(day, hours.wake_min, hours.sleep_min, zone))
        away += [_wide(day, a.from_min, a.to_min, zone) for a in hours.away]
    awake, away = union(awake, whole), union(away, whole)
    taken = union(busy, whole)
    return PersonDay(
        person.name,
        free=tuple(minus(minus(awake, away), taken)),
        away=tuple(away),
        asleep=tuple(minus([whole], awake)),
        busy=tuple(taken),
    )


def _dates(zone: ZoneInfo, whole: Span, before: int = 15) -> Iterator[date]:
    """Local dates whose hours may reach into `whole`; hours away may run on for a fortnight."""
    day = datetime.fromtimestamp(whole.start, zone).date() - timedelta(days=before)
    last = datetime.fromtimestamp(whole.end, zone).date()
    while day <= last:
        yield day
        day += timedelta(days=1)


def _narrow(day: date, from_min: int, to_min: int, zone: ZoneInfo) -> Span:
    """Awake: where the clock is in doubt the later beginning and the earlier end."""
    return Span(_readings(day, from_min, zone)[-1], _readings(day, to_min, zone)[0])


def _wide(day: date, from_min: int, to_min: int, zone: ZoneInfo) -> Span:
    """Away: where the clock is in doubt the earlier leaving and the later return."""
    return Span(_readings(day, from_min, zone)[0], _readings(day, to_min, zone)[-1])


def _readings(day: date, minute: int, zone: ZoneInfo) -> tuple[int, ...]:
    """Instants that `minute` of that day may stand for, ascending; for a skipped time both ways of reading it."""
    wall = datetime(day.year, day.month, day.day) + timedelta(minutes=minute)  # noqa: DTZ001 - wall clock, zone follows
    return instants_of(wall, zone) or tuple(
        sorted(int(wall.replace(tzinfo=zone, fold=fold).timestamp()) for fold in (0, 1))
    )


def room_path(parts: Sequence[PartOfDay], zone: ZoneInfo, whole: Span) -> tuple[RoomSpan, ...]:
    """The kitchen's warmth by part of the day as spans over `whole`; the first covers everything before it."""
    spans = [
        RoomSpan(_readings(day, part.from_min % DAY_MIN, zone)[0], part.temp_c)
        for day in _dates(zone, whole)
        for part in parts
    ]
    spans.sort(key=lambda s: s.start)
    before = [s for s in spans if s.start <= whole.start][-1:]
    inside = [s for s in spans if whole.start < s.start < whole.end]
    kept: list[RoomSpan] = []
    for span in [*before, *inside]:
        if not kept or kept[-1].temp_c != span.temp_c:
            kept.append(span)
    return tuple(kept)
