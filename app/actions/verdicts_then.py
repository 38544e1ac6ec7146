"""Verdicts of their day: what one characteristic came to at a past opening."""

from collections.abc import Sequence

from app.actions.past_overhauls import PastOverhaul
from app.actions.trends import LifeReading
from app.domain.bores import entries_of
from app.domain.characteristic_verdicts import judge_characteristic
from app.domain.limits import Measure
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict, heaviest


def verdict_then(
    past: PastOverhaul, ref: str, key: str, occasion: Occasion, measure: Measure = Measure.VALUE
) -> Verdict:
    """What one characteristic came to at one opening; of a bore one measure, or all of them together."""
    part = past.part(ref)
    characteristic = part.characteristic(key) if part else None
    if part is None or characteristic is None:
        return Verdict.NOT_GAUGED
    entries = entries_of(dict(past.entries[occasion]), part, key)
    judged = judge_characteristic(past.terms(part, characteristic, occasion), entries)
    of_measure = [one for one in judged if one.measure == str(measure)]
    return heaviest([one.verdict for one in of_measure or judged])


def verdict_of_last(
    past: Sequence[PastOverhaul],
    readings: Sequence[LifeReading],
    refs: Sequence[str],
    key: str,
    measure: Measure = Measure.VALUE,
) -> Verdict:
    """The verdict on the last of some readings, by this characteristic of these parts alone."""
    if not readings:
        return Verdict.NOT_GAUGED
    last = readings[-1]
    opening = next(each for each in past if each.overhaul.number == last.overhaul_number)
    return heaviest([verdict_then(opening, ref, key, last.occasion, measure) for ref in refs])
