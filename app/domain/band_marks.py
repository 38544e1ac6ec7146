"""The lengths at which what is said of a place may turn: its limits, and the readings that it is compared with."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from app.domain.characteristic_verdicts import Entries, grid_of
from app.domain.clearance_verdicts import Mate
from app.domain.limits import Limit, Measure
from app.domain.terms import Terms
from app.domain.uncertainty import LEAF_ERRORS_MM

NOTHING = Decimal(0)
Cell = tuple[str, str]


def value_marks_mm(terms: Terms, level: str) -> list[Decimal]:
    """The lengths of the limits that a value itself is held against at a level."""
    return [limit.size.mm for limit in terms.limits_at(level) if limit.measure is Measure.VALUE]


def grid_marks_mm(terms: Terms, entries: Entries, cell: Cell) -> list[Decimal]:
    """The diameters at which a bore's measures turn while one cell is gauged and the others stand.

    A measure turns where the cell becomes the largest or smallest of those it is compared with, and where its
    difference to them reaches a limit.
    """
    others = dict(
        grid_of(terms.characteristic, {c: r for c, r in entries.items() if c != cell}, terms.gauging).diameters_mm
    )
    marks = [*value_marks_mm(terms, cell[0]), *_ends(others.values())]
    for limit in terms.limits:
        marks += _differences_mm(limit, terms.base_mm, others, cell)
    return marks


def _differences_mm(limit: Limit, base_mm: Decimal | None, others: dict[Cell, Decimal], cell: Cell) -> list[Decimal]:
    """Where one difference reaches its limit, and where it begins to count."""
    match limit.measure:
        case Measure.WEAR:
            return [] if base_mm is None else [base_mm + limit.size.mm]
        case Measure.OVALITY:
            compared = [mm for (level, _), mm in others.items() if level == cell[0]]
        case Measure.TAPER:
            compared = [mm for (_, axis), mm in others.items() if axis == cell[1]]
        case Measure.OVERALL:
            compared = list(others.values())
        case _:
            compared = []
    standing = _standing_mm(limit.measure, others)
    return [
        mark
        for end in _ends(compared)
        for width in {NOTHING, limit.size.mm, standing}
        for mark in (end - width, end + width)
    ]


def _standing_mm(measure: Measure, others: dict[Cell, Decimal]) -> Decimal:
    """The difference that stands already without the cell: a smaller one of its own does not count."""
    index = {Measure.OVALITY: 0, Measure.TAPER: 1}.get(measure)
    if index is None:
        return NOTHING
    groups: dict[str, list[Decimal]] = {}
    for at, mm in others.items():
        groups.setdefault(at[index], []).append(mm)
    return max((max(group) - min(group) for group in groups.values()), default=NOTHING)


def clearance_marks_mm(limits: Iterable[Limit], outer: Mate, inner: Mate, is_outer: bool) -> list[Decimal]:
    """The sizes at which a clearance reaches its limits while one of its two sizes is gauged and the other stands."""
    standing = _ends((inner if is_outer else outer).sizes_mm)
    own = _ends((outer if is_outer else inner).sizes_mm)
    sign = 1 if is_outer else -1
    return [*own, *(end + sign * limit.size.mm for limit in limits for end in standing)]


def leaf_marks_mm(terms: Terms, level: str) -> list[Decimal]:
    """Where a pair of leaves turns: at each limit, at the leaves about it, and where their errors reach it."""
    return [mark for limit_mm in value_marks_mm(terms, level) for mark in _about(terms, limit_mm)]


def _about(terms: Terms, limit_mm: Decimal) -> Iterator[Decimal]:
    """The marks about one limit."""
    yield limit_mm
    if terms.is_guarded:
        yield from (limit_mm + side * error for _, error in LEAF_ERRORS_MM for side in (-1, 1))
        yield from (up_to for up_to, _ in LEAF_ERRORS_MM)
        return
    yield from sorted(leaf for leaf in terms.makeable_mm if leaf < limit_mm)[-1:]
    yield from sorted(leaf for leaf in terms.makeable_mm if leaf > limit_mm)[:1]


def _ends(sizes_mm: Iterable[Decimal]) -> list[Decimal]:
    """The smallest and the largest of what there is."""
    known = sorted(sizes_mm)
    return [known[0], known[-1]] if known else []
