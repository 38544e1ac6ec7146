"""Characteristics in a limit sheet's file: where and with what a part is gauged, its new range, its limits."""

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from app.domain.limits import Characteristic, Measure, Method, NewRange
from app.domain.numbers import Length
from app.domain.sheet_faults import found
from app.domain.sheet_limits import SHARES, Around, read_limit
from app.domain.sheet_relations import SizedLimit, check_characteristic
from app.domain.sheet_table import KEY, Table
from app.domain.units import LengthUnit

ONE_PLACE = ("",)
MOST_PLACES = 12
MOST_LIMITS = 20
MICRON = Decimal("0.001")
BETWEEN_WORDS = "the outer and the inner size, part and characteristic, such as [“cylinder.bore”, “piston.skirt”]"
BETWEEN = re.compile(rf"{KEY.pattern}\.{KEY.pattern}")
GAUGED_ONLY = ("method", "levels", "axes", "base", "possible")
DECIMALS = {LengthUnit.MM: 2, LengthUnit.INCH: 4}


def read_characteristic(table: Table, bore: Length, stroke: Length | None, renews: str, source: str) -> Characteristic:
    """Read one characteristic of a part in a stage of this bore and stroke."""
    table.unit = table.choice("unit", tuple(LengthUnit), table.unit)
    if table.has("between"):
        return _read_clearance(table, bore, stroke, renews, source)
    axes, own_source = table.texts("axes", ONE_PLACE, MOST_PLACES), table.text("source", "")
    around = Around(bore, stroke, len(axes) > 1, renews, own_source or source)
    limits = tuple((limit, read_limit(limit, around)) for limit in table.tables("limit", MOST_LIMITS))
    new, base = _new(table), _base(table, bore, is_grid=len(axes) > 1)
    characteristic = Characteristic(
        key=table.key(),
        name=table.text("name"),
        method=table.choice("method", tuple(Method)),
        unit=table.unit,
        decimals=table.whole("decimals", 0, 6, _decimals(table.unit, limits, new, base)),
        levels=table.texts("levels", ONE_PLACE, MOST_PLACES),
        axes=axes,
        new=new,
        limits=tuple(limit for _, limit in limits),
        base_size=base,
        where=table.text("where", ""),
        source=own_source,
        possible_mm=_possible_mm(table, bore, _sizes_mm(limits, new, base), base),
    )
    check_characteristic(table, characteristic, [pair for pair in limits if pair[0].is_sound])
    table.close()
    return characteristic


def _read_clearance(table: Table, bore: Length, stroke: Length | None, renews: str, source: str) -> Characteristic:
    """Read a clearance that is worked out; its method is that of the outer size, which is known once all are read."""
    table.only_for("only a characteristic that is gauged", *GAUGED_ONLY)
    own_source = table.text("source", "")
    around = Around(bore, stroke, is_grid=False, renews=renews, source=own_source or source)
    limits = tuple((limit, read_limit(limit, around)) for limit in table.tables("limit", MOST_LIMITS))
    new = _new(table)
    clearance = Characteristic(
        key=table.key(),
        name=table.text("name"),
        method=Method.BORE_GAUGE,
        unit=table.unit,
        decimals=table.whole("decimals", 0, 6, _decimals(table.unit, limits, new, None)),
        new=new,
        limits=tuple(limit for _, limit in limits),
        where=table.text("where", ""),
        source=own_source,
        between=_ends(table),
    )
    check_characteristic(table, clearance, [pair for pair in limits if pair[0].is_sound])
    table.close()
    return clearance


def _ends(table: Table) -> tuple[str, str]:
    """Read which sizes a clearance lies between, named by part and characteristic; the parts are looked up later."""
    value = table.values["between"]
    if isinstance(value, list) and len(value) == 2 and all(isinstance(end, str) for end in value):
        outer, inner = value
        if BETWEEN.fullmatch(outer) and BETWEEN.fullmatch(inner):
            return outer, inner
    table.refuse("between", f"{BETWEEN_WORDS}; {found(value)}")
    return "", ""


def _new(table: Table) -> NewRange | None:
    """Read the new range where there is one."""
    span = table.span("new")
    return NewRange(*span) if span else None


def _base(table: Table, bore: Length, *, is_grid: bool) -> Length | None:
    """Read the size that wear counts from: the stage's bore unless the sheet says otherwise."""
    base = table.optional_size("base")
    if is_grid:
        return base if base is not None and base.value else bore
    if base is not None:
        table.refuse("base", "axes on the characteristic; only diameters taken on axes have a base size")
    return None


def _decimals(unit: LengthUnit, limits: tuple[SizedLimit, ...], new: NewRange | None, base: Length | None) -> int:
    """Take the decimals from the digits that the sheet is written with; a limit worked out has none of its own."""
    written = [limit.size for table, limit in limits if not any(table.has(key) for key in SHARES)]
    sizes = [*written, *([new.lower, new.upper] if new else []), *([base] if base else [])]
    return max((size.decimals for size in sizes if size.unit is unit), default=DECIMALS[unit])


def _sizes_mm(limits: tuple[SizedLimit, ...], new: NewRange | None, base: Length | None) -> list[Decimal]:
    """Every size that a reading of this characteristic is compared with."""
    compared = [limit.size for _, limit in limits if limit.measure is Measure.VALUE]
    sizes = [*compared, *([new.lower, new.upper] if new else []), *([base] if base else [])]
    return [size.mm for size in sizes if size.value]


def _possible_mm(table: Table, bore: Length, sizes_mm: list[Decimal], base: Length | None) -> tuple[Decimal, Decimal]:
    """Read what a reading can possibly be, or work it out: a number beyond it is a slip of the finger."""
    span = table.span("possible")
    if span is None:
        return _outward(*_likely_mm(bore.mm, sizes_mm, base))
    possible_mm = _outward(span[0].mm, span[1].mm)
    if any(not possible_mm[0] <= size_mm <= possible_mm[1] for size_mm in sizes_mm):
        table.refuse("possible", "a range wide enough for the new range and the limits")
    return possible_mm


def _likely_mm(bore_mm: Decimal, sizes_mm: list[Decimal], base: Length | None) -> tuple[Decimal, Decimal]:
    """A tenth either side of a base size; nothing to the bore for a clearance; half either side of any other size."""
    if base is not None:
        return min([base.mm * Decimal("0.9"), *sizes_mm]), max([base.mm * Decimal("1.1"), *sizes_mm])
    if max(sizes_mm, default=Decimal(0)) * 10 < bore_mm:
        return Decimal(0), bore_mm
    return min(sizes_mm, default=Decimal(0)) / 2, max(sizes_mm, default=bore_mm) * 3 / 2


def _outward(lower_mm: Decimal, upper_mm: Decimal) -> tuple[Decimal, Decimal]:
    """Round a range outward to whole microns."""
    return lower_mm.quantize(MICRON, rounding=ROUND_FLOOR), upper_mm.quantize(MICRON, rounding=ROUND_CEILING)
