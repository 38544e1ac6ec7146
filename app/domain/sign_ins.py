"""Sign-ins: how long one stands, when it asks for the password again, and how slowly a password may be guessed."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import Enum, auto

from app.domain.people import Person
from app.domain.preferences import Preferences

FREE_TRIES = 4
FIRST_WAIT_S, LONGEST_WAIT_S = 5, 300


class Standing(Enum):
    """What a sign-in still opens."""

    OPEN = auto()
    LOCKED = auto()
    OVER = auto()


@dataclass(frozen=True)
class SignIn:
    """One person on one device; the handle names it on pages and opens nothing."""

    person: Person
    handle: str
    began: datetime
    last_seen: datetime
    device: str = ""
    address: str = ""
    preferences: Preferences = field(default_factory=Preferences)  # the person's, on every device


@dataclass(frozen=True)
class HowLong:
    """How long a sign-in stands: idle before it locks (zero never), unused before it ends, and at the longest."""

    idle: timedelta
    unused: timedelta
    longest: timedelta


def standing_of(sign_in: SignIn, how_long: HowLong, now: datetime) -> Standing:
    """Tell whether a sign-in is open, locked until the password is given again, or over."""
    unused = now - sign_in.last_seen
    if unused >= how_long.unused or now - sign_in.began >= how_long.longest:
        return Standing.OVER
    return Standing.LOCKED if how_long.idle and unused >= how_long.idle else Standing.OPEN


def wait_after(wrong: int) -> timedelta:
    """Give the wait after so many wrong passwords in a row: none at first, then doubled each time up to five minutes.

    >>> [int(wait_after(wrong).total_seconds()) for wrong in (3, 4, 5, 6, 50)]
    [0, 5, 10, 20, 300]
    """
    if wrong < FREE_TRIES:
        return timedelta(0)
    doubled = FIRST_WAIT_S * 2 ** min(wrong - FREE_TRIES, 10)
    return timedelta(seconds=min(doubled, LONGEST_WAIT_S))
