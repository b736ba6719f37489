"""The person's own busy times from a calendar file, uploaded or fetched: start and end, titles never leave the child.

A calendar file is a small program: 132 bytes of recurrence rule can keep a reader busy for ever. So the file is read
and expanded in a process of its own (`reader.py`) with limits on time and memory, after what can be told without
reading it has been checked here: `MOST_BUSY_EVENTS`, and `MOST_FILE_BYTES`.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.words.problems import files as said
from webapp.words.problems.told import refused, told

MOST_FILE_BYTES = 4_000_000  # of a calendar, uploaded or fetched; what a request may have follows (web/app.py)
MOST_BUSY_EVENTS = 5_000
SECONDS = 8.0  # of processor time; of the wall clock twice as much, for a machine with other work
_AT_ONCE = threading.BoundedSemaphore(2)  # children have much memory each, and the rest of the house wants to be served
FIELD = "busy"


@dataclass(frozen=True)
class BusyTimes:
    """What was read: busy spans (ascending, disjoint, UTC seconds), and what was left out, in plain sentences."""

    spans: tuple[Span, ...]
    notes: tuple[str, ...] = ()


class EngagedError(PlanError):
    """All who read calendars here are busy: nothing is said of this one."""


def read_busy(
    ics: bytes,
    start: int,
    end: int,
    zone: str,
    seconds: float = SECONDS,
    most_bytes: int | None = None,
    wait_s: float = 0.0,
) -> BusyTimes:
    """The busy times between two instants. PlanError at "busy" for what is no calendar, or too much of one;
    EngagedError when none of our readers is free.

    `zone` is the kitchen's, for events without one and for whole days. Blocks for twice `seconds` (of processor
    time) at most, and for `wait_s` before that while others are being read.
    """
    _check_size(ics, MOST_FILE_BYTES if most_bytes is None else most_bytes)
    if not _AT_ONCE.acquire(timeout=wait_s):
        raise EngagedError(told(FIELD, *said.OTHERS_FIRST))
    try:
        answer = _in_child(ics, start, end, zone, seconds)
    finally:
        _AT_ONCE.release()
    if "message" in answer:
        raise refused(FIELD, str(answer["message"]), str(answer["way_out"]))
    return BusyTimes(tuple(Span(s, e) for s, e in answer["spans"]), tuple(answer["notes"]))


def _check_size(ics: bytes, most_bytes: int) -> None:
    if len(ics) > most_bytes:
        raise too_large(f"{len(ics) / 1e6:.1f} MB", most_bytes)
    events = ics.upper().count(b"BEGIN:VEVENT")
    if events > MOST_BUSY_EVENTS:
        raise refused(FIELD, *said.many_events(events, MOST_BUSY_EVENTS))
    if b"BEGIN:VCALENDAR" not in ics.upper():
        raise refused(FIELD, *said.NO_CALENDAR)


def too_large(has: str, most_bytes: int | None = None) -> PlanError:
    """A calendar is larger than any that is read; `has` says how large, in words."""
    most = (MOST_FILE_BYTES if most_bytes is None else most_bytes) / 1e6
    return refused(FIELD, *said.large_file(has, most))


def _in_child(ics: bytes, start: int, end: int, zone: str, seconds: float) -> dict[str, Any]:
    root = Path(__file__).resolve().parents[3]
    environment = {**os.environ, "PYTHONPATH": str(root)}
    command = [sys.executable, "-m", "webapp.kitchens.busy.reader", str(start), str(end), zone, str(int(seconds))]
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and module; the file goes in by stdin
            command, input=ics, capture_output=True, timeout=2 * seconds, check=False, env=environment
        )
    except subprocess.TimeoutExpired:
        raise _too_much() from None
    if done.returncode != 0:
        raise _too_much()
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def _too_much() -> PlanError:
    return refused(FIELD, *said.WITHOUT_END)
