"""The certificate of a bay, looked at by Python's ssl, by cryptography's verifier and by openssl."""

from __future__ import annotations

import hashlib
import ipaddress
import shutil
import socket
import ssl
import stat
import subprocess
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from assistant.phone.certificate import CERTIFICATE, LASTS, RENEWED, certificate_at

NAMES = frozenset({"127.0.0.1", "bay.test"})  # RFC 2606
NOW = 1_795_000_000.0


def test_it_stands_for_the_bay_and_for_nothing_else(tmp_path: Path) -> None:
    from cryptography import x509
    from cryptography.x509.oid import ExtendedKeyUsageOID

    made = certificate_at(tmp_path, NAMES, NOW)
    own, root = x509.load_pem_x509_certificates(made.path.read_bytes())
    names = own.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.IPAddress) == [ipaddress.ip_address("127.0.0.1")]
    assert names.get_values_for_type(x509.DNSName) == ["bay.test"]
    assert list(own.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value) == [
        ExtendedKeyUsageOID.SERVER_AUTH
    ]
    assert not own.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert own.not_valid_after_utc - own.not_valid_before_utc <= timedelta(days=825)
    assert (
        made.fingerprint
        == own.fingerprint(x509.load_pem_x509_certificate(made.path.read_bytes()).signature_hash_algorithm)
        .hex(":")
        .upper()
    )
    assert (
        made.fingerprint.replace(":", "").lower()
        == hashlib.sha256(ssl.PEM_cert_to_DER_cert(_first(made.path))).hexdigest()
    )
    assert root.subject != own.subject
    assert stat.S_IMODE(made.path.stat().st_mode) == 0o600
    assert made.path.read_bytes().count(b"PRIVATE KEY") == 2  # one key, its begin and its end: none of the root


def _first(path: Path) -> str:
    text = path.read_text("ascii")
    begin, end = "-----BEGIN CERTIFICATE-----", "-----END CERTIFICATE-----"
    return begin + text.split(begin)[1].split(end)[0] + end


def test_a_browser_that_trusts_the_root_takes_it_and_openssl_too(tmp_path: Path) -> None:
    made = certificate_at(tmp_path, NAMES, time.time())
    root = tmp_path / "root.pem"
    root.write_text(ssl.DER_cert_to_PEM_cert(made.root))
    if shutil.which("openssl"):
        own = tmp_path / "own.pem"
        own.write_text(_first(made.path))
        said = subprocess.run(
            ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-verify_ip", "127.0.0.1",
             "-CAfile", root, own],
            capture_output=True, text=True, timeout=20,
        )  # fmt: skip
        assert said.returncode == 0, said.stderr
    client = ssl.create_default_context(cadata=ssl.DER_cert_to_PEM_cert(made.root))
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    shake(client, made.context(), "127.0.0.1")
    shake(client, made.context(), "bay.test")
    with pytest.raises(ssl.SSLCertVerificationError):
        shake(client, made.context(), "127.0.0.2")
    with pytest.raises(ssl.SSLCertVerificationError):
        shake(ssl.create_default_context(), made.context(), "127.0.0.1")


def shake(client: ssl.SSLContext, server: ssl.SSLContext, name: str) -> None:
    """Shake hands in memory."""
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    ends = [
        client.wrap_bio(to_client, to_server, server_hostname=name),
        server.wrap_bio(to_server, to_client, server_side=True),
    ]
    for turn in range(8):
        try:
            ends[turn % 2].do_handshake()
        except ssl.SSLWantReadError:
            continue


def test_it_stays_until_it_ends_soon_or_the_address_is_another(tmp_path: Path) -> None:
    made = certificate_at(tmp_path, NAMES, NOW)
    assert certificate_at(tmp_path, NAMES, NOW + 600 * 86_400) == made
    late = NOW + (LASTS - RENEWED).total_seconds()
    renewed = certificate_at(tmp_path, NAMES, late)
    assert renewed.fingerprint != made.fingerprint
    assert renewed.ends > datetime.fromtimestamp(late, UTC) + timedelta(days=800)
    moved = certificate_at(tmp_path, {"127.0.0.9"}, late)
    assert moved.fingerprint != renewed.fingerprint
    assert moved.names == {"127.0.0.9"}


def test_a_clock_that_is_wrong_is_told_and_leaves_it_alone(tmp_path: Path) -> None:
    made = certificate_at(tmp_path, NAMES, NOW)
    early = certificate_at(tmp_path, NAMES, 0.0)
    assert early.fingerprint == made.fingerprint
    assert early.warning.startswith("The clock of this computer says 1970-01-01")
    assert certificate_at(tmp_path, NAMES, NOW).warning == ""


@pytest.mark.parametrize(
    "broken", [b"", b"\xff\x00", b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"]
)
def test_what_is_broken_is_made_anew(tmp_path: Path, broken: bytes) -> None:
    path = tmp_path / CERTIFICATE
    path.write_bytes(broken)
    assert certificate_at(tmp_path, NAMES, NOW).fingerprint
    other = certificate_at(tmp_path / "other", NAMES, NOW)
    text = path.read_text()
    path.write_text(text[: text.index("-----BEGIN CERT")] + _first(other.path) + text[text.rindex("-----BEGIN CERT") :])
    assert certificate_at(tmp_path, NAMES, NOW).fingerprint not in (other.fingerprint, "")


def test_where_it_cannot_be_kept_the_fault_says_so(tmp_path: Path) -> None:
    (tmp_path / CERTIFICATE).mkdir()
    with pytest.raises(OSError, match="Is a directory"):
        certificate_at(tmp_path, NAMES, NOW)
    assert not list(tmp_path.glob("*.new"))


def test_a_server_shows_it(tmp_path: Path) -> None:
    made = certificate_at(tmp_path, NAMES, time.time())
    with socket.create_server(("127.0.0.1", 0)) as heard:
        assert (
            made.context().wrap_socket(heard, server_side=True, do_handshake_on_connect=False).context.minimum_version
            >= ssl.TLSVersion.TLSv1_2
        )
