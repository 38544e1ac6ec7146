"""Readings as evidence: what was measured or seen, where, by whom, with what, exactly as written."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache

from app.domain.errors import InputRefused
from app.domain.numbers import Length

LONGEST_SHARED = 200  # letters of a word that readings share
SEEN = "seen"  # The characteristic under which the condition found by eye is recorded.


class Kind(StrEnum):
    """How a reading was taken."""

    SIZE = "size"  # one value
    PAIR = "pair"  # the thickest leaf that goes and the thinnest that does not
    GOES = "goes"  # a leaf that goes, without the one that does not
    DIAL = "dial"  # a deviation from a set size
    SEEN = "seen"  # findings by eye
    CANNOT = "cannot"  # cannot be gauged, with a reason
    TAKEN_BACK = "taken back"  # strikes its maker's own entry; what stood before that one stands again


class Occasion(StrEnum):
    """Whether a reading was taken before or after the work."""

    AS_FOUND = "as found"
    AS_FITTED = "as fitted"


@dataclass(frozen=True, order=True, slots=True)
class Place:
    """Where a reading belongs: the part's reference, the characteristic, the level and the axis."""

    part: str  # "2.ring-1": stage, then the part's key on the sheet
    characteristic: str
    level: str = ""
    axis: str = ""


@lru_cache(maxsize=4096)
def place_at(part: str, characteristic: str, level: str, axis: str) -> Place:
    """Name a place; all readings at it share the one, which is a third of what they would weigh."""
    return Place(part, characteristic, level, axis)


def shared(word: str) -> str:
    """Give a word as it came first, so that all readings share it; a long one, which may be nonsense, is not held."""
    return _shared(word) if len(word) <= LONGEST_SHARED else word


@lru_cache(maxsize=1024)
def _shared(word: str) -> str:
    """Give the word that came first."""
    return word


@dataclass(frozen=True, slots=True)
class Reading:
    """One entry for one place; it is only ever superseded, never changed."""

    id: str
    place: Place
    occasion: Occasion
    kind: Kind
    measured_by: str
    entered_by: str
    measured_at: datetime
    stored_at: datetime
    value: Length | None = None
    goes: Length | None = None
    does_not_go: Length | None = None
    set_size: Length | None = None
    findings: tuple[str, ...] = ()
    reason: str = ""
    instrument: str = ""
    temperature_c: Decimal | None = None
    supersedes: str = ""
    is_second_look: bool = False  # another person's, beside the reading at the place and not instead of it
    correction: str = ""  # why the entry that this one supersedes was put right

    def __post_init__(self) -> None:
        refused = _what_is_missing(self)
        if refused:
            raise InputRefused(refused)

    @property
    def size_mm(self) -> Decimal | None:
        """Give the whole size, where the reading gives one.

        Formula: size = value, or set size + deviation of a dial

        Returns:
            the size [mm], or None for a gap between leaves and for what is seen.

        Safe side: exact, so neither side.
        Valid: any reading; the sign of a deviation is kept.

        >>> from datetime import UTC
        >>> from app.domain.numbers import millimetres
        >>> when = datetime(2026, 11, 24, tzinfo=UTC)
        >>> place = Place("2.cylinder", "bore", "mid stroke", "across the pin")
        >>> dial = {"value": millimetres("-0.03"), "set_size": millimetres("78.00")}
        >>> Reading("r1", place, Occasion.AS_FOUND, Kind.DIAL, "M. Tarrow", "M. Tarrow", when, when, **dial).size_mm
        Decimal('77.97')

        Sources:
            1. Common practice, no source.
        """
        if self.value is None:
            return None
        return self.value.mm + (self.set_size.mm if self.set_size is not None else 0)

    @property
    def written(self) -> str:
        """The reading in words, digits as they were typed."""
        return _written(self)


MEASURED = ("value", "set_size", "goes", "does_not_go", "findings")
NEEDS: dict[Kind, tuple[str, ...]] = {
    Kind.SIZE: ("value",),
    Kind.DIAL: ("value", "set_size"),
    Kind.PAIR: ("goes", "does_not_go"),
    Kind.GOES: ("goes",),
    Kind.SEEN: ("findings",),
    Kind.CANNOT: ("reason",),
    Kind.TAKEN_BACK: (),
}
# What belongs to entries of other kinds; a reason may also stand beside what was seen.
STRANGE = {
    kind: tuple(sorted({name for names in NEEDS.values() for name in names} - {*needs, "reason"}))
    for kind, needs in NEEDS.items()
}
GIVEN = {kind: tuple(name in needs for name in MEASURED) for kind, needs in NEEDS.items()}


def _what_is_missing(reading: Reading) -> dict[str, str]:
    """Name the fields that this kind of reading cannot be without, or that contradict each other."""
    missing = {} if _has_its_fields(reading) else _wrong_fields(reading)
    pair = reading.goes, reading.does_not_go
    if pair[0] is not None and pair[1] is not None and pair[1].mm <= pair[0].mm:
        missing["does_not_go"] = "The leaf that does not go must be thicker than the leaf that goes."
    return missing


def _has_its_fields(reading: Reading) -> bool:
    """Whether all that was gauged or seen is there and nothing else, told at once: every reading read is asked."""
    sizes = reading.value is not None, reading.set_size is not None, reading.goes is not None
    given = (*sizes, reading.does_not_go is not None, bool(reading.findings))
    return given == GIVEN[reading.kind] and reading.kind not in (Kind.CANNOT, Kind.TAKEN_BACK)


def _wrong_fields(reading: Reading) -> dict[str, str]:
    """Name the fields that are missing or strange."""
    missing = {name: "This is needed." for name in NEEDS[reading.kind] if not getattr(reading, name)}
    strange = [name for name in STRANGE[reading.kind] if getattr(reading, name)]
    missing |= dict.fromkeys(strange, "This does not belong to an entry of this kind.")
    if reading.kind is Kind.TAKEN_BACK and not reading.supersedes:
        missing["kind"] = "Name the entry that is taken back."
    return missing


def _written(reading: Reading) -> str:
    """Put a reading into the trade's words."""
    match reading.kind:
        case Kind.SIZE:
            return _typed(reading.value)
        case Kind.DIAL:
            return f"dial {_typed(reading.value)} on {_typed(reading.set_size)}"
        case Kind.PAIR:
            return f"goes {_typed(reading.goes)}, does not go {_typed(reading.does_not_go)}"
        case Kind.GOES:
            return f"goes {_typed(reading.goes)}"
        case Kind.SEEN:
            return ", ".join(reading.findings)
        case Kind.TAKEN_BACK:
            return "taken back"
        case _:
            return f"cannot gauge: {reading.reason}"


def _typed(length: Length | None) -> str:
    """Write a length as typed, with its unit once."""
    typed = length.typed if length else ""
    return f"{typed} {length.unit}" if length and typed[-1:].isdigit() else typed


def taken_back(readings: Iterable[Reading]) -> frozenset[str]:
    """Name the entries that their makers have taken back."""
    return frozenset(reading.supersedes for reading in readings if reading.kind is Kind.TAKEN_BACK)


def left(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Give the entries that were not taken back, without those that only take one back."""
    gone = taken_back(readings)
    return tuple(r for r in readings if r.kind is not Kind.TAKEN_BACK and r.id not in gone) if gone else readings


def standing(readings: tuple[Reading, ...], occasion: Occasion) -> dict[Place, Reading]:
    """Give the reading that counts at each place: the last one entered on this occasion and not taken back."""
    return {reading.place: reading for reading in left(readings) if reading.occasion is occasion}


def superseded(readings: tuple[Reading, ...]) -> frozenset[str]:
    """Name the entries struck through: by a later one for the same place and occasion, or as taken back."""
    counting = {r.id for occasion in Occasion for r in standing(readings, occasion).values()}
    return frozenset(reading.id for reading in readings if reading.kind is not Kind.TAKEN_BACK) - counting


def could_not_be_gauged(reading: Reading | None) -> bool:
    """Whether the entry only says why there is no reading."""
    return reading is not None and reading.kind is Kind.CANNOT
