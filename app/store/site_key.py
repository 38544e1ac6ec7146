"""The site's key: an Ed25519 key in a file outside the book, which signs what the book holds."""

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)

from app.domain.errors import WearbookError
from app.domain.site_seal import fingerprint, statement


class KeyRefused(WearbookError):
    """The site's key is missing, is not the one that has signed this book, or cannot be read."""


@dataclass(frozen=True)
class SiteKey:
    """A key that signs for the site."""

    private: Ed25519PrivateKey

    @cached_property
    def public_key(self) -> str:
        """The public half, in hexadecimal."""
        return self.private.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw).hex()

    @cached_property
    def fingerprint(self) -> str:
        """The name by which people compare it."""
        return fingerprint(self.public_key)

    def sign(self, what: str, values: Mapping[str, object]) -> dict[str, object]:
        """Give the values with the key's name and its signature over them."""
        signature = self.private.sign(statement(what, values)).hex()
        return {**values, "site_key": self.fingerprint, "site_signature": signature}

    def signature_over(self, content: bytes) -> dict[str, str]:
        """Sign bytes that are no row, such as a manifest, as a file beside them says it."""
        signature = self.private.sign(content).hex()
        return {"algorithm": "Ed25519", "public_key": self.public_key, "signature": signature}


def is_signed(public_key: str, what: str, values: Mapping[str, object]) -> bool:
    """Whether values carry a signature of a key over them."""
    written = str(values.get("site_signature"))
    try:
        signature = bytes.fromhex(written)
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public_key)).verify(signature, statement(what, values))
    except (InvalidSignature, ValueError):
        return False
    return signature.hex() == written  # The same in other letters is a change too.


def find_site_key(path: Path) -> SiteKey | None:
    """Read the key of a file; None where there is no such file."""
    try:
        key = load_pem_private_key(path.read_bytes(), None)
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError) as reason:
        raise KeyRefused(f"The site's key {path} cannot be read: {reason}") from reason
    if not isinstance(key, Ed25519PrivateKey):
        raise KeyRefused(f"{path} is not a site's key: it is of another kind.")
    return SiteKey(key)


def open_site_key(path: Path) -> SiteKey:
    """Read the key of a file, and make it where there is none; of two that make it at once, one stands for both."""
    found = find_site_key(path)
    if found is not None:
        return found
    try:
        _make(path)
    except OSError as reason:
        raise KeyRefused(f"The site's key could not be made at {path}: {reason.strerror}.") from reason
    made = find_site_key(path)
    assert made is not None  # noqa: S101 - it was made just now
    return made


def _make(path: Path) -> None:
    """Write a new key for the server's own user alone; it has its name only once all of it is on the disk."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = Ed25519PrivateKey.generate().private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    unfinished = path.with_name(f"{path.name}.part{os.getpid()}")
    with suppress(FileNotFoundError):
        unfinished.unlink()
    try:
        with os.fdopen(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            os.link(unfinished, path)
    finally:
        unfinished.unlink(missing_ok=True)
