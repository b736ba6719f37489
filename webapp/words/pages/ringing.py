"""What is said of each way in which a phone can be made to ring: which to take, and whether it rings and follows.

The claims are those of the platforms, common knowledge of their documentation: no web page can ring a closed phone at
a set time; calendar programs keep alarms of calendars that they sync; a file that was added is a copy that follows
nothing; most drop the alarms of subscriptions; when a subscription is fetched is the reader's own affair; push
messages need a network.
"""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.kinds import Family

_ANDROID = (
    "Android does not sync such calendars (CalDAV) by itself: a further program for that is needed on the phone, if "
    "its calendar app has no such account."
)

BEST: Mapping[Family, str] = {
    "apple": "On an iPhone or iPad: let Suppertide write into a calendar that this phone has as an account (in its "
    "settings, a CalDAV account). It rings with the phone locked, and follows the plan. Without such a calendar, add "
    "each bake’s file.",
    "android": "On an Android phone: let Suppertide write into a calendar that this phone’s calendar app syncs. It "
    f"rings with the phone locked, and follows the plan. {_ANDROID} Without one, add the steps from each bake’s page "
    "one by one.",
    "mac": "On an iPad or a Mac: let Suppertide write into a calendar that this device has as an account (in its "
    "settings, a CalDAV account). It follows. An iPad rings locked; a Mac that sleeps is silent, so let the phone "
    "have that calendar too. Without such a calendar, add each bake’s file.",
    "other": "Open this page on the phone that is to ring. Best: let Suppertide write into a calendar that it syncs. "
    "It rings with the phone locked, and follows the plan.",
}


def written_but_silent(calendar: str) -> str:
    """Its server throws alarms away."""
    return (
        f"Your calendar “{calendar}” is written, but its server throws alarms away: nothing rings from there. "
        "Connect another calendar, of another provider, or add each bake’s file on this phone."
    )


def not_written(calendar: str) -> str:
    """Something is wrong with it, told of further down."""
    return f"Your calendar “{calendar}” cannot be written just now. Below it is said what mends it."


def written_and_rings(calendar: str, family: Family) -> str:
    """Alarms were read back from it."""
    return (
        f"Your calendar “{calendar}” is written, and its alarms are kept: it rings on every phone that syncs "
        f"it.{_further(family)} Try it once."
    )


def written_perhaps_rings(calendar: str, family: Family) -> str:
    """No alarm was read back from it yet."""
    return (
        f"Your calendar “{calendar}” is connected. Nothing with an alarm was read back from there yet, so whether "
        f"it rings is not known: try it with a test ring.{_further(family)}"
    )


def _further(family: Family) -> str:
    return f" {_ANDROID}" if family == "android" else ""


# Of each route: what it is called, whether somebody has it, whether it rings (starts with Yes, No or Perhaps, or says
# when), whether it follows a plan that moves.
NOT_SET_UP = "Not set up"

SCREEN = "Kitchen screen left open"
SCREEN_HAVE = "Always there"
SCREEN_RINGS = "Only while it is open and the screen lit: it beeps and shows what is due. Closed, it is silent."
SCREEN_FOLLOWS = "Yes, at once."

FILE = "File put in this phone’s calendar"
FILE_HAVE = "On each bake’s page"
FILE_RINGS: Mapping[Family, str] = {
    "apple": "Yes on most: the alarms are in the file, and no connection is needed once it is added.",
    "android": "Perhaps: some calendar apps take only the first step of a file, or put their own alarm in place of "
    "ours. Add one step, look at its alarm, then the others.",
    "mac": "An iPad mostly: the alarms are in the file. A Mac only while it is awake.",
    "other": "Perhaps: most calendars keep the alarms of a file, some put their own in their place.",
}
FILE_FOLLOWS = (
    "No: an added file is a copy. When the plan moves, add it again; where your calendar then shows a step twice, "
    "delete the old one."
)

CALENDAR = "Your own calendar, written by Suppertide"
CALENDAR_FOLLOWS = (
    "Yes: written here within a minute; your phone sees it when it next syncs, some only each quarter hour."
)
CALENDAR_WOULD_RING = "It would: alarms of your own calendar ring."
CALENDAR_RANG_BEFORE = "Only what was written before, at its old times."
CALENDAR_LOSES_ALARMS = (
    "No: we read back what we wrote, and its server had thrown the alarms away. Take another calendar."
)
CALENDAR_NOT_KNOWN = (
    "Not known yet: nothing with an alarm was read back. Most calendars keep them; a test ring shows it."
)
CALENDAR_RINGS = (
    "Yes, with no connection too, once your phone has synced. We read back what we wrote: its alarms are there."
)


def calendar_have(calendar: str, written: bool = True) -> str:
    """The calendar that is connected; `written`: it can be."""
    return f"“{calendar}”" if written else f"“{calendar}”, but it cannot be written just now"


def calendar_follows_again(by_itself: bool) -> str:
    """When a calendar in trouble follows again."""
    mended = "when its server answers again" if by_itself else "when what is said below is mended"
    return f"Not now, but {mended}: at once then."


FEED = "A subscribed feed, to look at"
FEED_FOLLOWS = "Yes, when the reader looks again: often after hours, some once a day, whatever the feed asks for."
FEED_WOULD_RING = "It might not: many calendars leave out the alarms of subscriptions."
FEED_RINGS = "Perhaps: many calendars leave out its alarms. Good for seeing the steps."


def feed_have(fetched: bool) -> str:
    """There is a feed; `fetched`: some calendar asked for it."""
    return "Made" if fetched else "Made, not fetched by any calendar yet"


PUSH = "Push message"
PUSH_MISSING = "Not installed on this server"
PUSH_FOLLOWS = "Yes, within seconds."
PUSH_WOULD_RING = "It would, with a connection."
PUSH_RINGS = "Mostly: it needs a connection, and a phone saving power may hold it back."
NO = "No."


def push_have(browsers: int) -> str:
    """How many have messages."""
    return "On one browser" if browsers == 1 else f"On {browsers} browsers"
