"""Passwords: what is asked of one, and its argon2id digest."""

from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from app.domain.errors import InputRefused

SHORTEST = 12
LONGEST = 200
SAFELY_MANY = 3  # of zxcvbn's scores 0 to 4: more than 10^8 guesses, with common passwords and patterns tried first
LONGEST_SCORED = 72  # zxcvbn takes no more; what comes after can only add to the guesses
OF_THIS_PLACE = ("wearbook", "compressor", "overhaul", "fitter", "engineer", "auditor")
HASHER = PasswordHasher()  # argon2id with the library's current parameters
KNOWN_TO_ALL = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)  # of passwords that stand on a page for all


def digest_password(password: str, field: str = "password", name: str = "", hasher: PasswordHasher = HASHER) -> str:
    """Turn a password into its digest; InputRefused when it is too short, too long, or among the first to be tried."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise InputRefused(
            {field: f"A password has {SHORTEST} to {LONGEST} characters; a few words together are good."}
        )
    if is_easily_guessed(password, name):
        raise InputRefused(
            {field: "This is among the first passwords that would be tried. A few words without connection are good."}
        )
    return hasher.hash(password)


def is_easily_guessed(password: str, name: str = "") -> bool:
    """Whether it is a common password, a pattern of keys, a repetition, or made of the name or this trade."""
    from zxcvbn import zxcvbn  # type: ignore[import-untyped] # noqa: PLC0415  heavy word lists, seldom needed

    known = [*OF_THIS_PLACE, name, *name.replace(".", " ").split()]
    return int(zxcvbn(password[:LONGEST_SCORED], user_inputs=known)["score"]) < SAFELY_MANY


def is_password(password: str, digest: str) -> bool:
    """Whether a password belongs to a digest; as slow for a wrong one as for the right one."""
    try:
        return HASHER.verify(digest, password)
    except (VerificationError, InvalidHashError):
        return False


@cache
def nobody() -> str:
    """Give what is checked when no such person exists, so that the answer takes as long as for one that does."""
    return HASHER.hash("nobody has this password")
