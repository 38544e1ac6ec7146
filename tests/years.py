"""Measures the re-judging of years of old paper in a process of its own, where nothing else counts its steps.

`python -m tests.years time 100000` and `python -m tests.years memory 20000` print what was measured as JSON.
"""

import csv
import gc
import json
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from app.actions.rejudging import rejudge
from app.reports.verdict_files import Format
from tests.builders import NOW
from tests.house.readme import clean_environment
from tests.house.source import ROOT
from tests.old_paper import a_sheet, write_years

WARMING_ROWS = 200  # what is imported and kept for good at first use is no part of what a file needs


def measured(what: str, row_count: int) -> dict[str, float]:
    """Measure in a process of its own."""
    command = [sys.executable, "-m", "tests.years", what, str(row_count)]
    told = subprocess.run(command, cwd=ROOT, env=clean_environment(), check=True, capture_output=True, text=True)
    figures: dict[str, float] = json.loads(told.stdout)
    return figures


def measure_time(folder: Path, row_count: int) -> dict[str, float]:
    """The processor's time that a bare parse of a file takes, and that of re-judging it."""
    path = folder / "years.csv"
    write_years(path, a_sheet(), row_count)
    parsing_s = min(_parse_s(path) for _ in range(3))
    begun_s, begun_wall_s = time.process_time(), time.perf_counter()
    _rejudge(folder, path)
    return {
        "parsing_s": parsing_s,
        "judging_s": time.process_time() - begun_s,
        "judging_wall_s": time.perf_counter() - begun_wall_s,
    }


def _parse_s(path: Path) -> float:
    """How long a bare parse takes."""
    begun_s = time.process_time()
    with path.open(encoding="utf-8", newline="") as file:
        for _ in csv.DictReader(file):
            pass
    return time.process_time() - begun_s


def measure_memory(folder: Path, row_count: int) -> dict[str, float]:
    """The most memory held at once while a file is re-judged; what nothing refers to any more is not held."""
    warming, path = folder / "few.csv", folder / "years.csv"
    write_years(warming, a_sheet(), WARMING_ROWS)
    write_years(path, a_sheet(), row_count)
    _rejudge(folder / "warming", warming)
    gc.collect()
    gc.freeze()  # so that collecting goes through what this file needs only
    tracemalloc.start()
    _rejudge(folder, path, gc.collect)
    return {"peak_bytes": tracemalloc.get_traced_memory()[1]}


def _rejudge(folder: Path, path: Path, after_each: Callable[[], object] = lambda: None) -> None:
    """Re-judge a file of which every row is to be believed."""
    tally = rejudge(a_sheet(), path, folder / "out", Format.BOTH, NOW, lambda _: after_each())
    assert tally.refused_count == 0, tally.words


if __name__ == "__main__":
    with TemporaryDirectory() as temporary:
        measure = {"time": measure_time, "memory": measure_memory}[sys.argv[1]]
        print(json.dumps(measure(Path(temporary), int(sys.argv[2]))))
