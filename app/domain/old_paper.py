"""Overhauls that came in from paper stand among the others by the day they were done."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol, TypeVar


class Dated(Protocol):
    """An overhaul in a list: its number, when it was opened, and where on paper it stood, if it did."""

    @property
    def number(self) -> int:
        """The number, in the order of entering."""

    @property
    def opened_at(self) -> datetime:
        """The moment of opening."""

    @property
    def paper(self) -> str:
        """Where on paper it stood; nothing of one done in the book."""


AnyDated = TypeVar("AnyDated", bound=Dated)


def in_date_order(overhauls: Sequence[AnyDated]) -> list[AnyDated]:
    """Put overhauls in the order in which they were done, the oldest first.

    Those done in the book follow their numbers, whatever the clock said; one from paper comes before the first of them
    that was opened later.
    """
    papers = sorted((each for each in overhauls if each.paper), key=lambda each: (each.opened_at, each.number))
    ordered: list[AnyDated] = []
    for live in sorted((each for each in overhauls if not each.paper), key=lambda each: each.number):
        while papers and papers[0].opened_at < live.opened_at:
            ordered.append(papers.pop(0))
        ordered.append(live)
    return ordered + papers
