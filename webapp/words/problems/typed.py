"""What is wrong with what somebody typed into a form: first what, then a way out."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.kinds import PanMeasure
from webapp.words.kinds.pans import measure_said
from webapp.words.problems.evening import NO_WARMTH, WHEN_READ

Said = tuple[str, str]  # what is wrong, a way out


def quoted(typed: str, most: int = 40) -> str:
    """What was typed, as it is named in a sentence; the end of a long one is left out."""
    return f"“{typed if len(typed) <= most else f'{typed[: most - 3]}...'}”"


# -- numbers, names, choices


def between(least: float, most: float, unit: str = "") -> str:
    """The way out of a number that is too small or too large."""
    return f"Between {least:g} and {most:g}{f' {unit}' if unit else ''}, please."


def no_number(typed: str, what: str) -> str:
    """Nothing was typed, or something that is no number."""
    return f"{quoted(typed)} is not a number." if typed else f"{what} needs a number."


def out_of_reach(typed: str) -> str:
    """A number beyond what makes sense."""
    return f"{quoted(typed)} is out of reach here."


CHOOSE_SHOWN = "Choose one of those shown."


def no_whole_number(typed: str, what: str, least: int, most: int) -> Said:
    """Nothing, no whole number, or one that is too small or too large."""
    said = f"{quoted(typed)} does not fit." if typed else f"{what} needs a number."
    return said, f"A whole number from {least} to {most}, please."


def not_on_the_list(typed: str, what: str) -> Said:
    """Nothing, or something that was not offered."""
    said = f"{quoted(typed)} is not on the list." if typed else f"{what} is not answered yet."
    return said, CHOOSE_SHOWN


def no_name(what: str, most: int) -> Said:
    """Nothing that can be read."""
    return f"{what} needs a name.", f"1 to {most} letters."


def long_name(letters: int, most: int) -> Said:
    """A name with more letters than there may be."""
    return f"This name has {letters} letters.", f"{most} at most."


def strange_allergen(typed: str, known: str) -> Said:
    """A word that the regulation's list does not have."""
    return f"“{typed}” is not on the list of allergens.", f"Known: {known}, or none."


# -- times


def no_time(typed: str) -> Said:
    """Nothing, or no time of day."""
    return f"{quoted(typed)} is not a time of day." if typed else "A time is missing.", "Write it like 17:45."


def no_supper_time(typed: str) -> Said:
    """Nothing, or no time of day, where supper is asked for in one line."""
    said = f"“{typed[:40]}” is not a time of day." if typed else "The time is missing."
    return said, "Write it like 19:30 or 7:30 pm."


def no_stretch(typed: str) -> Said:
    """Two times are wanted."""
    return f"{quoted(typed)} is not a stretch of the day.", "Write it like 8:00-17:45."


def many_stretches(many: int, most: int) -> Said:
    """More of them in a day than there may be."""
    return f"That is {many} stretches.", f"{most} at most; join those that touch."


def no_moment(typed: str, what: str) -> Said:
    """Nothing, or no date and time."""
    said = f"{quoted(typed)} is not a date and time." if typed else f"{what} needs a day and a time."
    return said, "Write it like 2030-01-31T19:30."


def no_length_of_time(typed: str) -> Said:
    """Nothing, or nothing up to a week."""
    said = f"“{typed[:40]}” is no length of time up to a week." if typed else "A length of time is missing."
    return said, "Write it like 45 min or 2 h 30 min."


def no_reading_time(typed: str) -> Said:
    """When a glass was read."""
    return f"“{typed[:20]}” is no time of day.", "Like 20:15; empty for now."


def jumped_over(typed: str) -> Said:
    """A time that the clocks left out that day."""
    return f"“{typed[:20]}” did not come that day: the clocks jump over it.", "Empty for now."


STILL_TO_COME = ("That is still to come.", WHEN_READ)
OVER_ALREADY = ("That is over already.", "Choose a time that is still to come.")

# -- a bake that is asked for

NO_PAN = ("No pan is chosen.", "Say how many of at least one, or give the size of another.")
NO_PAN_AT_ALL = ("No pan is chosen.", "Say what you bake in.")
OTHER_PAN_OPEN = ("Another pan has no shape and no size yet.", "Give them, or leave it at one.")
NO_HOURS = ("The hours away are missing.", "Write them like 8:00-17:45, or tick “at home all day”.")
SERVER_CLOCK = ("The clock of the server is wrong.", "Set it, then ask again.")


def many_pans(many: int, most: int) -> Said:
    """More than one oven bakes in an evening."""
    return f"That is {many} pans.", f"{most} at most in one bake."


def not_in_larder(what: str, key: str) -> Said:
    """A formula, a method or a set of toppings that this kitchen does not have."""
    return f"There is no {what} “{key}” here.", "Choose one from the list."


def put_away_since(what: str) -> Said:
    """The same of one of the household's own: nobody reads its key."""
    return f"The {what} was put away since.", "Choose one from the list."


# -- a formula, a method, a set of toppings

NO_FLOUR = ("There is no flour.", "Give the flour first: everything else is a percent of it.")
NO_PREFERMENT_KIND = ("This preferment is of no kind yet.", "Choose one, or empty its three figures.")
NOTHING_ON_IT = ("There is nothing on it.", "Name at least one topping and its grams.")


def preferment_share(what: str, percent: float, of_all_flour: bool, least: float, most: float) -> Said:
    """A preferment typed as weights, whose share is too small or too large."""
    whose = "all flour" if of_all_flour else "its own flour"
    return f"{what} comes to {percent:.4g} % of {whose}.", between(least, most, "%")


_OWN: Mapping[str, str] = {"formula": "formulas", "toppings": "sets", "method": "methods", "glass": "test glasses"}


def many_own(many: int, kind: str) -> Said:
    """`kind`: of which there is no room for one more."""
    return f"There are {many} own {_OWN[kind]} already.", "Put one away first."


def should_be_anew(expected: str) -> Said:
    """Something own that cannot be what it is kept as."""
    return f"This should be {expected}.", "Write it down anew."


WEIGHED_TOPPINGS, WEIGHED_RIM = "toppings that can be weighed", "one that can be weighed"

# -- the kitchen

NO_TEMPERATURE = (f"The {NO_WARMTH}.", "Say how warm it is, from 00:00 on if always.")
SAME_BEGIN = ("Two parts of the day begin at the same time.", "Empty one of them.")
LAST_PAN = ("A kitchen needs a pan.", "Keep one, or write down another first.")
LAST_PERSON = ("Somebody has to do the baking.", "Add another person before this one goes.")
FIRST_HEIGHT, HEIGHT_NOW = "The first height", "The height now"


def no_measure(shape: str, measure: PanMeasure) -> Said:
    """A size that such a pan does not have; `shape` in words."""
    return f"The shape “{shape}” has no {measure_said(measure)}.", "Leave it empty, or choose another shape."


def many_people(most: int) -> Said:
    """No more of them can be in a kitchen."""
    return f"{most} people at most.", "Take one away first."


def no_preheat(minutes: int, least: int, most: int) -> Said:
    """The time between lighting the oven and now."""
    return (
        f"{minutes} min between lighting it and now is not a preheat.",
        f"It takes {least} to {most} min. Time it again, or type the minutes.",
    )
