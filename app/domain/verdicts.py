"""The five verdicts, their order of weight, and what a judged characteristic says."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Verdict(StrEnum):
    """What is done with a part; the value is the style name used on pages."""

    REUSE = "reuse"
    REWORK = "rework"
    RENEW = "renew"
    UNDECIDED = "undecided"
    NOT_GAUGED = "notgauged"

    @property
    def word(self) -> str:
        """The word as every page, print and export writes it."""
        return "NOT GAUGED" if self is Verdict.NOT_GAUGED else self.value.upper()


# The order in which one verdict outweighs another when they are combined.
WEIGHT = (Verdict.REUSE, Verdict.REWORK, Verdict.NOT_GAUGED, Verdict.UNDECIDED, Verdict.RENEW)


@dataclass(frozen=True)
class Judged:
    """One characteristic or sight of a part, judged: the verdict and everything its reason needs."""

    verdict: Verdict
    measure: str
    figure: str
    reason: str
    source: str = ""
    renews: str = ""
    advice: str = ""
    margin_mm: Decimal | None = None
    place: tuple[str, str] = ("seen", "")  # characteristic and level; a bore's measures are of the whole grid
    room: Decimal | None = None  # the share of the way from new to the limit that is left; it orders reasons only
    is_absolute: bool = False  # A crack or a gasket: no concession may be granted over it.


def heavier(first: Verdict, second: Verdict) -> Verdict:
    """Give the verdict that outweighs the other.

    >>> heavier(Verdict.REWORK, Verdict.NOT_GAUGED).word
    'NOT GAUGED'
    """
    return max(first, second, key=WEIGHT.index)


def heaviest(verdicts: list[Verdict]) -> Verdict:
    """Combine verdicts: renew, else undecided, else not gauged, else rework, else reuse."""
    return max(verdicts, key=WEIGHT.index) if verdicts else Verdict.NOT_GAUGED
