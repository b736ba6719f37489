"""What a kitchen cannot keep, or has kept and cannot use: bakes, the book, phones, test glasses."""

from __future__ import annotations

from webapp.words.problems.typed import Said
from webapp.words.shared import SAID

# -- phones

CODE_USED_UP = ("This code is used up, too old or mistyped.", "Show a new one on the phone that is inside.")
PHONE_NAME = ("A phone's name has 1 to 40 letters.", "Shorten it.")
LAST_PHONE = ("This is the only phone of the kitchen.", "Let another in first, or delete everything.")


def many_phones(most: int) -> Said:
    """No more of them can be in a kitchen."""
    return f"{most} phones use this kitchen already.", "Remove one there first."


# -- test glasses

A_GLASS = "A test glass"  # where it cannot be read: it has no name


# -- bakes and the book

JOURNAL_FULL = ("The journal of this bake is full.", "Start a new plan for the next bake.")
NOT_TO_BE_FOLLOWED = ("This plan cannot be followed.", "Delete the bake and plan it anew.")
WEEKS_AWAY = ("This is weeks away from the bake.", "Set the clock of this phone.")
NOTHING_SAID = ("Nothing is said yet.", SAID["nothing"])
NOTHING_TO_CHANGE = ("There is nothing to change.", "Tick what came out wrong first.")


def no_more_to_come(most: int) -> Said:
    """One more bake than the pages of a kitchen look at."""
    return (
        f"This kitchen has {most} bakes still to come, as many as it looks after.",
        "Give one of them up, or plan this one when the next is eaten.",
    )


def long_note(letters: int, most: int) -> Said:
    """More than a line or two."""
    return f"This note has {letters} letters.", f"{most} at most."


# -- the other part of a dough, for another evening

DO_PLAN_ANOTHER = "Plan another bake for that evening."
DO_BAKE_WITH_REST = "Bake it with the rest."
TWO_SUPPERS = "This dough is for two suppers already."
OLD_PLAN = "This plan is of an older version, which did not write down how the dough was made."
FOR_THE_BIN = "This dough was out of the fridge too long: throw it away, all of it."
NOT_IN_HAND = "Dough is cut off between mixing and the oven."
NO_ROOM = "Your hours that evening leave no room for it: out of the fridge, pressed out, proofed, baked."
HARDLY_RISEN = "It would hardly have risen by then."
PAST_ITS_BEST = "It would be past its best by then: its yeast is in it and goes on in the fridge."
OUT_OF_REACH = "The fridge keeps a piece of dough for 12 hours to three days."
NOT_FROM_WARMTH = "A dough that rises in a warm spot is not kept."
HALF_OUT_OF_REACH = (
    "The fridge keeps half the dough for 12 hours to three days.",
    "Choose an evening soon after.",
)


def half_does_not_fit(why: str, more_ways: bool) -> Said:
    """Why the other half fits no hours of its evening; `more_ways`: what would work stands beside it."""
    way_out = "See what would work." if more_ways else "Choose another hour or evening for it."
    return f"Half the dough does not fit that evening. {why}", way_out


def no_piece(least: str, most: str) -> Said:
    """Too little for an oven, or more than can be spared."""
    return "That is no piece of this dough.", f"Take {least} to {most}."


def not_in_that_pan(pan: str, least: str, most: str, shaped: str) -> Said:
    """A pan in which so much would lie too thin or too thick."""
    return f"{pan} takes {least} to {most} of this dough.", f"Take so much, or choose “{shaped}”."


def would_do(evening: str) -> str:
    """The nearest evening that the piece fits."""
    return f"{evening[:1].upper()}{evening[1:]} would do."
