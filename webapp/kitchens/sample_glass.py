"""Test glasses of a kitchen: set up, read, thrown away. Every version is kept."""

from __future__ import annotations

from dataclasses import replace

from webapp.core.kitchen import Kitchen
from webapp.core.learning import sample_glass
from webapp.core.learning.lessons import Lesson
from webapp.core.learning.sample_glass import GlassRecipe, SampleGlass
from webapp.core.plan.rise import RoomSpan
from webapp.doughs import own as own_things
from webapp.doughs.own import own, own_one, put_away, save
from webapp.doughs.own_kinds import GLASSES
from webapp.kitchens.bakes import kitchen_of
from webapp.kitchens.room_read import usual_c
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.problems import kept
from webapp.words.problems import typed as said
from webapp.words.problems.told import refused


def usual_room_c(kitchen: Kitchen, now: int) -> float:
    """How warm this kitchen usually is at this time of day, C, within what a glass can be set up for."""
    warm = usual_c(kitchen, now)
    return min(max(warm, sample_glass.COLDEST_C), sample_glass.WARMEST_C)


def proposed(kitchen: Kitchen, now: int, room_c: float | None = None) -> GlassRecipe:
    """What to weigh tonight; PlanError at "room" when it is too cold or too warm for it."""
    return sample_glass.recipe_for(kitchen, usual_room_c(kitchen, now) if room_c is None else room_c)


def start(store: Store, now: int, new_id: NewId, kitchen_id: str, room_c: float | None) -> str:
    """The line is drawn: the glass begins to count now; its key."""
    kitchen = kitchen_of(store, kitchen_id)
    warm = usual_room_c(kitchen, now) if room_c is None else room_c
    glass = SampleGlass(proposed(kitchen, now, warm), now, (RoomSpan(now, warm),))
    return save(store, now, new_id, kitchen_id, GLASSES, glass)


def glasses(store: Store, kitchen_id: str) -> tuple[tuple[str, SampleGlass], ...]:
    """Those that were not thrown away, with their keys, the latest first."""
    return tuple(sorted(own(store, kitchen_id, GLASSES).items(), key=lambda one: -one[1].started_at))


def unreadable(store: Store, kitchen_id: str) -> tuple[str, ...]:
    """Those that cannot be read, by what a person calls them: nothing is learned from them."""
    return tuple(kept.A_GLASS for _ in own_things.unreadable(store, kitchen_id, GLASSES))


def read(
    store: Store, now: int, new_id: NewId, kitchen_id: str, key: str, at: int, times: float, room_c: float | None
) -> None:
    """One more reading. PlanError at "at" or "now" when it says nothing, NotHere for a glass that is not ours."""
    if at > now + 60:
        raise refused("at", *said.STILL_TO_COME)
    with store.transaction():
        glass = sample_glass.read(own_one(store, kitchen_id, GLASSES, key), at, times, room_c)
        save(store, now, new_id, kitchen_id, GLASSES, glass, key)


def take_back(store: Store, now: int, new_id: NewId, kitchen_id: str, key: str, at: int) -> None:
    """Take back the reading of that instant."""
    with store.transaction():
        glass = own_one(store, kitchen_id, GLASSES, key)
        left = tuple(one for one in glass.readings if one.at != at)
        save(store, now, new_id, kitchen_id, GLASSES, replace(glass, readings=left), key)


def throw_away(store: Store, kitchen_id: str, key: str) -> None:
    """Learn no more from it; NotHere for one that is not ours."""
    put_away(store, kitchen_id, GLASSES, key)


def lessons(store: Store, kitchen_id: str, since: int) -> tuple[Lesson, ...]:
    """What the test glasses since then have taught, the oldest first."""
    every = reversed(glasses(store, kitchen_id))
    return tuple(one for key, glass in every if glass.started_at >= since
                 for one in sample_glass.lessons_of(key, glass))  # fmt: skip
