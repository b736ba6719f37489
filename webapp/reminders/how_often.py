"""How long is waited: between two looks at somebody's calendar, between two fetches, and after trouble. In seconds.

A change of the plan does not wait: it is tried at once (`Calendars.accounts_to_sync`).
"""

from __future__ import annotations

from webapp.reminders.wire import CalendarError

# Looks at a calendar that is written.
LOOK_S = 120
LOOK_WITHOUT_TAG_S = 600  # a calendar that has no tag of its own: each event has to be asked for
LOOK_AFTER_TROUBLE_S = 600

# Writing: after the first, second, ... failure; the last one for every further. A server that is back is written soon.
ODD_ANSWER_S = 300
_DOWN_S = (60, 120) + (300,) * 300 + (600,)  # no answer, or trouble: after a day of it less often
_SAYS_NO_S = (60,) + (300,) * 12 + (900,)  # not allowed, not there: often meant, sometimes a server being mended
_REFUSED_S = (300, 900, 1800, 3600)  # user name and password: some servers shut out who knocks too often

# Leaving a calendar: how long its login is kept until our events are out.
LEAVE_WITHIN_S = 86400

# Fetching a calendar of busy times by its address.
FETCH_S = 3600
FETCH_WRONG_S = 6 * 3600  # what only a person can mend is tried again all the same
_FETCH_AGAIN_S = (120, 600, 1800)


def after_writing_failed(error: CalendarError, tries: int) -> int:
    """Until writing is tried again; `tries` failed before this one."""
    if error.login:
        return _after(_REFUSED_S, tries)
    return _after(_DOWN_S if error.again else _SAYS_NO_S, tries)


def after_fetching_failed(error: CalendarError, tries: int) -> int:
    """Until fetching is tried again; `tries` failed before this one."""
    return _after(_FETCH_AGAIN_S, tries) if error.again else FETCH_WRONG_S


def _after(waits: tuple[int, ...], tries: int) -> int:
    return waits[min(tries, len(waits) - 1)]
