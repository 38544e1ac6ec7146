"""Photos of parts: which part and reading each belongs to, its digest, and the withdrawal of a wrong one."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Withdrawal:
    """Why a photo is not shown as evidence any more; the photo itself stays in the book."""

    reason: str
    person: str
    at: datetime


@dataclass(frozen=True)
class Photo:
    """One photo as it is kept: the picture itself is found by the digest over its bytes."""

    id: str  # the tablet's identifier
    part: str
    reading: str  # the identifier of the reading it shows, or nothing
    note: str
    digest: str  # SHA-256 of the picture as kept
    sent_digest: str  # SHA-256 of the file as it was sent
    width: int
    height: int
    person: str
    at: datetime
    withdrawn: Withdrawal | None = None
    taken_at: datetime | None = None  # when it was kept on the tablet; None where no tablet says

    @property
    def stands(self) -> bool:
        """Whether it has not been withdrawn."""
        return self.withdrawn is None
