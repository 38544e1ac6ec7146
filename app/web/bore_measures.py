"""The measures of a bore as they stand while it is gauged, each with its limit and the verdict it already carries."""

from dataclasses import dataclass
from decimal import Decimal

from app.domain.bores import entries_of
from app.domain.characteristic_verdicts import measures_so_far
from app.domain.limits import Characteristic, Limit, Measure, Part, Side
from app.domain.numbers import figure
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import terms_of
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict

NAMES = {Measure.OVERALL: "overall", Measure.VALUE: "size"}


@dataclass(frozen=True)
class BoreMeasure:
    """One measure of a bore as it stands: its figure, its limit, and the verdict it already carries."""

    name: str
    figure: str
    limit: str
    verdict: Verdict


def bore_measures(
    overhaul: Overhaul, part: Part, characteristic: Characteristic | None, occasion: Occasion, renewed: str
) -> tuple[BoreMeasure, ...]:
    """What a bore's grid says so far, measure by measure; nothing of what is no grid."""
    if characteristic is None or not characteristic.is_grid:
        return ()
    terms = terms_of(overhaul, part, characteristic, occasion, renewed)
    entries = entries_of(overhaul.standing(occasion), part, characteristic.key)
    return tuple(_measure(characteristic, *one) for one in measures_so_far(terms, entries))


def _measure(characteristic: Characteristic, limit: Limit, value_mm: Decimal, verdict: Verdict) -> BoreMeasure:
    """Lay one measure of a bore out."""
    value, bound = (figure(mm, characteristic.unit, characteristic.decimals) for mm in (value_mm, limit.size.mm))
    sign = "/" if limit.side is Side.UPPER else "≥"
    return BoreMeasure(NAMES.get(limit.measure, limit.measure.value), value, f"{sign} {bound}", verdict)
