"""A push service of our own on this machine: takes messages as RFC 8030 says, checks and decrypts them."""

from __future__ import annotations

import json
import threading
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import http_ece
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, utils
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat


def b64(data: bytes) -> str:
    return urlsafe_b64encode(data).rstrip(b"=").decode()


def unb64(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


@dataclass
class Browser:
    """The keys that a browser makes when it subscribes (RFC 8291 2)."""

    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(ec.SECP256R1()))
    auth: bytes = b"sixteen bytes ok"

    @property
    def p256dh(self) -> str:
        return b64(self.key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint))

    def read(self, body: bytes) -> Any:
        return json.loads(http_ece.decrypt(body, private_key=self.key, auth_secret=self.auth, version="aes128gcm"))


@dataclass(frozen=True)
class Taken:
    """One message as it came in."""

    path: str
    headers: dict[str, str]
    body: bytes

    def claims(self) -> dict[str, Any]:
        """The signed claims (RFC 8292), the signature checked with the key that came along."""
        token, key = (
            part.partition("=")[2] for part in self.headers["Authorization"].removeprefix("vapid ").split(",")
        )
        signed, _, signature = token.rpartition(".")
        raw = unb64(signature)
        der = utils.encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
        public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), unb64(key))
        public.verify(der, signed.encode(), ec.ECDSA(hashes.SHA256()))
        claims: dict[str, Any] = json.loads(unb64(signed.partition(".")[2]))
        return claims | {"key": key}


class PushService:
    """Answers with `status` (and `headers`), or hangs up without a word; remembers what it took."""

    def __init__(self) -> None:
        self.status, self.headers, self.hangs_up = 201, dict[str, str](), False
        self.taken: list[Taken] = []
        outer = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:  # the library's spelling
                body = self.rfile.read(int(self.headers["Content-Length"]))
                outer.taken.append(Taken(self.path, dict(self.headers), body))
                if outer.hangs_up:
                    self.close_connection = True
                    return
                self.send_response(outer.status)
                for name, value in {"Content-Length": "0", **outer.headers}.items():
                    self.send_header(name, value)
                self.end_headers()

            def log_message(self, *_: object) -> None:
                """Silent."""

        self.http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.host = f"127.0.0.1:{self.http.server_port}"
        self.thread = threading.Thread(target=self.http.serve_forever, kwargs={"poll_interval": 0.01})
        self.thread.start()

    def endpoint(self, name: str = "one") -> str:
        return f"http://{self.host}/push/{name}"

    def stop(self) -> None:
        self.http.shutdown()
        self.thread.join()
        self.http.server_close()
