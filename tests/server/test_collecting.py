"""While a server answers, collecting garbage passes over what was there when it began, and still finds what is new."""

from __future__ import annotations

import gc
import socket
import weakref
from asyncio.sslproto import SSLProtocol
from contextlib import closing

import pytest

from tests.server.running import running
from webapp.machine.settings import Settings
from webapp.server.collecting import _LEFT, Leavings, settle, short_stops
from webapp.server.serve import ServeWanted


class Ring:
    """Refers to itself: only a collection finds it."""

    def __init__(self) -> None:
        self.itself = self


def test_what_is_there_when_it_begins_is_passed_over_until_it_ends() -> None:
    before = gc.get_threshold()
    kept = Ring()
    with short_stops():
        assert not any(one is kept for one in gc.get_objects())
        assert gc.get_freeze_count() > 0
        assert gc.isenabled()
    assert any(one is kept for one in gc.get_objects())
    assert gc.get_threshold() == before


def test_garbage_that_is_made_meanwhile_is_found() -> None:
    with short_stops():
        gone = weakref.ref(Ring())
        gc.collect()
        assert gone() is None


def test_what_comes_later_is_passed_over_too_once_that_is_said() -> None:
    with short_stops():
        later = Ring()
        assert any(one is later for one in gc.get_objects())
        settle()
        assert not any(one is later for one in gc.get_objects())


def test_connections_that_never_agree_on_tls_are_not_kept_by_thousands(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By themselves they were collected after half a million things were made: 770 MB of one address in 20 s."""
    monkeypatch.setattr("webapp.server.collecting._REST_S", 0.0)
    with running(settings, ServeWanted(port=0, secure_port=0, phone=True)) as server:
        gc.collect()
        gc.disable()
        try:
            for _ in range(3 * _LEFT):
                with closing(socket.create_connection(("127.0.0.1", server.house.sockets.secure_port), 20)) as one:
                    one.sendall(b"no handshake at all")
                    while one.recv(1000):
                        pass
            kept = sum(isinstance(one, SSLProtocol) for one in gc.get_objects())
        finally:
            gc.enable()
    assert kept <= _LEFT + 3, "what came since then"


def test_however_fast_connections_are_shut_what_they_leave_is_collected_now_and_then() -> None:
    now = [0.0]
    leavings, gone = Leavings(lambda: now[0]), list[weakref.ref[Ring]]()

    def many() -> int:
        """How many of so many rings are there still, behind as many connections that are over."""
        gone[:] = [weakref.ref(Ring()) for _ in range(_LEFT)]
        for _ in range(_LEFT):
            leavings.one_more()
        return sum(one() is not None for one in gone)

    gc.collect()
    gc.disable()
    try:
        assert many() == 0
        assert many() == _LEFT, "at once again: that is put off"
        now[0] += 10.0
        assert many() == 0
    finally:
        gc.enable()
