"""The household's own certificate authority, and the certificate it signs for this machine.

An authority that a phone trusts could open every website if its key were stolen. So this one may vouch for private
addresses and for names that exist at home only (name constraints, RFC 5280 4.2.1.10, critical), and its key is treated
as dangerous all the same, since not every client holds an authority to that: readable by its owner alone, in no
export, and thrown away after signing when asked to.
"""

from __future__ import annotations

import ipaddress
import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from webapp.core.errors import PlanError
from webapp.machine.home_names import DOMAINS, NETWORKS, HomeNames
from webapp.words.problems.told import refused

FOLDER = "certificates"
LEAF_DAYS = 390  # below the 398 days that browsers have agreed on for certificates of the internet
FORGOTTEN_DAYS = 825  # the most that phones take from an authority their owner put in
AUTHORITY_DAYS = 3650
RENEW_DAYS = 30  # before its end
_ALREADY = timedelta(hours=1)  # a phone's clock may be a little behind

Key = ec.EllipticCurvePrivateKey
Held = tuple[Key | None, x509.Certificate]  # the authority: its key unless thrown away, its certificate
Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Issued:
    """What the server needs. `chain` holds key, certificate and authority in one file, so that it changes at once."""

    chain: Path
    authority: x509.Certificate
    leaf: x509.Certificate
    forgotten: bool = False  # the authority's key was thrown away: nothing can be renewed
    new_authority: bool = False  # phones have to be handed the certificate again
    uncovered: tuple[str, ...] = ()  # names that are not in it, because of `forgotten`

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the authority's certificate, as phones show it."""
        return ":".join(f"{byte:02X}" for byte in self.authority.fingerprint(hashes.SHA256()))

    @property
    def name(self) -> str:
        """What phones list the authority as."""
        return str(self.authority.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)

    @property
    def authority_der(self) -> bytes:
        """The authority's certificate as phones take it."""
        return self.authority.public_bytes(Encoding.DER)

    @property
    def ends(self) -> datetime:
        """When the server's own certificate ends, UTC."""
        return self.leaf.not_valid_after_utc


class Household:
    """The authority and the leaf in one folder. Nothing is read at import; `ready` makes what is missing."""

    def __init__(self, data: Path, now: Clock = lambda: datetime.now(UTC)) -> None:
        """`data`: the data folder; `now`: UTC."""
        self._folder = data / FOLDER
        self._now = now
        self._authority_file = self._folder / "authority.pem"
        self._leaf_file = self._folder / "server.pem"

    def ready(self, home: HomeNames, forget: bool = False) -> Issued:
        """A certificate that holds for `home`, made or renewed where needed.

        `forget`: throw the authority's key away after signing; the leaf then lasts for as long as phones allow.
        Raises OSError when the folder cannot be written, PlanError when the authority's file is damaged. A damaged
        server.pem is signed anew.
        """
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        held = self._held()
        leaf = self._leaf_of(held) if held else None
        if held and leaf and held[0] is None and self._lasts(held[1], leaf, 0):
            return Issued(self._leaf_file, held[1], leaf, forgotten=True, uncovered=missing(leaf, home))
        if held and leaf and not forget and self._lasts(held[1], leaf, RENEW_DAYS) and not missing(leaf, home):
            return Issued(self._leaf_file, held[1], leaf)
        key, authority, new = self._authority(held)
        leaf = self._sign(key, authority, home, FORGOTTEN_DAYS if forget else LEAF_DAYS)
        if forget:
            _write(self._authority_file, _pem(authority))
        return Issued(self._leaf_file, authority, leaf, forgotten=forget, new_authority=new)

    def _held(self) -> Held | None:
        """The authority as it lies here; None when there is none yet. Raises PlanError for a file that holds none: a
        new one is not made by itself, since every phone would have to be handed it."""
        if not self._authority_file.exists():
            return None
        kept = self._authority_file.read_bytes()
        try:
            authority = x509.load_pem_x509_certificate(kept)
            key = load_pem_private_key(kept, None) if b"PRIVATE KEY" in kept else None
        except (ValueError, TypeError, UnsupportedAlgorithm):  # TypeError: it asks for a password
            raise _damaged(self._authority_file) from None
        if key is None:
            return None, authority
        if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != authority.public_key():
            raise _damaged(self._authority_file)
        return key, authority

    def _leaf_of(self, held: Held) -> x509.Certificate | None:
        """The server's own certificate; None when it is not there, damaged, or not of that authority."""
        if not self._leaf_file.exists():
            return None
        kept = self._leaf_file.read_bytes()
        try:
            leaf = x509.load_pem_x509_certificate(kept)
            leaf.verify_directly_issued_by(held[1])
            whole = load_pem_private_key(kept, None).public_key() == leaf.public_key()
        except (ValueError, TypeError, UnsupportedAlgorithm, InvalidSignature):
            return None
        return leaf if whole else None

    def _lasts(self, authority: x509.Certificate, leaf: x509.Certificate, days: int) -> bool:
        end = self._now() + timedelta(days=days)
        return leaf.not_valid_after_utc > end and authority.not_valid_after_utc > end

    def _authority(self, held: Held | None) -> tuple[Key, x509.Certificate, bool]:
        if held and held[0] and held[1].not_valid_after_utc > self._now() + timedelta(days=RENEW_DAYS):
            return held[0], held[1], False
        key = ec.generate_private_key(ec.SECP256R1())
        authority = make_authority(key, self._now())
        _write(self._authority_file, _pem(key) + _pem(authority))
        return key, authority, True

    def _sign(self, by: Key, authority: x509.Certificate, home: HomeNames, days: int) -> x509.Certificate:
        key = ec.generate_private_key(ec.SECP256R1())
        leaf = make_leaf(by, authority, key.public_key(), home, self._now(), days)
        _write(self._leaf_file, _pem(key) + _pem(leaf) + _pem(authority))
        return leaf


def make_authority(key: Key, now: datetime) -> x509.Certificate:
    """A certificate that may sign for this household and for nobody else; its name tells households apart."""
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Suppertide at home {secrets.token_hex(3)}")])
    permitted: list[x509.GeneralName] = [x509.DNSName(domain) for domain in DOMAINS]
    permitted += [x509.IPAddress(net) for net in NETWORKS]
    begin = now - _ALREADY
    return (
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(begin + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def make_leaf(
    by: Key, authority: x509.Certificate, key: ec.EllipticCurvePublicKey, home: HomeNames, now: datetime, days: int
) -> x509.Certificate:
    """A server's certificate for these names and addresses, `days` long but no longer than its authority."""
    begin = now - _ALREADY
    others: list[x509.GeneralName] = [x509.DNSName(name) for name in home.names]
    others += [x509.IPAddress(address) for address in home.addresses]
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Suppertide server")])
    return (
        x509.CertificateBuilder(authority.subject, subject, key, x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(min(begin + timedelta(days=days), authority.not_valid_after_utc))
        .add_extension(x509.SubjectAlternativeName(others), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by.public_key()), critical=False)
        .sign(by, hashes.SHA256())
    )


def missing(leaf: x509.Certificate, home: HomeNames) -> tuple[str, ...]:
    """What of `home` the certificate does not cover."""
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    covered = {*names.get_values_for_type(x509.DNSName), *map(str, names.get_values_for_type(x509.IPAddress))}
    return tuple(one for one in (*home.names, *map(str, home.addresses)) if one not in covered)


def covers(leaf: x509.Certificate, host: str) -> bool:
    """Whether the certificate holds for this host of an address line."""
    bare = host.strip("[]")
    try:
        return not missing(leaf, HomeNames((), (ipaddress.ip_address(bare),)))
    except ValueError:
        return not missing(leaf, HomeNames((bare,), ()))


def _usage(signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates, content_commitment=False, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=signs_certificates, crl_sign=signs_certificates,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _damaged(file: Path) -> PlanError:
    return refused(
        "certificate",
        f"The household's certificate cannot be read: {file} is damaged.",
        "Put back a copy of it. Without one, move the file away: a new one is made, and every phone handed it again.",
    )


def _pem(one: Key | x509.Certificate) -> bytes:
    if isinstance(one, x509.Certificate):
        return one.public_bytes(Encoding.PEM)
    return one.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _write(path: Path, data: bytes) -> None:
    """All of it or nothing, readable by its owner alone from the first byte on."""
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)
    finally:
        draft.unlink(missing_ok=True)
