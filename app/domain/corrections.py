"""Corrections before signing: the entry that is struck through stays, and says why it was put right.

Whoever puts their own entry right soon after is not asked, since a slip of the finger explains itself; whoever changes
what another person entered, or what has stood for a while, says why.
"""

from dataclasses import replace
from datetime import datetime, timedelta

from app.domain.errors import InputRefused, SlipAsked
from app.domain.readings import Kind, Reading, left

REASONS = ("misread", "typed wrong", "gauged again")
SOON = timedelta(minutes=15)
LONGEST = 200
NOT_ASKED = "no reason asked for"


def require_reason(old: Reading, new: Reading, made_at: datetime) -> None:
    """Ask why an entry is put right, where that does not explain itself.

    What waited on a tablet counts by the moment it was made there, not by the one it arrived at.
    """
    if len(new.correction) > LONGEST:
        raise InputRefused({"correction": f"At most {LONGEST} characters."})
    is_own = old.entered_by == new.entered_by
    if new.correction or (is_own and made_at - old.stored_at <= SOON):
        return
    whose = "You" if is_own else old.entered_by
    raise SlipAsked({"correction": f"{whose} entered {old.written} here. Say why it is put right."})


def explained(old: Reading | None, new: Reading, made_at: datetime) -> Reading:
    """Ask why the entry that a reading strikes through is put right; what strikes none through says nothing of it."""
    if old is None:
        return replace(new, correction="") if new.correction else new
    require_reason(old, new, made_at)
    return new


def put_right_by(entries: tuple[Reading, ...], old: Reading) -> Reading | None:
    """Give the entry that put another one right and was not taken back itself."""
    return next((entry for entry in left(entries) if entry.supersedes == old.id), None)


def why_corrected(new: Reading) -> str:
    """Say why an entry put another one right."""
    return "by its maker" if new.kind is Kind.TAKEN_BACK else new.correction or new.reason or NOT_ASKED
