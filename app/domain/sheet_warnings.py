"""What in a limit sheet is allowed but is often a slip of a printed table, for a person to accept by name."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from app.domain.limits import Characteristic, Limit, LimitSheet, Side, Stage
from app.domain.numbers import Length, figure
from app.domain.sheet_faults import Fault
from app.domain.sheet_judging_warnings import judging_doubts
from app.domain.sheet_relations import new_ends_mm
from app.domain.sheet_sizes import other_unit
from app.domain.units import LengthUnit, to_mm


@dataclass(frozen=True)
class _Alike:
    """A characteristic with all parts of a stage that have the very same, so that each doubt is raised once."""

    stage: int
    parts: tuple[str, ...]
    characteristic: Characteristic

    @property
    def place(self) -> str:
        """Where it stands, in the words of the faults."""
        parts = f"part{'s' if len(self.parts) > 1 else ''} {', '.join(self.parts)}"
        return f"stage {self.stage}, {parts}, characteristic {self.characteristic.key}"


def sheet_warnings(sheet: LimitSheet) -> tuple[Fault, ...]:
    """Give every doubt about a sheet; each is accepted by a person by name before the sheet is used."""
    return tuple(Fault(None, place, words) for place, words in _doubts(sheet))


def _doubts(sheet: LimitSheet) -> Iterator[tuple[str, str]]:
    """Go through the sheet from top to bottom."""
    yield from judging_doubts(sheet)
    for leaf in sheet.leaves:
        yield from _units_disagree("sheet, feelers, leaves", leaf)
    for each in sheet.instruments:
        for size in (each.resolution, each.permissible_error, each.repeatability):
            yield from _units_disagree(f"sheet, instrument, {each.method}", size)
    for stage in sheet.stages:
        yield from _units_disagree(f"stage {stage.number}, bore", stage.bore)
        yield from _units_disagree(f"stage {stage.number}, stroke", stage.stroke)
        for part in stage.parts:
            for oversize in part.oversizes:
                yield from _units_disagree(f"stage {stage.number}, part {part.key}, oversize", oversize.size)
        for alike in _alike(stage):
            yield from _characteristic_doubts(alike)
            yield from _clearance_doubts(alike, stage)


def _alike(stage: Stage) -> list[_Alike]:
    """Gather the parts of a stage by the characteristics that they share."""
    keys: dict[Characteristic, list[str]] = {}
    for part in stage.parts:
        for characteristic in part.characteristics:
            keys.setdefault(characteristic, []).append(part.key)
    return [_Alike(stage.number, tuple(parts), characteristic) for characteristic, parts in keys.items()]


def _characteristic_doubts(alike: _Alike) -> Iterator[tuple[str, str]]:
    """Raise every doubt about one characteristic."""
    characteristic, new = alike.characteristic, alike.characteristic.new
    for limit in characteristic.limits:
        yield from _new_reaches(f"{alike.place}, new", limit, characteristic)
        yield from _units_disagree(f"{alike.place}, limit", limit.size)
    for size in (new.lower, new.upper) if new else ():
        yield from _units_disagree(f"{alike.place}, new", size)
    yield from _units_disagree(f"{alike.place}, base", characteristic.base_size)
    if new is None and not characteristic.limits:
        yield alike.place, "a limit or a new range; without either a reading is kept and never judged"


def _new_reaches(place: str, limit: Limit, characteristic: Characteristic) -> Iterator[tuple[str, str]]:
    """Doubt a new range that reaches its own limit: a part could be worn out when new."""
    ends_mm, new = new_ends_mm(limit, characteristic), characteristic.new
    if ends_mm is None or new is None:
        return
    is_upper = limit.side is Side.UPPER
    spare_mm = limit.size.mm - ends_mm[1] if is_upper else ends_mm[0] - limit.size.mm
    if spare_mm <= 0:
        end, size = ("maximum", new.upper) if is_upper else ("minimum", new.lower)
        yield place, f"a new {end} clear of the {limit.side} limit {limit.size.typed}; found {size.typed}"


def _clearance_doubts(alike: _Alike, stage: Stage) -> Iterator[tuple[str, str]]:
    """Doubt a limit of a worked-out clearance that two new parts can pass."""
    ends_mm = _new_clearance_mm(alike.characteristic, stage)
    if ends_mm is None:
        return
    for limit in alike.characteristic.limits:
        spare_mm = limit.size.mm - ends_mm[1] if limit.side is Side.UPPER else ends_mm[0] - limit.size.mm
        if spare_mm <= 0:
            words = f"{ends_mm[0]:f} to {ends_mm[1]:f} mm"
            yield f"{alike.place}, limit", f"a limit clear of new parts, which give {words}; found {limit.size.typed}"


def _new_clearance_mm(characteristic: Characteristic, stage: Stage) -> tuple[Decimal, Decimal] | None:
    """Work out the least and the largest clearance that two new parts can have, where both have a new range."""
    sizes = {f"{part.key}.{each.key}": each.new for part in stage.parts for each in part.characteristics}
    outer, inner = (sizes.get(name) for name in characteristic.between or ("", ""))
    if outer is None or inner is None:
        return None
    return outer.lower.mm - inner.upper.mm, outer.upper.mm - inner.lower.mm


def _units_disagree(place: str, size: Length | None) -> Iterator[tuple[str, str]]:
    """Doubt a size whose two printed units differ by more than both were rounded."""
    other = other_unit(size) if size is not None else None
    if size is None or other is None:
        return
    if abs(size.mm - other.mm) > _half_last_place_mm(size) + _half_last_place_mm(other):
        in_mm = " and ".join(f"{figure(each.mm, LengthUnit.MM, each.decimals)} mm" for each in (size, other))
        yield place, f"the same size in both units; found {size.typed}, which is {in_mm}"


def _half_last_place_mm(size: Length) -> Decimal:
    """The most that a size can have been rounded by."""
    return to_mm(Decimal(5).scaleb(-size.decimals - 1), size.unit)
