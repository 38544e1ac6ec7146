"""The fitter does the work that was decided, enters what went in, and gauges it again before the machine is closed."""

from app.actions.fittings import enter_fitting
from app.demonstration.deciding import made_to
from app.demonstration.gauging import gauge_as_fitted
from app.demonstration.visit import Visit
from app.domain.holds import FittedWork, fitted_work
from app.domain.limits import PartKind
from app.domain.numbers import Length, parse_length
from app.domain.order_lines import OrderLine
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import renewed_object
from app.domain.verdicts import Verdict

MINUTES_A_FITTING = 6


def do_the_work(visit: Visit) -> None:
    """Rework and renew, enter the fittings, gauge as fitted."""
    found = visit.overhaul()
    works = fitted_work(found)
    sizes = _base_sizes(found, works)
    for work in sorted(works, key=lambda work: work.part.kind is PartKind.RING):  # a ring is filed to its bore
        _work_on(visit, found, work, sizes)
    _enter_fittings(visit, found, works, sizes)
    gauge_as_fitted(visit, [work.part for work in works], sizes)


def _base_sizes(found: Overhaul, works: tuple[FittedWork, ...]) -> dict[str, Length]:
    """Give the size each cylinder has after the work, where it is not the sheet's own."""
    honed = {w.part.ref: parse_length(made_to(w.found), found.sheet.unit) for w in works if made_to(w.found)}
    new = {w.part.ref for w in works if w.is_renewed}
    return {ref: size for ref, size in (dict(found.base_sizes) | honed).items() if ref not in new}


def _work_on(visit: Visit, found: Overhaul, work: FittedWork, sizes: dict[str, Length]) -> None:
    """Change the machine's true condition by the work done on one part."""
    part, hours = work.part, float(found.hours)
    if work.is_renewed:
        visit.condition.renew(part, hours, _grown_mm(found, part.stage, sizes))
    elif work.found.verdict is not Verdict.REWORK:
        return
    elif part.kind is PartKind.VALVE:
        visit.condition.lap(part)
    elif part.kind is PartKind.PISTON:
        visit.condition.dress(part)
    elif made_to(work.found):
        visit.condition.hone(part, float(sizes[part.ref].mm), hours)


def _grown_mm(found: Overhaul, stage: int, sizes: dict[str, Length]) -> float:
    """Give how much larger than the sheet's a stage's bore is made."""
    for part in found.parts:
        base = part.characteristics[0].base_size if part.kind is PartKind.CYLINDER and part.stage == stage else None
        if base is not None and part.ref in sizes:
            return float(sizes[part.ref].mm - base.mm)
    return 0


def _enter_fittings(visit: Visit, found: Overhaul, works: tuple[FittedWork, ...], sizes: dict[str, Length]) -> None:
    """Enter each renewed part or set once, and each size a cylinder was honed to."""
    entered: set[str] = set()
    for work in works:
        ref = work.found.with_set.ref if work.found.with_set else work.part.ref
        size = made_to(work.found)
        if ref in entered or not (work.is_renewed or size):
            continue
        entered.add(ref)
        visit.clock.after(MINUTES_A_FITTING)
        typed = {"made_to": size} if size else _new_part(visit, found, work, ref, sizes)
        enter_fitting(visit.book, visit.fitter, visit.overhaul_id, ref, typed, visit.clock.now)


def _new_part(visit: Visit, found: Overhaul, work: FittedWork, ref: str, sizes: dict[str, Length]) -> dict[str, str]:
    """Give the number and the batch that stand on a new part; an oversize stands behind the number."""
    cylinder = f"{work.part.stage}.cylinder"
    is_oversize = cylinder in sizes and work.part.kind in (PartKind.RING, PartKind.PISTON)
    oversize = f" oversize {sizes[cylinder].typed}" if is_oversize else ""
    batch = visit.chance("batch", ref).randrange(100, 1000)
    return {"number": f"{_order(work).number}{oversize}", "batch": f"{found.opened_at:%y}-{batch}"}


def _order(work: FittedWork) -> OrderLine:
    """Find what was ordered for a renewed part: its set's line, or the line of what is renewed on it."""
    if work.found.with_set is not None and work.found.with_set.order is not None:
        return work.found.with_set.order
    renewed = renewed_object(work.found)
    return next((line for line in work.part.orders if line.renews == renewed), work.part.orders[-1])
