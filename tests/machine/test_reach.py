"""Which of our own names lead to a home. Ranges: RFC 1918, 4193 and 6598; names: RFC 6762 and 8375."""

from __future__ import annotations

import threading

import pytest

from webapp.machine.net_guard import NoSuchNameError
from webapp.machine.reach import Reach

PUBLIC = "93.184.216.34"


def reach(*addresses: str) -> Reach:
    return Reach(lambda name, port: list(addresses))


@pytest.mark.parametrize(
    ("host", "home"),
    [("192.168.1.5:8000", True), ("[fd00::1]", True), ("8.8.8.8", False), ("[2a00::1]", False),
     ("[2a00::1]:8000", False), ("[fd00::1]:8000", True), ("2a00::1", False), ("127.0.0.1:8000", True)],
)  # fmt: skip
def test_an_address_is_told_by_itself(host: str, home: bool) -> None:
    assert reach().is_at_home(host) is home


@pytest.mark.parametrize("host", ["bread", "bread.lan", "bread.local:8443", "bread.example.org", "bread.home.arpa"])
@pytest.mark.parametrize(
    ("addresses", "home"),
    [(("192.168.1.5",), True), (("fd00::1",), True), (("100.64.0.9",), True), ((PUBLIC,), False),
     (("192.168.1.5", PUBLIC), False), (("::ffff:10.0.0.1",), True)],
)  # fmt: skip
def test_a_name_is_told_by_what_it_stands_for_however_it_ends(
    host: str, addresses: tuple[str, ...], home: bool
) -> None:
    assert reach(*addresses).is_at_home(host) is home


@pytest.mark.parametrize(
    ("host", "home"),
    [
        ("localhost", True),
        ("bread", True),
        ("bread.lan:80", True),
        ("Bread.Local.", True),
        ("bread.example.org", False),
    ],
)
@pytest.mark.parametrize("addresses", [(), ("127.0.1.1",)])
def test_a_name_that_nobody_knows_or_that_is_this_machine_is_told_by_how_it_ends(
    host: str, home: bool, addresses: tuple[str, ...]
) -> None:
    """Some systems give their own name the address 127.0.1.1, whatever others know it by."""
    assert reach(*addresses).is_at_home(host) is home


def test_a_name_that_cannot_be_found_or_takes_long_holds_no_page_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.machine.reach._WAIT_S", 0.01)
    stuck = threading.Event()
    asked: list[str] = []

    def slow(name: str, port: int) -> list[str]:
        asked.append(name)
        stuck.wait(30)
        raise NoSuchNameError(name)

    slowly = Reach(slow)
    assert not slowly.is_at_home("bread.example.org")
    assert slowly.is_at_home("bread.lan")
    stuck.set()
    assert asked == ["bread.example.org"], "one at a time"


def test_a_name_is_asked_for_once_in_ten_minutes() -> None:
    now, asked = [0.0], []

    def ask(name: str, port: int) -> list[str]:
        asked.append(name)
        return ["10.0.0.1"] if len(asked) == 1 else [PUBLIC]

    one = Reach(ask, lambda: now[0])
    assert one.is_at_home("bread.example.org")
    now[0] = 599
    assert one.is_at_home("bread.example.org")
    now[0] = 600
    assert not one.is_at_home("bread.example.org")
    for number in range(100):
        one.is_at_home(f"b{number}.example.org")
    assert len(one._known) == 64


def test_a_name_that_was_not_asked_for_because_another_was_is_asked_for_later() -> None:
    """A home's own name below a public ending must not count as the internet's for ten minutes."""
    going, begun = threading.Event(), threading.Event()

    def ask(name: str, port: int) -> list[str]:
        if name == "slow.example.org":
            begun.set()
            going.wait(5)
        return ["192.168.1.5"]

    told = Reach(ask)
    slow = threading.Thread(target=told.is_at_home, args=("slow.example.org",))
    slow.start()
    begun.wait(5)
    assert told.is_at_home("bread.example.org") is False
    going.set()
    slow.join(5)
    while told._asking.locked():
        pass
    assert told.is_at_home("bread.example.org") is True
