"""The site's own certificate authority: made once, kept in the data folder, and able to vouch for this site alone."""

import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import NameOID

from app.serving.addresses import Reached

YEARS_10 = timedelta(days=3650)
CLOCK_SLACK = timedelta(days=1)
# Addresses and names that only ever mean something within a site, so that whoever trusts this authority trusts it with
# nothing else: RFC 1918, 3927, 4193, 4291, 6762, 8375.
PRIVATE_NETWORKS = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7",
                    "fe80::/10", "::1/128")  # fmt: skip
PRIVATE_NAMES = ("localhost", "local", "lan", "internal", "home.arpa")


@dataclass(frozen=True)
class Authority:
    """An authority with its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        """The certificate as a tablet takes it; it holds nothing secret."""
        return self.certificate.public_bytes(Encoding.PEM)

    @property
    def fingerprint(self) -> str:
        """The digest by which a person compares the certificate on a tablet with the server's."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def open_authority(folder: Path, reached: Reached, now: datetime) -> Authority:
    """Open the authority of a folder; where there is none yet it is made, for the names the server has then."""
    certificate_path, key_path = folder / "authority.crt", folder / "authority.key"
    if not certificate_path.exists():
        authority = _made(reached, now)
        write_secret(key_path, authority.key)
        certificate_path.write_bytes(authority.pem)
    key = load_pem_private_key(key_path.read_bytes(), None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise TypeError(f"{key_path} is not the key of this authority.")
    return Authority(x509.load_pem_x509_certificate(certificate_path.read_bytes()), key)


def write_secret(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """Write a key so that nobody but the server's own user ever reads it, not even for a moment."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    path.unlink(missing_ok=True)
    text = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(text)


def _made(reached: Reached, now: datetime) -> Authority:
    """Make an authority that may vouch for private addresses, private names and the server's own."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Wearbook authority of {reached.names[0]}"[:64])])
    own = [x509.IPAddress(ip_network(one)) for one in reached.addresses]
    permitted = [x509.IPAddress(ip_network(one)) for one in PRIVATE_NETWORKS] + own
    names = [x509.DNSName(one) for one in dict.fromkeys([*PRIVATE_NAMES, *reached.names])]
    builder = begun(name, name, key.public_key(), key.public_key(), now, YEARS_10)
    builder = builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    builder = builder.add_extension(x509.NameConstraints([*names, *permitted], None), critical=True)
    builder = builder.add_extension(key_usage(is_authority=True), critical=True)
    return Authority(builder.sign(key, hashes.SHA256()), key)


def begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, by: ec.EllipticCurvePublicKey,
    now: datetime, lasts: timedelta,
) -> x509.CertificateBuilder:  # fmt: skip
    """Begin a certificate: whose it is, who gives it, and how long it holds; a tablet's clock may be a day behind."""
    return (
        x509.CertificateBuilder(subject_name=subject, issuer_name=issuer, public_key=key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - CLOCK_SLACK)
        .not_valid_after(now - CLOCK_SLACK + lasts)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by), critical=False)
    )


def key_usage(*, is_authority: bool) -> x509.KeyUsage:
    """What a key is for: an authority's signs certificates, a server's proves who answers."""
    return x509.KeyUsage(
        digital_signature=not is_authority, key_cert_sign=is_authority, crl_sign=is_authority,
        content_commitment=False, key_encipherment=False, data_encipherment=False, key_agreement=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip
