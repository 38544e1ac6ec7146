"""Years of old paper are judged while one waits, in the memory that one opening needs."""

import csv
import time
import tracemalloc
from pathlib import Path

import pytest

from app.actions.rejudging import rejudge
from app.reports.verdict_files import Format
from tests.builders import NOW
from tests.old_paper import a_sheet, write_years

# Judging a reading is work of some hundred times the bare parse of its row; measured 60 to 90 times. The bound is
# for what grows with the file or is worked out again for every reading, which costs far more than the machine's mood.
MOST_TIMES_A_BARE_PARSE = 250


def seconds_of_cpu(folder: Path, row_count: int) -> tuple[float, float]:
    """The time a bare parse of a file takes, and that of re-judging it."""
    path = folder / "years.csv"
    write_years(path, a_sheet(), row_count)
    begun = time.process_time()
    with path.open(encoding="utf-8", newline="") as file:
        assert sum(1 for _ in csv.DictReader(file)) == row_count
    parsed = time.process_time()
    tally = rejudge(a_sheet(), path, folder / "out", Format.BOTH, NOW, lambda _: None)
    assert (tally.reading_count, tally.refused_count) == (row_count, 0)
    return parsed - begun, time.process_time() - parsed


def test_judging_twenty_thousand_readings_costs_no_more_than_their_judging(tmp_path: Path) -> None:
    parsing_s, judging_s = seconds_of_cpu(tmp_path, 20_000)

    print(f"20,000 readings: bare parse {parsing_s:.2f} s, judged in {judging_s:.2f} s of the processor")
    assert judging_s < MOST_TIMES_A_BARE_PARSE * parsing_s


@pytest.mark.long
def test_a_hundred_thousand_readings_are_judged_in_twenty_seconds(tmp_path: Path) -> None:
    parsing_s, judging_s = seconds_of_cpu(tmp_path, 100_000)

    print(f"100,000 readings: bare parse {parsing_s:.2f} s, judged in {judging_s:.2f} s of the processor")
    assert judging_s < 20


def test_four_times_the_readings_need_no_more_memory(tmp_path: Path) -> None:
    few, many = (peak_bytes(tmp_path / str(count), count) for count in (5_000, 20_000))

    assert many <= 1.3 * few


def peak_bytes(folder: Path, row_count: int) -> int:
    """The most memory held at once while a file is re-judged."""
    folder.mkdir()
    path, sheet = folder / "years.csv", a_sheet()
    write_years(path, sheet, row_count)
    tracemalloc.start()
    try:
        rejudge(sheet, path, folder / "out", Format.BOTH, NOW, lambda _: None)
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
