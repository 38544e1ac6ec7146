"""From what a person typed for one place to a reading, or to words beside the field."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from decimal import Decimal

from app.domain.errors import InputRefused, NotThere, NumberRefused, SlipAsked, UnitMismatch
from app.domain.findings import SOUND, find_finding
from app.domain.limits import Characteristic, Method, Part
from app.domain.measured import Gauging
from app.domain.numbers import Length, parse_length, parse_number, parse_stack
from app.domain.overhaul import Overhaul
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading, shared
from app.domain.slips import Before, impossible_in, slips_in
from app.domain.units import LengthUnit

LONGEST_REASON = 500
LONGEST_NAME = 60
SHORTEST_REASON = 4
COLDEST_C, HOTTEST_C = Decimal(-20), Decimal(120)
CLOCK_SLACK = timedelta(minutes=10)
UNCHANGED = ("parts", "_confirmed", "open_by_phase")  # of what is worked out of an overhaul, by one entry more
KINDS_BY_METHOD = {Method.FEELER: (Kind.PAIR, Kind.GOES), Method.BORE_GAUGE: (Kind.DIAL,)}


@dataclass(frozen=True)
class Typed:
    """An entry as the form sends it: all texts, nothing believed yet."""

    id: str
    place: Place
    occasion: Occasion
    kind: str
    value: str = ""
    goes: str = ""
    does_not_go: str = ""
    set_size: str = ""
    findings: tuple[str, ...] = ()
    reason: str = ""
    instrument: str = ""
    temperature: str = ""
    unit: str = ""
    measured_by: str = ""
    measured_at: datetime | None = None
    is_second_look: bool = False
    takes_back: str = ""  # the entry that this one takes back
    correction: str = ""  # why the entry that this one strikes through is put right
    made_at: datetime | None = None  # when the entry was made, where it waited on a tablet since
    seen: str | None = None  # the entry that the page showed at the place, "" for none; None where it does not say


@dataclass
class _Desk:
    """The fields read so far, and the words for those refused."""

    refused: dict[str, str] = field(default_factory=dict)

    def length(self, name: str, typed: str, unit: LengthUnit, *, signed: bool = False) -> Length | None:
        """Read one length, or keep the words why not."""
        return self._read(name, lambda: parse_length(typed, unit, signed=signed))

    def stack(self, name: str, typed: str, unit: LengthUnit) -> Length | None:
        """Read one leaf or a stack of leaves, or keep the words why not."""
        return self._read(name, lambda: parse_stack(typed, unit))

    def _read(self, name: str, read: Callable[[], Length]) -> Length | None:
        """Read a field, or keep the words why not."""
        try:
            return read()
        except (NumberRefused, UnitMismatch) as refusal:
            self.refused[name] = str(refusal)
            return None


def find_place(overhaul: Overhaul, place: Place) -> tuple[Part, Characteristic | None]:
    """Find the part and characteristic an entry is for; NotThere when this overhaul has no such place."""
    part = next((part for part in overhaul.parts if part.ref == place.part), None)
    if part is None:
        raise NotThere(f"This overhaul does not cover a part “{place.part[:40]}”.")
    if place.characteristic == SEEN and not place.level and not place.axis:
        return part, None
    characteristic = part.characteristic(place.characteristic)
    if characteristic is None or (place.level, place.axis) not in characteristic.places:
        raise NotThere(f"{part.item} {part.name} has no such place to gauge.")
    return part, characteristic


def with_entry(overhaul: Overhaul, reading: Reading) -> Overhaul:
    """The overhaul with one more entry.

    Args:
        overhaul: As it was before.
        reading: The entry; a second look stands beside the first, all others among the readings.

    Returns:
        Another overhaul.
    """
    if reading.is_second_look:
        return replace(overhaul, looks=(*overhaul.looks, reading))
    joined = replace(overhaul, readings=(*overhaul.readings, reading))
    # What an entry does not change is not worked out again.
    joined.__dict__.update({name: getattr(overhaul, name) for name in UNCHANGED})
    if reading.kind is not Kind.TAKEN_BACK:
        first = overhaul._first_looks
        newest = {**first[reading.occasion], reading.place: reading}
        joined.__dict__["_first_looks"] = {**first, reading.occasion: newest}
        if reading.occasion is Occasion.AS_FOUND:
            joined.__dict__["missing"] = missing = dict(overhaul.missing)
            missing.pop(reading.place, None)
    return joined


def read_entry(
    overhaul: Overhaul,
    typed: Typed,
    person: str,
    now: datetime,
    before: Before | None = None,
    is_asking: bool = False,
) -> Reading:
    """Read a typed entry into a reading; InputRefused names every field that is not as it should be.

    What looks like a slip is SlipAsked, and kept once a reason is given. Where nobody is there to answer, only what
    cannot be on this part is held back.
    """
    part, characteristic = find_place(overhaul, typed.place)
    desk = _Desk()
    content = _content(desk, part, characteristic, typed)
    conditions = _conditions(desk, typed, person, now)
    if desk.refused:
        raise InputRefused(desk.refused)
    reading = Reading(
        id=typed.id,
        place=typed.place,
        occasion=typed.occasion,
        entered_by=shared(person),
        stored_at=now,
        is_second_look=typed.is_second_look,
        correction=shared(typed.correction.strip()),
        **content,  # type: ignore[arg-type]  # the keys are Reading's own fields, filled by kind
        **conditions,  # type: ignore[arg-type]
    )
    if characteristic is not None and len(reading.reason) < SHORTEST_REASON:
        gauging = Gauging(overhaul.sheet, part, characteristic)
        asked = slips_in(gauging, reading, before) if is_asking else impossible_in(characteristic, reading)
        if asked:
            raise SlipAsked(asked)
    return reading


def _conditions(desk: _Desk, typed: Typed, person: str, now: datetime) -> dict[str, object]:
    """Read what stands beside every reading: instrument, temperature, who measured and when."""
    for name in ("instrument", "measured_by"):
        if len(getattr(typed, name)) > LONGEST_NAME:
            desk.refused[name] = f"At most {LONGEST_NAME} characters."
    measured_at = typed.measured_at or now
    if measured_at > now + CLOCK_SLACK:
        desk.refused["measured_at"] = "This lies in the future. Give the time when it was measured."
    return {
        "instrument": shared(typed.instrument.strip()),
        "temperature_c": _temperature(desk, typed.temperature),
        "measured_by": shared(typed.measured_by.strip() or person),
        "measured_at": measured_at,
    }


def _temperature(desk: _Desk, typed: str) -> Decimal | None:
    """Read the part's temperature; none is none, and the record says that it was taken as 20 °C."""
    if not typed.strip():
        return None
    try:
        degrees = parse_number(typed, signed=True, example="24")
    except (NumberRefused, UnitMismatch) as refusal:
        desk.refused["temperature"] = str(refusal)
        return None
    if not COLDEST_C <= degrees <= HOTTEST_C:
        desk.refused["temperature"] = f"A part is gauged between {COLDEST_C} and {HOTTEST_C} °C."
    return degrees


def kinds_of(characteristic: Characteristic) -> tuple[Kind, ...]:
    """The kinds of entry a characteristic takes: leaves only for a feeler gauge, a dial only for a bore gauge."""
    return Kind.SIZE, *KINDS_BY_METHOD.get(characteristic.method, ()), Kind.CANNOT


def _content(desk: _Desk, part: Part, characteristic: Characteristic | None, typed: Typed) -> dict[str, object]:
    """Read what the entry says, by its kind."""
    if typed.kind == Kind.CANNOT:
        return _reason(desk, typed)
    if characteristic is None:
        return _findings(desk, part, typed)
    if typed.kind not in kinds_of(characteristic):
        desk.refused["kind"] = f"Choose how it is gauged; {characteristic.name} is taken by {characteristic.method}."
    if typed.unit and typed.unit not in list(LengthUnit):
        desk.refused["unit"] = "Choose mm or in."
    if desk.refused:
        return {}
    unit = LengthUnit(typed.unit) if typed.unit else characteristic.unit
    return {"reason": _remark(desk, typed), **_sizes(desk, characteristic, typed, unit)}


def _remark(desk: _Desk, typed: Typed) -> str:
    """Read a reason that is not needed, such as why a strange size is kept."""
    if len(typed.reason) > LONGEST_REASON:
        desk.refused["reason"] = f"At most {LONGEST_REASON} characters."
    return typed.reason.strip()


def _sizes(desk: _Desk, characteristic: Characteristic, typed: Typed, unit: LengthUnit) -> dict[str, object]:
    """Read the sizes of an entry, by its kind."""
    match typed.kind:
        case Kind.PAIR | Kind.GOES:
            return _leaves(desk, typed, unit)
        case Kind.DIAL:
            return _dial(desk, characteristic, typed, unit)
    value = desk.length("value", typed.value, unit)
    _require_size(desk, "value", value.mm if value else None, characteristic)
    return {"kind": Kind.SIZE, "value": value}


def _reason(desk: _Desk, typed: Typed) -> dict[str, object]:
    """Read why a place cannot be gauged."""
    reason = typed.reason.strip()
    if not SHORTEST_REASON <= len(reason) <= LONGEST_REASON:
        desk.refused["reason"] = f"Say why it cannot be gauged, in {SHORTEST_REASON} to {LONGEST_REASON} characters."
    return {"kind": Kind.CANNOT, "reason": reason}


def _findings(desk: _Desk, part: Part, typed: Typed) -> dict[str, object]:
    """Read what was seen; sound stands alone."""
    codes = tuple(dict.fromkeys(typed.findings))
    if not codes or any(find_finding(part, code) is None for code in codes):
        desk.refused["findings"] = "Choose what is seen: sound, or everything that is wrong."
    elif SOUND.code in codes and len(codes) > 1:
        desk.refused["findings"] = "Sound and a fault contradict each other. Choose one."
    return {"kind": Kind.SEEN, "findings": codes, "reason": _remark(desk, typed)}


def _leaves(desk: _Desk, typed: Typed, unit: LengthUnit) -> dict[str, object]:
    """Read the leaf that goes and, where there is one, the leaf that does not."""
    goes = desk.stack("goes", typed.goes, unit)
    if not typed.does_not_go.strip():
        return {"kind": Kind.GOES, "goes": goes}
    stops = desk.stack("does_not_go", typed.does_not_go, unit)
    if goes and stops and stops.mm <= goes.mm:
        desk.refused["does_not_go"] = "The leaf that does not go must be thicker than the leaf that goes."
    return {"kind": Kind.PAIR, "goes": goes, "does_not_go": stops}


def _dial(desk: _Desk, characteristic: Characteristic, typed: Typed, unit: LengthUnit) -> dict[str, object]:
    """Read a deviation with its sign, from the size the gauge was set to."""
    value = desk.length("value", typed.value, unit, signed=True)
    set_size = desk.length("set_size", typed.set_size, unit)
    _require_size(desk, "set_size", set_size.mm if set_size else None, characteristic)
    if value and set_size and "set_size" not in desk.refused:
        _require_size(desk, "value", value.mm + set_size.mm, characteristic)
    return {"kind": Kind.DIAL, "value": value, "set_size": set_size}


def _require_size(desk: _Desk, name: str, size_mm: Decimal | None, characteristic: Characteristic) -> None:
    """Refuse what is no size at all; nothing is one only of what may be closed, such as a gap."""
    if size_mm is None or size_mm > 0 or (size_mm == 0 and characteristic.possible_mm[0] == 0):
        return
    desk.refused[name] = f"{characteristic.name} is more than nothing. Type the size that was read."
