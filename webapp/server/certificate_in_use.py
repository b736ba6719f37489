"""The certificate of a running server: made at the start, shown to phones, renewed while it runs."""

from __future__ import annotations

import socket
import ssl
from pathlib import Path

from webapp.machine.home_names import here
from webapp.machine.settings import Settings
from webapp.server.certificates import FOLDER, Household, Issued, covers
from webapp.web.phone.hand_over import Papers

_CIPHERS = "ECDHE+AESGCM:ECDHE+CHACHA20"  # for TLS 1.2; HTTP/2 forbids the older ones (RFC 9113, appendix A)


class HousePapers:
    """`issued` is what is in use."""

    def __init__(self, settings: Settings, port: int, forget: bool = False) -> None:
        """Makes or renews the certificate. `port`: where the app is over https."""
        self._household = Household(settings.data)
        self._also = settings.home_names
        self._port = port
        self.folder: Path = settings.data / FOLDER
        self.home = here(self._also)
        self.issued: Issued = self._household.ready(self.home, forget)

    @property
    def first_host(self) -> str:
        """The address to show first: one in the home network if there is any."""
        return next((host for host in self.home.hosts if not host.startswith("127.")), self.home.hosts[0])

    def context(self) -> ssl.SSLContext:
        """TLS 1.2 or newer with HTTP/2, with the certificate in it."""
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        context.set_ciphers(_CIPHERS)
        context.set_alpn_protocols(["h2", "http/1.1"])
        context.load_cert_chain(self.issued.chain)
        return context

    def renew(self, context: ssl.SSLContext) -> bool:
        """Look at the calendar and at this machine's addresses; whether there is a new certificate in `context` now.

        Connections that are open keep theirs. Raises what `Household.ready` raises.
        """
        self.home = here(self._also)
        before, self.issued = self.issued, self._household.ready(self.home)
        if self.issued.leaf == before.leaf:
            return False
        context.load_cert_chain(self.issued.chain)
        return True

    def secure_origin(self, host: str) -> str:
        """Where the app is over https for somebody who came by `host`; by another way if that is not covered."""
        known = host and covers(self.issued.leaf, host)
        shown = f"[{host}]" if known and ":" in host else host
        return f"https://{shown if known else self.first_host}:{self._port}"

    def addresses(self) -> list[str]:
        """Every address of the app over https, this machine's own excepted."""
        hosts = [host for host in self.home.hosts if not host.startswith("127.")]
        return [f"https://{host}:{self._port}/" for host in hosts or self.home.hosts]

    def fingerprint_lines(self) -> list[str]:
        """In two lines of sixteen pairs, as they are compared by eye."""
        pairs = self.issued.fingerprint.split(":")
        return ["  " + " ".join(pairs[:16]), "  " + " ".join(pairs[16:])]

    def how_it_goes_on(self) -> str:
        """What happens at its end."""
        if self.issued.forgotten:
            return "its authority's key was thrown away, so phones are handed a new one then."
        return "it renews itself."

    def to_hand_over(self) -> Papers:
        """For the page that does it."""
        return Papers(
            certificate=lambda: self.issued.authority_der,
            fingerprint=lambda: self.issued.fingerprint,
            name=lambda: self.issued.name,
            secure_origin=self.secure_origin,
        )


def home_address() -> str:
    """This machine's address on the way to the internet; no packet is sent to learn it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1, RFC 5737: an address nobody has
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()
