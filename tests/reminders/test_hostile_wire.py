"""Servers and files that want to hold us up: headers that drip, many conversations, many calendars at once."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from webapp.core.errors import PlanError
from webapp.kitchens.busy import calendar_file
from webapp.machine.net_guard import Guard
from webapp.machine.redact import redacted
from webapp.machine.secretbox import SecretBox
from webapp.reminders.caldav.account import Tools, find_calendars
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.wire import CalendarError, Login

LOGIN = Login("u", "p")


@pytest.fixture
def dripping() -> Iterator[str]:
    """The address of a server that sends one byte of its headers every twentieth of a second, for ever."""
    door = socket.create_server(("127.0.0.1", 0))
    over = threading.Event()

    def asked() -> socket.socket | None:
        door.settimeout(0.1)  # on a busy machine the asker may give up before it ever calls: stop waiting with the test
        while not over.is_set():
            with suppress(TimeoutError):
                return door.accept()[0]
        return None

    def drip() -> None:
        asking = asked()
        if asking is None:
            return
        with asking:
            asking.settimeout(5)
            try:
                asking.sendall(b"HTTP/1.1 207 Multi-Status\r\nX: ")
                while not over.wait(0.05):
                    asking.sendall(b"x")
            except OSError:
                pass  # they hung up: what the test is about

    thread = threading.Thread(target=drip)
    thread.start()
    yield f"http://127.0.0.1:{door.getsockname()[1]}/"
    over.set()
    thread.join()
    door.close()


def test_a_server_that_drips_its_headers_is_hung_up_on(dripping: str) -> None:
    began = time.monotonic()
    with (
        CalendarServer(Guard(local=True), LOGIN, talk_s=0.2) as server,
        pytest.raises(CalendarError, match="does not answer") as caught,
    ):
        server.get(f"{dripping}x.ics")
    assert caught.value.again
    assert time.monotonic() - began < 20, "and not for as long as it likes to drip"


def test_pages_hold_two_conversations_at_once_and_others_are_asked_to_wait(tmp_path: Path) -> None:
    tools = Tools(SecretBox(tmp_path), Guard(local=True))
    with ExitStack() as held:
        for _ in range(2):
            held.enter_context(tools.server(LOGIN))
        with pytest.raises(PlanError) as caught:
            find_calendars(tools, "http://127.0.0.1:9/", "u", "p")
        assert "This server is busy" in caught.value.problems[0].message
    with tools.server(LOGIN):
        pass  # the lines are free again


def test_no_more_than_two_calendar_files_are_read_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    file = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n"
    with calendar_file._AT_ONCE, calendar_file._AT_ONCE, pytest.raises(PlanError) as caught:
        calendar_file.read_busy(file, 0, 86400, "Europe/London")
    assert "just now" in caught.value.problems[0].message
    with pytest.raises(PlanError):
        calendar_file.read_busy(b"", 0, 86400, "Europe/London")
    assert calendar_file._AT_ONCE.acquire(blocking=False), "a mistake gives its place back"
    calendar_file._AT_ONCE.release()


@pytest.mark.parametrize(
    "address",
    [
        "http://0.0.0.0/", "https://[::]/", "https://[::1]/", "http://127.1/", "http://2130706433/", "http://0x7f.1/",
        "https://[::ffff:127.0.0.1]/", "https://[64:ff9b::7f00:1]/", "https://[2002:7f00:1::]/", "https://169.254.169.254/",
        "https://[fe80::1]/", "https://[::127.0.0.1]/", "https://224.0.0.1/", "https://240.0.0.1/", "file:///etc/passwd",
        "gopher://127.0.0.1/", "https://u:p@127.0.0.1/", "https://localhost/", "https://localhost./", "https:///x",
        "https://[fe80::1%25eth0]/", "https://127.0.0.1:99999/", "https://\0/", "https://exa mple/", "http://[", "https://①②⑦.⓪.⓪.①/",
    ],
)  # fmt: skip
def test_no_way_of_writing_an_inner_address_gets_past_the_guard(address: str) -> None:
    with CalendarServer(Guard(), LOGIN) as server, pytest.raises(CalendarError):
        server.get(address)


@pytest.mark.parametrize(
    "line",
    [
        "GET /feed/SECRET.ics?x=1 HTTP/1.1", "POST /join?code=SECRET", "/join?x=1&code=SECRET#z",
        "https://updates.push.services.mozilla.com/wpush/v2/SECRET", "https://fcm.googleapis.com/fcm/send/SECRET",
    ],
)  # fmt: skip
def test_no_key_is_left_in_a_log_line(line: str) -> None:
    assert "SECRET" not in redacted(line)
