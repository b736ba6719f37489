"""Where the server may connect to. Address ranges: the IANA special-purpose registries (RFC 6890, 6598, 6052)."""

from __future__ import annotations

import pytest

from webapp.machine.net_guard import Guard, NoSuchNameError, RefusedError, resolve


def guard(*addresses: str, local: bool = False, also: tuple[str, ...] = ()) -> Guard:
    return Guard(local=local, also=frozenset(also), resolve=lambda host, port: list(addresses))


@pytest.mark.parametrize("address", ["93.184.216.34", "2606:2800:220:1:248:1893:25c8:1946"])
def test_an_address_on_the_internet_is_pinned_and_called_by_its_name(address: str) -> None:
    pinned = guard(address).pin("https://cal.example.org:8443/dav/?a=1")
    assert address in pinned.url
    assert pinned.url.endswith(":8443/dav/?a=1")
    assert (pinned.host, pinned.server_name) == ("cal.example.org:8443", "cal.example.org")


@pytest.mark.parametrize(
    "address",
    ["127.0.0.1", "10.1.2.3", "172.16.0.1", "192.168.1.1", "100.64.0.1", "::1", "fd00::1", "::ffff:127.0.0.1",
     "64:ff9b::7f00:1", "2002:7f00:1::", "::ffff:10.0.0.1"],
)  # fmt: skip
def test_home_addresses_are_refused_until_the_owner_opens_them(address: str) -> None:
    with pytest.raises(RefusedError):
        guard(address).pin("https://cal.example.org/")
    assert guard(address, local=True).pin("https://cal.example.org/").server_name == "cal.example.org"


@pytest.mark.parametrize(
    "address",
    ["169.254.169.254", "fe80::1", "0.0.0.0", "::", "224.0.0.1", "ff02::1", "255.255.255.255", "240.0.0.1", "192.0.2.1",
     "198.18.0.1", "::ffff:169.254.169.254", "64:ff9b::a9fe:a9fe", "2001:db8::1"],
)  # fmt: skip
@pytest.mark.parametrize("local", [False, True])
def test_link_local_and_reserved_addresses_are_refused_always(address: str, local: bool) -> None:
    """169.254.169.254 is where cloud machines keep their own credentials."""
    with pytest.raises(RefusedError):
        guard(address, local=local).pin("https://cal.example.org/")


def test_one_bad_address_among_good_ones_refuses_the_name() -> None:
    with pytest.raises(RefusedError):
        guard("93.184.216.34", "127.0.0.1").pin("https://cal.example.org/")


def test_the_name_is_resolved_once_so_that_a_second_answer_gains_nothing() -> None:
    answers = [["93.184.216.34"], ["127.0.0.1"]]
    asked = Guard(resolve=lambda host, port: answers.pop(0))
    assert "93.184.216.34" in asked.pin("https://rebinding.example/").url
    assert len(answers) == 1


def test_a_password_never_goes_unencrypted_over_the_internet() -> None:
    with pytest.raises(RefusedError):
        guard("93.184.216.34", local=True).pin("http://cal.example.org/")
    assert guard("192.168.1.5", local=True).pin("http://nas.local:5232/").url == "http://192.168.1.5:5232/"


@pytest.mark.parametrize("url", ["ftp://x.example/", "file:///etc/passwd", "https://", "https://u:p@x.example/", "gopher://x/",
                                 "https://[::1", "https://x.example:99999/", "not an address"])  # fmt: skip
def test_what_is_no_plain_web_address_is_refused(url: str) -> None:
    with pytest.raises(RefusedError):
        guard("93.184.216.34").pin(url)


def test_odd_spellings_of_this_machine_are_what_they_are() -> None:
    """0x7f.1, 2130706433 and 127.1 all reach the loopback; the resolver says so and the guard refuses."""
    for spelling in ("127.1", "2130706433", "0x7f000001", "localhost"):
        with pytest.raises(RefusedError):
            Guard().pin(f"https://{spelling}/")


def test_a_named_exception_is_let_through_with_its_port_only() -> None:
    open_door = guard("127.0.0.1", also=("127.0.0.1:8123",))
    assert open_door.pin("http://127.0.0.1:8123/push").url == "http://127.0.0.1:8123/push"
    with pytest.raises(RefusedError):
        open_door.pin("http://127.0.0.1:8124/push")


def test_a_name_that_does_not_exist_is_another_thing_than_a_forbidden_one() -> None:
    with pytest.raises(NoSuchNameError):
        guard().pin("https://cal.example.org/")
    with pytest.raises(NoSuchNameError):
        resolve("a" * 300, 443)


@pytest.mark.parametrize(
    ("typed", "sent"),
    [
        ("https://b\u00fccher.example/a", "xn--bcher-kva.example"),  # RFC 3492's own kind of example: u with two dots
        ("https://B\u00dcCHER.example:8443/a", "xn--bcher-kva.example:8443"),
        ("https://cal.fa\u00df.example/", "cal.xn--fa-hia.example"),  # RFC 5891: sharp s stays itself
    ],
)
def test_a_name_with_other_letters_is_asked_for_and_sent_in_the_form_that_servers_know(typed: str, sent: str) -> None:
    asked: list[str] = []

    def look_up(host: str, port: int) -> list[str]:
        asked.append(host)
        return ["93.184.216.34"]

    pinned = Guard(resolve=look_up).pin(typed)
    assert (pinned.host, pinned.server_name) == (sent, sent.partition(":")[0])
    assert asked == [pinned.server_name]
    assert pinned.url.isascii()


def test_a_name_that_no_server_can_have_is_told_so() -> None:
    with pytest.raises(RefusedError, match="not a name that a server can have"):
        guard("93.184.216.34").pin("https://b\u2260c.example/")
