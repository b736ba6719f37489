"""Limits that a process sets itself before it reads what somebody else has written."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator

MOST_MEMORY = 768 * 1024 * 1024


def limit_this_process(seconds: int) -> None:
    """At most so much processor time and memory, where the system can do that."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


class TakesLongError(Exception):
    """One thing takes more time than all of them should."""


@contextlib.contextmanager
def not_for_ever(seconds: float) -> Iterator[None]:
    """TakesLongError for what takes more of the processor's time, where the system can do that: a rule of a calendar
    that never comes true is looked for until the year 9999, and the other events shall count all the same."""
    if not hasattr(signal, "setitimer"):
        yield
        return
    before = signal.signal(signal.SIGVTALRM, _give_up)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def _give_up(*_: object) -> None:
    raise TakesLongError
