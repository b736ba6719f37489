"""What the pages of a kitchen ask (settings, oven, test glass, calendars, phones, taking along) and answer to a tap."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.kinds import DialUnit
from webapp.words.kinds.oven import dial_word

# -- settings: labels by the names of their fields, and what helps with them

SETTING_ASKED: Mapping[str, str] = {
    "scale_step": "The kitchen scale shows steps of",
    "micro_step": "A fine scale shows steps of",
    "has_spoons": "There are measuring spoons",
    "yeast_kind": "Yeast in the cupboard",
    "mixing": "I mix",
    "mixing_rise": "Mixing warms the dough by",
    "vessel": "The dough rises in",
    "tap": "Cold water from the tap",
    "function": "What is usually on",
    "dial_unit": "The dial shows",
    "highest": "It goes up to",
    "slab": "The tray stands on",
    "slab_mm": "Slab, thickness",
    "slab_width": "Slab, width",
    "slab_depth": "Slab, depth",
    "shelves": "Shelf heights",
    "trays_at_once": "Trays that bake well at once",
    "power_w": "Power",
    "measured_preheat": "Hot enough after",
    "dial_error": "Thermometer minus dial",
    "from": "From",
    "temp": "Kitchen",
    "fridge": "Fridge, where the dough stands",
    "has_warm_spot": "There is a warm spot",
    "warm": "The warm spot",
    "warm_is_oven": "The warm spot is the oven",
    "mass_unit": "Weights in",
    "heat_unit": "Temperatures in",
    "clock": "Clock",
    "zone": "Time zone",
    # Of a pan.
    "name": "Name",
    "shape": "Shape",
    "gone": "This pan is gone",
}
SETTING_HELP: Mapping[str, str] = {
    "micro_step": "For the yeast.",
    "mixing_rise": "By hand about one degree; a mixer more.",
    "slab_width": "Leave empty if you do not know.",
    "power_w": "On the plate at the door, if you care to look.",
    "measured_preheat": "Empty: worked out for you.",
    "dial_error": "0 if never measured.",
    "dial_unit": "Until this is saved it goes with your degrees.",
    "has_warm_spot": "The oven with only its light on, a shelf over the boiler.",
    "warm_is_oven": "Then the dough comes out before the oven is lit; elsewhere it may stay until it is topped.",
    "zone": "Like Europe/Lisbon.",
    "new_pan": "A common pan brings its size along.",
}
NO_FINE_SCALE = "I have none"
SAVED = "Saved."
PERSON_GONE = "Take this person off the list"
PERSON_ASKED: Mapping[str, str] = {"name": "Name", "wake": "Up", "sleep": "In bed", "away": "Away"}


def person_name(place: int) -> str:
    """Of one more in the house, counted from 1, until somebody says what they are called."""
    return f"Person {place}"


# -- the oven

NEAREST_SLAB = "Choose what is nearest"
PREHEAT_MINUTES = "Minutes from cold until hot through"
DIAL_SET, THERMOMETER_READS = "The dial is set to", "The thermometer inside reads"
CHANGE_DROPPED = "Dropped: the next plan is without it."


def preheat_kept(minutes: int) -> str:
    """It was timed."""
    return f"Kept: hot after {minutes} min. Plans light the oven so long before loading."


def dial_apart(apart: str, cooler: bool) -> str:
    """`apart`: how much the oven differs from its dial, with its unit."""
    how, so = ("cooler", "higher") if cooler else ("hotter", "lower")
    return f"This oven is {apart} {how} than its dial: plans set the dial so much {so}."


def dial_ends(dial: str, truth: str) -> str:
    """Where a dial ends that is known to be off: what it reads, and what a thermometer does."""
    return f"{dial}, in truth {truth}"


# -- the test glass

GLASS_LINE, GLASS_NOW, GLASS_AT, GLASS_ROOM = (
    "Height of the line",
    "Height of the dough now",
    "Read at",
    "The kitchen is at",
)
GLASS_BEGUN = "The glass counts from now."
GLASS_READ = "Written down. Every plan uses it from now on."
GLASS_TAKEN_BACK = "Taken back."
GLASS_THROWN_AWAY = "Thrown away: plans no longer use it."

# -- busy times

WHOSE_CALENDAR, CALENDAR_ADDRESS, CALENDAR_FILE = "Whose calendar", "Address of the calendar", "The calendar file"
FETCHED = "Fetched: it is up to date."
CALENDAR_FORGOTTEN = "Forgotten."


def busy_read(many: int) -> str:
    """How many stretches a calendar has."""
    return f"Read: {'one busy stretch' if many == 1 else f'{many} busy stretches'} in the coming weeks."


# -- phones


def phone_name(place: int) -> str:
    """Of the phone that came in as number `place`, until somebody says what it is called."""
    return f"Phone {place}"


# Behind the name of a calendar that a phone left by joining another kitchen, which may have one of that name too.
BEFORE_JOINING = " (before joining)"
JOINED = "This phone is in. Everything of the kitchen is here too."
QR_ABOVE, QR_OF_PAGE = "QR picture of the address above", "QR picture of the address of this page"
DESCRIPTION = "The dough waits for the person: tray pizza and focaccia, planned backwards from supper."
SHORTCUT_PLAN, SHORTCUT_KITCHEN = "Plan a bake", "Kitchen"


def left_behind(calendar: str) -> str:
    """The calendar of the kitchen that this phone was in before."""
    return (
        f"The calendar “{calendar}” of the kitchen you left is being disconnected: its coming steps are taken out. "
        "Reminders says how far that is."
    )


# -- taking along, deleting

ANOTHER_KITCHEN = (
    "Nothing was brought in: this phone is not in its kitchen any more, and the file would make a second one.",
    "Join the one it was in, or say below that a second one is meant, and choose the file again.",
)
NOTHING_DELETED = ("Nothing was deleted.", "Type the word “delete” to do it.")


def still_leaving(many: int, calendars: list[str], why: str) -> tuple[str, str]:
    """With the kitchen the login would go, and nobody could take our events out any more."""
    events, names = "1 event" if many == 1 else f"{many} events", " and ".join(f"“{one}”" for one in calendars)
    return (
        f"Nothing was deleted yet: {events} of ours may still stand in your calendar {names}. {why}",
        "They are being taken out by themselves, so try again in some minutes, or leave them there.",
    )


def brought_in(bakes: int, unmade: int) -> str:
    """How many bakes of a file were new, and how many more that nobody made."""
    many = {0: "no bake that was", 1: "one bake that was"}.get(bakes, f"{bakes} bakes that were")
    more = {0: "", 1: ", and one that nobody made"}.get(unmade, f", and {unmade} that nobody made")
    return f"Brought in: the kitchen as it was, and {many} not here yet{more}."


def dial_went_along(dial: DialUnit) -> str:
    """Other degrees were saved, and nobody ever said what the oven's dial shows."""
    return (
        f"The oven’s dial is taken to show {dial_word(dial)} too, in bakes that are planned as well."
        " If something else is printed on it, save that under “Oven”: then it stays so."
    )


# -- the clock of another zone

ZONE_SET = "The clock is set, and the bake planned anew for the same hour by it."


def zone_set_alone(why: str) -> str:
    """The bake could not be planned anew."""
    return f"The clock is set. The bake stays as it was: {why}"
