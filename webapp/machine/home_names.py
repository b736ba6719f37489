"""By which names and addresses this machine is found in its own home, and which of them a household may vouch for.

No packet is sent: the system is asked which of its addresses it would use towards each private range.
"""

from __future__ import annotations

import ipaddress
import re
import socket
from collections.abc import Iterable
from dataclasses import dataclass

from webapp.words.problems.told import refused

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network

# Networks that nobody else can own (RFC 1918, 6598, 3927, 4193, 4291, 1122) and names that only exist at home: .local
# (RFC 6762) and home.arpa (RFC 8375). A single label is not among them: a machine called "kitchen" would open every
# name below a top-level domain of the same name.
NETWORKS: tuple[Network, ...] = tuple(
    ipaddress.ip_network(net)
    for net in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "169.254.0.0/16", "127.0.0.0/8",
        "fc00::/7", "fe80::/10", "::1/128",
    )
)  # fmt: skip
DOMAINS = ("local", "home.arpa")
# Behind whatever name: these lead nowhere on the internet (RFC 6762, 8375, 6761, ICANN 2024 for .internal), or are what
# routers call a home (common practice). Not all of them are names that a household may vouch for.
HOME_SUFFIXES = (".local", ".home.arpa", ".internal", ".lan", ".home", ".localhost")
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\Z")
# One address in each range (and one that nobody has, RFC 5737, for the way to the internet): where would it go from?
_TOWARDS = ("192.0.2.1", "10.255.255.254", "172.31.255.254", "192.168.255.254", "100.127.255.254")


@dataclass(frozen=True)
class HomeNames:
    """`names` and `addresses` of one machine, the one to show first in front; all of them private."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]

    @property
    def hosts(self) -> tuple[str, ...]:
        """Everything as it is typed into an address line, addresses first."""
        shown = [f"[{one}]" if one.version == 6 else str(one) for one in self.addresses]
        return (*shown, *self.names)


def is_private(address: Address) -> bool:
    """Whether the address lies in a range that a household may vouch for."""
    return any(address in net for net in NETWORKS if net.version == address.version)


def at_home(name: str) -> bool:
    """Whether the name exists at home only."""
    return any(name.endswith(f".{domain}") for domain in DOMAINS)


def here(also: Iterable[str] = (), host_name: str | None = None, found: Iterable[str] | None = None) -> HomeNames:
    """This machine's private addresses and its name below .local; `also` adds more of either.

    `host_name` and `found` stand in for what the system says. Raises PlanError at "home_names" for one of `also` that
    is not private.
    """
    names, addresses = _read(also)
    label = (socket.gethostname() if host_name is None else host_name).split(".")[0].lower()
    if _LABEL.match(label) and label != "localhost":
        names.append(f"{label}.local")
    for text in _own_addresses() if found is None else found:
        address = ipaddress.ip_address(text)
        if is_private(address) and not address.is_loopback:
            addresses.append(address)
    addresses.append(ipaddress.ip_address("127.0.0.1"))
    return HomeNames(tuple(dict.fromkeys(names)), tuple(dict.fromkeys(addresses)))


def _read(also: Iterable[str]) -> tuple[list[str], list[Address]]:
    names: list[str] = []
    addresses: list[Address] = []
    for text in (one.strip().lower().strip("[]") for one in also):
        address = address_in(text)
        if address is not None and is_private(address):
            addresses.append(address)
        elif address is None and at_home(text) and all(_LABEL.match(label) for label in text.split(".")):
            names.append(text)
        else:
            raise refused(
                "home_names",
                f"{text!r} is neither a private address nor a name that ends in .local or .home.arpa.",
                "A name of the internet needs a certificate from there: see “HTTPS at home” in README.md.",
            )
    return names, addresses


def address_in(text: str) -> Address | None:
    """An address as it is written; None for a name."""
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None


def _own_addresses() -> list[str]:
    return [address for target in _TOWARDS if (address := _source_towards(target))]


def _source_towards(target: str) -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((target, 9))
            return str(probe.getsockname()[0])
        except OSError:
            return ""
