"""The invented instruments of the station with their calibrations: one is overdue now, one was found out once."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, timedelta

from app.actions.instruments import add_instrument, calibrate
from app.demonstration.working_days import Clock
from app.domain.limits import Method
from app.domain.people import Person
from app.store.book import Book

EVERY_DAYS, DUE_AFTER_DAYS = 365, 385
BACK_AFTER_DAYS = 15  # of one that was found out: so long it is away to be put right
AFTER_THE_ROUND_MINUTES = 280


@dataclass(frozen=True)
class InventedInstrument:
    """An instrument, when it was calibrated last, and the error that the calibration before that found, if any."""

    name: str
    method: Method
    measures: str
    resolution: str
    permissible_error: str
    last_days_ago: int
    error_mm: str = ""

    def calibrations(self, began_days_ago: int) -> Iterator[tuple[int, str]]:
        """List how many days ago it was calibrated, with the error that was found."""
        for days_ago in range(self.last_days_ago, began_days_ago, EVERY_DAYS):
            is_found_out = bool(self.error_mm) and days_ago == self.last_days_ago + EVERY_DAYS
            yield days_ago, self.error_mm if is_found_out else ""
            if is_found_out:
                yield days_ago - BACK_AFTER_DAYS, ""


INSTRUMENTS = (
    InventedInstrument("F-07", Method.FEELER, "leaves 0.02 to 1.00 mm", "0.01 mm", "0.005 mm", 60),
    InventedInstrument("B-03", Method.BORE_GAUGE, "35 to 160 mm", "0.01 mm", "0.01 mm", 150),
    InventedInstrument("M-11", Method.MICROMETER, "0 to 150 mm, in six", "0.01 mm", "0.004 mm", 210),
    InventedInstrument("D-02", Method.DEPTH_GAUGE, "0 to 25 mm", "0.01 mm", "0.02 mm", 120, "-0.03"),
    InventedInstrument("C-05", Method.CALIPER, "0 to 150 mm", "0.1 mm", "0.05 mm", 415),
)


def register(book: Book, by: Person, clock: Clock) -> dict[str, int]:
    """Put them into the register, and give their numbers by their names."""
    return {each.name: add_instrument(book, by, _typed(each), clock.after(4)) for each in INSTRUMENTS}


def calibrated(book: Book, by: Person, number: int, name: str, error_mm: str, clock: Clock) -> None:
    """Enter the certificate of a calibration."""
    now = clock.now
    on, due = now.date(), now.date() + timedelta(days=DUE_AFTER_DAYS)
    typed = {"on": on.isoformat(), "due": due.isoformat(), "certificate": _certificate(name, on), "error_mm": error_mm}
    calibrate(book, by, number, typed, UTC, now)


def _typed(each: InventedInstrument) -> dict[str, str]:
    """Describe an instrument as its form is filled in."""
    beside = {"resolution": each.resolution, "permissible_error": each.permissible_error}
    return {"name": each.name, "method": each.method.value, "measures": each.measures, **beside}


def _certificate(name: str, on: date) -> str:
    """Name a certificate."""
    return f"QM-CAL {on:%y%m%d} {name}"
