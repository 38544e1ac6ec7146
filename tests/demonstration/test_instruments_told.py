"""The instruments of the demonstration: in the register before they gauge, calibrated each year, one found out once."""

from datetime import UTC

from app.actions.instruments import doubts, register, statuses
from app.domain.instruments import Status
from tests.demonstration.told import Told
from tests.demonstration_book import demonstration_now


def test_every_instrument_of_a_reading_was_in_date_then_but_the_caliper_that_is_overdue_now(told: Told) -> None:
    said = [words for each in told.all for words in statuses(told.book, each, UTC)]
    today = demonstration_now().date()

    odd = {(name, words.partition(",")[0]) for name, words in said if not words.startswith("in date")}
    assert {name for name, _ in said} == {"F-07", "B-03", "M-11", "D-02", "C-05"}
    assert odd <= {("C-05", Status.OVERDUE.value)}
    assert {each.name for each in register(told.book) if each.status_on(today) is not Status.IN_DATE} == {"C-05"}


def test_depth_gauge_was_found_out_once_and_its_readings_since_the_calibration_before_are_listed(told: Told) -> None:
    found = {each.name: doubts(told.book, each, UTC) for each in register(told.book)}

    assert [name for name, doubtful in found.items() if doubtful] == ["D-02"]
    assert all(reading.instrument == "D-02" for doubt in found["D-02"] for reading in doubt.readings)
