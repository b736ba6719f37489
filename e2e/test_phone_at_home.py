"""A phone at home, from the page that hands the certificate over to the kitchen with the server dead, in a browser with
a trust store of its own. NSS's `certutil` (Debian: libnss3-tools) plays the person who lets the phone trust it."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import signal
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, load_pem_private_key
from playwright.sync_api import BrowserContext, Playwright, expect
from playwright.sync_api import Error as BrowserError

from e2e import browsers
from e2e.cut_off import IN_CHARGE, PACKED
from e2e.server import ROOT, Server, plan_at
from tests.samples import at
from tests.up import BROWSERS, on_path
from webapp.machine.home_names import HomeNames
from webapp.server.certificates import make_leaf

ADDRESS, NAME = "127.0.0.5", "bread.local"
pytestmark = pytest.mark.skipif(not shutil.which("certutil"), reason="needs certutil (Debian: libnss3-tools)")


@dataclass
class AtHome(Server):
    """`suppertide serve --phone`, known by a home address and a .local name besides the machine's own."""

    secure_port: int = 0

    def start(self) -> AtHome:
        command = [sys.executable, "-m", "webapp", "serve", "--phone", "--port", "0", "--secure-port", "0"]
        settings = {"SUPPERTIDE_HOME_NAMES": f"{ADDRESS},{NAME}"}
        with self.output.open("wb") as out:
            self.process = subprocess.Popen(
                [*command, "--data", str(self.data)], cwd=ROOT, stdout=out, stderr=subprocess.STDOUT,
                env=os.environ | settings,
            )  # fmt: skip
        until = time.monotonic() + 60
        while "Stop it with" not in self.said():
            assert self.process.poll() is None, self.said()
            assert time.monotonic() < until, self.said()
            time.sleep(0.02)
        plain = re.search(r"is at http://127\.0\.0\.1:(\d+)/", self.said())
        secure = re.search(rf"https://{re.escape(NAME)}:(\d+)/", self.said())
        assert plain
        assert secure
        self.port, self.secure_port = int(plain[1]), int(secure[1])
        httpx.get(f"{self.url}/health", timeout=30).raise_for_status()
        return self

    @property
    def hand_over(self) -> str:
        return f"http://{ADDRESS}:{self.port}"

    def secure(self, host: str) -> str:
        return f"https://{host}:{self.secure_port}"

    def fingerprint(self) -> list[str]:
        """The 32 pairs that the terminal shows."""
        lines = re.findall(r"^  ((?:[0-9A-F]{2} ){15}[0-9A-F]{2})$", self.said(), re.MULTILINE)
        return " ".join(lines).split()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[AtHome]:
    found = AtHome(tmp_path).start()
    yield found
    found.kill()


class OwnTrust:
    """A browser whose HOME holds a list of certificates that nobody but the test fills."""

    def __init__(self, play: Playwright, home: Path) -> None:
        self._play, self._home = play, home
        self._store = home / ".pki" / "nssdb"
        self._store.mkdir(parents=True)
        self._certutil("-N", "--empty-password")
        self.context = self._started()

    def trust(self, certificate: Path) -> None:
        """As a person does in the settings of the phone: for websites only. The browser reads it when it starts."""
        self.context.close()
        self._certutil("-A", "-t", "C,,", "-n", "home", "-i", str(certificate))
        self.context = self._started()

    def _started(self) -> BrowserContext:
        context = self._play.chromium.launch_persistent_context(
            str(self._home / "profile"),
            executable_path=on_path(BROWSERS),
            args=[
                "--no-sandbox", "--disable-quic", "--disable-background-networking",
                f"--host-resolver-rules=MAP {NAME} {ADDRESS},MAP bank.example {ADDRESS}",
            ],
            env={**os.environ, "HOME": str(self._home)},
            viewport={"width": 390, "height": 844},
            timezone_id="Europe/Lisbon",
        )  # fmt: skip
        context.set_default_timeout(30_000)
        return context

    def _certutil(self, *arguments: str) -> None:
        subprocess.run(["certutil", "-d", f"sql:{self._store}", *arguments], check=True, capture_output=True)


@pytest.fixture
def phone(play: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[OwnTrust]:
    found = OwnTrust(play, tmp_path_factory.mktemp("phone"))
    yield found
    found.context.close()


def handed_over(server: AtHome, folder: Path) -> Path:
    """The certificate as the page hands it over, after its fingerprint was compared with the terminal's."""
    der = httpx.get(f"{server.hand_over}/suppertide-home.crt").content
    shown = subprocess.run(
        ["openssl", "x509", "-inform", "der", "-noout", "-fingerprint", "-sha256"],
        input=der, capture_output=True, check=True,
    )  # fmt: skip
    assert shown.stdout.decode().strip().split("=")[1].split(":") == server.fingerprint()
    path = folder / "authority.crt"
    path.write_text(ssl.DER_cert_to_PEM_cert(der))
    return path


def test_the_check_turns_green_when_the_phone_trusts_the_server(
    server: AtHome, phone: OwnTrust, tmp_path: Path
) -> None:
    page = phone.context.new_page()
    page.goto(f"{server.hand_over}/")
    expect(page.locator("[data-trust]")).to_contain_text("where no warning comes this phone trusts it")
    expect(page.locator("[data-trust]")).not_to_have_class(re.compile("notice--good"))
    assert page.locator(".fingerprint").inner_text().split() == server.fingerprint()
    with pytest.raises(BrowserError, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"{server.secure(ADDRESS)}/")
    phone.trust(handed_over(server, tmp_path))
    page = phone.context.new_page()
    page.goto(f"{server.hand_over}/kitchen")  # an address of the app, typed without the s
    expect(page).to_have_url(f"{server.hand_over}/")
    expect(page.locator("[data-trust]")).to_have_class(re.compile("notice--good"))
    expect(page.locator("[data-trust]")).to_contain_text("trusts the server")
    page.locator("[data-trust-go]").click()
    expect(page).to_have_url(f"{server.secure(ADDRESS)}/")
    expect(page.locator("h1 a[href^='/change/when']")).to_be_visible()


@pytest.mark.parametrize("host", [ADDRESS, NAME])
def test_the_kitchen_opens_over_https_with_the_server_dead(
    server: AtHome, phone: OwnTrust, tmp_path: Path, host: str
) -> None:
    phone.trust(handed_over(server, tmp_path))
    key = secrets.token_urlsafe(32)
    kitchen_id = server.kitchen(key)
    plan = server.bake(kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    phone.context.add_cookies([{"name": "suppertide", "value": key, "url": server.secure(host), "httpOnly": True}])
    page = phone.context.new_page()
    answer = page.goto(f"{server.secure(host)}/kitchen#{plan.bake_id}")
    assert answer
    assert page.evaluate("performance.getEntriesByType('navigation')[0].nextHopProtocol") == "h2"
    expect(page.locator("[data-step]")).to_be_visible()
    page.evaluate(IN_CHARGE)
    page.evaluate(PACKED, 1)
    page.close()
    server.kill()
    page = phone.context.new_page()
    page.goto(f"{server.secure(host)}/kitchen#{plan.bake_id}")
    expect(page.locator("[data-step]")).to_be_visible()
    expect(page.locator("#now-title")).to_be_visible()


def test_a_certificate_for_a_website_signed_with_our_own_key_is_refused(
    server: AtHome, phone: OwnTrust, tmp_path: Path
) -> None:
    """What a thief of the key could make; served here on an address of this machine."""
    phone.trust(handed_over(server, tmp_path))
    kept = (server.data / "certificates" / "authority.pem").read_bytes()
    signs, authority = load_pem_private_key(kept, None), x509.load_pem_x509_certificate(kept)
    assert isinstance(signs, ec.EllipticCurvePrivateKey)
    for name, error in (("bank.example", "ERR_CERT_INVALID|ERR_CERT_NAME_CONSTRAINT_VIOLATION"), (NAME, "")):
        key = ec.generate_private_key(ec.SECP256R1())
        leaf = make_leaf(signs, authority, key.public_key(), HomeNames((name,), ()), datetime.now(UTC), 90)
        chain = tmp_path / "stolen.pem"
        pem = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        chain.write_bytes(pem + leaf.public_bytes(Encoding.PEM))
        with one_answer(chain) as port:
            page = phone.context.new_page()
            if error:
                with pytest.raises(BrowserError, match=error):
                    page.goto(f"https://{name}:{port}/")
            else:  # the same way is taken where it may be, so the refusal above is about the name
                page.goto(f"https://{name}:{port}/")
                expect(page.locator("body")).to_have_text("in")


@contextmanager
def one_answer(chain: Path) -> Iterator[int]:
    """A bare TLS server with that certificate; its port."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(chain)

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:  # http.server calls it so
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(b"in")

        def log_message(self, *_: object) -> None:
            pass

    class Quiet(ThreadingHTTPServer):
        def handle_error(self, *_: object) -> None:
            pass  # refused by the browser, as it should

    httpd = Quiet((ADDRESS, 0), Page)
    httpd.socket = context.wrap_socket(httpd.socket, server_side=True)
    thread = threading.Thread(target=httpd.serve_forever)
    thread.start()
    try:
        yield httpd.server_address[1]
    finally:
        httpd.shutdown()
        thread.join()
        httpd.server_close()


def test_over_plain_http_the_app_works_and_says_in_a_line_what_is_missing(tmp_path: Path, play: Playwright) -> None:
    """`--network` without `--phone`, asked by a name that no browser takes for its own machine."""
    plain = Server(tmp_path).start()
    chromium = browsers.shell(play, f"--host-resolver-rules=MAP {NAME} 127.0.0.1")
    try:
        page = chromium.new_page()
        page.goto(f"http://{NAME}:{plain.port}/")
        expect(page.get_by_role("contentinfo")).to_contain_text("This address has no HTTPS")
        expect(page.get_by_role("contentinfo")).to_contain_text("--phone")
        page.goto(f"http://127.0.0.1:{plain.port}/")
        expect(page.get_by_role("contentinfo")).not_to_contain_text("no HTTPS")
    finally:
        chromium.close()
        plain.kill()


def test_after_sigterm_the_server_leaves_with_0(server: AtHome) -> None:
    assert server.process
    server.process.send_signal(signal.SIGTERM)
    assert server.process.wait(30) == 0, server.said()
