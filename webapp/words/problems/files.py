"""What is wrong with a file that somebody brings in: a kitchen taken along, a calendar."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from webapp.words.problems.evening import USE_OURS
from webapp.words.problems.typed import CHOOSE_SHOWN, Said

# -- a kitchen

ONE_AT_A_TIME = ("Another kitchen is being brought in just now.", "Try again in a minute.")
MUCH_FOR_ONE = "That is too much for one kitchen."
NO_SUCH_WEEK = "These hours are no week of ours."
NO_SUCH_YEAST = "No yeast is as quick or as slow as that."
NO_SUCH_CHANGE = "That is no change that a bake suggests."
# What is left out of it, where it has no name that can be read.
A_BAKE = "A bake"
A_DOUGH = "Something of your own"
Small = Literal["line", "plan", "busy"]
_SMALL: dict[Small, tuple[str, str]] = {
    "line": ("a line of a journal", "lines of journals"),
    "plan": ("an earlier plan", "earlier plans"),
    "busy": ("a busy time", "busy times"),
}


def small_things(what: Small, many: int) -> str:
    """So many lines, plans, times."""
    one, several = _SMALL[what]
    return one if many == 1 else f"{many} {several}"


def settings_left_out(names: Iterable[str]) -> str:
    """They stand as in a new kitchen."""
    return f"Settings ({', '.join(names)})"


# What should stand there.
SMALLER_NUMBER = "a smaller number"
MADE_ITSELF = "something that a kitchen made itself"
NAMED_VALUES = "a group of named values"
A_LIST = "a list"
SHORT_TEXT = "a short text"
FEWER_DOUGHS = "so many doughs that a person can look through"
SHORT_BAKES = "bakes of a day or two each"
NEAR_SUPPER = "a plan with its steps near its supper, in a known zone"
FOLLOWED = "a plan that can be followed"
TAKEN_ALONG = "a kitchen taken along from Suppertide"
PAIRS = "pairs of instants"


def should_be(expected: str) -> Said:
    """What should stand at a place in the file."""
    return f"This should be {expected}.", USE_OURS


def nested(most: int) -> str:
    """What should stand there instead of groups inside groups without end."""
    return f"nested {most} deep at most"


def readable_text(most: int) -> str:
    """What should stand there instead of a text that no page could show."""
    return f"readable text of {most} letters at most"


def at_most(many: int) -> str:
    """How many there may be."""
    return f"{many} at most"


def many_to_come(many: int, most: int) -> Said:
    """More bakes still to come than a kitchen has."""
    return (
        f"This file has {many} bakes still to come; a kitchen has {most} at most.",
        "Give some of them up where it was written, then take it along again.",
    )


def events_at_most(many: int) -> str:
    """What should stand there instead of a bake with a journal without end."""
    return f"a bake with {many} events at most"


def other_version(schema: int) -> str:
    """What should stand there: the number that this program reads."""
    return f"{schema}: this file is of another version"


def people_at_most(many: int) -> str:
    """More people than a kitchen has."""
    return f"{many} people at most."


def alarms_at_most(minutes: int) -> str:
    """An alarm too long before its step."""
    return f"Alarms ring {minutes} minutes before at most."


def no_kitchen(empty: bool) -> Said:
    """No file, or not one of ours."""
    message = "No file was chosen." if empty else "This file is not a kitchen."
    return message, "Choose the file that “Take along” wrote."


# -- a calendar; its sentences go on after a name, so they begin small

NO_CALENDAR_CHOSEN = ("No file was chosen.", "Choose one that ends in .ics.")
NOBODY_OF_THAT_NAME = ("That person is not on the list.", CHOOSE_SHOWN)
FOLLOWED_ALREADY = ("these busy times come from a calendar’s address.", "Take the address out first.")
OTHERS_FIRST = ("other calendars are being read just now.", "Try again in a few seconds.")
NO_CALENDAR = ("that is not a calendar file.", "Export one that ends in .ics.")
NOT_READABLE = ("that calendar file cannot be read.", "Export it again.")
NO_EVENT_READABLE = ("no event in that calendar can be read.", "Export it again.")
TOO_OFTEN = ("an event in it repeats more than once an hour.", "Take that event out.")
_SMALLER = "Export only the coming weeks."
WITHOUT_END = ("that calendar repeats itself without end, or takes too long to read.", _SMALLER)


def many_events(many: int, most: int) -> Said:
    """More than are read."""
    return f"that calendar has {many:,} events; {most:,} is the most.", _SMALLER


def large_file(has: str, most_mb: float) -> Said:
    """Larger than any that is read; `has` says how large, in words."""
    return f"that file has {has}; {most_mb:g} MB is the most.", _SMALLER


# What was read of a calendar all the same, and what to know about it.


def long_left_out(many: int) -> str:
    """Events of months: somebody's note, and no busy time."""
    return f"Left out {many} event{'s that last' if many > 1 else ' that lasts'} longer than 60 days: taken for a note."


def broken_left_out(place: int, when: str) -> str:
    """One event that cannot be read; `when` it is, as the file writes it."""
    return f"Left out event {place} of the file ({when or 'without a start'}): it cannot be read."


def more_left_out(many: int) -> str:
    """Those that are not named."""
    return f"And {many} more that cannot be read."


def often_left_out(place: int) -> str:
    """One that repeats all the time."""
    return f"Left out event {place} of the file: it repeats more than once an hour."


def unknown_zone(name: str) -> str:
    """A time zone that nothing is known of."""
    return f"The time zone “{name}” cannot be read: its events count at your kitchen’s time."


def tables_left_out(many: int) -> str:
    """Free-busy tables that cannot be read."""
    return f"Left out {many} free-busy table{'s' * (many > 1)}: {'it' if many == 1 else 'they'} cannot be read."


def whole_days_count(many: int) -> str:
    """Entries of whole days that are not marked as free."""
    alone = many == 1
    counts, them, they = ("entry counts", "it", "it is") if alone else ("entries count", "them", "they are")
    return f"{many} whole-day {counts} as busy all day: mark {them} free if {they} not."


def declined_count(many: int) -> str:
    """Invitations that somebody declined."""
    count = "counts" if many == 1 else "count"
    return f"{many} with a declined invitation {count}: who declined cannot be told from the file."


def ours_left_out(many: int) -> str:
    """The steps of a bake do not make its baker busy."""
    return f"Left out {many} step{'s' * (many > 1)} of your own bakes."
