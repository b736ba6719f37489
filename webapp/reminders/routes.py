"""What rings and what does not, in plain words, for the phone in hand: one row for each route, and the best one first.

The claims are those of the platforms, common knowledge of their documentation: no web page can ring a closed phone at
a set time; calendar programs keep alarms of calendars that they sync; a file that was added is a copy that follows
nothing; most drop the alarms of subscriptions; when a subscription is fetched is the reader's own affair; push
messages need a network.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from webapp.core.kinds import RouteWorth
from webapp.reminders.caldav.account import AccountState
from webapp.reminders.events import FeedState

_ANDROID = (
    "Android does not sync such calendars (CalDAV) by itself: a further program for that is needed on the phone, if "
    "its calendar app has no such account."
)

Family = Literal["apple", "android", "mac", "other"]


@dataclass(frozen=True)
class RingRow:
    """One route: whether this person has it, whether it rings with the phone locked, whether it follows a new time."""

    key: str
    name: str
    have: str  # "yes", "no", or in a few words
    rings: str  # starts with Yes, No or Perhaps
    follows: str
    sure: RouteWorth  # for the colour, beside the words


def family_of(user_agent: str) -> Family:
    """The family of the phone that asks, by what its browser says of itself."""
    if any(mark in user_agent for mark in ("iPhone", "iPad", "iPod")):
        return "apple"
    if "Android" in user_agent:
        return "android"
    return "mac" if "Macintosh" in user_agent else "other"  # as iPads too call themselves: nobody can tell them apart


def best_for(family: Family, account: AccountState | None) -> str:
    """One or two sentences: which route to take on this phone, or that it is taken already."""
    if account:
        return _best_with(account, family)
    return {
        "apple": "On an iPhone or iPad: let Suppertide write into a calendar that this phone has as an account (in its "
        "settings, a CalDAV account). It rings locked and follows. Without such a calendar, add each bake’s file.",
        "android": "On an Android phone: let Suppertide write into a calendar that this phone’s calendar app syncs. It "
        f"rings locked and follows. {_ANDROID} Without one, add the steps from each bake’s page one by one.",
        "mac": "On an iPad or a Mac: let Suppertide write into a calendar that this device has as an account (in its "
        "settings, a CalDAV account). It follows. An iPad rings locked; a Mac that sleeps is silent, so let the phone "
        "have that calendar too. Without such a calendar, add each bake’s file.",
        "other": "Take the phone that shall ring and open this page there. Best is a calendar that it syncs: we write "
        "into it, it rings locked and follows.",
    }[family]


def _best_with(account: AccountState, family: Family) -> str:
    """With a calendar that is written: what is known of its alarms, and what is still to be done."""
    further = f" {_ANDROID}" if family == "android" else ""
    if account.alarms == "lost":
        return (
            f"Your calendar “{account.name}” is written, but its server throws alarms away: nothing rings from there. "
            "Connect another calendar, of another provider, or add each bake’s file on this phone."
        )
    if account.problem:
        return f"Your calendar “{account.name}” cannot be written just now. Below it is said what mends it."
    if account.alarms == "live":
        return (
            f"Your calendar “{account.name}” is written, and its alarms are kept: it rings on every phone that syncs "
            f"it.{further} Try it once."
        )
    return (
        f"Your calendar “{account.name}” is connected. Nothing with an alarm was read back from there yet, so whether "
        f"it rings is not known: try it with a test ring.{further}"
    )


def rows(
    account: AccountState | None, feed: FeedState, browsers: int, push_there: bool, family: Family = "other"
) -> tuple[RingRow, ...]:
    """What the page says of each route, best first."""
    page = RingRow(
        "page",
        "Kitchen screen left open",
        "Always there",
        "Only while it is open and the screen lit: it beeps and shows what is due. Closed, it is silent.",
        "Yes, at once.",
        "careful",
    )
    return (_account(account), _file(family), _push(browsers, push_there), page, _feed(feed))


def _file(family: Family) -> RingRow:
    rings = {
        "apple": "Yes on most: the alarms are in the file, and no connection is needed once it is added.",
        "android": "Perhaps: some calendar apps take only the first step of a file, or put their own alarm in place of "
        "ours. Add one step, look at its alarm, then the others.",
        "mac": "An iPad mostly: the alarms are in the file. A Mac only while it is awake.",
        "other": "Perhaps: most calendars keep the alarms of a file, some put their own in their place.",
    }[family]
    follows = (
        "No: an added file is a copy. When the plan moves, add it again; where your calendar then shows a step twice, "
        "delete the old one."
    )
    return RingRow("file", "File put in this phone’s calendar", "On each bake’s page", rings, follows, "careful")


def _account(account: AccountState | None) -> RingRow:
    name = "Your own calendar, written by Suppertide"
    follows = "Yes: written here within a minute; your phone sees it when it next syncs, some only each quarter hour."
    if account is None:
        return RingRow("calendar", name, "Not set up", "It would: alarms of your own calendar ring.", follows, "bad")
    if account.problem:
        have = f"“{account.name}”, but it cannot be written just now"
        mended = (
            "when its server answers again"
            if account.next_try and not account.refused
            else "when what is said below is mended"
        )
        rings = "Only what was written before, at its old times."
        return RingRow("calendar", name, have, rings, f"Not now, but {mended}: at once then.", "careful")
    if account.alarms == "lost":
        rings = "No: we read back what we wrote, and its server had thrown the alarms away. Take another calendar."
        return RingRow("calendar", name, f"“{account.name}”", rings, follows, "bad")
    if account.alarms != "live":
        rings = "Not known yet: nothing with an alarm was read back. Most calendars keep them; a test ring shows it."
        return RingRow("calendar", name, f"“{account.name}”", rings, follows, "careful")
    rings = "Yes, with no connection too, once your phone has synced. We read back what we wrote: its alarms are there."
    return RingRow("calendar", name, f"“{account.name}”", rings, follows, "good")


def _feed(feed: FeedState) -> RingRow:
    follows = "Yes, when the reader looks again: often after hours, some once a day, whatever the feed asks for."
    name = "Subscribed feed, for looking"
    if not feed.key:
        would = "It might not: many calendars leave out the alarms of subscriptions."
        return RingRow("feed", name, "Not set up", would, follows, "bad")
    have = "Made" if feed.read_at else "Made, not fetched by any calendar yet"
    return RingRow(
        "feed", name, have, "Perhaps: many calendars leave out its alarms. Good for looking.", follows, "careful"
    )


def _push(browsers: int, push_there: bool) -> RingRow:
    name = "Push message"
    follows = "Yes, within seconds."
    if not push_there:
        off = "Not installed on this server"
        return RingRow("push", name, off, "No.", "No.", "bad")
    if not browsers:
        return RingRow("push", name, "Not set up", "It would, with a connection.", follows, "bad")
    have = "On one browser" if browsers == 1 else f"On {browsers} browsers"
    rings = "Mostly: it needs a connection, and a phone saving power may hold it back."
    return RingRow("push", name, have, rings, follows, "careful")
