"""What the verdicts of a sealed record would be by its amended values, beside those that were signed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from app.domain.amending import is_sealed
from app.domain.amendments import Amendment, amended_readings
from app.domain.holds import needs_fitting
from app.domain.limits import Part
from app.domain.overhaul import Overhaul
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.part_verdicts import PartVerdict, judge_as_fitted
from app.domain.readings import Occasion, Reading
from app.domain.verdicts import Judged, Verdict, heavier, heaviest


@dataclass(frozen=True)
class AmendedVerdict:
    """One part of a sealed record: the verdict that was signed, and the sheet's by the amended values."""

    part: Part
    occasion: Occasion
    signed: Verdict
    by_sheet: Verdict  # by the sheet, of the values that were signed
    amended: Verdict  # by the same sheet, of the amended values
    reason: str  # of the amended one

    @property
    def differs(self) -> bool:
        """Whether the amended values lead to another verdict than was signed."""
        return self.amended not in (self.signed, self.by_sheet)

    @property
    def is_worse(self) -> bool:
        """Whether the amended values ask for more than was signed."""
        return self.differs and heavier(self.signed, self.amended) is self.amended

    @property
    def words(self) -> str:
        """Put both beside each other: signed: REUSE; by the amended value: RENEW."""
        decided = f", decided; the sheet then: {self.by_sheet.word}" if self.signed is not self.by_sheet else ""
        fitted = ", as fitted" if self.occasion is Occasion.AS_FITTED else ""
        return f"signed{fitted}: {self.signed.word}{decided} – by the amended value: {self.amended.word}"

    @property
    def named(self) -> str:
        """Say it with the part's name."""
        return f"{self.part.item} {self.part.name}, {self.words}"


def amended_verdicts(overhaul: Overhaul, waiting: Amendment | None = None) -> tuple[AmendedVerdict, ...]:
    """Judge again by the overhaul's own sheet: each part with an amended entry, and whatever its change changes too.

    What counts is signed; `waiting` is an amendment that is looked at as if it were. What was signed stays.
    """
    amended = amended_readings(overhaul.amendments)
    if waiting is not None and waiting.amended is not None:
        amended |= {waiting.reading: waiting.amended}
    found = judged_with(overhaul, amended) if amended else ()
    return tuple(each for each in found if is_sealed(overhaul, each.occasion))


def judged_with(overhaul: Overhaul, amended: Mapping[str, Reading]) -> tuple[AmendedVerdict, ...]:
    """Judge an overhaul again with other entries in the place of its own, each by the identifier of its own."""
    again = with_amended(overhaul, amended)
    signed = judge_overhaul(overhaul)
    touched = {(reading.occasion, reading.place.part) for reading in amended.values()}
    return (*_as_found(again, signed, touched), *_as_fitted(overhaul, again, signed, touched))


def verdicts_by(overhaul: Overhaul, amendment: Amendment) -> tuple[AmendedVerdict, ...]:
    """Give what one amendment comes to: the verdict of its own part, and every other that the amended values change."""
    if amendment.amended is None or not (amendment.is_signed or amendment.is_open):
        return ()
    own = amendment.part, amendment.amended.occasion
    found = amended_verdicts(overhaul, amendment if amendment.is_open else None)
    return tuple(each for each in found if (each.part.ref, each.occasion) == own or each.differs)


def own_words(overhaul: Overhaul, amendment: Amendment) -> str:
    """Say of the amended entry's own part what the amended values come to, loudly where that is another verdict."""
    own = [each for each in verdicts_by(overhaul, amendment) if each.part.ref == amendment.part]
    return "; ".join(f"VERDICT DIFFERS, {each.words}" if each.differs else each.words for each in own)


def with_amended(overhaul: Overhaul, amended: Mapping[str, Reading]) -> Overhaul:
    """Put amended entries in the place of those that they correct."""
    readings, looks = (
        tuple(amended.get(reading.id, reading) for reading in entries)
        for entries in (overhaul.readings, overhaul.looks)
    )
    return replace(overhaul, readings=readings, looks=looks)


def _as_found(
    again: Overhaul, signed: tuple[PartVerdict, ...], touched: set[tuple[Occasion, str]]
) -> Iterator[AmendedVerdict]:
    """Judge again what was found."""
    for then, now in zip(signed, judge_overhaul(again), strict=True):
        if (Occasion.AS_FOUND, then.part.ref) in touched or then.machine is not now.machine:
            reason = now.set_reason or now.deciding.reason
            yield AmendedVerdict(then.part, Occasion.AS_FOUND, then.verdict, then.machine, now.machine, reason)


def _as_fitted(
    overhaul: Overhaul, again: Overhaul, signed: tuple[PartVerdict, ...], touched: set[tuple[Occasion, str]]
) -> Iterator[AmendedVerdict]:
    """Judge again what was fitted."""
    for verdict in signed:
        is_touched = (Occasion.AS_FITTED, verdict.part.ref) in touched
        if not (is_touched or needs_fitting(verdict)):
            continue
        then, now = (judge_as_fitted(each, verdict.part, renewed_object(verdict)) for each in (overhaul, again))
        if is_touched or _heaviest(then) is not _heaviest(now):
            deciding = next(judged for judged in now if judged.verdict is _heaviest(now))
            yield AmendedVerdict(
                verdict.part, Occasion.AS_FITTED, _heaviest(then), _heaviest(then), _heaviest(now), deciding.reason
            )


def _heaviest(judged: tuple[Judged, ...]) -> Verdict:
    """Combine what was judged of one part."""
    return heaviest([each.verdict for each in judged])
