"""Why a bake came out as it did, and the one change to take into the next plan. The world is handed in."""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core.kitchen import Kitchen
from webapp.core.learning import habits
from webapp.core.learning.bake_numbers import numbers_of
from webapp.core.learning.diagnosis import Cause, Diagnosis, Suggestion
from webapp.data import trouble
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.bakes import kitchen_of
from webapp.kitchens.book import BookEntry, entry
from webapp.store.store import Store
from webapp.words.learned import likely_words, number_words
from webapp.words.problems import kept as said
from webapp.words.problems.told import refused


@dataclass(frozen=True)
class Reason:
    """A cause as the page shows it: how likely in words, and what in this bake's numbers speaks for it."""

    cause: Cause
    how_likely: str
    because: tuple[str, ...]


@dataclass(frozen=True)
class Findings:
    """A bake in the book with the reasons of what was ticked."""

    entry: BookEntry
    reasons: tuple[Reason, ...]
    suggestion: Suggestion | None
    taken: bool  # the suggestion was accepted after this bake already


def findings(store: Store, now: int, kitchen_id: str, bake_id: str) -> Findings:
    """Reasons for what was ticked, the likeliest first. NotHere for a bake that is not of this kitchen."""
    found, diagnosis, retimed = entry(store, now, kitchen_id, bake_id)
    kitchen = kitchen_of(store, kitchen_id)
    numbers = numbers_of(found.plan, retimed, kitchen.oven)
    reasons = tuple(
        Reason(cause, likely_words(cause.share), tuple(number_words(name, numbers[name]) for name in cause.because))
        for cause in diagnosis.causes
    )
    return Findings(found, reasons, diagnosis.suggestion, _taken(kitchen, diagnosis, bake_id))


def _taken(kitchen: Kitchen, diagnosis: Diagnosis, bake_id: str) -> bool:
    return diagnosis.suggestion is not None and habits.accepted(kitchen.habits, diagnosis.suggestion, bake_id)


def take_along(store: Store, now: int, kitchen_id: str, bake_id: str) -> Suggestion:
    """Take the suggestion into the plans from now on; twice is as good as once.

    Raises PlanError at "change" when nothing is suggested, NotHere for a bake that is not of this kitchen.
    """
    suggestion = findings(store, now, kitchen_id, bake_id).suggestion
    if suggestion is None:
        raise refused("change", *said.NOTHING_TO_CHANGE)

    def with_it(kitchen: Kitchen) -> Kitchen:
        return replace(kitchen, habits=habits.accept(kitchen.habits, suggestion, bake_id))

    change_kitchen(store, kitchen_id, with_it)
    return suggestion


def sign_names() -> dict[str, str]:
    """What can be ticked, in words."""
    return {sign.key: sign.name for sign in trouble.signs()}
