"""How parts of a stage hang together: which one waits for, goes with or is worked on before which other."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from app.domain.limits import Part, PartKind
from app.domain.sheet_clearances import with_clearances
from app.domain.sheet_copies import Copy, names_of
from app.domain.sheet_faults import nearest

WAITING_FOR_CYLINDER = (PartKind.RING, PartKind.PISTON)


def parts_from(copies: Sequence[Copy], cylinders: int) -> tuple[Part, ...]:
    """Make the parts in item order, each with its mates by their own keys."""
    parts = tuple(_part(index, copy, copies, cylinders) for index, copy in enumerate(copies, start=1))
    before = {part.key: part.rework_before for part in parts}
    for copy, part in zip(copies, parts, strict=True):
        if part.key in _all_behind(part.key, before):
            copy.draft.table.refuse("rework_before", f"an order of work; “{part.key}” would come before itself")
    return parts


def _part(index: int, copy: Copy, copies: Sequence[Copy], cylinders: int) -> Part:
    """Make one part."""
    mates = [other for other in copies if other is not copy and copy.shares_cylinder(other)]
    written = copy.draft.part
    return replace(
        written,
        index=index,
        key=copy.key,
        name=copy.name,
        characteristics=with_clearances(copy, copies),
        judge_again_after=_after(copy, mates),
        renew_with=_named("renew_with", written.renew_with, copy, mates),
        rework_before=_named("rework_before", written.rework_before, copy, mates),
        cylinder=copy.cylinder or (1 if cylinders == 1 else 0),
    )


def _after(copy: Copy, mates: Sequence[Copy]) -> tuple[str, ...]:
    """Name the parts after which a part is judged again: those of the file, else for ring and piston the cylinder."""
    if copy.draft.after is not None:
        return _named("judge_again_after", copy.draft.after, copy, mates)
    waits = copy.kind in WAITING_FOR_CYLINDER
    return tuple(mate.key for mate in mates if waits and mate.kind is PartKind.CYLINDER)


def _named(key: str, names: Sequence[str], copy: Copy, mates: Sequence[Copy]) -> tuple[str, ...]:
    """Give the keys of the parts that the file names; each name is that of a mate."""
    for name in names:
        if not any(mate.answers_to(name) for mate in mates):
            known = nearest(name, names_of(mates))
            copy.draft.table.refuse(key, f"parts of the same stage; no part “{name}”; {known}")
    return tuple(mate.key for mate in mates if any(mate.answers_to(name) for name in names))


def _all_behind(key: str, before: Mapping[str, Sequence[str]]) -> set[str]:
    """Give every part whose work comes after that of one part."""
    behind: set[str] = set()
    waiting = list(before[key])
    while waiting:
        each = waiting.pop()
        if each not in behind:
            behind.add(each)
            waiting += before[each]
    return behind
