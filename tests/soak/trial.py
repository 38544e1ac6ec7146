"""The trial: tablets work at once, the server's memory is looked at, and the book must hold what was acknowledged."""

import random
import sqlite3
import threading
import time
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from statistics import linear_regression, median

from app.actions.verifying import verify_book
from app.settings import Settings
from app.store.book import Book
from tests.benchmarks.figures import percentile
from tests.benchmarks.processes import LOG, Served, the_program
from tests.benchmarks.workplace import Workplace, a_workplace
from tests.builders import a_book
from tests.soak.tablet import Tablet

LOOKED_EVERY_S = 5.0
FLAT = 0.5  # MB a minute over the last half; more than that would fill a small computer within days
WARMING = 0.2  # the share of the time after which slopes are taken: until then everything is read for the first time


@dataclass(frozen=True)
class Outcome:
    """What was found: the faults, and the figures in words."""

    faults: tuple[str, ...]
    words: str


def soak(folder: Path, tablets: int, seconds: float, seed: int, thinking_s: float) -> Outcome:
    """Let tablets work for a while; then hold the book to what they were told."""
    book = a_book(folder)
    place = a_workplace(book, tablets)
    book.close()
    with the_program(folder) as served:
        workers = [_tablet(served, place, number, seed, thinking_s) for number in range(tablets)]
        memory = _work(served, workers, seconds)
    faults = [words for worker in workers for words in worker.faults]
    faults += _lost_or_doubled(folder, workers)
    faults += [f"the server said: {line}" for line in (folder / LOG).read_text().splitlines() if line.strip()]
    return Outcome(tuple(faults), _words(workers, memory, seconds))


def _tablet(served: Served, place: Workplace, number: int, seed: int, thinking_s: float) -> Tablet:
    """A tablet at its desk, with chances of its own."""
    return Tablet(served.port, place.desks[number], place.readings, random.Random(f"{seed} {number}"), thinking_s)


def _work(served: Served, workers: list[Tablet], seconds: float) -> list[tuple[float, float]]:
    """Let all work at once, and note what the server holds in memory: when [s], and how much [MB]."""
    end, memory = time.monotonic() + seconds, list[tuple[float, float]]()
    threads = [threading.Thread(target=_guarded, args=(worker, end)) for worker in workers]
    for thread in threads:
        thread.start()
    while time.monotonic() < end:
        memory.append((time.monotonic(), served.memory_mb()))
        time.sleep(min(LOOKED_EVERY_S, max(0.0, end - time.monotonic())))
    for thread in threads:
        thread.join()
    return memory


def _guarded(worker: Tablet, end: float) -> None:
    """Let one work; what nobody expected is a fault."""
    try:
        worker.work(end)
    except Exception as reason:
        worker.faults.append(f"{worker.desk}: {reason!r}")


def _lost_or_doubled(folder: Path, workers: list[Tablet]) -> list[str]:
    """Name every acknowledged reading that is not in the book once, every other that nobody sent, and a broken book."""
    with closing(sqlite3.connect(folder / "wearbook.db")) as connection:
        rows = connection.execute("SELECT r.id FROM reading r JOIN overhaul o ON o.id = r.overhaul_id WHERE o.id > 1")
        times = Counter(identifier for (identifier,) in rows)
    acknowledged = {one for worker in workers for one in worker.acknowledged}
    sent = {one for worker in workers for one in worker.sent}
    faults = [f"{one} is in the book {times[one]} times" for one in acknowledged if times[one] != 1]
    faults += [f"{one} is in the book, and nobody sent it" for one in times if one not in sent]
    with closing(Book(folder / "wearbook.db")) as book:
        return [*faults, *verify_book(book, Settings(data_folder=folder)).faults]


def _words(workers: list[Tablet], memory: list[tuple[float, float]], seconds: float) -> str:
    """Put the figures into words."""
    took = sorted(each for worker in workers for each in worker.took)
    begun = memory[0][0] + WARMING * seconds
    late, held = [each for each in took if each[0] >= begun], [each for each in memory if each[0] >= begun]
    figures = [ms for _, ms in late]
    cuts, again = sum(worker.cuts for worker in workers), sum(worker.again for worker in workers)
    third = max(1, len(late) // 3)
    first_ms, last_ms = median(figures[:third]), median(figures[-third:])
    return "\n".join(
        (
            f"{len(workers)} tablets, {seconds:.0f} s: {len(took)} readings acknowledged, {cuts} requests cut, "
            f"{again} sent again, {sum(len(worker.faults) for worker in workers)} errors",
            f"memory {held[0][1]:.0f} MB to {held[-1][1]:.0f} MB, {_in_last_half(memory, took)}",
            f"a save: median {median(figures):.1f} ms, 99th percentile {percentile(figures, 0.99):.1f} ms, "
            f"median of the first third {first_ms:.1f} ms and of the last {last_ms:.1f} ms, "
            f"slope {_slope(late):+.2f} ms a minute",
        )
    )


def _in_last_half(memory: list[tuple[float, float]], took: list[tuple[float, float]]) -> str:
    """Say how memory went once half of the time was over, also for each reading that was kept then."""
    half = memory[len(memory) // 2 :]
    kept = sum(half[0][0] <= at <= half[-1][0] for at, _ in took)
    slope, rise_kb = _slope(half), (half[-1][1] - half[0][1]) * 1024
    words = "flat" if slope <= FLAT else f"not flat, {rise_kb / max(1, kept):.1f} kB for each reading kept then"
    return f"in the last half {slope:+.2f} MB a minute: {words}"


def _slope(points: list[tuple[float, float]]) -> float:
    """How much the second rises in a minute of the first."""
    return linear_regression([at for at, _ in points], [value for _, value in points]).slope * 60
