"""Nine readers of our calendars, of eight different makes, in environments of their own: run by hand, with a network.

    python -m tests.by_hand.other_clients

`caldav` (PyPI) signs in to a real server and reads back what we published (with icalendar). The others read one file:
both clock-change nights in four zones, and 84 evenings over a year in six zones, with every step and with the moments
alone. vobject, ics and icalendar come with the tests; ical.js and node-ical from npm into a folder that is thrown away;
from Debian, where they are installed: php-cli php-sabre-vobject ruby-icalendar libdata-ical-perl libical3. Prints what
was compared; raises AssertionError when a reader disagrees.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from tests.home import Home
from tests.reminders import test_ics_readers as readers
from tests.reminders.caldav.test_caldav import ORIGIN, PASSWORD, USER, Server
from tests.reminders.calendars import entries_for
from tests.samples import sample_plan
from webapp.core.kitchen import Kitchen
from webapp.machine.net_guard import Guard
from webapp.reminders import moments
from webapp.reminders.caldav import account
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.wire import Login

Found = dict[str, list[Any]]
SCRIPTS = Path(__file__).parent / "readers"
CALDAV, NODE = "caldav==3.6.0", ("ical.js@2.2.1", "node-ical")
# The program and the script of each reader that reads a file.
BY_SCRIPT = {
    "ical.js": ("node", "ical_js.mjs"),
    "node-ical": ("node", "node_ical.mjs"),
    "sabre/vobject (PHP)": ("php", "sabre.php"),
    "icalendar (Ruby)": ("ruby", "gem.rb"),
    "Data::ICal (Perl)": ("perl", "data_ical.pl"),
    "libical (C)": ("python3", "libical.py"),
}
ZONES = ("Europe/London", "America/New_York", "Australia/Lord_Howe", "America/Santiago", "Asia/Kathmandu",
         "Pacific/Chatham")  # fmt: skip

_READ_CALDAV = """
import json, sys, caldav
url, user, password = sys.argv[1:]
client = caldav.DAVClient(url=url, username=user, password=password)
found = {}
for calendar in client.principal().calendars():
    for event in calendar.events():
        one = event.icalendar_component
        alarms = [int(a["TRIGGER"].dt.total_seconds()) for a in one.walk("VALARM")]
        found[str(one["UID"])] = [int(one["DTSTART"].dt.timestamp()), int(one["DTEND"].dt.timestamp()), alarms]
print(json.dumps(found))
"""


def expected(entries: tuple[Entry, ...]) -> Found:
    """What a reader should find, from the plan's own integers."""
    return {e.uid: [e.start, e.end, [-60 * e.alarm_min] if e.alarm_min >= 0 else []] for e in entries}


def run(*command: str | Path, folder: Path) -> str:
    """Run to the end; what it printed."""
    done = subprocess.run([str(c) for c in command], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def by_caldav(folder: Path) -> int:
    """Publish into Radicale, read back with the `caldav` package; how many events agreed."""
    server = Server(folder)
    try:
        url = server.make("kitchen", "Kitchen")
        home = Home(folder / "home")
        tools = account.Tools(home.box, Guard(local=True))
        account.connect(home.store, tools, home.now, home.kitchen_id, Login(USER, PASSWORD), url, "Kitchen", ORIGIN)
        plan = home.plan()
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        run(sys.executable, "-m", "venv", "env", folder=folder)
        python = folder / "env" / "bin" / "python"
        run(python, "-m", "pip", "install", "--quiet", CALDAV, folder=folder)
        found = json.loads(run(python, "-c", _READ_CALDAV, server.url, USER, PASSWORD, folder=folder))
    finally:
        server.stop()
        server.client.close()
    assert found == expected(entries_for(plan, kitchen=None))
    return len(found)


def of_a_year() -> Iterator[Entry]:
    """What the file holds."""
    mix = sample_plan().steps[0].start
    for place, zone in enumerate(readers._ZONES):
        for night in readers.change_nights(zone):
            for minutes in range(-360, 361, 30):
                yield from entries_for(readers.moved(sample_plan(), night + minutes * 60 - mix + place, zone))[:3]
    for number in range(84):
        zone = ZONES[number % len(ZONES)]
        plan = readers.moved(sample_plan(), 1000 + number * (4 * 86400 + 31_000) // 60 * 60 + number % 60, zone)
        if number % 2:
            yield from entries_for(plan)
        else:
            yield from moments.entries_for(plan, kitchen=Kitchen(zone=zone))


def by_python(read: Callable[[bytes], dict[str, readers.Reading]]) -> Callable[[Path], Found]:
    """A reader that comes with the tests."""

    def found(file: Path) -> Found:
        return {uid: [one[1], one[2], list(one[6])] for uid, one in read(file.read_bytes()).items()}

    return found


def by_script(program: str, script: str) -> Callable[[Path], Found]:
    """A reader in another language."""

    def found(file: Path) -> Found:
        shutil.copy(SCRIPTS / script, file.parent)
        answer: Found = json.loads(run(program, script, file.name, folder=file.parent))
        return answer

    return found


def file_readers() -> Iterator[tuple[str, Callable[[Path], Found]]]:
    """Every reader that is here, by name."""
    for name in ("vobject", "ics", "icalendar"):
        yield name, by_python(getattr(readers, f"by_{name}"))
    for name, (program, script) in BY_SCRIPT.items():
        if shutil.which(program):
            yield name, by_script(program, script)
        else:
            print(f"{name}: {program} is not installed")


def main() -> None:
    """All readers."""
    entries = tuple(of_a_year())
    should = expected(entries)
    assert len(should) == len(entries), "each event has a name of its own"
    with tempfile.TemporaryDirectory() as name:
        file = Path(name) / "year.ics"
        file.write_bytes(write_calendar(entries))
        run("npm", "install", "--silent", "--no-audit", "--no-fund", *NODE, folder=file.parent)
        for reader, read in file_readers():
            found = read(file)
            wrong = [uid for uid in should if found.get(uid) != should[uid]]
            print(f"{reader}: {len(found)} events read, {len(wrong)} otherwise than written")
            assert found == should, wrong[:3]
    with tempfile.TemporaryDirectory() as name:
        print(f"caldav: {by_caldav(Path(name))} events read from a server as written")


if __name__ == "__main__":
    main()
