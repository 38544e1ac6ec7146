"""What a reading is worth: its size at 20 °C where the sheet asks for it, and the uncertainty it carries."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.budget import Budget, Contribution
from app.domain.conformance import guard_band_ilac_g8_mm, guard_band_iso_14253_mm
from app.domain.guard import Guard
from app.domain.joints import lengthening
from app.domain.limits import Characteristic, InstrumentClass, LimitSheet, Part, PartKind, Rule
from app.domain.numbers import Length, leaves_of
from app.domain.readings import Reading
from app.domain.temperature import EXPANSION, Material, Warmth, gap_at_20_mm, length_at_20_mm
from app.domain.uncertainty import (
    LeafErrorUnknown,
    permissible_error_u_mm,
    rectangular_u_mm,
    resolution_u_mm,
    stack_error_mm,
)

CLOSED_GAP = "closed-gap"
AS_20 = "Temperature not recorded, taken as 20 °C."
NOTHING = Decimal(0)


@dataclass(frozen=True)
class Gauging:
    """Where and with what a size was gauged: the sheet, the part and the characteristic."""

    sheet: LimitSheet
    part: Part
    characteristic: Characteristic

    @property
    def instrument(self) -> InstrumentClass | None:
        """What instruments of this kind can do, as far as the sheet says."""
        return self.sheet.instrument(self.characteristic.method)

    @property
    def bore(self) -> tuple[Decimal, Part] | None:
        """The bore of the stage and the cylinder it is in."""
        stage = self.sheet.stage(self.part.stage)
        cylinders = [part for part in stage.parts if part.kind is PartKind.CYLINDER] if stage else []
        return (stage.bore.mm, cylinders[0]) if stage and cylinders else None

    @property
    def is_gap(self) -> bool:
        """Whether it is a ring's gap, which warms as a difference of two circumferences."""
        return self.part.kind is PartKind.RING and self.characteristic.key == CLOSED_GAP


@dataclass(frozen=True)
class AtTwenty:
    """A size at 20 °C and the words how it came about."""

    size_mm: Decimal
    words: str


def expansion_of(material: str) -> Decimal | None:
    """Give the expansion of a material by its word on the sheet, where it is known here.

    >>> expansion_of("grey iron"), expansion_of("unobtainium")
    (Decimal('0.0000114'), None)
    """
    return EXPANSION[Material(material)].per_k if material in list(Material) else None


def at_twenty(gauging: Gauging, size_mm: Decimal, temperature_c: Decimal | None) -> AtTwenty:
    """Bring a size to 20 °C where the sheet asks for it and everything needed is known; say so either way."""
    if temperature_c is None:
        return AtTwenty(size_mm, AS_20)
    if not gauging.sheet.is_corrected_to_20:
        return AtTwenty(size_mm, f"Part at {temperature_c} °C; the sheet asks for no correction.")
    return _gap(gauging, size_mm, temperature_c) if gauging.is_gap else _length(gauging, size_mm, temperature_c)


def _length(gauging: Gauging, size_mm: Decimal, temperature_c: Decimal) -> AtTwenty:
    """Bring a length to 20 °C; the instrument, or the master it was set to, is as warm as the part."""
    part_per_k = expansion_of(gauging.part.material)
    instrument = gauging.instrument
    if part_per_k is None:
        return AtTwenty(size_mm, f"Not corrected: the expansion of “{gauging.part.material}” is not known.")
    warm_instrument = None
    if instrument is not None and instrument.expansion_per_k is not None:
        warm_instrument = Warmth(temperature_c, instrument.expansion_per_k)
    corrected = length_at_20_mm(size_mm, Warmth(temperature_c, part_per_k), warm_instrument)
    with_what = "part and instrument" if warm_instrument else "part alone"
    return AtTwenty(round(corrected, 6), f"{with_what.capitalize()} at {temperature_c} °C brought to 20 °C.")


def _gap(gauging: Gauging, gap_mm: Decimal, temperature_c: Decimal) -> AtTwenty:
    """Bring a ring's gap to 20 °C; ring and cylinder of one material need nothing."""
    ring_per_k, bore = expansion_of(gauging.part.material), gauging.bore
    cylinder_per_k = expansion_of(bore[1].material) if bore else None
    if ring_per_k is None or bore is None or cylinder_per_k is None:
        return AtTwenty(gap_mm, "Not corrected: the expansion of ring or cylinder is not known.")
    corrected = gap_at_20_mm(gap_mm, bore[0], cylinder_per_k, ring_per_k, temperature_c)
    return AtTwenty(round(corrected, 6), f"Ring and cylinder at {temperature_c} °C brought to 20 °C.")


def budget_of(gauging: Gauging, reading: Reading, size_mm: Decimal) -> Budget | None:
    """Collect what makes one reading uncertain; None where the sheet says nothing of the instrument."""
    instrument = gauging.instrument
    if instrument is None:
        return None
    parts = [
        Contribution("resolution", resolution_u_mm(instrument.resolution.mm)) if instrument.resolution else None,
        Contribution("permissible error", permissible_error_u_mm(instrument.permissible_error.mm))
        if instrument.permissible_error
        else None,
        Contribution("repeatability", instrument.repeatability.mm) if instrument.repeatability else None,
        _spread(gauging, reading, size_mm),
    ]
    longer = lengthening(gauging.part, gauging.characteristic.key)
    known = tuple(Contribution(part.name, longer * part.u_mm) for part in parts if part is not None)
    return Budget(known) if known else None


def _spread(gauging: Gauging, reading: Reading, size_mm: Decimal) -> Contribution | None:
    """The sheet's spread of temperature, where none was recorded; a gap's length is negligible."""
    spread_k, per_k = gauging.sheet.temperature_spread_k, expansion_of(gauging.part.material)
    if reading.temperature_c is not None or spread_k == 0 or per_k is None or gauging.is_gap:
        return None
    instrument = gauging.instrument
    other = instrument.expansion_per_k if instrument and instrument.expansion_per_k is not None else NOTHING
    return Contribution("temperature not recorded", rectangular_u_mm(size_mm * abs(per_k - other) * spread_k))


def difference_budget(gauging: Gauging) -> Budget | None:
    """The budget of a difference of two readings by one instrument: its setting error cancels."""
    instrument = gauging.instrument
    if instrument is None:
        return None
    parts = [
        ("resolution", resolution_u_mm(instrument.resolution.mm) if instrument.resolution else None),
        ("repeatability", instrument.repeatability.mm if instrument.repeatability else None),
    ]
    twice = [
        Contribution(f"{name}, {which} reading", u_mm)
        for name, u_mm in parts
        if u_mm is not None
        for which in ("first", "second")
    ]
    return Budget(tuple(twice)) if twice else None


def guard_mm(sheet: LimitSheet, budget: Budget | None) -> Decimal:
    """Give the guard band the sheet's rule draws a limit in by; nothing under the simple rule or without a budget."""
    if sheet.rule is Rule.SIMPLE or budget is None:
        return NOTHING
    if sheet.guard is Guard.ILAC_G8:
        return guard_band_ilac_g8_mm(budget.expanded_u_mm())
    return guard_band_iso_14253_mm(budget.combined_u_mm)


def leaf_errors_mm(gauging: Gauging, reading: Reading) -> tuple[Decimal, Decimal] | None:
    """Give the summed errors of the leaves that go and do not go; nothing under the simple rule, None if not known."""
    if gauging.sheet.rule is Rule.SIMPLE:
        return NOTHING, NOTHING
    longer = lengthening(gauging.part, gauging.characteristic.key)
    try:
        return longer * _stack_error_mm(reading.goes), longer * _stack_error_mm(reading.does_not_go)
    except LeafErrorUnknown:
        return None


def _stack_error_mm(stack: Length | None) -> Decimal:
    """The error of a stack, leaf by leaf as it was typed: 0.50+0.15 is two leaves, and 0 is none."""
    return stack_error_mm([leaf.mm for leaf in leaves_of(stack) if leaf.mm > 0]) if stack else NOTHING
