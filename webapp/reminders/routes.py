"""What rings and what does not, in plain words: one row for each route to the person.

The claims are those of the platforms, common knowledge of their documentation: no web page can ring a closed phone at
a set time; calendar programs keep alarms of their own calendars and of synced ones; many drop the alarms of
subscribed calendars and refresh them every few hours; push messages need a network.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.reminders.caldav.account import AccountState
from webapp.reminders.events import FeedState


@dataclass(frozen=True)
class RingRow:
    """One route: whether this person has it, whether it rings with the phone locked, whether it follows a new time."""

    key: str
    name: str
    have: str  # "yes", "no", or in a few words
    rings: str  # starts with Yes, No or Perhaps
    follows: str
    sure: str  # good | careful | bad: for the colour, beside the words


def rows(account: AccountState | None, feed: FeedState, browsers: int, push_there: bool) -> tuple[RingRow, ...]:
    """The table for a kitchen, best route first."""
    return (
        _account(account),
        RingRow(
            "file",
            "File put in this phone’s calendar",
            "On each bake’s page",
            "Yes, with no connection too, once you have added it.",
            "No. When the plan moves, add the file again: the same events change place.",
            "good",
        ),
        _feed(feed),
        _push(browsers, push_there),
        RingRow(
            "page",
            "Kitchen screen left open",
            "Always",
            "Only while it is open and the screen lit: it beeps and shows what is due. Closed, it is silent.",
            "Yes, at once.",
            "careful",
        ),
    )


def _account(account: AccountState | None) -> RingRow:
    name = "Your own calendar, written by Suppertide"
    follows = "Yes: within a minute here, then whenever your phone syncs."
    if account is None:
        return RingRow("calendar", name, "Not set up", "It would: alarms of your own calendar ring.", follows, "bad")
    if account.problem:
        have = f"“{account.name}”, but it cannot be written just now"
        return RingRow("calendar", name, have, "Only what was written before. " + account.problem, follows, "careful")
    rings = "Yes, with no connection too, once your phone has synced."
    return RingRow("calendar", name, f"“{account.name}”", rings, follows, "good")


def _feed(feed: FeedState) -> RingRow:
    follows = "Yes, but many calendars look only every few hours."
    name = "Subscribed feed"
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
