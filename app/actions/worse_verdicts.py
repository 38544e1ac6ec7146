"""Verdicts that signed amendments made worse: to be acted on until a later overhaul has decided the part anew."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from app.actions.past_overhauls import PastOverhaul
from app.domain.amended_verdicts import AmendedVerdict, amended_verdicts
from app.domain.amendments import Amendment
from app.domain.overhaul import Overhaul


@dataclass(frozen=True)
class WorseVerdict:
    """A part that is in the machine by a verdict which the amended values do not bear out."""

    overhaul: Overhaul
    verdict: AmendedVerdict
    since: datetime  # the last signature under an amendment


def worse_verdicts(past: Sequence[PastOverhaul]) -> tuple[WorseVerdict, ...]:
    """List them, the oldest overhaul first."""
    return tuple(
        WorseVerdict(each.overhaul, verdict, _signed_last(each.overhaul.amendments))
        for number, each in enumerate(past)
        if each.is_decided
        for verdict in amended_verdicts(each.overhaul)
        if verdict.is_worse and not _is_decided_anew(verdict.part.ref, past[number + 1 :])
    )


def _is_decided_anew(ref: str, later: Sequence[PastOverhaul]) -> bool:
    """Whether a later overhaul has judged the part, and its decisions are signed."""
    return any(past.is_decided and ref in past.verdicts for past in later)


def _signed_last(amendments: tuple[Amendment, ...]) -> datetime:
    """When the last amendment was signed."""
    return max(each.answer.at for each in amendments if each.answer is not None and each.is_signed)
