"""Two more readers of our calendars, in environments of their own: run by hand, with a network.

    python -m tests.by_hand.other_clients

`caldav` (PyPI) signs in to a real server and reads back what we published; `ical.js` (npm) reads the calendars of both
clock-change nights in four zones. Neither may live beside the project's own packages, so each gets a folder that is
thrown away afterwards. Prints what was compared; raises AssertionError when a reader disagrees.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.home import Home
from tests.reminders.calendars import entries_for
from tests.reminders.test_caldav import ORIGIN, PASSWORD, USER, Server
from tests.reminders.test_ics_readers import _ZONES, change_nights, moved
from tests.samples import sample_plan
from webapp.machine.net_guard import Guard
from webapp.reminders.caldav import account
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.ics import Entry, write_calendar
from webapp.reminders.wire import Login

CALDAV, ICAL_JS = "caldav==3.6.0", "ical.js@2.2.1"

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

_READ_ICAL_JS = """
import ICAL from "ical.js";
import { readFileSync } from "node:fs";
const root = new ICAL.Component(ICAL.parse(readFileSync(process.argv[2], "utf8")));
const found = {};
for (const part of root.getAllSubcomponents("vevent")) {
  const event = new ICAL.Event(part);
  const alarms = part.getAllSubcomponents("valarm").map((a) => a.getFirstPropertyValue("trigger").toSeconds());
  found[event.uid] = [event.startDate.toUnixTime(), event.endDate.toUnixTime(), alarms];
}
console.log(JSON.stringify(found));
"""


def expected(entries: tuple[Entry, ...]) -> dict[str, list[object]]:
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


def by_ical_js(folder: Path) -> int:
    """Both clock-change nights in four zones, read with ical.js; how many events agreed."""
    mix = sample_plan().steps[0].start
    entries = tuple(
        entry
        for place, zone in enumerate(_ZONES)
        for night in change_nights(zone)
        for minutes in range(-360, 361, 30)
        for entry in entries_for(moved(sample_plan(), night + minutes * 60 - mix + place, zone))[:3]
    )
    (folder / "nights.ics").write_bytes(write_calendar(entries))
    (folder / "read.mjs").write_text(_READ_ICAL_JS)
    run("npm", "install", "--silent", "--no-audit", "--no-fund", ICAL_JS, folder=folder)
    found = json.loads(run("node", "read.mjs", "nights.ics", folder=folder))
    assert found == expected(entries)
    return len(found)


def main() -> None:
    """Both readers."""
    for name, check in (("caldav", by_caldav), ("ical.js", by_ical_js)):
        with tempfile.TemporaryDirectory() as folder:
            print(f"{name}: {check(Path(folder))} events read as written")


if __name__ == "__main__":
    main()
