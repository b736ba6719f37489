"""The household's certificates, judged by two programs that did not make them: OpenSSL's command and the verifier of
the cryptography package (RFC 5280 with the web's profile)."""

from __future__ import annotations

import ipaddress
import os
import ssl
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, load_pem_private_key
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from webapp.core.errors import PlanError
from webapp.machine.home_names import HomeNames, here
from webapp.server.certificates import (
    FORGOTTEN_DAYS,
    LEAF_DAYS,
    RENEW_DAYS,
    Household,
    Issued,
    covers,
    make_authority,
    make_leaf,
)
from webapp.words.problems.told import all_in_words

NOW = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)
HOME = here(host_name="hallway", found=("192.168.7.20",))
ELSEWHERE = here(host_name="hallway", found=("192.168.7.99",))


def made(data: Path, now: datetime = NOW, home: HomeNames = HOME, forget: bool = False) -> Issued:
    return Household(data, lambda: now).ready(home, forget)


def authority_key(data: Path) -> ec.EllipticCurvePrivateKey:
    key = load_pem_private_key((data / "certificates" / "authority.pem").read_bytes(), None)
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    return key


def verified(authority: x509.Certificate, leaf: x509.Certificate, host: str, at: datetime = NOW) -> bool:
    try:
        subject: x509.DNSName | x509.IPAddress = x509.IPAddress(ipaddress.ip_address(host))
    except ValueError:
        subject = x509.DNSName(host)
    verifier = PolicyBuilder().store(Store([authority])).time(at).build_server_verifier(subject)
    try:
        verifier.verify(leaf, [])
    except VerificationError:
        return False
    return True


def openssl_says(folder: Path, authority: x509.Certificate, leaf: x509.Certificate, *more: str) -> str:
    for name, one in (("authority", authority), ("leaf", leaf)):
        (folder / f"{name}.pem").write_bytes(one.public_bytes(Encoding.PEM))
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-attime", str(int(NOW.timestamp()))]
    files = ["-CAfile", str(folder / "authority.pem"), str(folder / "leaf.pem")]
    run = subprocess.run([*command, *more, *files], capture_output=True, text=True, check=False)
    return run.stdout + run.stderr


@pytest.mark.parametrize("host", ["192.168.7.20", "127.0.0.1", "hallway.local"])
def test_two_outside_verifiers_take_the_certificate_for_each_of_its_names(tmp_path: Path, host: str) -> None:
    issued = made(tmp_path)
    assert verified(issued.authority, issued.leaf, host)
    check = ["-verify_ip", host] if host[0].isdigit() else ["-verify_hostname", host]
    assert openssl_says(tmp_path, issued.authority, issued.leaf, *check).strip().endswith("leaf.pem: OK")


@pytest.mark.parametrize("host", ["192.168.7.21", "cellar.local", "bank.example"])
def test_it_holds_for_no_other_name(tmp_path: Path, host: str) -> None:
    issued = made(tmp_path)
    assert not verified(issued.authority, issued.leaf, host)
    assert not covers(issued.leaf, host)


FOREIGN = ("bank.example", "hallway", "evil.kitchen", "local.example", "192.0.2.7", "8.8.8.8", "2001:db8::7")


@pytest.mark.parametrize("host", FOREIGN)
def test_what_a_stolen_key_signs_for_the_internet_is_refused_by_both(tmp_path: Path, host: str) -> None:
    issued = made(tmp_path)
    try:
        stolen = HomeNames((), (ipaddress.ip_address(host),))
    except ValueError:
        stolen = HomeNames((host,), ())
    thief = ec.generate_private_key(ec.SECP256R1())
    leaf = make_leaf(authority_key(tmp_path), issued.authority, thief.public_key(), stolen, NOW, LEAF_DAYS)
    assert not verified(issued.authority, leaf, host)
    assert "permitted subtree violation" in openssl_says(tmp_path, issued.authority, leaf)


def test_a_stolen_key_makes_no_further_authority(tmp_path: Path) -> None:
    issued = made(tmp_path)
    second_key = ec.generate_private_key(ec.SECP256R1())
    second = make_authority(second_key, NOW)
    assert second.extensions.get_extension_for_class(x509.BasicConstraints).value.path_length == 0
    constraints = issued.authority.extensions.get_extension_for_class(x509.NameConstraints)
    usage = issued.authority.extensions.get_extension_for_class(x509.KeyUsage)
    assert constraints.critical
    assert usage.critical
    assert usage.value.key_cert_sign


@pytest.mark.skipif(os.name != "posix", reason="file modes")
def test_only_their_owner_reads_the_files(tmp_path: Path) -> None:
    made(tmp_path)
    folder = tmp_path / "certificates"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert {path.name: path.stat().st_mode & 0o777 for path in folder.iterdir()} == {
        "authority.pem": 0o600,
        "server.pem": 0o600,
    }


def test_a_second_start_changes_nothing(tmp_path: Path) -> None:
    first = made(tmp_path)
    second = made(tmp_path, NOW + timedelta(days=LEAF_DAYS - RENEW_DAYS - 1))
    assert (second.leaf, second.authority) == (first.leaf, first.authority)
    assert first.new_authority
    assert not second.new_authority


def test_it_is_renewed_a_month_before_its_end_under_the_same_authority(tmp_path: Path) -> None:
    first = made(tmp_path)
    later = NOW + timedelta(days=LEAF_DAYS - RENEW_DAYS)
    second = made(tmp_path, later)
    assert second.leaf != first.leaf
    assert second.fingerprint == first.fingerprint
    assert not second.new_authority
    assert verified(second.authority, second.leaf, "hallway.local", later + timedelta(days=LEAF_DAYS - 1))


def test_it_is_renewed_when_the_address_of_the_machine_changes(tmp_path: Path) -> None:
    first = made(tmp_path)
    second = made(tmp_path, home=ELSEWHERE)
    assert not covers(first.leaf, "192.168.7.99")
    assert verified(second.authority, second.leaf, "192.168.7.99")
    assert second.fingerprint == first.fingerprint


def test_no_certificate_lasts_longer_than_browsers_and_phones_take(tmp_path: Path) -> None:
    """398 days: CA/Browser Forum, Baseline Requirements 6.3.2. 825: the same rule of before 2020, which phones still
    apply to authorities that their owner has put in."""
    usual, forgotten = made(tmp_path / "a").leaf, made(tmp_path / "b", forget=True).leaf
    assert usual.not_valid_after_utc - usual.not_valid_before_utc == timedelta(days=390)
    assert forgotten.not_valid_after_utc - forgotten.not_valid_before_utc == timedelta(days=825)


def test_a_forgotten_authority_signs_nothing_any_more_and_its_certificate_can_still_be_handed_over(
    tmp_path: Path,
) -> None:
    first = made(tmp_path)
    forgotten = made(tmp_path, forget=True)
    assert forgotten.fingerprint == first.fingerprint
    assert b"PRIVATE" not in (tmp_path / "certificates" / "authority.pem").read_bytes()
    for forget in (False, True):
        moved = made(tmp_path, home=ELSEWHERE, forget=forget)
        assert moved.leaf == forgotten.leaf
        assert moved.forgotten
        assert moved.uncovered == ("192.168.7.99",)
    over = made(tmp_path, NOW + timedelta(days=FORGOTTEN_DAYS))
    assert over.new_authority
    assert over.fingerprint != first.fingerprint


def test_the_files_are_what_a_tls_server_reads(tmp_path: Path) -> None:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made(tmp_path).chain)


@pytest.mark.parametrize("name", ["bread.example", "kitchen", "8.8.8.8", "2001:db8::1", ".local", "a b.local", "local"])
def test_a_name_that_is_not_private_is_refused_with_the_way_out(name: str) -> None:
    with pytest.raises(PlanError) as caught:
        here((name,), "hallway", ())
    assert caught.value.problems[0].field == "home_names"


def test_names_come_from_the_machine_and_its_owner_and_all_are_private() -> None:
    home = here(("bread.home.arpa", "10.1.2.3", "[fd00::7]"), "Hallway.example.com", ("192.168.7.20", "203.0.113.9"))
    assert home.names == ("bread.home.arpa", "hallway.local")
    assert [str(one) for one in home.addresses] == ["10.1.2.3", "fd00::7", "192.168.7.20", "127.0.0.1"]
    assert here((), "localhost", ()).names == ()
    assert here((), "no_dns_name", ()).names == ()


DAMAGED = {
    "empty": lambda kept: b"",
    "cut short": lambda kept: kept[:150],
    "no certificate": lambda _: b"-----BEGIN CERTIFICATE-----\nhello\n-----END CERTIFICATE-----\n",
}


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_certificate_of_the_server_is_signed_anew_and_no_phone_notices(tmp_path: Path, how: str) -> None:
    first = made(tmp_path)
    first.chain.write_bytes(DAMAGED[how](first.chain.read_bytes()))
    second = made(tmp_path)
    assert not second.new_authority
    assert second.fingerprint == first.fingerprint
    assert verified(first.authority, second.leaf, "hallway.local")
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(second.chain)


def test_a_certificate_that_is_gone_or_another_households_is_signed_anew(tmp_path: Path) -> None:
    first, other = made(tmp_path / "a"), made(tmp_path / "b")
    first.chain.unlink()
    assert made(tmp_path / "a").fingerprint == first.fingerprint
    first.chain.write_bytes(other.chain.read_bytes())
    second = made(tmp_path / "a")
    assert second.fingerprint == first.fingerprint
    assert verified(first.authority, second.leaf, "hallway.local")


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_authority_is_told_of_with_its_file_and_left_as_it_is(tmp_path: Path, how: str) -> None:
    """A new one made by itself would shut out every phone that was handed the old one."""
    made(tmp_path)
    file = tmp_path / "certificates" / "authority.pem"
    file.write_bytes(DAMAGED[how](file.read_bytes()))
    left = file.read_bytes()
    with pytest.raises(PlanError) as caught:
        made(tmp_path)
    (said,) = all_in_words(caught.value.problems)
    assert str(file) in said.message
    assert "move the file away" in said.way_out
    assert file.read_bytes() == left
    file.unlink()
    assert made(tmp_path).new_authority


def test_a_key_that_is_another_authoritys_is_told_of(tmp_path: Path) -> None:
    one, other = (tmp_path / name / "certificates" / "authority.pem" for name in "ab")
    made(tmp_path / "a"), made(tmp_path / "b")
    marker = b"-----BEGIN CERTIFICATE-----"
    one.write_bytes(one.read_bytes().split(marker)[0] + marker + other.read_bytes().split(marker)[1])
    with pytest.raises(PlanError):
        made(tmp_path / "a")
