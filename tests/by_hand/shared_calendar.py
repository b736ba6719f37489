"""A calendar that a person and we write into, against two real servers and a fake one: run by hand, with a network.

    python -m tests.by_hand.shared_calendar

Radicale and Xandikos (PyPI) run in environments of their own, and the person's phone is the `caldav` package in a third
one. The fake server strips alarms, weakens, forgets and changes its ETags, and answers 503 for 55 minutes. Everywhere
the same evening: a ring is snoozed, a step renamed, a partner invited, a place and a category given; supper moves by
two hours; a step is moved on the phone; the bake is given up; another one is planned, and the calendar disconnected.
After each of these, what stands in the calendar is compared with what should. Prints the table; ends with 1 when
anything differs.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Protocol

import icalendar

from tests.by_hand.phone_edits import edit, shown
from tests.home import Home
from tests.reminders.caldav.connected import publish_all
from tests.reminders.caldav.odd_server import OddServer, none, restless, strong, weak
from tests.reminders.caldav.test_caldav import PASSWORD, USER, free_port
from tests.reminders.caldav.test_caldav_wire import CertificateAuthority
from webapp.core.errors import PlanError
from webapp.core.plan.plan import Plan
from webapp.machine.net_guard import Guard
from webapp.reminders.caldav import account, leaving, publish
from webapp.reminders.caldav.look import look
from webapp.reminders.events import entries
from webapp.reminders.wire import Login

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = {"radicale": "radicale==3.9.0", "xandikos": "xandikos==0.4.10", "caldav": "caldav==3.6.0"}
HOURS_2 = 7200
Shown = dict[str, dict[str, Any]]


class Phone(Protocol):
    """What a person does in the calendar, and what they see there, by UID."""

    def does(self, *actions: tuple[Any, ...]) -> Shown:
        """Carry these out; what is shown afterwards."""


@dataclass
class CaldavPhone:
    """The `caldav` package in an environment of its own."""

    python: Path
    url: str
    user: str
    password: str

    def does(self, *actions: tuple[Any, ...]) -> Shown:
        done = subprocess.run(
            [self.python, "-m", "tests.by_hand.phone_edits", self.url, self.user, self.password],
            input=json.dumps(actions), capture_output=True, text=True, check=False,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        found: Shown = json.loads(done.stdout)
        return found


@dataclass
class OddPhone:
    """Whoever writes into the fake server."""

    server: OddServer

    def does(self, *actions: tuple[Any, ...]) -> Shown:
        for verb, uid, *more in actions:
            (path,) = (path for path, body in self.server.held.items() if f"UID:{uid}".encode() in body)
            calendar = icalendar.Calendar.from_ical(self.server.held[path])
            edit(calendar, verb, *more)
            self.server.write(path, calendar.to_ical())
        return dict(shown(icalendar.Calendar.from_ical(body)) for body in self.server.held.values())


@dataclass
class Evening:
    """One run; `rows` are (what happened, compared, what differs)."""

    home: Home
    tools: account.Tools
    phone: Phone
    strips: bool = False
    rows: list[tuple[str, int, list[str]]] = field(default_factory=list)

    def wanted(self) -> Shown:
        """What should stand there while nobody but us has touched anything."""
        found = entries(self.home.store, self.home.now, self.home.kitchen_id)
        return {
            e.uid: {
                "start": e.start, "end": e.end, "title": e.title, "place": "", "category": "", "guests": [],
                "free": not e.busy, "off": False,
                "rings": [] if e.alarm_min < 0 or self.strips else [e.start - 60 * e.alarm_min],
            }
            for e in found
            if not e.cancelled
        }  # fmt: skip

    def writes(self) -> None:
        """A round of ours; in trouble it is tried as often as the clock says."""
        publish_all(self.home.store, self.tools, self.home.now)

    def compare(self, what: str, should: Shown) -> None:
        """One row of the table."""
        found = self.phone.does()
        wrong = [f"{uid}: not there" for uid in should.keys() - found.keys()]
        wrong += [f"{uid}: still there" for uid in found.keys() - should.keys()]
        for uid in should.keys() & found.keys():
            wrong += [
                f"{uid} {name}: {found[uid][name]!r} for {value!r}"
                for name, value in should[uid].items()
                if found[uid][name] != value
            ]
        self.rows.append((what, sum(map(len, should.values())), wrong))

    def says(self, what: str, found: object, should: object) -> None:
        """One row about what we know of it."""
        self.rows.append((what, 1, [] if found == should else [f"{found!r} for {should!r}"]))


def with_changes(should: Shown, plan: Plan, snoozed: bool) -> Shown:
    """What the person's changes make of it."""
    uid = f"{plan.bake_id}-{{}}@suppertide".format
    should = {key: dict(value) for key, value in should.items()}
    should[uid("preheat")]["title"] = "Ada lights it"
    should[uid("load")]["guests"] = ["mailto:partner@example.org"]
    should[uid("top")] |= {"place": "Balcony", "category": "Family", "free": True}
    start = should[uid("lift")]["start"]
    should[uid("lift")]["rings"] = [start - 12 * 60] if should[uid("lift")]["rings"] else []
    if snoozed and should[uid("press")]["rings"]:
        should[uid("press")]["rings"] += [plan.steps[0].start + 300]
        should[uid("press")]["rings"].sort()
    return should


def evening(run: Evening, url: str, login: Login) -> None:
    """All of it, in order."""
    home, phone = run.home, run.phone
    account.connect(home.store, run.tools, home.now, home.kitchen_id, login, url, "Kitchen", "https://h.example")
    plan = home.plan()
    uid = f"{plan.bake_id}-{{}}@suppertide".format
    run.writes()
    run.compare("planned", run.wanted())
    actions = [
        ("rename", uid("preheat"), "Ada lights it"), ("invite", uid("load"), "partner@example.org"),
        ("place", uid("top"), "Balcony", "Family"),
    ]  # fmt: skip
    if not run.strips:
        actions += [("snooze", uid("press"), plan.steps[0].start), ("alarm", uid("lift"), 12)]
    phone.does(*actions)
    look(home.store, run.tools, home.now, home.kitchen_id)
    publish.try_now(home.store, home.kitchen_id)
    run.writes()
    run.compare("snoozed, renamed, invited, own alarm", with_changes(run.wanted(), plan, snoozed=True))
    later = home.moved(plan, HOURS_2)
    run.writes()
    run.compare("supper two hours later", with_changes(run.wanted(), later, snoozed=False))
    phone.does(("move", uid("serve"), 1800))
    before = with_changes(run.wanted(), later, snoozed=False)
    look(home.store, run.tools, home.now, home.kitchen_id)
    asked = account.moved_there(home.store, home.kitchen_id, plan.bake_id, home.now)
    run.says("a start changed: asked about", [one.uid for one in asked], [uid("serve")])
    publish.write_ours_again(home.store, run.tools, home.now, home.kitchen_id, uid("serve"))
    run.compare("... and put back on request", before)
    home.drop(later)
    run.writes()
    kept = {uid(name) for name in ("preheat", "load", "top")}
    off = {key: {"off": True, "rings": []} for key in before if key in kept}
    run.compare("given up: nothing rings, what is theirs stays cancelled", off)
    again = home.plan(replace(plan, bake_id="second-bake"))
    run.writes()
    run.compare("another bake", run.wanted() | off)
    left = leaving.disconnect(home.store, run.tools, home.now, home.kitchen_id)
    run.says("disconnecting: left behind", left.said if left else "", "")
    run.compare("disconnected", off)
    run.says("password forgotten", home.store.account(home.kitchen_id), None)
    del again


# -- servers


def environment(folder: Path, name: str) -> Path:
    """A Python with that package and nothing of ours."""
    subprocess.run([sys.executable, "-m", "venv", folder / name], check=True)
    python = folder / name / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "--quiet", PACKAGES[name]], check=True)
    return python


@contextmanager
def started(command: list[Any], port: int) -> Iterator[None]:
    """A server process, until it is not needed any more."""
    process = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        for _ in range(600):
            try:
                socket.create_connection(("127.0.0.1", port), 0.2).close()
                break
            except OSError:
                time.sleep(0.05)
        yield
    finally:
        process.terminate()
        process.wait(10)


def radicale(python: Path, folder: Path, port: int) -> list[Any]:
    """How it is started."""
    (folder / "users").write_text(f"{USER}:{PASSWORD}\n", encoding="utf-8")
    return [
        python, "-m", "radicale", "--config", "", f"--server-hosts=127.0.0.1:{port}", "--auth-type=htpasswd",
        "--auth-htpasswd-encryption=plain", f"--auth-htpasswd-filename={folder / 'users'}", "--auth-delay=0",
        f"--storage-filesystem-folder={folder / 'store'}",
    ]  # fmt: skip


def xandikos(python: Path, folder: Path, port: int) -> list[Any]:
    """How it is started, with a calendar in it."""
    return [python, "-m", "xandikos", "serve", "-d", folder / "data", "-l", "127.0.0.1", "-p", port, "--defaults"]


def against(name: str, command: Callable[[Path, Path, int], list[Any]], folder: Path, caldav: Path) -> Evening:
    """The evening with a real server and a real client."""
    place = folder / f"run-{name}"
    place.mkdir()
    port = free_port()
    with started(command(environment(folder, name), place, port), port):
        url, login = f"http://127.0.0.1:{port}/", Login(USER, PASSWORD)
        if name == "radicale":
            url += f"{USER}/"
            make = "import caldav,sys; caldav.DAVClient(url=sys.argv[1],username=sys.argv[2],password=sys.argv[3])"
            make += ".principal().make_calendar(name='Kitchen')"
            subprocess.run([caldav, "-c", make, url, USER, PASSWORD], check=True)
        run = fresh(place, CaldavPhone(caldav, url, USER, PASSWORD))
        (found, *_) = account.find_calendars(run.tools, f"http://127.0.0.1:{port}/", USER, PASSWORD)
        evening(run, found.url, login)
    return run


def fresh(folder: Path, phone: Phone, strips: bool = False) -> Evening:
    """A kitchen of its own."""
    home = Home(folder / "home")
    return Evening(home, account.Tools(home.box, Guard(local=True)), phone, strips)


def odd(folder: Path, **how: Any) -> Evening:
    """The evening with the fake server."""
    server = OddServer(how.pop("tag", strong))
    server.strips_alarms, server.moved_to = how.get("strips", False), how.get("moved_to", "")
    try:
        run = fresh(folder, OddPhone(server), server.strips_alarms)
        evening(run, server.url, Login("u", "p"))
    finally:
        server.stop()
    return run


def out_of_order(folder: Path) -> Evening:
    """503 for 55 minutes while supper moves by two hours; then it is back."""
    server = OddServer()
    try:
        run = fresh(folder, OddPhone(server))
        home = run.home
        account.connect(
            home.store, run.tools, home.now, home.kitchen_id, Login("u", "p"), server.url, "K", "https://h.example"
        )
        plan = home.plan()
        run.writes()
        server.status = 503
        home.moved(plan, HOURS_2)
        for _ in range(55 * 6):
            run.writes()
            home.now += 10
        server.status, begun = 0, home.now
        while home.store.accounts_to_sync(home.now) == () and home.now - begun < 7200:
            home.now += 10
        run.writes()
        run.says("back after 55 minutes: written within 5 minutes", home.now - begun <= 300, True)
        run.compare("... and right", run.wanted())
    finally:
        server.stop()
    return run


def found_or_said(folder: Path) -> Evening:
    """Addresses that need words or a detour."""
    server = OddServer()
    run = fresh(folder / "finding", OddPhone(server))

    def provider(name: str) -> str:
        return {"127.0.0.1": server.url, "example.org": "https://dav.example.net/"}.get(name, "")

    def says(what: str, address: str, should: str) -> None:
        try:
            names = [one.name for one in account.find_calendars(tools, address, "", "p")]
        except PlanError as error:
            names = [str(error)]
        run.says(what, should in names[0], True)

    tools = replace(run.tools, look_up=provider)
    try:
        says("name@provider whose records name its calendars", "ada@127.0.0.1", "Kitchen")
        says("... of another house: say so, send no password", "ada@example.org", "If you trust it, enter that address")
        with CertificateAuthority(folder).serving() as url:
            tools = replace(tools, look_up=lambda _: url)
            says("a certificate of its own", "ada@127.0.0.1", "SUPPERTIDE_CALENDAR_AUTHORITY")
    finally:
        server.stop()
    return run


def main() -> None:
    """Every server, one table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        caldav = environment(folder, "caldav")
        runs = {one.__name__: against(one.__name__, one, folder, caldav) for one in (radicale, xandikos)}
        for tag in (strong, weak, none, restless):
            runs[f"fake, {tag.__name__} ETags"] = odd(folder / tag.__name__, tag=tag)
        runs["fake, strips alarms"] = odd(folder / "strips", strips=True)
        runs["fake, moved for good (308)"] = odd(folder / "308", moved_to="/elsewhere/")
        runs["finding a calendar"] = found_or_said(folder)
        runs["fake, 503 for 55 minutes"] = out_of_order(folder / "503")
    for server, run in runs.items():
        print(server)
        for what, compared, wrong in run.rows:
            print(f"  {what:<58} {compared:>4} compared, {len(wrong)} wrong")
            print("".join(f"    {line}\n" for line in wrong), end="")
    sys.exit(any(wrong for run in runs.values() for _, _, wrong in run.rows))


if __name__ == "__main__":
    main()
