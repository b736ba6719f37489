"""What does a big calendar cost beside a small one? Each kind of 4,900 events against ten of them, in one run.

    python -m tests.bench.bench_busy [EVENTS]

The files are read as they are read from a person: in a child process, with its limits. A child alone takes most of the
time of a small file, so the ratio says how many small files one big one is worth; the most that a page waits for is
`SECONDS` of the processor's time.
"""

from __future__ import annotations

import time
from argparse import ArgumentParser
from collections.abc import Callable

from webapp.core.errors import PlanError
from webapp.kitchens.busy.calendar_file import read_busy

NOW = 1795564800  # 2026-11-25T00:00:00Z
WEEKS_S = 57 * 86400
Row = Callable[[int], str]


def _once(n: int) -> str:
    return f"DTSTART:202612{1 + n % 27:02d}T{n % 23:02d}0000Z\r\nDTEND:202612{1 + n % 27:02d}T{n % 23:02d}3000Z"


def _yearly(n: int) -> str:
    day = f"{1960 + n % 60}{1 + n % 12:02d}{1 + n % 27:02d}"
    return f"DTSTART;VALUE=DATE:{day}\r\nRRULE:FREQ=YEARLY"


def _repeats(rule: str, zone: str = "") -> Row:
    def row(n: int) -> str:
        when = f"20{10 + n % 16}01{1 + n % 27:02d}T{n % 23:02d}"
        begin, end = ((f";TZID={zone}:{when}{m}00" if zone else f":{when}{m}00Z") for m in ("00", "30"))
        return f"DTSTART{begin}\r\nDTEND{end}\r\nRRULE:{rule}"

    return row


def _excepted(n: int) -> str:
    return f"{_repeats('FREQ=WEEKLY')(n)}\r\nEXDATE:20261203T090000Z,20261210T090000Z"


KINDS: dict[str, Row] = {
    "once": _once,
    "yearly, whole day": _yearly,
    "weekly": _repeats("FREQ=WEEKLY"),
    "thrice a week, in a zone": _repeats("FREQ=WEEKLY;BYDAY=MO,WE,FR", "Europe/Lisbon"),
    "weekly with exceptions": _excepted,
    "monthly, second Tuesday": _repeats("FREQ=MONTHLY;BYDAY=2TU"),
    "daily": _repeats("FREQ=DAILY"),
}


def calendar(rows: int, row: Row) -> bytes:
    """A file of so many events of one kind."""
    events = "".join(f"BEGIN:VEVENT\r\nUID:{n}\r\n{row(n)}\r\nEND:VEVENT\r\n" for n in range(rows))
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n{events}END:VCALENDAR\r\n".encode()


def seconds(ics: bytes) -> float:
    """How long it takes to read, by the clock on the wall; nan when it is refused."""
    begin = time.perf_counter()
    try:
        read_busy(ics, NOW - 86400, NOW + WEEKS_S, "Europe/Lisbon")
    except PlanError as error:
        print(f"    refused: {error}")
        return float("nan")
    return time.perf_counter() - begin


def main() -> None:
    """Print the ratios."""
    parser = ArgumentParser()
    parser.add_argument("events", type=int, nargs="?", default=4900)
    rows = parser.parse_args().events
    for name, row in KINDS.items():
        small = min(seconds(calendar(10, row)) for _ in range(3))
        ics = calendar(rows, row)
        big = seconds(ics)
        print(f"{name:28s} {rows} in {len(ics) / 1e6:.2f} MB: {big:5.2f} s, {big / small:5.1f} times ten of them")


if __name__ == "__main__":
    main()
