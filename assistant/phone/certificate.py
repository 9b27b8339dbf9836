"""The certificate of a bay: made for its address and name, kept with its key, renewed in time. Adapter of cryptography.

A browser gives its microphone only to a page that came over TLS, and no public authority signs for an address in a
workshop's network. So the bay signs for itself: a root is made, signs one certificate for this one bay, and its key is
thrown away at once. Whoever takes the root for good on a phone trusts this certificate by it and never another one,
for nobody can sign with it any more, a thief of this folder included.
"""

from __future__ import annotations

import hashlib
import ipaddress
import ssl
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.files import FileFault, private_folder, read_file, replace_private

if TYPE_CHECKING:
    from cryptography import x509

LASTS = timedelta(days=820)
"""Some phones take none that lasts longer than 825 days, roots that people trust themselves included (from memory)."""
RENEWED = timedelta(days=30)
"""So long before its end it is made anew."""
_BEFORE = timedelta(days=1)
"""It begins so long ago, for phones whose clock is slow."""
_MOST_BYTES = 64_000
CERTIFICATE = "https.pem"


@dataclass(frozen=True, slots=True)
class Certificate:
    """What a bay shows to browsers, and how people know it."""

    path: Path
    """Key, certificate and root in one file, for its owner alone."""
    names: frozenset[str]
    """The addresses and names that it stands for."""
    begins: datetime
    ends: datetime
    fingerprint: str
    """SHA-256 of the certificate, as browsers show it: pairs of hexadecimal digits, parted by colons."""
    root: bytes
    """The root, in DER, for a phone that wants to keep it."""
    warning: str = ""
    """A sentence about a clock that is wrong, or ""."""

    def context(self) -> ssl.SSLContext:
        """Return what a server needs: TLS 1.2 or newer, and this certificate."""
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        context.load_cert_chain(self.path)
        return context


def certificate_at(folder: Path, names: Iterable[str], now: float) -> Certificate:
    """Return the certificate that is kept in ``folder``, made anew where it must be. ``now`` [s since the epoch].

    It must be where there is none that can be read, it stands for other ``names`` (addresses and names of this bay), or
    it ends within 30 days. One that begins only later is kept, and warned of: this computer's clock is wrong then.

    Raises:
        OSError: it cannot be kept.
    """
    path, wanted = folder / CERTIFICATE, frozenset(names)
    today = datetime.fromtimestamp(now, UTC)
    kept = _read(path)
    if kept is not None and kept.names == wanted and today < kept.ends - RENEWED:
        return kept if kept.begins <= today else _warned(kept, today)
    private_folder(folder)
    replace_private(path, _made(wanted, today))
    made = _read(path)
    if made is None:
        raise OSError(0, "what was written there cannot be read again", str(path))
    return made


def _warned(kept: Certificate, today: datetime) -> Certificate:
    warning = (
        f"The clock of this computer says {today:%Y-%m-%d}, but the certificate in {kept.path} is of "
        f"{kept.begins:%Y-%m-%d}: set the clock, the certificate is kept."
    )
    return Certificate(kept.path, kept.names, kept.begins, kept.ends, kept.fingerprint, kept.root, warning)


def _read(path: Path) -> Certificate | None:
    """Return what is kept, when it is whole: its key belongs to it, and it was signed by its root."""
    from cryptography import x509  # noqa: PLC0415 - only a bay with HTTPS needs it
    from cryptography.exceptions import InvalidSignature  # noqa: PLC0415
    from cryptography.hazmat.primitives.serialization import Encoding, load_pem_private_key  # noqa: PLC0415

    data = read_file(path, _MOST_BYTES, "the certificate of this bay", no_link=True)
    if isinstance(data, FileFault):
        return None
    try:
        key = load_pem_private_key(data, None)
        own, root = x509.load_pem_x509_certificates(data)
        own.verify_directly_issued_by(root)
        names = own.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, TypeError, InvalidSignature, x509.ExtensionNotFound):
        return None
    if own.public_key() != key.public_key():
        return None
    if path.stat().st_mode & 0o077:
        path.chmod(0o600)
    der = own.public_bytes(Encoding.DER)
    digits = hashlib.sha256(der).hexdigest().upper()
    return Certificate(
        path,
        frozenset(str(name) for kind in (x509.DNSName, x509.IPAddress) for name in names.get_values_for_type(kind)),
        own.not_valid_before_utc,
        own.not_valid_after_utc,
        ":".join(digits[at : at + 2] for at in range(0, len(digits), 2)),
        root.public_bytes(Encoding.DER),
    )


def _made(names: frozenset[str], today: datetime) -> bytes:
    """Return a new key, its certificate and the root that signed it, in PEM."""
    from cryptography import x509  # noqa: PLC0415 - only a bay with HTTPS needs it
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat  # noqa: PLC0415
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID  # noqa: PLC0415

    signing, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    shown = sorted(names)[0][:64]
    root_name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Root of the bay {shown}"[:64])])
    own_name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, shown)])

    def begun(subject: x509.Name, public: ec.EllipticCurvePublicKey, *, is_root: bool) -> x509.CertificateBuilder:
        signs = x509.KeyUsage(
            digital_signature=not is_root, key_cert_sign=is_root, crl_sign=False, content_commitment=False,
            key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False,
            decipher_only=False,
        )  # fmt: skip
        return (
            x509.CertificateBuilder()
            .subject_name(subject)
            .issuer_name(root_name)
            .public_key(public)
            .serial_number(x509.random_serial_number())
            .not_valid_before(today - _BEFORE)
            .not_valid_after(today - _BEFORE + LASTS)
            .add_extension(x509.BasicConstraints(ca=is_root, path_length=0 if is_root else None), critical=True)
            .add_extension(signs, critical=True)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
            .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signing.public_key()), critical=False)
        )

    root = begun(root_name, signing.public_key(), is_root=True).sign(signing, hashes.SHA256())
    own = (
        begun(own_name, key.public_key(), is_root=False)
        .add_extension(x509.SubjectAlternativeName([_general(name) for name in sorted(names)]), critical=False)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(signing, hashes.SHA256())
    )
    private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return private + own.public_bytes(Encoding.PEM) + root.public_bytes(Encoding.PEM)


def _general(name: str) -> x509.GeneralName:
    from cryptography import x509  # noqa: PLC0415 - only a bay with HTTPS needs it

    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)
