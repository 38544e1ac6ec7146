"""Approvals of limit sheets: whose signature stands under the limits that an overhaul is judged by."""

from dataclasses import dataclass
from datetime import datetime

NOT_APPROVED = "limits not approved by signature"


@dataclass(frozen=True)
class Approval:
    """A chief engineer's signature under a revision."""

    sheet_digest: str  # of the text that was approved
    picture: str | None  # the digest of the picture of its source page, where one was given
    person: str
    at: datetime
    digest: str


def approval_words(approvals: tuple[Approval, ...], decided_at: datetime | None) -> str:
    """Say that the limits are approved by signature; that nobody signed, or only after the decisions, too."""
    if not approvals:
        return NOT_APPROVED.upper()
    is_late = decided_at is not None and all(each.at > decided_at for each in approvals)
    return f"limits approved by signature{' ONLY AFTER THE DECISIONS WERE SIGNED' if is_late else ''}"
