"""Concessions granted on a machine: which still stand, and which have run out without the part being judged again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.actions.past_overhauls import PastOverhaul
from app.domain.limits import LimitSheet
from app.domain.overhaul import Concession, Decision


@dataclass(frozen=True)
class GrantedConcession:
    """A concession with the part or set it is for and the overhaul that granted it."""

    past: PastOverhaul
    decision: Decision
    concession: Concession
    has_run_out: bool

    @property
    def what(self) -> str:
        """The part or set in words."""
        return named(self.past.overhaul.sheet, self.decision.ref)


def open_concessions(past: Sequence[PastOverhaul], hours: Decimal, today: date) -> tuple[GrantedConcession, ...]:
    """List the concessions not closed yet, those that have run out first."""
    found = [
        GrantedConcession(each, decision, decision.concession, _has_run_out(decision.concession, hours, today))
        for number, each in enumerate(past)
        for decision in _signed_decisions(each)
        if decision.concession is not None and not _is_closed(decision.ref, past[number + 1 :])
    ]
    return tuple(sorted(found, key=lambda granted: not granted.has_run_out))


def _signed_decisions(past: PastOverhaul) -> list[Decision]:
    """The decision that counts for each part or set, once they are signed."""
    return list({decision.ref: decision for decision in past.overhaul.decisions}.values()) if past.is_decided else []


def _is_closed(ref: str, later: Sequence[PastOverhaul]) -> bool:
    """Whether a later overhaul has decided the part anew."""
    return any(past.is_decided and _covers(past, ref) for past in later)


def _covers(past: PastOverhaul, ref: str) -> bool:
    """Whether an overhaul judged a part or set."""
    return ref in past.verdicts or any(part_set.ref == ref for part_set in past.overhaul.sets)


def _has_run_out(concession: Concession, hours: Decimal, today: date) -> bool:
    """Whether the end has come, by hours or by date."""
    by_hours = concession.until_hours is not None and hours >= concession.until_hours
    return by_hours or (concession.until_date is not None and today > concession.until_date)


def named(sheet: LimitSheet, ref: str) -> str:
    """Name a part or set."""
    part = sheet.part(ref)
    if part is not None:
        return f"{part.item} {part.name}"
    part_set = next((each for each in sheet.sets if each.ref == ref), None)
    return f"Stage {part_set.stage}, {part_set.name.lower()}" if part_set else ref
