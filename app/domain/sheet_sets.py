"""Sets in a limit sheet's file: parts that are renewed together, by default all rings of one piston."""

from collections.abc import Sequence

from app.domain.findings import RING_SET
from app.domain.limits import PartKind, PartSet
from app.domain.order_lines import OrderLine
from app.domain.sheet_copies import Copy, names_of
from app.domain.sheet_faults import nearest
from app.domain.sheet_orders import read_order
from app.domain.sheet_parts import MOST_PARTS
from app.domain.sheet_table import Table, repeated

MOST_SETS = 20
DEFAULT_KEY, DEFAULT_NAME = "ring-set", "Ring set"


def read_sets(table: Table, stage: int, copies: Sequence[Copy]) -> tuple[PartSet, ...]:
    """Read the sets of a stage, or make one of the rings of each piston where the file names none."""
    sets = tuple(_read_set(each, stage, copies) for each in table.tables("set", MOST_SETS))
    sets = sets or _ring_sets(stage, copies)
    for key in repeated([*(copy.key for copy in copies), *sorted({each.key for each in sets})]):
        if key in (each.key for each in sets):
            table.refuse("set", f"a key that no part has; found “{key}” for both")
    for key in repeated([each.key for each in sets if each.key]):
        table.refuse("set", f"a key of its own for each; found “{key}” twice")
    for ref in repeated([ref for each in sets for ref in each.members]):
        table.refuse("set", f"each part in one set only; found part {ref} in two")
    return sets


def _read_set(table: Table, stage: int, copies: Sequence[Copy]) -> PartSet:
    """Read one set."""
    names = _names(table, copies)
    members = [copy for copy in copies if any(copy.answers_to(name) for name in names)]
    part_set = PartSet(
        stage=stage,
        key=table.key(),
        name=table.text("name"),
        members=_refs(stage, members),
        order=read_order(table.table("order"), RING_SET) if table.has("order") else None,
    )
    table.close()
    return part_set


def _names(table: Table, copies: Sequence[Copy]) -> tuple[str, ...]:
    """Read the members' names, each of which is a part of this stage."""
    names = table.texts("members", (), MOST_PARTS)
    if not table.has("members"):
        table.refuse("members", "this key, which is missing")
    for name in names:
        if not any(copy.answers_to(name) for copy in copies):
            known = nearest(name, names_of(copies))
            table.refuse("members", f"parts of the same stage; no part “{name}” in it; {known}")
    return names


def _refs(stage: int, copies: Sequence[Copy]) -> tuple[str, ...]:
    """Give the references of parts."""
    return tuple(f"{stage}.{copy.key}" for copy in copies)


def _ring_sets(stage: int, copies: Sequence[Copy]) -> tuple[PartSet, ...]:
    """Make a set of all rings of one piston wherever there are two or more."""
    rings = [copy for copy in copies if copy.kind is PartKind.RING]
    pistons = sorted({ring.cylinder for ring in rings})
    alike = [(piston, [ring for ring in rings if ring.cylinder == piston]) for piston in pistons]
    return tuple(_ring_set(stage, piston, members) for piston, members in alike if len(members) > 1)


def _ring_set(stage: int, piston: int, rings: Sequence[Copy]) -> PartSet:
    """Make the set of one piston's rings, ordered by the line that renews a ring set."""
    before, behind = (f"c{piston}-", f", cylinder {piston}") if piston else ("", "")
    return PartSet(stage, f"{before}{DEFAULT_KEY}", f"{DEFAULT_NAME}{behind}", _refs(stage, rings), _set_order(rings))


def _set_order(rings: Sequence[Copy]) -> OrderLine | None:
    """Find the order line for the set among those of its rings."""
    lines = [line for ring in rings for line in ring.draft.part.orders]
    return next((line for line in lines if line.renews == RING_SET), None)
