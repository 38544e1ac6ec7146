"""Starting, and what is held in memory at rest, against a bare program of the same libraries."""

import tempfile
from functools import partial
from pathlib import Path

from tests.benchmarks.figures import Figure, in_turn
from tests.benchmarks.processes import Served, a_bare, the_program
from tests.builders import a_book

ROUNDS = 5


def starting() -> list[Figure]:
    """Start each in turn, to the first answer that it is well; then look at its memory."""
    memory: dict[str, list[float]] = {"program": [], "bare": []}
    with tempfile.TemporaryDirectory() as folder:
        a_book(Path(folder)).close()
        ours, its = in_turn(
            ROUNDS,
            partial(_start_ms, "program", Path(folder), memory),
            partial(_start_ms, "bare", Path(folder), memory),
        )
    held, bare_held = (sorted(memory[name])[ROUNDS // 2] for name in ("program", "bare"))
    return [
        Figure("start to the first answer on /healthz", ours, its, "ms", 1.5),
        Figure("memory at rest", held, bare_held, "MB", 1.5),
    ]


def _start_ms(which: str, folder: Path, memory: dict[str, list[float]]) -> float:
    """Start one of the two, and end it."""
    begun = the_program(folder) if which == "program" else a_bare("starter", folder)
    with begun as served:
        memory[which].append(Served.memory_mb(served))
        return served.start_ms
