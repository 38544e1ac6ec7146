"""Verdicts of their day: what one characteristic of a past opening was judged by, and what it came to."""

from collections.abc import Sequence

from app.actions.past_overhauls import PastOverhaul
from app.actions.trends import LifeReading
from app.domain.characteristic_verdicts import Terms, judge_characteristic
from app.domain.limits import Characteristic, Measure, Part
from app.domain.part_verdicts import entries_of, terms_of
from app.domain.readings import Occasion
from app.domain.verdicts import Verdict, heaviest


def terms_then(past: PastOverhaul, part: Part, characteristic: Characteristic, occasion: Occasion) -> Terms:
    """What a characteristic was judged by: its wear limits as found, its new range where a new part went in."""
    is_renewed = past.verdicts[part.ref].verdict is Verdict.RENEW
    return terms_of(past.overhaul, part, characteristic, occasion, is_renewed)


def verdict_then(
    past: PastOverhaul, ref: str, key: str, occasion: Occasion, measure: Measure = Measure.VALUE
) -> Verdict:
    """What one characteristic came to at one opening; of a bore one measure, or all of them together."""
    part = past.part(ref)
    characteristic = part.characteristic(key) if part else None
    if part is None or characteristic is None:
        return Verdict.NOT_GAUGED
    entries = entries_of(dict(past.entries[occasion]), part, key)
    judged = judge_characteristic(terms_then(past, part, characteristic, occasion), entries)
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
