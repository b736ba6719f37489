"""Where the server may connect to when a person typed the address: never into its own network unless its owner said so.

A name is resolved once, every address it stands for is checked, and the connection goes to the checked address: a
name that resolves differently a moment later gains nothing.
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from webapp.machine.household import ascii_name
from webapp.words.problems import calendar_servers as said

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Resolve = Callable[[str, int], list[str]]

# Home networks, overlay networks (RFC 6598 is what private overlays use) and this machine itself. Link-local is not
# among them on purpose: cloud machines keep their own credentials there.
_HOME = tuple(
    ipaddress.ip_network(net)
    for net in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "127.0.0.0/8", "::1/128", "fc00::/7")
)
# Where clouds keep the credentials of a machine, refused in every setting. Link-local as a whole, and those that hide
# elsewhere: in the shared range, in the unique local one, and one on the internet (as the clouds' own handbooks say).
_METADATA = tuple(
    ipaddress.ip_network(net)
    for net in (
        "169.254.0.0/16", "fe80::/10", "100.100.100.200/32", "192.0.0.192/32", "168.63.129.16/32",
        "fd00:ec2::/32", "fd20:ce::/32", "fd00:42::42/128",
    )
)  # fmt: skip
# Nobody's by now, but routers may still lead them inside: site-local (RFC 3879) and the 6to4 relays (RFC 7526).
_FORMER = (ipaddress.ip_network("fec0::/10"), ipaddress.ip_network("192.88.99.0/24"))
_NAT64 = ipaddress.ip_network("64:ff9b::/96")


class RefusedError(ValueError):
    """This address is not one to connect to; the text says why."""


class NoSuchNameError(OSError):
    """The name cannot be resolved just now."""


def resolve(host: str, port: int) -> list[str]:
    """Every address of the name, as text."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise NoSuchNameError(said.no_such_name(host)) from error
    return [str(one[4][0]).partition("%")[0] for one in found]


@dataclass(frozen=True)
class Pinned:
    """A checked target: connect to `url` (an address), call it `host`, expect `server_name`'s certificate."""

    url: str
    host: str  # for the Host header, with the port where it is not the usual one
    server_name: str  # for the certificate


@dataclass(frozen=True)
class Guard:
    """`local`: the owner opened the home network. `also`: each "host:port" always allowed, unencrypted too."""

    local: bool = False
    also: frozenset[str] = frozenset()
    resolve: Resolve = field(default=resolve, compare=False)

    def pin(self, url: str) -> Pinned:
        """Check where the URL leads. Raises RefusedError, or NoSuchNameError when the name cannot be resolved."""
        try:
            parts = urlsplit(url)
            host, port = (parts.hostname or "").rstrip("."), parts.port
        except ValueError as error:
            raise RefusedError(said.NO_WEB_ADDRESS) from error
        try:
            host = ascii_name(host)
        except ValueError as error:
            raise RefusedError(said.no_name_of_a_server(host)) from error
        if parts.scheme not in ("https", "http") or not host or port == 0 or parts.username is not None:
            raise RefusedError(said.NO_WEB_ADDRESS)
        port = port or (443 if parts.scheme == "https" else 80)
        address = self._checked(host, port, parts.scheme)
        bare = f"[{address}]" if address.version == 6 else str(address)
        path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
        return Pinned(f"{parts.scheme}://{bare}:{port}{path}", _as_sent(parts.netloc), host)

    def _checked(self, host: str, port: int, scheme: str) -> Address:
        addresses = [ipaddress.ip_address(text) for text in self.resolve(host, port)]
        if not addresses:
            raise NoSuchNameError(said.no_such_name(host))
        if any(_is_metadata(one) for one in addresses):
            raise RefusedError(said.CREDENTIALS_THERE)
        if f"{host}:{port}" in self.also:
            return addresses[0]
        at_home = [_is_home(one) for one in addresses]
        if not all(home or is_public(one) for home, one in zip(at_home, addresses, strict=True)):
            raise RefusedError(said.NOT_ON_THE_INTERNET)
        if any(at_home) and not self.local:
            raise RefusedError(said.HOME_NETWORK_CLOSED)
        if scheme == "http" and not all(at_home):
            raise RefusedError(said.READ_ON_THE_WAY)
        return addresses[0]


def _as_sent(netloc: str) -> str:
    """For the Host header: what was written, in the form of RFC 5891 where it has other letters than ASCII."""
    name, colon, port = netloc.partition(":")
    return netloc if netloc.isascii() else f"{ascii_name(name)}{colon}{port}"


def _inner(address: Address) -> Address:
    """An IPv4 address that travels inside of an IPv6 one is judged as what it is."""
    if isinstance(address, ipaddress.IPv6Address):
        inside = address.ipv4_mapped or address.sixtofour or (address.teredo[1] if address.teredo else None)
        if inside is None and address in _NAT64:
            inside = ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
        return inside or address
    return address


def _is_home(address: Address) -> bool:
    address = _inner(address)
    return any(address in net for net in _HOME if net.version == address.version)


def _is_metadata(address: Address) -> bool:
    address = _inner(address)
    return any(address in net for net in _METADATA if net.version == address.version)


def is_public(address: Address) -> bool:
    """Whether it is an address that everybody on the internet reaches."""
    address = _inner(address)
    if any(address in net for net in _FORMER if net.version == address.version):
        return False
    return address.is_global and not (address.is_multicast or address.is_reserved or address.is_unspecified)
