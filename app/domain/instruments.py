"""Instruments: what each is, when it was calibrated, and what its readings are worth on a day."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from app.domain.days import date_words
from app.domain.limits import Method
from app.domain.numbers import Length
from app.domain.readings import Reading
from app.domain.units import LengthUnit


class Status(StrEnum):
    """What an instrument was worth on a day; the value is the word shown."""

    IN_DATE = "in date"
    OVERDUE = "overdue"
    NEVER = "never calibrated"
    OUT = "found out of tolerance"


@dataclass(frozen=True)
class Calibration:
    """One calibration by its certificate; an error beyond the permissible one stands with its sign."""

    on: date
    due: date
    certificate: str
    error_mm: Decimal | None = None  # what it showed less what was true; None where it was within tolerance


@dataclass(frozen=True)
class Instrument:
    """One instrument of the register, with its calibrations in the order of their days."""

    id: int
    name: str
    method: Method
    measures: str
    resolution: str
    permissible_error: str
    calibrations: tuple[Calibration, ...] = ()

    def calibration_on(self, day: date) -> Calibration | None:
        """Give the calibration that held on a day."""
        return next((each for each in reversed(self.calibrations) if each.on <= day), None)

    def status_on(self, day: date) -> Status:
        """Tell what it was worth on a day; the due day itself is still in date."""
        held = self.calibration_on(day)
        if held is None:
            return Status.NEVER
        if held.error_mm is not None:
            return Status.OUT
        return Status.IN_DATE if day <= held.due else Status.OVERDUE

    def words_on(self, day: date) -> str:
        """Say the status on a day with the certificate and the due day."""
        held, status = self.calibration_on(day), self.status_on(day)
        return f"{status}" if held is None else f"{status}, due {date_words(held.due)}, certificate {held.certificate}"

    @property
    def doubtful(self) -> tuple[tuple[date, Calibration], ...]:
        """Give each calibration that found it out, the last first, with the day from which its readings are in doubt.

        That is the calibration before: a good one, or one that had found it out with another error.
        """
        days = [each.on for each in self.calibrations]
        found = [each for each in reversed(self.calibrations) if each.error_mm is not None]
        return tuple((max((on for on in days if on < each.on), default=date.min), each) for each in found)


def corrected(reading: Reading, error_mm: Decimal) -> Reading:
    """Give a reading as it would have been without the instrument's error.

    Formula: true = read - error, for a size, a deviation and both leaves alike

    Parameters:
        reading [mm]: what was read.
        error_mm [mm]: what the instrument showed less what was true.

    Returns:
        the reading, its lengths less the error [mm].

    Safe side: neither; the error at calibration stands for the whole time since the last good one.
    Valid: any reading; what was seen is unchanged.

    >>> from datetime import UTC, datetime
    >>> from app.domain.numbers import millimetres
    >>> from app.domain.readings import Kind, Occasion, Place
    >>> when, place = datetime(2026, 11, 24, tzinfo=UTC), Place("2.pin", "diameter")
    >>> read = Reading("r1", place, Occasion.AS_FOUND, Kind.SIZE, "MT", "MT", when, when, millimetres("22.00"))
    >>> corrected(read, Decimal("0.02")).size_mm
    Decimal('21.98')

    Sources:
        1. JCGM 200:2012, 2.17 and 2.53: the error is the measured less the true value, a correction takes it away.
           From memory.
    """
    value, goes, stops = (_less(each, error_mm) for each in (reading.value, reading.goes, reading.does_not_go))
    return replace(reading, value=value, goes=goes, does_not_go=stops)


def _less(length: Length | None, error_mm: Decimal) -> Length | None:
    """Take an error from a length."""
    if length is None:
        return None
    true_mm = length.mm - error_mm
    return Length(str(true_mm), true_mm, LengthUnit.MM)
