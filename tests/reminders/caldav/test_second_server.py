"""The same evening in another real CalDAV server (Xandikos, from PyPI, which keeps calendars in git): what a person
does to events on a phone, what the bake does meanwhile, and what stands there afterwards."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator

import httpx
import pytest
import vobject

from tests.home import Home
from tests.reminders.caldav.test_caldav import free_port
from tests.samples import at, sample_plan
from webapp.machine.net_guard import Guard
from webapp.reminders.caldav import account
from webapp.reminders.caldav import publish as caldav
from webapp.reminders.events import bake_file, entries
from webapp.reminders.wire import Login


@pytest.fixture(scope="module")
def calendar(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of its default calendar."""
    port, folder = free_port(), tmp_path_factory.mktemp("xandikos")
    command = [sys.executable, "-m", "xandikos", "serve", "-d", str(folder), "-l", "127.0.0.1", "-p", str(port),
               "--defaults"]  # fmt: skip
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    for _ in range(600):
        try:
            socket.create_connection(("127.0.0.1", port), 0.2).close()
            break
        except OSError:
            time.sleep(0.05)  # a process comes up
    yield f"http://127.0.0.1:{port}"
    process.terminate()
    process.wait(10)


def test_another_server_keeps_what_is_the_persons_and_rings_for_nothing_that_is_off(
    calendar: str, home: Home, tools: account.Tools
) -> None:
    (found, *_) = account.find_calendars(tools, calendar, "cook", "x")
    account.connect(
        home.store, tools, home.now, home.kitchen_id, Login("cook", "x"), found.url, found.name, "https://h.example"
    )
    plan = home.plan()
    assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
    with httpx.Client(trust_env=False) as phone:

        def href(step_id: str) -> str:
            return f"{found.url}{plan.bake_id}-{step_id}.ics"

        def rewrite(step_id: str, old: str, new: str) -> None:
            text = phone.get(href(step_id)).text
            assert old in text
            sent = phone.put(
                href(step_id), content=text.replace(old, new, 1), headers={"Content-Type": "text/calendar"}
            )
            assert sent.is_success, sent.text

        def event(step_id: str) -> vobject.base.Component:
            return vobject.readOne(phone.get(href(step_id)).text).vevent

        rewrite("serve", "SUMMARY:Cut and eat", "LOCATION:Balcony\r\nSUMMARY:Guests arrive")
        rewrite("press", "END:VALARM", "ACKNOWLEDGED:20261125T164000Z\r\nUID:a1\r\nEND:VALARM\r\nBEGIN:VALARM\r\n"
                "ACTION:DISPLAY\r\nTRIGGER;VALUE=DATE-TIME:20261125T165100Z\r\nRELATED-TO;RELTYPE=SNOOZE:a1\r\n"
                "DESCRIPTION:x\r\nEND:VALARM")  # fmt: skip
        plan = home.later(home.later(plan, "serve", 7200), "press", 7200)
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        served, pressed = event("serve"), event("press")
        assert (served.summary.value, served.location.value) == ("Guests arrive", "Balcony")
        wanted = {e.step_id: e.start for e in entries(home.store, home.now, home.kitchen_id)}
        assert int(served.dtstart.value.timestamp()) == wanted["serve"] != at(19, 30)
        assert int(pressed.dtstart.value.timestamp()) == wanted["press"] == at(18, 45)
        assert [a.trigger.value.total_seconds() for a in pressed.contents["valarm"]] == [-300.0]
        home.drop(plan)
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        listed = phone.request("PROPFIND", found.url, headers={"Depth": "1"}).text
        left = re.findall(r"([a-z-]+)\.ics<", listed)
        assert [name.rpartition("-")[2] for name in left] == ["serve"]
        assert "valarm" not in event("serve").contents
    state = account.account_state(home.store, home.kitchen_id)
    assert state is not None
    assert (state.problem, state.alarms) == ("", "live")


def test_steps_added_from_a_file_before_are_found_by_their_names_follow_and_go(
    calendar: str, home: Home, tools: account.Tools
) -> None:
    """RFC 4791 5.3.2.1: a name stands once in a calendar; this server says 412 where ours would be the second."""
    (found, *_) = account.find_calendars(tools, calendar, "cook", "x")
    plan = home.plan(sample_plan("c" * 22))
    file = bake_file(home.store, home.now, home.kitchen_id, plan.bake_id, "https://h.example").decode()
    head, *added = file.split("BEGIN:VEVENT")
    head = head.replace("-//Suppertide//Suppertide 1//EN", "-//A program//EN")
    with httpx.Client(trust_env=False, headers={"Content-Type": "text/calendar"}) as phone:

        def listed() -> list[str]:
            text = phone.request("PROPFIND", found.url, headers={"Depth": "1"}).text
            return re.findall(r">([^<]+\.ics)<", text)

        before = listed()
        for place, one in enumerate(added):
            body = f"{head}BEGIN:VEVENT{one.partition('END:VCALENDAR')[0]}END:VCALENDAR\r\n"
            assert phone.put(f"{found.url}added-{place}.ics", content=body).is_success
        plan = home.moved(plan, 7200)
        account.connect(
            home.store, tools, home.now, home.kitchen_id, Login("cook", "x"), found.url, found.name, "https://h.example"
        )
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        stands = [
            vobject.readOne(phone.get(f"{calendar}{href}").text).vevent for href in listed() if href not in before
        ]
        starts = sorted(int(event.dtstart.value.timestamp()) for event in stands)
        assert starts == sorted(step.start for step in plan.steps)
        home.drop(plan)
        assert caldav.publish(home.store, tools, home.now, home.kitchen_id)
        assert listed() == before


@pytest.fixture
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    return Home(tmp_path_factory.mktemp("home"))


@pytest.fixture
def tools(home: Home) -> account.Tools:
    return account.Tools(home.box, Guard(local=True))
