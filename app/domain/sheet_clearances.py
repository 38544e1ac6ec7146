"""Clearances in a limit sheet's file that are worked out from two gauged diameters and never typed in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from app.domain.limits import Characteristic, Method
from app.domain.sheet_copies import Copy, names_of
from app.domain.sheet_faults import listed, nearest

# Clearances of hundredths are never worked out from leaves or wire: common practice.
FOR_DIAMETERS = (Method.BORE_GAUGE, Method.MICROMETER, Method.CALIPER)


@dataclass(frozen=True)
class _End:
    """One of the two diameters: its name, and the characteristic as far as it was read."""

    name: str
    characteristic: Characteristic

    @property
    def new_mm(self) -> tuple[Decimal, Decimal] | None:
        """The least and the largest a new one can be, where the sheet says so."""
        new = self.characteristic.new
        return (new.lower.mm, new.upper.mm) if new else None


def with_clearances(copy: Copy, copies: Sequence[Copy]) -> tuple[Characteristic, ...]:
    """Give a part's characteristics, each clearance between the very parts that are on the same cylinder."""
    return tuple(_between(number, copy, copies) for number in range(len(copy.draft.characteristics)))


def _between(number: int, copy: Copy, copies: Sequence[Copy]) -> Characteristic:
    """Give one characteristic; a clearance takes its method from the outer diameter."""
    characteristic, table = copy.draft.part.characteristics[number], copy.draft.characteristics[number]
    names = [name for name in characteristic.between or () if name]
    found = [_end(name, copy, copies) for name in names]
    for end in found:
        if isinstance(end, str):
            table.refuse("between", end)
    ends = [end for end in found if isinstance(end, _End)]
    if len(ends) < 2:
        return characteristic
    outer, inner = ends
    if outer.name == inner.name:
        table.refuse("between", f"two different diameters; found {outer.name} twice")
    if outer.new_mm and inner.new_mm and outer.new_mm[1] < inner.new_mm[0]:
        table.refuse("between", f"the outer diameter first; no new {outer.name} is as large as a new {inner.name}")
    return replace(characteristic, between=(outer.name, inner.name), method=outer.characteristic.method)


def _end(name: str, copy: Copy, copies: Sequence[Copy]) -> _End | str:
    """Find a diameter by part and characteristic, or say what is expected in its place."""
    part, _, key = name.partition(".")
    beside = [other for other in copies if copy.shares_cylinder(other)]
    owners = [other for other in beside if other.answers_to(part)]
    if not owners:
        return f"parts of the same stage; no part “{part}”; {nearest(part, names_of(beside))}"
    if len(owners) > 1:
        return f"one part each; “{part}” means {listed(owner.key for owner in owners)}"
    return _of_part(owners[0], key)


def _of_part(owner: Copy, key: str) -> _End | str:
    """Find a diameter among what is gauged on a part, or say what is expected in its place."""
    draft = owner.draft
    keys = [each.key for each in draft.part.characteristics]
    if key not in keys:
        return f"something gauged on part {owner.key}; no “{key}” there; {nearest(key, keys)}"
    characteristic, table = draft.part.characteristics[keys.index(key)], draft.characteristics[keys.index(key)]
    if characteristic.is_derived:
        return f"two gauged diameters; “{owner.key}.{key}” is worked out itself"
    if table.is_sound and characteristic.method not in FOR_DIAMETERS:
        return f"two diameters, gauged with {listed(FOR_DIAMETERS)}; “{owner.key}.{key}” has “{characteristic.method}”"
    return _End(f"{owner.key}.{key}", characteristic)
