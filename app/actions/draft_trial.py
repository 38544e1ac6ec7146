"""A figure tried on a limit sheet in the making: judged as a reading would be, and kept nowhere."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.entries import Typed, read_entry
from app.domain.errors import InputRefused
from app.domain.limits import Characteristic, LimitSheet, Part
from app.domain.overhaul import Machine, Overhaul, Scope
from app.domain.part_verdicts import terms_of
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.verdicts import Judged, Verdict, heaviest

NOBODY = Machine(0, "", "", "", "", "")


@dataclass(frozen=True)
class Tried:
    """What a sheet says of a figure: the verdict that weighs most, and each that led to it."""

    part: Part
    characteristic: Characteristic
    judged: tuple[Judged, ...]

    @property
    def verdict(self) -> Verdict:
        """The verdict that outweighs the others."""
        return heaviest([each.verdict for each in self.judged])


def places_to_try(sheet: LimitSheet) -> list[tuple[str, str]]:
    """Give everything that is gauged, by its address and in words; of parts that are alike, the first."""
    found: dict[tuple[object, ...], tuple[str, str]] = {}
    for part in sheet.parts:
        for each in part.characteristics:
            words = f"Stage {part.stage}, {part.name.rstrip(' 0123456789').lower()}: {each.name.lower()}"
            if not each.is_derived:
                found.setdefault((part.stage, part.kind, part.port, part.cylinder, each), (_address(part, each), words))
    return list(found.values())


def try_value(sheet: LimitSheet, at: str, typed: str, now: datetime) -> Tried:
    """Judge one figure as if it had been read at every place of a characteristic, on a machine as it is found."""
    part, characteristic = _find(sheet, at)
    stages = tuple(stage.number for stage in sheet.stages)
    overhaul = Overhaul(0, 0, NOBODY, sheet, Scope(stages, True), Decimal(0), now, "nobody", ())
    places = [Place(part.ref, characteristic.key, *where) for where in characteristic.places]
    entries = {(place.level, place.axis): _read(overhaul, place, typed, now) for place in places}
    terms = terms_of(overhaul, part, characteristic, Occasion.AS_FOUND, "")
    return Tried(part, characteristic, judge_characteristic(terms, entries))


def _address(part: Part, characteristic: Characteristic) -> str:
    """Name a characteristic of a part in a form."""
    return f"{part.ref}/{characteristic.key}"


def _find(sheet: LimitSheet, at: str) -> tuple[Part, Characteristic]:
    """Find what is tried."""
    for part in sheet.parts:
        for each in part.characteristics:
            if not each.is_derived and _address(part, each) == at:
                return part, each
    raise InputRefused({"at": "Choose what the figure is for."})


def _read(overhaul: Overhaul, place: Place, typed: str, now: datetime) -> Reading:
    """Read the figure as the form of an entry would."""
    entry = Typed(
        id="trial", place=place, occasion=Occasion.AS_FOUND, kind=Kind.SIZE, value=typed, measured_by="nobody"
    )
    return read_entry(overhaul, entry, "nobody", now)
