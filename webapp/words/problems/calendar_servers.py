"""What somebody else's calendar server does or says that keeps us from reading or writing there, in words.

Where two texts stand together, the first is what is wrong and the second a way out.
"""

from __future__ import annotations

# -- the way there

SLOW = "The calendar server is slow, and was not waited for any longer."
SILENT = "The calendar server does not answer."
DRIPS = "The calendar server's answer comes too slowly."
MOVED_NOWHERE = "That server says that the calendar moved, but not where to."
IN_CIRCLES = "That address leads round in circles. Copy it anew from your calendar’s settings."
NO_ADDRESS_ON = "That server sends us on to something that is no address."
UNENCRYPTED_ON = "That server sends us on to an address without https."
PACKED = "That server packs its answer in a way that was not asked for."
NOT_CHECKED = "it cannot be checked"


def too_long(most_mb: float) -> str:
    """An answer beyond what is read."""
    return f"The answer is too long: {most_mb:.0f} MB is the most."


def sends_on(host: str) -> str:
    """To another house, where the password does not go by itself."""
    return f"That server sends us on to {host}. If you trust it, enter that address."


def keeps_elsewhere(provider: str, host: str) -> str:
    """The provider's own records name another house."""
    return f"{provider} keeps its calendars at {host}. If you trust it, enter that address."


def untrusted(why: str) -> str:
    """A certificate of an authority that is not believed (OpenSSL's words in brackets)."""
    return (
        f"The calendar server's certificate comes from an authority that this server does not trust ({why}). Give the "
        "calendar server a certificate that phones trust, or ask the owner of this server to name that authority in "
        "SUPPERTIDE_CALENDAR_AUTHORITY."
    )


def of_another_address(why: str) -> str:
    """A certificate that is trusted and names another address."""
    return (
        f"The calendar server's certificate is for another address ({why}). Enter the address that the certificate "
        "names, as your provider’s or server’s settings show it."
    )


def not_today(why: str) -> str:
    """A certificate that is trusted and over, or not begun."""
    return (
        f"The calendar server's certificate does not hold today ({why}). Who runs that server has to renew it; if "
        "phones accept it, ask the owner of this server to set its clock."
    )


def not_in_order(why: str) -> str:
    """A certificate that does not hold for another reason."""
    return f"The calendar server's certificate is not in order ({why}). Who runs that server has to mend it."


NO_WEB_ADDRESS = "This is not a web address."
CREDENTIALS_THERE = "This address is not one to connect to: machines keep their own credentials there."
NOT_ON_THE_INTERNET = "This address is not one on the internet."
HOME_NETWORK_CLOSED = "This address is in the server's own network, which its owner has not opened."
READ_ON_THE_WAY = "Without https what is sent could be read on the way."


def no_such_name(host: str) -> str:
    """Nobody knows where it is."""
    return f"The name {host} cannot be found."


def no_name_of_a_server(host: str) -> str:
    """It can be the name of none."""
    return f"“{host[:60]}” is not a name that a server can have."


# -- what it answers

ODD_ANSWER = "The calendar server answered something that cannot be understood."
WRONG_LOGIN = "The calendar server does not accept this user name and password."
A_PAGE = "The calendar server answers with a web page, as one does that wants somebody to sign in."
NONE_TO_WRITE = "Signed in, but there is no calendar there that may be written."
UNNAMED = "Calendar"  # one that says no name and has none in its address
NO_CALENDARS = "That server answers, but not as a calendar server."
NOT_NOW = "The calendar does not answer as one just now."
NO_EVENT = "The calendar server answers with something that is no calendar."
ALWAYS_CHANGES = "The calendar server says that the event changes all the time."
NAMED_AND_MISSING = "The calendar server names an event of ours, and says in the same breath that it does not have it."
ASTRAY = (
    "This calendar server puts what it is given at an address that it does not tell, so nothing can be moved or taken "
    "out there: nothing more is written into it. Delete there by hand what is named below, and take another calendar."
)
_STATUS = {
    403: "The calendar server does not allow writing there.",
    404: "There is no calendar at that address.",
    405: "That address does not take calendars.",
    409: "The calendar is not there any more.",
    507: "The calendar server says it is full.",
}


def status_said(status: int) -> str:
    """What a status that was not wanted means where a calendar is written (RFC 9110, RFC 4918)."""
    return _STATUS.get(status, just_says(status))


def just_says(status: int) -> str:
    """A status of which nothing more can be said."""
    return f"The calendar server says {status}."


def in_trouble(status: int) -> str:
    """The server's own fault, or too much for it just now."""
    return f"The calendar server is in trouble (it says {status})."


def other_sign_in(kinds: str) -> str:
    """It wants none of the sign-ins that a name and a password are."""
    return (
        f"This calendar server wants another kind of sign-in ({kinds}) than a name and a password, so no password can "
        "be right. Look in your provider’s settings for a password made just for one app and the address that goes "
        "with it. Without one, add each bake’s file, or subscribe your calendar to the feed."
    )


def all_but(titles: list[str], more: int, why: str) -> str:
    """The server is well, some steps are not there; `more` of them are not named."""
    named = ", ".join(f"“{title}”" for title in titles)
    return f"All is up to date there but {named}{f' and {more} more' if more > 0 else ''}. {why}"


# -- signing in

BUSY_WITH_OTHERS = "This server is busy with other people’s calendars just now."
NO_ACCOUNT = "There is no calendar account."
LOST_KEY = "The server's key was lost, and your password with it. Set the calendar up again."
NONE_CHOSEN = ("No calendar was chosen.", "Look again and choose one of those shown.")
PAGE_TOO_OLD = ("This page is too old.", "Enter address, name and password again.")
CANNOT_BE_RIGHT = "This cannot be right: too long, or with signs that cannot be typed."
CHECK_BOTH = "Check both; many providers want a password made just for one app."
CHECK_ALL = "Check the address, the name and the password."
CHECK_ABOVE = "Check the settings above."
LATER = "Try again in a while."
ENTER = {
    "address": "Enter the calendar server's address.",
    "username": "Enter your user name there.",
    "password": "Enter your password there.",
}

# -- leaving

GIVEN_UP = "You had the login forgotten before all was out."


def stays(titles: tuple[str, ...], named: str, why: str) -> str:
    """What nobody takes out any more."""
    one = len(titles) == 1
    count, it = ("1 event stays", "it") if one else (f"{len(titles)} events stay", "them")
    return f"{count} in the calendar and may ring: {named}. {why} Delete {it} there."


# -- a calendar whose busy times are fetched from its own address

NO_ADDRESS = ("No address was entered.", "Copy it from your calendar’s settings.")
NOT_AN_ADDRESS = ("That cannot be an address.", "Copy it whole from your calendar’s settings.")
NOT_A_CALENDARS = ("That is not a calendar’s address.", "It begins with https:// or webcal://.")
NAME_INSIDE = ("That address has a name in it, perhaps a password too.", "Look for one without.")
CHECK_SUBSCRIBING = (
    "Check that it is the address for subscribing (it often ends in .ics), or upload a file of the coming weeks."
)
LOCKED = (
    "The calendar at that address asks for a password. In your calendar’s settings look for an address that can be "
    "subscribed to without one; it often ends in .ics."
)
ADDRESS_GONE = "There is no calendar at that address. Copy it anew from your calendar’s settings."
ADDRESS_LOST = "The server’s key was lost, and the address with it. Take it out and enter it again."
NOT_ASKED = "The calendar server says that nothing changed, and was not asked that."
