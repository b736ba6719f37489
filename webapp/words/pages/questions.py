"""What a plan asks, field by field (with `ASKED` as keys the fields' own names), and what its pages answer to a tap."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.words.lists import sentence, steps_words

ASKED: Mapping[str, str] = {
    "supper": "When do we eat?",
    "supper_fold": "Which of the two?",
    "pans": "What do we bake in?",
    "other_shape": "Another pan or size, just this once",
    "other_count": "How many of them",
    "other_too": "As well as those above, not in their place",
    "at_once": "How many go into the oven together?",
    "kept_for": "As much dough again, for",
    "as_they_come": "Eat them as they come",
    "formula_key": "Which dough?",
    "toppings_key": "What goes on top?",
    "room": "How warm is the kitchen?",
    "room_still": "As it was read last",
    "hours": "When am I there?",
    "whose": "Who is where?",
    "away": "Away",
    "else_from": "Somebody else is home from",
    "who": "Whose day is different?",
    "method_key": "Way of making it",
    "loss_percent": "Sticks to bowl and hands, %",
    "start": "Earliest start",
    # Of a supper by its day and its hour.
    "day": "Which evening?",
    "at": "Supper at",
    "date": "Another day",
    # Of a piece that is cut off.
    "grams": "How much is cut off?",
    "pan": "Baked in",
}
# What can be chosen there beside what the kitchen has.
FOLDS = (("", "–"), ("0", "The first"), ("1", "The second"))
OTHER_EVENINGS = (
    ("", "No other evening"), ("1", "The evening after"), ("2", "Two evenings later"), ("3", "Three evenings later"),
)  # fmt: skip
HOURS = (("usual", "As usual that day"), ("home", "At home all day"), ("differ", "Out of the house, as written below"))
NO_OTHER_PAN = "No other pan"
USUAL_TOPPINGS, NO_TOPPINGS = "What it usually has", "Nothing, or decided later"
ANY_METHOD = "Whichever fits best"


def other_length(inch: bool) -> str:
    """Of another pan."""
    return f"Length, or across, {'inches' if inch else 'cm'}"


def other_width(inch: bool) -> str:
    """Of another pan."""
    return f"Width, {'inches' if inch else 'cm'}"


def other_water(inch: bool) -> str:
    """Of a pan of any shape."""
    return f"Weight of water that stands 1 cm deep in it, {'ounces' if inch else 'grams'}"


def hour_words(hour: str, when: str) -> str:
    """For which hour a warmth is: "read" at it, "now", or the day in words."""
    if when == "now":
        return f"The kitchen now, at {hour}"
    return f"At {hour}" if when == "read" else f"{sentence(when)}, at {hour}"


def another_figure(ahead: bool) -> str:
    """What another figure than the one that was read is for; `ahead`: for an hour of another day."""
    return f"Another figure is for {'that hour' if ahead else 'now'}. "


# -- answers

MIXED_MEANWHILE = "The dough was mixed meanwhile: this is what can still be changed."
MIXED_BEFORE_TAKING = "The dough was mixed meanwhile, so no other day was taken: this is what can still be changed."
GOES_WITH_THE_OTHER = "It is the half of another dough, so no other day is planned for it: this is what can be changed."
MIXED_BEFORE_MOVING = "The dough was mixed meanwhile, so supper was not moved: move it from where it stands."
EATEN_STAYS = "It is eaten, so it is not given up: the book keeps it."
GIVEN_UP_STAYS = "It was given up, so its supper is not moved."
GIVEN_UP_WHOLE = "It was given up, so no piece of its dough is planned."
GIVEN_UP_MIXED = "Its dough was mixed and given up, so no other day is taken for it. Plan a new bake."
OTHER_WAYS_FIT = "Your way does not fit that supper; these do. The bake stays as it is until you take one."
FILE_RINGS_ON = "Steps that you added to a calendar from a file ring on until you delete them there."
FORGOTTEN = f"Forgotten. {FILE_RINGS_ON}"
CUT_NOW = "Both suppers are planned. Cut the piece off now: its first step is due."
CUT_LATER = "Both suppers are planned. The piece is cut off when the dough is next in hand: both plans say so."


def still_in_calendar(many: int, calendar: str) -> str:
    """Steps of a bake that was deleted."""
    stand = f"{steps_words(many)} {'stands' if many == 1 else 'stand'}"
    return f"{stand} in your calendar “{calendar}” and may ring: taken out as soon as its server lets us."


def supper_planned(at: str, later: bool = False) -> str:
    """Of a bake that is not mixed: when supper is from now on ("tomorrow 19:30"). `later`: what had been put off
    begins sooner again."""
    put_off = " So what you had put off is due by the new plan: look at its times." if later else ""
    return f"Supper is moved to {at}, and every step is planned for it.{put_off}"


def supper_moved(asked: str, at: str, in_oven: bool, oven: str) -> str:
    """Of a dough that is mixed: when supper was asked for, and when it is as the dough stands. `oven`: what to do with
    one that is on and is now to be lit later, "" where nothing."""
    why = f": this dough is not ready for {asked}. The" if asked != at else ", and the"
    moved = f"Supper is moved to {at}{why} steps that are still open moved with it."
    out = " What is in the oven comes out in its own time." if in_oven else ""
    return f"{moved}{out}{f' The oven: {oven}' if oven else ''}"
