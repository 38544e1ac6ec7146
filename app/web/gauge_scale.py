"""The limit scale of the place being gauged, and the sentences beside it."""

from dataclasses import dataclass, replace
from decimal import Decimal

from app.domain.joints import along_circumference, lengthening
from app.domain.limits import Characteristic, Limit, Measure, Part, Side
from app.domain.overhaul_verdicts import is_with_the_set
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Place, Reading
from app.domain.reasons import many
from app.domain.units import from_mm
from app.domain.verdicts import Judged, Verdict
from app.reports.limit_scale import LimitScaleInput, LimitScaleLayout
from app.reports.limit_scale_layout import lay_out_limit_scale


@dataclass(frozen=True)
class Box:
    """What the verdict box says: the reason at this place first, then what decides, and what else changes."""

    reasons: list[str]
    also: list[str]
    advice: str
    source: str


def box_for(verdict: PartVerdict, place: Place, is_grid: bool) -> Box:
    """Collect the sentences of the verdict box for one place of a part."""
    key = place.characteristic, "" if is_grid else place.level
    here = [judged for judged in verdict.reasons if judged.place == key]
    lead = here[0] if here and here[0].figure else verdict.deciding
    reasons = [lead.reason]
    also = []
    if is_with_the_set(verdict):
        reasons.insert(0, verdict.set_reason)
        is_bare = verdict.own is Verdict.NOT_GAUGED
        also.append("Gauge it for the record." if is_bare else "Its own reading stays on the record.")
    elif verdict.own is Verdict.NOT_GAUGED:
        reasons += _still_to_gauge(verdict, lead, key)
    elif lead.verdict is not verdict.own:
        reasons.append(verdict.deciding.reason)
    if verdict.set_reason and not is_with_the_set(verdict):
        also.append(verdict.set_reason)
    if verdict.waits_for:
        also.append(f"Waits for {verdict.waits_for[0].name.lower()}: judged again after that is done.")
    return Box(reasons, also, lead.advice or verdict.deciding.advice, lead.source)


def _still_to_gauge(verdict: PartVerdict, lead: Judged, here: tuple[str, str]) -> list[str]:
    """Name what is missing of a part besides the place shown."""
    missing = [j for j in verdict.judged if j.verdict is Verdict.NOT_GAUGED and j is not lead and j.place != here]
    return [f"Still to gauge: {many([j.measure[:1].lower() + j.measure[1:] for j in missing])}."] if missing else []


def scale_for(
    part: Part,
    characteristic: Characteristic | None,
    reading: Reading | None,
    verdict: Verdict,
    last_mm: Decimal | None,
    kept: bool,
) -> LimitScaleLayout | None:
    """Lay the limit scale out for one place; a bore's measures have none here."""
    if characteristic is None or characteristic.is_grid or not (characteristic.limits or characteristic.new):
        return None
    upper, lower = (_limit(characteristic, side) for side in (Side.UPPER, Side.LOWER))

    def shown(length_mm: Decimal | None) -> Decimal | None:
        """Express a length in the sheet's unit, for drawing."""
        return None if length_mm is None else from_mm(length_mm, characteristic.unit)

    new, longer = characteristic.new, lengthening(part, characteristic.key)
    scale = LimitScaleInput(
        decimals=characteristic.decimals,
        limit_high=shown(upper.size.mm if upper else None),
        limit_low=shown(lower.size.mm if lower else None),
        new_low=shown(new.lower.mm if new else None),
        new_high=shown(new.upper.mm if new else None),
        last=shown(last_mm * longer if last_mm is not None else None),
        verdict=verdict.value,
        beyond=upper.outcome.value if upper else "renew",
        below=lower.outcome.value if lower else "renew",
        kept=kept,
    )
    if reading is not None:
        reading = along_circumference(part, reading)
        scale = replace(scale, reading=shown(reading.size_mm), goes=shown(reading.goes.mm if reading.goes else None),
                        does_not_go=shown(reading.does_not_go.mm if reading.does_not_go else None))  # fmt: skip
    return lay_out_limit_scale(scale)


def _limit(characteristic: Characteristic, side: Side) -> Limit | None:
    """The limit of the value itself on one side."""
    return next((one for one in characteristic.limits if one.measure is Measure.VALUE and one.side is side), None)
