"""Who of the house is there when, as a plan knows it: facts alone, for a step wherever it stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from webapp.core.kinds import Presence

Stretch = tuple[int, int]  # from, up to; UTC seconds


@dataclass(frozen=True)
class AtHome:
    """When one person is there: each ascending and disjoint. `free`: the hands too."""

    name: str
    free: tuple[Stretch, ...]
    home: tuple[Stretch, ...]  # awake at home, free or busy


@dataclass(frozen=True)
class HouseHours:
    """Everybody's hours from `start` to `end`; of what lies outside of it nothing is known."""

    start: int
    end: int
    people: tuple[AtHome, ...]


def there(house: HouseHours, start: int, end: int, presence: Presence) -> tuple[str, ...]:
    """Names of those who have their hands free, or are awake at home, all the time from `start` to `end`."""
    return tuple(
        one.name
        for one in house.people
        if any(begins <= start and end <= over for begins, over in _spans(one, presence))
    )


def is_empty(house: HouseHours, start: int, end: int, presence: Presence, seen: Iterable[int]) -> bool:
    """Is nobody there from `start` to `end`, as far as is known? Not where somebody was `seen` since the hours say that
    nobody is: they came home sooner, or stayed up."""
    if start < house.start or end > house.end or there(house, start, end, presence):
        return False
    left = [over for one in house.people for _, over in _spans(one, presence) if over <= start]
    since = max([house.start, *left])
    return not any(since < at for at in seen)


def _spans(one: AtHome, presence: Presence) -> tuple[Stretch, ...]:
    return one.free if presence == "hands" else one.home
