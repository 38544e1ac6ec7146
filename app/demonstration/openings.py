"""What makes up one opening of a machine in the story: when, how far it goes, and what is out of the ordinary."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta

from app.domain.overhaul import Phase
from app.domain.verdicts import Verdict


@dataclass(frozen=True)
class Seen:
    """What is seen by eye on a part that is not sound."""

    findings: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True)
class Choice:
    """A chief engineer's decision; with a term it is a concession, which the other chief engineer signs too."""

    ref: str
    verdict: Verdict
    reason: str
    term_hours: int = 0
    term: timedelta | None = None


@dataclass(frozen=True)
class Opening:
    """One opening; whatever is not named here is sound and gauged, and what follows from it is done."""

    tag: str
    days_ago: int  # by which the hours on the meter go, so that the figures are the same on any day
    working_days_ago: int = 0  # the newest openings lie so many working days back, whatever day it is told on
    what: str = "rings"
    chief: str = "I. Brandreth"
    seen: Mapping[str, Seen] = field(default_factory=dict)  # by part reference
    cannot: Mapping[tuple[str, str], str] = field(default_factory=dict)  # part reference and characteristic to reason
    coarse: frozenset[str] = frozenset()  # parts whose gap is taken between two leaves far apart
    from_dial: bool = False  # bores are written as deviations from the size the gauge is set to
    choices: tuple[Choice, ...] = ()
    stops_in: Phase = Phase.RETURNED
    leaves_out: frozenset[tuple[str, str]] = frozenset()  # part reference and characteristic, not gauged yet
    leaves_stages: tuple[int, ...] = ()  # stages not begun yet
    slip: str = ""  # the cylinder whose readings are copied from a paper slip, one of them wrongly at first
