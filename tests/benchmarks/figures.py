"""A figure beside its floor and its mark, and the table that figures are printed as."""

import json
import os
import platform
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path


@dataclass(frozen=True)
class Figure:
    """What was measured: the program, the floor where there is one, and the mark that the two are held to."""

    name: str
    program: float
    floor: float | None
    unit: str
    mark: float
    is_at_least: bool = False

    @property
    def held(self) -> float:
        """What the mark is about: the ratio to the floor, else the figure itself."""
        return self.program if self.floor is None else self.program / self.floor

    @property
    def is_met(self) -> bool:
        """Whether the mark is met."""
        return self.held >= self.mark if self.is_at_least else self.held <= self.mark

    @property
    def row(self) -> tuple[str, ...]:
        """The figure as a row of the table."""
        sign, unit = ("≥" if self.is_at_least else "≤"), f" {self.unit}".rstrip()
        floor = "" if self.floor is None else f"{self.floor:,.4g}{unit}"
        held = f"{self.held:.2f} times" if self.floor is not None else f"{self.held:,.4g}{unit}"
        times = "" if self.floor is None else " times"
        own_unit = unit if self.floor is None else ""
        mark = f"{sign} {self.mark:g}{times}{own_unit}"
        return self.name, f"{self.program:,.4g}{unit}", floor, held, mark, "met" if self.is_met else "missed"


HEAD = ("measured", "program", "floor", "result", "mark", "")


def say(words: str) -> None:
    """Say how far a benchmark has come, beside what it prints as its outcome."""
    print(f"{time.strftime('%H:%M:%S')} {words}", file=sys.stderr, flush=True)


def timed_ms(ask: Callable[[], object]) -> float:
    """How long a call takes [ms]."""
    begun = time.perf_counter()
    ask()
    return (time.perf_counter() - begun) * 1000


def in_turn(rounds: int, *asked: Callable[[], float]) -> list[float]:
    """Ask each in turn, so many rounds, and give the median of each: what the machine is busy with hits all alike."""
    found = []
    for number in range(rounds):
        found.append([ask() for ask in asked])
        say(f"round {number + 1} of {rounds}")
    return [statistics.median(column) for column in zip(*found, strict=True)]


def percentile(values: Sequence[float], share: float) -> float:
    """The value that this share of all is not above."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(len(ordered) * share))]


def machine() -> str:
    """Describe the machine in a line."""
    lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    processor = next((line.split(":")[1].strip() for line in lines if line.startswith("model name")), "?")
    memory = next(line for line in Path("/proc/meminfo").read_text(encoding="utf-8").splitlines() if "MemTotal" in line)
    gigabytes = int(memory.split()[1]) / 1e6
    python = platform.python_version()
    load = os.getloadavg()[0]
    return f"{os.cpu_count()} × {processor}, {gigabytes:.0f} GB, Python {python}; load before {load:.1f}"


def table(figures: Sequence[Figure]) -> str:
    """Lay the figures out as a table of Markdown, so that it can stand in the documentation as it is."""
    rows = [HEAD, tuple("---" for _ in HEAD), *(figure.row for figure in figures)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def as_json(figures: Sequence[Figure], where: str) -> str:
    """Write the figures down for a program."""
    rows = [{**asdict(each), "held": each.held, "is_met": each.is_met} for each in figures]
    return json.dumps({"machine": where, "figures": rows}, indent=1)
