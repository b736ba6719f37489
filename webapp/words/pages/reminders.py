"""What the page of reminders asks, answers and finds wrong."""

from __future__ import annotations

RINGS = (("moments", "Where somebody is needed"), ("every", "Every step"))
WHAT_RINGS = "What rings?"
BE_HOME = "Be home in time"
AS_USUAL, WITHOUT_ALARM, AT_START = "As usual", "No alarm", "When it starts"

ADDRESS, USERNAME, PASSWORD = "Address of the calendar server", "User name there", "Password there"

ALARMS_SAVED = "Saved. Calendars that follow the plan change with it; a file you added before does not."
FEED_ENDED = "That address answers nobody any more."
LEFT_MEANWHILE = "This phone left that kitchen meanwhile: no calendar was connected."
DISCONNECTED_MEANWHILE = "That calendar was disconnected meanwhile: the password was not kept."
SIGNED_IN_AGAIN = "Signed in again. The calendar is up to date."
UP_TO_DATE = "The calendar is up to date."
TEST_WRITTEN = "Written: it rings in one to two minutes, if your phone fetches its calendar by then. Lock it and wait."
DISCONNECTED = "Disconnected: nothing more is written there."
ON_ITS_WAY = "Coming events are being taken out, with what was just on its way there."
TAKEN_OUT = "Coming events were taken out, and the password is forgotten."


def minutes_before(minutes: int) -> str:
    """So long before a step: "15 min before", "1 h before"."""
    if minutes == 0:
        return AT_START
    return f"{minutes // 60} h before" if minutes % 60 == 0 else f"{minutes} min before"


def connected(calendar: str) -> str:
    """The steps are written there from now on."""
    return f"Your steps are in “{calendar}” now, and move there when the plan moves."


def no_longer_written(calendar: str) -> str:
    """Another one is."""
    return f"“{calendar}” is no longer written."


def too_early(minutes: int, most: int) -> tuple[str, str]:
    """An alarm so long before its step."""
    return f"{minutes} minutes is too long before.", f"At most {most}."


# -- messages to a browser

UNKNOWN_SERVICE = ("This browser uses a push service that is not known here.", "Use the calendar instead.")
_ANEW = "Turn the messages off and on again."
NO_KEYS = ("These keys cannot be read.", _ANEW)
SHORT_KEYS = ("These keys have the wrong length.", _ANEW)
NO_OBJECT = ("This is not a JSON object.", "Reload the page and try again.")
NOT_A_BROWSERS = ("This is not what a browser sends.", _ANEW)
TEST_MESSAGE = "If you see this with the page closed, messages work on this phone."


def many_browsers(most: int) -> tuple[str, str]:
    """No more of them can have messages."""
    return f"{most} browsers have messages already.", "Turn one off first."
