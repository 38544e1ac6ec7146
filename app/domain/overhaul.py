"""One overhaul: its frozen sheet, its scope, and everything entered in it, from which all else follows."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType
from typing import Any

from app.domain.amendments import Amendment, Witness
from app.domain.approvals import Approval
from app.domain.days import date_words
from app.domain.limits import Characteristic, LimitSheet, Part, PartKind, PartSet, Stage
from app.domain.numbers import Length
from app.domain.photos import Photo
from app.domain.readings import Occasion, Place, Reading, standing
from app.domain.running import Run
from app.domain.second_looks import Looks, all_looks
from app.domain.sights import Sights
from app.domain.verdicts import Verdict


class Phase(StrEnum):
    """Phases in the order of the work; an overhaul is in exactly one."""

    MAKE_SAFE = "make safe"
    GAUGE = "gauge"
    DECIDE = "decide"
    BOX_UP = "box up"
    PROVE = "prove"
    RETURNED = "returned to service"
    PAPER = "from paper"  # of an overhaul that was never worked through in the book


class Meaning(StrEnum):
    """What a signature says."""

    GAUGED = "gauged"
    DECIDED = "decided"
    RETURNED_FITTER = "returned to service, fitter"
    RETURNED_CHIEF = "returned to service, chief engineer"
    FROM_PAPER = "entered from paper"  # the only one of an overhaul from paper, which has no other


LIVE_MEANINGS = tuple(meaning for meaning in Meaning if meaning is not Meaning.FROM_PAPER)


@dataclass(frozen=True)
class Scope:
    """What an opening covers: which stages, and valves only or rings too."""

    stages: tuple[int, ...]
    has_rings: bool

    def covers(self, part: Part) -> bool:
        """Whether a part is examined at this opening."""
        return part.stage in self.stages and (self.has_rings or part.kind is PartKind.VALVE)

    @property
    def words(self) -> str:
        """The scope as pages say it."""
        stages = ", ".join(str(number) for number in self.stages)
        return (
            f"stage{'s' if len(self.stages) > 1 else ''} {stages}; valves {'and rings' if self.has_rings else 'only'}"
        )


@dataclass(frozen=True)
class Machine:
    """One equipment unit: the tag is the place, the serial number is the iron."""

    id: int
    tag: str
    serial: str
    name: str
    site: str
    sheet_name: str


@dataclass(frozen=True)
class MeterReading:
    """Operating hours of a machine, read at a moment; `shown` is what the meter showed, where that is another figure.

    A meter that was changed begins again, and the machine's hours go on: they are what is shown and what was lost.
    """

    hours: Decimal
    read_at: datetime
    person: str
    shown: Decimal | None = None
    is_new_meter: bool = False
    source: str = ""  # how it came in, where not by hand
    entered_at: datetime | None = None  # where it was entered later than read
    id: int = field(default=0, compare=False)

    @property
    def on_meter(self) -> Decimal:
        """What the meter showed."""
        return self.hours if self.shown is None else self.shown


@dataclass(frozen=True)
class Confirmation:
    """A step of a phase confirmed by name and time, with the value it asks for."""

    phase: Phase
    step: str
    value: str
    person: str
    at: datetime


@dataclass(frozen=True)
class Concession:
    """Permission to use a part outside its limit, with its end and the second person who signed it."""

    second_person: str
    until_hours: Decimal | None = None
    until_date: date | None = None

    @property
    def words(self) -> str:
        """The end of the concession in words."""
        hours = f"{self.until_hours} h" if self.until_hours is not None else ""
        return " or ".join(filter(None, (hours, date_words(self.until_date) if self.until_date else "")))


@dataclass(frozen=True)
class Decision:
    """A chief engineer's decision on a part or set, added beside the first verdict."""

    ref: str
    verdict: Verdict
    reason: str
    person: str
    at: datetime
    renews: str = ""
    concession: Concession | None = None


@dataclass(frozen=True)
class Signature:
    """Name, time and meaning over a digest of what was signed."""

    meaning: Meaning
    person: str
    at: datetime
    digest: str


@dataclass(frozen=True)
class Fitting:
    """A renewed part as it goes in (what it is, where it came from), or a rework done (the size it was made to)."""

    ref: str
    number: str
    batch: str
    person: str
    at: datetime
    made_to: Length | None = None


@dataclass(frozen=True)
class Overhaul:
    """Everything of one overhaul; phases, verdicts, holds and lists are worked out from it."""

    id: int
    number: int
    machine: Machine
    sheet: LimitSheet
    scope: Scope
    hours: Decimal
    opened_at: datetime
    opened_by: str
    readings: tuple[Reading, ...] = ()
    looks: tuple[Reading, ...] = ()  # second looks of others, and third ones
    confirmations: tuple[Confirmation, ...] = ()
    decisions: tuple[Decision, ...] = ()
    signatures: tuple[Signature, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    photos: tuple[Photo, ...] = ()
    site_lines: tuple[str, ...] = ()  # of making safe, as they stood when it was opened
    runs: tuple[Run, ...] = ()
    baseline: Run | None = None  # of the machine, as it was when the last run was made
    base_sizes: Mapping[str, Length] = field(default_factory=dict)  # part reference to the size it was last made to
    witnesses: tuple[Witness, ...] = ()
    amendments: tuple[Amendment, ...] = ()  # of what was signed, in the order they were proposed
    approvals: tuple[Approval, ...] = ()  # signatures under the revision of the sheet
    is_approval_due: bool = False  # no decision is signed before one stands there
    earlier: tuple[int, ...] = ()  # the overhauls of its machine that came before, the oldest first
    paper: str = ""  # where on paper it stood, of an overhaul that came in from there; opened_by is who entered it

    @property
    def is_from_paper(self) -> bool:
        """Whether it came in from paper, long after the work."""
        return bool(self.paper)

    @property
    def origin(self) -> str:
        """Say of an overhaul from paper that it is one, and who entered it; nothing of any other."""
        return f"from paper, entered by {self.opened_by}" if self.paper else ""

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The stages this opening covers."""
        return tuple(stage for stage in self.sheet.stages if stage.number in self.scope.stages)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The parts this opening covers, in item order."""
        return tuple(part for part in self.sheet.parts if self.scope.covers(part))

    @property
    def sets(self) -> tuple[PartSet, ...]:
        """The sets this opening covers."""
        covered = {part.ref for part in self.parts}
        return tuple(part_set for part_set in self.sheet.sets if set(part_set.members) <= covered)

    @cached_property
    def missing(self) -> Mapping[Place, None]:
        """Every place without an entry as found, part by part in the order of gauging."""
        entered = self.standing(Occasion.AS_FOUND)
        return dict.fromkeys(place for part in self.parts for place in part.required if place not in entered)

    @cached_property
    def open_by_phase(self) -> dict[Phase, tuple[Any, ...]]:
        """The steps not confirmed yet of each phase that was asked for (`steps.open_steps`)."""
        return {}

    @cached_property
    def _standing(self) -> Mapping[Occasion, Mapping[Place, Reading]]:
        """The reading at each place that is judged, by occasion: where others have looked too, one of all looks."""
        all_looks = {o: {place: looks.judged for place, looks in self.looked_at(o)} for o in Occasion}
        return {o: MappingProxyType(first | all_looks[o]) for o, first in self._first_looks.items()}

    @cached_property
    def _first_looks(self) -> Mapping[Occasion, dict[Place, Reading]]:
        """The last readings by occasion; keeping one entry asks for them several times."""
        return {occasion: standing(self.readings, occasion) for occasion in Occasion}

    def first_looks(self, occasion: Occasion) -> Mapping[Place, Reading]:
        """The last reading at each place on an occasion, whatever others saw there."""
        return self._first_looks[occasion]

    @cached_property
    def _looked_at(self) -> Mapping[Occasion, tuple[tuple[Place, Looks | Sights], ...]]:
        """All looks by occasion; each part of a record asks for them."""
        by_occasion = {o: tuple(look for look in self.looks if look.occasion is o) for o in Occasion}
        return {o: tuple(all_looks(self.sheet, self.first_looks(o), looks)) for o, looks in by_occasion.items()}

    def looked_at(self, occasion: Occasion) -> tuple[tuple[Place, Looks | Sights], ...]:
        """The places at which others have looked too, with all looks."""
        return self._looked_at[occasion]

    def differing(self, occasion: Occasion) -> tuple[Place, ...]:
        """The places at which two differ, and nobody else has looked yet."""
        return tuple(place for place, looks in self.looked_at(occasion) if looks.asks_third)

    def standing(self, occasion: Occasion) -> Mapping[Place, Reading]:
        """The readings that count on this occasion."""
        return self._standing[occasion]

    def base_size(self, part: Part, characteristic: Characteristic) -> Length | None:
        """The size wear counts from: the position's last base size, else the sheet's."""
        return self.base_sizes.get(part.ref, characteristic.base_size)

    def amendments_of(self, reading: str) -> tuple[Amendment, ...]:
        """The amendments of one entry that count or wait; what was declined stands in the list of all alone."""
        return tuple(each for each in self.amendments if each.reading == reading and (each.is_open or each.is_signed))

    def signature(self, meaning: Meaning) -> Signature | None:
        """The last signature with this meaning."""
        return next((s for s in reversed(self.signatures) if s.meaning == meaning), None)

    def decision(self, ref: str) -> Decision | None:
        """The last decision on a part or set."""
        return next((d for d in reversed(self.decisions) if d.ref == ref), None)

    @cached_property
    def _confirmed(self) -> Mapping[tuple[Phase, str], Confirmation]:
        """The last confirmation of each step."""
        return {(each.phase, each.step): each for each in self.confirmations}

    def confirmation(self, phase: Phase, step: str) -> Confirmation | None:
        """The last confirmation of a step."""
        return self._confirmed.get((phase, step))

    def fitting(self, ref: str) -> Fitting | None:
        """The last fitting of a part or set."""
        return next((f for f in reversed(self.fittings) if f.ref == ref), None)
