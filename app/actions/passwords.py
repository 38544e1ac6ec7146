"""Passwords: what is asked of one, and its argon2id digest."""

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from app.domain.errors import InputRefused

SHORTEST = 10
LONGEST = 200
HASHER = PasswordHasher()  # argon2id with the library's current parameters


def digest_password(password: str, field: str = "password") -> str:
    """Turn a password into its digest; InputRefused when it is too short or too long."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise InputRefused(
            {field: f"A password has {SHORTEST} to {LONGEST} characters; a few words together are good."}
        )
    return HASHER.hash(password)


def is_password(password: str, digest: str) -> bool:
    """Whether a password belongs to a digest; as slow for a wrong one as for the right one."""
    try:
        return HASHER.verify(digest, password[:LONGEST])
    except (VerificationError, InvalidHashError):
        return False


# Checked when no such person exists, so that the answer takes as long as for one that does.
NOBODY = HASHER.hash("nobody has this password")
