"""Years of old paper are judged while one waits, in the memory that one opening needs."""

import pytest

from tests.years import measured

# Judging a row is the work of parsing it many times over. The bound is for what grows with the file, or is worked out
# again for every reading: both cost far more than the mood of the machine.
MOST_TIMES_A_BARE_PARSE = 100


def test_judging_twenty_thousand_readings_costs_no_more_than_their_judging() -> None:
    figures = measured("time", 20_000)

    print(f"20,000 readings: {figures}")
    assert figures["judging_s"] < MOST_TIMES_A_BARE_PARSE * figures["parsing_s"]


@pytest.mark.long
def test_a_hundred_thousand_readings_are_judged_in_twenty_seconds() -> None:
    figures = measured("time", 100_000)

    print(f"100,000 readings: {figures}")
    assert figures["judging_s"] < 20


@pytest.mark.parametrize("count", [1_000, pytest.param(5_000, marks=pytest.mark.long)])
def test_four_times_the_readings_need_no_more_memory(count: int) -> None:
    few, many = (measured("memory", each)["peak_bytes"] for each in (count, 4 * count))

    print(f"{count} readings: {few / 1e6:.2f} MB, {4 * count} readings: {many / 1e6:.2f} MB")
    assert many <= 1.3 * few
