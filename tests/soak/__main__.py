"""The soak: `python -m tests.soak --tablets 50 --minutes 10`; see DEVELOPERS.md."""

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.figures import machine
from tests.soak.trial import soak


def main() -> int:
    """Let tablets work for a while, and say what was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description="Many tablets, a bad network, a while.")
    parser.add_argument("--tablets", type=int, default=50)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument(
        "--thinking", type=float, default=4.0, metavar="SECONDS", help="from one reading of a tablet to its next"
    )
    parser.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6), help="repeats a run's choices"
    )
    asked = parser.parse_args()
    print(machine(), f"seed {asked.seed}", sep="\n", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        outcome = soak(Path(folder), asked.tablets, asked.minutes * 60, asked.seed, asked.thinking)
    print(*outcome.faults, sep="\n")
    print(outcome.words)
    return 1 if outcome.faults else 0


if __name__ == "__main__":
    sys.exit(main())
