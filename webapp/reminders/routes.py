"""What rings and what does not, for the phone in hand: one row for each route, and the best one first."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import Family, RouteWorth
from webapp.reminders.caldav.account import AccountState
from webapp.reminders.events import FeedState
from webapp.words.pages import ringing as said


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
    return _best_with(account, family) if account else said.BEST[family]


def _best_with(account: AccountState, family: Family) -> str:
    """With a calendar that is written: what is known of its alarms, and what is still to be done."""
    if account.alarms == "lost":
        return said.written_but_silent(account.name)
    if account.problem:
        return said.not_written(account.name)
    if account.alarms == "live":
        return said.written_and_rings(account.name, family)
    return said.written_perhaps_rings(account.name, family)


def rows(
    account: AccountState | None, feed: FeedState, browsers: int, push_there: bool, family: Family = "other"
) -> tuple[RingRow, ...]:
    """What the page says of each route, best first."""
    page = RingRow("page", said.SCREEN, said.SCREEN_HAVE, said.SCREEN_RINGS, said.SCREEN_FOLLOWS, "careful")
    file = RingRow("file", said.FILE, said.FILE_HAVE, said.FILE_RINGS[family], said.FILE_FOLLOWS, "careful")
    return (_calendar(account), file, _push(browsers, push_there), page, _feed(feed))


def _calendar(account: AccountState | None) -> RingRow:
    name, follows = said.CALENDAR, said.CALENDAR_FOLLOWS
    if account is None:
        return RingRow("calendar", name, said.NOT_SET_UP, said.CALENDAR_WOULD_RING, follows, "bad")
    have = said.calendar_have(account.name, written=not account.problem)
    if account.problem:
        again = said.calendar_follows_again(by_itself=bool(account.next_try) and not account.refused)
        return RingRow("calendar", name, have, said.CALENDAR_RANG_BEFORE, again, "careful")
    if account.alarms == "lost":
        return RingRow("calendar", name, have, said.CALENDAR_LOSES_ALARMS, follows, "bad")
    if account.alarms != "live":
        return RingRow("calendar", name, have, said.CALENDAR_NOT_KNOWN, follows, "careful")
    return RingRow("calendar", name, have, said.CALENDAR_RINGS, follows, "good")


def _feed(feed: FeedState) -> RingRow:
    if not feed.key:
        return RingRow("feed", said.FEED, said.NOT_SET_UP, said.FEED_WOULD_RING, said.FEED_FOLLOWS, "bad")
    have = said.feed_have(fetched=bool(feed.read_at))
    return RingRow("feed", said.FEED, have, said.FEED_RINGS, said.FEED_FOLLOWS, "careful")


def _push(browsers: int, push_there: bool) -> RingRow:
    if not push_there:
        return RingRow("push", said.PUSH, said.PUSH_MISSING, said.NO, said.NO, "bad")
    if not browsers:
        return RingRow("push", said.PUSH, said.NOT_SET_UP, said.PUSH_WOULD_RING, said.PUSH_FOLLOWS, "bad")
    return RingRow("push", said.PUSH, said.push_have(browsers), said.PUSH_RINGS, said.PUSH_FOLLOWS, "careful")
