"""What the kitchen screen says of itself: storage, clock, server, alarm; in phrases, as `screen/sheets.py` has.

Where no bundle is at hand the key stands alone. What is said of a phone that keeps nothing has none, ever: `labels.js`.
"""

from __future__ import annotations

from collections.abc import Mapping

NOTES: Mapping[str, str] = {
    # What this phone keeps, or does not.
    "storage is full": "This phone’s storage is full, or does not answer.",
    "free some space": "What you tapped is held while this page stays open. Free some space.",
    "try again now": "Try again now",
    "free space and open it again": (
        "This phone’s storage is full: the bake could not be packed. Free some space and open this page again."
    ),
    # Versions.
    "newer in another window": (
        "A newer version of the kitchen is open in another window. This one keeps nothing any more."
    ),
    "load it here too": "Load it here too",
    "a new version waits": "A new version of the kitchen is there. It waits until no step is running.",
    "a new version is ready": "A new version of the kitchen is ready.",
    "use it now": "Use it now",
    # The server.
    "the server forgot this phone": "The server does not know this phone (any more). New plans need it to join again.",
    "join from another phone": "Join from another phone",
    "the server takes nothing": (
        "The server answers, but takes nothing: {why} What you tap stays here and is sent again."
    ),
    "one entry was not taken": "The server did not take one entry. It stays in this phone.",
    "entries were not taken": "The server did not take {count} entries. They stay in this phone.",
    "one entry waits": "One entry waits in this phone for the server.",
    "entries wait": "{count} entries wait in this phone for the server.",
    "nothing is lost": "Nothing is lost.",
    "the server does not answer": "The server does not answer. The kitchen needs nothing from it.",
    "no answer and not all is here": "The server does not answer, and a part of this screen is not here yet.",
    "no answer leave this open": ("The server does not answer. Leave this page open: it is not kept in this phone."),
    "no answer so the kitchen": "The server does not answer: here is the kitchen, which works without it.",
    "the server answers again": "The server answers again.",
    "open that page": "Open that page",
    "try again": "Try again",
    # Bakes that fit no longer.
    "understood": "Understood",
    "see the day anew": "See the day anew",
    "one note below": "One note below",
    "notes below": "{count} notes below",
    # What rings.
    "and more": "and {count} more",
    "it is time": "It is time",
    "quiet": "Quiet the bell",
    "if all before it is done": ", if all before it is done",
    "open it beeps": "While open, this page {sound}.",
    "open it beeps and shakes": "While open, this page {sound}, and shakes if it can.",
    "shows a notice": "shows a notice",
    "beeps and shows a notice": "beeps and shows a notice",
    "show a notice as well": "Show a notice when it is behind other pages",
    "said elsewhere": "{done}: said elsewhere, {at}.",
    "no longer asked": "{step}: no longer asked.",
    # The clock.
    "behind the server": "{by} behind the server’s",
    "ahead of the server": "{by} ahead of the server’s",
    "look at another clock": (
        "This phone slept, or its clock was set: the time here, {clock}, may be {off}. Look at another clock."
    ),
    "it is right": "It is right",
    "times by the server": "Times here go by the server’s clock, not by this phone’s.",
    "go by this phone again": "Go by this phone again",
    "set the phone right": (
        "This phone’s clock is {off}. The steps here ring by the phone’s clock. Set the phone right, or go by the "
        "server’s."
    ),
    "go by the server": "Go by the server’s clock",
}
