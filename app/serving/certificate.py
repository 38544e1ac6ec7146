"""The server's certificate: given by the site's authority, and given again at the start where it no longer fits."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from app.serving.addresses import Reached
from app.serving.authority import Authority, begun, key_usage, open_authority, write_secret

LASTS = timedelta(days=397)  # tablets refuse a server's certificate of more than 398 days
RENEWED_BEFORE_ITS_END = timedelta(days=60)


@dataclass(frozen=True)
class Trust:
    """What tablets are told so that they trust the server: where it is, and by whose word."""

    address: str
    way_in: str
    authority_pem: bytes
    fingerprint: str
    ends: datetime


@dataclass(frozen=True)
class Credentials:
    """The files the server speaks TLS with, and what it tells tablets."""

    certificate_path: Path
    key_path: Path
    trust: Trust


def open_credentials(folder: Path, reached: Reached, port: int, way_in_port: int, now: datetime) -> Credentials:
    """Open authority and certificate of a folder; what is missing, near its end or for other names is made."""
    authority = open_authority(folder, reached, now)
    certificate_path, key_path = folder / "server.crt", folder / "server.key"
    if not (key_path.exists() and _is_good(certificate_path, authority, reached, now)):
        key = ec.generate_private_key(ec.SECP256R1())
        certificate = _given(authority, key, reached, now)
        write_secret(key_path, key)
        certificate_path.write_bytes(certificate.public_bytes(Encoding.PEM))
    ends = authority.certificate.not_valid_after_utc
    address, way_in = f"https://{reached.first}:{port}", f"http://{reached.first}:{way_in_port}/trust"
    trust = Trust(address, way_in, authority.pem, authority.fingerprint, ends)
    return Credentials(certificate_path, key_path, trust)


def _is_good(path: Path, authority: Authority, reached: Reached, now: datetime) -> bool:
    """Whether the certificate at hand is by this authority, for these very names, and holds a while yet."""
    if not path.exists():
        return False
    found = x509.load_pem_x509_certificate(path.read_bytes())
    names = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    try:
        found.verify_directly_issued_by(authority.certificate)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return set(names) == set(_names(reached)) and found.not_valid_after_utc - now > RENEWED_BEFORE_ITS_END


def _given(authority: Authority, key: ec.EllipticCurvePrivateKey, reached: Reached, now: datetime) -> x509.Certificate:
    """Let the authority vouch for the server's key under all of its names."""
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Wearbook")])
    by = authority.key.public_key()
    builder = begun(name, authority.certificate.subject, key.public_key(), by, now, LASTS)
    builder = builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    builder = builder.add_extension(x509.SubjectAlternativeName(_names(reached)), critical=False)
    builder = builder.add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    builder = builder.add_extension(key_usage(is_authority=False), critical=True)
    return builder.sign(authority.key, hashes.SHA256())


def _names(reached: Reached) -> list[x509.GeneralName]:
    """Write names and addresses as a certificate holds them."""
    return [*map(x509.DNSName, reached.names), *map(x509.IPAddress, reached.addresses)]
