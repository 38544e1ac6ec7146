"""Tests of what an instrument is worth on a day, and of readings without its error."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from app.domain.instruments import Calibration, Instrument, Status, corrected
from app.domain.limits import Method
from app.domain.numbers import millimetres
from app.domain.readings import Kind, Occasion, Place, Reading

WHEN = datetime(2026, 11, 24, tzinfo=UTC)
GOOD = Calibration(date(2025, 1, 10), date(2026, 1, 10), "K-101")
GOOD_AGAIN = Calibration(date(2026, 1, 8), date(2027, 1, 8), "K-202")
OUT = Calibration(date(2026, 11, 20), date(2027, 11, 20), "K-303", Decimal("0.02"))
MICROMETER = Instrument(1, "M-7", Method.MICROMETER, "0 to 25 mm", "0.01 mm", "0.004 mm", (GOOD, GOOD_AGAIN, OUT))


@pytest.mark.parametrize(
    ("day", "status"),
    [
        (date(2025, 1, 9), Status.NEVER),
        (date(2025, 1, 10), Status.IN_DATE),
        (date(2026, 11, 19), Status.IN_DATE),
        (date(2026, 11, 20), Status.OUT),
    ],
)
def test_status_is_that_of_the_calibration_that_held_on_the_day(day: date, status: Status) -> None:
    assert MICROMETER.status_on(day) is status


@pytest.mark.parametrize(("day", "status"), [(date(2026, 1, 10), Status.IN_DATE), (date(2026, 1, 11), Status.OVERDUE)])
def test_instrument_is_in_date_on_its_due_day_and_overdue_after_it(day: date, status: Status) -> None:
    assert replace(MICROMETER, calibrations=(GOOD,)).status_on(day) is status


def test_status_in_words_names_due_day_and_certificate() -> None:
    assert MICROMETER.words_on(date(2026, 3, 1)) == "in date, due 8 Jan 2027, certificate K-202"
    assert MICROMETER.words_on(date(2020, 3, 1)) == "never calibrated"


def test_readings_are_in_doubt_from_the_last_good_calibration_on() -> None:
    assert MICROMETER.doubtful == ((GOOD_AGAIN.on, OUT),)
    assert replace(MICROMETER, calibrations=(OUT,)).doubtful == ((date.min, OUT),)
    assert replace(MICROMETER, calibrations=(GOOD,)).doubtful == ()
    again = replace(OUT, on=OUT.on + timedelta(days=90), error_mm=Decimal("0.05"))
    assert replace(MICROMETER, calibrations=(GOOD, OUT, again)).doubtful == ((OUT.on, again), (GOOD.on, OUT))


def test_error_is_taken_from_both_leaves_and_nothing_is_taken_from_what_was_seen() -> None:
    place = Place("2.ring-1", "closed-gap")
    pair = {"goes": millimetres("0.60"), "does_not_go": millimetres("0.65")}
    leaves = Reading("r1", place, Occasion.AS_FOUND, Kind.PAIR, "MT", "MT", WHEN, WHEN, **pair)
    seen = Reading("r2", place, Occasion.AS_FOUND, Kind.SEEN, "MT", "MT", WHEN, WHEN, findings=("sound",))

    without = corrected(leaves, Decimal("-0.01"))

    assert (without.goes, without.does_not_go) == (millimetres("0.61"), millimetres("0.66"))
    assert corrected(seen, Decimal("0.01")) == seen
