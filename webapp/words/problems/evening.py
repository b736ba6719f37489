"""What keeps a day, an oven or an observation from being one, in words: what is wrong, and a way out."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.kinds import BREAD_STYLES, ProblemKind

NO_WARMTH = "kitchen has no temperature"
WHEN_READ = "Give the time at which it was read."
USE_OURS = "Use a file that Suppertide wrote."
_PAST_MIDNIGHT = "(past midnight counts on: 25:00)."

OF_AN_EVENING: Mapping[ProblemKind, tuple[str, str]] = {
    # The clock and the day.
    "no-zone": ("there is no time zone called “{name}”.", "Choose one from the list, such as Europe/London."),
    "skipped": (
        "{clock} does not exist on {date}: the clocks jump over it that night.",
        "Choose {earlier} or {later}.",
    ),
    "twice": (
        "{clock} comes twice on {date}: the clocks go back that night.",
        "Say which: the first ({first}) or the second ({second}).",
    ),
    "time-past": ("{clock} is already past.", "Choose a later time or another day."),
    "weeks-away": ("that is more than two weeks away.", "Plan it when it is two weeks off at most."),
    "no-date-time": (
        "“{typed}” is not a date and time.",
        "Write it like 2030-01-31T19:30, as the kitchen clock shows it.",
    ),
    "no-room-temperature": (f"the {NO_WARMTH}.", "Say how warm it is."),
    "too-far-away": ("that is too far away to plan.", "Choose a day within the next two weeks."),
    # The people and their hours.
    "nobody": ("there is nobody to do the baking.", "Add at least one person."),
    "week-days": ("{name}'s week has {days} days.", "Give all seven."),
    "no-date": ("“{typed}” is not a date.", "Write it like 2030-01-31."),
    "hours-of-nobody": ("those hours belong to nobody in this kitchen.", "Choose a person."),
    "asleep-before-awake": (
        "{whose}: asleep from {sleep_min} is not after awake from {wake_min}.",
        f"Give the hour of going to bed after that of getting up {_PAST_MIDNIGHT}",
    ),
    "home-before-leaving": (
        "{whose}: home at {home_min} is not after leaving at {leaving_min}.",
        f"Give the hour of coming home after that of leaving {_PAST_MIDNIGHT}",
    ),
    # What the planner is asked.
    "no-methods": ("there is no method to choose from.", "Keep at least one."),
    "supper-past": ("supper is already past.", "Choose a later time or another day."),
    "supper-after": ("supper is after the day that was laid out.", "Choose an earlier supper."),
    # The oven and its dial.
    "no-gas-mark": ("There is no gas mark “{typed}”.", "Gas marks are 1/4, 1/2 and 1 to 10."),
    "no-typed-mark": ("There is no gas mark “{typed}”.", "Write 1/4, 1/2 or 1 to 10."),
    "no-temperature": ("“{typed}” is not a temperature.", "Write a number such as 250."),
    "no-oven-heat": (
        "An oven does not read {typed} °{unit}.",
        "Between {least_c:.0f} and {most_c:.0f} °C, {least_f:.0f} and {most_f:.0f} °F.",
    ),
    "apart": (
        "The thermometer is {apart_c:.0f} °C away from the dial.",
        "Check the units, wait until the oven has been hot for 20 minutes, and read again.",
    ),
    "no-style": ("“{typed}” is not a style of baking.", f"Choose one of {', '.join(BREAD_STYLES)}."),
    # What a kitchen has seen.
    "glass-says-nothing": ("{times:.4g} times the first volume says nothing.", "Read it once it has risen."),
    "not-risen": ("A dough that has not begun to rise says nothing.", "Log it when it has risen."),
    "glass-room": ("No evening is long enough, or too short.", "Between {least_c:g} and {most_c:g} °C, please."),
    "glass-day": ("That is not within a day of its line.", WHEN_READ),
    "glass-often": ("This glass was read often enough.", "One or two readings are all it takes."),
    "glass-not-ours": ("This is no test glass of ours.", USE_OURS),
    "no-habit": ("“{name}” is not something a plan can change.", "Note it in the book."),
    # A file, an answer from elsewhere.
    "shape": ("This should be {expected}.", "Use a file or an answer made by Suppertide."),
}
