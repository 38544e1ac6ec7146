"""The long run: `python -m tests.kill --kills 1000`."""

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests.kill.trial import faults, run_trial


def main() -> int:
    """Run the trial and say what it found."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.kill", description="Kill the server, look for lost readings."
    )
    parser.add_argument("--kills", type=int, default=100, help="how often the server is killed")
    parser.add_argument(
        "--seed", type=int, default=random.SystemRandom().randrange(10**6), help="repeats a run's moments"
    )
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = run_trial(Path(folder), asked.kills, asked.seed)
    found = [*outcome.surprises, *faults(outcome.acknowledged, outcome.stored)]
    if outcome.broken_entry is not None:
        found.append(f"the chain is broken at entry {outcome.broken_entry}")
    print(*found, sep="\n")
    print(
        f"seed {asked.seed}: {outcome.kills} kills in {outcome.seconds:.0f} s, {len(outcome.acknowledged)} readings "
        f"acknowledged, {len(outcome.stored)} stored, {len(found)} faults"
    )
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
