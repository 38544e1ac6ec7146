"""What the site's key signs, and the short name by which people compare a key with what they wrote down."""

import hashlib
from collections.abc import Mapping

from app.domain.canonical import canonical

SIGNED = ("site_key", "site_signature")  # By which key, and its signature; they cannot cover themselves.
GROUP, LENGTH = 4, 32


def statement(what: str, values: Mapping[str, object]) -> bytes:
    r"""Give the very bytes that are signed: what kind of thing it is, and its values in the one way of writing.

    >>> statement("head", {"seq": 3, "site_key": "1a2b"})
    b'wearbook head\n{"seq":3}'
    """
    return f"wearbook {what}\n{canonical({k: v for k, v in values.items() if k not in SIGNED})}".encode()


def fingerprint(public_key: str) -> str:
    """Name a public key (hexadecimal) so that it can be written down: half of its SHA-256 digest, in groups.

    >>> fingerprint("00" * 32)
    '6668-7aad-f862-bd77-6c8f-c18b-8e9f-8e20'
    """
    digest = hashlib.sha256(bytes.fromhex(public_key)).hexdigest()[:LENGTH]
    return "-".join(digest[place : place + GROUP] for place in range(0, LENGTH, GROUP))


def is_same_fingerprint(one: str, other: str) -> bool:
    """Whether two fingerprints are the same, however they were typed.

    >>> is_same_fingerprint("6668 7AAD", "6668-7aad")
    True
    """
    return _bare(one) == _bare(other)


def _bare(typed: str) -> str:
    """Leave the digits alone."""
    return "".join(sign for sign in typed.lower() if sign.isalnum())
